//! Shops that keep hours, by hand and to the microsecond. Days count from the Monday on which a run begins; "Tue 19:05"
//! is the moment 1 d 19 h 5 min.

mod agreement;
mod away;
mod brought;
mod generated;
mod refused;
mod refused_people;
mod uninterrupted;

use crate::support::{record, study, trace, waited};
use shopstride::engine::{Doing, Occupied};
use shopstride::experiment::Study;
use shopstride::metrics::{LeadTimeComponents, Record, TraceLine, What};
use shopstride::units::{Moment, Span};

const S: i64 = 1_000_000;
const MIN: i64 = 60 * S;
const H: i64 = 60 * MIN;
const D: i64 = 24 * H;

/// Work from 19:05 to 21:20 on Tuesday and Thursday: 135 min each.
const EVENINGS: &str = "sessions: [{days: [tue, thu], open: \"19:00\", close: \"21:30\", set up: 5 min, tidy up: 10 min}]\n";

/// Nothing is walked or handled.
fn by_hand(yaml: &str) -> Study {
    study(&format!(
        "title: By hand\nhandling: {{pick up: 0, put down: 0}}\nlayouts: {{spot: {{distances: 0}}}}\n{yaml}"
    ))
}

fn played(study: &Study) -> Record {
    record(study, 0, study.settings.seed, 0)
}

fn day(day: i64, hour: i64, minute: i64) -> Moment {
    Moment::from_micros(day * D + hour * H + minute * MIN)
}

/// Lead times on the calendar and in shop time in microseconds, and sessions, of the orders of each project together.
fn lead_times(record: &Record) -> Vec<(i128, i128, u64)> {
    let projects = record.projects.iter();
    projects
        .map(|of| (of.lead_time, of.in_shop_time(), of.sessions))
        .collect()
}

/// The runs of stations, from beginning to end, in the order in which they begin.
fn runs(study: &Study) -> Vec<(String, Moment, Moment)> {
    let shop = &study.candidates[0].shop;
    let is_run = |line: &TraceLine| match line.what {
        What::Phase {
            of: Occupied::Unit(station, _),
            doing: Doing::Work { .. },
        } => Some((shop.stations[station].name.clone(), line.start, line.end)),
        _ => None,
    };
    trace(study, 0, 0).iter().filter_map(is_run).collect()
}

fn run_of(station: &str, start: Moment, end: Moment) -> (String, Moment, Moment) {
    (station.to_owned(), start, end)
}

/// What the lead times of the orders of the first line go into, in microseconds.
fn split(study: &Study) -> LeadTimeComponents<i128> {
    waited(study).lead_times[0].split
}

/// Released when the shop is first opened, Tue 19:05. Of 3 h of work 135 min are done by Tue 21:20, and 45 min from Thu
/// 19:05 on: done Thu 19:50. That is 2 d 45 min later, of which 3 h are work and the rest the shop was shut.
#[test]
fn work_pauses_at_closing_and_goes_on_at_the_next_opening() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{carve: {{per piece: 1 h}}}}}}}}\n\
         projects: {{box: {{pieces: 3, route: [carve]}}}}\norders: [{{project: box}}]\n"
    ));
    let record = played(&study);
    let lead_time = 2 * D + 45 * MIN;
    assert_eq!(
        lead_times(&record),
        [(i128::from(lead_time), i128::from(3 * H), 2)]
    );
    assert_eq!(record.on_calendar, (day(1, 19, 5), day(3, 19, 50)));
    assert_eq!(record.end.micros(), 3 * H);
    assert_eq!(
        runs(&study),
        [run_of("bench", day(1, 19, 5), day(3, 19, 50))]
    );
    assert_eq!(
        split(&study),
        LeadTimeComponents {
            worked: i128::from(3 * H),
            shop_shut: i128::from(lead_time - 3 * H),
            ..LeadTimeComponents::default()
        }
    );
}

