//! Random floors: findings turn with the plan, and nothing that can be placed brings the rules down.

use proptest::prelude::*;
use shopstride::floor::FindingLevel;
use shopstride::floor::check::WalkedLeg;
use shopstride::floor::strips::{Strip, solid_walls};
use shopstride::floor::{AccessRoute, Obstacle, Point, Polygon, SAME_POINT_M, Side, Stair};
use shopstride::report::check::{CAUTION, NO_FAULT, Told};
use shopstride::shop::PlaceId;

use super::scenes::{FT, Scene, ft, helped, inches, person, said};
use crate::support::drawn;

/// A station: where, how large, how turned, where one stands, which way it is fed.
pub type Drawn = ((f64, f64), (f64, f64), f64, (f64, f64), usize);

/// Everything drawn; `crew` is at least one.
pub fn build(stations: &[Drawn], door: (f64, f64), crew: usize) -> Scene {
    let mut scene = Scene::room(20.0, 16.0);
    for (index, &(at, size, turn, stand, side)) in stations.iter().enumerate() {
        let placement = scene.station(&format!("station {index}"), at, size);
        placement.turn = turn;
        placement.stand = ft(stand.0, stand.1);
        placement.feed = Side::ALL.get(side).copied();
        placement.kickback = index % 2 == 0;
        placement.reach_from = [side == 0, side == 1, side == 2, side == 3];
        let length = 20.0 + 17.0 * index as f64;
        let size = inches(length, 6.0, 1.0);
        let part = scene.piece(&format!("part {index}"), index as u32, size);
        (part.rough, part.finished) = (Some(size), Some(size));
    }
    for _ in 1..crew {
        scene.shop.crew.push(person("helper"));
    }
    scene.door("door", (door.0, 0.0), (door.1, 0.0)).swings_in = true;
    scene.thing(
        "post",
        &[(9.0, 9.0), (9.6, 9.0), (9.6, 11.0), (9.3, 9.4), (9.0, 11.0)],
    );
    scene.panel("panel", (20.0, 8.0), Point::new(-1.0, 0.0));
    scene.stock("sheet", inches(96.0, 48.0, 0.75), Some(27.7));
    let (width, place) = (0.6, ft(4.0, 4.0));
    let (from, to) = (PlaceId(0), PlaceId(stations.len() as u32));
    let loaded = crew > 1;
    scene.walked.push(WalkedLeg {
        from,
        to,
        loaded,
        trips: 1.0,
        width,
        place,
        between: [Obstacle::Wall, Obstacle::Thing(0)],
    });
    scene.the_room().ceiling = Some(8.0 * FT);
    scene.the_room().ways.push(AccessRoute {
        name: String::from("hall"),
        door: 0,
        corners: vec![(3.0 * FT, door.0 * FT)],
        stair: Some(Stair {
            width: 3.0 * FT,
            headroom: 6.67 * FT,
            riser: 0.2,
            tread: 0.25,
        }),
    });
    scene
}

fn quarter(point: Point) -> Point {
    point.left()
}

fn turned(scene: &Scene) -> Scene {
    let mut scene = scene.clone();
    let outline = |polygon: &Polygon| {
        let corners: Vec<Point> = polygon.corners().iter().copied().map(quarter).collect();
        Polygon::new(&corners).expect("turned")
    };
    for station in scene.plan.placements.ids() {
        let placement = scene.plan.placements[station].as_mut().expect("placed");
        placement.at = quarter(placement.at);
        placement.turn += 90.0;
    }
    for leg in &mut scene.walked {
        leg.place = quarter(leg.place);
    }
    let room = scene.the_room();
    room.outline = outline(&room.outline);
    for thing in &mut room.blocked {
        thing.outline = outline(&thing.outline);
    }
    for door in &mut room.doors {
        door.between = (quarter(door.between.0), quarter(door.between.1));
    }
    for panel in &mut room.panels {
        (panel.at, panel.faces) = (quarter(panel.at), quarter(panel.faces));
    }
    scene
}

fn close(one: Option<f64>, other: Option<f64>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => (one - other).abs() < 1e-6,
        (None, None) => true,
        _ => false,
    }
}

fn same(one: &Told, other: &Told) -> bool {
    let places = match (one.at, other.at) {
        (Some(one), Some(other)) => quarter(one).distance(other) < 1e-6,
        (None, None) => true,
        _ => false,
    };
    let figures = one.figures.iter().zip(&other.figures);
    let mut figures = figures.map(|((name, a), (also, b))| name == also && (a - b).abs() < 1e-6);
    (one.level, one.rule, &one.subject, &one.other)
        == (other.level, other.rule, &other.subject, &other.other)
        && close(one.missing, other.missing)
        && one.figures.len() == other.figures.len()
        && figures.all(|same| same)
        && places
}

fn ordinary_place() -> impl Strategy<Value = (f64, f64)> {
    (-1.0..21.0, -1.0..17.0)
}

pub fn ordinary() -> impl Strategy<Value = Drawn> {
    let at = ordinary_place();
    let stand = (-4.0..4.0, -4.0..4.0);
    let turn = prop_oneof![Just(0.0), Just(90.0), Just(180.0), 0.0..360.0];
    (at, (0.3..5.0, 0.3..4.0), turn, stand, 0..5usize)
}

/// Coordinates that touch, coincide and nearly do.
fn awkward() -> impl Strategy<Value = f64> {
    let round = (-2..20).prop_map(f64::from);
    let tiny = prop_oneof![Just(0.0), Just(1e-12), Just(3e-4), Just(-3e-4), Just(1e-3)];
    (round, tiny).prop_map(|(round, tiny)| round + tiny)
}

