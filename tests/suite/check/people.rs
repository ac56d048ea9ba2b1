//! Rules about where people stand, walk and get out: each with what is missing worked out by hand.

use shopstride::floor::FindingLevel;
use shopstride::floor::check::WalkedLeg;
use shopstride::floor::{Obstacle, Side};
use shopstride::shop::{Carts, PlaceId, StationId};
use shopstride::units::{Span, Speed};

use shopstride::report::check::Told;

use super::scenes::{FT, IN, Scene, ft, helped, inches, said};

/// A room of 20 by 12 ft with a bench of 2 by 1 ft that is worked at, and one below the rest that is not.
pub(super) fn used(at: (f64, f64)) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", at, (2.0, 1.0));
    scene.piece("rail", 0, inches(20.0, 4.0, 1.0));
    scene
}

/// Where nobody gets, nobody can play: a door that the work uses is as wide as a person.
#[test]
fn somebody_can_stand_in_a_door_that_the_work_uses() {
    let with_door = |width: f64| {
        let mut scene = used((10.0, 6.0));
        scene.limits.way_out = 0.0;
        scene.door("hatch", (0.0, 5.0), (0.0, 5.0 + width / FT));
        scene
    };
    assert!(
        with_door(0.4).of("standing").is_empty(),
        "nobody goes there"
    );
    let through = |width: f64| {
        let mut scene = with_door(width);
        scene.shop.crew[shopstride::shop::PersonId(0)].starts_at = PlaceId(1);
        scene
    };
    // From the middle of 40 cm both cheeks are 20 cm away, and the body's radius is 25 cm.
    let finding = through(0.4).lacks("standing", FindingLevel::Fault, 0.05 / IN);
    assert_eq!(finding.subject, "hatch");
    assert!(
        helped(&finding).contains("a person fits at"),
        "{}",
        helped(&finding)
    );
    assert!(through(0.5).of("standing").is_empty());
}

#[test]
fn nobody_is_sent_behind_a_rack_or_away_from_the_station_itself() {
    // Between the rack and the bench 1 ft is left; below the rack a body fits.
    let mut scene = used((10.0, 6.0));
    scene.station("saw", (4.0, 8.0), (4.0, 1.0)).stand = ft(0.0, -1.5);
    scene.thing("rack", &[(0.0, 5.5), (9.0, 5.5), (9.0, 6.5), (0.0, 6.5)]);
    let finding = at(&scene, "saw");
    assert_eq!(finding.other.as_deref(), Some("rack"));
    assert!(
        !helped(&finding).contains("a person fits at"),
        "{}",
        helped(&finding)
    );
    // Beside the end of a short rack one reaches the bench.
    let mut scene = used((10.0, 8.0));
    scene.station("saw", (4.0, 8.0), (4.0, 1.0)).stand = ft(0.0, -1.0);
    scene.thing("box", &[(3.5, 6.0), (4.5, 6.0), (4.5, 7.0), (3.5, 7.0)]);
    let finding = at(&scene, "saw");
    assert!(
        helped(&finding).contains("a person fits at"),
        "{}",
        helped(&finding)
    );
    // Within the footprint, 3 in from its edge: a body of 25 cm has to get out of it.
    let mut scene = used((10.0, 6.0));
    scene.station("saw", (4.0, 6.0), (4.0, 1.0)).stand = ft(0.0, -0.25);
    let finding = at(&scene, "saw");
    assert!(
        said(&finding).contains("within its own footprint"),
        "{}",
        said(&finding)
    );
    assert!(
        helped(&finding)
            .starts_with("move the standing place of saw (`stand`) away from its footprint"),
        "{}",
        helped(&finding)
    );
}

/// The fault of the rule about standing at a station.
fn at(scene: &Scene, station: &str) -> Told {
    let mut found = scene.of("standing").into_iter();
    let found = found.find(|told| told.level == FindingLevel::Fault && told.subject == station);
    found.expect("a fault")
}

