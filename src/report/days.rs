//! Days and evenings: when something is done in a shop that keeps hours, as somebody says it who waits for it.

use super::sentence::counted_in_words;
use super::{about, figure};
use crate::experiment::{
    CandidateFindings, CandidateHours, Completion, CompletionChange, OrderSessions, ProjectFindings,
};
use crate::shop::{Calendar, Date, OpeningTime};
use crate::units::{Moment, Span};

/// From this time of day on, a session is one of the evening.
const EVENING: f64 = 17.0 * 3600.0;

/// Of at least so many runs it is said what happens in nine of ten.
const ENOUGH: u64 = 20;

const DAY_NAMES: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

/// The words for the calendar of one candidate.
#[derive(Clone, Copy)]
pub struct Days<'a> {
    calendar: &'a Calendar,
    starts: Option<Date>,
}

impl<'a> Days<'a> {
    pub fn new(calendar: &'a Calendar, starts: Option<Date>) -> Days<'a> {
        Days { calendar, starts }
    }

    pub fn of(hours: &'a CandidateHours) -> Days<'a> {
        Days::new(&hours.calendar, hours.starts)
    }

    /// What a session is called: an evening where all are in the evening and no day has two, a shop day where no day has two.
    pub fn session(&self) -> &'static str {
        let times = self.calendar.opening_times();
        let is_one_a_day = times.windows(2).all(|two| two[0].weekday != two[1].weekday);
        let are_evenings = times.iter().all(|time| time.open.seconds() >= EVENING);
        match (is_one_a_day, are_evenings) {
            (true, true) => "evening",
            (true, false) => "shop day",
            (false, _) => "session",
        }
    }

    /// What stands before the name of a session: "on the sixth evening", "in the sixth session".
    pub fn on(&self) -> &'static str {
        if self.session() == "session" {
            "in"
        } else {
            "on"
        }
    }

    /// Which session of the run it is, from 1, by the end of which all work is done that is done by a moment.
    pub fn number(&self, moment: Moment) -> u64 {
        self.calendar.sessions_between(Moment::START, moment).max(1)
    }

    fn opening(&self, number: u64) -> Moment {
        let session = self.calendar.session_numbered(number as i64 - 1);
        session.map_or(Moment::START, |session| session.opens)
    }

    /// "Thu 10 Dec", or "Thursday of the second week" where no date is known.
    pub fn date(&self, moment: Moment) -> String {
        day_of(self.calendar.day(moment), self.starts)
    }

    /// "Thu 10 Dec", or "Thu" where no date is known, for days that stand beside each other.
    pub fn short_date(&self, moment: Moment) -> String {
        let weekday = &DAY_NAMES[self.calendar.weekday(moment) as usize][..3];
        match self.starts {
            Some(starts) => {
                let date = starts.after(self.calendar.day(moment));
                format!("{weekday} {}", date.day_and_month())
            }
            None => weekday.to_owned(),
        }
    }

    /// 2026-12-10, where dates are known.
    pub fn iso_date(&self, moment: Moment) -> Option<String> {
        let date = self.starts?.after(self.calendar.day(moment));
        Some(date.to_string())
    }

    /// "the sixth evening, Thu 10 Dec"
    pub fn session_and_date(&self, moment: Moment) -> String {
        format!("{}, {}", self.nth(moment), self.session_date(moment))
    }

    /// "the sixth evening"
    fn nth(&self, moment: Moment) -> String {
        format!("the {} {}", ordinal(self.number(moment)), self.session())
    }

    fn session_date(&self, moment: Moment) -> String {
        self.date(self.opening(self.number(moment)))
    }

    /// "the sixth evening, Thu 10 Dec (from the fifth to the seventh in 9 of 10 runs)": when all is done in most runs, and
    /// when what then goes on in a shop that is shut ends on another day.
    pub fn done(&self, done: &Completion) -> String {
        let [early, late] = [done.p05, done.p95].map(|moment| self.number(moment));
        let range = match early < late && done.runs >= ENOUGH {
            true => format!(
                " (from the {} to the {} in 9 of 10 runs)",
                ordinal(early),
                ordinal(late)
            ),
            false => String::new(),
        };
        let last_work = self.opening(self.number(done.p50));
        let goes_on = match self.calendar.day(done.p50) > self.calendar.day(last_work) {
            true => format!(
                "; what goes on by itself, as drying does, ends on {}",
                self.date(done.p50)
            ),
            false => String::new(),
        };
        format!("{}{range}{goes_on}", self.session_and_date(done.p50))
    }

    /// "6th evening, Thu 10 Dec", as tables have it.
    pub fn briefly(&self, done: &Completion) -> String {
        let number = in_digits(self.number(done.p50));
        let date = self.session_date(done.p50);
        format!("{number} {}, {}", self.session(), date)
    }

