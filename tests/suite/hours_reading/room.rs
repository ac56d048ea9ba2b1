//! Room for what is finished, units that it blocks, and what does not go on together.

use super::*;
use serde_json::Value;

/// Jobs go through two machines that need nobody, with so much room after the first one.
fn line(jobs: &[(i64, i64)], room: &str) -> (Outcome, Hours) {
    let projects: Vec<String> = jobs
        .iter()
        .enumerate()
        .map(|(k, (a, b))| {
            format!("j{k}: {{pieces: 1, material at: m1, route: [{{op: a, per lot: {a} s}}, {{op: b, per lot: {b} s}}]}}")
        })
        .collect();
    let orders: Vec<String> = (0..jobs.len())
        .map(|k| format!("{{project: j{k}}}"))
        .collect();
    shop(&format!(
        "{AT_ONCE}
stations: {{m1: {{{room}does: {{a: {{people: 0, per lot: 1 s}}}}}}, m2: {{does: {{b: {{people: 0, per lot: 1 s}}}}}}}}
projects: {{{}}}
orders: [{}]
",
        projects.join(", "),
        orders.join(", ")
    ))
}

/// Blocking after service in a line of two machines, against the recursion that tests/data/queueing holds.
#[test]
fn a_line_with_no_one_two_and_all_places_is_blocked_as_the_recursion_says() {
    let text = include_str!("../../data/queueing/reference.json");
    let reference: Value = serde_json::from_str(text).expect("it is JSON");
    let records = reference["records"].as_array().expect("a list");
    let record = records.iter().find(|r| r["id"] == "line2-buffer-a");
    let record = record.expect("it is there");
    let number = |value: &Value| value.as_i64().expect("a whole number");
    let jobs: Vec<(i64, i64)> = record["parameters"]["jobs"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|job| (number(&job[0]), number(&job[1])))
        .collect();
    for (name, room) in [
        ("no_place", "set down: 0, "),
        ("one_place", "set down: 1, "),
        ("two_places", "set down: 2, "),
        ("unlimited", ""),
    ] {
        let expected = &record["values"][name];
        let (outcome, hours) = line(&jobs, room);
        let completion = expected["completion"].as_array().expect("a list");
        let completion: Vec<i64> = completion.iter().map(|at| number(at) * S).collect();
        assert_eq!(done(&outcome), completion, "{name}");
        let blocked = number(&expected["machine1_blocked"]) * S;
        assert_eq!(hours.blocked_us, [blocked, 0], "{name}");
        assert_eq!(hours.put_aside, 0);
    }
}

#[test]
fn room_is_free_when_the_last_piece_is_picked_up() {
    let (outcome, hours) = shop(
        "
stations: {saw: {set down: 0, does: {cut: {per lot: 60 s}}}, bench: {does: {sand: {per lot: 10 s}}}}
crew: {ann: {can: [cut], starts at: saw}, bob: {can: [sand], starts at: saw}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 2 s, put down: 3 s, carry: {pieces: 1}}
projects: {board: {pieces: 2, material at: saw, route: [cut, sand]}}
orders: [{project: board, count: 2}]
layouts: {x: {distances: {saw: {bench: 5 m}}}}
",
    );
    // At 60 s Bob picks up one board, 2 s, brings it, 5 + 3 s, comes back, 5 s, and has picked up the other at 77 s: the saw
    // is blocked for 17 s. He is at the bench at 85 s and sands until 95. The second pair is cut from 77 to 137 s; he comes
    // back to it from the bench, 5 s, and has the second board at 137 + 5 + 17 = 159 s.
    assert_eq!(done(&outcome), [95 * S, 177 * S]);
    assert_eq!(hours.blocked_us, [(17 + 22) * S, 0]);
    assert_eq!(outcome.crew[0].waiting_us, (177 - 120) * S);
}

#[test]
fn a_lot_goes_on_in_the_unit_that_it_blocks_and_an_assembly_takes_it_there() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
stations: {{bench: {{set down: 0, does: {{cut: {{per lot: 10 min}}, sand: {{per lot: 5 min}}, join: {{per lot: 20 min}}}}}}}}
projects:
  stool:
    parts:
      leg: {{pieces: 1, material at: bench, route: [cut, sand]}}
    assemblies:
      stool: {{made of: [leg], route: [join]}}