/// Gluing takes from Tue 19:05 to closing, 21:20. The cure begins then and ends a day later, on Wed 21:20; sanding
/// begins at the opening, Thu 19:05, and ends at 19:15. Of the 2 d 10 min, 145 min are work and 24 h cure; the shop is
/// shut from Tue 21:20 to Thu 19:05, 45 h 45 min, for 21 h 45 min of which nothing cures.
#[test]
fn a_cure_begins_at_closing_and_goes_on_while_the_shop_is_shut() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{glue: {{per lot: 135 min, cure: {{time: 24 h}}}}, sand: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [glue, sand]}}}}\norders: [{{project: box}}]\n"
    ));
    let record = played(&study);
    let lead_time = i128::from(2 * D + 10 * MIN);
    assert_eq!(lead_times(&record), [(lead_time, i128::from(145 * MIN), 2)]);
    assert_eq!(
        split(&study),
        LeadTimeComponents {
            worked: i128::from(145 * MIN),
            curing: i128::from(D),
            shop_shut: i128::from(21 * H + 45 * MIN),
            ..LeadTimeComponents::default()
        }
    );
    // The bench was tied up only while nobody could have used it.
    assert_eq!(record.stations[0].curing, Span::ZERO);
    let cures: Vec<(Moment, Moment)> = trace(&study, 0, 0)
        .iter()
        .filter(|line| {
            matches!(
                line.what,
                What::Phase {
                    doing: Doing::Cure,
                    ..
                }
            )
        })
        .map(|line| (line.start, line.end))
        .collect();
    assert_eq!(cures, [(day(1, 21, 20), day(2, 21, 20))]);
}

/// Glued until Tue 20:05, the lot cures for 2 h: until 22:05, 45 min after closing. Of the cure, 75 min are shop time.
#[test]
fn of_a_cure_that_outlasts_the_session_the_station_counts_the_open_part() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{glue: {{per lot: 1 h, cure: {{time: 2 h}}}}, sand: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [glue, sand]}}}}\norders: [{{project: box}}]\n"
    ));
    let record = played(&study);
    assert_eq!(record.stations[0].curing.micros(), 75 * MIN);
    assert_eq!(record.on_calendar.1, day(3, 19, 15));
    let components = split(&study);
    assert_eq!(components.curing, i128::from(2 * H));
    // From Tue 22:05, when it has cured, to Thu 19:05.
    assert_eq!(components.shop_shut, i128::from(45 * H));
}

/// The cure of 45 h 45 min from closing ends at the very opening, and sanding begins then.
#[test]
fn what_is_ready_at_the_opening_is_taken_at_the_opening() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{glue: {{per lot: 135 min, cure: {{time: 2745 min}}}}, sand: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [glue, sand]}}}}\norders: [{{project: box}}]\n"
    ));
    assert_eq!(
        runs(&study)[1],
        run_of("bench", day(3, 19, 5), day(3, 19, 15))
    );
    assert_eq!(split(&study).shop_shut, 0);
}

/// Both are glued by closing on Tuesday. The box, which the file names first, cures until Wed 17:20 and the tray until
/// Wed 7:20, so the tray is ready sooner and sanded first, though both are ready at one instant of shop time.
#[test]
fn what_happened_while_it_was_shut_is_ordered_by_the_calendar() {
    let study = by_hand(&format!(
        "{EVENINGS}crew: {{maker: {{count: 2}}}}\n\
         stations: {{one: {{does: {{glue: {{per lot: 135 min, cure: {{time: 20 h}}}}}}}}, \
         other: {{does: {{join: {{per lot: 135 min, cure: {{time: 10 h}}}}}}}}, bench: {{does: {{sand: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [glue, sand]}}, tray: {{route: [join, sand]}}}}\n\
         orders: [{{project: box}}, {{project: tray}}]\n"
    ));
    let record = played(&study);
    // The tray is done Thu 19:15 and the box 19:25.
    let since_release = |minutes: i64| i128::from(2 * D + minutes * MIN);
    assert_eq!(
        lead_times(&record),
        [
            (since_release(20), i128::from(155 * MIN), 2),
            (since_release(10), i128::from(145 * MIN), 2)
        ]
    );
    // The box waits for the bench for ten minutes of shop time.
    assert_eq!(record.stations[2].waited.micros(), 10 * MIN);
}

