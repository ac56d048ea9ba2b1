//! The shortest walks of a body: against an independent program, a closed form, a second method, and what holds of
//! every shortest walk.

mod brackets;
mod known_lengths;
mod moves;
mod odd;
mod scenes;
mod together;

use std::f64::consts::{SQRT_2, TAU};

use proptest::prelude::*;
use scenes::{RADII, Scene, polygon, scene};
use shopstride::floor::{FreeSpace, Obstruction, Passages, Path, Point, Polygon};

use crate::support::drawn;

#[test]
fn what_is_in_the_way_is_named_and_the_nearest_place_found() {
    let room = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]);
    let bench = polygon(&[(4.0, 2.0), (6.0, 2.0), (6.0, 5.0), (4.0, 5.0)]);
    let rack = polygon(&[(6.5, 5.5), (9.0, 5.5), (9.0, 6.0), (6.5, 6.0)]);
    let ground = FreeSpace::new(Some(&room), &[bench, rack], 0.3);
    let blocked = |x, y| ground.is_free(Point::new(x, y)).expect_err("blocked");
    let nearest = |x, y| ground.nearest_free(Point::new(x, y)).expect("somewhere");
    let close = |found: Point, x: f64, y: f64| {
        assert!(
            found.distance(Point::new(x, y)) < 2e-4,
            "{found:?} is not {x}, {y}"
        );
        assert_eq!(ground.is_free(found), Ok(()));
    };

    // In the bench, 0.4 from its front: 0.7 lacks.
    assert_eq!(blocked(5.0, 2.4).by, Obstruction::Obstacle(0));
    assert!((blocked(5.0, 2.4).lacks - 0.7).abs() < 1e-12);
    close(nearest(5.0, 2.4), 5.0, 1.7);
    // Between the bench and the rack's corner, which are 0.707 apart.
    assert_eq!(blocked(6.45, 5.45).by, Obstruction::Obstacle(1));
    // Outside the room, behind the wall to the left, which is the fourth edge.
    assert_eq!(blocked(-0.5, 1.0).by, Obstruction::Wall(3));
    assert!((blocked(-0.5, 1.0).lacks - 0.8).abs() < 1e-12);
    close(nearest(-0.5, 1.0), 0.3, 1.0);
    // In a corner of the room both walls matter.
    close(nearest(9.9, 0.05), 9.7, 0.3);
    // Off the bench's corner the nearest place is on an arc.
    let aside = 0.3 / SQRT_2;
    close(nearest(3.9, 1.9), 4.0 - aside, 2.0 - aside);
    // Behind the rack there is no room; to its left, off its corner and the wall, there is.
    let corner = nearest(6.5, 5.75);
    close(corner, 6.2, 5.7);

    let tiny = FreeSpace::new(Some(&room), &[], 4.0);
    assert_eq!(
        tiny.nearest_free(Point::new(5.0, 3.0)),
        None,
        "nobody that wide fits"
    );
}

