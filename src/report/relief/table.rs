//! What each change brings, as a table.

use super::edits::{change_in_words, resource_in_words};
use super::effects::{evenings, few_orders, fewer, goal, is_better, told_share};
use super::money::money;
use crate::experiment::{Goal, Relief, ReliefKind, Reliefs};
use crate::report::about;
use crate::report::days::Days;
use crate::report::difference::is_shown;
use crate::report::figure::{Shown, fixed, length_unit, rate_unit, time_unit};
use crate::report::tables::{against, briefly_against, note, table, text};
use crate::statistics::Paired;

/// Columns of a terminal that has room for every figure of a change.
const WIDE: u16 = 140;

/// One row for each change, best first, those at the cost of some project last; differences from the shop as it is.
pub fn reliefs(reliefs: &Reliefs, width: u16) -> String {
    // Broken lines are hard to read, so what matters less is left to wide terminals and to the JSON.
    let is_wide = width >= WIDE;
    let shows_throughput = is_wide || reliefs.goal == Goal::Throughput;
    let several = reliefs.findings.has_several_projects();
    let lead_time = match several {
        true => "lead time,\nall projects",
        false => "lead time",
    };
    let mut header = vec!["what", "change", lead_time, "walking"];
    if shows_throughput {
        header.insert(3, "throughput");
    }
    if is_wide {
        header.push("hands-on");
    }
    let shows_price = reliefs
        .list
        .iter()
        .any(|relief| relief.trial.price.is_some());
    if shows_price {
        header.push("price");
    }
    let mut table = table(&header, 2, width);
    let crew = &reliefs.findings.candidates[0].crew;
    let length = length_unit(reliefs.findings.units);
    let unit = |figure: fn(&Relief) -> Option<Paired>| {
        let differences = reliefs.list.iter().filter_map(figure);
        let differences = differences.map(|paired| paired.difference);
        let shown: Vec<f64> = differences
            .filter(is_shown)
            .map(|difference| difference.mean.abs())
            .collect();
        common_unit(&shown)
    };
    let time = unit(|relief| relief.lead_time);
    let hands_on = unit(|relief| Some(relief.hands_on));
    for relief in &reliefs.list {
        let mut lead_time = relief.lead_time.map_or_else(
            || "no order finished".to_owned(),
            |paired| against(&paired, time),
        );
        // Lead time covers finished orders only; name the projects that finish fewer.
        let fewer = fewer(reliefs, relief);
        if !fewer.is_empty() {
            lead_time.push_str(&format!(", fewer {}", fewer.join(", ")));
        }
        let mut row = vec![
            resource_in_words(&relief.trial, crew).to_owned(),
            change_in_words(&relief.trial),
            lead_time,
            against(&relief.walking, length),
        ];
        if shows_throughput {
            let unit = rate_unit(relief.throughput.base_mean);
            row.insert(3, against(&relief.throughput, unit));
        }
        if is_wide {
            row.push(against(&relief.hands_on, hands_on));
        }
        if shows_price {
            row.push(relief.trial.price.map_or_else(String::new, money));
        }
        table.add_row(row);
    }
    text(table)
}

/// Where a change is another number of evenings in a week, what others are told in is no measure.
const CALENDAR_DAYS: Shown = Shown {
    per_unit: 86_400.0,
    sign: "calendar days",
};

/// A change of less than this share of the base is left out of the short table.
const WORTH_A_ROW: f64 = 0.01;

/// So many changes for the better are shown there, and so many for the worse.
const BETTER: usize = 10;
const WORSE: usize = 4;

