//! What a cure ties up is taken off: what is told of it, and that times add up.

use crate::support::{play, record, study, trace, waited};
use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::Study;
use shopstride::metrics::{Bottlenecks, LeadTimeComponents, TraceLine, What};
use shopstride::shop::{PersonId, StationId};
use shopstride::units::Span;

const MIN: i64 = 60_000_000;

/// Glued at the bench from 0 to 10 min and cured at 40; the leg is cut from 10 to 60 min, a minute's walk away, so that the
/// clamps are taken off from 62 to 65 min. Sanding takes from 65 to 70 min.
fn door_and_leg() -> Study {
    study(
        "title: Take off\n\
         stations: {bench: {does: {glue: {per lot: 10 min, cure: {time: 30 min, take off: 3 min}}, sand: {per lot: 5 min}}}, saw: {does: {cut: {per lot: 50 min}}}}\n\
         handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}\n\
         projects: {door: {route: [glue, sand]}, leg: {route: [cut]}}\norders: [{project: door}, {project: leg}]\n\
         layouts: {apart: {distances: {bench: {saw: 60 m}}}}\n",
    )
}

#[test]
fn the_bench_is_blocked_until_somebody_comes_and_runs_while_they_are_at_it() {
    let study = door_and_leg();
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.end.micros(), 70 * MIN);
    let bench = &record.stations[0];
    let minutes = |span: Span| span.micros() / MIN;
    // Cut from 11 min to 61; back at 62.
    assert_eq!(minutes(bench.curing), 30);
    assert_eq!(minutes(bench.blocked), 22);
    assert_eq!(minutes(bench.running), 10 + 3 + 5);
    assert_eq!(minutes(bench.idle(record.measured(), 1)), 0);
    assert_eq!(bench.lots, 2);
    let maker = &record.crew[0];
    assert_eq!(minutes(maker.working), 10 + 50 + 3 + 5);
    assert_eq!(minutes(maker.walking), 2);
    assert_eq!(minutes(record.waiting(PersonId(0))), 0);
    assert_eq!(minutes(maker.working_at[0]), 18);
}

#[test]
fn the_lead_time_waits_for_somebody_to_take_it_off() {
    let of_door = waited(&door_and_leg()).lead_times[0].split;
    let minutes = |minutes: i64| i128::from(minutes * MIN);
    assert_eq!(
        of_door,
        LeadTimeComponents {
            worked: minutes(10 + 3 + 5),
            curing: minutes(30),
            // From 40 min, when it has cured, until the leg is cut; then the walk.
            waiting_person: minutes(21),
            carried: minutes(1),
            ..LeadTimeComponents::default()
        }
    );
}

#[test]
fn the_trace_tells_of_it() {
    let told: Vec<(Doing, i64, i64)> = (trace(&door_and_leg(), 0, 0).iter())
        .filter_map(|line: &TraceLine| match line.what {
            What::Phase {
                of: Occupied::Unit(StationId(0), _),
                doing,
            } => Some((doing, line.start.micros() / MIN, line.end.micros() / MIN)),
            _ => None,
        })
        .collect();
    let work = |phase| Doing::Work {
        phase,
        at: StationId(0),
    };
    assert_eq!(
        told,
        [
            (work(WorkPhase::Run), 0, 10),
            (Doing::Cure, 10, 40),
            (Doing::Blocked, 40, 61),
            (Doing::Blocked, 61, 62),
            (work(WorkPhase::TakeOff), 62, 65),
            (work(WorkPhase::Run), 65, 70),
        ]
    );
}

/// The bench is active while it works and cures: 10 + 30 and 3 + 5 min. Being blocked is waiting.
#[test]
fn a_blocked_bench_is_not_active() {
    let study = door_and_leg();
    let mut bottlenecks = Bottlenecks::new(&study.candidates[0].shop, Span::ZERO);
    play(&study, &mut bottlenecks);
    let found = bottlenecks.found();
    assert_eq!(found.stations[0].active.micros() / MIN, 48);
    assert_eq!(found.stations[1].active.micros() / MIN, 50);
}

/// Of two lots for one bench the second waits for the bench until the clamps of the first are off, at 13 + 30 min.
#[test]
fn what_waits_for_a_blocked_bench_waits_for_a_station() {
    let study = study(
        "title: Take off\n\
         stations: {bench: {does: {glue: {per lot: 10 min, cure: {time: 30 min, take off: 3 min}}}}, rack: {does: {sort: {per lot: 1 h}}}}\n\
         handling: {pick up: 0, put down: 0}\ncrew: {ann: {can: [glue]}}\n\
         projects: {door: {route: [glue]}}\norders: [{project: door, count: 2}]\nlayouts: {spot: {distances: 0}}\n",
    );
    let split = waited(&study).lead_times[0].split;
    let minutes = |minutes: i64| i128::from(minutes * MIN);
    assert_eq!(split.waiting_station, minutes(43));
    assert_eq!(split.worked, minutes(26));
    assert_eq!(split.curing, minutes(60));
    assert_eq!(split.waiting_person, 0);
}

/// Glued at the bench from 0 to 18 min with all four clamps, cured at 78; whoever glued sands the lid from 18 to 78 min, and
/// takes the clamps off from 78 to 81 min. Then the second door is glued from 81 to 99 min, cured at 159 and off at 162.
fn two_doors() -> Study {
    study(
        "title: Clamps\n\
         gear: {clamps: {count: 4}}\n\
         stations: {bench: {count: 2, does: {glue: {per lot: 18 min, gear: {clamps: 4}, cure: {time: 60 min, ties up: [clamps], take off: 3 min}}}}, rack: {does: {sand: {per lot: 1 h}}}}\n\
         handling: {pick up: 0, put down: 0}\n\
         projects: {door: {route: [glue]}, lid: {route: [sand]}}\norders: [{project: door, count: 2}, {project: lid}]\n\
         layouts: {spot: {distances: 0}}\n",
    )
}

#[test]
fn clamps_are_taken_until_they_are_off() {
    let study = two_doors();
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.end.micros(), 162 * MIN);
    // Not 78 + 78 min, which is until the glue has cured.
    let each = i128::from((81 + 81) * MIN);
    assert_eq!(record.gear[0].taken, 4 * each);
    let mut bottlenecks = Bottlenecks::new(&study.candidates[0].shop, Span::ZERO);
    play(&study, &mut bottlenecks);
    assert_eq!(bottlenecks.found().gear[0].active.micros(), 162 * MIN);
    let taken: Vec<(i64, i64)> = (trace(&study, 0, 0).iter())
        .filter(|line| {
            matches!(
                line.what,
                What::Phase {
                    of: Occupied::Gear(..),
                    ..
                }
            )
        })
        .map(|line| (line.start.micros() / MIN, line.end.micros() / MIN))
        .collect();
    assert_eq!(taken, [(0, 81), (81, 162)]);
    // The second door waits for clamps until they are off, and for nobody.
    let split = waited(&study).lead_times[0].split;
    let minutes = |minutes: i64| i128::from(minutes * MIN);
    assert_eq!((split.waiting_gear, split.waiting_person), (minutes(81), 0));
    assert_eq!(
        (split.worked, split.curing),
        (minutes(2 * 21), minutes(120))
    );
}
