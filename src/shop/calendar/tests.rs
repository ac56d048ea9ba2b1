//! The calendar by hand, and against sums over sessions.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use super::*;

const MINUTE: i64 = 60_000_000;

fn at(day: i64, hour: i64, minute: i64) -> Moment {
    Moment::from_micros(day * DAY + (hour * 60 + minute) * MINUTE)
}

fn time(minutes: i64) -> Time {
    Time::from_micros(minutes * MINUTE)
}

fn opening(weekday: u32, open: i64, close: i64, set_up: i64, tidy_up: i64) -> OpeningTime {
    let span = |minutes| Span::from_micros(minutes * MINUTE);
    OpeningTime {
        weekday,
        open: span(open),
        close: span(close),
        set_up: span(set_up),
        tidy_up: span(tidy_up),
    }
}

/// Tuesday and Thursday from 19:00 to 21:30, with 5 min before and 10 min after the work, and Saturday from 9:00 to
/// 12:00: 135 + 135 + 180 min a week.
fn evenings(starts_on: u32) -> Calendar {
    let evening = |weekday| opening(weekday, 19 * 60, 21 * 60 + 30, 5, 10);
    let saturday = opening(5, 9 * 60, 12 * 60, 0, 0);
    let weekly = WeeklySessions::new(&[saturday, evening(1), evening(3)], starts_on);
    Calendar::Weekly(weekly.expect("they are sessions"))
}

#[test]
fn work_is_done_from_the_end_of_setting_up_to_the_beginning_of_tidying_up() {
    let calendar = evenings(0);
    assert_eq!(calendar.first_opening(), at(1, 19, 5));
    assert_eq!(calendar.time(at(1, 19, 5)), Time::START);
    assert_eq!(calendar.time(at(1, 20, 5)), time(60));
    assert_eq!(calendar.time(at(1, 21, 20)), time(135));
    assert_eq!(calendar.time(at(1, 21, 30)), time(135));
    assert_eq!(calendar.time(at(3, 19, 5)), time(135));
    assert_eq!(calendar.time(at(3, 19, 6)), time(136));
    // The second week begins with 450 min of shop time.
    assert_eq!(calendar.time(at(8, 19, 6)), time(451));
}

#[test]
fn what_ends_at_closing_ends_then_and_what_begins_there_begins_at_the_opening() {
    let calendar = evenings(0);
    assert_eq!(calendar.end_at(time(135)), at(1, 21, 20));
    assert_eq!(calendar.beginning_at(time(135)), at(3, 19, 5));
    assert_eq!(calendar.end_at(time(450)), at(5, 12, 0));
    assert_eq!(calendar.beginning_at(time(450)), at(8, 19, 5));
    assert_eq!(calendar.end_at(time(100)), calendar.beginning_at(time(100)));
    assert_eq!(calendar.end_at(Time::START), at(1, 19, 5));
    assert_eq!(calendar.beginning_at(Time::START), at(1, 19, 5));
}

#[test]
fn a_run_that_begins_on_a_friday_opens_on_saturday() {
    let calendar = evenings(4);
    assert_eq!(calendar.first_opening(), at(1, 9, 0));
    assert_eq!(calendar.weekday(calendar.first_opening()), 5);
    // After the three hours of Saturday it goes on on Tuesday, the fifth day of the run.
    assert_eq!(calendar.beginning_at(time(180)), at(4, 19, 5));
    assert_eq!(calendar.weekday(at(4, 0, 0)), 1);
}

#[test]
fn sessions_count_that_have_working_time_between_two_moments() {
    let calendar = evenings(0);
    let between = |from, to| calendar.sessions_between(from, to);
    // From closing on Tuesday there is none until the opening on Thursday.
    assert_eq!(between(at(1, 21, 20), at(3, 19, 5)), 0);
    assert_eq!(between(at(1, 21, 20), at(3, 19, 6)), 1);
    assert_eq!(between(at(1, 21, 19), at(3, 19, 6)), 2);
    assert_eq!(between(at(0, 0, 0), at(1, 21, 20)), 1);
    assert_eq!(between(at(0, 0, 0), at(14, 0, 0)), 6);
    assert_eq!(between(at(1, 20, 0), at(1, 20, 30)), 1);
    assert_eq!(calendar.sessions_between(Moment::START, at(8, 20, 0)), 4);
    assert_eq!(
        Calendar::AlwaysOpen.sessions_between(at(0, 0, 0), at(9, 0, 0)),
        0
    );
}

/// On Monday two sessions touch, and Sunday's touches Monday's first: 60 + 120 + 30 min in one stretch, of which the
/// last one is longest alone.
#[test]
fn sessions_that_touch_are_one_stretch_across_the_end_of_a_week() {
    let times = [
        opening(0, 0, 120, 0, 0),
        opening(0, 120, 150, 0, 0),
        opening(2, 600, 800, 0, 0),
        opening(6, 1380, 1440, 0, 0),
    ];
    let weekly = WeeklySessions::new(&times, 0).expect("it is a week");
    let calendar = Calendar::Weekly(weekly);
    assert_eq!(
        calendar.longest_stretch(),
        Some(Span::from_micros(210 * MINUTE))
    );
    let ends = |day, hour, minute| calendar.session_at(at(day, hour, minute)).stretch_ends;
    assert_eq!(ends(0, 0, 0), time(150));
    assert_eq!(ends(0, 2, 0), time(150));
    assert_eq!(ends(2, 10, 0), time(350));
    assert_eq!(ends(6, 23, 0), time(350 + 210));
    let all_day: Vec<OpeningTime> = (0..7).map(|day| opening(day, 0, 1440, 0, 0)).collect();
    let weekly = WeeklySessions::new(&all_day, 3).expect("it is a week");
    assert_eq!(Calendar::Weekly(weekly).longest_stretch(), None);
}