#[test]
fn two_benches_side_by_side_close_a_door_that_neither_closes_alone() {
    let before_gate = |second: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        for (name, x) in [("one", 5.0), ("other", second)] {
            scene.station(name, (x, 1.0), (3.0, 1.0)).stand = ft(0.0, 4.0);
        }
        scene.door("gate", (3.5, 0.0), (9.5, 0.0));
        scene.of("doors")
    };
    // From 3.5 to 6.5 ft and from 6.5 to 9.5 ft: nothing is left, but 3 ft would be beside each alone.
    let both = before_gate(8.0);
    assert_eq!(both.len(), 2);
    for finding in &both {
        assert_eq!(finding.level, FindingLevel::Fault, "{}", said(finding));
        assert_eq!(finding.value("left_m"), Some(0.0));
        assert!(said(finding).contains("with what else stands there"));
    }
    // Overlapping in front of the door, they leave 6 - 3.5 ft = 30 in at one side.
    let aside = before_gate(5.5);
    assert!(
        aside
            .iter()
            .all(|finding| finding.level == FindingLevel::Warning)
    );
    let left = aside[0].value("left_m").expect("given") / FT;
    assert!((left - 2.5).abs() < 1e-9, "{left}");
}

/// The pocket behind the bench is free, but both ways into it are as wide as the gap.
#[test]
fn a_side_where_there_is_room_must_be_reached_too() {
    let pocket = |gap: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("bench", (10.0, 8.0), (6.0, 2.0)).reach_from = [false, false, true, false];
        let edge = 9.0 + gap / FT;
        for (name, x) in [("left post", 6.0), ("right post", 12.6)] {
            scene.thing(
                name,
                &[(x, edge), (x + 1.4, edge), (x + 1.4, 12.0), (x, 12.0)],
            );
        }
        scene.thing(
            "left wing",
            &[(0.0, 6.0), (7.0, 6.0), (7.0, 9.0), (0.0, 9.0)],
        );
        scene.thing(
            "right wing",
            &[(13.0, 6.0), (20.0, 6.0), (20.0, 9.0), (13.0, 9.0)],
        );
        scene
    };
    // Nothing at all leads behind the bench.
    let closed = pocket(0.4).only("reach");
    assert_eq!(closed.level, FindingLevel::Warning);
    let mut open = Scene::room(20.0, 12.0);
    open.station("bench", (10.0, 8.0), (4.0, 2.0)).reach_from = [false, false, true, false];
    for (name, x) in [("left post", 7.0), ("right post", 12.5)] {
        let edge = 9.0 + 0.4 / FT;
        open.thing(
            name,
            &[(x, edge), (x + 0.5, edge), (x + 0.5, 12.0), (x, 12.0)],
        );
    }
    // The ends of the pocket: from the bench's corner at (8, 9) ft to the post's at (7.5, 9 ft + 40 cm).
    let gap = (0.5 * FT).hypot(0.4);
    assert!(gap < 0.5);
    let finding = open.lacks("reach", FindingLevel::Warning, (0.5 - gap) / IN);
    assert!(
        said(&finding).contains("where there is room"),
        "{}",
        said(&finding)
    );
    open.plan.body_width = 0.42;
    assert!(open.of("reach").is_empty());
}

/// A shelf across the room leaves a gap beside the wall, between the bench and the only door.
fn behind_a_shelf(gap: f64) -> Scene {
    let mut scene = used((15.0, 6.0));
    scene.door("exit", (0.0, 4.0), (0.0, 8.0));
    let top = 12.0 - gap / FT;
    scene.thing("shelf", &[(6.0, 0.0), (7.0, 0.0), (7.0, top), (6.0, top)]);
    scene
}

#[test]
fn a_way_out_is_as_wide_as_the_limit() {
    // 28 in are 71.12 cm.
    let narrow = behind_a_shelf(0.55);
    let finding = narrow.only("way out");
    assert_eq!(finding.level, FindingLevel::Fault);
    assert_eq!(finding.subject, "bench");
    let width = finding.value("width_m").expect("given");
    assert!((width - 0.55).abs() < 3e-4, "{width}");
    assert!((finding.missing.expect("given") - (28.0 * IN - 0.55)).abs() < 3e-4);
    assert!(said(&finding).contains("between"), "{}", said(&finding));
    assert!(behind_a_shelf(28.0 * IN).of("way out").is_empty());
    assert_eq!(behind_a_shelf(28.0 * IN - 2e-3).of("way out").len(), 1);
    let closed = behind_a_shelf(0.0).only("way out");
    assert!(
        said(&closed).contains("no way out leads from bench"),
        "{}",
        said(&closed)
    );
    // A second door on this side is a way out, unless it is too narrow itself.
    let with_door = |width: f64| {
        let mut scene = behind_a_shelf(0.0);
        scene.door("back door", (20.0, 4.0), (20.0, 4.0 + width / FT));
        scene.of("way out").len()
    };
    assert_eq!(with_door(0.8), 0);
    assert_eq!(with_door(0.6), 1);
}

