//! Work that may not be interrupted, and work that goes on after hours, by hand.

use super::{D, EVENINGS, H, MIN, by_hand, day, lead_times, played, run_of, runs, split};
use shopstride::units::{Moment, Span};

/// The cut takes 60 min from Tue 19:05 to 20:05. Planing takes 80 min and must not be interrupted: until 21:20 there are
/// only 75. The second cut, of the other project, takes the rest of the evening; planing begins on Thursday at 19:05.
#[test]
fn what_would_not_end_in_time_is_not_offered_and_other_work_goes_on() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{saw: {{does: {{rip: {{per lot: 1 h}}}}}}, planer: {{does: {{plane: {{per lot: 80 min, pausable: false}}}}}}}}\n\
         projects: {{box: {{route: [rip, plane]}}, tray: {{route: [rip]}}}}\n\
         orders: [{{project: box}}, {{project: tray}}]\n"
    ));
    assert_eq!(
        runs(&study),
        [
            run_of("saw", day(1, 19, 5), day(1, 20, 5)),
            run_of("saw", day(1, 20, 5), day(1, 21, 5)),
            run_of("planer", day(3, 19, 5), day(3, 20, 25)),
        ]
    );
    let record = played(&study);
    assert_eq!(record.forced, 0);
    // The planer's queue has a lot from Tue 20:05, 60 min of shop time, to the opening on Thursday, 135 min.
    assert_eq!(record.stations[1].waited.micros(), 75 * MIN);
}

/// It ends at the very closing: 60 and 75 min are 135.
#[test]
fn work_that_ends_at_closing_fits() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{saw: {{does: {{rip: {{per lot: 1 h}}}}}}, planer: {{does: {{plane: {{per lot: 75 min, pausable: false}}}}}}}}\n\
         projects: {{box: {{route: [rip, plane]}}}}\norders: [{{project: box}}]\n"
    ));
    assert_eq!(
        runs(&study)[1],
        run_of("planer", day(1, 20, 5), day(1, 21, 20))
    );
}

/// Two lots wait for the planer at Tue 20:05: one of 80 min, ready first, and one of 40 min. The first does not fit into
/// the 75 min that are left, the second does, and ends at 20:45.
#[test]
fn the_first_lot_of_a_queue_that_fits_is_taken() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{saw: {{count: 2, does: {{rip: {{per lot: 1 h}}}}}}, planer: {{does: {{plane: {{per piece: 40 min, pausable: false}}}}}}}}\n\
         crew: {{maker: {{count: 2}}}}\n\
         projects: {{box: {{pieces: 2, route: [rip, plane]}}, tray: {{route: [rip, plane]}}}}\n\
         orders: [{{project: box}}, {{project: tray}}]\n"
    ));
    assert_eq!(
        runs(&study)[2..],
        [
            run_of("planer", day(1, 20, 5), day(1, 20, 45)),
            run_of("planer", day(3, 19, 5), day(3, 20, 25)),
        ]
    );
}

/// Setup of 10 min, 55 min, and tear-down of 5 min are 70 min, until Tue 20:15. The other lot is set up anew, and its 70
/// min do not fit into the 65 that are left.
#[test]
fn setup_and_teardown_count() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{planer: {{does: {{plane: {{setup: 10 min, per lot: 55 min, teardown: 5 min, pausable: false}}}}}}}}\n\
         projects: {{box: {{route: [plane]}}, tray: {{route: [plane]}}}}\norders: [{{project: box}}, {{project: tray}}]\n"
    ));
    let ends: Vec<Moment> = runs(&study).iter().map(|(.., end)| *end).collect();
    assert_eq!(ends[2], day(1, 20, 15));
    assert_eq!(ends[5], day(3, 20, 15));
}

