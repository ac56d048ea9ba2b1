//! The answer as it helps to decide: is it worth it, does it fit, what is in the way, what would help, what to do first.
//!
//! Each is a line with a heading. Figures have the digits that a decision needs; the exact ones, with their intervals,
//! are those of `answer`, the tables and the JSON.

mod all_done;
mod beside;
mod choice;
mod evenings;
mod first;
mod fit;
mod help;
mod nothing;
mod room_to_feed;
mod shifts;
mod start_to_finish;
mod thrown_at;
mod unexpected;
mod worth;

pub use choice::{Recommendation, builds_fewer, choose};

use all_done::all_done;

use super::check::Told;
use super::dust::{self, DUST};
use super::figure::number;
use super::heat::{self, HEAT};
use super::in_time::{self, IN_TIME};
use super::lead_time_parts::{as_told, for_whom};
use super::light::{self, LIGHT};
use super::lines::{FITS, IN_THE_WAY, Line};
use super::noise::{self, NOISE};
use super::overload::{at_capacity, overload};
use super::per_order::per_order;
use super::power::{self, POWER};
use super::projects::one;
use super::sentence::{capital, counted, listed};
use super::{about, bottleneck, typical};
use crate::experiment::{
    CandidateFindings, Findings, MoreTakesLonger, PowerFindings, ProjectFindings, Rearrangement,
    Reliefs, Study, TypicalValues,
};
use crate::floor::{FindingLevel, MachineCapacity};
use crate::metrics::LeadTimeComponents;

/// Whether one candidate fits, by the rules of `check`.
#[derive(Debug, Clone, Default)]
pub struct LayoutFit {
    /// Notes among them.
    pub findings: Vec<Told>,
    /// Whether any station has a place: else only what comes in and goes out was looked at.
    pub has_places: bool,
}

impl LayoutFit {
    pub fn count(&self, level: FindingLevel) -> usize {
        let of_level = self.findings.iter();
        of_level.filter(|finding| finding.level == level).count()
    }
}

/// What an answer is made of.
pub struct Grounds<'a> {
    pub study: &'a Study,
    pub findings: &'a Findings,
    /// By candidate; nothing for one that is not drawn.
    pub fits: &'a [Option<LayoutFit>],
    /// Which candidates decide, by [`choose`].
    pub choice: Recommendation<'a>,
    /// What a quick look has found to help the chosen candidate.
    pub help: Option<&'a Reliefs>,
    /// What the machines take where they stand, of the base and of the chosen candidate as far as they are drawn.
    pub takes: &'a [(usize, Vec<MachineCapacity>)],
    /// How the base is made into the chosen candidate, if that takes moving stations.
    pub rearrangement: Option<Rearrangement>,
    /// What the rules find in the base after the first move, if one mends something.
    pub after_first: Option<Vec<Told>>,
    /// A candidate that has more than the base, and with which orders take longer.
    pub against_expectation: Option<MoreTakesLonger>,
}

/// By candidate, for a table: "3 faults", "7 warnings", "yes"; nothing for one that is not drawn.
pub fn in_short(fits: &[Option<LayoutFit>]) -> Vec<String> {
    let short = |fit: &LayoutFit| {
        let of = |level, name: &str| {
            let count = fit.count(level);
            (count > 0).then(|| counted(count, name))
        };
        of(FindingLevel::Fault, "fault")
            .or_else(|| of(FindingLevel::Warning, "warning"))
            .unwrap_or_else(|| match fit.has_places {
                true => "yes".to_owned(),
                false => "no places".to_owned(),
            })
    };
    let all = fits.iter();
    all.map(|fit| fit.as_ref().map_or_else(String::new, short))
        .collect()
}

impl Grounds<'_> {
    fn faults(&self, candidate: usize) -> usize {
        self.count(candidate, FindingLevel::Fault)
    }

    fn count(&self, candidate: usize, level: FindingLevel) -> usize {
        let fit = self.fits[candidate].as_ref();
        fit.map_or(0, |fit| fit.count(level))
    }

    fn quoted(&self, candidate: usize) -> String {
        format!("\"{}\"", self.findings.candidates[candidate].name)
    }
}

