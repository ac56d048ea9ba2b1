//! When the shop is open, and what o'clock it is after so much work.
//!
//! *Shop time* runs only while work can be done; the *calendar* always does. Both begin at 0 with the run. The shop
//! time of a moment of the calendar is piecewise linear: it rises by as much as the calendar does while work can be
//! done, and stands still otherwise. Whole microseconds go in and come out, so every answer is exact.

use super::WeeklyTimes;
use crate::units::{Moment, Span, Time};

/// Microseconds in a day.
const DAY: i64 = 86_400_000_000;
/// Microseconds in a week.
const WEEK: i64 = 7 * DAY;

/// The days of a week, as files name them.
pub const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// A time of one day, again every week, in which the shop is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpeningTime {
    /// From 0, Monday, to 6.
    pub weekday: u32,
    /// After midnight.
    pub open: Span,
    /// After `open`, at most 24 h.
    pub close: Span,
    /// Before work begins, and after it has ended; together less than the time from `open` to `close`.
    pub set_up: Span,
    pub tidy_up: Span,
}

/// One time in which work can be done without a break.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Session {
    /// From the first in which work can be done after the run begins, which is 0.
    pub number: i64,
    /// When work begins, and when it ends.
    pub opens: Moment,
    pub closes: Moment,
    /// Shop time at its beginning.
    pub from: Time,
    /// Shop time at which work is next interrupted: at the end of the last of the sessions that touch this one.
    pub stretch_ends: Time,
}

/// When work can be done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Calendar {
    /// Shop time and calendar are the same.
    #[default]
    AlwaysOpen,
    Weekly(WeeklySessions),
}

/// The same sessions every week.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeeklySessions {
    /// Of the week that begins with the run, in the order of time; they do not overlap.
    sessions: Vec<WorkingTime>,
    /// As they were given, by weekday and time.
    opening_times: Vec<OpeningTime>,
    /// Microseconds of shop time in a week.
    open_in_week: i64,
    /// The day on which the run begins, from 0, Monday.
    starts_on: u32,
}

/// Microseconds after the beginning of such a week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct WorkingTime {
    opens: i64,
    closes: i64,
    /// Shop time of the week before it opens.
    before: i64,
    /// Shop time from its opening to the next interruption; None where there never is one.
    stretch: Option<i64>,
}

/// The shop time from each session's opening to the next interruption.
fn tell_stretches(sessions: &mut [WorkingTime]) {
    let count = sessions.len();
    let touches_next = |sessions: &[WorkingTime], nth: usize| match sessions.get(nth + 1) {
        Some(next) => sessions[nth].closes == next.opens,
        None => sessions[nth].closes == sessions[0].opens + WEEK,
    };
    for nth in 0..count {
        let mut stretch = 0;
        let mut last = nth;
        // Around the week once at the most: then there is no interruption.
        let is_interrupted = (0..count).any(|further| {
            last = (nth + further) % count;
            stretch += sessions[last].closes - sessions[last].opens;
            !touches_next(sessions, last)
        });
        sessions[nth].stretch = is_interrupted.then_some(stretch);
    }
}

impl WeeklySessions {
    /// A run that begins at 0:00 on a weekday, 0 being Monday. None without any opening time, or if one is longer than
    /// its day or has no time left for work, or if two of them overlap.
    pub fn new(opening_times: &[OpeningTime], starts_on: u32) -> Option<WeeklySessions> {
        let mut opening: Vec<(i64, i64, i64, i64)> = (opening_times.iter())
            .map(|time| {
                let day = i64::from((time.weekday + 7 - starts_on % 7) % 7) * DAY;
                let [open, close] = [time.open, time.close].map(|at| day + at.micros());
                let (opens, closes) = (open + time.set_up.micros(), close - time.tidy_up.micros());
                (open, close, opens, closes)
            })
            .collect();
        opening.sort_unstable();
        let is_sound = |time: &OpeningTime| {
            let no_time = Span::ZERO;
            time.weekday < 7
                && time.open >= no_time
                && time.close.micros() <= DAY
                && time.set_up >= no_time
                && time.tidy_up >= no_time
                && time.open + time.set_up + time.tidy_up < time.close
        };
        let is_apart = opening.windows(2).all(|two| two[0].1 <= two[1].0);
        if opening.is_empty() || !is_apart || !opening_times.iter().all(is_sound) {
            return None;
        }
        let mut before = 0;
        let sessions = opening.into_iter().map(|(_, _, opens, closes)| {
            let working = WorkingTime {
                opens,
                closes,
                before,
                stretch: None,
            };
            before += closes - opens;
            working
        });
        let mut sessions: Vec<WorkingTime> = sessions.collect();
        tell_stretches(&mut sessions);
        let mut opening_times = opening_times.to_vec();
        opening_times.sort_by_key(|time| (time.weekday, time.open));
        Some(WeeklySessions {
            sessions,
            opening_times,
            open_in_week: before,
            starts_on: starts_on % 7,
        })
    }