/// The walk to the lot counts: 74 min of work and a carry of 100 s do not fit into 75 min.
#[test]
fn fetching_counts() {
    let yaml = |far: &str| {
        crate::support::study(&format!(
            "title: Walk\nhandling: {{pick up: 0, put down: 0, walking speed: 1 m/s, loaded speed: 1 m/s}}\n{EVENINGS}\
             stations: {{saw: {{does: {{rip: {{per lot: 1 h}}}}}}, planer: {{does: {{plane: {{per lot: 74 min, pausable: false}}}}}}}}\n\
             layouts: {{apart: {{distances: {{saw: {{planer: {far}}}}}}}}}\n\
             projects: {{box: {{route: [rip, plane]}}}}\norders: [{{project: box}}]\n"
        ))
    };
    let near = yaml("60 m");
    assert_eq!(runs(&near)[1].2, day(1, 21, 20));
    let far = yaml("61 m");
    assert_eq!(
        runs(&far)[1].2,
        Moment::from_micros(day(3, 20, 19).micros() + 61_000_000)
    );
}

/// Expected to take 2 h it is drawn as 3 h, which fits into no evening: begun at the opening on Tuesday it is
/// interrupted, goes on on Thursday, and is counted.
#[test]
fn what_fits_nowhere_is_begun_at_an_opening_and_counted() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{planer: {{does: {{plane: {{per lot: {{observed: [1 h, 3 h]}}, pausable: false}}}}}}}}\n\
         projects: {{box: {{route: [plane]}}}}\norders: [{{project: box, count: 40}}]\n"
    ));
    let record = played(&study);
    let runs = runs(&study);
    assert_eq!(runs.len(), 40);
    let mut forced = 0;
    for (_, start, end) in &runs {
        let opening = start.micros() % D == 19 * H + 5 * MIN;
        match *end - *start > Span::from_micros(H) {
            // Three hours begin at an opening and are interrupted by the closing of that session.
            true => {
                forced += 1;
                assert!(opening, "{start:?}");
                assert!(*end - *start > Span::from_micros(D), "{start:?}");
            }
            false => assert_eq!((*end - *start).micros(), H),
        }
    }
    assert!(forced > 5 && forced < 35, "{forced} of 40");
    assert_eq!(record.forced, forced);
}

/// Only a longest session is tried: of 2 h on Monday and 1 h on Tuesday, work of 3 h begins on Monday.
#[test]
fn what_fits_nowhere_waits_for_a_longest_session() {
    let study = by_hand(
        "sessions: [{days: [mon], open: \"19:00\", close: \"21:00\"}, {days: [tue], open: \"19:00\", close: \"20:00\"}]\n\
         stations: {saw: {does: {rip: {per lot: 1 h}}}, planer: {does: {plane: {per lot: {observed: [1 h, 1 h, 3 h]}, pausable: false}}}}\n\
         projects: {box: {route: [rip, plane]}}\norders: [{project: box, count: 30}]\n",
    );
    let long: Vec<i64> = runs(&study)
        .iter()
        .filter(|(station, start, end)| station == "planer" && *end - *start > Span::from_micros(H))
        .map(|(_, start, _)| start.micros() / D % 7)
        .collect();
    assert!(!long.is_empty());
    assert!(long.iter().all(|day| *day == 0), "{long:?}");
}

/// Sanded until Tue 21:15, the lot dries for 6 h: 5 min until closing, and then by itself until Wed 3:15. It is packed on
/// Thursday.
#[test]
fn work_after_hours_goes_on_while_the_shop_is_shut() {
    let study = by_hand(&format!(
        "{EVENINGS}stations: {{dryer: {{does: {{dry: {{per lot: 6 h, people: 0, after hours: true}}}}}}, bench: {{does: {{sand: {{per lot: 130 min}}, pack: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [sand, dry, pack]}}}}\norders: [{{project: box}}]\n"
    ));
    let six_hours_later = Moment::from_micros(day(1, 21, 15).micros() + 6 * H);
    assert_eq!(
        runs(&study),
        [
            run_of("bench", day(1, 19, 5), day(1, 21, 15)),
            run_of("dryer", day(1, 21, 15), six_hours_later),
            run_of("bench", day(3, 19, 5), day(3, 19, 15)),
        ]
    );
    let record = played(&study);
    assert_eq!(record.stations[0].running.micros(), 5 * MIN);
    assert_eq!(
        lead_times(&record),
        [(i128::from(2 * D + 10 * MIN), i128::from(145 * MIN), 2)]
    );
    let components = split(&study);
    assert_eq!(components.worked, i128::from(140 * MIN + 6 * H));
    // From Wed 3:15 to Thu 19:05.
    assert_eq!(components.shop_shut, i128::from(D + 15 * H + 50 * MIN));
}
