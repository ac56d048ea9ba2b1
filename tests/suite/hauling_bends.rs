//! The way of a piece around bends that are not square, such as the foot of a stair, and up a spiral stair, against
//! closed forms.

use std::f64::consts::PI;

use rayon::prelude::*;
use shopstride::floor::hauling::{ConvexSolids, Destination, Haul, Hauling, Lie, Rectangle};
use shopstride::floor::{Point, Polygon};

const INCH: f64 = 0.0254;

fn toward(angle: f64) -> Point {
    Point::new(angle.cos(), angle.sin())
}

fn said(found: &Haul) -> &'static str {
    match found {
        Haul::Passes { .. } => "passes",
        Haul::DoesNotPass => "does not pass",
        Haul::NotShown { .. } => "was not shown",
    }
}

/// The longest thin piece that turns from a corridor into another, where the outer walls meet at the angle phi: the least
/// over t of a / sin t + b / sin(180 deg - phi - t), with both its ends on the outer walls and the inner corner touched.
fn bend_limit(a: f64, b: f64, phi: f64) -> f64 {
    let whole = PI - phi;
    let at = |step: i32| {
        let t = whole * f64::from(step) / 20_000.0;
        a / t.sin() + b / (whole - t).sin()
    };
    (1..20_000).map(at).fold(f64::INFINITY, f64::min)
}

/// From a corridor of width a along the wall y = 0 into one of width b along a wall at the angle phi to it, both 7 m long.
fn around_bend(a: f64, b: f64, phi: f64, length: f64) -> Haul {
    const FAR: f64 = 7.0;
    const BEYOND: f64 = 4.0 * FAR;
    /// Hardly anything, and more than the search can tell from nothing.
    const THIN: f64 = 0.001;
    let (one, other) = (toward(0.0), toward(phi));
    let outward = other.left();
    // The inner corner is so far from both outer walls: y = a, and b inside of the other one.
    let along = (a * phi.cos() + b) / phi.sin();
    let inner = Point::new(along, a);
    let mut solids = ConvexSolids::new();
    let mut add = |name, corners: &[Point]| {
        solids.add(name, &Polygon::new(corners).expect("an outline"));
    };
    add(
        "inner corner",
        &[inner, inner + one * BEYOND, inner + other * BEYOND],
    );
    // Both walls go on a little beyond the corner, so that nothing gets out there.
    let down = Point::new(0.0, -1.0);
    let (start, end) = (one * -1.0, one * BEYOND);
    add("one wall", &[start + down, end + down, end, start]);
    let (start, end) = (other * -1.0, other * BEYOND);
    add("other wall", &[start, end, end + outward, start + outward]);
    let from = Lie {
        at: Point::new(FAR - length / 2.0, a / 2.0),
        turn: 0.0,
    };
    let goal = other * (FAR - 1.0) - outward * (b / 2.0);
    let ends = [
        Point::ORIGIN,
        one * FAR,
        other * FAR,
        Point::new(FAR, a),
        goal,
    ];
    let least = ends.iter().fold(Point::ORIGIN, |least, end| {
        Point::new(least.x.min(end.x), least.y.min(end.y))
    });
    let most = ends.iter().fold(Point::ORIGIN, |most, end| {
        Point::new(most.x.max(end.x), most.y.max(end.y))
    });
    let rectangle = Rectangle {
        length,
        width: THIN,
    };
    let hauling = Hauling::new(&solids, rectangle, vec![from], (least, most));
    hauling.to(Destination {
        point: goal,
        reach: 0.3,
        room: None,
    })
}

