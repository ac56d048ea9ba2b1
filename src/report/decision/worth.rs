//! Whether changing to another candidate is worth it.

use super::all_done::all_done_in_both;
use super::beside::{EQUAL, as_good, stands_idle, walks_less_still};
use super::evenings;
use super::nothing::nothing;
use super::start_to_finish::{StartToFinish, of_projects};
use super::{Grounds, Recommendation, thrown_at};
use crate::experiment::{CandidateFindings, Comparison, LITTLE, Units};
use crate::report::about;
use crate::report::answer::order_noun;
use crate::report::difference::is_shown;
use crate::report::overload::is_growing;
use crate::report::per_order::per_order;
use crate::report::projects::one;
use crate::report::sentence::{counted, listed};
/// From this share on it is more than a little.
const MUCH: f64 = 0.05;

/// The first line: what decides.
pub fn worth(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> String {
    let done = grounds.findings.candidates.iter();
    if done.map(|found| found.orders_done).all(|done| done == 0.0) {
        return "No order is finished in the measured time: a longer run (`until`) would tell."
            .to_owned();
    }
    let mut sentences = Vec::new();
    match (choice.walks_less, choice.is_sooner) {
        (Some(compared), sooner) => {
            let gain = Gain::of(grounds, compared);
            sentences.push(format!("{} {}", verdict(grounds, &gain), saves(&gain)));
            sentences.extend(when_done(grounds, &gain));
            let other = sooner.filter(|sooner| sooner.other != compared.other);
            sentences.extend(other.and_then(|other| also_sooner(grounds, &gain, other)));
        }
        (None, Some(compared)) => {
            let gain = Gain::of(grounds, compared);
            sentences.push(format!(
                "{} with {} {}.",
                verdict(grounds, &gain),
                gain.name,
                done_sooner(&gain)
            ));
            sentences.extend(match evenings::done_in_both(grounds, compared) {
                None => all_done_after(grounds, &gain),
                evenings => evenings,
            });
            let walking = &compared.walking.difference;
            if is_shown(walking) && walking.mean > 0.0 {
                sentences.push(format!(
                    "But it takes {} more walking {} ({}).",
                    about::length(gain.units, -gain.walking),
                    gain.per,
                    about::share(-gain.walking_share)
                ));
            } else if grounds.findings.candidates[choice.base].walking.mean > 0.0 {
                sentences.push(format!(
                    "The runs show no layout with less walking than {}.",
                    gain.base_name
                ));
            }
        }
        (None, None) => {
            sentences.extend(thrown_at::in_base(grounds, choice.base));
            sentences.push(nothing(grounds, choice));
        }
    }
    if choice.chosen != choice.base {
        sentences.extend(as_good(grounds, choice));
        let saves = |compared: &Comparison| Gain::of(grounds, compared).walking;
        sentences.extend(walks_less_still(grounds, choice, saves));
        sentences.extend(stands_idle(grounds, (choice.base, choice.chosen)));
    }
    sentences.extend(with_fewer_faults(grounds, choice));
    sentences.join(" ")
}

/// Whether the layout that the answer is about saves more than a little time.
pub fn is_worth_moving(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> bool {
    let compared = choice.walks_less.or(choice.is_sooner);
    compared.is_some_and(|compared| Gain::of(grounds, compared).share() >= LITTLE)
}

/// What changing from the base to another candidate brings, for one order.
struct Gain<'a> {
    compared: &'a Comparison,
    base_name: String,
    name: String,
    /// Metres.
    walking: f64,
    walking_share: f64,
    /// Seconds of walking, and of hands-on time.
    time: f64,
    hands_on: f64,
    /// Of every project that both build.
    times: Vec<StartToFinish>,
    per: String,
    units: Units,
    keeps_hours: bool,
}

impl<'a> Gain<'a> {
    fn of(grounds: &Grounds<'_>, compared: &'a Comparison) -> Gain<'a> {
        let found = |index: usize| &grounds.findings.candidates[index];
        let (base, other) = (found(compared.base), found(compared.other));
        // Of one order only where both finish the same number, all of one project.
        let same =
            base.orders_done > 0.0 && (base.built() - other.built()).abs() <= EQUAL * base.built();
        let (orders, per) = match same {
            true => {
                let per = per_order(other);
                (per.orders, per.unit)
            }
            false => (1.0, "in one run".to_owned()),
        };
        let walked = |found: &CandidateFindings| -> f64 {
            found.crew.iter().map(|person| person.walking).sum()
        };
        let several = grounds.findings.has_several_projects();
        let times = match several {
            _ if is_growing(grounds.findings, compared) => Vec::new(),
            true => (compared.projects.iter())
                .filter_map(|of| Some(StartToFinish::new(one(&of.name), &of.lead_time?)))
                .collect(),
            false => (compared.lead_time.iter())
                .map(|paired| StartToFinish::new(order_noun(other), paired))
                .collect(),
        };
        Gain {
            compared,
            base_name: grounds.quoted(compared.base),
            name: grounds.quoted(compared.other),
            walking: (base.walking.mean - other.walking.mean) / orders,
            walking_share: match base.walking.mean > 0.0 {
                true => 1.0 - other.walking.mean / base.walking.mean,
                false => 0.0,
            },
            time: (walked(base) - walked(other)) / orders,
            hands_on: base.hands_on / orders,
            times,
            per,
            units: grounds.findings.units,
            keeps_hours: other.hours.is_some(),
        }
    }

    /// The larger of the shares of time that it saves.
    fn share(&self) -> f64 {
        let share = |part: f64, whole: f64| if whole > 0.0 { part / whole } else { 0.0 };
        let hands_on = share(self.time, self.hands_on);
        hands_on.max(self.sooner_share())
    }

    /// By what share of its time the project takes longer for which that is most; 0 if none does.
    fn later_share(&self) -> f64 {
        let shares = self.times.iter().map(|one| -one.share());
        shares.fold(0.0, f64::max)
    }

    /// By what share of its time the project is done sooner for which that is most; negative if all are later.
    fn sooner_share(&self) -> f64 {
        let shares = self.times.iter().map(StartToFinish::share);
        shares.reduce(f64::max).unwrap_or(0.0)
    }
}

