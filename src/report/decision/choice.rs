//! Which candidate an answer speaks of.

use super::LayoutFit;
use crate::experiment::{Comparison, Findings};
use crate::floor::FindingLevel;
use crate::report::difference::is_shown;
use crate::report::projects::shorter_by;

/// The candidates that decide.
#[derive(Debug, Clone, Copy)]
pub struct Recommendation<'a> {
    pub base: usize,
    /// The candidate that the answer is about; the base if none is better.
    pub chosen: usize,
    /// The one with the least walking, of those that build as much as the base and are shown to walk less, with no
    /// more faults than it has; if there is none, of all that do so.
    pub walks_less: Option<&'a Comparison>,
    /// The one with the shortest lead time, chosen likewise; of several projects, see `shorter_by`.
    pub is_sooner: Option<&'a Comparison>,
}

/// By less than this share what is built differs by chance only, where runs end at a horizon.
const AS_MANY: f64 = 0.01;

/// Whether so much is visibly less than another amount that is built.
pub fn builds_fewer(built: f64, than: f64) -> bool {
    built < than * (1.0 - AS_MANY)
}

/// Whether a candidate builds visibly less than the base, in however many orders.
pub fn finishes_fewer(findings: &Findings, compared: &Comparison) -> bool {
    let built = |index: usize| findings.candidates[index].built();
    builds_fewer(built(compared.other), built(compared.base))
}

/// Chooses by walking, and where nothing is shown to walk less, by lead time.
pub fn choose<'a>(findings: &'a Findings, fits: &[Option<LayoutFit>]) -> Recommendation<'a> {
    let base = findings.comparisons.first().map_or(0, |first| first.base);
    let faults = |candidate: usize| {
        let fit = fits.get(candidate).and_then(Option::as_ref);
        fit.map_or(0, |fit| fit.count(FindingLevel::Fault))
    };
    let best = |of: &dyn Fn(&Comparison) -> Option<f64>| {
        // Whoever builds less walks less, which is no merit.
        let less = findings.comparisons.iter();
        let less = less.filter(|compared| !finishes_fewer(findings, compared));
        let less = less.filter_map(|compared| Some((compared, of(compared)?)));
        let is_worse = |compared: &Comparison| faults(compared.other) > faults(base);
        let best = less.min_by(|a, b| {
            let by_faults = is_worse(a.0).cmp(&is_worse(b.0));
            by_faults.then(b.1.total_cmp(&a.1))
        });
        best.map(|(compared, _)| compared)
    };
    let walks_less = best(&|compared| {
        let difference = compared.walking.difference;
        (difference.mean < 0.0 && is_shown(&difference)).then_some(-difference.mean)
    });
    let is_sooner = best(&|compared| shorter_by(findings, compared));
    let chosen = walks_less.or(is_sooner);
    Recommendation {
        base,
        chosen: chosen.map_or(base, |compared| compared.other),
        walks_less,
        is_sooner,
    }
}
