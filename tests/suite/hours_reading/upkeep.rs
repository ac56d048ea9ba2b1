//! Blades that dull, drums that fill, and what it takes to set a machine up.

use super::*;

#[test]
fn a_blade_is_changed_between_the_pieces_and_after_the_last_one() {
    let (outcome, hours) = shop(
        "
stations:
  saw: {upkeep: {blade: {every: 1 h, time: 8 min, fetch from: cabinet}}, does: {rip: {setup: 5 min, per lot: 10 min, per piece: 30 min, teardown: 2 min}}}
  cabinet: {}
crew: {ann: {}, bob: {can: [rip]}}
handling: {walking speed: 1 m/s, loaded speed: 0.5 m/s, pick up: 1 s, put down: 3 s}
projects:
  board: {pieces: 5, material at: saw, route: [{op: rip, people: 2}]}
  lid: {pieces: 1, material at: saw, route: [rip]}
orders: [{project: board}, {project: lid}]
layouts: {x: {distances: {saw: {cabinet: 6 m}}}}
",
    );
    // After k boards 10 + 30 k min: 70 after the second, where it is changed; 60 more after the fourth; 30 are left. The
    // lid's 40 min make 70: once more, before the tear-down. A change is 6 s there, 1, 12 s back, 3, and eight minutes.
    let change = 8 * MIN + 22 * S;
    let first = (5 + 160 + 2) * MIN + 2 * change;
    assert_eq!(done(&outcome), [first, first + 47 * MIN + change]);
    assert_eq!(hours.serviced_us, [3 * change, 0]);
    assert_eq!(outcome.stations[0].running_us, (160 + 2 + 40 + 2) * MIN);
    // Ann fetches; Bob waits for her, and while she works alone.
    assert_eq!(outcome.crew[0].walking_us, 3 * 18 * S);
    assert_eq!(outcome.crew[0].handling_us, 3 * 4 * S);
    assert_eq!(outcome.crew[0].working_us, (167 + 47 + 24) * MIN);
    assert_eq!(outcome.crew[1].working_us, 167 * MIN);
    assert_eq!(outcome.empty_nm, 18_000_000_000);
    assert_eq!(outcome.stations[0].reserved_us, 0);
}

#[test]
fn one_drum_serves_several_machines_and_who_fills_it_empties_it() {
    let drum = "upkeep: {drum: {every: 100 min, time: 10 min, shared: drum}}";
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
stations:
  sander: {{{drum}, does: {{sand: {{per lot: 50 min, teardown: 1 min}}}}}}
  planer: {{{drum}, does: {{plane: {{per lot: 60 min, people: 0}}}}}}
projects: {{top: {{pieces: 1, route: [sand]}}, board: {{pieces: 1, route: [plane]}}}}
orders: [{{project: top}}, {{project: board, count: 3}}]
"
    ));
    // What needs nobody comes first: 60 min are credited to the drum at once, and the top, with 110, empties it after its
    // 50 min. The second board makes it 60 again; the third would make it 120, so somebody stays with it throughout.
    assert_eq!(done(&outcome), [61 * MIN, 60 * MIN, 120 * MIN, 190 * MIN]);
    assert_eq!(hours.serviced_us, [10 * MIN, 10 * MIN]);
    assert_eq!(outcome.crew[0].working_us, (50 + 10 + 1 + 60 + 10) * MIN);
}

#[test]
fn a_blade_dulls_by_the_length_it_cuts_and_pauses_for_the_night_while_it_is_changed() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations: {{planer: {{upkeep: {{knives: {{every: 12 m, time: 1 h}}}}, does: {{plane: {{per piece: 30 min, passes: 2}}}}}}}}
projects: {{box: {{parts: {{board: {{pieces: 4, rough: [2 m, 10 cm, 2 cm], route: [plane]}}}}}}}}
orders: [{{project: box}}]
"
    ));
    // Four metres a board: twelve after the third, at 20:30. The hour goes over the night, to 19:30; a board until 20:00.
    assert_eq!(done(&outcome), [TUE + 20 * H]);
    assert_eq!(hours.serviced_us, [H]);
    assert_eq!(hours.open_us, 3 * H);
}

/// An inch of ten centimetres by a metre, planed to 20 mm and cut to 90 cm: 540 cm³ of shavings and a saw's 3.175 mm.
#[test]
fn a_drum_fills_by_the_wood_that_becomes_chips() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
stations:
  planer: {{upkeep: {{drum: {{every: 6 l, time: 4 min, shared: drum}}}}, does: {{plane: {{per piece: 5 min, cuts: thickness}}}}}}
  saw: {{upkeep: {{drum: {{every: 6 l, time: 6 min, shared: drum}}}}, does: {{cut: {{per piece: 1 min, cuts: length, bulk: 100}}}}}}
projects: {{box: {{parts: {{board: {{pieces: 4, rough: [1 m, 10 cm, 2.54 cm], finished: [90 cm, 10 cm, 20 mm], material at: planer, route: [plane, cut]}}}}}}}}
orders: [{{project: box}}]
"
    ));
    // 1 × 0.1 × 0.0054 m³ take 4 times the room as shavings, 2.16 l a board: 6.48 l after the third, so that it is emptied
    // at 15 min, and 2.16 l after the fourth. A saw's eighth of an inch through 10 cm by 2 cm is 6.35 cm³, and takes 100
    // times the room here, since that is said: 0.635 l a board, 2.16 + 4 × 0.635 = 4.7 l after the last.
    assert_eq!(done(&outcome), [(20 + 4 + 4) * MIN]);
    assert_eq!(hours.serviced_us, [4 * MIN, 0]);
}

#[test]
fn changing_from_one_setting_to_another_has_its_own_time() {
    let setup = |steps: [&str; 4]| {
        let projects: Vec<String> = steps
            .iter()
            .enumerate()
            .map(|(k, step)| format!("p{k}: {{pieces: 1, route: [{step}]}}"))
            .collect();
        let orders: Vec<String> = (0..4).map(|k| format!("{{project: p{k}}}")).collect();
        let (outcome, _) = shop(&format!(
            "{AT_ONCE}
stations: {{saw: {{setup from: {{dado: {{rip: 4 min, dado: 2 min}}, thin: {{thick: 3 min, rip: 1 min}}}}, does: {{rip: {{setup: 10 min, per lot: 5 min}}, dado: {{setup: 20 min, per lot: 5 min}}}}}}}}
projects: {{{}}}
orders: [{}]
",
            projects.join(", "),
            orders.join(", ")
        ));
        outcome.stations[0].setup_us / MIN
    };
    let thin = "{op: rip, setting: thin}";
    let thick = "{op: rip, setting: thick}";
    // A first setup is what the operation says; from rip to dado nothing is said; dado to rip, and rip to another rip.
    assert_eq!(setup(["rip", "dado", "rip", "rip"]), 10 + 20 + 4 + 10);
    // Two parts with a dado are two settings.
    assert_eq!(setup(["dado", "dado", "rip", "dado"]), 20 + 2 + 4 + 20);
    // Two parts share a setting that has a name; from thin to thick, and back, which is not said.
    assert_eq!(setup([thin, thin, thick, thin]), 10 + 3 + 10);
    // From thin to a rip without a name; from there to thick nothing is said; from a dado to thick, which is a rip.
    assert_eq!(setup([thin, "rip", "dado", thick]), 10 + 1 + 20 + 4);
}
