//! Material that becomes parts: small shops reckoned by hand, by the engine and by the second reading, and what must be
//! the same without it.

use serde_json::Value;
use shopstride::engine::{Prepared, Run, simulate};
use shopstride::experiment::trace;
use shopstride::metrics::{TraceLine, Waits};
use shopstride::report::times::routes;
use shopstride::report::trace::json_line;
use shopstride::scenario;

use crate::second_reading::result::Outcome;
use crate::support::study;

const M: i64 = 1_000_000_000;
const S: i64 = 1_000_000;

const SLOW: &str = "handling: {walking speed: 1 m/s, loaded speed: 0.5 m/s, pick up: 1 s, put down: 3 s, density: 500 kg/m3, carry: {mass: 20 kg}}";

/// Plays a shop with the layout `x`; both readings say the same to the last digit.
fn shop(rest: &str) -> Outcome {
    let yaml = format!("title: By hand\n{SLOW}\n{rest}");
    let found = crate::engine::play(&yaml, "x");
    assert_eq!(found, crate::second_reading::play(&yaml, "x"));
    found
}

const SHELF: &str = "
stations:
  rack: {}
  saw: {does: {break down: {per piece: 60 s}, crosscut: {per piece: 10 s}}}
  bench: {does: {sand: {per piece: 5 s}, join: {per lot: 100 s}}}
projects:
  shelf:
    material: {plywood: {pieces: 2, stock: [2 m, 1 m, 20 mm], at: rack, route: [break down]}}
    parts:
      side: {pieces: 3, cut from: plywood, route: [crosscut]}
      back: {pieces: 2, cut from: plywood, route: [sand]}
      peg: {pieces: 1, material at: bench, route: [sand]}
    assemblies: {shelf: {made of: [side, back, peg], route: [join]}}
orders: [{project: shelf}]
layouts: {x: {distances: {rack: {saw: 4 m, bench: 5 m}, saw: {bench: 6 m}}}}
";

#[test]
fn sheets_become_parts_when_all_of_them_are_broken_down() {
    let outcome = shop(SHELF);
    // Sheets and the peg are ready at once; material is chosen first. A sheet weighs 2 x 1 x 0.02 x 500 = 20 kg, which
    // is a carry: 1 + 8 + 3 s, 4 s back, 12 s. At 28 s both are broken down for 120 s.
    // At 148 s the peg has waited longest: 6 m to the bench, 5 s of sanding, 159 s. Then the sides, which stand before
    // the back: 6 m back to the saw, where they lie, 30 s of crosscutting, 195 s.
    // The back lies at the saw too: 1 + 12 + 3 s to the bench and 10 s of sanding, 221 s. The sides are fetched for the
    // shelf: 6 m empty, 1 + 12 + 3 s, and 100 s: 343 s.
    assert_eq!(outcome.makespan_us, 343 * S);
    assert_eq!(outcome.empty_nm, (4 + 6 + 6 + 6) * M);
    assert_eq!(outcome.carrying_nm, (4 + 4 + 6 + 6) * M);
    // Nothing is walked to the rack but for the second sheet.
    assert_eq!(outcome.stations[1].running_us, (120 + 30) * S);
    assert_eq!(outcome.stations[1].lots, 2);
    // The sides wait from 148 to 159 s and the back to 195 s, the peg to 148 s.
    assert_eq!(outcome.stations[1].queued_us, 11 * S);
    assert_eq!(outcome.stations[2].queued_us, (148 + 47) * S);
}

#[test]
fn parts_lie_where_the_cure_of_their_material_has_ended() {
    let outcome = shop(
        "
stations:
  rack: {}
  press: {does: {laminate: {per lot: 60 s, cure: {time: 600 s, ties up: []}}}}
  saw: {does: {cut: {per piece: 10 s}}}
projects:
  strips:
    material: {blank: {at: press, route: [laminate]}}
    parts: {strip: {pieces: 4, batch: 2, cut from: blank, route: [cut], deliver to: rack}}
orders: [{project: strips}]
layouts: {x: {distances: {rack: {press: 3 m, saw: 4 m}, press: {saw: 5 m}}}}
",
    );
    // 3 s to the press, 60 s, a cure until 663 s. The first batch: 1 + 10 + 3 s and 20 s, 697 s. The second has been
    // ready for longer than the first has been finished: 5 s back, 14 s, 20 s, 736 s. Then each to the rack: 1 + 8 + 3 s,
    // 4 s back, 12 s.
    assert_eq!(outcome.makespan_us, 764 * S);
    assert_eq!(outcome.empty_nm, (3 + 5 + 4) * M);
    assert_eq!(outcome.carrying_nm, (5 + 5 + 4 + 4) * M);
    assert_eq!(outcome.stations[1].curing_us, 0);
}

/// Six boards of 25.4 mm x 15 cm x 2 m weigh 3.81 kg each, and are resawn into twelve parts; `together` doubles both.
#[test]
fn boards_are_resawn_into_more_pieces() {
    let outcome = shop(
        "
stations: {rack: {}, saw: {does: {resaw: {feed speed: 3 m/min}, plane: {per piece: 10 s}}}}
projects:
  box:
    material: {board: {pieces: 6, stock: [2 m, 15 cm, 1 in], at: rack, route: [resaw]}}
    parts: {slat: {pieces: 12, rough: [2 m, 15 cm, 11 mm], cut from: board, route: [plane]}}
orders: [{project: box, together: 2}]
layouts: {x: {distances: {rack: {saw: 4 m}}}}
",
    );
    // Five boards a carry: 12 boards in 3, with 2 ways back. 12 x 40 s of resawing and 24 x 10 s of planing.
    assert_eq!(outcome.carrying_nm, 3 * 4 * M);
    assert_eq!(outcome.empty_nm, 2 * 4 * M);
    let carries = 3 * (1 + 8 + 3) + 2 * 4;
    assert_eq!(outcome.makespan_us, (carries + 12 * 40 + 24 * 10) * S);
}

