//! Whether changing to another candidate is worth it.

use super::{Grounds, Recommendation};
use crate::experiment::{CandidateFindings, Comparison, LITTLE, Units};
use crate::report::about;
use crate::report::answer::order_noun;
use crate::report::difference::is_shown;
use crate::report::sentence::{capital, without_article};

/// From this share on it is more than a little.
const MUCH: f64 = 0.05;

/// By what figures of a whole run are divided.
pub struct PerOrder {
    pub orders: f64,
    /// As in "per side table".
    pub unit: String,
}

/// Figures of one order where any is finished, else of the run.
pub fn per_order(found: &CandidateFindings) -> PerOrder {
    match found.orders_done > 0.0 {
        true => PerOrder {
            orders: found.orders_done,
            unit: format!("per {}", without_article(&order_noun(found))),
        },
        false => PerOrder {
            orders: 1.0,
            unit: "in one run".to_owned(),
        },
    }
}

/// The first line: what decides.
pub fn worth(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> String {
    let mut sentences = Vec::new();
    match (choice.walks_less, choice.is_sooner) {
        (Some(compared), sooner) => {
            let gain = Gain::of(grounds, compared);
            sentences.push(format!("{} {}", verdict(grounds, &gain), saves(&gain)));
            sentences.extend(start_to_finish(grounds, &gain));
            let other = sooner.filter(|sooner| sooner.other != compared.other);
            sentences.extend(other.and_then(|other| also_sooner(grounds, &gain, other)));
        }
        (None, Some(compared)) => {
            let gain = Gain::of(grounds, compared);
            let order = order(grounds, &gain);
            sentences.push(format!(
                "{} with {} {order} {}.",
                verdict(grounds, &gain),
                gain.name,
                done_sooner(&gain)
            ));
            sentences.push(format!(
                "The runs show no layout with less walking than {}.",
                gain.base_name
            ));
        }
        (None, None) => sentences.push(nothing(grounds, choice)),
    }
    sentences.join(" ")
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
    /// Seconds from start to finish, if the runs show any.
    sooner: Option<f64>,
    lead_time: f64,
    per: String,
    units: Units,
}

impl<'a> Gain<'a> {
    fn of(grounds: &Grounds<'_>, compared: &'a Comparison) -> Gain<'a> {
        let found = |index: usize| &grounds.findings.candidates[index];
        let (base, other) = (found(compared.base), found(compared.other));
        // Of one order only where both finish the same number.
        let same = base.orders_done == other.orders_done && base.orders_done > 0.0;
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
        let lead_time = compared.lead_time;
        let difference = lead_time.map(|paired| paired.difference);
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
            sooner: difference
                .filter(is_shown)
                .map(|difference| -difference.mean),
            lead_time: lead_time.map_or(0.0, |paired| paired.base_mean),
            per,
            units: grounds.findings.units,
        }
    }

    /// The larger of the shares of time that it saves.
    fn share(&self) -> f64 {
        let share = |part: f64, whole: f64| if whole > 0.0 { part / whole } else { 0.0 };
        let hands_on = share(self.time, self.hands_on);
        hands_on.max(share(self.sooner.unwrap_or(0.0), self.lead_time))
    }
}

/// "the fault of A is", "the 3 faults of A are".
fn faults(count: usize, of: &str) -> (String, &'static str) {
    match count {
        1 => (format!("the fault of {of}"), "is"),
        count => (format!("the {count} faults of {of}"), "are"),
    }
}

/// How to take what is said next. Faults are heard of in the same sentence.
fn verdict(grounds: &Grounds<'_>, gain: &Gain<'_>) -> String {
    let base = grounds.faults(gain.compared.base);
    let other = grounds.faults(gain.compared.other);
    let (base_name, name) = (&gain.base_name, &gain.name);
    let share = gain.share();
    match (base, other) {
        (_, left) if left > 0 => {
            let (left, are) = faults(left, name);
            let than = match base {
                0 => String::new(),
                base => format!(" ({base_name} has {base})"),
            };
            format!("Not before {left} {are} mended{than}:")
        }
        (0, _) if share < LITTLE => "Hardly, by the time it saves:".to_owned(),
        (0, _) if share < MUCH => "A little:".to_owned(),
        (0, _) => "Yes:".to_owned(),
        (base, _) => {
            let (faults, _) = faults(base, base_name);
            match share < LITTLE {
                true => format!("Move for {faults}, not for the time:"),
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

/// How the time from start to finish changes along.
fn start_to_finish(grounds: &Grounds<'_>, gain: &Gain<'_>) -> Option<String> {
    gain.compared.lead_time?;
    let whole = about::time(gain.lead_time);
    let order = order(grounds, gain);
    let share = gain.sooner.map_or(0.0, |sooner| sooner / gain.lead_time);
    Some(match gain.sooner {
        Some(sooner) if share <= -LITTLE => format!(
            "But {order} takes {} longer from start to finish, of {whole}.",
            about::time(-sooner)
        ),
        Some(_) if share >= LITTLE => format!("{} {}.", capital(&order), done_sooner(gain)),
        _ => format!("Start to finish it takes {whole} in both."),
    })
}

/// "is done 13 min sooner (8 % of 2½ h)"
fn done_sooner(gain: &Gain<'_>) -> String {
    let sooner = gain.sooner.unwrap_or(0.0);
    format!(
        "is done {} sooner ({} of {})",
        about::time(sooner),
        about::share(sooner / gain.lead_time),
        about::time(gain.lead_time)
    )
}

/// Another candidate that is done sooner by more than a little.
fn also_sooner(grounds: &Grounds<'_>, spoken_of: &Gain<'_>, other: &Comparison) -> Option<String> {
    let gain = Gain::of(grounds, other);
    let more = gain.sooner.unwrap_or(0.0) - spoken_of.sooner.unwrap_or(0.0);
    if more < LITTLE * gain.lead_time {
        return None;
    }
    let faults = match grounds.faults(other.other) {
        0 => String::new(),
        1 => ", but it has a fault".to_owned(),
        count => format!(", but it has {count} faults"),
    };
    Some(format!(
        "To be done sooner: with {} {} {}{faults}.",
        gain.name,
        order(grounds, &gain),
        done_sooner(&gain)
    ))
}

fn order(grounds: &Grounds<'_>, gain: &Gain<'_>) -> String {
    order_noun(&grounds.findings.candidates[gain.compared.other])
}

/// No candidate is better than the base.
fn nothing(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> String {
    let base = grounds.quoted(choice.base);
    let longer = grounds.findings.comparisons.iter().any(|compared| {
        is_shown(&compared.walking.difference)
            || compared
                .lead_time
                .is_some_and(|paired| is_shown(&paired.difference))
    });
    let others = match &grounds.findings.comparisons[..] {
        [only] => grounds.quoted(only.other),
        _ => "any other".to_owned(),
    };
    match longer {
        true => format!("No: {base} walks least and is done soonest."),
        false => {
            format!(
                "No: the runs show no difference between {base} and {others}, neither in walking nor from start to finish."
            )
        }
    }
}
