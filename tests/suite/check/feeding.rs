//! Rules about feeding, crossing strips and kickback.

use shopstride::floor::FindingLevel;
use shopstride::floor::Side;
use shopstride::shop::{Gear, GearCount, GearId, ProjectId, Table, Work};

use super::scenes::{FT, IN, Scene, ft, helped, inches, person, said};

const BOARD: (f64, f64, f64) = (96.0, 6.0, 1.0);

/// A saw of 3 by 3 ft whose cutter stands at x in a room of 20 by 12 ft, fed toward +x with an 8-ft board.
fn saw_at(x: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.feed("saw", (x, 6.0), (3.0, 3.0), Side::PlusX);
    scene.piece("rail", 0, inches(BOARD.0, BOARD.1, BOARD.2));
    scene
}

#[test]
fn an_8_ft_board_in_a_20_ft_room() {
    let finding = saw_at(11.0).only("feed");
    assert_eq!(finding.level, FindingLevel::Note);
    let text = said(&finding);
    for part in [
        "8.0 ft long, needs 18.5 ft of straight run, 2.5 ft of it for the operator to stand",
        "there is 20.0 ft, so that the machine may shift by 1.5 ft",
    ] {
        assert!(text.contains(part), "{text}");
    }
    let feet = |name: &str| finding.value(name).expect("given") / FT;
    for (name, expected) in [
        ("needed_m", 18.5),
        ("run_m", 20.0),
        ("window_m", 1.5),
        ("operator_m", 2.5),
        ("longest_here_m", 8.5),
        ("longest_anywhere_m", 8.75),
        ("strip_width_m", 3.0),
    ] {
        assert!(
            (feet(name) - expected).abs() < 1e-9,
            "{name}: {}",
            feet(name)
        );
    }
}

#[test]
fn the_cutter_may_stand_in_the_band_and_nowhere_else() {
    for x in [10.5, 11.2, 12.0] {
        assert_eq!(saw_at(x).only("feed").level, FindingLevel::Note, "{x}");
    }
    let near_infeed = saw_at(10.4).lacks("feed", FindingLevel::Fault, 1.2);
    assert!(helped(&near_infeed).contains("move saw the way the work is fed by 0.1 ft"));
    let near_outfeed = saw_at(12.3).lacks("feed", FindingLevel::Fault, 3.6);
    assert!(
        helped(&near_outfeed).contains("against the feed"),
        "{}",
        helped(&near_outfeed)
    );
    let text = said(&near_outfeed);
    assert!(
        text.contains("may shift by 1.5 ft, and it stands 0.3 ft beyond that"),
        "{text}"
    );
}

#[test]
fn a_12_ft_board_lacks_six_and_a_half_feet_wherever_the_cutter_stands() {
    let mut scene = saw_at(10.0);
    scene.piece("long rail", 0, inches(144.0, 6.0, 1.0));
    let finding = scene.only("feed");
    assert_eq!(finding.level, FindingLevel::Fault);
    assert!((finding.value("window_m").expect("given") / FT + 6.5).abs() < 1e-9);
    let text = said(&finding);
    assert!(
        text.contains("needs 26.5 ft") && text.contains("6.5 ft is missing wherever"),
        "{text}"
    );
    assert!(text.contains("long rail"), "{text}");
}

#[test]
fn what_stands_in_the_strip_ends_it_and_what_touches_it_does_not() {
    let mut scene = saw_at(11.0);
    scene.station("bench", (19.0, 8.5), (2.0, 2.0));
    assert_eq!(
        scene.only("feed").level,
        FindingLevel::Note,
        "it touches the strip's side"
    );
    scene.station("rack", (19.0, 6.0), (1.0, 1.0));
    let finding = scene.lacks("feed", FindingLevel::Fault, 6.0);
    assert_eq!(finding.other.as_deref(), Some("rack"));
    assert!((finding.value("run_out_m").expect("given") / FT - 7.5).abs() < 1e-9);
}

#[test]
fn a_strip_runs_out_through_a_door_that_is_wide_enough() {
    let mut scene = saw_at(19.0 - 0.5);
    scene.lacks("feed", FindingLevel::Fault, 78.0);
    scene.door("garage door", (20.0, 4.4), (20.0, 7.6));
    let finding = scene.only("feed");
    assert_eq!(finding.level, FindingLevel::Note, "{}", said(&finding));
    assert!(
        said(&finding).contains("as long as wanted, through the open garage door"),
        "{}",
        said(&finding)
    );
    // Narrower than the strip of 3 ft by a hand.
    scene.the_room().doors[0].between.1 = ft(20.0, 7.3);
    assert_eq!(scene.only("feed").level, FindingLevel::Fault);
    // Out into a corridor of 6 ft behind a wall of half a foot: 8 ft from the cutter.
    scene.the_room().doors[0].between.1 = ft(20.0, 7.6);
    scene.the_room().doors[0].corridor = Some(6.0 * FT);
    let finding = scene.only("feed");
    assert_eq!(finding.level, FindingLevel::Note, "{}", said(&finding));
    assert!((finding.value("run_out_m").expect("given") / FT - 8.0).abs() < 1e-9);
    scene.the_room().doors[0].corridor = Some(5.0 * FT);
    scene.lacks("feed", FindingLevel::Fault, 12.0);
}