#[test]
fn material_without_a_route_only_says_where_its_parts_lie() {
    let cut = "
stations: {rack: {}, saw: {does: {rip: {per piece: 7 s}}}}
projects:
  box:
    material: {board: {at: rack}}
    parts: {side: {pieces: 3, cut from: board, route: [rip]}, lid: {cut from: board}, end: {pieces: 2, material at: saw, route: [rip]}}
    assemblies: {box: {made of: [side, lid, end]}}
orders: [{project: box, count: 2}]
layouts: {x: {distances: {rack: {saw: 4 m}}}}
";
    let given = cut
        .replace("    material: {board: {at: rack}}\n", "")
        .replace("cut from: board", "material at: rack");
    assert_eq!(shop(cut), shop(&given));
}

/// Half of the parts are spoiled: they begin again at the saw, where the sheets were broken down, and no sheet is
/// broken down for them.
#[test]
fn spoiled_parts_begin_again_where_their_material_became_parts() {
    let yaml = format!("title: Spoiled\n{SLOW}\n{SHELF}").replace(
        "sand: {per piece: 5 s}",
        "sand: {per piece: 5 s, spoils: 50 %}",
    );
    let yaml = yaml.replace(
        "orders: [{project: shelf}]",
        "orders: [{project: shelf, count: 8}]",
    );
    let study = study(&yaml);
    let mut lines: Vec<Value> = Vec::new();
    let tell = |line: &TraceLine| {
        let text = json_line(&study.candidates[0].shop, line);
        lines.push(serde_json::from_str(&text).expect("JSON"));
    };
    trace(&study, 0, 0, tell).unwrap_or_else(|failure| panic!("{failure:?}"));
    let of = |what: &str, item: &str| -> Vec<&Value> {
        let of = lines
            .iter()
            .filter(|line| line["what"] == what && line["item"] == item);
        of.collect()
    };
    let pieces = |lines: &[&Value]| -> u64 {
        lines
            .iter()
            .map(|line| line["pieces"].as_u64().expect("a number"))
            .sum()
    };
    assert_eq!(pieces(&of("station run", "plywood")), 8 * 2);
    let run = of("station run", "back");
    let again: Vec<&&Value> = run.iter().filter(|line| line["batch"] != 1).collect();
    assert!(again.len() > 4, "{}", again.len());
    // What is done again is picked up at the saw, like what was done first: one carry for each run.
    let picked_up = of("pick up", "back");
    assert_eq!(picked_up.len(), run.len());
    assert!(picked_up.iter().all(|line| line["at"] == "saw"));
    // Pegs are no part of the plywood, and lie at the bench from first to last.
    assert!(of("pick up", "peg").is_empty());
    assert!(of("station run", "peg").len() > 8);
}

/// A part's time is that of its material until it is cut.
#[test]
fn what_material_spends_is_spent_by_all_that_is_cut_from_it() {
    let yaml = "title: By hand
handling: {pick up: 0, put down: 0}
stations:
  press: {does: {laminate: {per lot: 10 s, cure: {time: 30 s, ties up: [station]}}}}
  saw: {does: {cut: {per lot: 4 s}}}
  bench: {does: {sand: {per lot: 6 s}}}
crew: {ann: {can: [laminate, sand]}, bob: {can: [cut]}}
projects:
  box:
    material: {blank: {route: [laminate]}}
    parts: {strip: {batch: 1, pieces: 2, cut from: blank, route: [cut]}, top: {cut from: blank, route: [sand]}}
orders: [{project: box}]
layouts: {x: {distances: 0}}
";
    let study = study(yaml);
    let candidate = &study.candidates[0];
    let mut waits = Waits::new(&candidate.shop, study.settings.warm_up, None);
    let run = Run {
        seed: 1,
        replication: 0,
        until: None,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, &mut waits).expect("it ends");
    let waited = waits.waited();
    // Three leaves, each 10 s worked on and 30 s curing inside the blank. The strips are cut from 40 to 44 and from 44
    // to 48 s, and the top is sanded from 40 to 46 s; the order is done at 48 s.
    let [line] = &waited.lead_times[..] else {
        panic!()
    };
    assert_eq!(line.leaves, 3);
    let seconds = line.split.parts().map(|part| part / i128::from(S));
    let worked = 3 * 10 + 4 + 4 + 6;
    // The second strip waits 4 s: for the saw. Then the first waits 4 s and the top 2 s for the others.
    assert_eq!(seconds, [worked, 0, 90, 4, 0, 0, 0, 4 + 2, 0]);
    assert_eq!(line.lead_time, 48 * i128::from(S));
    // Both can go on with what cures. Ann has nothing to do at the end, nor has Bob while the blank is laminated.
    let people = waited
        .crew
        .iter()
        .map(|of| [of.cure, of.station, of.nothing]);
    let people: Vec<[f64; 3]> = people.map(|of| of.map(|span| span.seconds())).collect();
    assert_eq!(people, [[30.0, 0.0, 2.0], [30.0, 0.0, 10.0]]);
}

#[test]
fn routes_say_what_becomes_what() {
    let loaded = scenario::load("x.yaml", format!("title: Words\n{SHELF}").as_bytes());
    let study = loaded
        .unwrap_or_else(|problems| panic!("{}", problems.render(false)))
        .study;
    let text = routes(&study.candidates[0], study.units, 200);
    for said in [
        "plywood: 2 pieces, 26.0 kg each, at rack, becomes side, back",
        "side: 3 pieces, cut from plywood",
        "peg: 1 piece, material at bench",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
}