orders: [{{project: stool, count: 2}}]
"
    ));
    // The only bench stays with the first leg until the stool is joined; the second leg waits for it.
    assert_eq!(done(&outcome), [35 * MIN, 70 * MIN]);
    assert_eq!(hours.blocked_us, [0]);
    assert_eq!(hours.put_aside, 0);
    // Setups are none here; work that waits is the second leg.
    assert_eq!(outcome.stations[0].queued_us, 35 * MIN);
}

/// Two lots that go through two machines in opposite order, and what else the file has.
fn crossing(sessions: &str) -> (Outcome, Hours) {
    crossing_with("", "", sessions)
}

fn crossing_with(cut: &str, orders: &str, rest: &str) -> (Outcome, Hours) {
    shop(&format!(
        "{AT_ONCE}{rest}
crew: {{ann: {{}}, bob: {{}}}}
stations:
  saw: {{set down: 0, does: {{cut: {{{cut}per lot: 10 min}}}}}}
  planer: {{set down: 0, does: {{plane: {{per lot: 15 min}}}}}}
  bench: {{does: {{wipe: {{per lot: 5 min}}}}}}
projects:
  a: {{pieces: 1, material at: saw, route: [cut, plane]}}
  b: {{pieces: 1, material at: planer, route: [plane, cut]}}
  rag: {{pieces: 1, route: [wipe]}}
orders: [{{project: a}}, {{project: b}}{orders}]
"
    ))
}

#[test]
fn where_two_machines_wait_for_each_other_a_lot_is_put_on_the_floor() {
    let (outcome, hours) = crossing("");
    // At 10 min the one blocks the saw, at 15 min the other the planer, and each waits for the other's machine. The one
    // that has blocked longest is put aside at once: b is cut until 25 min, a planed until 30.
    assert_eq!(done(&outcome), [30 * MIN, 25 * MIN]);
    assert_eq!(hours.put_aside, 1);
    assert_eq!(hours.blocked_us, [5 * MIN, 0, 0]);
}

/// A run that ends sooner begins like one that ends later: what would come after its end is to come all the same.
#[test]
fn what_comes_after_the_end_of_the_run_is_to_come_as_well() {
    let rag = ", {project: rag, every: 1 h, first: 1 h, count: 1}";
    // The rag comes at 60 min and is wiped until 65. Then one is put aside: b is cut until 75 min, a planed until 80.
    let (outcome, hours) = crossing_with("", rag, "");
    assert_eq!(done(&outcome), [80 * MIN, 75 * MIN, 65 * MIN]);
    assert_eq!(hours.put_aside, 1);
    assert_eq!(hours.blocked_us, [55 * MIN, 50 * MIN, 0]);
    // Both still wait at 40 min.
    let (outcome, hours) = crossing_with("", rag, "run: {until: 40 min}\n");
    assert_eq!(outcome.orders.len(), 2);
    assert!(outcome.orders.iter().all(|order| order.done_us.is_none()));
    assert_eq!(hours.put_aside, 0);
    assert_eq!(hours.blocked_us, [30 * MIN, 25 * MIN, 0]);
}

/// Where the hour decides what may begin, a week shows that nothing ever will: all hours come again. Quiet time that no
/// station keeps is none of them.
#[test]
fn quiet_time_that_no_station_keeps_does_not_change_when_a_lot_is_put_on_the_floor() {
    let session = "{days: [mon], open: \"8:00\", close: \"18:00\"}";
    for quiet in ["", ", quiet: {from: \"8:05\", to: \"8:10\"}"] {
        let sessions = format!("sessions: {{when: [{session}]{quiet}}}\n");
        let (outcome, hours) = crossing_with("pausable: false, ", "", &sessions);
        // Both wait from 8:15 on, and through the next closing and opening, after which no hour comes within the week.
        let opens = WEEK + 8 * H;
        assert_eq!(done(&outcome), [opens + 15 * MIN, opens + 10 * MIN]);
        assert_eq!(hours.put_aside, 1);
        // From 8:10 and 8:15 until closing.
        assert_eq!(hours.blocked_us, [10 * H - 10 * MIN, 10 * H - 15 * MIN, 0]);
    }
}

