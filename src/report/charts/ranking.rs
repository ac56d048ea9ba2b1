//! Which changes of the relief experiment are drawn, in which figure and with how many digits.

use super::meaning::{LESS, MORE, UNSHOWN};
use super::quantity::decimals;
use super::style::Fill;
use crate::experiment::{Goal, Relief, Reliefs};
use crate::report::difference::is_shown;
use crate::report::figure::{Shown, fixed, percent, time_unit};
use crate::statistics::{Estimate, Paired};

/// So many changes are drawn: the best, and the most harmful of the others.
const ROWS: usize = 25;
const HARMFUL: usize = 4;
/// No row is needed for a change that is certainly smaller than this share of the base.
const NOTICED: f64 = 1e-4;
/// Of larger figures one wants a larger unit.
const READABLE: f64 = 1_000.0;
pub const LEAD_TIME: &str = "lead time";
/// A change that is smaller than its digits show.
const ZERO: &str = "0";
/// A share that is written so is left out.
const NO_PERCENT: &str = "0 %";

/// Which figure is drawn, and how.
pub struct Ranking {
    pub what: &'static str,
    pub unit: Shown,
    /// Digits behind the decimal point, of all changes alike.
    pub digits: usize,
    /// Of the shop as it is.
    pub base_unit: Shown,
    pub better: &'static str,
    pub worse: &'static str,
    pub of: fn(&Relief) -> Option<Paired>,
}

impl Ranking {
    pub fn of(reliefs: &Reliefs) -> Ranking {
        match reliefs.goal {
            Goal::LeadTime => {
                let of = |relief: &Relief| relief.lead_time;
                let largest = largest(reliefs.list.iter().filter_map(of));
                let base = reliefs.list.iter().find_map(of);
                let base = base.map_or(0.0, |base| base.base_mean);
                // Changes and what is changed have one unit, unless that would make small or very large numbers.
                let base_unit = time_unit(base);
                let unit = match largest >= base_unit.per_unit {
                    true => base_unit,
                    false => time_unit(largest),
                };
                let is_readable = base / unit.per_unit < READABLE;
                Ranking {
                    what: LEAD_TIME,
                    unit,
                    digits: decimals(largest / unit.per_unit),
                    base_unit: if is_readable { unit } else { base_unit },
                    better: "shorter",
                    worse: "longer",
                    of,
                }
            }
            Goal::Throughput => {
                let of = |relief: &Relief| Some(relief.throughput);
                let largest = largest(reliefs.list.iter().filter_map(of));
                let base = reliefs.list.first().and_then(of);
                let is_fast = base.is_some_and(|base| base.base_mean >= 1.0);
                let (sign, per_unit) = if is_fast {
                    ("/h", 1.0)
                } else {
                    ("/d", 1.0 / 24.0)
                };
                Ranking {
                    what: "throughput, in orders",
                    unit: Shown { per_unit, sign },
                    digits: decimals(largest / per_unit),
                    base_unit: Shown { per_unit, sign },
                    better: "more",
                    worse: "less",
                    of,
                }
            }
        }
    }

    /// A change with its sign, without the unit.
    fn signed(&self, change: f64) -> String {
        let sign = if change < 0.0 { "−" } else { "+" };
        match fixed(change.abs() / self.unit.per_unit, self.digits) {
            zero if zero == ZERO => zero,
            figure => format!("{sign}{figure}"),
        }
    }

    /// What is certainly smaller than this is not drawn: it would be written as nothing, or is next to nothing of the base.
    fn noticed(&self, base: f64) -> f64 {
        let half_of_last_digit = 0.5 * 10f64.powi(-(self.digits as i32)) * self.unit.per_unit;
        half_of_last_digit.max(NOTICED * base.abs())
    }
}

/// The farthest end of any interval from zero.
fn largest(differences: impl Iterator<Item = Paired>) -> f64 {
    let ends = differences.map(|paired| {
        let half_width = paired.difference.half_width.unwrap_or(0.0);
        paired.difference.mean.abs() + half_width
    });
    ends.fold(0.0, f64::max)
}

