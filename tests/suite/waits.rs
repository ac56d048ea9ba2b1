//! What the work waits for and what people wait for: shops reckoned by hand, and the definitions read plainly.

use crate::second_reading::generate;
use crate::support::study;
use crate::waits_plainly::Heard;
use shopstride::engine::{Prepared, Recorder, Run, simulate};
use shopstride::experiment::{CandidateFindings, Study};
use shopstride::metrics::{IdleTime, LeadTimeComponents, LineLeadTime, Record, Waited, Waits};
use shopstride::shop::PersonId;
use shopstride::units::{Span, Time};

const S: i64 = 1_000_000;

fn play(study: &Study, recorder: &mut impl Recorder) {
    let candidate = &study.candidates[0];
    let run = Run {
        seed: study.settings.seed,
        replication: 0,
        until: study.settings.until,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, recorder).unwrap_or_else(|stuck| panic!("{stuck:?}"));
}

fn waits(study: &Study) -> Waited {
    let (shop, settings) = (&study.candidates[0].shop, &study.settings);
    let mut waits = Waits::new(shop, settings.warm_up, settings.until);
    play(study, &mut waits);
    waits.waited()
}

/// Seconds by leaf and order, in the order of the parts of a split, for each line; and by person what they wait for:
/// a cure, a station, gear, and nothing to do.
fn found(yaml: &str) -> (Vec<[f64; 7]>, Vec<[f64; 4]>) {
    let study = study(&format!(
        "title: By hand\nhandling: {{pick up: 0, put down: 0}}\n{yaml}"
    ));
    let waits = waits(&study);
    assert_adds_up(
        &waits,
        &crate::support::record(&study, 0, study.settings.seed, 0),
    );
    let lines = waits.lead_times.iter().map(|line| {
        let by = line.orders as f64 * f64::from(line.leaves) * S as f64;
        line.split.parts().map(|part| part as f64 / by)
    });
    let people = waits
        .crew
        .iter()
        .map(|of| [of.cure, of.station, of.gear, of.nothing].map(Span::seconds));
    (lines.collect(), people.collect())
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
    for (index, of) in waits.crew.iter().enumerate() {
        let person = PersonId(index as u32);
        assert_eq!(of.waiting(), record.waiting(person));
        let causes = [of.cure, of.station, of.gear, of.nothing];
        assert!(causes.iter().all(|&span| span >= Span::ZERO), "{of:?}");
        let working_at: Vec<Span> = (of.setting_up.iter().zip(&of.running))
            .map(|(&setting_up, &running)| setting_up + running)
            .collect();
        assert_eq!(working_at, record.crew[index].working_at);
    }
}

const SPOT: &str = "layouts: {x: {distances: 0}}\n";

#[test]
fn a_station_is_busy() {
    // Two boxes at once, 10 s each at one saw; there are two people. The second waits 10 s for the saw: a mean of 5 s.
    let (lines, people) = found(&format!(
        "stations: {{saw: {{does: {{cut: {{per lot: 10 s}}}}}}}}
crew: {{both: {{count: 2}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, count: 2}}]
{SPOT}"
    ));
    assert_eq!(lines, [[10.0, 0.0, 0.0, 5.0, 0.0, 0.0, 0.0]]);
    // The first person is the first to choose each time. The other waits for the saw for 10 s, as long as a box does.
    assert_eq!(people, [[0.0; 4], [0.0, 10.0, 0.0, 10.0]]);
}

#[test]
fn a_person_is_busy() {
    // Two saws and one person: the second box waits for the person.
    let (lines, people) = found(&format!(
        "stations: {{saw: {{count: 2, does: {{cut: {{per lot: 10 s}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, count: 2}}]
{SPOT}"
    ));
    assert_eq!(lines, [[10.0, 0.0, 0.0, 0.0, 0.0, 5.0, 0.0]]);
    assert_eq!(people, [[0.0; 4]]);
}

#[test]
fn gear_is_short() {
    // Two benches, two people and clamps for one: the second box waits for the clamps.
    let (lines, people) = found(&format!(
        "stations: {{bench: {{count: 2, does: {{glue: {{per lot: 10 s, gear: {{clamps: 2}}}}}}}}}}
gear: {{clamps: {{count: 3}}}}
crew: {{both: {{count: 2}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, count: 2}}]
{SPOT}"
    ));
    assert_eq!(lines, [[10.0, 0.0, 0.0, 0.0, 5.0, 0.0, 0.0]]);
    assert_eq!(people, [[0.0; 4], [0.0, 0.0, 10.0, 10.0]]);
}

