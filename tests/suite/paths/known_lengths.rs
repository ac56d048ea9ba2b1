//! Lengths that are known from elsewhere: from an independent program, and from closed forms.

use std::f64::consts::{FRAC_PI_4, PI, SQRT_2};

use serde_json::Value;
use shopstride::floor::{FreeSpace, Piece, Point, Polygon};

use super::scenes::polygon;

const DATA: [&str; 3] = [
    include_str!("../../data/paths/one-bench.json"),
    include_str!("../../data/paths/l-room.json"),
    include_str!("../../data/paths/narrow-gap.json"),
];

fn outline(value: &Value) -> Polygon {
    let corners = value.as_array().expect("corners");
    let corners: Vec<(f64, f64)> = (corners.iter())
        .map(|corner| (corner[0].as_f64().unwrap(), corner[1].as_f64().unwrap()))
        .collect();
    polygon(&corners)
}

fn place(value: &Value) -> Point {
    Point::new(value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

#[test]
fn lengths_agree_with_an_independent_program() {
    let mut compared = 0;
    for text in DATA {
        let data: Value = serde_json::from_str(text).expect("JSON");
        let room = outline(&data["room"]);
        let obstacles: Vec<Polygon> = (data["obstacles"].as_array().unwrap().iter())
            .map(outline)
            .collect();
        let radius = data["body_radius"].as_f64().unwrap();
        for (key, radius) in [("round", radius), ("point", 0.0)] {
            let ground = FreeSpace::new(Some(&room), &obstacles, radius);
            for pair in data["pairs"].as_array().unwrap() {
                let (from, to) = (place(&pair["start"]), place(&pair["goal"]));
                let found = ground.path(from, to).map(|path| path.length);
                let name = format!("{} of {} from {from:?} to {to:?}", key, data["name"]);
                match (found, pair[key].as_f64()) {
                    // The data have 7 decimals.
                    (Some(found), Some(expected)) => {
                        assert!(
                            (found - expected).abs() < 6e-8,
                            "{name}: {found}, {expected}"
                        );
                    }
                    (found, expected) => assert_eq!(found, expected, "{name}"),
                }
                assert_eq!(ground.table(&[from, to])[1], found, "{name}");
                if key == "round"
                    && let Some(found) = found
                {
                    let bounds = place(&pair["round_bracket"]);
                    let within = bounds.x - 1e-7..=bounds.y + 1e-7;
                    assert!(within.contains(&found), "{name}: {found} not in {within:?}");
                }
                compared += 1;
            }
        }
    }
    assert_eq!(compared, 24);
}

/// Past one bench from the middle of one side to the middle of the other, symmetric: a tangent from a place that lies 1
/// before and 1 beside a corner, an arc, 2 along the bench, and the same again.
#[test]
fn past_one_bench_the_length_has_a_closed_form() {
    let room = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]);
    let bench = polygon(&[(4.0, 2.0), (6.0, 2.0), (6.0, 5.0), (4.0, 5.0)]);
    for radius in [0.0, 0.1, 0.3, 0.499] {
        let ground = FreeSpace::new(Some(&room), std::slice::from_ref(&bench), radius);
        let length = ground.path(Point::new(3.0, 3.0), Point::new(7.0, 3.0));
        let arc = 3.0 * FRAC_PI_4 - (radius / SQRT_2).acos();
        let expected = 2.0 * ((2.0 - radius * radius).sqrt() + radius * arc) + 2.0;
        let found = length.expect("there is a way").length;
        assert!(
            (found - expected).abs() < 1e-12,
            "{radius}: {found}, {expected}"
        );
    }
}

/// Three quarter turns around a table, because a fence that touches it closes the short way.
#[test]
fn a_walk_around_three_corners_is_a_tight_string() {
    let table = polygon(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
    let fence = polygon(&[(0.0, -9.0), (0.1, -9.0), (0.1, 0.0), (0.0, 0.0)]);
    let ground = FreeSpace::new(None, &[table, fence], 0.5);
    let path = ground
        .path(Point::new(1.0, -0.5), Point::new(-0.5, 1.0))
        .expect("there is a way");
    let expected = 1.0 + 2.0 + 2.0 + 1.0 + 3.0 * 0.5 * PI / 2.0;
    assert!((path.length - expected).abs() < 1e-12, "{path:?}");
    let turns = path
        .pieces
        .iter()
        .filter(|piece| matches!(piece, Piece::Arc { .. }));
    assert_eq!(turns.count(), 3, "{path:?}");
}

#[test]
fn a_body_that_fits_a_gap_exactly_passes_and_one_that_is_a_hair_wider_does_not() {
    let gap = 0.6;
    for turn in [0.0, 17.0, 45.0, 301.0] {
        let bench = |side: f64| {
            // Two long benches beside the origin, the gap between them.
            let (sin, cos) = f64::to_radians(turn).sin_cos();
            let off = side * (gap / 2.0 + 5.0);
            Polygon::rectangle(Point::new(off * cos, off * sin), (10.0, 3.0), turn).unwrap()
        };
        let benches = [bench(1.0), bench(-1.0)];
        let (sin, cos) = f64::to_radians(turn).sin_cos();
        let (from, to) = (
            Point::new(-4.0 * -sin, -4.0 * cos),
            Point::new(4.0 * -sin, 4.0 * cos),
        );
        let length = |radius: f64| {
            FreeSpace::new(None, &benches, radius)
                .path(from, to)
                .unwrap()
                .length
        };
        assert!(
            (length(gap / 2.0) - 8.0).abs() < 1e-12,
            "straight through at {turn}"
        );
        // Around the ends it is 20 m more.
        assert!(length(gap / 2.0 + 1e-7) > 20.0, "not through at {turn}");
    }
}
