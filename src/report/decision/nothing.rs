//! What is said where no candidate is better than the base.

use super::choice::finishes_fewer;
use super::{Grounds, Recommendation};
use crate::experiment::Comparison;
use crate::report::about;
use crate::report::difference::is_shown;
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

/// That no candidate is better than the base, and how they differ.
pub fn nothing(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> String {
    let base = grounds.quoted(choice.base);
    if let Some(says) = fewer_built(grounds) {
        return says;
    }
    let findings = grounds.findings;
    let differs = |paired: &Paired| is_shown(&paired.difference);
    let times = |compared: &Comparison| -> Vec<Paired> {
        match findings.has_several_projects() {
            true => (compared.projects.iter())
                .filter_map(|project| project.lead_time)
                .collect(),
            false => compared.lead_time.into_iter().collect(),
        }
    };
    let comparisons = &findings.comparisons[..];
    let is_sooner = |compared: &Comparison| {
        let times = times(compared);
        times
            .iter()
            .any(|paired| differs(paired) && paired.difference.mean < 0.0)
    };
    let is_any_different = comparisons
        .iter()
        .any(|compared| differs(&compared.walking) || times(compared).iter().any(differs));
    if !is_any_different {
        let others = match comparisons {
            [only] => grounds.quoted(only.other),
            _ => "any other".to_owned(),
        };
        return format!(
            "No: the runs show no difference between {base} and {others}, neither in walking nor from start to finish."
        );
    }
    let nobody_walks = findings
        .candidates
        .iter()
        .all(|found| found.walking.mean == 0.0);
    let walks = match nobody_walks {
        true => String::new(),
        false => format!("{base} walks least"),
    };
    let sooner = match (comparisons, comparisons.iter().any(is_sooner)) {
        (_, false) if nobody_walks => format!("{base} is done soonest"),
        (_, false) => "is done soonest".to_owned(),
        ([only], true) => format!(
            "{} finishes one project sooner and another one later",
            grounds.quoted(only.other)
        ),
        (_, true) => {
            "every other layout that finishes one project sooner finishes another one later"
                .to_owned()
        }
    };
    let and = match (nobody_walks, sooner.starts_with("is ")) {
        (true, _) => "",
        (false, true) => " and ",
        (false, false) => ", and ",
    };
    format!("No: {walks}{and}{sooner}.")
}
