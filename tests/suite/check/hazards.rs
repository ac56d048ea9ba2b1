//! Rules about pieces and places that are wrong for a machine: each broken by a known amount, and just kept.

use shopstride::floor::{FindingLevel, Point, Side};
use shopstride::shop::StationId;

use super::scenes::{FT, IN, Scene, helped, inches, said};

/// 12 in is the usual least of makers' manuals.
#[test]
fn a_piece_that_is_too_short_for_a_planer_or_a_jointer_is_a_warning() {
    let of = |machine: &str, length: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        scene.piece("knob", 0, inches(length, 2.0, 1.0));
        scene.piece("rail", 0, inches(30.0, 2.0, 1.0));
        scene
    };
    for machine in ["planer", "jointer", "Jointer (8 in)"] {
        let finding = of(machine, 10.0).lacks("short piece", FindingLevel::Warning, 2.0);
        assert_eq!(finding.subject, machine);
        assert!(said(&finding).starts_with("knob at "), "{}", said(&finding));
        assert!(helped(&finding).contains("cut it last"));
        assert!(finding.source().contains("common practice"));
        assert!(of(machine, 12.0).of("short piece").is_empty());
    }
    for machine in ["saw", "hand planer", "bench"] {
        assert!(of(machine, 10.0).of("short piece").is_empty(), "{machine}");
    }
}

/// A saw that feeds toward +y in the middle of a room.
fn saw(aside: f64) -> Scene {
    let mut scene = Scene::room(40.0, 40.0);
    let saw = scene.feed("saw", (20.0, 20.0), (3.0, 3.0), Side::PlusY);
    saw.kickback = true;
    saw.stand = Point::new(aside * IN, -30.0 * IN);
    scene
}

#[test]
fn who_stands_in_the_line_of_the_blade_is_told() {
    let with_work = |aside: f64| {
        let mut scene = saw(aside);
        scene.piece("rail", 0, inches(30.0, 2.0, 1.0));
        scene
    };
    for aside in [0.0, 5.9, -5.9] {
        let finding = with_work(aside).only("blade line");
        assert_eq!(finding.level, FindingLevel::Note);
        let found = finding.value("aside_m").expect("it is given");
        assert!((found - aside.abs() * IN).abs() < 1e-9);
    }
    for aside in [6.0, -8.0] {
        assert!(with_work(aside).of("blade line").is_empty());
    }
    // Nobody works there, or it throws nothing.
    assert!(saw(0.0).of("blade line").is_empty());
    let mut gentle = with_work(0.0);
    let placement = &mut gentle.plan.placements[shopstride::shop::StationId(0)];
    placement.as_mut().expect("placed").kickback = false;
    assert!(gentle.of("blade line").is_empty());
}

#[test]
fn a_full_panel_is_not_fed_alone_with_nothing_behind_the_saw() {
    let with = |width: f64, people: u32, table: Option<f64>| {
        let mut scene = saw(-8.0);
        let part = scene.piece("side", 0, inches(96.0, width, 0.75));
        part.route[0].choices[0].work.people = people;
        if let Some(gap) = table {
            scene.station("out-feed table", (20.0, 21.5 + gap + 1.5), (3.0, 3.0));
        }
        scene
    };
    let finding = with(48.0, 1, None).only("full panel");
    assert_eq!(finding.level, FindingLevel::Note);
    assert!(
        said(&finding).starts_with("one person feeds side of "),
        "{}",
        said(&finding)
    );
    assert!(helped(&finding).contains("trained"));
    assert_eq!(with(47.0, 1, None).of("full panel").len(), 1);
    assert!(with(46.9, 1, None).of("full panel").is_empty());
    assert!(with(48.0, 2, None).of("full panel").is_empty());
    // A table that begins 10 in behind the saw carries it, one that begins 2 ft behind does not.
    assert!(with(48.0, 1, Some(10.0 / 12.0)).of("full panel").is_empty());
    assert_eq!(
        with(48.0, 1, Some(24.0 * IN / FT)).of("full panel").len(),
        1
    );
}

#[test]
fn a_planer_is_known_by_its_kind_whatever_it_is_called() {
    let finds = |name: &str, kind: Option<&'static str>| {
        let mut scene = Scene::room(40.0, 40.0);
        scene.feed(name, (20.0, 20.0), (3.0, 3.0), Side::PlusY);
        scene.shop.stations[StationId(0)].kind = kind;
        scene.piece("block", 0, inches(8.0, 3.0, 1.0));
        !scene.of("short piece").is_empty()
    };
    assert!(finds("big green one", Some("bench-top planer")));
    assert!(finds("old one", Some("jointer 6 in")));
    assert!(finds("planer", None));
    assert!(!finds("planer corner", Some("workbench")));
    assert!(!finds("big green one", None));
}