#[test]
fn without_doors_or_work_nothing_is_said_of_a_way_out() {
    let mut doorless = behind_a_shelf(0.0);
    doorless.the_room().doors.clear();
    assert!(doorless.of("way out").is_empty());
}

#[test]
fn a_cart_must_get_where_lots_ask_for_it() {
    let with_cart = |at_least: u32, gap: f64| {
        let mut scene = used((15.0, 6.0));
        scene.station("rack", (3.0, 6.0), (1.0, 1.0));
        let top = 12.0 - gap / FT;
        scene.thing("shelf", &[(8.0, 0.0), (9.0, 0.0), (9.0, top), (8.0, top)]);
        scene.plan.cart_width = 0.8;
        scene.shop.handling.carts = Some(Carts {
            count: 1,
            stored_at: PlaceId(1),
            pieces: 10,
            speed: Speed::from_metres_per_second(1.0),
            at_least,
            load: Span::ZERO,
            unload: Span::ZERO,
        });
        scene.shop.projects[shopstride::shop::ProjectId(0)].items[0].pieces = 4;
        scene.of("reachable")
    };
    let beyond = with_cart(4, 0.6);
    assert_eq!(beyond.len(), 1, "{beyond:#?}");
    assert_eq!(beyond[0].level, FindingLevel::Warning);
    assert_eq!(beyond[0].subject, "bench");
    assert!(with_cart(4, 0.82).is_empty(), "it gets through");
    assert!(with_cart(5, 0.6).is_empty(), "four pieces are carried");
}

/// A saw fed toward +x at (20, 10) ft, whose line runs from its edge to 9.5 ft.
fn saw() -> Scene {
    let mut scene = Scene::room(30.0, 20.0);
    let saw = scene.feed("saw", (20.0, 10.0), (3.0, 3.0), Side::PlusX);
    saw.kickback = true;
    saw.stand = ft(-2.5, 0.0);
    scene.piece("rail", 0, inches(20.0, 4.0, 1.0));
    scene
}

#[test]
fn a_bench_in_the_line_of_a_kickback_is_noted_though_its_worker_stands_aside() {
    let with_bench = |y: f64| {
        let mut scene = saw();
        scene.station("bench", (13.0, y), (2.0, 2.0)).stand = ft(0.0, 4.0);
        scene.of("kickback")
    };
    // The line ends at y = 11.5 ft.
    let noted = with_bench(12.4);
    assert_eq!(noted.len(), 1);
    assert_eq!(noted[0].level, FindingLevel::Note);
    assert_eq!(noted[0].other.as_deref(), Some("bench"));
    assert!(with_bench(12.6).is_empty());
}

/// With a second person somebody may work at that bench while the saw runs, if anything is done there.
#[test]
fn a_bench_in_the_line_of_a_kickback_is_warned_of_where_two_work_at_once() {
    let with = |crew: usize, has_work: bool| {
        let mut scene = saw();
        scene.station("bench", (13.0, 12.4), (2.0, 2.0)).stand = ft(0.0, 4.0);
        if has_work {
            scene.piece("panel", 1, inches(20.0, 4.0, 1.0));
        }
        for _ in 1..crew {
            scene.shop.crew.push(super::scenes::person("helper"));
        }
        scene.only("kickback").level
    };
    assert_eq!(with(2, true), FindingLevel::Warning);
    assert_eq!(with(1, true), FindingLevel::Note, "one after the other");
    assert_eq!(with(2, false), FindingLevel::Note, "nobody works there");
}

/// What is carried away from the saw while it may run is fetched where its operator stands; with nobody left to fetch it,
/// or with that place beside the line, there is nothing to say.
#[test]
fn what_is_fetched_from_a_running_saw_is_noted() {
    let with = |crew: usize, stand: f64, loaded: bool| {
        let mut scene = saw();
        scene.plan.placements[StationId(0)]
            .as_mut()
            .expect("placed")
            .stand = ft(-2.5, stand);
        scene.station("shelf", (20.0, 16.0), (0.0, 0.0)).stand = ft(0.0, 0.0);
        for _ in 1..crew {
            scene.shop.crew.push(super::scenes::person("helper"));
        }
        scene.walked = vec![WalkedLeg {
            from: PlaceId(0),
            to: PlaceId(1),
            loaded,
            trips: 1.0,
            width: 2.0,
            place: ft(20.0, 14.0),
            between: [Obstacle::Wall, Obstacle::Wall],
        }];
        scene.of("kickback")
    };
    let fetched = with(2, 0.0, true);
    assert_eq!(fetched.len(), 1);
    assert_eq!(fetched[0].level, FindingLevel::Note);
    assert!(said(&fetched[0]).contains("what goes from saw to shelf is fetched where"));
    assert!(with(1, 0.0, true).is_empty());
    assert!(with(2, 0.0, false).is_empty(), "empty-handed");
    // The saw is 3 ft wide, and a person 50 cm: 1.5 ft and 0.82 ft beside its middle nobody is in the line.
    assert!(with(2, 2.4, true).is_empty());
}

