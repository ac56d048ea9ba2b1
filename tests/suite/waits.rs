//! What the work waits for and what people wait for: shops reckoned by hand, and the definitions read plainly.

mod by_hand;
mod generated;

use crate::support::{play, study, waited};
use shopstride::experiment::CandidateFindings;
use shopstride::metrics::{LeadTimeComponents, LineLeadTime, Record, Waited, Waits};
use shopstride::shop::PersonId;
use shopstride::units::Span;

const S: i64 = 1_000_000;

const SPOT: &str = "layouts: {x: {distances: 0}}\n";

/// Seconds by leaf and order, in the order of the parts of a split, for each line; and by person what they wait for:
/// a cure, a station, gear, and nothing to do.
fn found(yaml: &str) -> (Vec<[f64; 7]>, Vec<[f64; 4]>) {
    let study = study(&format!(
        "title: By hand\nhandling: {{pick up: 0, put down: 0}}\n{yaml}"
    ));
    let waits = waited(&study);
    assert_adds_up(
        &waits,
        &crate::support::record(&study, 0, study.settings.seed, 0),
    );
    let lines = waits.lead_times.iter().map(|line| {
        let by = line.orders as f64 * f64::from(line.leaves) * S as f64;
        let [worked, carried, curing, station, apart, others @ ..] = while_open(&line.split);
        assert_eq!(apart, 0, "everything goes together here");
        let [gear, person, parts] = others;
        let all = [worked, carried, curing, station, gear, person, parts];
        all.map(|part| part as f64 / by)
    });
    let people = waits.crew.iter().map(|of| {
        assert_eq!(of.kept_apart, Span::ZERO);
        [of.cure, of.station, of.gear, of.nothing].map(Span::seconds)
    });
    (lines.collect(), people.collect())
}

/// The parts of a split of a shop that is never shut.
fn while_open(split: &LeadTimeComponents<i128>) -> [i128; 8] {
    let [parts @ .., shut] = split.parts();
    assert_eq!(shut, 0, "the shop is always open");
    parts
}

/// Splits add up to lead times, and people's waiting and work to what the totals say.
fn assert_adds_up(waits: &Waited, record: &Record) {
    let mut lead_times = vec![(0, 0); record.projects.len()];
    for LineLeadTime {
        project,
        orders,
        leaves,
        lead_time,
        split,
    } in &waits.lead_times
    {
        let parts = split.parts();
        assert_eq!(parts.iter().sum::<i128>(), lead_time * i128::from(*leaves));
        assert!(parts.iter().all(|&part| part >= 0), "{split:?}");
        lead_times[project.index()].0 += orders;
        lead_times[project.index()].1 += lead_time;
    }
    let of_record: Vec<(u64, i128)> = (record.projects.iter())
        .map(|project| (project.orders_done, project.lead_time))
        .collect();
    assert_eq!(lead_times, of_record);
    let all = record.crew.len() * record.stations.len();
    assert_eq!(waits.worked_at.len(), all);
    for (index, of) in waits.crew.iter().enumerate() {
        let person = PersonId(index as u32);
        assert_eq!(of.waiting(), record.waiting(person));
        let causes = [of.cure, of.station, of.kept_apart, of.gear, of.nothing];
        assert!(causes.iter().all(|&span| span >= Span::ZERO), "{of:?}");
        let stations = record.stations.len();
        let working_at: Vec<Span> = (waits.worked_at[index * stations..][..stations].iter())
            .map(|at| at.setting_up + at.running + at.servicing)
            .collect();
        assert_eq!(working_at, record.crew[index].working_at);
    }
}