/// The answer of a comparison, or of one candidate alone.
pub fn lines(grounds: &Grounds<'_>) -> Vec<Line> {
    let choice = grounds.choice;
    let chosen = &grounds.findings.candidates[choice.chosen];
    let opening = match grounds.findings.comparisons.is_empty() {
        true => vec![
            ("Walking", Some(walking(grounds, chosen))),
            ("Takes", takes(grounds, choice.chosen)),
            ("Flow", flow(chosen)),
        ],
        false => {
            let worth = Some(worth::worth(grounds, &choice));
            let shifts = shifts::with_small_moves(grounds, &choice);
            let says: Vec<String> = worth.into_iter().chain(shifts).collect();
            vec![("Worth it?", Some(says.join(" ")))]
        }
    };
    let rest = [
        (IN_TIME, in_time::line(&spoken_of(grounds))),
        (FITS, fit::fits(grounds, &choice)),
        (IN_THE_WAY, fit::in_the_way(grounds, &choice)),
        (POWER, power::line(chosen, grounds.findings.units)),
        (DUST, dust::line(chosen, grounds.findings.units)),
        (LIGHT, light::line(chosen)),
        (HEAT, heat::line(chosen, grounds.findings.units)),
        (NOISE, noise::line(chosen)),
        ("Room to feed", room_to_feed::room_to_feed(grounds)),
        ("By a hair", fit::by_a_hair(grounds, &choice)),
        ("Busiest", bottleneck::busiest(chosen)),
        ("Would help", help::help(grounds, chosen)),
        ("First move", first::first(grounds, &choice)),
        ("Unexpected", unexpected::unexpected(grounds)),
    ];
    let is_over = chosen.power.as_ref().is_some_and(PowerFindings::is_over);
    let typical = typical::line(&TypicalValues::of(&grounds.study.candidates));
    let first = [
        ("Overload", overload(grounds.findings)),
        ("At capacity", at_capacity(grounds.findings)),
    ];
    let all = first.into_iter().chain(opening).chain(rest);
    all.filter_map(|(heading, says)| {
        let tells_of_fit = matches!(heading, FITS | IN_THE_WAY);
        Some(Line {
            heading,
            says: says?,
            is_fault: tells_of_fit
                && (grounds.faults(choice.base) > 0 || grounds.faults(choice.chosen) > 0)
                || heading == POWER && is_over
                || heading == DUST && dust::is_unwell(chosen)
                || heading == LIGHT && light::is_dark(chosen)
                || heading == HEAT && heat::is_too_cold(chosen)
                || heading == NOISE && noise::is_too_much(chosen),
        })
    })
    .chain(typical)
    .collect()
}

/// The base and the candidate that the answer is about, or the one that there is.
fn spoken_of<'a>(grounds: &Grounds<'a>) -> Vec<&'a CandidateFindings> {
    let Recommendation { base, chosen, .. } = grounds.choice;
    let other = (chosen != base).then_some(chosen);
    let all = std::iter::once(base).chain(other);
    all.map(|index| &grounds.findings.candidates[index])
        .collect()
}

/// How far people walk in one candidate, in proportion to the work.
fn walking(grounds: &Grounds<'_>, found: &CandidateFindings) -> String {
    if found.walking.mean == 0.0 {
        return "Nobody walks.".to_owned();
    }
    let per = per_order(found);
    let walked = about::length(grounds.findings.units, found.walking.mean / per.orders);
    let time: f64 = found.crew.iter().map(|person| person.walking).sum();
    let walked = capital(&walked);
    let mut says = format!("{walked} {}", per.unit);
    if found.hands_on > 0.0 {
        says.push_str(&format!(
            ", which is {} of {} hands-on ({})",
            about::time(time / per.orders),
            about::work(found.hands_on / per.orders),
            about::share(time / found.hands_on),
        ));
    }
    format!("{says}.")
}

/// Seconds.
const HOUR: f64 = 3600.0;

/// From this share on it is told how many more orders come than are done.
const MORE_COME: f64 = 0.02;

