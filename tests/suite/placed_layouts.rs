//! Layouts on a floor, from the file to the walks.

use shopstride::experiment::{Replications, Study, run};
use shopstride::floor::Manner;
use shopstride::scenario;
use shopstride::shop::PlaceId;

fn load(text: &str) -> Study {
    match scenario::load("placed.yaml", text.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

fn metres(study: &Study, candidate: usize, manner: Manner, from: u32, to: u32) -> f64 {
    let walks = &study.candidates[candidate].walks;
    walks.distance(manner, PlaceId(from), PlaceId(to)).metres()
}

/// Seven stations in metres and the trips of one project between them. Rectilinear 154.0 m, Euclidean 129.152 m:
/// own example of the planning notes, recomputed there by hand; each total is a sum of nine products.
const STATIONS: [(&str, f64, f64); 7] = [
    ("rack", 0.5, 0.5),
    ("miter", 3.0, 0.5),
    ("jointer", 2.0, 3.0),
    ("planer", 4.0, 3.0),
    ("saw", 3.0, 5.0),
    ("bench", 5.5, 1.5),
    ("clamp", 6.0, 4.0),
];
const TRIPS: [(&str, &str, u32); 9] = [
    ("rack", "miter", 6),
    ("miter", "jointer", 8),
    ("jointer", "planer", 8),
    ("planer", "saw", 8),
    ("saw", "miter", 4),
    ("miter", "bench", 4),
    ("saw", "bench", 4),
    ("bench", "clamp", 3),
    ("clamp", "bench", 2),
];

#[test]
fn carried_metres_are_trips_times_distance_by_either_measure() {
    let mut text = String::from("title: Seven stations\nstations:\n");
    for (name, ..) in STATIONS {
        text += &format!("  {name}: {{stand: [0, 0], does: {{at {name}: {{per lot: 1 min}}}}}}\n");
    }
    text += "handling: {carry: {pieces: 1}}\nprojects:\n";
    for (index, (from, to, trips)) in TRIPS.iter().enumerate() {
        text +=
            &format!("  leg {index}: {{pieces: {trips}, material at: {from}, route: [at {to}]}}\n");
    }
    text += "orders:\n";
    for index in 0..TRIPS.len() {
        text += &format!("  - {{project: leg {index}}}\n");
    }
    text += "layouts:\n";
    for walk in ["rectilinear", "straight", "around"] {
        text += &format!("  {walk}:\n    walk: {walk}\n    at:\n");
        for (name, x, y) in STATIONS {
            text += &format!("      {name}: [{x} m, {y} m]\n");
        }
    }
    let study = load(&text);
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let carried: Vec<f64> = (findings.candidates.iter())
        .map(|found| found.walked.carrying)
        .collect();
    assert!((carried[0] - 154.0).abs() < 1e-6, "{carried:?}");
    assert!((carried[1] - 129.152).abs() < 5e-4, "{carried:?}");
    assert!(
        (carried[2] - carried[1]).abs() < 1e-6,
        "stations without a size are in nobody's way: {carried:?}"
    );
}

const ROOM: &str = "
title: A room with a door
room:
  size: [6 m, 4 m]
  doors: [{name: gate, between: [[2 m, 0], [4 m, 0]]}]
stations:
  saw: {size: [1 m, 60 cm], does: {rip: {per lot: 1 min}}}
  bench: {size: [2 m, 80 cm], does: {sand: {per lot: 1 min}}}
projects: {box: {pieces: 1, material at: gate, route: [rip, sand], deliver to: gate}}
crew: {maker: {starts at: gate}}
orders: [{project: box}]
layouts:
  floor: {at: {saw: [1 m, 2.5 m], bench: [5 m, 3.4 m]}}
  straight: {walk: straight, at: {saw: [1 m, 2.5 m], bench: [5 m, 3.4 m]}}
  measured: {distances: {gate: {saw: 2 m, bench: 3 m}, saw: {bench: 4 m}}}
";

#[test]
fn a_door_is_a_place_in_the_middle_of_its_opening() {
    let study = load(ROOM);
    let (saw, bench, gate) = (0, 1, 2);
    // One stands 12 in off the middle of the -y edge: the saw's at (1, 2.5 - 0.3 - 0.3048), the door's at (3, 0).
    let to_saw = (2.0_f64.powi(2) + (2.5 - 0.3 - 0.3048_f64).powi(2)).sqrt();
    let to_bench = (2.0_f64.powi(2) + (3.4 - 0.4 - 0.3048_f64).powi(2)).sqrt();
    for layout in 0..2 {
        assert!((metres(&study, layout, Manner::Empty, gate, saw) - to_saw).abs() < 1e-6);
        assert!((metres(&study, layout, Manner::Carrying, bench, gate) - to_bench).abs() < 1e-6);
    }
    assert_eq!(metres(&study, 2, Manner::Empty, gate, bench), 3.0);
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    // The maker starts at the gate, where the boards lie: carries to the saw, to the bench, and back to the gate.
    let saw_bench = metres(&study, 0, Manner::Carrying, saw, bench);
    let walked = to_saw + saw_bench + to_bench;
    let found = &findings.candidates[0];
    assert!((found.walking.mean - walked).abs() < 1e-6);
    assert_eq!(findings.candidates[2].walking.mean, 2.0 + 4.0 + 3.0);
    let legs: Vec<&str> = found.legs.iter().map(|leg| leg.to.as_str()).collect();
    assert!(legs.contains(&"gate"), "{legs:?}");
}

#[test]
fn walks_lead_around_what_stands_there_and_never_are_shorter_than_straight_ones() {
    let around = include_str!("../../scenarios/garage.yaml");
    let straight = around.replace(
        "    at:\n      lumber rack:",
        "    walk: straight\n    at:\n      lumber rack:",
    );
    let (around, straight) = (load(around), load(&straight));
    let mut longer = 0;
    for (a, s) in around.candidates.iter().zip(&straight.candidates) {
        for from in 0..a.shop.places() as u32 {
            for to in 0..a.shop.places() as u32 {
                let walk = |walks: &shopstride::floor::Distances| {
                    walks.distance(Manner::Empty, PlaceId(from), PlaceId(to))
                };
                assert!(walk(&a.walks) >= walk(&s.walks), "{from} to {to}");
                assert_eq!(
                    walk(&a.walks),
                    a.walks.distance(Manner::Empty, PlaceId(to), PlaceId(from))
                );
                longer += usize::from(walk(&a.walks) > walk(&s.walks));
            }
        }
    }
    assert!(longer > 50, "machines are in the way: {longer}");
}

/// Two tables 70 cm apart let a body of 50 cm through, but not a cart of 80 cm.
#[test]
fn a_wide_cart_goes_round_where_a_person_slips_through() {
    let text = "
title: A gap
stations:
  rack: {}
  bench: {does: {sand: {per piece: 1 min}}}
  west table: {size: [4 m, 1 m]}
  east table: {size: [4 m, 1 m]}
handling: {carts: {stored at: rack, at least: 2, width: 80 cm, speed: 0.5 m/s, load: 0 s, unload: 0 s}}
projects: {box: {pieces: 4, material at: rack, route: [sand]}}
orders: [{project: box}]
layouts:
  gap: {at: {rack: [0, -2 m], bench: [0, 2.5 m], west table: [-2.35 m, 0], east table: [2.35 m, 0]}}
";
    let study = load(text);
    let person = metres(&study, 0, Manner::Empty, 0, 1);
    let cart = metres(&study, 0, Manner::Pushing, 0, 1);
    assert!((person - 4.5).abs() < 1e-6, "straight through: {person}");
    // Round the outer corner at 4.35 m: at least as far as the corner lies from both.
    let corner = |y: f64| (4.35_f64.powi(2) + y * y).sqrt();
    assert!(cart > corner(2.3048 - 0.5) + corner(2.1952 - 0.5), "{cart}");
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let found = &findings.candidates[0];
    assert!((found.walked.pushing - cart).abs() < 1e-6);
    // What is walked is what is told leg by leg, and it takes its time: the maker starts at the rack, pushes the
    // pieces to the bench and works four minutes.
    assert!((found.walking.mean - cart).abs() < 1e-6);
    let lead_time = found.projects[0].lead_time.expect("the order is done").mean;
    let by_hand = cart / 0.5 + 4.0 * 60.0;
    assert!(
        (lead_time - by_hand).abs() < 2e-6,
        "{} against {by_hand}",
        lead_time
    );
}

/// The figures do not depend on which of two equal files says where things stand.
#[test]
fn measured_and_placed_layouts_of_the_same_distances_give_the_same_figures() {
    let mut study = load(ROOM);
    study.settings.replications = Replications::Fixed(1);
    let placed = &study.candidates[1];
    let pair = |from: u32, to: u32| metres(&study, 1, Manner::Empty, from, to);
    let measured = ROOM.replace(
        "{gate: {saw: 2 m, bench: 3 m}, saw: {bench: 4 m}}",
        &format!(
            "{{gate: {{saw: {:.9} m, bench: {:.9} m}}, saw: {{bench: {:.9} m}}}}",
            pair(2, 0),
            pair(2, 1),
            pair(0, 1)
        ),
    );
    let other = load(&measured);
    assert_eq!(placed.walks, other.candidates[2].walks);
}

/// Left and right are those of somebody who stands in the room and faces the door.
#[test]
fn the_hinges_of_a_door_are_named_as_one_sees_them_from_inside() {
    let walls = [
        ("[[1 m, 0], [2 m, 0]]", [(2.0, 0.0), (1.0, 0.0)]),
        ("[[6 m, 1 m], [6 m, 2 m]]", [(6.0, 2.0), (6.0, 1.0)]),
        ("[[1 m, 4 m], [2 m, 4 m]]", [(1.0, 4.0), (2.0, 4.0)]),
        ("[[0, 1 m], [0, 2 m]]", [(0.0, 1.0), (0.0, 2.0)]),
        // In the other order they are the same ends.
        ("[[2 m, 0], [1 m, 0]]", [(2.0, 0.0), (1.0, 0.0)]),
    ];
    for (between, [left, right]) in walls {
        for (hinge, expected) in [("left", left), ("right", right)] {
            let study = load(&format!(
                "title: Door\nroom:\n  size: [6 m, 4 m]\n  doors: [{{name: door, between: {between}, swings: in, hinge: {hinge}}}]\n\
                 stations: {{bench: {{size: [1 m, 60 cm], does: {{plane: {{per piece: 1 min}}}}}}}}\n\
                 projects: {{box: {{route: [plane]}}}}\norders: [{{project: box}}]\nlayouts: {{a: {{at: {{bench: [3 m, 2 m]}}}}}}\n"
            ));
            let plan = study.candidates[0].plan.as_ref().expect("drawn");
            let door = &plan.room.as_ref().expect("a room").doors[0];
            assert!(door.hangs_at_first);
            let hangs = door.between.0;
            let away = (hangs.x - expected.0).hypot(hangs.y - expected.1);
            assert!(away < 1e-9, "{between} {hinge}: {hangs:?}");
        }
    }
}

/// In one layout one stands behind the bench, in the other before it: the way to it is as far as it is drawn.
#[test]
fn a_layout_may_say_where_one_stands() {
    let study = load(
        "title: Sides\nroom: {size: [6 m, 4 m]}\nstations:\n  rack: {stand: [0, 0]}\n  bench: {size: [1 m, 60 cm], does: {plane: {per piece: 1 min}}}\n\
         projects: {box: {material at: rack, route: [plane]}}\norders: [{project: box}]\nlayouts:\n  \
         a: {at: {rack: [3 m, 50 cm], bench: [3 m, 2 m]}}\n  \
         b: {like: a, at: {bench: {at: [3 m, 2 m], turn: 180, stand: [0, 60 cm]}}}\n  \
         c: {like: a, at: {bench: {at: [3 m, 2 m], stand: [0, 60 cm]}}}\n",
    );
    let standing = |candidate: usize| {
        let plan = study.candidates[candidate].plan.as_ref().expect("drawn");
        let bench = plan.placements.iter().nth(1).expect("two").expect("placed");
        bench.standing()
    };
    // By default 12 in before the middle of the side toward -y; turned by 180 degrees, +y is where -y was.
    for (candidate, y) in [(0, 2.0 - 0.3 - 0.3048), (1, 1.4), (2, 2.6)] {
        let place = standing(candidate);
        assert!((place.x - 3.0).abs() < 1e-9, "{place:?}");
        assert!((place.y - y).abs() < 1e-9, "{candidate}: {place:?}");
    }
    // Straight to the near side, and around the bench, which is 1 m wide, to the far one.
    let near = metres(&study, 0, Manner::Empty, 0, 1);
    assert!((near - (1.5 - 0.3 - 0.3048)).abs() < 1e-6, "{near}");
    let far = metres(&study, 2, Manner::Empty, 0, 1);
    assert!(far > 2.1 + 0.2 && far < 2.1 + 1.0, "{far}");
}