#[test]
fn a_cure_ties_up_the_station() {
    // 10 s of gluing and 30 s of cure at one bench, twice. The second box waits 40 s for the bench, mean 20 s. The
    // person waits for the first cure, behind which the second box is glued; behind the second there is nothing to do.
    let (lines, people) = found(&format!(
        "stations: {{bench: {{does: {{glue: {{per lot: 10 s, cure: {{time: 30 s, ties up: [station]}}}}}}}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, count: 2}}]
{SPOT}"
    ));
    assert_eq!(lines, [[10.0, 0.0, 30.0, 20.0, 0.0, 0.0, 0.0]]);
    assert_eq!(people, [[30.0, 0.0, 0.0, 30.0]]);
}

#[test]
fn a_cure_ties_up_gear_or_nothing() {
    // The clamps are tied up to 40 s, so the second box waits 40 s: 10 s while the bench is taken, 30 s for clamps. For
    // these the person waits too; nothing follows a cure.
    let glue = |ties_up: &str| {
        found(&format!(
            "stations: {{bench: {{does: {{glue: {{per lot: 10 s, gear: {{clamps: 1}}, cure: {{time: 30 s{ties_up}}}}}}}}}}}
gear: {{clamps: {{count: 1}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, count: 2}}]
{SPOT}"
        ))
    };
    let (lines, people) = glue(", ties up: [clamps]");
    assert_eq!(lines, [[10.0, 0.0, 30.0, 5.0, 15.0, 0.0, 0.0]]);
    assert_eq!(people, [[0.0, 0.0, 30.0, 30.0]]);
    // Without, the second box is glued from 10 s to 20 s, and then there is nothing to do.
    let (lines, people) = glue(", ties up: []");
    assert_eq!(lines, [[10.0, 0.0, 30.0, 5.0, 0.0, 0.0, 0.0]]);
    assert_eq!(people, [[0.0, 0.0, 0.0, 30.0]]);
}

/// The teacher rips until 10 min, and has nothing to do for the other 110: only the pupil sands what cures from 20 to 50
/// min, and nobody is needed for the second billet, which waits for the kiln until 60 min. The pupil has nothing to do
/// for 10 min at first and for 60 at the end.
#[test]
fn somebody_waits_only_for_what_they_can_go_on_with() {
    let study = study(&crate::support::data("scenarios/teacher.yaml"));
    let minutes =
        |of: &IdleTime| [of.cure, of.station, of.gear, of.nothing].map(|of| of.seconds() / 60.0);
    let people: Vec<[f64; 4]> = waits(&study).crew.iter().map(minutes).collect();
    assert_eq!(people, [[0.0, 0.0, 0.0, 110.0], [30.0, 0.0, 0.0, 70.0]]);
    // Where billets have to be brought to the kiln, which is not where they lie, whoever may bring them waits for it.
    let brought = crate::support::data("scenarios/teacher.yaml")
        .replace("{route: [dry]}", "{material at: saw, route: [dry]}")
        .replace("can: [rip]", "can: [rip, dry]")
        .replace("pick up: 0", "pick up: 2 s");
    let people: Vec<[f64; 4]> = (waits(&crate::support::study(&brought)).crew.iter())
        .map(minutes)
        .collect();
    // From 10 min and 4 s (two billets picked up, the second only when the first is dried).
    assert!(people[0][1] > 59.0 && people[0][0] == 0.0, "{people:?}");
}

