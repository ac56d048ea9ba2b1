//! Rules about footprints, doors, panels, standing room, reach and aisles: each broken by a known amount, and just kept.

use shopstride::floor::check::{RULES, WalkedLeg};
use shopstride::floor::{FindingLevel, LIMITS};
use shopstride::floor::{Obstacle, Point};
use shopstride::shop::{PlaceId, StationId};

use super::scenes::{FT, IN, Scene, ft, said};

/// A room of 20 by 12 ft with one station of 2 by 2 ft.
fn with_station(x: f64, y: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", (x, y), (2.0, 2.0));
    scene
}

fn aside(scene: &mut Scene, stand: Point) {
    for station in scene.plan.placements.ids() {
        let placement = scene.plan.placements[station].as_mut();
        placement.expect("placed").stand = stand;
    }
}

#[test]
fn every_rule_and_limit_has_a_name_of_its_own_and_a_source() {
    for (index, rule) in RULES.iter().enumerate() {
        assert!(!rule.about.is_empty() && !rule.source.is_empty());
        assert!(
            RULES[..index]
                .iter()
                .all(|other| other.id.name() != rule.id.name()),
            "{}",
            rule.id.name()
        );
    }
    for (index, limit) in LIMITS.iter().enumerate() {
        assert!(
            LIMITS[..index].iter().all(|other| other.key != limit.key),
            "{}",
            limit.key
        );
    }
    assert_eq!(RULES.len(), 32);
}

#[test]
fn an_empty_room_and_a_station_with_room_around_it_have_no_finding() {
    assert!(Scene::room(20.0, 12.0).findings().is_empty());
    let findings = with_station(10.0, 6.0).findings();
    assert!(findings.is_empty(), "{findings:#?}");
}

#[test]
fn stations_overlap_by_a_known_amount_or_touch() {
    let mut scene = with_station(5.0, 6.0);
    scene.station("saw", (6.9, 6.0), (2.0, 2.0));
    let finding = scene.lacks("overlap", FindingLevel::Fault, 1.2);
    assert_eq!(
        (finding.subject.as_str(), finding.other.as_deref()),
        ("bench", Some("saw"))
    );
    let mut scene = with_station(5.0, 6.0);
    scene.station("saw", (7.0, 6.0), (2.0, 2.0));
    assert!(scene.of("overlap").is_empty());
    // Turned by 45 degrees, its corner reaches sqrt(2) ft from its centre.
    let mut scene = with_station(5.0, 6.0);
    scene
        .station("saw", (6.0 + 2.0_f64.sqrt() - 0.1, 6.0), (2.0, 2.0))
        .turn = 45.0;
    scene.lacks("overlap", FindingLevel::Fault, 1.2);
}

#[test]
fn a_station_reaches_into_a_wall_or_stands_outside() {
    with_station(0.9, 6.0).lacks("walls", FindingLevel::Fault, 1.2);
    assert!(with_station(1.0, 6.0).of("walls").is_empty());
    let finding = with_station(-5.0, 6.0).lacks("walls", FindingLevel::Fault, 72.0);
    assert!(said(&finding).contains("outside the room"));
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("cart bay", (21.0, 6.0), (0.0, 0.0));
    scene.lacks("walls", FindingLevel::Fault, 12.0);
}

#[test]
fn a_station_overlaps_a_thing() {
    let post = [(6.0, 5.5), (6.5, 5.5), (6.5, 6.0), (6.0, 6.0)];
    let mut scene = with_station(5.1, 6.0);
    scene.thing("post", &post);
    scene.lacks("in the way", FindingLevel::Fault, 1.2);
    let mut scene = with_station(5.0, 6.0);
    scene.thing("post", &post);
    assert!(scene.of("in the way").is_empty());
}

