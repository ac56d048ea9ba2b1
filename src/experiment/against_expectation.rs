//! A candidate that has more of something than the base, and with which orders take longer.

use super::draws::LITTLE;
use super::findings::Findings;
use super::first_difference::{FirstDifference, first_difference_between, most_like_mean};
use super::quick_look::play_as_it_is;
use super::{Candidate, Comparison, Study};
use crate::engine::Run;
use crate::shop::Shop;
use crate::statistics::Paired;

/// A result against expectation, and where it begins.
#[derive(Debug, Clone, PartialEq)]
pub struct MoreTakesLonger {
    /// Indices in the candidates.
    pub base: usize,
    pub other: usize,
    /// The project that it is about, where several are built.
    pub project: Option<String>,
    /// So many seconds more from start to finish of an order.
    pub longer_s: f64,
    /// None if the replication that was looked at is the same in both.
    pub first: Option<FirstDifference>,
}

/// Of so many replications the one that is most like the mean is looked at.
const LOOKED_AT: u32 = 20;

/// The candidate in which orders take longer by the largest share, by more than a little and more than chance makes,
/// though it has more stations, gear or carts than the base on the same layout, and differs in nothing else. None if there
/// is none.
pub fn more_takes_longer(study: &Study, findings: &Findings) -> Option<MoreTakesLonger> {
    let all = findings.comparisons.iter();
    let more = all.filter(|comparison| has_only_more(study, comparison));
    let lead_times = more.flat_map(|comparison| {
        let of = lead_times(comparison).into_iter();
        of.map(move |(project, paired)| (comparison, project, paired))
    });
    let against = lead_times.filter(|(_, _, paired)| {
        let is_shown = paired.difference.low().is_none_or(|low| low > 0.0);
        is_shown && share(paired) >= LITTLE
    });
    let (worst, project, paired) =
        against.max_by(|(.., one), (.., other)| share(one).total_cmp(&share(other)))?;
    let [base, other] = [worst.base, worst.other].map(|index| &study.candidates[index]);
    let mut projects = base.shop.projects.iter();
    let number = project.and_then(|name| projects.position(|project| project.name == name));
    let mean = paired.difference.mean;
    let run = Run {
        seed: study.settings.seed,
        replication: typical(study, (base, other), number, mean),
        until: study.settings.until,
    };
    Some(MoreTakesLonger {
        base: worst.base,
        other: worst.other,
        project: project.map(str::to_owned),
        longer_s: mean,
        // Both came to their end when they were played before.
        first: first_difference_between(base, other, &run).ok().flatten(),
    })
}

/// By how much orders take longer than in the base, as a share.
fn share(paired: &Paired) -> f64 {
    paired.difference.mean / paired.base_mean
}

/// The lead times that are compared: those of each project, where there are several.
fn lead_times(comparison: &Comparison) -> Vec<(Option<&str>, Paired)> {
    match &comparison.projects[..] {
        [] | [_] => (comparison.lead_time.iter())
            .map(|paired| (None, *paired))
            .collect(),
        several => (several.iter())
            .filter_map(|project| Some((Some(&project.name[..]), project.lead_time?)))
            .collect(),
    }
}

/// The replication whose difference is nearest to the mean.
fn typical(
    study: &Study,
    (base, other): (&Candidate, &Candidate),
    project: Option<usize>,
    mean: f64,
) -> u32 {
    let figures = |candidate| {
        let played = play_as_it_is(&study.settings, candidate, 0..LOOKED_AT);
        played.unwrap_or_default()
    };
    let (without, with) = (figures(base), figures(other));
    let differences = without.iter().zip(&with).zip(0..);
    let longer = differences.filter_map(|((without, with), nth)| {
        Some((
            nth,
            with.lead_time_of(project)? - without.lead_time_of(project)?,
        ))
    });
    most_like_mean(mean, longer)
}

fn has_only_more(study: &Study, comparison: &Comparison) -> bool {
    let [base, other] = [comparison.base, comparison.other].map(|index| &study.candidates[index]);
    base.layout == other.layout && is_more(&base.shop, &other.shop)
}

/// Whether a shop has more stations, gear or carts than another, and differs in nothing else.
fn is_more(base: &Shop, other: &Shop) -> bool {
    let is_alike =
        base.stations.len() == other.stations.len() && base.gear.len() == other.gear.len();
    if !is_alike {
        return false;
    }
    let mut like_base = other.clone();
    let mut are_more = true;
    for (station, theirs) in base.stations.enumerate() {
        let mine = &mut like_base.stations[station].count;
        are_more &= *mine >= theirs.count;
        *mine = theirs.count;
    }
    for (gear, theirs) in base.gear.enumerate() {
        let mine = &mut like_base.gear[gear].count;
        are_more &= *mine >= theirs.count;
        *mine = theirs.count;
    }
    let carts = (&mut like_base.handling.carts, &base.handling.carts);
    if let (Some(mine), Some(theirs)) = carts {
        are_more &= mine.count >= theirs.count;
        mine.count = theirs.count;
    }
    are_more && like_base == *base
}