/// "the fault of A is", "the 3 faults of A are".
fn faults(count: usize, of: &str) -> (String, &'static str) {
    match count {
        1 => (format!("the fault of {of}"), "is"),
        count => (format!("the {count} faults of {of}"), "are"),
    }
}

/// Another candidate with fewer faults than the one that is spoken of. Of that and of the base the verdict tells already,
/// if it is not the base.
fn with_fewer_faults(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let faults = grounds.faults(choice.chosen);
    let drawn = (0..grounds.fits.len()).filter(|&index| grounds.fits[index].is_some());
    let fewest = drawn.min_by_key(|&index| (grounds.faults(index), index != choice.base))?;
    let (name, chosen) = (grounds.quoted(fewest), grounds.quoted(choice.chosen));
    let is_told = choice.chosen != choice.base;
    let and = match is_told {
        true => String::new(),
        false => format!(", and {chosen} has {faults}"),
    };
    match grounds.faults(fewest) {
        fewer if fewer >= faults || is_told && fewest == choice.base => None,
        0 => Some(format!("But {name} has no fault{and}.")),
        fewer => Some(format!(
            "But {name} has only {}{and}.",
            counted(fewer, "fault")
        )),
    }
}

/// How to take what is said next. Faults are heard of in the same sentence.
fn verdict(grounds: &Grounds<'_>, gain: &Gain<'_>) -> String {
    let base = grounds.faults(gain.compared.base);
    let other = grounds.faults(gain.compared.other);
    let (base_name, name) = (&gain.base_name, &gain.name);
    let share = gain.share();
    let is_same_day = evenings::changes_date(gain.compared) == Some(false);
    let between = (gain.compared.base, gain.compared.other);
    if other == 0
        && let Some(thrown_at) = thrown_at::verdict(grounds, between, share >= LITTLE)
    {
        return thrown_at;
    }
    match (base, other) {
        (_, left) if left > 0 => {
            let (left, are) = faults(left, name);
            let than = match base {
                0 => format!(" ({base_name} has none)"),
                base => format!(" ({base_name} has {base})"),
            };
            format!("Not before {left} {are} mended{than}:")
        }
        (0, _) if gain.later_share() >= LITTLE.max(share) => "No:".to_owned(),
        (0, _) if gain.later_share() >= LITTLE => "Less walking, but no sooner:".to_owned(),
        (0, _) if share < LITTLE => "Hardly, by the time it saves:".to_owned(),
        (0, _) if is_same_day => format!(
            "Less walking, but {}:",
            evenings::none_sooner(&grounds.findings.candidates[gain.compared.other])
        ),
        (0, _) if share < MUCH => "A little:".to_owned(),
        (0, _) => "Yes:".to_owned(),
        (base, _) => {
            let (faults, _) = faults(base, base_name);
            match share < LITTLE {
                true => format!("Move for {faults}, not for the time:"),
                false if is_same_day => format!("Move for {faults}, not for the date:"),
                false => format!("Yes, for {faults} and for the time:"),
            }
        }
    }
}