#[test]
fn a_body_without_width_may_touch_but_does_not_pass_where_things_touch() {
    let room = polygon(&[(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]);
    // A wall of two cabinets across the room, touching each other and both walls.
    let lower = polygon(&[(3.0, 0.0), (3.5, 0.0), (3.5, 2.0), (3.0, 2.0)]);
    let upper = polygon(&[(3.0, 2.0), (3.5, 2.0), (3.5, 4.0), (3.0, 4.0)]);
    let shut = FreeSpace::new(Some(&room), &[lower.clone(), upper], 0.0);
    let (left, right) = (Point::new(3.0, 1.0), Point::new(3.5, 1.0));
    assert_eq!(shut.is_free(left), Ok(()), "it touches the cabinet");
    assert_eq!(
        shut.is_free(Point::new(0.0, 0.0)),
        Ok(()),
        "it touches two walls"
    );
    assert!(!shut.reachable(left, right));
    assert!(
        shut.is_free(Point::new(3.25, 2.0)).is_err(),
        "between the two"
    );
    let open = FreeSpace::new(Some(&room), &[lower], 0.0);
    assert_eq!(open.path(left, right).map(|path| path.length), Some(2.5));
}

/// A point does not pass where two things touch. Exactly there it stands on one of their sides, as near to the one as to
/// the other, and which one is taken is not said; everywhere else it is, whichever way the plan lies.
#[test]
fn where_two_corners_touch_a_point_stands_on_one_side_of_them() {
    let below = [
        (5.5, 3.5),
        (5.75, 3.5),
        (5.75, 3.625),
        (5.625, 3.625),
        (5.625, 3.75),
        (5.5, 3.75),
    ];
    let above = [
        (4.5, 3.75),
        (5.5, 3.75),
        (5.5, 3.875),
        (5.0, 3.875),
        (5.0, 4.0),
        (4.5, 4.0),
    ];
    let (from, touching) = (Point::new(0.0, 0.0), Point::new(5.5, 3.75));
    let scene = Scene {
        room: None,
        obstacles: vec![polygon(&below), polygon(&above)],
        radius: 0.0,
        places: vec![from, touching],
    };
    let aside = Point::new(1e-3, 1e-3);
    let (near_side, far_side) = (touching - aside, touching + aside);
    let sides = [from, near_side, far_side, touching].map(|place| scene.sides(place));
    assert_eq!(sides, [1, 1, 1, 2]);
    let around = |to: Point| {
        let corners = [
            from,
            Point::new(5.75, 3.5),
            Point::new(5.75, 3.625),
            Point::new(5.625, 3.75),
            to,
        ];
        corners
            .windows(2)
            .map(|step| step[0].distance(step[1]))
            .sum::<f64>()
    };
    let straight = |to: Point| from.distance(to);
    for (turn, mirror) in (0..360).flat_map(|turn| [(turn, false), (turn, true)]) {
        let (sin, cos) = f64::from(turn).to_radians().sin_cos();
        let change = |p: Point| {
            let p = if mirror { Point::new(-p.x, p.y) } else { p };
            Point::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos)
        };
        let ground = scene.moved(change).ground();
        let is_walked = |to: Point, length: f64| {
            let path = ground.path(change(from), change(to)).expect("a way");
            (path.length - length).abs() < 1e-9
        };
        assert!(is_walked(near_side, straight(near_side)), "{turn} {mirror}");
        assert!(is_walked(far_side, around(far_side)), "{turn} {mirror}");
        let on_a_side =
            is_walked(touching, straight(touching)) || is_walked(touching, around(touching));
        assert!(on_a_side, "{turn} {mirror}");
    }
}

#[test]
fn the_narrowest_passage_is_the_gap_that_is_walked_through() {
    let room = polygon(&[(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)]);
    let lower = polygon(&[(3.0, 0.0), (4.0, 0.0), (4.0, 2.5), (3.0, 2.5)]);
    let upper = polygon(&[(3.0, 3.3), (4.0, 3.3), (4.0, 6.0), (3.0, 6.0)]);
    for radius in [0.0, 0.25] {
        let ground = FreeSpace::new(Some(&room), &[lower.clone(), upper.clone()], radius);
        let path = ground
            .path(Point::new(1.0, 1.0), Point::new(7.0, 2.8))
            .unwrap();
        let passages = Passages::new(Some(&room), &[], &[lower.clone(), upper.clone()]);
        let narrowest = passages
            .narrowest(&path, [radius; 2])
            .expect("walls on both sides");
        assert!(
            (narrowest.width - 0.8).abs() < 1e-9,
            "{radius}: {narrowest:?}"
        );
        assert!(
            (2.9..=4.1).contains(&narrowest.at.x),
            "{radius}: {narrowest:?}"
        );
    }
    let outside = FreeSpace::new(None, std::slice::from_ref(&lower), 0.25);
    let path = outside
        .path(Point::new(1.0, 1.0), Point::new(7.0, 1.0))
        .unwrap();
    assert_eq!(
        Passages::new(None, &[], &[lower]).narrowest(&path, [0.25; 2]),
        None,
        "nothing on the other side"
    );
}

/// What path pieces must be, whatever the scene.
fn check_pieces(scene: &Scene, path: &Path, from: Point, to: Point) -> Result<(), TestCaseError> {
    const JOINT: f64 = 1e-7;
    let mut here = from;
    let mut sum = 0.0;
    for piece in &path.pieces {
        prop_assert!(
            here.distance(piece.at(0.0)) < JOINT,
            "a gap before {:?}",
            piece
        );
        here = piece.at(1.0);
        sum += piece.length();
        for step in 0..=20 {
            let place = piece.at(f64::from(step) / 20.0);
            let clearance = scene.clearance(place);
            prop_assert!(
                clearance >= scene.radius - 1e-6,
                "{:?} keeps only {} of {}",
                place,
                clearance,
                scene.radius
            );
        }
    }
    prop_assert!(here.distance(to) < JOINT);
    prop_assert!(
        (sum - path.length).abs() < 1e-9 * (1.0 + sum),
        "{} {}",
        sum,
        path.length
    );
    let drawn = path.polyline(1e-3);
    let along: f64 = drawn.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    prop_assert!((drawn[0], drawn[drawn.len() - 1]) == (from, to));
    // A chord with a rise of 1 mm is shorter than its arc of the smallest radius by less than 3 %.
    prop_assert!(along <= path.length + 1e-7 && along >= path.length * 0.97);
    Ok(())
}

fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(move |i| (0..count).map(move |j| (i, j)))
}

/// Lengths as numbers that can be compared: no way is longer than any.
fn metres(length: Option<f64>) -> f64 {
    length.unwrap_or(f64::INFINITY)
}

proptest! {
    #![proptest_config(drawn(2000))]

    #[test]
    fn a_walk_joins_its_ends_and_keeps_clear(scene in scene()) {
        let ground = scene.ground();
        let places = scene.free_places();
        let table = ground.table(&places);
        for (i, j) in pairs(places.len()) {
            let path = ground.path(places[i], places[j]);
            let length = table[i * places.len() + j];
            prop_assert_eq!(path.is_some(), length.is_some());
            prop_assert_eq!(ground.reachable(places[j], places[i]), length.is_some());
            if let (Some(path), Some(length)) = (path, length) {
                prop_assert!((path.length - length).abs() <= 1e-9 * length);
                prop_assert!(length >= places[i].distance(places[j]) - 1e-9);
                    check_pieces(&scene, &path, places[i], places[j])?;
                let back = ground.path(places[j], places[i]).map(|path| path.length);
                prop_assert_eq!(back, Some(path.length));
            }
        }
    }

    #[test]
    fn a_table_is_symmetric_and_no_detour_is_shorter(scene in scene()) {
        let places = scene.free_places();
        let count = places.len();
        let table = scene.ground().table(&places);
        for (i, j) in pairs(count) {
            prop_assert_eq!(table[i * count + j], table[j * count + i]);
            prop_assert!(i != j || table[i * count + j] == Some(0.0));
            for via in 0..count {
                let detour = metres(table[i * count + via]) + metres(table[via * count + j]);
                prop_assert!(metres(table[i * count + j]) <= detour + 1e-9);
            }
        }
    }

    #[test]
    fn turning_mirroring_and_moving_the_plan_changes_nothing(
        scene in scene(),
        turn in 0.0..TAU,
        mirror in any::<bool>(),
        x in -50.0..50.0_f64,
    ) {
        let (sin, cos) = turn.sin_cos();
        let change = |p: Point| {
            let p = if mirror { Point::new(-p.x, p.y) } else { p };
            Point::new(p.x * cos - p.y * sin + x, p.x * sin + p.y * cos - x)
        };
        let mut places = scene.free_places();
        // Of two sides that are equally near, roundings choose: see the test below.
        places.retain(|&place| scene.radius > 0.0 || scene.sides(place) < 2);
        let other: Vec<Point> = places.iter().map(|&place| change(place)).collect();
        let lengths = scene.ground().table(&places);
        let changed = scene.moved(change).ground().table(&other);
        for (a, b) in lengths.iter().zip(&changed) {
            prop_assert_eq!(a.is_some(), b.is_some());
            if let (Some(a), Some(b)) = (a, b) {
                prop_assert!((a - b).abs() <= 1e-9 * (1.0 + a), "{} {}", a, b);
            }
        }
    }

    #[test]
    fn a_wider_body_and_one_more_obstacle_never_shorten_a_walk(mut scene in scene()) {
        scene.radius = RADII[RADII.len() - 1];
        let places = scene.free_places();
        let tables: Vec<_> = RADII.iter().map(|&r| scene.ground_for(r).table(&places)).collect();
        for (narrow, wide) in tables.iter().zip(&tables[1..]) {
            for (narrow, wide) in narrow.iter().zip(wide) {
                prop_assert!(metres(*narrow) <= metres(*wide) + 1e-9, "{:?} {:?}", narrow, wide);
            }
        }
        for radius in RADII {
            let full = scene.ground_for(radius).table(&places);
            let mut fewer = scene.clone();
            fewer.obstacles.pop();
            for (fewer, full) in fewer.ground_for(radius).table(&places).iter().zip(&full) {
                prop_assert!(metres(*fewer) <= metres(*full) + 1e-9);
            }
        }
    }

    #[test]
    fn a_gap_between_two_things_is_found_at_its_width(
        gap in 0.55..1.4_f64, height in 1.5..3.0_f64, wide in 0.3..2.0_f64, turn in 0.0..TAU,
    ) {
        let (sin, cos) = turn.sin_cos();
        let at = |x: f64, y: f64| Point::new(x * cos - y * sin, x * sin + y * cos);
        let block = |low: f64, high: f64| {
            let (left, right) = (4.0 - wide / 2.0, 4.0 + wide / 2.0);
            let corners = [at(left, low), at(right, low), at(right, high), at(left, high)];
            Polygon::new(&corners).expect("a rectangle")
        };
        let corners = [at(0.0, 0.0), at(8.0, 0.0), at(8.0, 6.0), at(0.0, 6.0)];
        let room = Polygon::new(&corners).expect("a room");
        let blocks = [block(0.0, height), block(height + gap, 6.0)];
        let ground = FreeSpace::new(Some(&room), &blocks, 0.25);
        let path = ground.path(at(1.0, 3.0), at(7.0, 3.2)).expect("through the gap");
        let passages = Passages::new(Some(&room), &[], &blocks);
        let found = passages.narrowest(&path, [0.25; 2]).expect("two sides");
        prop_assert!((found.width - gap).abs() < 1e-6, "{} for {}", found.width, gap);
        let mut between = found.between;
        between.sort_by_key(|side| format!("{side:?}"));
        prop_assert_eq!(between, [Obstruction::Obstacle(0), Obstruction::Obstacle(1)]);
    }

    #[test]
    fn a_passage_is_as_wide_as_a_body_that_still_gets_through(mut scene in scene()) {
        scene.radius = scene.radius.max(RADII[1]);
        let passages = Passages::new(scene.room.as_ref(), &[], &scene.obstacles);
        let places = scene.free_places();
        let ground = scene.ground();
        let walk = places.first().and_then(|&from| ground.path(from, places[1]));
        if let Some(path) = walk {
            // Wherever it ends, a walk has room for its body in all the gaps that it passes, and what it passes
            // whatever its ends is no wider than what it passes far from them.
            let all = passages.narrowest(&path, [0.0; 2]).map(|found| found.width);
            let inner = passages.narrowest(&path, [scene.radius; 2]).map(|found| found.width);
            prop_assert!(metres(all) >= 2.0 * scene.radius - 1e-6, "{:?}", all);
            prop_assert!(metres(all) <= metres(inner), "{:?} {:?}", all, inner);
            let back = passages.narrowest(&path.clone().reversed(), [0.0; 2]);
            prop_assert!(metres(all) == metres(back.map(|found| found.width)));
        }
    }

    #[test]
    fn the_nearest_free_place_is_the_nearest(scene in scene(), angle in 0.0..TAU, share in 0.0..1.0_f64) {
        let ground = scene.ground();
        for &place in &scene.places {
            let Some(nearest) = ground.nearest_free(place) else { continue };
            prop_assert!(scene.clearance(nearest) >= scene.radius - 1e-7);
            // Nothing nearer is free.
            let away = place.distance(nearest);
            let (sin, cos) = angle.sin_cos();
            let nearer = place + Point::new(cos, sin) * (away * share * 0.999);
            prop_assert!(away < 1e-6 || scene.clearance(nearer) < scene.radius);
        }
    }
}

proptest! {
    // The second method tries lines between hundreds of corners.
    #![proptest_config(drawn(150))]

    #[test]
    fn a_length_lies_between_bounds_that_a_second_method_finds(scene in scene()) {
        let mut scene = scene;
        scene.obstacles.truncate(4);
        // The second method knows no touching.
        let ground = scene.ground_for(scene.radius.max(1e-3));
        let places = scene.places.iter().filter_map(|&place| ground.nearest_free(place));
        let places: Vec<Point> = places.collect();
        if let [from, to, ..] = places[..] {
            let (low, high) = brackets::bounds(&scene, from, to);
            let length = scene.ground().path(from, to).map(|path| path.length);
            prop_assert!(metres(low) <= metres(length) + 1e-6, "{:?} {:?}", low, length);
            prop_assert!(metres(length) <= metres(high) + 1e-6, "{:?} {:?}", length, high);
        }
    }
}
