//! What would help most, by a quick look.

use super::Grounds;
use crate::experiment::{
    CandidateFindings, Edit, Goal, ProjectRelief, Relief, ReliefKind, Reliefs,
};
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::projects::one;
use crate::report::relief::{
    Number, WORTH_SAYING, amount_and_whole, few_orders, goal, helps, number, orders_instead,
    phrase, projects, safely,
};
use crate::report::sentence::{capital, small};
use crate::statistics::{Estimate, Paired};

/// The best of the likeliest changes, and on which layout they were tried, where there are several; none if the runs show
/// none that helps.
pub fn help(grounds: &Grounds<'_>, chosen: &CandidateFindings) -> Option<String> {
    let says = helping(grounds.help?, chosen)?;
    Some(match grounds.findings.candidates.len() {
        1 => says,
        _ => format!("Tried in \"{}\": {}", chosen.name, small(&says)),
    })
}

fn helping(reliefs: &Reliefs, chosen: &CandidateFindings) -> Option<String> {
    let of_kind = |kind: ReliefKind| {
        let mut all = reliefs.list.iter();
        all.find(|relief| relief.trial.edit.kind() == kind)
    };
    let shorter_ways = of_kind(ReliefKind::Layout).and_then(|relief| ways(reliefs, relief));
    let by_scale = |kind: ReliefKind| {
        let relief = of_kind(kind).filter(|relief| helps(reliefs, relief))?;
        brought_by(reliefs, chosen, relief)
    };
    let more_time = by_scale(ReliefKind::Session);
    // It is kept for others' sake: what it costs is told, and no advice.
    let no_quiet_time = by_scale(ReliefKind::Quiet)
        .map(|brings| format!("Quiet time holds loud work up. {brings}"));
    let together = by_scale(ReliefKind::Exclusion)
        .map(|brings| format!("{brings} What it is kept apart for has to be settled first."));
    let scales = shorter_ways
        .into_iter()
        .chain(more_time)
        .chain(no_quiet_time)
        .chain(together)
        .chain(by_scale(ReliefKind::TakeOff));
    let helping = reliefs.list.iter().filter(|relief| helps(reliefs, relief));
    let helping: Vec<&Relief> = helping
        .filter(|relief| !relief.trial.edit.is_scale())
        .collect();
    let Some(&most) = helping.first() else {
        let scales: Vec<String> = scales.collect();
        return (!scales.is_empty()).then(|| scales.join(" "));
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
    let said: Vec<&Relief> = doable.into_iter().chain(then).collect();
    let saves_work = |relief: &&Relief| safely([&relief.trial]).is_some();
    let all_save_work = said.iter().all(saves_work);
    let mut says: Vec<String> = Vec::new();
    for (index, relief) in said.iter().enumerate() {
        // What the changes have in common is said once, behind the last.
        let care = match (all_save_work, index + 1 == said.len()) {
            (false, _) => care(relief),
            (true, false) => None,
            (true, true) => safely(said.iter().map(|relief| &relief.trial)),
        };
        says.push(brought_by(reliefs, chosen, relief)?);
        says.extend(care.map(str::to_owned));
    }
    says.extend(scales);
    Some(says.join(" "))
}

/// How a change is made safely.
fn care(relief: &Relief) -> Option<&'static str> {
    match relief.trial.edit {
        Edit::Times(..) if !relief.trial.mostly_cure.is_empty() => {
            Some("That takes another glue or finish, which gets the time that its maker says.")
        }
        Edit::OneMorePerson(_) | Edit::OneMoreManned(..) => {
            Some("A trained one, and no child at a machine.")
        }
        Edit::LastsLonger(..) => Some(
            "That takes what lasts or holds twice as much: nothing is run that is dull or full.",
        ),
        _ => safely([&relief.trial]),
    }
}

/// What a change brings: a closer look says how exactly that is known.
fn brought_by(reliefs: &Reliefs, chosen: &CandidateFindings, relief: &Relief) -> Option<String> {
    let paired = goal(reliefs, relief);
    let what = capital(&phrase(&relief.trial, &reliefs.findings.candidates[0].crew));
    let saves = match number(&relief.trial) {
        Number::Singular => "saves",
        Number::Plural => "save",
    };
    let by = |difference: &Estimate| about::estimated(difference.mean, difference.reach());
    let brings = match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(_)) if chosen.hours.is_some() => {
            let (amount, whole) = amount_and_whole(reliefs, relief);
            format!("{saves} {amount} of {whole}")
        }
        (Goal::LeadTime, Some(_)) if reliefs.findings.has_several_projects() => {
            let project = |(name, of): (&str, &ProjectRelief)| {
                let difference = of.lead_time?.difference;
                (difference.mean < 0.0 && is_shown(&difference))
                    .then(|| (name.to_owned(), difference))
            };
            let most = projects(reliefs, relief, |_| true).filter_map(project);
            let (name, difference) = most.min_by(|a, b| a.1.mean.total_cmp(&b.1.mean))?;
            let found = chosen.projects.iter().find(|of| of.name == name)?;
            format!(
                "{saves} {} of {} from start to finish of {}",
                by(&difference),
                about::time(found.lead_time?.mean),
                one(&name)
            )
        }
        (Goal::LeadTime, Some(_)) => {
            // Fewer runs are played with the change; the whole is told of all of them.
            let whole = chosen.lead_time.map_or(paired.base_mean, |all| all.mean);
            // Of a mean that has moved since, the share is what stays.
            let to_whole = whole / paired.base_mean;
            format!(
                "{saves} {} of {} from start to finish",
                by(&paired.difference.scaled(to_whole)),
                about::time(whole)
            )
        }
        _ => {
            let finishes = match number(&relief.trial) {
                Number::Singular => "finishes",
                Number::Plural => "finish",
            };
            match few_orders(reliefs) {
                true => format!("{finishes} {}", orders_instead(reliefs, relief)),
                false => format!("{finishes} {} more orders", share_of_base(&paired)),
            }
        }
    };
    Some(format!("{what} {brings}."))
}

/// A difference as a share of what it is a difference from, as exactly as it is known.
fn share_of_base(paired: &Paired) -> String {
    let (by, off) = (paired.difference.mean.abs(), paired.difference.reach());
    about::estimated_share(by / paired.base_mean, off / paired.base_mean)
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
            share_of_base(&paired)
        ),
        (Goal::LeadTime, Some(_)) if reliefs.findings.candidates[0].hours.is_some() => {
            let (amount, _) = amount_and_whole(reliefs, relief);
            format!("{amount} from start to finish")
        }
        (Goal::LeadTime, Some(_)) => format!(
            "{} from start to finish",
            about::estimated(by, paired.difference.reach())
        ),
        _ if few_orders(reliefs) => return None,
        _ => format!("{} more orders", share_of_base(&paired)),
    };
    is_much.then(|| {
        format!("Shorter ways can bring at most {brings}, which is what no walking at all would.")
    })
}
