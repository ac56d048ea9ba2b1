//! People who are away, and stations that must not be run: what is told of them, by hand and on drawn shops.

use super::{H, MIN, by_hand, day, played};
use crate::second_reading::generate;
use crate::support::{play, record, study, trace, waited};
use shopstride::engine::{Doing, Occupied};
use shopstride::experiment::{Activity, Study, play_timeline};
use shopstride::metrics::{Bottlenecks, LeadTimeComponents, TraceLine, What};
use shopstride::shop::{PersonId, StationId};
use shopstride::units::{Moment, Span, Time};

/// Three hours of carving by somebody who is there for two hours of the seven that the shop is open on Saturdays.
fn bowl() -> Study {
    by_hand(
        "sessions: [{days: [sat], open: \"9:00\", close: \"16:00\"}]\n\
         crew: {maker: {can: []}, helper: {hours: [{days: [sat], open: \"10:00\", close: \"12:00\"}]}}\n\
         stations: {bench: {does: {carve: {setup: 30 min, per lot: 150 min}}}}\n\
         projects: {bowl: {route: [carve]}}\norders: [{project: bowl}]\n",
    )
}

/// From 10:00 to 12:00, and a week later from 10:00 to 11:00; in between the shop is open from 12:00 to 16:00 and from 9:00
/// to 10:00.
#[test]
fn what_is_interrupted_by_somebodys_going_is_left_standing() {
    let study = bowl();
    let record = played(&study);
    assert_eq!(record.on_calendar.1, day(12, 11, 0));
    assert_eq!(record.forced, 1);
    let bench = &record.stations[0];
    assert_eq!(bench.setup.micros(), 30 * MIN);
    assert_eq!(bench.running.micros(), 150 * MIN);
    assert_eq!(bench.left_standing.micros(), 5 * H);
    // It was open for nine hours.
    assert_eq!(bench.idle(record.measured(), 1).micros(), H);
    let helper = &record.crew[1];
    assert_eq!(helper.working.micros(), 180 * MIN);
    assert_eq!(helper.working_at[0].micros(), 180 * MIN);
    assert_eq!(helper.away.micros(), 6 * H);
    assert_eq!(record.waiting(PersonId(1)).micros(), 0);
    assert_eq!(record.waiting(PersonId(0)).micros(), 9 * H);
}

#[test]
fn the_lead_time_waits_for_whom_the_work_needs() {
    let waited = waited(&bowl());
    let minutes = |minutes: i64| i128::from(minutes * MIN);
    // It comes at the first opening, an hour before the helper.
    assert_eq!(
        waited.lead_times[0].split,
        LeadTimeComponents {
            worked: minutes(180),
            waiting_person: minutes(60 + 300),
            shop_shut: minutes(7 * 24 * 60 - 7 * 60),
            ..LeadTimeComponents::default()
        }
    );
    assert_eq!(waited.crew[1].away.micros(), 6 * H);
    assert_eq!(waited.crew[1].waiting(), Span::ZERO);
    // Nothing that the maker could do waits.
    assert_eq!(waited.crew[0].nothing.micros(), 9 * H);
}

#[test]
fn who_and_what_stands_still_is_not_active() {
    let study = bowl();
    let mut bottlenecks = Bottlenecks::new(&study.candidates[0].shop, Span::ZERO);
    play(&study, &mut bottlenecks);
    let found = bottlenecks.found();
    assert_eq!(found.stations[0].active.micros(), 180 * MIN);
    assert_eq!(found.stations[0].periods, 2);
    let helper = found.people.iter().find(|(name, _)| &**name == "helper");
    assert_eq!(
        helper.expect("the helper is there").1.active.micros(),
        180 * MIN
    );
}

#[test]
fn the_timeline_shows_who_is_away_and_what_is_left_standing() {
    let timeline = play_timeline(&bowl(), 0, 0).expect("it does not get stuck");
    let bars = |name: &str| -> Vec<(Activity, i64, i64)> {
        let row = timeline.rows.iter().find(|row| row.name == name);
        let bars = row.expect("it has a row").bars.iter();
        let hours = |seconds: f64| (seconds / 1800.0).round() as i64;
        bars.map(|bar| (bar.what, hours(bar.from_s), hours(bar.to_s)))
            .collect()
    };
    // In half hours of shop time.
    use Activity::{Away, LeftStanding, Running, SettingUp};
    let of_helper = bars("helper");
    assert_eq!(
        of_helper,
        [
            (Away, 0, 2),
            (SettingUp, 2, 3),
            (Running, 3, 6),
            (Away, 6, 16),
            (Running, 16, 18),
        ]
    );
    let mut of_bench = bars("bench");
    of_bench.sort_by_key(|bar| bar.1);
    assert_eq!(
        of_bench,
        [
            (SettingUp, 2, 3),
            (Running, 3, 6),
            (LeftStanding, 6, 16),
            (Running, 16, 18),
        ]
    );
}