#[test]
fn a_walk_through_the_line_of_a_kickback_is_found() {
    let walked = |x: f64, crew: usize| {
        let mut scene = saw();
        for (name, y) in [("rack", 4.0), ("shelf", 16.0)] {
            scene.station(name, (x, y), (0.0, 0.0)).stand = ft(0.0, 0.0);
        }
        for _ in 1..crew {
            scene.shop.crew.push(super::scenes::person("helper"));
        }
        let leg = |from, to| WalkedLeg {
            from: PlaceId(from),
            to: PlaceId(to),
            loaded: false,
            trips: 1.0,
            width: 2.0,
            place: ft(x, 10.0),
            between: [Obstacle::Wall, Obstacle::Wall],
        };
        scene.walked = vec![leg(1, 2), leg(2, 1), leg(1, 0)];
        scene.of("kickback")
    };
    let alone = walked(12.0, 1);
    assert_eq!(
        alone.len(),
        1,
        "there and back are one, and the way to the saw is none"
    );
    assert_eq!(alone[0].level, FindingLevel::Note);
    assert_eq!(walked(12.0, 2)[0].level, FindingLevel::Warning);
    // The line ends 8 ft behind the operator at 17.5 ft.
    assert!(walked(9.4, 2).is_empty());
    assert_eq!(walked(9.6, 2).len(), 1);
}

#[test]
fn of_the_ways_through_the_line_of_a_kickback_the_most_walked_is_named() {
    let named = |trips: [f64; 3]| {
        let mut scene = saw();
        for (name, x, y) in [
            ("rack", 12.0, 4.0),
            ("shelf", 12.0, 16.0),
            ("press", 14.0, 16.0),
        ] {
            scene.station(name, (x, y), (0.0, 0.0)).stand = ft(0.0, 0.0);
        }
        let leg = |(from, to), trips| WalkedLeg {
            from: PlaceId(from),
            to: PlaceId(to),
            loaded: false,
            trips,
            width: 2.0,
            place: ft(12.0, 10.0),
            between: [Obstacle::Wall, Obstacle::Wall],
        };
        let legs = [(1, 2), (1, 3), (3, 1)].into_iter().zip(trips);
        scene.walked = legs.map(|(ends, trips)| leg(ends, trips)).collect();
        said(&scene.only("kickback"))
    };
    assert!(named([2.0, 0.5, 1.0]).contains("from rack to shelf"));
    // There and back are counted together.
    let back = named([2.0, 1.5, 1.0]);
    assert!(back.contains("from rack to press"), "{back}");
    assert!(back.contains("another way"), "{back}");
}

/// Of the line of 8 ft behind the operator, who stands 2.5 ft before the middle of the saw, a leaf of 3 ft is met from
/// 13.5 ft on: whether its hinges are at the one end or the other.
#[test]
fn a_door_whose_leaf_swings_into_the_line_of_a_kickback_is_found() {
    let doors = |x: f64, swings_in: bool| {
        let mut scene = saw();
        let saw = scene.plan.placements[StationId(0)].as_mut();
        saw.expect("placed").at = ft(x, 10.0);
        scene.door("door", (0.0, 11.5), (0.0, 8.5)).swings_in = swings_in;
        let found = scene.of("kickback").into_iter();
        let doors = found.filter(|found| found.other.as_deref() == Some("door"));
        doors.count()
    };
    assert_eq!(doors(13.4, true), 1);
    assert_eq!(doors(13.6, true), 0, "the leaf ends before the line");
    assert_eq!(doors(13.4, false), 0, "outward it swings out of the way");
    assert_eq!(doors(10.4, false), 1, "the line ends in the opening");
}

#[test]
fn without_a_feed_direction_the_line_cannot_be_told() {
    let mut scene = saw();
    let saw = scene.plan.placements[StationId(0)].as_mut();
    saw.expect("placed").feed = None;
    let finding = scene.only("kickback");
    assert_eq!(finding.level, FindingLevel::Note);
    assert!(helped(&finding).contains("`feed toward`"));
}