    /// A session by its number.
    fn session(&self, number: i64) -> Session {
        let in_week = self.sessions.len() as i64;
        let (week, nth) = (number.div_euclid(in_week), number.rem_euclid(in_week));
        let WorkingTime {
            opens,
            closes,
            before,
            stretch,
        } = self.sessions[nth as usize];
        let from = Time::from_micros(week * self.open_in_week + before);
        Session {
            number,
            opens: Moment::from_micros(week * WEEK + opens),
            closes: Moment::from_micros(week * WEEK + closes),
            from,
            stretch_ends: stretch.map_or(Time::NEVER, |stretch| from + Span::from_micros(stretch)),
        }
    }

    /// The number of the first session that ends after a moment.
    fn number_at(&self, moment: Moment) -> i64 {
        let (week, rest) = (
            moment.micros().div_euclid(WEEK),
            moment.micros().rem_euclid(WEEK),
        );
        let over = self
            .sessions
            .partition_point(|session| session.closes <= rest);
        week * self.sessions.len() as i64 + over as i64
    }

    /// The number of the first session in which there is more shop time than this, or as much where `also_at_its_end`.
    fn number_with(&self, time: Time, also_at_its_end: bool) -> i64 {
        let at_its_end = i64::from(also_at_its_end);
        // Whatever falls on the end of a session is the last of it, or else the first of the next one.
        let micros = time.micros() - at_its_end;
        let (week, rest) = (
            micros.div_euclid(self.open_in_week),
            micros.rem_euclid(self.open_in_week),
        );
        let begun = self
            .sessions
            .partition_point(|session| session.before <= rest);
        week * self.sessions.len() as i64 + begun as i64 - 1
    }
}

impl Calendar {
    pub fn is_always_open(&self) -> bool {
        matches!(self, Calendar::AlwaysOpen)
    }

    /// The session that lasts at a moment, or else the next one; of two that touch, the second.
    pub fn session_at(&self, moment: Moment) -> Session {
        match self {
            Calendar::AlwaysOpen => Session {
                number: 0,
                opens: Moment::START,
                closes: Moment::NEVER,
                from: Time::START,
                stretch_ends: Time::NEVER,
            },
            Calendar::Weekly(weekly) => weekly.session(weekly.number_at(moment)),
        }
    }

    /// A session by its number; None where the shop is always open.
    pub fn session_numbered(&self, number: i64) -> Option<Session> {
        match self {
            Calendar::AlwaysOpen => None,
            Calendar::Weekly(weekly) => Some(weekly.session(number)),
        }
    }

    /// When the shop is open in a week from Monday on; nothing where it always is.
    pub fn opening_times(&self) -> &[OpeningTime] {
        match self {
            Calendar::AlwaysOpen => &[],
            Calendar::Weekly(weekly) => &weekly.opening_times,
        }
    }

    /// The same with one more session a week; None where that one overlaps another, and where the shop is always open.
    pub fn with(&self, more: OpeningTime) -> Option<Calendar> {
        let Calendar::Weekly(weekly) = self else {
            return None;
        };
        let mut times = weekly.opening_times.clone();
        times.push(more);
        WeeklySessions::new(&times, weekly.starts_on).map(Calendar::Weekly)
    }

    /// When work can first be done.
    pub fn first_opening(&self) -> Moment {
        self.session_at(Moment::START).opens
    }

    /// The shop time of a moment; while the shop is shut, that at which it was closed.
    pub fn time(&self, moment: Moment) -> Time {
        let Session { opens, from, .. } = self.session_at(moment);
        match moment > opens {
            true => from + (moment - opens),
            false => from,
        }
    }

    /// The moment at which what is begun before it and lasts until a shop time has ended: where the shop is closed at
    /// that time, the moment of closing.
    pub fn end_at(&self, time: Time) -> Moment {
        self.moment(time, true)
    }

    /// The moment from which on what begins at a shop time lasts: where the shop is closed at that time, the next
    /// opening.
    pub fn beginning_at(&self, time: Time) -> Moment {
        self.moment(time, false)
    }

