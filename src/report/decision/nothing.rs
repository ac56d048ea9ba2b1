//! What is said where no candidate is better than the base.

use super::choice::finishes_fewer;
use super::{Grounds, Recommendation};
use crate::experiment::{Comparison, LITTLE};
use crate::report::about;
use crate::report::difference::{is_none, is_shown};
use crate::statistics::Paired;

/// A candidate that does not build what the base does cannot be held against it; the first of them.
fn fewer_built(grounds: &Grounds<'_>) -> Option<String> {
    let findings = grounds.findings;
    let built = |index: usize| about::count(findings.candidates[index].built());
    let mut comparisons = findings.comparisons.iter();
    let fewer = comparisons.find(|compared| finishes_fewer(findings, compared))?;
    let figures = match findings.candidates[fewer.base].walking.mean > 0.0 {
        true => "its walking says",
        false => "its times say",
    };
    Some(format!(
        "No: {} finishes only {} of what {} finishes ({}), so that {figures} little.",
        grounds.quoted(fewer.other),
        built(fewer.other),
        grounds.quoted(fewer.base),
        built(fewer.base)
    ))
}

/// How all candidates stand to the base in something of which less is better.
#[derive(Clone, Copy, PartialEq, Eq)]
enum AgainstBase {
    /// All are shown to have more of it.
    Least,
    /// None is shown to have more or less, though their means may differ.
    NotShown,
    /// It is the same in all, or differs by less than a little.
    Same,
    /// Some are shown to have more; none less.
    NoneLess,
    /// Some project is done sooner in one of them, and then another one later.
    Mixed,
}

impl AgainstBase {
    /// By what each candidate has of it, in one figure or several.
    fn of(candidates: &[Vec<Paired>]) -> AgainstBase {
        let shown = |paired: &Paired| is_shown(&paired.difference);
        let is_less = |paired: &Paired| shown(paired) && paired.difference.mean < 0.0;
        let all = || candidates.iter().flatten();
        if all().any(is_less) {
            AgainstBase::Mixed
        } else if all().all(is_little) {
            AgainstBase::Same
        } else if all().all(shown) {
            AgainstBase::Least
        } else if all().any(shown) {
            AgainstBase::NoneLess
        } else {
            AgainstBase::NotShown
        }
    }
}

/// Whether a difference is surely less than a little.
fn is_little(paired: &Paired) -> bool {
    is_none(paired) || paired.difference.farthest() < LITTLE * paired.base_mean
}

/// That no candidate is better than the base, and how they differ. What the runs do not show is not called a merit.
pub fn nothing(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> String {
    if let Some(says) = fewer_built(grounds) {
        return says;
    }
    let base = grounds.quoted(choice.base);
    let findings = grounds.findings;
    let times = |compared: &Comparison| -> Vec<Paired> {
        match findings.has_several_projects() {
            true => (compared.projects.iter())
                .filter_map(|project| project.lead_time)
                .collect(),
            false => compared.lead_time.into_iter().collect(),
        }
    };
    let comparisons = &findings.comparisons[..];
    let others = match comparisons {
        [only] => grounds.quoted(only.other),
        _ => "any other".to_owned(),
    };
    let nobody_walks = (findings.candidates.iter()).all(|found| found.walking.mean == 0.0);
    let walking: Vec<Vec<Paired>> = (comparisons.iter())
        .map(|compared| vec![compared.walking])
        .collect();
    let times: Vec<Vec<Paired>> = comparisons.iter().map(times).collect();
    let sooner = AgainstBase::of(&times);
    let nearly = |all: &[Vec<Paired>]| match all.iter().flatten().all(is_none) {
        true => "",
        false => "nearly ",
    };
    let nearly_as = [nearly(&walking), nearly(&times)];
    let mut both = walking.iter().chain(&times).flatten();
    let no_difference = match both.any(|paired| is_shown(&paired.difference)) {
        true => format!("no difference of {} or more", about::share(LITTLE)),
        false => "no difference".to_owned(),
    };
    let walking = match nobody_walks {
        true => AgainstBase::Same,
        false => AgainstBase::of(&walking),
    };
    let all = match comparisons {
        [only] => format!("{base} and {}", grounds.quoted(only.other)),
        _ => "all layouts".to_owned(),
    };
    let mixed = match comparisons {
        [only] => format!(
            "{} finishes one project sooner and another one later",
            grounds.quoted(only.other)
        ),
        _ => "every other layout that finishes one project sooner finishes another one later"
            .to_owned(),
    };
    use AgainstBase::{Least, Mixed, NoneLess, NotShown, Same};
    let says = match (walking, sooner) {
        (Same, Same) if nearly_as == ["", ""] => {
            return format!(
                "No: {all} come to the same: they differ neither in walking nor from start to finish."
            );
        }
        (Same, Same) => {
            let in_what = match nobody_walks {
                true => "from start to finish",
                false => "in walking and from start to finish",
            };
            let within = about::share(LITTLE);
            format!("{all} come to nearly the same, within {within} {in_what}")
        }
        (Same | NotShown, Same | NotShown) => format!(
            "the runs show {no_difference} between {base} and {others}, neither in walking nor from start to finish"
        ),
        (Least, Least) => format!("{base} walks least and is done soonest"),
        (Least, Same) => format!(
            "{base} walks least, and takes {}as long from start to finish",
            nearly_as[1]
        ),
        (Least, NotShown) => {
            format!("{base} walks least, and the runs show no difference from start to finish")
        }
        (Least, NoneLess) => format!("{base} walks least, and no other is shown to be done sooner"),
        (Least, Mixed) => format!("{base} walks least, and {mixed}"),
        (_, Least) if nobody_walks => format!("{base} is done soonest"),
        (Same, Least) => format!("{base} is done soonest, and walks {}as much", nearly_as[0]),
        (NotShown, Least) => {
            format!("{base} is done soonest, and the runs show no difference in walking")
        }
        (_, Least) => format!("{base} is done soonest, and no other is shown to walk less"),
        (_, Mixed) if nobody_walks => mixed,
        (_, Mixed) => format!("no other is shown to walk less than {base}, and {mixed}"),
        (_, _) if nobody_walks => format!("no other is shown to be done sooner than {base}"),
        (..) => format!("no other is shown to walk less than {base}, or to be done sooner"),
    };
    format!("No: {says}.")
}