/// A change that is drawn.
pub struct Ranked<'a> {
    pub relief: &'a Relief,
    pub difference: Estimate,
    pub base: f64,
    pub is_better: bool,
    pub may_be_best: bool,
}

impl Ranked<'_> {
    /// Less is what helps; of throughput it is more.
    pub fn fill(&self) -> Fill {
        match (is_shown(&self.difference), self.is_better) {
            (false, _) => UNSHOWN.fill,
            (true, true) => LESS.fill,
            (true, false) => MORE.fill,
        }
    }
}

/// The changes that are drawn, and what is to be said of the others.
pub fn rows<'a>(reliefs: &'a Reliefs, figure: &Ranking) -> (Vec<Ranked<'a>>, Vec<String>) {
    let (mut unmeasured, mut without_effect, mut noticed) = (0, 0, 0.0);
    let mut rows = Vec::new();
    for (index, relief) in reliefs.list.iter().enumerate() {
        let Some(paired) = (figure.of)(relief) else {
            unmeasured += 1;
            continue;
        };
        let least = figure.noticed(paired.base_mean);
        if largest([paired].into_iter()) < least {
            noticed = least.max(noticed);
            without_effect += 1;
            continue;
        }
        let towards = relief.towards(reliefs.goal);
        rows.push(Ranked {
            relief,
            difference: paired.difference,
            base: paired.base_mean,
            is_better: towards.is_some_and(|towards| towards.mean < 0.0),
            may_be_best: reliefs.in_question.contains(&index),
        });
    }
    let mut left_out = Vec::new();
    if without_effect > 0 {
        left_out.push(format!(
            "{without_effect} with a change of less than {} {}",
            fixed(noticed / figure.unit.per_unit, figure.digits + 1),
            figure.unit.sign
        ));
    }
    if unmeasured > 0 {
        left_out.push(format!("{unmeasured} with which no order is done"));
    }
    if rows.len() > ROWS {
        // What makes it worse is a lesson too.
        let is_harmful = |row: &Ranked| !row.is_better && is_shown(&row.difference);
        let harmful = (rows[ROWS - HARMFUL..].iter().rev())
            .take_while(|row| is_harmful(row))
            .take(HARMFUL)
            .count();
        let rest: Vec<Ranked> = rows.drain(ROWS - harmful..rows.len() - harmful).collect();
        let means = || rest.iter().map(|row| row.difference.mean);
        let (least, most) = (
            means().fold(f64::INFINITY, f64::min),
            means().fold(f64::NEG_INFINITY, f64::max),
        );
        let worse = rest.iter().filter(|row| is_harmful(row)).count();
        let range = match rest.len() {
            1 => figure.signed(most),
            _ => format!("{} to {}", figure.signed(least), figure.signed(most)),
        };
        let shown = match worse {
            0 => String::new(),
            worse => format!("; {worse} shown to be {}", figure.worse),
        };
        let (count, unit) = (rest.len(), figure.unit.sign);
        left_out.push(format!("{count} between these ({range} {unit}{shown})"));
    }
    (rows, left_out)
}

/// The difference in the figure's unit and as a share of the base.
pub fn text(row: &Ranked, figure: &Ranking) -> String {
    let mean = row.difference.mean;
    let signed = figure.signed(mean);
    let absolute = format!("{signed} {}", figure.unit.sign);
    let fewer = match row.relief.is_at_a_cost() {
        true => ", fewer done",
        false => "",
    };
    // Of nothing, or of next to nothing, a share says nothing.
    let share = (mean / row.base).abs();
    let in_percent = percent(share);
    if share.is_nan() || share >= 10.0 || in_percent == NO_PERCENT || signed == ZERO {
        return format!("{absolute}{fewer}");
    }
    let sign = if mean < 0.0 { "−" } else { "+" };
    format!("{absolute} ({sign}{in_percent}){fewer}")
}