/// Where all work may be interrupted, no opening lets anything begin that could not begin before: two machines that wait
/// for each other wait until the next moment at which work can be done, and no longer.
#[test]
fn a_lot_is_put_on_the_floor_at_once_while_the_shop_is_open() {
    let on_mondays = |closes: &str| {
        let session = format!("{{days: [mon], open: \"8:00\", close: \"{closes}\"}}");
        crossing(&format!("sessions: [{session}]\n"))
    };
    // As without hours, from eight o'clock on.
    let (outcome, hours) = on_mondays("18:00");
    assert_eq!(done(&outcome), [8 * H + 30 * MIN, 8 * H + 25 * MIN]);
    assert_eq!(hours.put_aside, 1);
    assert_eq!(hours.blocked_us, [5 * MIN, 0, 0]);
    // Both wait for each other when the shop is shut: at the next opening, a week later, one is put aside.
    let (outcome, hours) = on_mondays("8:15");
    let opens = WEEK + 8 * H;
    assert_eq!(done(&outcome), [opens + 15 * MIN, opens + 10 * MIN]);
    assert_eq!(hours.put_aside, 1);
    assert_eq!(hours.blocked_us, [5 * MIN, 0, 0]);
}

#[test]
fn what_cures_beside_the_bench_takes_room_and_what_is_done_takes_none() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
stations: {{bench: {{set down: 1, does: {{glue: {{per lot: 10 min, cure: {{time: 60 min, ties up: []}}}}}}}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, count: 3}}]
"
    ));
    // The first lies beside the bench until 70 min; the second, glued until 20 min, keeps the bench until then; it is done
    // at 80. The third is glued from 70 to 80 min, when the second has gone.
    assert_eq!(done(&outcome), [70 * MIN, 80 * MIN, 140 * MIN]);
    assert_eq!(hours.blocked_us, [50 * MIN]);
}

#[test]
fn a_gathering_keeps_the_room_of_its_last_input_alone() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
stations: {{saw: {{set down: 2, does: {{cut: {{per lot: 10 min}}}}}}, bench: {{does: {{join: {{per lot: 30 min}}, wipe: {{per lot: 5 min}}}}}}}}
projects:
  kit:
    parts:
      a: {{pieces: 1, material at: saw, route: [cut]}}
      b: {{pieces: 1, material at: saw, route: [cut]}}
    assemblies:
      set: {{made of: [a, b]}}
      kit: {{made of: [set], route: [join]}}
  top: {{pieces: 1, route: [{{op: wipe, per lot: 35 min}}]}}
  spare: {{pieces: 1, material at: saw, route: [cut, wipe]}}
orders: [{{project: kit}}, {{project: top}}, {{project: spare, count: 3}}]
crew: {{ann: {{can: [cut]}}, bob: {{can: [join, wipe]}}}}
"
    ));
    // Ann cuts a until 10, b until 20 min; the set lies where b lay, so that the spare of 30 min finds room beside it. Bob
    // takes the set at 35 and is busy until 65; the spare of 40 min takes its room. That of 50 min finds none until Bob
    // takes the first one at 65.
    let at: Vec<i64> = done(&outcome).iter().map(|at| at / MIN).collect();
    assert_eq!(at, [65, 35, 70, 75, 80]);
    assert_eq!(hours.blocked_us, [15 * MIN, 0]);
}

#[test]
fn only_so_many_of_a_group_go_on_at_once_and_a_cure_counts_to_its_end() {
    let (outcome, _) = shop(&format!(
        "{AT_ONCE}
crew: {{ann: {{}}, bob: {{}}}}
not together: [{{of: [sander, cure of glue], at most: 1}}]
stations:
  sander: {{does: {{sand: {{per lot: 30 min}}}}}}
  bench: {{count: 2, does: {{glue: {{per lot: 10 min, cure: {{time: 50 min, ties up: []}}}}, wipe: {{per lot: 5 min}}}}}}
projects: {{top: {{pieces: 1, route: [sand]}}, box: {{pieces: 1, route: [glue]}}, rag: {{pieces: 1, route: [wipe]}}}}
orders: [{{project: top}}, {{project: box}}, {{project: rag}}, {{project: top}}]
"
    ));
    // Ann sands until 30 min. Bob may not glue, since that would cure, and wipes until 5. The box from 30 to 40, cured at
    // 90; the second top from 90 to 120.
    assert_eq!(done(&outcome), [30 * MIN, 90 * MIN, 5 * MIN, 120 * MIN]);
}
