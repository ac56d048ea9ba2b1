//! Timelines and queues of runs that are played: against the recorders, and by hand.

use shopstride::engine::{Prepared, Run, simulate};
use shopstride::experiment::{
    Activity, Replications, ResourceKind, TimelineBar as Bar, TimelineKind as Kind, play_timeline,
    run,
};
use shopstride::metrics::{Active, Bottlenecks};
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::{self, ALL};
use shopstride::scenario;
use shopstride::units::Span;

use super::drawing::Drawing;
use super::fixtures::{SMALL, findings};
use super::{SCALES, subject};

/// Of lots that wait.
const WAITING: Colour = (230, 159, 0);

const SCENARIOS: [&str; 4] = ["garage", "class", "basement", "carved-chest"];

fn study(name: &str) -> shopstride::experiment::Study {
    let file = format!("{}/scenarios/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let loaded = scenario::load(name, &std::fs::read(file).unwrap());
    loaded.unwrap_or_else(|_| panic!("{name} is sound")).study
}

/// The strip finds out for itself when the bottleneck is shared; the recorder counts how long it is not.
#[test]
fn the_strip_agrees_with_the_recorder() {
    for name in SCENARIOS {
        let study = study(name);
        for (index, candidate) in study.candidates.iter().enumerate() {
            let timeline = play_timeline(&study, index, 1).unwrap();
            let mut bottlenecks = Bottlenecks::new(&candidate.shop, Span::ZERO).marking();
            let run = Run {
                seed: study.settings.seed,
                replication: 1,
                until: study.settings.until,
            };
            let prepared = Prepared::new(&candidate.shop, &candidate.walks);
            simulate(&prepared, &run, &mut bottlenecks).unwrap();
            let found = bottlenecks.found();
            let mut seen = 0;
            let mut check = |resource: &str, kind: ResourceKind, active: &Active| {
                let rows = timeline.rows.iter();
                let bars: Vec<Bar> = rows
                    .filter(|row| row.kind == Kind::Bottleneck(kind) && row.name == resource)
                    .flat_map(|row| row.bars.clone())
                    .collect();
                let of = |what: Activity| -> f64 {
                    let bars = bars.iter().filter(|bar| bar.what == what);
                    bars.map(|bar| bar.to_s - bar.from_s).sum()
                };
                let about = format!("{name}, {}: {resource}", candidate.name);
                let (sole, shared) = (of(Activity::Sole), of(Activity::Shifting));
                assert!(
                    (sole - active.sole.seconds()).abs() < 1e-3,
                    "{about}: {sole} {active:?}"
                );
                assert!(
                    shared <= active.shifting.seconds() + 1e-3,
                    "{about}: {shared} {active:?}"
                );
                assert_eq!(
                    bars.is_empty(),
                    active.sole.is_zero() && active.shifting.is_zero()
                );
                // The spells of one resource are the time in which it is the bottleneck alone or with others.
                let spells = timeline.spells.iter();
                let spells = spells.filter(|spell| spell.name == resource && spell.kind == kind);
                let all: f64 = spells.map(|spell| spell.to_s - spell.from_s).sum();
                let counted = (active.sole + active.shifting).seconds();
                assert!((all - counted).abs() < 1e-3, "{about}: {all} {active:?}");
                seen += bars.len();
            };
            for (station, active) in candidate.shop.stations.iter().zip(&found.stations) {
                check(&station.name, ResourceKind::Station, active);
            }
            for (person, active) in &found.people {
                check(person, ResourceKind::Person, active);
            }
            for (gear, active) in candidate.shop.gear.iter().zip(&found.gear) {
                check(&gear.name, ResourceKind::Gear, active);
            }
            assert!(seen > 3, "{name}: {seen} bars");
            for row in timeline.rows.iter().filter(|row| row.kind == Kind::Person) {
                let told: f64 = row.bars.iter().map(|bar| bar.to_s - bar.from_s).sum();
                assert!(
                    (told - timeline.end_s).abs() < 1e-3,
                    "{name}: {} is somewhere",
                    row.name
                );
            }
        }
    }
}

#[test]
fn timelines_of_the_scenarios_can_be_read() {
    for name in SCENARIOS {
        let study = study(name);
        let timeline = play_timeline(&study, 0, 0).unwrap();
        let chart = ALL.iter().find(|chart| chart.stem == "timeline").unwrap();
        let found = findings(&SMALL);
        for scale in SCALES {
            let pictures = charts::pictures(chart, &subject(&found, Some(&timeline), &[]), scale);
            Drawing::of(&pictures[0]).check(&format!("{name} at {scale}"));
        }
    }
}

/// Three trays come at once to a bench at which each takes 10 min: two wait for 10 min, and one for 10 more.
#[test]
fn a_queue_is_told_from_change_to_change() {
    let yaml = "title: Trays
stations: {bench: {does: {sand: {per lot: 10 min}}}, shelf: {does: {coat: {per lot: 1 min}}}}
projects: {tray: {pieces: 1, route: [sand, coat]}}
handling: {pick up: 0 s, put down: 0 s}
crew: {ann: {can: [sand]}, ben: {can: [coat]}}
orders: [{project: tray, count: 3}]
layouts: {one: {distances: 0}}
";
    let timeline = play_timeline(&crate::support::study(yaml), 0, 0).unwrap();
    let [bench] = &timeline.queues[..] else {
        panic!(
            "only at the bench does anything wait: {:?}",
            timeline.queues
        );
    };
    assert_eq!(bench.station, "bench");
    assert_eq!(bench.levels, [(0.0, 2), (600.0, 1), (1_200.0, 0)]);
    let chart = ALL.iter().find(|chart| chart.stem == "queues").unwrap();
    let found = findings(&SMALL);
    let drawn = |timeline| charts::pictures(chart, &subject(&found, Some(timeline), &[]), 1.0);
    let drawing = Drawing::of(&drawn(&timeline)[0]);
    let bars = drawing.bars(WAITING);
    let [.., two, one] = &bars[..] else {
        panic!("two bars behind the sign of the legend: {bars:?}");
    };
    assert!((two.width - one.width).abs() <= 1.0 && (two.height - 2.0 * one.height).abs() <= 1.0);
    assert!((one.x - two.x - two.width).abs() <= 1.0);
    assert!(
        (two.y + two.height - one.y - one.height).abs() <= 1.0,
        "one base"
    );
    // One lot that waits is no pile.
    let mut short = timeline.clone();
    short.queues[0].levels = vec![(0.0, 1), (600.0, 0)];
    assert!(drawn(&short).is_empty());
}

/// The mean over time is that which the totals have added up on their own, but for the last digits.
#[test]
fn queues_come_to_their_means() {
    for name in SCENARIOS {
        let mut study = study(name);
        study.settings.replications = Replications::Fixed(1);
        study.candidates.truncate(1);
        let found = run(&study, 0, &|_| ()).unwrap();
        let timeline = play_timeline(&study, 0, 0).unwrap();
        for station in &found.candidates[0].stations {
            let queue = timeline
                .queues
                .iter()
                .find(|queue| queue.station == station.name);
            let levels = queue.map_or(&[][..], |queue| &queue.levels);
            let ends = levels
                .iter()
                .skip(1)
                .map(|(from, _)| *from)
                .chain([timeline.end_s]);
            let all = levels.iter().zip(ends);
            let sum: f64 = all
                .map(|((from, level), to)| f64::from(*level) * (to - from))
                .sum();
            let (mean, expected) = (sum / timeline.end_s, station.queue.mean);
            assert!(
                (mean - expected).abs() < 1e-6,
                "{name}, {}: {mean} {expected}",
                station.name
            );
        }
    }
}

/// The last coat dries overnight, so that the table is done on the fifth day, as soon as the shop opens: the end of open
/// time has the name of that day, though it has hardly any width.
#[test]
fn a_timeline_names_the_day_on_which_all_is_done() {
    let mut study = study("garage");
    let timeline = play_timeline(&study, 0, 0).unwrap();
    let last = timeline.openings.last().unwrap();
    assert_eq!(last.weekday, 3, "a Thursday");
    assert!(
        timeline.end_s - last.from_s < 60.0,
        "{}",
        timeline.end_s - last.from_s
    );
    study.settings.replications = Replications::Fixed(1);
    let found = run(&study, 0, &|_| ()).unwrap();
    let done = found.candidates[0]
        .hours
        .as_ref()
        .unwrap()
        .all_done
        .unwrap();
    let calendar = &study.candidates[0].shop.calendar;
    assert_eq!(calendar.weekday(done.p50), 3);
    let chart = ALL.iter().find(|chart| chart.stem == "timeline").unwrap();
    let drawn = charts::pictures(chart, &subject(&found, Some(&timeline), &[]), 1.0);
    let drawn = Drawing::of(&drawn[0]);
    let days = drawn.texts.iter().filter(|text| text.text == "Thu");
    assert_eq!(days.count(), 2);
    drawn.check("garage");
}