/// The changes that matter most, best first and the worst last, with the digits that a decision needs; and how many
/// others were tried.
pub fn in_short(reliefs: &Reliefs, width: u16) -> (String, usize) {
    let what = match reliefs.goal {
        Goal::LeadTime if reliefs.findings.has_several_projects() => "start to\nfinish, all",
        Goal::LeadTime => "start to\nfinish",
        Goal::Throughput => "throughput",
    };
    let mut table = table(&["what", "change", what, "", "walking"], 2, width);
    let crew = &reliefs.findings.candidates[0].crew;
    let share = |relief: &Relief| told_share(reliefs, relief).unwrap_or(0.0);
    let matters = |relief: &&Relief| {
        let is_shown = is_shown(&goal(reliefs, relief).difference);
        is_shown && share(relief).abs() >= WORTH_A_ROW
    };
    let mut shown: Vec<&Relief> = reliefs.list.iter().filter(matters).collect();
    let better = shown.iter().filter(|relief| is_better(reliefs, relief));
    let better = better.count();
    let worse = shown.len() - better;
    let mut index = 0;
    shown.retain(|_| {
        index += 1;
        let is_first = index <= better.min(BETTER);
        is_first || index > better && index > better + worse.saturating_sub(WORSE)
    });
    for relief in &shown {
        let paired = goal(reliefs, relief);
        let unit = match (reliefs.goal, relief.trial.edit.kind()) {
            (Goal::Throughput, _) => rate_unit(paired.base_mean),
            (Goal::LeadTime, ReliefKind::Session) => CALENDAR_DAYS,
            (Goal::LeadTime, _) => time_unit(paired.difference.mean),
        };
        let fewer = fewer(reliefs, relief);
        let mut by = in_sessions(reliefs, relief).unwrap_or_else(|| briefly_against(&paired, unit));
        if !fewer.is_empty() {
            by.push_str(&format!(", fewer {}", fewer.join(", ")));
        }
        let sign = |value: f64| if value > 0.0 { "+" } else { "−" };
        let walking = relief.walking.difference;
        let walking = match is_shown(&walking) {
            true => {
                let metres = about::length(reliefs.findings.units, walking.mean);
                format!(
                    "{}{}",
                    sign(walking.mean),
                    metres.trim_start_matches("about ")
                )
            }
            false => "–".to_owned(),
        };
        let share = share(relief);
        table.add_row([
            resource_in_words(&relief.trial, crew).to_owned(),
            change_in_words(&relief.trial),
            by,
            match few_orders(reliefs) {
                true => String::new(),
                false => format!("{}{}", sign(share), about::share(share.abs())),
            },
            walking,
        ]);
    }
    let others = reliefs.list.len() - shown.len();
    if shown.is_empty() {
        let none = match reliefs.findings.candidates[0].orders_done {
            0.0 => "No order is finished, so there is nothing to compare changes by.",
            _ => "No change makes a difference of 1 % or more.",
        };
        return (note(none, width), others);
    }
    (text(table), others)
}

/// By how many evenings a change alters the time from start to finish in a shop that keeps hours, if the runs show that it
/// does; None of other shops, and where there are more evenings in a week.
fn in_sessions(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let hours = reliefs.findings.candidates[0].hours.as_ref()?;
    let evenings = evenings(reliefs, relief)?;
    is_shown(&evenings.difference).then(|| {
        let by = evenings.difference.mean;
        let sign = if by > 0.0 { "+" } else { "" };
        format!("{sign}{} {}s", fixed(by, 2), Days::of(hours).session())
    })
}

/// The unit of a column of times: that of the largest, or a smaller one for the sake of the smallest, as long as the
/// largest has no more digits than can be read.
fn common_unit(seconds: &[f64]) -> Shown {
    const FEWEST: f64 = 0.01;
    const MOST: f64 = 10_000.0;
    let largest = seconds.iter().copied().fold(0.0, f64::max);
    let visible = seconds.iter().copied().filter(|&size| size > 1e-3);
    let smallest = visible.fold(f64::INFINITY, f64::min);
    let first = time_unit(largest);
    let smaller = [(3_600.0, "h"), (60.0, "min"), (1.0, "s")]
        .map(|(per_unit, sign)| Shown { per_unit, sign })
        .into_iter()
        .filter(|unit| unit.per_unit < first.per_unit && largest / unit.per_unit < MOST);
    let mut unit = first;
    for smaller in smaller {
        if smallest / unit.per_unit < FEWEST {
            unit = smaller;
        }
    }
    unit
}