/// Findings and JSON hold the means of what the recorder finds.
#[test]
fn findings_add_up() {
    let study = study(
        "title: Findings
stations:
  rack: {}
  saw: {does: {cut: {setup: 1 min, per piece: {triangular: [10 s, 20 s, 90 s]}}}}
  bench: {does: {glue: {per lot: 5 min, gear: {clamps: 2}, cure: {time: 20 min, ties up: [clamps]}}}}
gear: {clamps: {count: 2}}
crew: {Ann: {}, Ben: {can: [cut]}}
projects:
  box:
    parts:
      side: {pieces: 4, batch: 2, material at: rack, route: [cut]}
      lid: {pieces: 1, material at: rack, route: [cut]}
    assemblies:
      box: {made of: [side, lid], route: [glue]}
orders: [{project: box, every: {exponential: 20 min}, count: 20}]
layouts: {x: {distances: {rack: {saw: 5 m, bench: 6 m}, saw: {bench: 3 m}}}}
run: {replications: 8, seed: 3}
",
    );
    let findings = shopstride::experiment::run(&study, 0, &|_| ()).expect("it ends");
    let found = &findings.candidates[0];
    let same = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * (1.0 + b), "{a} {b}");
    let split = found.projects[0].lead_time_split.expect("orders are done");
    let lead_time = found.projects[0].lead_time.expect("orders are done").mean;
    same(split.parts().iter().sum(), lead_time);
    // Every box cures for 20 minutes.
    same(split.curing, 1200.0);
    let mut document = shopstride::report::data::json(&findings);
    let candidate = document["candidates"][0].take();
    let sum = |value: &serde_json::Value| -> f64 {
        let parts = value.as_object().expect("parts").values();
        parts.map(|part| part.as_f64().expect("seconds")).sum()
    };
    let of_project = &candidate["projects"][0]["lead_time_split_s"];
    same(sum(of_project), lead_time);
    same(
        of_project["waiting_gear"].as_f64().expect("s"),
        split.waiting_gear,
    );
    assert!(split.waiting_gear > 0.0);
    for (index, person) in found.crew.iter().enumerate() {
        let of = &candidate["crew"][index];
        same(sum(&of["waiting_for_s"]), person.waiting);
        let stations = of["at_stations"].as_array().expect("a list");
        let times = stations
            .iter()
            .flat_map(|at| [&at["setup_s"], &at["running_s"]]);
        same(times.map(|s| s.as_f64().expect("s")).sum(), person.working);
        // Ben can only cut, and nobody is short of clamps for that. Nothing follows the cure of a box.
        assert_eq!(person.name == "Ben", stations.len() == 1);
        assert_eq!(of["waiting_for_s"]["gear"] == 0.0, person.name == "Ben");
        assert_eq!(of["waiting_for_s"]["cure"], 0.0);
    }
}

#[test]
fn memory_does_not_grow_with_the_run() {
    let held = |orders: u32| {
        let study = study(&format!(
            "title: Long
handling: {{pick up: 0, put down: 0}}
stations: {{bench: {{does: {{glue: {{per lot: 10 s, cure: {{time: 15 s, ties up: []}}}}}}}}}}
projects: {{box: {{pieces: 4, batch: 1, route: [glue]}}}}
orders: [{{project: box, every: 1 min, count: {orders}}}]
{SPOT}"
        ));
        let shop = &study.candidates[0].shop;
        let mut waits = Waits::new(shop, Span::ZERO, None);
        play(&study, &mut waits);
        // Places are used again and never given up, so what is held at the end is the most that was held.
        let kept = format!("{waits:?}");
        let held = ["OrderSoFar {", "ReadyLot {"].map(|place| kept.matches(place).count());
        assert!(held.iter().all(|&held| held > 0), "{kept}");
        let still = ["DueChange {", "CureNow {"].map(|change| kept.matches(change).count());
        assert!(
            still.iter().all(|&still| still < 10),
            "{still:?} changes are kept"
        );
        let waited = waits.waited();
        assert_eq!(waited.lead_times[0].orders, u64::from(orders));
        held
    };
    assert_eq!(held(3000), held(3));
}

/// A second person who works once in a thousand replications does not in the two hundred that are diagnosed. What
/// these say is said of them alone: it adds up to their time, it is the same however many are played besides, and
/// nothing is made up of the work that they do not know.
#[test]
fn what_is_diagnosed_is_of_the_first_replications_alone() {
    let yaml = "
title: Rarely both
stations: {bench: {count: 2, does: {sand: {per piece: {uniform: [30 s, 90 s]}}}}}
crew: {first: {}, second: {}}
projects: {box: {pieces: 1, route: [sand]}}
orders: [{project: box, count: 2, every: {exponential: 3000 min}}]
layouts: {one: {distances: 0}}
";
    let mut study = study(yaml);
    let mut played = |replications: u32| {
        study.settings.replications = shopstride::experiment::Replications::Fixed(replications);
        shopstride::experiment::run(&study, 0, &|_| {}).expect("it ends")
    };
    let (few, many) = (played(200), played(5000));
    assert_eq!((few.diagnosed, many.diagnosed), (200, 200));
    assert_eq!(many.replications, 5000);
    let (few, many) = (&few.candidates[0], &many.candidates[0]);
    let seconds = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * (1.0 + b), "{a} {b}");
    for (few, many) in few.crew.iter().zip(&many.crew) {
        assert_eq!(few.diagnosed, many.diagnosed);
        assert_eq!(few.held, many.held);
        let all = few.working + few.walking + few.handling + few.waiting;
        seconds(many.diagnosed.whole(), all);
        seconds(few.diagnosed.waiting_for.whole(), few.waiting);
    }
    let second = &many.crew[1];
    assert_eq!(few.crew[1].working, 0.0);
    assert!(second.working > 0.0);
    assert_eq!(second.diagnosed.at_stations, []);
    let lead_time =
        |found: &CandidateFindings| found.projects[0].lead_time.expect("it is done").mean;
    let split = many.projects[0].lead_time_split.expect("it is done");
    assert_eq!(few.projects[0].lead_time_split, Some(split));
    seconds(split.parts().iter().sum(), lead_time(few));
    assert!((lead_time(few) - lead_time(many)).abs() > 1e-6);
}
