//! What would help most, by a quick look.

use super::Grounds;
use crate::experiment::{CandidateFindings, Edit, Goal, ProjectRelief};
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::projects::one;
use crate::report::relief::{goal, helps, phrase, projects};
use crate::report::sentence::capital;

/// The best of the likeliest changes; none if the runs show none that helps.
pub fn help(grounds: &Grounds<'_>, chosen: &CandidateFindings) -> Option<String> {
    let reliefs = grounds.help?;
    let relief = reliefs.list.iter().find(|relief| helps(reliefs, relief))?;
    let paired = goal(reliefs, relief);
    let by = paired.difference.mean.abs();
    let what = capital(&phrase(&relief.trial, &reliefs.findings.candidates[0].crew));
    let brings = match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(_)) if reliefs.findings.has_several_projects() => {
            let project = |(name, of): (&str, &ProjectRelief)| {
                let difference = of.lead_time?.difference;
                let by = -difference.mean;
                (by > 0.0 && is_shown(&difference)).then(|| (name.to_owned(), by))
            };
            let most = projects(reliefs, relief, |_| true).filter_map(project);
            let (name, by) = most.max_by(|a, b| a.1.total_cmp(&b.1))?;
            let found = chosen.projects.iter().find(|of| of.name == name)?;
            format!(
                "saves {} of {} from start to finish of {}",
                about::time(by),
                about::time(found.lead_time?.mean),
                one(&name)
            )
        }
        (Goal::LeadTime, Some(_)) => {
            // The quick look has played fewer runs; the whole is told of all of them.
            let whole = chosen.lead_time.map_or(paired.base_mean, |all| all.mean);
            format!(
                "saves {} of {} from start to finish",
                about::time(by),
                about::time(whole)
            )
        }
        _ => format!(
            "finishes {} more orders",
            about::share(by / paired.base_mean)
        ),
    };
    let safely = match relief.trial.edit {
        Edit::Times(..) | Edit::NoSetup(_) if relief.trial.mostly_cure.is_empty() => {
            " Jigs and stops do that, and at a machine a sharp blade, never a faster feed."
        }
        Edit::Times(..) => {
            " That takes another glue or finish: clamps stay on for as long as its maker says."
        }
        Edit::OneMorePerson(_) => " A trained one, and not a child at the out-feed.",
        _ => "",
    };
    Some(format!("{what} {brings}.{safely}"))
}