fn degenerate() -> impl Strategy<Value = Drawn> {
    let size = prop_oneof![
        Just(0.0),
        Just(1e-9),
        Just(3.3e-4),
        Just(1.0),
        Just(2.0),
        Just(60.0)
    ];
    let turn = prop_oneof![Just(0.0), Just(45.0), Just(90.0), Just(-720.0), Just(1e9)];
    let stand = (awkward(), awkward());
    (
        (awkward(), awkward()),
        (size.clone(), size),
        turn,
        stand,
        0..5usize,
    )
}

proptest! {
    #![proptest_config(drawn(120))]

    #[test]
    fn findings_turn_with_the_plan(
        stations in proptest::collection::vec(ordinary(), 0..6), door in (1.0..9.0, 10.0..19.0), crew in 1..3usize,
    ) {
        let scene = build(&stations, door, crew);
        let (here, there) = (scene.findings(), turned(&scene).findings());
        prop_assert_eq!(here.len(), there.len());
        for (one, other) in here.iter().zip(&there) {
            prop_assert!(same(one, other), "{one:#?}\n{other:#?}");
        }
    }
}

proptest! {
    #![proptest_config(drawn(200))]

    /// Along a strip nothing stands before the end of its run, and something touches it there.
    #[test]
    fn a_run_ends_where_something_first_reaches_into_the_strip(
        bodies in proptest::collection::vec((ordinary_place(), (0.3..4.0, 0.3..4.0), 0.0..360.0), 0..6),
        from in (3.0..17.0, 3.0..13.0), heading in 0.0..std::f64::consts::TAU, width in 0.5..4.0,
    ) {
        let scene = Scene::room(20.0, 16.0);
        let room = scene.plan.room.as_ref().expect("the scene has a room");
        let bodies: Vec<Polygon> = bodies.into_iter().map(|(at, size, turn): ((f64, f64), (f64, f64), f64)| {
            Polygon::rectangle(ft(at.0, at.1), (size.0 * FT, size.1 * FT), turn).expect("an area")
        }).collect();
        let toward = Point::new(libm::cos(heading), libm::sin(heading));
        let strip = Strip { from: ft(from.0, from.1), toward, width: width * FT };
        let obstacles: Vec<&Polygon> = bodies.iter().collect();
        let things = obstacles.iter().enumerate().map(|(index, &body)| (Obstacle::Thing(index), body));
        let run = strip.run(&solid_walls(room), &room.doors, things);
        let free = run.free.expect("a closed room has ends");
        let place = |along: f64, side: f64| {
            strip.from + toward * along + toward.left() * (side * (strip.width / 2.0 - SAME_POINT_M))
        };
        let clear = |point: Point| {
            let inside = |body: &&Polygon| body.contains(point);
            room.outline.contains(point) && !obstacles.iter().any(inside)
        };
        // Of a strip that begins within something, nothing lies before its end.
        let rows = if free > 0.0 { 60 } else { 0 };
        for i in 0..rows {
            for j in 0..=40 {
                let point = place(free * (f64::from(i) + 0.5) / 60.0, f64::from(j) / 20.0 - 1.0);
                prop_assert!(clear(point), "{point:?} before {free}");
            }
        }
        let end = (0..=2000).map(|j| place(free, f64::from(j) / 1000.0 - 1.0));
        let nearest = end.map(|point| {
            let outlines = obstacles.iter().copied().chain([&room.outline]);
            let away = outlines.map(|outline| if free == 0.0 && outline.contains(point) {
                0.0
            } else {
                outline.distance_to_outline(point)
            });
            away.fold(f64::INFINITY, f64::min)
        });
        let nearest = nearest.fold(f64::INFINITY, f64::min);
        prop_assert!(nearest < strip.width / 2000.0 + 1e-6, "{nearest} at {free}");
    }

    #[test]
    fn degenerate_floors_are_judged_with_finite_figures(
        stations in proptest::collection::vec(degenerate(), 0..6), door in (awkward(), awkward()), crew in 1..3usize,
        tall in prop_oneof![Just(0.0), Just(2.0)], corridor in prop_oneof![Just(0.0), Just(1e-6), Just(0.9)],
        body in prop_oneof![Just(0.0), Just(0.5)],
    ) {
        let mut scene = build(&stations, door, crew);
        scene.plan.body_width = body;
        let door = &mut scene.the_room().doors[0];
        (door.height, door.corridor, door.wall) = (Some(tall), Some(corridor), corridor);
        scene.the_room().ways[0].corners.push((0.0, 0.0));
        scene.stock("nothing", inches(0.0, 0.0, 0.0), Some(0.0));
        let mut by_doors = scene.clone();
        by_doors.the_room().ways.clear();
        for finding in scene.findings().into_iter().chain(by_doors.findings()) {
            let figures = finding.figures.iter().map(|&(_, value)| value);
            prop_assert!(figures.chain(finding.missing).all(f64::is_finite), "{finding:#?}");
            prop_assert!(finding.missing.is_none_or(|missing| missing >= 0.0), "{finding:#?}");
            prop_assert!(!said(&finding).is_empty() && !finding.source().is_empty());
            prop_assert!(finding.level != FindingLevel::Fault || !helped(&finding).is_empty(), "{finding:#?}");
        }
    }
}

#[test]
fn the_same_floor_gives_the_same_findings() {
    let stations = [
        ((5.0, 5.0), (3.0, 3.0), 0.0, (0.0, -2.0), 0),
        ((6.0, 5.0), (3.0, 3.0), 30.0, (0.0, -2.0), 2),
    ];
    let scene = build(&stations, (4.0, 12.0), 2);
    assert_eq!(scene.findings(), scene.findings());
    assert!(NO_FAULT.contains("not an inspection") && CAUTION.contains("guards"));
}
