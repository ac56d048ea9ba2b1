//! What is told of a shop that keeps hours: on which evening something is done, and whether a layout changes that.

use super::{Grounds, parts_of};
use crate::experiment::{
    CandidateFindings, CandidateHours, Comparison, ProjectFindings, ProjectHours,
};
use crate::report::about;
use crate::report::answer::order_noun;
use crate::report::days::{self, Days, of_runs};
use crate::report::difference::is_shown;
use crate::report::overload::is_growing;
use crate::report::projects::one;
use crate::report::sentence::{all_orders, capital, listed, with_article};

/// "A box is done", of one order or of all.
fn all_that_is_ordered(found: &CandidateFindings) -> String {
    match found.orders_done.round() {
        1.0 => format!("{} is done", capital(&order_noun(found))),
        orders => format!("{} are done", all_orders(orders as u64)),
    }
}

/// When what is ordered is done, or how many evenings an order takes, and what most of that goes into.
pub fn takes(found: &CandidateFindings, hours: &CandidateHours) -> String {
    let days = Days::of(hours);
    let projects: Vec<(&ProjectFindings, &ProjectHours)> = (found.projects_done())
        .filter_map(|project| Some((project, project.hours.as_ref()?)))
        .collect();
    let all = hours.all_done.map(|done| {
        format!(
            "{} {} {}.",
            all_that_is_ordered(found),
            days.on(),
            days.done(&done)
        )
    });
    if let [(project, of)] = projects[..] {
        let time = time_of(found, project, of, ["; ", ""]);
        return match all {
            Some(all) if found.orders_done == 1.0 => format!("{all} That takes {time}."),
            Some(all) => format!(
                "{all} One takes {} from start to finish, with {time}.",
                days.per_order(&of.per_order)
            ),
            None => format!(
                "{} takes {} from start to finish, with {time}.",
                capital(&one(&project.name)),
                days.per_order(&of.per_order)
            ),
        };
    }
    let each = projects.iter().map(|(project, of)| {
        let time = time_of(found, project, of, [" (", ")"]);
        match of.all_done {
            Some(done) if project.orders_done == 1.0 => {
                format!(
                    "{} is done {} {}, with {time}",
                    one(&project.name),
                    days.on(),
                    days.done(&done)
                )
            }
            Some(done) => format!(
                "{} of {} are done {} {}, each with {time}",
                all_orders(project.orders_done.round() as u64),
                one(&project.name),
                days.on(),
                days.done(&done)
            ),
            None => format!(
                "{} takes {} from start to finish, with {time}",
                one(&project.name),
                days.per_order(&of.per_order)
            ),
        }
    });
    let each: Vec<String> = each.map(|says| format!("{}.", capital(&says))).collect();
    all.into_iter().chain(each).collect::<Vec<_>>().join(" ")
}

/// "13 h of open time; counted with what dries while it is shut, 61 % work, 25 % curing and drying"
fn time_of(
    found: &CandidateFindings,
    project: &ProjectFindings,
    of: &ProjectHours,
    [before, after]: [&str; 2],
) -> String {
    let open = about::work(of.per_order.mean.in_shop_time);
    // A shop is shut most of the time; what one can change is the rest.
    let split = project.lead_time_split.map(|mut split| {
        split.shop_shut = 0.0;
        split
    });
    let before = format!("{before}counted with what dries while it is shut, ");
    format!(
        "{open} of open time{}",
        parts_of(found, split, [&before, after])
    )
}

/// When all is done in two candidates; None in a shop that is always open, or where orders come faster than they are built.
pub fn done_in_both(grounds: &Grounds<'_>, compared: &Comparison) -> Option<String> {
    let findings = grounds.findings;
    let [base, other] = [compared.base, compared.other].map(|index| &findings.candidates[index]);
    let (own, hours) = (base.hours.as_ref()?, other.hours.as_ref()?);
    if is_growing(findings, compared) {
        return None;
    }
    let days = Days::of(hours);
    let (Some(change), Some(before), Some(done)) =
        (compared.completion, own.all_done, hours.all_done)
    else {
        return sessions_in_both(findings.has_several_projects(), compared, [base, other]);
    };
    let (all, on) = (all_that_is_ordered(other), days.on());
    let unit = match change.same_sessions {
        true => days.session(),
        false => "day",
    };
    let in_runs = |share: f64, than: &str| {
        let one = with_article(unit);
        match share {
            0.0 => None,
            1.0 => Some(format!("{one} or more {than}")),
            share => Some(format!("{one} or more {than} in {}", of_runs(share))),
        }
    };
    let shares = [(change.sooner, "sooner"), (change.later, "later")];
    let shares = shares
        .into_iter()
        .filter_map(|(share, than)| in_runs(share, than));
    let shares = listed(&shares.collect::<Vec<_>>(), "and");
    let (done_on, before_on) = (
        days.session_and_date(done.p50),
        Days::of(own).session_and_date(before.p50),
    );
    Some(if shares.is_empty() {
        format!("{all} {on} the same {unit} in both: {}.", days.done(&done))
    } else if done_on == before_on {
        format!("{all} {on} {done_on}, in both as a rule; {shares}.")
    } else {
        format!("{all} {on} {done_on}, instead of {before_on}; {shares}.")
    })
}

/// The same where orders come one after another, by how many sessions one takes.
fn sessions_in_both(
    several: bool,
    compared: &Comparison,
    [base, other]: [&CandidateFindings; 2],
) -> Option<String> {
    let sentence = |project: &ProjectFindings| {
        let (hours, of) = (other.hours.as_ref()?, project.hours?);
        let before = (base.projects.iter())
            .find(|own| own.name == project.name)?
            .hours?;
        let paired = match several {
            true => compared.project(&project.name)?.lead_time?,
            false => compared.lead_time?,
        };
        let days = Days::of(hours);
        let [before, after] = [before, of].map(|of| days.sessions(of.per_order.mean.sessions));
        let one = capital(&one(&project.name));
        Some(match is_shown(&paired.difference) && before != after {
            true => format!("{one} takes {after} from start to finish instead of {before}."),
            false => format!("{one} takes {after} from start to finish in both."),
        })
    };
    let all: Vec<String> = other.projects_done().filter_map(sentence).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// From this share of the runs on, a layout is said to change the day on which all is done.
const CHANGES: f64 = 0.05;

/// Whether another candidate is done on another evening in more than a few runs; None where nobody can say.
pub fn changes_date(compared: &Comparison) -> Option<bool> {
    (compared.completion).map(|change| change.sooner.max(change.later) >= CHANGES)
}

/// "no evening sooner", in a candidate whose day of completion does not change.
pub fn none_sooner(found: &CandidateFindings) -> String {
    let session = days::all_done(found).map_or("day", |(days, _)| days.session());
    format!("no {session} sooner")
}