    /// "5.9 evenings"
    pub fn sessions(&self, number: f64) -> String {
        counted_in_words(&about::count(number), self.session())
    }

    /// "3 evenings (4 or fewer for 9 in 10 orders)"
    pub fn per_order(&self, orders: &OrderSessions) -> String {
        let most = orders.sessions_p90;
        let more = match most > orders.sessions_p50 {
            true => format!(" ({most} or fewer for 9 in 10 orders)"),
            false => String::new(),
        };
        format!("{}{more}", self.sessions(orders.sessions_p50 as f64))
    }

    /// How all orders together are done, for those who want every figure.
    pub fn in_full(&self, done: &Completion) -> String {
        let half = self.session_and_date(done.p50);
        let most = self.session_and_date(done.p90);
        let mean = figure::number(done.sessions);
        let (on, session) = (self.on(), self.session());
        format!(
            "All is done {on} {half}, or before, in half of the runs, and {on} {most}, or before, in nine of ten: after \
             {mean} {session}s on average, counted from the first of the run. Lead time counts from release instead, on the \
             calendar, nights included."
        )
    }
}

/// The day on which everything is done in one candidate, in the words of its calendar.
pub fn all_done(found: &CandidateFindings) -> Option<(Days<'_>, Completion)> {
    let hours = found.hours.as_ref()?;
    Some((Days::of(hours), hours.all_done?))
}

/// When each of several projects is done, for those who want every figure; none where nobody can say that of one.
pub fn projects_done(found: &CandidateFindings) -> Option<String> {
    let days = Days::of(found.hours.as_ref()?);
    let done = |project: &ProjectFindings| {
        let done = project.hours?.all_done?;
        let dates = [done.p50, done.p90].map(|moment| days.session_and_date(moment));
        Some(match dates[0] == dates[1] {
            true => format!("{} {} {}", project.name, days.on(), dates[0]),
            false => format!(
                "{} {} {}, in nine of ten runs {} {}",
                project.name,
                days.on(),
                dates[0],
                days.on(),
                dates[1]
            ),
        })
    };
    let all: Vec<String> = found.projects.iter().filter_map(done).collect();
    (all.len() > 1).then(|| {
        format!(
            "By project, in half of the runs or before: {}.",
            all.join("; ")
        )
    })
}

/// "Thu 10 Dec", or "Thursday of the second week"; with the year where that is another one than that of the start: so many days after the one on which a run begins.
fn day_of(day: i64, starts: Option<Date>) -> String {
    let Some(starts) = starts else {
        let week = day.div_euclid(7) + 1;
        let weekday = DAY_NAMES[day.rem_euclid(7) as usize];
        return format!("{weekday} of the {} week", ordinal(week as u64));
    };
    let date = starts.after(day);
    let year = match date.year() == starts.year() {
        true => String::new(),
        false => format!(" {}", date.year()),
    };
    let weekday = DAY_NAMES[date.weekday() as usize];
    format!("{} {}{year}", &weekday[..3], date.day_and_month())
}

/// "by Thu 24 Dec", where a moment is the end of a day with a date, or "within 14 d of the start".
pub fn by(moment: Moment, starts: Option<Date>) -> String {
    match last_day(moment) {
        Some(day) if starts.is_some() => format!("by {}", day_of(day, starts)),
        _ => format!(
            "within {} of the start",
            figure::exact_time(moment.seconds())
        ),
    }
}

/// The day that ends at a moment, by how many have passed before it.
pub fn last_day(moment: Moment) -> Option<i64> {
    let days = moment.seconds() / 86_400.0;
    (days.fract() == 0.0 && days >= 1.0).then_some(days as i64 - 1)
}

/// What a single session is called.
pub fn called(time: &OpeningTime) -> &'static str {
    match time.open.seconds() >= EVENING {
        true => "evening",
        false => "session",
    }
}

/// "Wed 19:00 to 21:30"
pub fn opening(time: &OpeningTime) -> String {
    let clock = |at: Span| {
        let minutes = (at.seconds() / 60.0).round() as u64;
        format!("{}:{:02}", minutes / 60, minutes % 60)
    };
    let weekday = &DAY_NAMES[time.weekday as usize % DAY_NAMES.len()][..3];
    format!("{weekday} {} to {}", clock(time.open), clock(time.close))
}

