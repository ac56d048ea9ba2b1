//! What comes out of a machine is taken behind it: who works alone walks around, and a helper saves that. By hand.

use crate::support::command::refused_of;
use crate::support::{record, study, trace, waited};
use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::Study;
use shopstride::floor::Manner;
use shopstride::metrics::{LeadTimeComponents, TraceLine, What};
use shopstride::report::times::routes;
use shopstride::shop::{PersonId, StationId};
use shopstride::units::Span;

const SECOND: i64 = 1_000_000;

/// Two boards of two passes, 30 s each; the place behind the saw is 10 m around it, at 1 m/s, and a piece is picked up in 2 s
/// and put down in 3 s. Boards lie at the saw.
fn two_boards(people: &str) -> Study {
    study(&format!(
        "title: Around the saw\n\
         stations: {{saw: {{does: {{rip: {{per piece: 1 min, passes: 2, teardown: 20 s, catches: out-feed{people}}}}}}}, out-feed: {{}}}}\n\
         crew: {{maker: {{}}, helper: {{}}}}\n\
         handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 2 s, put down: 3 s}}\n\
         projects: {{box: {{pieces: 2, route: [rip]}}}}\norders: [{{project: box}}]\n\
         layouts: {{room: {{distances: {{saw: {{out-feed: 10 m}}}}}}}}\n"
    ))
}

fn seconds(span: Span) -> i64 {
    span.micros() / SECOND
}

/// 4 passes of 30 s, after each of them 10 m there, 2 s, 10 m back and 3 s, and 20 s of tear-down: 120 + 100 + 20 s.
#[test]
fn who_works_alone_walks_around_after_each_pass() {
    let study = two_boards("");
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.end.micros(), 240 * SECOND);
    let saw = &record.stations[0];
    // It runs on while nobody feeds it.
    assert_eq!(seconds(saw.running), 240);
    assert_eq!(seconds(saw.reserved), 0);
    assert_eq!(seconds(saw.serviced), 0);
    assert_eq!(seconds(saw.idle(record.measured(), 1)), 0);
    let maker = &record.crew[0];
    assert_eq!(seconds(maker.working), 140);
    assert_eq!(seconds(maker.walking), 80);
    assert_eq!(seconds(maker.handling), 20);
    assert_eq!(seconds(record.waiting(PersonId(0))), 0);
    assert_eq!(record.walking().metres(), 80.0);
    // The lot is worked on all the while.
    let split = waited(&study).lead_times[0].split;
    let whole = LeadTimeComponents {
        worked: i128::from(240 * SECOND),
        ..LeadTimeComponents::default()
    };
    assert_eq!(split, whole);
}

/// Four times 10 m there, 2 s, 10 m back and 3 s, as far as the file tells.
#[test]
fn times_tells_each_walk_around() {
    let study = two_boards("");
    let told = routes(&study.candidates[0], study.units, 200);
    assert!(
        told.contains("somebody walks to out-feed and brings back what has come out after each pass: 4 × 25.0 s"),
        "{told}"
    );
}

/// Of the maker: 30 s at the saw, then 10 s there, 2 s, 10 s back and 3 s, four times, and 20 s of tear-down.
#[test]
fn the_trace_tells_each_walk() {
    let lines = trace(&two_boards(""), 0, 0);
    let told = lines.iter().filter_map(|line: &TraceLine| match line.what {
        What::Phase {
            of: Occupied::Person(PersonId(0)),
            doing,
        } => Some((
            doing,
            line.start.micros() / SECOND,
            line.end.micros() / SECOND,
        )),
        _ => None,
    });
    let told: Vec<(Doing, i64, i64)> = told.collect();
    let work = |phase| Doing::Work {
        phase,
        at: StationId(0),
    };
    assert_eq!(told.len(), 4 * 5 + 1, "{told:?}");
    for (pass, of_pass) in told.chunks(5).take(4).enumerate() {
        let begins = 55 * pass as i64;
        assert_eq!(of_pass[0], (work(WorkPhase::Run), begins, begins + 30));
        let ends: Vec<i64> = of_pass.iter().map(|phase| phase.2 - begins).collect();
        assert_eq!(ends, [30, 40, 42, 52, 55]);
        for (phase, manner) in [(1, Manner::Empty), (3, Manner::Carrying)] {
            let Doing::Walk {
                manner: how,
                distance,
                ..
            } = of_pass[phase].0
            else {
                panic!("{of_pass:?}");
            };
            assert_eq!((how, distance.metres()), (manner, 10.0));
        }
    }
    assert_eq!(told[20], (work(WorkPhase::Teardown), 220, 240));
}

/// The helper walks 10 m to behind the saw first, and then nobody walks: 10 + 120 + 20 s.
#[test]
fn a_helper_behind_the_saw_saves_the_walks() {
    let study = two_boards(", people: 2");
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.end.micros(), 150 * SECOND);
    assert_eq!(record.walking().metres(), 10.0);
    let saw = &record.stations[0];
    assert_eq!((seconds(saw.running), seconds(saw.reserved)), (140, 10));
    let helper = &record.crew[1];
    assert_eq!(
        (seconds(helper.walking), seconds(helper.working)),
        (10, 140)
    );
}

/// A blade that is due after 60 s of run is seen to behind the piece that comes out then, once that is brought back.
#[test]
fn what_comes_out_is_taken_before_the_blade_is_seen_to() {
    let yaml = "title: Around the saw\n\
         stations: {saw: {upkeep: {blade: {every: 1 min, time: 5 min}}, does: {rip: {per piece: 1 min, catches: out-feed}}}, out-feed: {}}\n\
         handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}\n\
         projects: {box: {pieces: 1, route: [rip]}}\norders: [{project: box}]\n\
         layouts: {room: {distances: {saw: {out-feed: 30 m}}}}\n";
    let study = study(yaml);
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.end.micros(), (60 + 60 + 300) * SECOND);
    let saw = &record.stations[0];
    assert_eq!((seconds(saw.serviced), seconds(saw.running)), (300, 120));
    let told = trace(&study, 0, 0);
    let doing = told.iter().filter_map(|line| match line.what {
        What::Phase {
            of: Occupied::Unit(StationId(0), _),
            doing,
        } => Some(doing),
        _ => None,
    });
    let run = Doing::Work {
        phase: WorkPhase::Run,
        at: StationId(0),
    };
    let doing: Vec<Doing> = doing.collect();
    assert_eq!(doing, [run, Doing::Serviced]);
}

#[test]
fn what_cannot_be_taken_there_is_refused() {
    let refused = |keys: &str, what: &str| {
        let yaml = format!(
            "title: x\nstations: {{saw: {{does: {{rip: {{per piece: 1 min, {keys}}}}}}}, out-feed: {{}}}}\n\
             projects: {{box: {{pieces: 2, route: [rip]}}}}\norders: [{{project: box}}]\n\
             layouts: {{room: {{distances: {{saw: {{out-feed: 10 m}}}}}}}}\n"
        );
        refused_of(&yaml, what);
    };
    refused(
        "catches: saw",
        "what comes out of `rip` is taken at `saw` itself",
    );
    refused(
        "catches: out-feed, people: 0",
        "`rip` needs nobody, but what comes out is taken by somebody",
    );
    refused(
        "catches: out-feed, passes: 5000",
        "nobody takes one piece 5000 times behind a machine",
    );
    refused("catches: outfeed", "did you mean `out-feed`?");
}