fn saves(gain: &Gain<'_>) -> String {
    let (name, per) = (&gain.name, &gain.per);
    let walking = about::length(gain.units, gain.walking);
    let share = about::share(gain.walking_share);
    let mut says = format!("{name} saves {walking} of walking {per} ({share})");
    if gain.time > 0.0 && gain.hands_on > 0.0 {
        says.push_str(&format!(
            ", which is {} of {} hands-on",
            about::time(gain.time),
            about::work(gain.hands_on)
        ));
    }
    format!("{says}.")
}

/// When orders are done: on which evening in a shop that keeps hours, and else how long they take.
fn when_done(grounds: &Grounds<'_>, gain: &Gain<'_>) -> Vec<String> {
    match evenings::done_in_both(grounds, gain.compared) {
        Some(evenings) => vec![evenings],
        None => start_to_finish(gain)
            .into_iter()
            .chain(all_done_after(grounds, gain))
            .collect(),
    }
}

/// When the last order is done, where there are several and times are spoken of.
fn all_done_after(grounds: &Grounds<'_>, gain: &Gain<'_>) -> Option<String> {
    if gain.times.is_empty() {
        return None;
    }
    all_done_in_both(grounds, gain.compared.base, gain.compared.other)
}

/// How the time from start to finish changes along.
fn start_to_finish(gain: &Gain<'_>) -> Option<String> {
    match &gain.times[..] {
        [] => None,
        [only] => Some(only.says(gain.time)),
        all => Some(of_projects(all)),
    }
}

/// Another candidate that is done sooner by more than a little.
fn also_sooner(grounds: &Grounds<'_>, spoken_of: &Gain<'_>, other: &Comparison) -> Option<String> {
    let gain = Gain::of(grounds, other);
    if gain.sooner_share() - spoken_of.sooner_share() < LITTLE {
        return None;
    }
    let faults = match grounds.faults(other.other) {
        0 => String::new(),
        1 => ", but it has a fault".to_owned(),
        count => format!(", but it has {count} faults"),
    };
    if let Some(evenings) = evenings::done_in_both(grounds, other) {
        let is_another_day = evenings::changes_date(other) != Some(false);
        return is_another_day
            .then(|| format!("To be done sooner, take {}{faults}. {evenings}", gain.name));
    }
    Some(format!(
        "To be done sooner: with {} {}{faults}.",
        gain.name,
        done_sooner(&gain)
    ))
}

/// "a side table is done 13 min sooner (8 % of 2½ h)", for each project that is; where the shop keeps hours, its evenings
/// say by how much.
fn done_sooner(gain: &Gain<'_>) -> String {
    let sooner = gain.times.iter().filter(|one| one.share() > 0.0);
    let sooner: Vec<String> = sooner
        .map(|one| match gain.keeps_hours {
            true => format!("{} is done sooner", one.order),
            false => format!("{} {}", one.order, one.done_sooner()),
        })
        .collect();
    listed(&sooner, "and")
}