    fn moment(&self, time: Time, is_end: bool) -> Moment {
        match self {
            Calendar::AlwaysOpen => Moment::from_micros(time.micros()),
            // Nothing that has ended by then was begun before.
            Calendar::Weekly(_) if is_end && time <= Time::START => self.first_opening(),
            Calendar::Weekly(weekly) => {
                let session = weekly.session(weekly.number_with(time, is_end));
                session.opens + (time - session.from)
            }
        }
    }

    /// How many sessions have working time between two moments; 0 where the shop is always open.
    pub fn sessions_between(&self, from: Moment, to: Moment) -> u64 {
        match self {
            Calendar::Weekly(weekly) if self.time(to) > self.time(from) => {
                let last = weekly.number_with(self.time(to), true);
                (last - weekly.number_at(from) + 1) as u64
            }
            _ => 0,
        }
    }

    /// The longest time between two interruptions; None where there is none.
    pub fn longest_stretch(&self) -> Option<Span> {
        match self {
            Calendar::AlwaysOpen => None,
            Calendar::Weekly(weekly) => {
                let stretches = weekly.sessions.iter().map(|session| session.stretch);
                stretches
                    .collect::<Option<Vec<i64>>>()?
                    .into_iter()
                    .max()
                    .map(Span::from_micros)
            }
        }
    }

    /// When work next has to stop, if it can be done at this moment: at the end of the last of the sessions that touch.
    pub fn closing_after(&self, moment: Moment) -> Moment {
        if !self.has_breaks() {
            return Moment::NEVER;
        }
        self.end_at(self.session_at(moment).stretch_ends)
    }

    /// Whether the shop is ever shut.
    pub fn has_breaks(&self) -> bool {
        self.longest_stretch().is_some()
    }

    /// Shop time in a week.
    pub fn open_in_week(&self) -> Span {
        match self {
            Calendar::AlwaysOpen => Span::WEEK,
            Calendar::Weekly(weekly) => Span::from_micros(weekly.open_in_week),
        }
    }

    /// What of somebody's own hours, which begin on the same day, lies in these.
    pub fn within(&self, hours: &WeeklySessions) -> WeeklyTimes {
        let spans = hours
            .sessions
            .iter()
            .map(|hours| (hours.opens, hours.closes));
        self.in_shop_time(spans)
    }

    /// What of a time of every day lies in these; it may go on after midnight.
    pub fn every_day(&self, from: Span, to: Span) -> WeeklyTimes {
        let (from, to) = (from.micros(), to.micros());
        let to = if to <= from { to + DAY } else { to };
        self.in_shop_time((0..7).map(|day| (day * DAY + from, day * DAY + to)))
    }

    /// Of times of the calendar that begin in the first week, and end before the third.
    fn in_shop_time(&self, spans: impl Iterator<Item = (i64, i64)>) -> WeeklyTimes {
        let time = |at: i64| self.time(Moment::from_micros(at)).micros();
        let mut all = Vec::new();
        for (from, to) in spans {
            all.push((time(from), time(to.min(WEEK))));
            all.push((0, time((to - WEEK).max(0))));
        }
        WeeklyTimes::new(all, self.open_in_week())
    }

    /// Shop time at which work is next interrupted that begins at some shop time, at the opening if that is one.
    pub fn stretch_from(&self, time: Time) -> Time {
        self.session_at(self.beginning_at(time)).stretch_ends
    }

    /// The shop time of every opening of a week.
    pub fn openings(&self) -> Vec<Time> {
        match self {
            Calendar::AlwaysOpen => vec![Time::START],
            Calendar::Weekly(weekly) => (weekly.sessions.iter())
                .map(|session| Time::from_micros(session.before))
                .collect(),
        }
    }

    /// How much longer the calendar takes than shop time, over whole weeks.
    pub fn stretch(&self) -> f64 {
        match self {
            Calendar::AlwaysOpen => 1.0,
            Calendar::Weekly(weekly) => WEEK as f64 / weekly.open_in_week as f64,
        }
    }

    /// How many days have passed before the one of a moment.
    pub fn day(&self, moment: Moment) -> i64 {
        moment.micros().div_euclid(DAY)
    }

    /// The day of a moment, from 0, Monday.
    pub fn weekday(&self, moment: Moment) -> u32 {
        let first = match self {
            Calendar::AlwaysOpen => 0,
            Calendar::Weekly(weekly) => i64::from(weekly.starts_on),
        };
        (first + self.day(moment)).rem_euclid(7) as u32
    }
}

#[cfg(test)]
mod tests;
