//! Small shops reckoned by hand.

use shopstride::metrics::{IdleTime, LeadTimeComponents, TimeAtStation};
use shopstride::units::Span;

use super::{S, SPOT, found, waited};
use crate::support::study;

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
    let people: Vec<[f64; 4]> = waited(&study).crew.iter().map(minutes).collect();
    assert_eq!(people, [[0.0, 0.0, 0.0, 110.0], [30.0, 0.0, 0.0, 70.0]]);
    // Where billets have to be brought to the kiln, which is not where they lie, whoever may bring them waits for it.
    let brought = crate::support::data("scenarios/teacher.yaml")
        .replace("{route: [dry]}", "{material at: saw, route: [dry]}")
        .replace("can: [rip]", "can: [rip, dry]")
        .replace("pick up: 0", "pick up: 2 s");
    let people: Vec<[f64; 4]> = (waited(&crate::support::study(&brought)).crew.iter())
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
    let waits = waited(&study);
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
    let expected = TimeAtStation {
        setting_up: Span::from_micros(7 * S),
        running: Span::from_micros(3 * 7 * S),
        servicing: Span::ZERO,
    };
    let found = waited(&study);
    assert_eq!(found.crew, [IdleTime::default()]);
    assert_eq!(found.worked_at, [expected]);
}