#[test]
fn a_sheet_needs_room_beside_the_machine_too() {
    let mut scene = saw_at(11.0);
    scene.piece("panel", 0, inches(96.0, 48.0, 0.75));
    let width = scene.only("feed").value("strip_width_m").expect("given");
    assert!((width / IN - 52.0).abs() < 1e-9, "{width}");
    // 26 in are needed from the line of the cutter; this begins at 20 in.
    scene.station("shelf", (11.0, 6.0 + 20.0 / 12.0 + 0.5), (1.0, 1.0));
    let finding = scene.lacks("feed", FindingLevel::Fault, 6.0);
    assert_eq!(finding.other.as_deref(), Some("shelf"));
    assert!(
        said(&finding).contains("stands beside the cutter"),
        "{}",
        said(&finding)
    );
}

#[test]
fn the_walk_behind_the_outfeed_is_adjustable() {
    let mut scene = saw_at(11.0);
    scene.limits.outfeed_walk = 2.0 * FT;
    let finding = scene.lacks("feed", FindingLevel::Fault, 12.0);
    assert!((finding.value("needed_m").expect("given") / FT - 20.5).abs() < 1e-9);
}

/// Two machines whose strips cross at a right angle.
fn crossing() -> Scene {
    let mut scene = Scene::room(40.0, 40.0);
    scene.feed("saw", (20.0, 20.0), (3.0, 3.0), Side::PlusX);
    scene.feed("planer", (14.0, 24.0), (2.0, 2.0), Side::PlusY);
    scene.piece("rail", 0, inches(96.0, 6.0, 1.0));
    scene.piece("stile", 1, inches(96.0, 6.0, 1.0));
    scene
}

#[test]
fn strips_cross_when_two_can_work_at_once() {
    let mut scene = crossing();
    assert!(
        scene.of("crossing").is_empty(),
        "one person feeds one machine at a time"
    );
    scene.shop.crew.push(person("helper"));
    let finding = scene.lacks("crossing", FindingLevel::Note, 66.0);
    // The saw's strip begins at 20 - 10.5 ft, the planer's ends at 14 + 1 ft.
    assert_eq!(finding.other.as_deref(), Some("planer"));
    scene.shop.crew = Table::new();
    for name in ["maker", "helper"] {
        let mut person = person(name);
        person.can = (name == "maker").then(Vec::new);
        scene.shop.crew.push(person);
    }
    assert!(
        scene.of("crossing").is_empty(),
        "only one of them has the skill"
    );
}

#[test]
fn machines_that_share_gear_or_take_everybody_do_not_run_at_once() {
    let with_two = |change: fn(&mut Work, GearId)| {
        let mut scene = crossing();
        scene.shop.crew.push(person("helper"));
        let push_stick = scene.shop.gear.push(Gear {
            name: String::from("push stick"),
            count: 1,
            stored_at: None,
        });
        for item in &mut scene.shop.projects[ProjectId(0)].items {
            change(&mut item.route[0].choices[0].work, push_stick);
        }
        scene.of("crossing").len()
    };
    assert_eq!(with_two(|_, _| {}), 1);
    assert_eq!(
        with_two(|work, stick| work.gear.push((stick, GearCount::PerLot(1)))),
        0
    );
    assert_eq!(with_two(|work, _| work.people = 2), 0);
    assert_eq!(with_two(|work, _| work.people = 0), 1, "they run alone");
}

#[test]
fn nobody_stands_in_the_line_of_a_kickback() {
    let mut scene = Scene::room(30.0, 20.0);
    let saw = scene.feed("saw", (20.0, 10.0), (3.0, 3.0), Side::PlusX);
    saw.kickback = true;
    saw.stand = ft(-2.5, 0.0);
    // From the body's edge at 18.5 ft past the operator at 17.5 ft to 9.5 ft.
    let bench = scene.station("bench", (12.0, 15.0), (2.0, 1.0));
    bench.stand = ft(0.0, -5.0);
    let finding = scene.only("kickback");
    assert_eq!(finding.level, FindingLevel::Warning);
    assert_eq!(finding.other.as_deref(), Some("bench"));
    assert!((finding.value("reach_m").expect("given") / FT - 9.0).abs() < 1e-9);
    let moved = |scene: &Scene, x: f64, y: f64| {
        let mut scene = scene.clone();
        let bench = scene.plan.placements[shopstride::shop::StationId(1)].as_mut();
        bench.expect("placed").at = ft(x, y);
        scene.of("kickback").len()
    };
    // The body reaches 0.25 m beyond half of the saw's width.
    let aside = 1.5 + 0.25 / FT;
    assert_eq!(moved(&scene, 12.0, 15.0 + aside - 0.01), 1);
    assert_eq!(moved(&scene, 12.0, 15.0 + aside + 0.01), 0);
    assert_eq!(
        moved(&scene, 9.4, 15.0),
        0,
        "farther than 8 ft behind the operator"
    );
    assert_eq!(moved(&scene, 24.0, 15.0), 0, "on the other side");
    scene.plan.placements[shopstride::shop::StationId(0)]
        .as_mut()
        .expect("placed")
        .kickback = false;
    assert!(scene.of("kickback").is_empty());
}

#[test]
fn a_door_behind_the_saw_is_warned_of() {
    let mut scene = Scene::room(30.0, 20.0);
    let saw = scene.feed("saw", (8.0, 10.0), (3.0, 3.0), Side::PlusX);
    saw.kickback = true;
    saw.stand = ft(-2.5, 0.0);
    scene.door("back door", (0.0, 11.4), (0.0, 14.4));
    assert_eq!(scene.only("kickback").other.as_deref(), Some("back door"));
    scene.the_room().doors[0].between = (ft(0.0, 11.6), ft(0.0, 14.6));
    assert!(scene.of("kickback").is_empty());
}