/// Corridors of 36 in: 101.8 in pass a square corner, 188.1 in a bend of 45 degrees and 83.14 in one of 120 degrees. At
/// the foot of a stair of 37.8 degrees with 63.2 in square to the slope, below a ceiling of 80 in, 441 in pass the bend in
/// the upright plane (worked cases of the notes on access; here at a fifth of the size).
#[test]
fn bends_let_by_what_their_formula_says() {
    let degrees = |angle: f64| angle.to_radians();
    let cases = [
        (36.0, 36.0, degrees(90.0), 101.823),
        (36.0, 36.0, degrees(135.0), 188.15),
        (36.0, 36.0, degrees(60.0), 83.13844),
        (
            16.0,
            12.646_640_834_8,
            degrees(180.0 - 37.775_684_306),
            441.02785 / 5.0,
        ),
    ];
    cases.par_iter().for_each(|&(a, b, phi, expected)| {
        let limit = bend_limit(a, b, phi);
        assert!((limit - expected).abs() < 0.1, "{limit}, not {expected}");
        let of = |share: f64| {
            let [a, b, length] = [a, b, share * limit].map(|inches| inches * INCH);
            around_bend(a, b, phi, length)
        };
        for share in [0.5, 0.9] {
            assert_eq!(said(&of(share)), "passes", "{a} {b} {phi} {share}");
        }
        for share in [1.05, 1.1, 1.3] {
            assert_eq!(said(&of(share)), "does not pass", "{a} {b} {phi} {share}");
        }
        // Nearer to the limit the search may not be fine enough, but what it says is so.
        for share in [0.95, 0.99] {
            assert_ne!(said(&of(share)), "does not pass", "{a} {b} {phi} {share}");
        }
        assert_ne!(said(&of(1.01)), "passes", "{a} {b} {phi}");
    });
}

/// Around the newel of a spiral stair of 30 in, with a newel of 3 in: level, a stick of width w is no longer than the chord
/// 2 sqrt(R^2 - (r + w)^2) that passes it, 59.7 in if it is thin and 58.34 in if it is 4 in wide.
#[test]
fn a_stick_goes_around_the_newel_of_a_spiral_stair_up_to_its_chord() {
    const SEGMENTS: u32 = 96;
    let (outer, newel) = (30.0 * INCH, 3.0 * INCH);
    let mut solids = ConvexSolids::new();
    // Both circles from outside: what lies between them is a little larger outside and smaller inside.
    let corner = |radius: f64, step: u32| {
        let half = PI / f64::from(SEGMENTS);
        toward(2.0 * half * f64::from(step)) * (radius / half.cos())
    };
    let around: Vec<Point> = (0..SEGMENTS).map(|step| corner(newel, step)).collect();
    solids.add("newel", &Polygon::new(&around).expect("an outline"));
    for step in 0..SEGMENTS {
        let (from, to) = (corner(outer, step), corner(outer, step + 1));
        let wall = [from, from * 1.3, to * 1.3, to];
        solids.add("wall", &Polygon::new(&wall).expect("an outline"));
    }
    let chord = |width: f64| 2.0 * (outer.powi(2) - (newel + width).powi(2)).sqrt();
    for (width, expected) in [(0.0, 59.69925), (4.0, 58.34381)] {
        assert!((chord(width * INCH) / INCH - expected).abs() < 0.01);
    }
    for width in [0.25, 4.0] {
        let width = width * INCH;
        let around = |share: f64| {
            let length = share * chord(width);
            // Below the newel, half way between it and the wall's chord.
            let wall = (outer.powi(2) - (length / 2.0).powi(2)).sqrt();
            let below = (newel + wall.max(newel + width)) / 2.0;
            let from = Lie {
                at: Point::new(0.0, -below),
                turn: 0.0,
            };
            let within = (Point::new(-outer, -outer), Point::new(outer, outer));
            let rectangle = Rectangle { length, width };
            let hauling = Hauling::new(&solids, rectangle, vec![from], within);
            // Above it: beside the newel, a stick is twice as far from this point.
            hauling.to(Destination {
                point: Point::new(0.0, newel + width),
                reach: newel / 2.0,
                room: None,
            })
        };
        for share in [0.7, 0.95] {
            assert_eq!(said(&around(share)), "passes", "{width} {share}");
        }
        for share in [1.05, 1.2] {
            assert_eq!(said(&around(share)), "does not pass", "{width} {share}");
        }
    }
}