#[test]
fn the_floor_before_a_door_is_free() {
    let depth = 28.0 / 12.0;
    let before_door = |y: f64| {
        let mut scene = with_station(6.5, y);
        aside(&mut scene, ft(5.0, 0.0));
        scene.door("door", (5.0, 0.0), (8.0, 0.0));
        scene
    };
    before_door(depth + 1.0 - 0.1).lacks("doors", FindingLevel::Fault, 1.2);
    assert!(before_door(depth + 1.0).of("doors").is_empty());
    let mut other_depth = before_door(depth + 1.0);
    other_depth.limits.way_out = 30.0 * IN;
    other_depth.lacks("doors", FindingLevel::Fault, 2.0);
}

#[test]
fn before_a_wide_door_a_way_out_may_be_left() {
    let before_gate = |x: f64| {
        let mut scene = with_station(x, 3.0);
        aside(&mut scene, ft(3.0, 0.0));
        scene.door("gate", (4.0, 0.0), (13.0, 0.0));
        scene.only("doors")
    };
    // From 8 to 10 ft: 4 ft are left on one side.
    let narrowed = before_gate(9.0);
    assert_eq!(narrowed.level, FindingLevel::Warning);
    assert!((narrowed.value("left_m").expect("given") / FT - 4.0).abs() < 1e-9);
    let mut low_door = with_station(6.5, 3.0);
    low_door.door("gate", (5.0, 0.0), (5.0 + 2.0 + 28.0 / 12.0 - 0.01, 0.0));
    assert_eq!(low_door.of("doors").len(), 1);
    assert_eq!(low_door.only("doors").level, FindingLevel::Fault);
    low_door.the_room().doors[0].between.0 = ft(2.5, 0.0);
    assert_eq!(low_door.only("doors").level, FindingLevel::Warning);
}

#[test]
fn a_leaf_that_swings_in_needs_a_quarter_circle_at_one_end() {
    let with_door = |x: f64, width: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("shelf", (x, 3.0), (width, 1.0)).stand = ft(5.0, 0.0);
        scene.door("door", (5.0, 0.0), (8.0, 0.0)).swings_in = true;
        scene
    };
    // From 5.5 to 7.5 ft at 2.5 ft: 2.55 ft from either end of the door, which is 3 ft wide.
    let both = with_door(6.5, 2.0).only("doors");
    assert_eq!(both.level, FindingLevel::Fault, "{}", said(&both));
    // From 5 to 5.5 ft: 2.5 ft from one end, 3.5 ft from the other.
    assert_eq!(
        with_door(5.25, 0.5).only("doors").level,
        FindingLevel::Warning
    );
    let mut outward = with_door(6.5, 2.0);
    outward.the_room().doors[0].swings_in = false;
    assert!(outward.of("doors").is_empty());
}

/// With its hinges at the end at which a shelf stands out of its way, a leaf opens; at the other end it does not.
#[test]
fn where_the_hinges_are_known_one_quarter_circle_counts() {
    let with_hinge = |x: f64, is_first: bool| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("shelf", (x, 3.0), (0.5, 1.0)).stand = ft(5.0, 0.0);
        let ends = match is_first {
            true => [(5.0, 0.0), (8.0, 0.0)],
            false => [(8.0, 0.0), (5.0, 0.0)],
        };
        let door = scene.door("door", ends[0], ends[1]);
        (door.swings_in, door.hangs_at_first) = (true, true);
        scene
    };
    // From 5 to 5.5 ft: 2.5 ft from the end at 5 ft, 3.5 ft from that at 8 ft; the leaf is 3 ft long.
    let blocked = with_hinge(5.25, true).only("doors");
    assert_eq!(blocked.level, FindingLevel::Fault);
    assert!(said(&blocked).contains("keeps door from opening"));
    assert!(with_hinge(5.25, false).of("doors").is_empty());
}