/// What follows the last operation of a part is what is done with the assembly that it goes into, and what follows
/// that of an assembly is its delivery.
#[test]
fn behind_a_last_cure_comes_the_assembly_or_the_delivery() {
    let shop = |crew: &str, deliver: &str| {
        let (_, people) = found(&format!(
            "stations: {{bench: {{does: {{glue: {{per lot: 10 s, cure: {{time: 30 s, ties up: []}}}}, join: {{per lot: 5 s}}}}}}, door: {{}}}}
crew: {crew}
projects:
  box:
    parts: {{side: {{pieces: 1, route: [glue]}}}}
    assemblies: {{frame: {{made of: [side], route: [join, glue]{deliver}}}}}
orders: [{{project: box}}]
layouts: {{x: {{distances: {{bench: {{door: 5 m}}}}}}}}"
        ));
        people
    };
    let both = "{gluer: {can: [glue]}, joiner: {can: [join]}}";
    // Glue until 10, cure until 40, join until 45, glue until 55, cure until 85.
    let people = shop(both, "");
    assert_eq!(people, [[0.0, 0.0, 0.0, 65.0], [30.0, 0.0, 0.0, 50.0]]);
    // Both could deliver it: the first does, from 85 to 90 s; the other has nothing to do then.
    let people = shop(both, ", deliver to: door");
    assert_eq!(people, [[30.0, 0.0, 0.0, 35.0], [60.0, 0.0, 0.0, 25.0]]);
}

#[test]
fn a_last_cure_that_varies_ends_with_the_order() {
    let (lines, people) = found(&format!(
        "stations: {{bench: {{does: {{oil: {{per lot: 10 s, cure: {{time: {{uniform: [1 s, 9 h]}}}}}}}}}}}}
projects: {{box: {{pieces: 1, route: [oil]}}}}
orders: [{{project: box}}]
run: {{replications: 1}}
{SPOT}"
    ));
    let [worked, carried, curing, rest @ ..] = lines[0];
    assert_eq!((worked, carried, rest), (10.0, 0.0, [0.0; 4]));
    assert!(
        curing > 1.0 && people[0].iter().sum::<f64>() == curing,
        "{curing} {people:?}"
    );
}

#[test]
fn parts_wait_for_an_assembly() {
    // Two saws, two people: the lid is sawn in 10 s, the sides in 40 s. The lid waits 30 s, and then both are put
    // together for 5 s. Means over the two leaves.
    let (lines, people) = found(&format!(
        "stations:
  saw: {{count: 2, does: {{cut: {{}}}}}}
  bench: {{does: {{assemble: {{per lot: 5 s}}}}}}
crew: {{both: {{count: 2}}}}
projects:
  box:
    parts:
      lid: {{pieces: 1, material at: saw, route: [{{op: cut, per lot: 10 s}}]}}
      sides: {{pieces: 4, material at: saw, route: [{{op: cut, per lot: 40 s}}]}}
    assemblies:
      box: {{made of: [lid, sides], route: [assemble]}}
orders: [{{project: box}}]
{SPOT}"
    ));
    assert_eq!(
        lines,
        [[(10.0 + 40.0) / 2.0 + 5.0, 0.0, 0.0, 0.0, 0.0, 0.0, 15.0]]
    );
    // One assembles; the other has nothing to do after 10 s or after 40 s.
    let nothing: f64 = people.iter().map(|of| of[3]).sum();
    assert_eq!(nothing, 30.0 + 5.0);
    let waiting: f64 = people.iter().flatten().sum();
    assert_eq!(waiting, nothing);
}

#[test]
fn batches_are_leaves_and_weigh_in_their_assembly() {
    // Three pieces as two batches of 20 s and 10 s, after each other by one person, and a lid of 6 s. The lid is sawn
    // last, as the file says. Then 5 s of assembly of all three leaves, ordered one after the other in two lines.
    let project = "stations:
  saw: {count: 3, does: {cut: {}}}
  bench: {does: {assemble: {per lot: 5 s}}}
projects:
  box:
    parts:
      sides: {pieces: 3, batch: 2, material at: saw, route: [{op: cut, per piece: 10 s}]}
      lid: {pieces: 1, material at: saw, route: [{op: cut, per lot: 6 s}]}
    assemblies:
      box: {made of: [sides, lid], route: [assemble]}
";
    let (lines, people) = found(&format!("{project}orders: [{{project: box}}]\n{SPOT}"));
    // Worked 20, 10 and 6 s, each 5 s more; waits for the person 0, 20 and 30 s; waits for parts 16, 6 and 0 s.
    let thirds = |a: f64, b: f64, c: f64| (a + b + c) / 3.0;
    let person = thirds(0.0, 20.0, 30.0);
    assert_eq!(lines[0][0], thirds(25.0, 15.0, 11.0));
    assert_eq!(lines[0][5], person);
    assert_eq!(lines[0][6], thirds(16.0, 6.0, 0.0));
    assert_eq!(people, [[0.0; 4]]);
    // Two together: batches of 2, 2 and 2 pieces make three leaves of sides, and one lid: 20, 20, 20 and 6 s. They
    // wait for the person 0, 20, 40 and 60 s, and for parts 46, 26, 6 and 0 s.
    let (lines, _) = found(&format!(
        "{project}orders: [{{project: box, together: 2}}]\n{SPOT}"
    ));
    assert_eq!(
        lines,
        [[
            66.0 / 4.0 + 5.0,
            0.0,
            0.0,
            0.0,
            0.0,
            120.0 / 4.0,
            78.0 / 4.0
        ]]
    );
}

