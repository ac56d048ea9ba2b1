//! A run in days: what is worked on from opening to closing, and what dries from midnight to midnight.

use crate::experiment::WorkedWeeks;
use crate::shop::Session;
use crate::units::{Moment, Span};

const DAY: i64 = 86_400_000_000;

/// One day of a run.
pub struct DayPlan {
    /// At midnight.
    pub begins: Moment,
    /// Seconds in which work can be done.
    pub open_s: f64,
    /// In the order in which it begins.
    pub worked: Vec<WorkedPart>,
    /// From when to when something dries, as shares of the day; they do not touch.
    pub dried: Vec<(f64, f64)>,
    /// The orders that are done.
    pub done: Vec<usize>,
}

/// Work on one day, in seconds of its open time.
pub struct WorkedPart {
    pub order: usize,
    pub operation: String,
    pub from_s: f64,
    pub to_s: f64,
    /// Parts at one time are in different lanes.
    pub lane: usize,
}

/// More things at a time share the last lane.
const LANES: usize = 4;

/// All days from the Monday of the week in which the run begins to the end of the week in which it ends; None before it.
pub fn day_plans(weeks: &WorkedWeeks) -> Vec<Option<DayPlan>> {
    let before = weeks.calendar.weekday(Moment::START) as usize;
    let last = weeks.dried.iter().map(|stretch| stretch.to).max();
    let end = last.map_or(weeks.end, |last| last.max(weeks.end));
    let days = 1
        + (end - Moment::START)
            .micros()
            .saturating_sub(1)
            .div_euclid(DAY);
    let days = (days as usize + before).next_multiple_of(7) - before;
    let none = (0..before).map(|_| None);
    none.chain((0..days).map(|day| Some(day_plan(weeks, day as i64))))
        .collect()
}

fn day_plan(weeks: &WorkedWeeks, day: i64) -> DayPlan {
    let begins = Moment::from_micros(day * DAY);
    let ends = begins + Span::from_micros(DAY);
    let sessions = sessions_of(weeks, begins, ends);
    let length = |session: &Session| (session.closes - session.opens).seconds();
    let mut worked: Vec<WorkedPart> = Vec::new();
    let mut before_s = 0.0;
    for session in &sessions {
        let parts = weeks.worked.iter().filter_map(|stretch| {
            let (from, to) = (
                stretch.from.max(session.opens),
                stretch.to.min(session.closes),
            );
            (to > from).then(|| WorkedPart {
                order: stretch.order,
                operation: stretch.operation.clone(),
                from_s: before_s + (from - session.opens).seconds(),
                to_s: before_s + (to - session.opens).seconds(),
                lane: 0,
            })
        });
        worked.extend(parts);
        before_s += length(session);
    }
    lay_in_lanes(&mut worked);
    let mut dried: Vec<(f64, f64)> = (weeks.dried.iter())
        .filter(|stretch| stretch.to > begins && stretch.from < ends)
        .map(|stretch| {
            let share = |moment: Moment| (moment - begins).seconds() / 86_400.0;
            (share(stretch.from.max(begins)), share(stretch.to.min(ends)))
        })
        .collect();
    dried.sort_by(|a, b| a.0.total_cmp(&b.0));
    // What is done at midnight is done on the day that ends then.
    let done = weeks.done.iter();
    let done = done.filter(|done| done.at > begins && done.at <= ends);
    DayPlan {
        begins,
        open_s: before_s,
        worked,
        dried: joined(&dried),
        done: done.map(|done| done.order).collect(),
    }
}

/// The sessions of a day.
fn sessions_of(weeks: &WorkedWeeks, begins: Moment, ends: Moment) -> Vec<Session> {
    let first = weeks.calendar.session_at(begins);
    let numbers = first.number..;
    let all = numbers.map_while(|number| weeks.calendar.session_numbered(number));
    all.take_while(|session| session.opens < ends).collect()
}

/// Gives each part the first lane that is free when it begins.
fn lay_in_lanes(parts: &mut [WorkedPart]) {
    let mut free_from = [f64::NEG_INFINITY; LANES];
    for part in parts {
        let free = free_from.iter().position(|&until| until <= part.from_s);
        part.lane = free.unwrap_or(LANES - 1);
        free_from[part.lane] = free_from[part.lane].max(part.to_s);
    }
}

/// Stretches in the order in which they begin, with those as one that overlap or touch.
fn joined(stretches: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for &(from, to) in stretches {
        match joined.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => joined.push((from, to)),
        }
    }
    joined
}