/// A board is carried for a minute to a planer that is silent from 21:00 on, when somebody is on the way.
#[test]
fn a_walk_that_stands_still_has_its_metres_once() {
    let study = study(
        "title: By hand\nhandling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}\n\
         layouts: {apart: {distances: {rack: {planer: 60 m}}}}\n\
         sessions: {when: [{days: [mon], open: \"20:59\", close: \"21:02\"}, {days: [tue], open: \"12:00\", close: \"12:01\"}], \
         quiet: {from: \"21:00\", to: \"21:01\"}}\n\
         stations: {rack: {}, planer: {loud: true, does: {plane: {per lot: 2 min, people: 0}}}}\n\
         projects: {board: {material at: rack, route: [plane]}}\norders: [{project: board}]\n",
    );
    // A minute before the silence is as good as the other stretches, of two minutes across the night: so that comes first
    // in which nothing interrupts the carrying.
    let walks: Vec<(i64, i64, f64)> = (trace(&study, 0, 0).iter())
        .filter_map(|line: &TraceLine| match line.what {
            What::Phase {
                doing: Doing::Walk { distance, .. },
                ..
            } => Some((
                line.start.micros() / MIN,
                line.end.micros() / MIN,
                distance.metres(),
            )),
            _ => None,
        })
        .collect();
    let at = |hours: i64, minutes: i64| 60 * hours + minutes;
    assert_eq!(walks, [(at(21, 1), at(21, 2), 60.0)]);
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.stations[1].left_standing, Span::ZERO);
    // A minute on Tuesday at noon, and one on the next Monday.
    assert_eq!(record.on_calendar.1, day(7, 21, 0));
}

/// On drawn shops with hours of single people and silences: nobody does anything while they are away, no station works
/// while it must be silent, and every time adds up.
#[test]
fn books_balance_where_people_come_and_go() {
    let (mut away, mut standing) = (0, 0);
    for seed in 0..400 {
        let yaml = generate::shop_with_hours(seed);
        let study = study(&yaml);
        let shop = &study.candidates[0].shop;
        let record = record(&study, 0, study.settings.seed, 0);
        let found = waited(&study);
        for (id, person) in shop.crew.enumerate() {
            let (of, idle) = (&record.crew[id.index()], &found.crew[id.index()]);
            assert_eq!(idle.away, of.away, "seed {seed} {}\n{yaml}", person.name);
            assert_eq!(
                idle.waiting(),
                record.waiting(id),
                "seed {seed} {}\n{yaml}",
                person.name
            );
            assert!(
                idle.nothing >= Span::ZERO,
                "seed {seed} {}\n{yaml}",
                person.name
            );
            away += u64::from(!of.away.is_zero());
        }
        for line in &found.lead_times {
            let parts = line.split.parts();
            if line.leaves > 0 {
                let all = i128::from(line.leaves) * line.lead_time;
                assert_eq!(parts.iter().sum::<i128>(), all, "seed {seed}\n{yaml}");
            }
            assert!(
                parts.iter().all(|part| *part >= 0),
                "seed {seed} {parts:?}\n{yaml}"
            );
        }
        let mut left_standing = vec![Span::ZERO; shop.stations.len()];
        let mut hands_on = vec![Span::ZERO; shop.crew.len()];
        for line in trace(&study, 0, 0) {
            let What::Phase { of, doing } = line.what else {
                continue;
            };
            let time = |at: Moment| shop.calendar.time(at);
            let (start, end) = (time(line.start), time(line.end));
            match of {
                Occupied::Person(person) => {
                    hands_on[person.index()] += end - start;
                    assert!(
                        is_there(&study, person, (start, end)),
                        "seed {seed} {line:?}\n{yaml}"
                    );
                }
                Occupied::Unit(station, _) if doing == Doing::LeftStanding => {
                    left_standing[station.index()] += end - start;
                }
                Occupied::Unit(station, _) => {
                    let is_silent = shop
                        .silence(station)
                        .is_some_and(|silence| silence.part_of(start, end) > Span::ZERO);
                    let works = matches!(doing, Doing::Work { .. });
                    assert!(!(works && is_silent), "seed {seed} {line:?}\n{yaml}");
                }
                _ => {}
            }
        }
        for (station, of) in (0..).map(StationId).zip(&record.stations) {
            let told = left_standing[station.index()];
            assert_eq!(told, of.left_standing, "seed {seed}\n{yaml}");
            let count = shop.stations[station].count;
            assert!(
                of.idle(record.measured(), count) >= Span::ZERO,
                "seed {seed}\n{yaml}"
            );
            standing += u64::from(!told.is_zero());
        }
        for (told, of) in hands_on.iter().zip(&record.crew) {
            assert_eq!(*told, of.hands_on(), "seed {seed}\n{yaml}");
        }
    }
    assert!(
        away > 60 && standing > 20,
        "{away} away, {standing} left standing"
    );
}

fn is_there(study: &Study, person: PersonId, (start, end): (Time, Time)) -> bool {
    let hours = &study.candidates[0].shop.crew[person].hours;
    hours
        .as_ref()
        .is_none_or(|hours| hours.part_of(start, end) == end - start)
}