#[test]
fn carrying_and_delivering() {
    // 10 m to the lot and 10 m back loaded at 1 m/s, 5 s of work, and 20 m to the door. Two boxes: the second waits
    // for the person until the first is sawn at 25 s; then people are at the saw, and the second is ready longest.
    let (lines, people) = found(
        "stations: {rack: {}, saw: {does: {cut: {per lot: 5 s}}}, door: {}}
crew: {one: {starts at: saw, walking speed: 1 m/s}}
projects: {box: {parts: {side: {pieces: 1, material at: rack, route: [cut], deliver to: door}}}}
orders: [{project: box, count: 2}]
layouts: {x: {distances: {rack: {saw: 10 m, door: 30 m}, saw: {door: 20 m}}}}
",
    );
    // Loaded speed is 1 m/s too. First: carried 20 s to 20, worked to 25, waits for the person to 50, delivered to 70.
    // Second: waits for the saw to 25, carried to 45, worked to 50, waits to 90 (the person comes back), 20 s more.
    let first = [5.0, 20.0 + 20.0, 0.0, 0.0, 0.0, 25.0, 0.0];
    let second = [5.0, 20.0 + 40.0, 0.0, 25.0, 0.0, 20.0, 0.0];
    let mean: Vec<f64> = first
        .iter()
        .zip(second)
        .map(|(a, b)| (a + b) / 2.0)
        .collect();
    assert_eq!(lines, [<[f64; 7]>::try_from(mean).expect("seven")]);
    assert_eq!(people, [[0.0; 4]]);
}

#[test]
fn spoiled_pieces_are_waited_for() {
    let study = study(&format!(
        "title: Spoiled
handling: {{pick up: 0, put down: 0}}
stations: {{saw: {{does: {{cut: {{per piece: 1 s, spoils: 30 %}}}}}}}}
projects: {{box: {{pieces: 40, route: [cut]}}}}
orders: [{{project: box}}]
run: {{replications: 1}}
{SPOT}"
    ));
    let waits = waits(&study);
    let line = &waits.lead_times[0];
    assert!(
        line.lead_time > i128::from(40 * S),
        "some of 40 are spoiled"
    );
    let expected = LeadTimeComponents {
        worked: i128::from(40 * S),
        waiting_parts: line.lead_time - i128::from(40 * S),
        ..LeadTimeComponents::default()
    };
    assert_eq!(line.split, expected);
}

#[test]
fn helpers_on_the_way_and_skills() {
    // Gluing takes both people, who start at the bench and the saw 8 m away at 1 m/s: the one at the bench waits for
    // the other for 8 s, with nothing to do. Only one of them can saw, and another lid waits for the saw meanwhile; but
    // both lids lie at the saw, which works alone, so nobody is needed for that.
    let (_, people) = found(
        "stations:
  saw: {does: {cut: {people: 0, per lot: 100 s}}}
  bench: {does: {glue: {people: 2, per lot: 10 s}}}
crew:
  Ann: {starts at: bench, walking speed: 1 m/s}
  Ben: {starts at: saw, walking speed: 1 m/s, can: [glue]}
projects:
  box: {pieces: 1, material at: bench, route: [glue]}
  lid: {pieces: 1, material at: saw, route: [cut]}
orders: [{project: box}, {project: lid, count: 2}]
layouts: {x: {distances: {saw: {bench: 8 m}}}}
",
    );
    // Both are free at 18 s; a lid waits for the saw up to 100 s, and the run ends at 200 s.
    assert_eq!(people[0], [0.0, 0.0, 0.0, 8.0 + 182.0]);
    assert_eq!(people[1], [0.0, 0.0, 0.0, 182.0]);
}

