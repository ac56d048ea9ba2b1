//! Areas of a picture: whether they touch, and what runs through them.

use super::canvas::Area;
use crate::floor::{Point, Polygon};

/// A line between two places.
pub type LineEnds = ((f64, f64), (f64, f64));

/// The centre and the radius of a disc of the picture.
pub type Disc = ((f64, f64), f64);

/// Whether a disc reaches into an area.
pub fn covers(((x, y), radius): Disc, area: Area) -> bool {
    let near = |at: f64, from: f64, length: f64| at - at.clamp(from, from + length);
    let (dx, dy) = (near(x, area.x, area.width), near(y, area.y, area.height));
    dx.hypot(dy) < radius
}

/// Where a line from the middle of an area to a place outside of it leaves the area, a little before its edge: what is
/// written inside stays readable.
pub fn just_inside(bounds: Area, centre: (f64, f64), to: (f64, f64)) -> (f64, f64) {
    const INSIDE: f64 = 3.0;
    let (x, y) = (to.0 - centre.0, to.1 - centre.1);
    let share = |half: f64, far: f64| match far == 0.0 {
        true => f64::INFINITY,
        false => ((half - INSIDE) / far.abs()).max(0.0),
    };
    let share = share(bounds.width / 2.0, x).min(share(bounds.height / 2.0, y));
    let share = share.min(1.0);
    (centre.0 + x * share, centre.1 + y * share)
}

/// Whether an edge of an outline runs through an area, or a corner of the outline lies in it.
pub fn is_crossed(area: Area, corners: &[(f64, f64)]) -> bool {
    let inside = |corner: &&(f64, f64)| contains(corners, **corner);
    let of_area = area.corners();
    let within = of_area.iter().filter(inside).count();
    let has_corner = corners.iter().any(|corner| is_in(area, *corner));
    has_corner || (within != 0 && within != of_area.len())
}

pub fn is_in(area: Area, (x, y): (f64, f64)) -> bool {
    (area.x..=area.x + area.width).contains(&x) && (area.y..=area.y + area.height).contains(&y)
}

/// The area and so much more to either side, and above and below.
pub fn lengthened(area: Area, (across, down): (f64, f64)) -> Area {
    Area {
        x: area.x - across,
        y: area.y - down,
        width: area.width + 2.0 * across,
        height: area.height + 2.0 * down,
    }
}

pub fn are_apart(one: Area, other: Area) -> bool {
    one.x + one.width <= other.x
        || other.x + other.width <= one.x
        || one.y + one.height <= other.y
        || other.y + other.height <= one.y
}

pub fn around((x, y): (f64, f64), width: f64, height: f64) -> Area {
    Area {
        x: x - width / 2.0,
        y: y - height / 2.0,
        width,
        height,
    }
}

pub fn bounds(corners: &[(f64, f64)]) -> Area {
    let fold = |of: fn(&(f64, f64)) -> f64| {
        let values = corners.iter().map(of);
        values.fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        )
    };
    let (left, right) = fold(|corner| corner.0);
    let (top, bottom) = fold(|corner| corner.1);
    Area {
        x: left,
        y: top,
        width: right - left,
        height: bottom - top,
    }
}

/// Whether a point lies inside of an outline.
pub fn contains(corners: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Polygon::new(&corners).is_ok_and(|outline| outline.contains(Point::new(x, y)))
}

/// Whether a line runs through an area or ends in it.
pub fn is_run_through(area: Area, (from, to): LineEnds) -> bool {
    // The part of the line that lies between both sides, then between top and bottom too.
    let within = |(least, most): (f64, f64), (at, by): (f64, f64), low: f64, high: f64| match by {
        0.0 if (low..=high).contains(&at) => (least, most),
        0.0 => (1.0, 0.0),
        _ => {
            let ends = [(low - at) / by, (high - at) / by];
            (
                least.max(ends[0].min(ends[1])),
                most.min(ends[0].max(ends[1])),
            )
        }
    };
    let across = (from.0, to.0 - from.0);
    let down = (from.1, to.1 - from.1);
    let part = within((0.0, 1.0), across, area.x, area.x + area.width);
    let (least, most) = within(part, down, area.y, area.y + area.height);
    least <= most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_an_area_is_found() {
        let area = around((10.0, 10.0), 8.0, 4.0);
        let through = [
            ((0.0, 10.0), (20.0, 10.0)),
            ((10.0, 0.0), (10.0, 20.0)),
            ((0.0, 0.0), (20.0, 20.0)),
            ((9.0, 9.0), (11.0, 11.0)),
            ((10.0, 10.0), (50.0, 50.0)),
        ];
        assert!(through.iter().all(|line| is_run_through(area, *line)));
        let beside = [
            ((0.0, 13.0), (20.0, 13.0)),
            ((15.0, 0.0), (15.0, 20.0)),
            ((0.0, 7.0), (20.0, 27.0)),
            ((0.0, 10.0), (5.0, 10.0)),
            ((0.0, 0.0), (0.0, 0.0)),
        ];
        assert!(!beside.iter().any(|line| is_run_through(area, *line)));
    }
}