#[test]
fn the_floor_in_front_of_a_panel_is_free() {
    let at = |x: f64, y: f64| {
        let mut scene = with_station(x, y);
        scene.panel("panel", (0.0, 6.0), Point::new(1.0, 0.0));
        scene
    };
    at(3.9, 6.0).lacks("panel", FindingLevel::Fault, 1.2);
    assert!(at(4.0, 6.0).of("panel").is_empty());
    at(2.0, 6.0 + 1.25 + 0.9).lacks("panel", FindingLevel::Fault, 1.2);
    assert!(at(2.0, 6.0 + 1.25 + 1.0).of("panel").is_empty());
    let mut wide = at(2.0, 6.0 + 1.25 + 1.0);
    wide.the_room().panels[0].width = 40.0 * IN;
    wide.lacks("panel", FindingLevel::Fault, 5.0);
}

/// A bench whose standing place is at (5, 3) ft, and something whose top edge is `gap` ft below it.
fn standing_above(gap: f64) -> Scene {
    let mut scene = with_station(5.0, 5.0);
    scene
        .station("rack", (5.0, 3.0 - gap - 0.5), (2.0, 1.0))
        .stand = ft(4.0, 0.5);
    scene
}

#[test]
fn there_is_room_to_stand() {
    let fault = standing_above(0.8).lacks("standing", FindingLevel::Fault, (0.25 - 0.8 * FT) / IN);
    assert_eq!(fault.other.as_deref(), Some("rack"));
    standing_above(0.9).lacks("standing", FindingLevel::Warning, 1.2);
    assert!(standing_above(1.0).of("standing").is_empty());
    let inside =
        standing_above(-0.3).lacks("standing", FindingLevel::Fault, (0.25 + 0.3 * FT) / IN);
    assert!(said(&inside).contains("within rack"), "{}", said(&inside));
    let outside = with_station(5.0, 1.5).only("standing");
    assert_eq!(outside.level, FindingLevel::Fault);
    assert!(
        said(&outside).contains("outside the room"),
        "{}",
        said(&outside)
    );
}

#[test]
fn a_bench_is_reached_from_the_sides_it_asks_for() {
    let beyond = |gap: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("bench", (10.0, 6.0), (5.0, 2.0)).reach_from = [false, false, true, false];
        let edge = 7.0 + gap;
        scene.thing(
            "post",
            &[
                (12.0, edge),
                (13.0, edge),
                (13.0, edge + 1.0),
                (12.0, edge + 1.0),
            ],
        );
        scene
    };
    beyond(1.5).lacks("reach", FindingLevel::Warning, 0.5 / IN - 18.0);
    assert!(beyond(0.5 / FT + 0.01).of("reach").is_empty());
    let mut other_side = beyond(1.5);
    let bench = other_side.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed");
    bench.reach_from = [true, true, false, true];
    assert!(other_side.of("reach").is_empty());
    let mut at_wall = Scene::room(20.0, 12.0);
    at_wall
        .station("bench", (10.0, 10.0), (5.0, 2.0))
        .reach_from = [false, false, true, false];
    let finding = at_wall.lacks("reach", FindingLevel::Warning, 0.5 / IN - 12.0);
    assert_eq!(finding.other.as_deref(), Some("the wall"));
}

fn leg(width: f64, loaded: bool, place: Point) -> WalkedLeg {
    WalkedLeg {
        from: PlaceId(0),
        to: PlaceId(1),
        loaded,
        trips: 1.0,
        width: width * IN,
        place,
        between: [Obstacle::Station(StationId(0)), Obstacle::Wall],
    }
}