/// Orders in process, as Little's law has it (J. D. C. Little, A proof for the queuing formula L = λW, 1961): exact
/// where every order that is counted also begins and ends in the measured time. Orders of several projects have no time
/// in common, and where orders come faster than they are built the time says how long the run is.
fn flow(found: &CandidateFindings) -> Option<String> {
    let lead_time = found.lead_time?;
    // Where the shop keeps hours, evenings are told instead.
    let has_no_time =
        found.overload.is_some() || found.builds_several_projects() || found.hours.is_some();
    let after = match has_no_time {
        true => String::new(),
        false => format!(", after {} each", about::time(lead_time.mean)),
    };
    (found.orders_done > 1.0).then(|| {
        let hourly = found.throughput_per_hour.mean;
        let come = found.released_per_hour;
        let more_come = come >= (1.0 + MORE_COME) * hourly;
        // Nobody thinks of a small part of an order in an hour.
        let done = match (hourly, more_come) {
            (h, true) if h > 0.0 && h < 1.0 => format!(
                "one comes every {} and is done every {}",
                about::time(HOUR / come),
                about::time(HOUR / h)
            ),
            (h, false) if h > 0.0 && h < 1.0 => {
                format!("one is done every {}", about::time(HOUR / h))
            }
            (_, true) => format!(
                "{} an hour come and {} are done",
                number(come),
                number(hourly)
            ),
            (_, false) => format!("{} an hour are done", number(hourly)),
        };
        format!(
            "{} orders in the shop on average; {done}{after}.",
            capital(&number(found.work_in_process.mean)),
        )
    })
}

/// A part of the time from start to finish that is mentioned, and so many of them.
const PART: f64 = 0.1;
const PARTS: usize = 3;

/// How long an order takes from start to finish, and what most of that is; of each project, where there are several. In a
/// shop that keeps hours, on which evening it is done.
fn takes(grounds: &Grounds<'_>, chosen: usize) -> Option<String> {
    let found = &grounds.findings.candidates[chosen];
    if found.lead_time.is_none() {
        return Some("No order is finished in the measured time.".to_owned());
    }
    if found.overload.is_some() {
        return None;
    }
    if let Some(hours) = &found.hours {
        return Some(evenings::takes(found, hours));
    }
    let says = from_start_to_finish(found)?;
    Some(match all_done(grounds, chosen) {
        Some(all) => format!("{says} {all}"),
        None => says,
    })
}

fn from_start_to_finish(found: &CandidateFindings) -> Option<String> {
    if !found.builds_several_projects() {
        let project = found.projects_done().next();
        let split = project.and_then(|project| project.lead_time_split);
        return Some(format!(
            "{} from start to finish{}.",
            about::time(found.lead_time?.mean),
            parts_of(found, split, [": ", ""])
        ));
    }
    let of_project = |project: &ProjectFindings| {
        let time = about::time(project.lead_time?.mean);
        let parts = parts_of(found, project.lead_time_split, [" (", ")"]);
        Some(format!("{} {time}{parts}", one(&project.name)))
    };
    let all: Vec<String> = found.projects.iter().filter_map(of_project).collect();
    Some(format!(
        "{} from start to finish.",
        capital(&listed(&all, "and"))
    ))
}

/// What most of a lead time is; nothing if no part is worth mentioning.
fn parts_of(
    found: &CandidateFindings,
    split: Option<LeadTimeComponents<f64>>,
    [before, after]: [&str; 2],
) -> String {
    let Some(split) = split else {
        return String::new();
    };
    let all = as_told(found, split).parts();
    let whole: f64 = all.iter().sum();
    let person = format!("waiting {}", for_whom(found));
    let names = [
        "work",
        "carrying",
        "curing and drying",
        "waiting for a station in use",
        "being kept apart from other work",
        "waiting for clamps or jigs",
        &person,
        "waiting for other parts",
        "the shop being shut",
    ];
    let mut parts: Vec<(&str, f64)> = names.into_iter().zip(all).collect();
    parts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let parts = parts.into_iter().filter(|part| part.1 > PART * whole);
    let parts: Vec<String> = parts
        .take(PARTS)
        .map(|(name, seconds)| format!("{} {name}", about::share(seconds / whole)))
        .collect();
    match parts.is_empty() {
        true => String::new(),
        false => format!("{before}{}{after}", parts.join(", ")),
    }
}
