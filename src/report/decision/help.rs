//! What would help most, by a quick look.

use super::Grounds;
use crate::experiment::{
    CandidateFindings, Edit, Goal, ProjectRelief, Relief, ReliefKind, Reliefs,
};
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::projects::one;
use crate::report::relief::{
    WORTH_SAYING, few_orders, goal, helps, orders_instead, phrase, projects,
};
use crate::report::sentence::capital;

/// The best of the likeliest changes; none if the runs show none that helps.
pub fn help(grounds: &Grounds<'_>, chosen: &CandidateFindings) -> Option<String> {
    let reliefs = grounds.help?;
    let is_layout = |relief: &&Relief| relief.trial.edit.kind() == ReliefKind::Layout;
    let shorter_ways = reliefs.list.iter().find(is_layout);
    let shorter_ways = shorter_ways.and_then(|relief| ways(reliefs, relief));
    let helping = reliefs.list.iter().filter(|relief| helps(reliefs, relief));
    let helping: Vec<&Relief> = helping.filter(|relief| !is_layout(relief)).collect();
    let Some(&most) = helping.first() else {
        return shorter_ways;
    };
    // What one can buy, build or add comes before quicker work, even where that would bring more.
    let is_worth_saying = |relief: &&&Relief| {
        let paired = goal(reliefs, relief);
        !relief.trial.edit.saves_times()
            && paired.difference.mean.abs() >= WORTH_SAYING * paired.base_mean.abs()
    };
    let doable = helping.iter().find(is_worth_saying).copied();
    let is_another = |doable: &Relief| doable.trial != most.trial;
    let then = doable.is_none_or(is_another).then_some(most);
    let said = doable.into_iter().chain(then);
    let says = said.map(|relief| brought_by(reliefs, chosen, relief));
    let says: Vec<String> = says.collect::<Option<_>>()?;
    let all: Vec<String> = says.into_iter().chain(shorter_ways).collect();
    Some(all.join(" "))
}

/// What a change brings, and how it is done safely.
fn brought_by(reliefs: &Reliefs, chosen: &CandidateFindings, relief: &Relief) -> Option<String> {
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
        _ if few_orders(reliefs) => format!("finishes {}", orders_instead(reliefs, relief)),
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
        Edit::OneMorePerson(_) | Edit::OneMoreManned(..) => {
            " A trained one, and not a child at the out-feed."
        }
        _ => "",
    };
    Some(format!("{what} {brings}.{safely}"))
}

/// From this share of the time from start to finish on, or of the orders finished, ways are spoken of.
const MUCH: f64 = 0.05;

/// What no walking at all would bring, which no layout can much exceed.
fn ways(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let paired = goal(reliefs, relief);
    let by = paired.difference.mean.abs();
    let is_much = helps(reliefs, relief) && by >= MUCH * paired.base_mean;
    let several = reliefs.findings.has_several_projects();
    let brings = match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(_)) if several => format!(
            "{} of the time from start to finish",
            about::share(by / paired.base_mean)
        ),
        (Goal::LeadTime, Some(_)) => format!("{} from start to finish", about::time(by)),
        _ if few_orders(reliefs) => return None,
        _ => format!("{} more orders", about::share(by / paired.base_mean)),
    };
    is_much.then(|| {
        format!("Shorter ways can bring at most {brings}, which is what no walking at all would.")
    })
}