/// One each day at 0:00 from Monday on, three in all. The first two are done on Tuesday at 19:15 and 19:25, the third on
/// Thursday at 19:15: lead times of 43 h 15 min, 19 h 25 min and 43 h 15 min.
#[test]
fn orders_come_on_the_calendar() {
    let yaml = |more: &str| {
        format!(
            "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 10 min}}}}}}}}\n\
             projects: {{box: {{route: [sand]}}}}\norders: [{{project: box, every: 1 d, first: 0, {more}}}]\n"
        )
    };
    let study = by_hand(&yaml("count: 3"));
    let record = played(&study);
    let sum = 2 * (43 * H + 15 * MIN) + 19 * H + 25 * MIN;
    // In shop time 10, 20 and 10 min: the second one waits for the first.
    assert_eq!(
        lead_times(&record),
        [(i128::from(sum), i128::from(40 * MIN), 3)]
    );
    // One order is in process from Mon 0:00, two from Tue 0:00 to 19:15 and so on: the sum of the lead times.
    assert_eq!(record.in_process, i128::from(sum));
    // The last that comes up to Wed 12:00 is that of Wed 0:00.
    let until = by_hand(&yaml("until: 60 h"));
    assert_eq!(lead_times(&played(&until)), lead_times(&record));
}

/// Without `first` the first one comes when the shop is opened, Tue 19:05, and the next a day later, when it is shut.
#[test]
fn without_first_orders_come_from_the_first_opening_on() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box, every: 1 d, count: 2}}]\n"
    ));
    // Done Tue 19:15, and, released Wed 19:05, Thu 19:15.
    let sum = i128::from(10 * MIN + D + 10 * MIN);
    assert_eq!(
        lead_times(&played(&study)),
        [(sum, i128::from(20 * MIN), 2)]
    );
}

/// Two always in progress, each 1 h at one bench. Open from Tue 19:05 to 21:20: done at 20:05 and 21:05, the third 15 min
/// into its work at closing and done Thu 19:50, the fourth at 20:50. The horizon is Thu 20:20.
#[test]
fn the_horizon_is_on_the_calendar_and_cuts_in_shop_time() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 1 h}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box, in progress: 2}}]\nrun: {{until: 5540 min}}\n"
    ));
    assert_eq!(5540 * MIN, 3 * D + 20 * H + 20 * MIN);
    let record = played(&study);
    // Released Tue 19:05 twice, 20:05: lead times of 1 h, 2 h, and from Tue 20:05 to Thu 19:50.
    let sum = i128::from(H + 2 * H + (2 * D - 15 * MIN));
    assert_eq!(lead_times(&record)[0].0, sum);
    // 135 min on Tuesday, 75 on Thursday.
    assert_eq!(record.end.micros(), 210 * MIN);
    assert_eq!(record.stations[0].running.micros(), 210 * MIN);
    assert_eq!(record.on_calendar.1, day(3, 20, 20));
}

/// At the horizon, Wed 12:00, the second order waits for Thursday and nothing else is under way: the run ends then, and is
/// not stuck.
#[test]
fn a_run_that_ends_while_the_shop_is_shut_is_over() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 135 min}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box, count: 2}}]\nrun: {{until: 60 h}}\n"
    ));
    let record = played(&study);
    assert_eq!(record.orders_done(), 1);
    assert_eq!(record.end.micros(), 135 * MIN);
    assert_eq!(record.on_calendar.1, day(2, 12, 0));
    assert_eq!(record.in_process, i128::from(135 * MIN + 16 * H + 55 * MIN));
}

