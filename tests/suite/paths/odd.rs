//! Plans at the edge of what can be said: degenerate, crowded, nearly round.

use std::f64::consts::TAU;

use shopstride::floor::{FreeSpace, Point, Polygon};

use super::scenes::polygon;

/// Degenerate plans: no panic, no hang, nothing that is no number.
#[test]
fn no_plan_is_too_odd() {
    let far = 1e6;
    let shapes = |scale: f64, offset: f64| -> Vec<Polygon> {
        let at = |x: f64, y: f64| Point::new(offset + x * scale, offset + y * scale);
        let bench = Polygon::rectangle(at(2.0, 2.0), (scale, 0.5 * scale), 30.0);
        let beside = Polygon::rectangle(at(2.0, 3.0), (scale, 1e-3 * scale), 0.0);
        let hair = Polygon::rectangle(at(2.0, 3.001), (scale, 1e-3 * scale), 0.0);
        let cover = Polygon::rectangle(at(5.0, 5.0), (4.0 * scale, 4.0 * scale), 45.0);
        (bench
            .iter()
            .chain(&bench)
            .chain(&beside)
            .chain(&hair)
            .chain(&cover))
        .cloned()
        .collect()
    };
    for (scale, offset) in [
        (1.0, 0.0),
        (1.0, far),
        (far, 0.0),
        (1e-3, 1e-6),
        (0.5, -far),
    ] {
        let obstacles = shapes(scale, offset);
        let room = Polygon::rectangle(
            Point::new(offset + 4.0 * scale, offset + 4.0 * scale),
            (8.0 * scale, 8.0 * scale),
            0.0,
        );
        for room in [None, room.as_ref()] {
            for radius in [0.0, 1e-12, 1e-9, 1e-4, 0.25, 3.0, 100.0, far, 1e9] {
                let ground = FreeSpace::new(room, &obstacles, radius);
                let corners = obstacles.iter().flat_map(|obstacle| obstacle.corners());
                let mut places: Vec<Point> = corners.copied().collect();
                places.push(Point::new(offset, offset));
                places.push(Point::ORIGIN);
                places.push(Point::new(1e-6, -1e-6));
                let nearest = places
                    .iter()
                    .filter_map(|&place| ground.nearest_free(place));
                let nearest: Vec<Point> = nearest.collect();
                for place in &nearest {
                    assert!(place.x.is_finite() && place.y.is_finite());
                    assert_eq!(ground.is_free(*place), Ok(()), "{scale} {offset} {radius}");
                }
                places.extend(nearest);
                let table = ground.table(&places);
                let bad = |length: &f64| !length.is_finite() || *length < 0.0;
                assert!(!table.iter().flatten().any(bad));
            }
        }
    }
    for distance in [1e150, 1e300] {
        let ground = FreeSpace::new(None, &shapes(1.0, 0.0), 0.25);
        let places = [
            Point::new(distance, 0.0),
            Point::new(0.0, -distance),
            Point::ORIGIN,
        ];
        assert!(
            !ground
                .table(&places)
                .iter()
                .flatten()
                .any(|length| length.is_nan())
        );
    }
    let not_a_place = Point::new(f64::NAN, 0.0);
    let ground = FreeSpace::new(None, &[], 0.25);
    assert_eq!(ground.path(not_a_place, Point::ORIGIN), None);
    assert_eq!(
        ground.table(&[Point::ORIGIN, not_a_place]),
        [Some(0.0), None, None, None]
    );
    assert_eq!(
        ground
            .path(Point::ORIGIN, Point::ORIGIN)
            .map(|path| path.length),
        Some(0.0)
    );
}

/// A hall with 15 by 15 posts: nothing hangs, and the way along a row of posts is what it must be.
#[test]
fn a_hall_full_of_posts_takes_no_long_time() {
    let posts: Vec<Polygon> = (0..225)
        .map(|n| Point::new(f64::from(n % 15), f64::from(n / 15)))
        .map(|at| Polygon::rectangle(at, (0.4, 0.4), 0.0).unwrap())
        .collect();
    let (from, to) = (Point::new(-0.5, 0.5), Point::new(14.5, 0.5));
    let length = |radius| {
        FreeSpace::new(None, &posts, radius)
            .path(from, to)
            .map(|path| path.length)
    };
    let through = length(0.3).expect("the gaps fit exactly");
    assert!((through - 15.0).abs() < 1e-12, "{through}");
    assert!(length(0.31).expect("around all posts") > 15.0);
    assert_eq!(length(50.0), None, "both ends are too near");
}

/// A post with many corners is nearly round, and around a round one the length has a closed form.
#[test]
fn around_a_post_with_many_corners_a_walk_is_nearly_as_long_as_around_a_round_one() {
    let around = |radius: f64| {
        let away: f64 = 3.0;
        2.0 * ((away * away - radius * radius).sqrt() + radius * (radius / away).asin())
    };
    for corners in [9, 30, 128, 500] {
        let angle = |n: i32| TAU * f64::from(n) / f64::from(corners);
        let post: Vec<(f64, f64)> = (0..corners)
            .map(|n| (angle(n).cos(), angle(n).sin()))
            .collect();
        for radius in [0.0, 0.25] {
            let ground = FreeSpace::new(None, &[polygon(&post)], radius);
            for turn in [0.0, 1.0, 2.5] {
                let (sin, cos) = f64::sin_cos(turn);
                let (from, to) = (
                    Point::new(-3.0 * cos, -3.0 * sin),
                    Point::new(3.0 * cos, 3.0 * sin),
                );
                let found = ground.path(from, to).expect("around").length;
                // The corners lie on the round post, the middles of the sides within it.
                let (least, most) = (
                    around((angle(1) / 2.0).cos() + radius),
                    around(1.0 + radius),
                );
                assert!(
                    (least - 1e-9..=most + 1e-9).contains(&found),
                    "{corners}: {found}"
                );
            }
        }
    }
}