#[test]
fn set_up_apart_from_running() {
    let study = study(&format!(
        "title: Setup
handling: {{pick up: 0, put down: 0}}
stations: {{saw: {{does: {{cut: {{setup: 7 s, per lot: 5 s, teardown: 2 s}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, count: 3}}]
{SPOT}"
    ));
    let expected = IdleTime {
        setting_up: vec![Span::from_micros(7 * S)],
        running: vec![Span::from_micros(3 * 7 * S)],
        ..IdleTime::default()
    };
    assert_eq!(waits(&study).crew, [expected]);
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

/// A generated shop, with pieces spoiled in every third where none of that work is done on an assembly.
fn shop(seed: u64) -> String {
    let yaml = generate::shop(seed);
    let spoils = yaml.replace("per piece: ", "spoils: 10 %, per piece: ");
    let makes_sense = || shopstride::scenario::load("spoils.yaml", spoils.as_bytes()).is_ok();
    match seed % 3 {
        0 if makes_sense() => spoils,
        _ => yaml,
    }
}

/// As long as it lasts, cut at the end, with a warm-up, and both, by turns.
fn measured(study: &mut Study, seed: u64) {
    let record = crate::support::record(study, 0, study.settings.seed, 0);
    let share = |of: i64, by: i64| Time::from_micros(of * by / 10);
    let end = record.end.micros();
    if seed % 2 == 1 {
        study.settings.warm_up = share(end, 2) - Time::START;
    }
    if seed / 2 % 2 == 1 {
        study.settings.until = Some(share(end, 7));
    }
}

#[test]
fn one_pass_finds_what_the_definitions_say() {
    let mut parts = [0; 7];
    let mut causes = [0; 4];
    let mut spoiled = 0;
    for seed in 0..900 {
        let yaml = shop(seed);
        let mut study = study(&yaml);
        spoiled += u32::from(yaml.contains("spoils"));
        measured(&mut study, seed);
        let waits = waits(&study);
        let record = crate::support::record(&study, 0, study.settings.seed, 0);
        assert_adds_up(&waits, &record);
        let mut heard = Heard::default();
        play(&study, &mut heard);
        let shop = &study.candidates[0].shop;
        let from = Time::START + study.settings.warm_up;
        let splits: Vec<[i128; 7]> = (waits.lead_times.iter())
            .map(|line| line.split.parts())
            .collect();
        assert_eq!(splits, heard.splits(shop, from), "seed {seed}\n{yaml}");
        let waited: Vec<[i64; 4]> = (waits.crew.iter())
            .map(|of| [of.cure, of.station, of.gear, of.nothing].map(Span::micros))
            .collect();
        assert_eq!(waited, heard.people(shop, from), "seed {seed}\n{yaml}");
        for split in splits {
            (parts.iter_mut().zip(split)).for_each(|(sum, part)| *sum += i32::from(part > 0));
        }
        for of in waited {
            (causes.iter_mut().zip(of)).for_each(|(sum, part)| *sum += i32::from(part > 0));
        }
    }
    println!("order lines with each part {parts:?}, people with each cause {causes:?}");
    assert!(spoiled > 40, "{spoiled} shops spoil pieces");
    assert!(
        parts.iter().chain(&causes).all(|&many| many > 40),
        "{parts:?} {causes:?}"
    );
}

/// Where times vary, a cure's end may not be known; all the same everything adds up.
#[test]
fn it_adds_up_where_times_vary() {
    let mut varied_shops = 0;
    for seed in 0..600 {
        let yaml = shop(seed);
        let varied = vary_cures(&yaml);
        varied_shops += u32::from(varied != yaml);
        let mut study = study(&varied);
        measured(&mut study, seed);
        let record = crate::support::record(&study, 0, study.settings.seed, 0);
        assert_adds_up(&waits(&study), &record);
    }
    assert!(varied_shops > 200, "cures vary in {varied_shops} shops");
}

/// Every cure takes anything up to twice as long.
fn vary_cures(yaml: &str) -> String {
    let mut parts = yaml.split("cure: {time: ");
    let mut text = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let end = part.find([',', '}']).expect("a duration ends");
        let (time, rest) = part.split_at(end);
        text += "cure: {time: ";
        match time.split_once(' ') {
            None => text += time,
            Some((number, unit)) => {
                let most = 2.0 * number.parse::<f64>().expect("a number");
                text += &format!("{{uniform: [0 {unit}, {most} {unit}]}}");
            }
        }
        text += rest;
    }
    text
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