#[test]
fn paths_are_as_wide_as_advised() {
    let walked = |legs: &[WalkedLeg]| {
        let mut scene = with_station(5.0, 6.0);
        // The second place is the first door, which is as wide as is advised.
        scene.door("side door", (20.0, 5.0), (20.0, 9.0));
        scene.walked = legs.to_vec();
        scene
    };
    let here = ft(8.0, 6.0);
    let finding = walked(&[leg(27.0, true, here)]).lacks("aisle", FindingLevel::Fault, 1.0);
    assert_eq!(finding.other.as_deref(), Some("side door"));
    // Whether everybody gets out is the matter of another rule: with empty hands one may go another way.
    walked(&[leg(27.0, false, here)]).lacks("aisle", FindingLevel::Warning, 9.0);
    walked(&[leg(28.0, false, here)]).lacks("aisle", FindingLevel::Warning, 8.0);
    assert!(walked(&[leg(36.0, false, here)]).of("aisle").is_empty());
    walked(&[leg(36.0, true, here)]).lacks("aisle", FindingLevel::Warning, 12.0);
    assert!(walked(&[leg(48.0, true, here)]).of("aisle").is_empty());
    let mut elsewhere = leg(30.0, false, here);
    elsewhere.to = PlaceId(0);
    let twice = walked(&[elsewhere, leg(30.0, true, here)]);
    let finding = twice.lacks("aisle", FindingLevel::Warning, 18.0);
    assert!(said(&finding).contains("and on another way"));
    // Between two other things it is another gap, and only a way to a door is a way out.
    let mut second = leg(27.0, false, ft(3.0, 3.0));
    second.to = PlaceId(0);
    second.between = [Obstacle::Wall, Obstacle::Wall];
    let elsewhere = walked(&[leg(30.0, false, here), second]);
    assert_eq!(elsewhere.of("aisle").len(), 2);
    let alone = walked(&[second]);
    alone.lacks("aisle", FindingLevel::Warning, 9.0);
}

/// A door of 36 in stands in a wall and stays as wide as it is, whatever stands where: it is told of, and no warning.
#[test]
fn a_door_that_is_wide_enough_to_leave_by_is_a_note_where_pieces_are_carried() {
    let through = |loaded: bool, feet: f64| {
        let mut scene = with_station(5.0, 6.0);
        scene.door("side door", (20.0, 5.0), (20.0, 5.0 + feet));
        scene.walked = vec![WalkedLeg {
            between: [Obstacle::Wall; 2],
            ..leg(feet * 12.0, loaded, ft(20.0, 6.5))
        }];
        scene
    };
    let note = through(true, 3.0).only("aisle");
    assert_eq!(
        (note.level, &note.subject[..]),
        (FindingLevel::Note, "side door")
    );
    assert!(said(&note).contains("3.0 ft wide"), "{}", said(&note));
    for (loaded, feet) in [(false, 3.0), (true, 4.0)] {
        assert!(through(loaded, feet).of("aisle").is_empty());
    }
    // Narrower than the least of a way out, 28 in, it is a narrow place like any other.
    through(true, 27.0 / 12.0).lacks("aisle", FindingLevel::Fault, 1.0);
    through(false, 27.0 / 12.0).lacks("aisle", FindingLevel::Warning, 9.0);
}

#[test]
fn without_a_room_or_a_placement_the_rules_that_need_them_are_silent() {
    let mut scene = with_station(0.5, 6.0);
    scene.plan.room = None;
    assert!(scene.findings().is_empty());
    let mut scene = with_station(0.5, 6.0);
    scene.plan.placements[StationId(0)] = None;
    assert!(scene.findings().is_empty());
}

/// A drill press that counts as two and is drawn once, as large as one usually is, stands on the floor of one; of a size
/// that somebody gave, nobody knows for how many it is.
#[test]
fn what_counts_as_several_has_a_place_for_each() {
    let with = |count: u32, is_size_usual: bool| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("drill press", (10.0, 6.0), (2.0, 2.0));
        let station = &mut scene.shop.stations[StationId(0)];
        (station.count, station.is_size_usual) = (count, is_size_usual);
        scene
    };
    let usual = with(2, true).only("units");
    assert_eq!(usual.level, FindingLevel::Warning);
    assert!(
        said(&usual).contains("drill press counts as 2"),
        "{}",
        said(&usual)
    );
    assert_eq!(with(2, false).only("units").level, FindingLevel::Note);
    assert!(with(1, true).of("units").is_empty());
    let mut point = with(2, true);
    point.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .size = (0.0, 0.0);
    assert!(point.of("units").is_empty(), "it takes no floor");
}