#[test]
fn what_is_no_week_is_refused() {
    let evening = opening(1, 19 * 60, 21 * 60, 0, 0);
    let is_week = |times: &[OpeningTime]| WeeklySessions::new(times, 0).is_some();
    assert!(is_week(&[evening]));
    assert!(!is_week(&[]));
    assert!(!is_week(&[evening, opening(1, 20 * 60, 22 * 60, 0, 0)]));
    assert!(
        is_week(&[evening, opening(1, 21 * 60, 22 * 60, 0, 0)]),
        "they touch"
    );
    assert!(
        !is_week(&[opening(1, 19 * 60, 21 * 60, 60, 60)]),
        "no time is left"
    );
    assert!(!is_week(&[opening(6, 23 * 60, 25 * 60, 0, 0)]));
    assert!(!is_week(&[opening(7, 60, 120, 0, 0)]));
}

/// Some sessions a week, by the minute.
fn some_week() -> impl Strategy<Value = (Vec<OpeningTime>, u32)> {
    let cuts = prop::collection::btree_set(0i64..=1440, 2..6);
    let days = prop::collection::vec((cuts, 0i64..3, 0i64..3), 7);
    (days, 0u32..7).prop_map(|(days, starts_on)| {
        let mut times = Vec::new();
        for (weekday, (cuts, set_up, tidy_up)) in (0..).zip(days) {
            let cuts: Vec<i64> = cuts.into_iter().collect();
            for pair in cuts.chunks_exact(2) {
                if pair[1] - pair[0] > set_up + tidy_up {
                    times.push(opening(weekday, pair[0], pair[1], set_up, tidy_up));
                }
            }
        }
        if times.is_empty() {
            times.push(opening(2, 600, 700, 1, 2));
        }
        (times, starts_on)
    })
}

/// Shop time up to a moment, added up session by session.
fn added_up(times: &[OpeningTime], starts_on: u32, moment: Moment) -> (i64, u64) {
    let (mut sum, mut sessions) = (0, 0);
    for week in -1..=moment.micros() / WEEK + 1 {
        for time in times {
            let day = week * 7 + i64::from(time.weekday) - i64::from(starts_on);
            if day < 0 {
                continue;
            }
            let opens = day * DAY + (time.open + time.set_up).micros();
            let closes = day * DAY + time.close.micros() - time.tidy_up.micros();
            let worked = (moment.micros().min(closes) - opens).max(0);
            sum += worked;
            sessions += u64::from(worked > 0);
        }
    }
    (sum, sessions)
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn both_clocks_tell_each_other(
        (times, starts_on) in some_week(),
        micros in 0i64..5 * WEEK,
        further in 0i64..3 * DAY,
    ) {
        let weekly = WeeklySessions::new(&times, starts_on);
        prop_assert!(weekly.is_some());
        let calendar = Calendar::Weekly(weekly.expect("it is a week"));
        let moment = Moment::from_micros(micros);
        let time = calendar.time(moment);
        let (sum, sessions) = added_up(&times, starts_on, moment);
        prop_assert_eq!(time.micros(), sum);
        prop_assert_eq!(calendar.sessions_between(Moment::START, moment), sessions);
        // The moment lies between the end of what lasts until its shop time and the beginning of what follows.
        let (end, beginning) = (calendar.end_at(time), calendar.beginning_at(time));
        prop_assert!(end <= moment || time == Time::START);
        prop_assert!(moment <= beginning);
        prop_assert_eq!((calendar.time(end), calendar.time(beginning)), (time, time));
        // It rises by as much as the calendar where there is no break, and never by more.
        let span = Span::from_micros(further);
        let later = calendar.time(moment + span);
        prop_assert!(later >= time && later - time <= span);
        let session = calendar.session_at(moment);
        if session.opens <= moment && moment + span <= session.closes {
            prop_assert_eq!(later - time, span);
        }
        // Every shop time that a moment can have is reached, whatever it is.
        let any = Time::from_micros(further);
        prop_assert_eq!(calendar.time(calendar.end_at(any)), any);
        prop_assert_eq!(calendar.time(calendar.beginning_at(any)), any);
        if any > Time::START {
            let just_before = Moment::from_micros(calendar.end_at(any).micros() - 1);
            prop_assert_eq!(calendar.time(just_before), Time::from_micros(further - 1));
        }
        let beginning = calendar.beginning_at(any);
        let just_after = Moment::from_micros(beginning.micros() + 1);
        prop_assert_eq!(calendar.time(just_after), Time::from_micros(further + 1));
        let here = calendar.session_at(beginning);
        prop_assert!(here.opens <= beginning && beginning < here.closes);
    }
}