/// The warm-up ends on Wed 12:00, when the shop is shut: what was done on Tuesday is not measured.
#[test]
fn the_warm_up_is_on_the_calendar() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 1 h}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box, count: 3}}]\nrun: {{warm up: 60 h}}\n"
    ));
    let record = played(&study);
    // The third is done Thu 19:50, of which 45 min are behind the warm-up.
    assert_eq!(record.orders_done(), 1);
    assert_eq!(record.from.micros(), 135 * MIN);
    assert_eq!(record.stations[0].running.micros(), 45 * MIN);
    assert_eq!(record.on_calendar, (day(2, 12, 0), day(3, 19, 50)));
    assert_eq!(record.in_process, i128::from(D + 7 * H + 50 * MIN));
}

/// 90 min from 19:00 on go through the end of one session and the beginning of the next, which pauses nothing.
#[test]
fn sessions_that_touch_pause_nothing_and_count_as_two() {
    let study = by_hand(
        "sessions: [{days: [mon], open: \"19:00\", close: \"20:00\"}, {days: [mon], open: \"20:00\", close: \"21:00\"}]\n\
         stations: {bench: {does: {sand: {per lot: 90 min}}}}\n\
         projects: {box: {route: [sand]}}\norders: [{project: box}]\n",
    );
    let time = i128::from(90 * MIN);
    assert_eq!(lead_times(&played(&study)), [(time, time, 2)]);
}

/// 26 November 2026 is a Thursday: the shop is first opened on the first day of the run, and next on the following
/// Tuesday, five days later.
#[test]
fn a_date_says_on_which_day_a_run_begins() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{per lot: 3 h}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box}}]\nrun: {{starts: 2026-11-26}}\n"
    ));
    assert_eq!(
        runs(&study),
        [run_of("bench", day(0, 19, 5), day(5, 19, 50))]
    );
}

/// Work that needs nobody pauses too; two people at two tasks wait for the same opening.
#[test]
fn a_station_that_works_alone_pauses_as_well() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{oven: {{does: {{dry: {{per lot: 3 h, people: 0}}}}}}}}\n\
         projects: {{box: {{material at: oven, route: [dry]}}}}\norders: [{{project: box}}]\n"
    ));
    assert_eq!(
        runs(&study),
        [run_of("oven", day(1, 19, 5), day(3, 19, 50))]
    );
}

/// Setup of 10 min and a run of 120 min end at 21:15; tear-down takes 10 min, of which 5 are left for Thursday.
#[test]
fn each_phase_pauses_where_it_is() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{bench: {{does: {{sand: {{setup: 10 min, per lot: 2 h, teardown: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [sand]}}}}\norders: [{{project: box}}]\n"
    ));
    assert_eq!(
        runs(&study),
        [
            run_of("bench", day(1, 19, 5), day(1, 19, 15)),
            run_of("bench", day(1, 19, 15), day(1, 21, 15)),
            run_of("bench", day(1, 21, 15), day(3, 19, 10)),
        ]
    );
}

/// The walk of 100 s at 1 m/s begins 35 s before closing; 60 s of it follow on Thursday, and the last 5 s a week later.
#[test]
fn people_stop_where_they_are() {
    let study = study(
        "title: Walk\nhandling: {pick up: 0, put down: 0, walking speed: 1 m/s, loaded speed: 1 m/s}\n\
         sessions: [{days: [tue, thu], open: \"19:00\", close: \"19:01\"}]\n\
         stations: {rack: {does: {mark: {per lot: 25 s}}}, bench: {does: {sand: {per lot: 5 s}}}}\n\
         layouts: {apart: {distances: {rack: {bench: 100 m}}}}\n\
         projects: {box: {material at: rack, route: [mark, sand]}}\norders: [{project: box}]\n",
    );
    let record = played(&study);
    // 25 s + 100 s + 5 s from Tue 19:00 on: 60 s on Tuesday, 60 s on Thursday, and 10 s on Tuesday of the next week.
    assert_eq!(
        record.on_calendar.1,
        Moment::from_micros(8 * D + 19 * H + 10 * S)
    );
    assert_eq!(record.crew[0].walking.micros(), 100 * S);
    assert_eq!(lead_times(&record)[0].2, 3);
}
