//! Times of shop time that come again every week: when somebody is there, or when it has to be quiet.
//!
//! Between the closing of one session and the opening of the next lies no shop time, so that two times that are
//! separated by nothing else are one here; whoever asks what a closing interrupts asks the calendar.

use crate::units::{Span, Time};

/// Stretches of shop time, each with its end left out, again every week.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeeklyTimes {
    /// Microseconds after the beginning of a week, in order; they neither overlap nor touch, unless the last one goes on
    /// with the first one of the next week.
    spans: Vec<(i64, i64)>,
    /// Microseconds of shop time in a week.
    week: i64,
}

impl WeeklyTimes {
    /// Of stretches within a week of so much shop time.
    pub fn new(mut spans: Vec<(i64, i64)>, week: Span) -> WeeklyTimes {
        spans.retain(|(from, to)| from < to);
        spans.sort_unstable();
        let mut apart: Vec<(i64, i64)> = Vec::new();
        for (from, to) in spans {
            match apart.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => apart.push((from, to)),
            }
        }
        WeeklyTimes {
            spans: apart,
            week: week.micros(),
        }
    }

    pub fn are_never(&self) -> bool {
        self.spans.is_empty()
    }

    pub fn are_always(&self) -> bool {
        self.spans == [(0, self.week)]
    }

    fn with(&self, spans: Vec<(i64, i64)>) -> WeeklyTimes {
        WeeklyTimes::new(spans, Span::from_micros(self.week))
    }

    /// What is in either.
    pub fn or(&self, other: &WeeklyTimes) -> WeeklyTimes {
        self.with([&*self.spans, &other.spans].concat())
    }

    /// What is in both.
    pub fn and(&self, other: &WeeklyTimes) -> WeeklyTimes {
        let pairs =
            (self.spans.iter()).flat_map(|one| other.spans.iter().map(move |two| (one, two)));
        let both = pairs.map(|(one, two)| (one.0.max(two.0), one.1.min(two.1)));
        self.with(both.collect())
    }

    /// All other times.
    pub fn other_times(&self) -> WeeklyTimes {
        let ends = [0].into_iter().chain(self.spans.iter().map(|span| span.1));
        let begins = self.spans.iter().map(|span| span.0).chain([self.week]);
        self.with(ends.zip(begins).collect())
    }

    /// The beginning of the week of an instant, and how long ago that was.
    fn week_of(&self, at: Time) -> (i64, i64) {
        let within = at.micros().rem_euclid(self.week);
        (at.micros() - within, within)
    }

    pub fn hold(&self, at: Time) -> bool {
        let (_, within) = self.week_of(at);
        self.spans
            .iter()
            .any(|span| span.0 <= within && within < span.1)
    }

    /// The first beginning or end behind an instant; never if there is none.
    pub fn change_after(&self, at: Time) -> Time {
        let (week, within) = self.week_of(at);
        let last = self.spans.last().map(|span| span.1);
        let goes_on = self.hold(Time::START) && last == Some(self.week);
        let ends = self.spans.iter().flat_map(|span| [span.0, span.1]);
        let ends = ends.filter(|end| !(goes_on && [0, self.week].contains(end)));
        let later = ends.clone().find(|end| *end > within);
        let next = later.or_else(|| ends.clone().next().map(|first| self.week + first));
        next.map_or(Time::NEVER, |next| Time::from_micros(week + next))
    }

    /// When the times that hold at an instant are over; never if they never are.
    pub fn end_after(&self, at: Time) -> Time {
        if self.are_always() {
            return Time::NEVER;
        }
        let mut end = at;
        while self.hold(end) {
            end = self.change_after(end);
        }
        end
    }

    /// When they next hold, at an instant or behind it; never if they never do.
    pub fn begin_from(&self, at: Time) -> Time {
        if self.are_never() {
            return Time::NEVER;
        }
        let mut begin = at;
        while !self.hold(begin) {
            begin = self.change_after(begin);
        }
        begin
    }

    /// The first instant at which so much of these times has gone by.
    pub fn after(&self, from: Time, lasts: Span) -> Time {
        if lasts.is_zero() || self.are_never() {
            return from;
        }
        let all: i64 = self.spans.iter().map(|span| span.1 - span.0).sum();
        // Whole weeks, but for what is left of one at the least.
        let weeks = (lasts.micros() - 1) / all;
        let mut at = Time::from_micros(from.micros() + weeks * self.week);
        let mut left = Span::from_micros(lasts.micros() - weeks * all);
        loop {
            let begin = self.begin_from(at);
            let end = self.end_after(begin);
            if end == Time::NEVER || left.micros() <= (end - begin).micros() {
                return begin + left;
            }
            left -= end - begin;
            at = end;
        }
    }

    /// The parts of a stretch of time in which they hold.
    pub fn between(&self, from: Time, to: Time) -> Vec<(Time, Time)> {
        let mut all = Vec::new();
        let mut at = self.begin_from(from);
        while at < to {
            let end = self.end_after(at).min(to);
            all.push((at, end));
            at = match end < to {
                true => self.begin_from(end),
                false => end,
            };
        }
        all
    }

    /// How much of a stretch of time lies in these.
    pub fn part_of(&self, from: Time, to: Time) -> Span {
        let parts = self.between(from, to).into_iter();
        parts.map(|(from, to)| to - from).sum()
    }

    /// All beginnings in the first week.
    pub fn begins(&self) -> impl Iterator<Item = Time> {
        self.spans.iter().map(|span| Time::from_micros(span.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn times(spans: &[(i64, i64)]) -> WeeklyTimes {
        WeeklyTimes::new(spans.to_vec(), Span::from_micros(100))
    }

    fn at(micros: i64) -> Time {
        Time::from_micros(micros)
    }

    #[test]
    fn they_come_again_every_week_and_go_on_over_its_end() {
        let some = times(&[(90, 100), (0, 10), (40, 50), (45, 60)]);
        let holds = |micros: i64| some.hold(at(micros));
        assert!([0, 9, 40, 59, 90, 199, 209].into_iter().all(holds));
        assert!(![10, 39, 60, 89, 110, 210].into_iter().any(holds));
        assert_eq!(some.end_after(at(95)), at(110));
        assert_eq!(some.end_after(at(20)), at(20));
        assert_eq!(some.begin_from(at(60)), at(90));
        assert_eq!(some.begin_from(at(41)), at(41));
        let changes = [0, 10, 59, 90, 100].map(|micros| some.change_after(at(micros)).micros());
        assert_eq!(changes, [10, 40, 60, 110, 110]);
        assert_eq!(times(&[]).change_after(at(3)), Time::NEVER);
        assert_eq!(times(&[(0, 100)]).end_after(at(3)), Time::NEVER);
    }

    #[test]
    fn so_much_of_them_goes_by() {
        let some = times(&[(0, 10), (40, 60)]);
        for (from, lasts, end) in [
            (0, 10, 10),
            (0, 11, 41),
            (5, 25, 60),
            (20, 0, 20),
            (20, 31, 141),
            (0, 90, 260),
        ] {
            let end_found = some.after(at(from), Span::from_micros(lasts));
            assert_eq!(end_found, at(end), "{from} {lasts}");
            assert_eq!(some.part_of(at(from), end_found).micros(), lasts);
        }
        assert_eq!(
            times(&[(0, 100)]).after(at(7), Span::from_micros(1000)),
            at(1007)
        );
    }

    #[test]
    fn sets_of_them() {
        let (one, two) = (times(&[(0, 30), (50, 100)]), times(&[(20, 60)]));
        assert_eq!(one.and(&two), times(&[(20, 30), (50, 60)]));
        assert_eq!(one.or(&two), times(&[(0, 100)]));
        assert!(one.or(&two).are_always());
        assert_eq!(one.other_times(), times(&[(30, 50)]));
        assert_eq!(two.other_times(), times(&[(0, 20), (60, 100)]));
        assert!(times(&[(0, 100)]).other_times().are_never());
        assert_eq!(
            one.between(at(25), at(155)),
            [(at(25), at(30)), (at(50), at(130)), (at(150), at(155))]
        );
    }
}
