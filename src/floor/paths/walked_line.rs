//! A walk as a line of many corners: where it crosses a line, and where it leads between two edges.

use super::super::Point;
use super::super::tolerance::{FLAT_M, TOUCHING_M};
use super::bounds::Bounds;
use super::constriction::{FacingEdges, SolidEdge};
use super::path::Path;

/// A walk as a line of many corners.
pub(super) struct WalkedLine {
    pub places: Vec<Point>,
    /// Metres from the start to each place.
    pub walked: Vec<f64>,
    pub beyond: [f64; 2],
    pub bounds: Bounds,
}

/// A part of a walk that leads between two edges; places are metres along their axis.
pub(super) struct Alongside {
    pub low: f64,
    pub high: f64,
    /// Whether it leads along the axis, and not against it.
    pub onward: bool,
    /// The walk's places at both.
    pub ends: [Point; 2],
}

impl Alongside {
    pub fn at(&self, along: f64) -> Point {
        let share = (along - self.low) / (self.high - self.low);
        self.ends[0] + (self.ends[1] - self.ends[0]) * share
    }
}

impl WalkedLine {
    pub fn new(path: &Path, beyond: [f64; 2]) -> WalkedLine {
        let places = path.polyline(FLAT_M);
        let mut walked = vec![0.0; places.len()];
        for index in 1..places.len() {
            walked[index] = walked[index - 1] + places[index - 1].distance(places[index]);
        }
        WalkedLine {
            bounds: Bounds::of(&places),
            places,
            walked,
            beyond,
        }
    }

    /// Where the walk crosses a line between its ends, and whether it comes from its right to its left.
    pub fn crossing(&self, from: Point, to: Point) -> Option<(Point, bool)> {
        let line = Bounds::of(&[from, to]);
        let (low, high) = (self.bounds.low, self.bounds.high);
        let misses = line.high.x < low.x - TOUCHING_M
            || line.low.x > high.x + TOUCHING_M
            || line.high.y < low.y - TOUCHING_M
            || line.low.y > high.y + TOUCHING_M;
        if misses {
            return None;
        }
        let width = from.distance(to);
        let across = (to - from) * (1.0 / width);
        let total = self.walked[self.walked.len() - 1];
        // The last place off the line.
        let mut before: Option<(usize, f64)> = None;
        for (index, &place) in self.places.iter().enumerate() {
            let off = across.cross(place - from);
            if off.abs() < TOUCHING_M {
                continue;
            }
            if let Some((last, off_last)) = before
                && (off_last > 0.0) != (off > 0.0)
            {
                // Straight across, or some way along the line.
                let mut crossed = (last + 1..index).map(|on| (self.places[on], self.walked[on]));
                let share = off_last / (off_last - off);
                let straight = || {
                    let at = self.places[last] + (place - self.places[last]) * share;
                    let step = self.walked[index] - self.walked[last];
                    (at, self.walked[last] + step * share)
                };
                let on_line = |&(at, _): &(Point, f64)| {
                    let far = across.dot(at - from);
                    (-TOUCHING_M..=width + TOUCHING_M).contains(&far)
                };
                let found = match last + 1 == index {
                    true => Some(straight()).filter(on_line),
                    false => crossed.find(on_line),
                };
                if let Some((at, walked)) = found
                    && walked > self.beyond[0]
                    && total - walked > self.beyond[1]
                {
                    return Some((at, off > 0.0));
                }
            }
            before = Some((index, off));
        }
        None
    }

    /// Where the walk leads between two edges, as far from both of its ends as it must be, measured along the edges:
    /// somebody who only steps from one edge to the other passes nothing.
    pub fn alongside(
        &self,
        facing: &FacingEdges,
        one: &SolidEdge,
        other: &SolidEdge,
    ) -> Vec<Alongside> {
        let corners = [one.from, one.to, other.from, other.to];
        let around = Bounds::of(&corners);
        if around.high.x < self.bounds.low.x
            || around.low.x > self.bounds.high.x
            || around.high.y < self.bounds.low.y
            || around.low.y > self.bounds.high.y
        {
            return Vec::new();
        }
        let along: Vec<f64> = self.places.iter().map(|&p| facing.axis.dot(p)).collect();
        let mut stays = Vec::new();
        for index in 1..along.len() {
            let (a, b) = (along[index - 1], along[index]);
            let (low, high) = (a.min(b).max(facing.low), a.max(b).min(facing.high));
            if high - low < TOUCHING_M {
                continue;
            }
            let place = |at: f64| {
                let (from, to) = (self.places[index - 1], self.places[index]);
                from + (to - from) * ((at - a) / (b - a))
            };
            let middle = place((low + high) / 2.0);
            if one.away(middle) < 0.0 || other.away(middle) < 0.0 {
                continue;
            }
            let onward = b > a;
            let sign = if onward { 1.0 } else { -1.0 };
            let (earlier, later) = along.split_at(index);
            let start = earlier
                .iter()
                .fold(a, |s, &t| if sign * t < sign * s { t } else { s });
            let end = later
                .iter()
                .fold(b, |e, &t| if sign * t > sign * e { t } else { e });
            let (first, last) = (start + sign * self.beyond[0], end - sign * self.beyond[1]);
            let low = low.max(if onward { first } else { last });
            let high = high.min(if onward { last } else { first });
            if high - low > TOUCHING_M {
                stays.push(Alongside {
                    low,
                    high,
                    onward,
                    ends: [place(low), place(high)],
                });
            }
        }
        stays
    }
}