/// What a table has of the time from start to finish in a shop that keeps hours: the evening on which all is done, or all
/// of one project, or else how many evenings an order takes. None where nothing is done, or always open.
pub fn briefly(found: &CandidateFindings, project: Option<&ProjectFindings>) -> Option<String> {
    let hours = found.hours.as_ref()?;
    let (all_done, per_order) = match project {
        None => (hours.all_done, hours.per_order?),
        Some(project) => {
            let of = project.hours?;
            (of.all_done, of.per_order)
        }
    };
    let days = Days::of(hours);
    Some(match all_done {
        Some(done) => days.briefly(&done),
        None => days.sessions(per_order.mean.sessions),
    })
}

/// Less than this many sessions or days are no difference in a table: runs end on whole ones, so that it is one of many runs
/// in which it is another.
const LEAST_TOLD: f64 = 0.05;

/// How a table says by how much all is done on another evening than in the base.
pub fn against(found: &CandidateFindings, change: &CompletionChange) -> Option<String> {
    let session = found
        .hours
        .as_ref()
        .map(|hours| Days::of(hours).session())?;
    let unit = if change.same_sessions { session } else { "day" };
    let is_same = change.mean.abs() < LEAST_TOLD;
    let sign = if change.mean > 0.0 { "+" } else { "" };
    Some(match is_same {
        true => format!("the same {unit}"),
        false => format!("{sign}{} {unit}s", figure::number(change.mean)),
    })
}

/// "12 of 100 runs"
pub fn of_runs(share: f64) -> String {
    match (100.0 * share).round() {
        0.0 => "fewer than 1 of 100 runs".to_owned(),
        100.0 if share < 1.0 => "more than 99 of 100 runs".to_owned(),
        100.0 => "all runs".to_owned(),
        of_100 => format!("{of_100} of 100 runs"),
    }
}

/// "sixth", "21st".
pub fn ordinal(number: u64) -> String {
    const WORDS: [&str; 13] = [
        "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth", "eleventh", "twelfth",
    ];
    match WORDS.get(number as usize) {
        Some(word) if number > 0 => (*word).to_owned(),
        _ => in_digits(number),
    }
}

/// "6th", "21st".
fn in_digits(number: u64) -> String {
    let end = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{end}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::WeeklySessions;

    const DAY: i64 = 86_400_000_000;
    const HOUR: i64 = 3_600_000_000;

    fn calendar(open: &[(u32, i64)]) -> Calendar {
        let times: Vec<OpeningTime> = (open.iter())
            .map(|&(weekday, hour)| OpeningTime {
                weekday,
                open: Span::from_micros(hour * HOUR),
                close: Span::from_micros((hour + 2) * HOUR),
                set_up: Span::ZERO,
                tidy_up: Span::ZERO,
            })
            .collect();
        Calendar::Weekly(WeeklySessions::new(&times, 0).expect("a week"))
    }

    fn moment(day: i64, hour: i64) -> Moment {
        Moment::from_micros(day * DAY + hour * HOUR)
    }

    #[test]
    fn numbers_are_written_as_they_are_said() {
        let said = [1, 2, 6, 12, 13, 21, 22, 33, 111, 112].map(ordinal);
        let expected = [
            "first", "second", "sixth", "twelfth", "13th", "21st", "22nd", "33rd", "111th", "112th",
        ];
        assert_eq!(said, expected);
        assert_eq!(
            [0.004, 0.12, 0.999, 1.0].map(of_runs),
            [
                "fewer than 1 of 100 runs",
                "12 of 100 runs",
                "more than 99 of 100 runs",
                "all runs",
            ]
        );
    }

    #[test]
    fn sessions_are_called_by_when_they_are() {
        let called = |open: &[(u32, i64)]| Days::new(&calendar(open), None).session();
        assert_eq!(called(&[(1, 19), (3, 17)]), "evening");
        assert_eq!(called(&[(1, 19), (5, 9)]), "shop day");
        assert_eq!(called(&[(1, 17), (1, 20)]), "session");
    }

    /// Tuesday and Thursday evenings from Monday, 30 November 2026: the sixth is Thursday, 17 December.
    #[test]
    fn days_have_dates_where_the_first_one_is_known() {
        let evenings = calendar(&[(1, 19), (3, 19)]);
        let known = Days::new(&evenings, Date::read("2026-11-30"));
        assert_eq!(
            known.session_and_date(moment(17, 20)),
            "the sixth evening, Thu 17 Dec"
        );
        assert_eq!(known.date(moment(38, 0)), "Thu 7 Jan 2027");
        assert_eq!(by(moment(25, 0), Date::read("2026-11-30")), "by Thu 24 Dec");
        assert_eq!(by(moment(25, 0), None), "within 25 d of the start");
        assert_eq!(
            by(moment(2, 5), Date::read("2026-11-30")),
            "within 53 h of the start"
        );
        let unknown = Days::new(&evenings, None);
        assert_eq!(
            unknown.session_and_date(moment(17, 20)),
            "the sixth evening, Thursday of the third week"
        );
    }
}
