//! Straight lines that touch arcs: between two arcs, and from a place to an arc.
//!
//! A shortest walk never turns except around a corner, with the corner on the inside of the turn. So a line that
//! would leave an arc where the arc has no place, that is toward the solid sides of its corner, is never part of one.

use std::ops::ControlFlow;

use super::super::Point;
use super::Measure;
use super::corner::Arc;

/// Where a line touches an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Touch {
    pub arc: u32,
    /// On the arc, from its start.
    pub angle: f64,
    /// Whether the line, seen from here, goes on in the counter-clockwise direction of the circle.
    pub onward: bool,
}

/// A line that touches two arcs and along which a body fits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bitangent {
    pub ends: [Touch; 2],
    pub length: f64,
    /// The touching places.
    pub between: [Point; 2],
    pub side: Sides,
}

impl Bitangent {
    /// Lines in this order are those of one arc with all that follow it, arc by arc.
    pub fn key(&self) -> (u32, u32, Sides) {
        (self.ends[0].arc, self.ends[1].arc, self.side)
    }
}

/// On which sides of a line two arcs lie, the one with the smaller index first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sides {
    BothLeft,
    BothRight,
    LeftRight,
    RightLeft,
}

/// A line that touches two arcs, whatever stands on it.
pub(super) struct Contact {
    pub arcs: [u32; 2],
    pub side: Sides,
    /// The touching places, and the directions to them from the corners.
    pub between: [Point; 2],
    directions: [Point; 2],
    length: f64,
}

impl Contact {
    pub fn line(&self, arcs: &[Arc]) -> Bitangent {
        let onward = match self.side {
            Sides::BothLeft => [true, false],
            Sides::BothRight => [false, true],
            Sides::LeftRight => [true, true],
            Sides::RightLeft => [false, false],
        };
        let touch = |end: usize| Touch {
            arc: self.arcs[end],
            angle: arcs[self.arcs[end] as usize].angle(self.directions[end]),
            onward: onward[end],
        };
        Bitangent {
            ends: [touch(0), touch(1)],
            length: self.length,
            between: self.between,
            side: self.side,
        }
    }
}

/// Calls with all lines that touch two arcs, until the call has enough.
pub(super) fn contacts(
    arcs: &[Arc],
    pair: [usize; 2],
    measure: &Measure,
    mut call: impl FnMut(Contact) -> ControlFlow<()>,
) -> ControlFlow<()> {
    let [one, other] = pair.map(|arc| &arcs[arc]);
    let apart = other.centre - one.centre;
    let distance = apart.dot(apart).sqrt();
    if distance == 0.0 {
        return ControlFlow::Continue(());
    }
    let ahead = apart * (1.0 / distance);
    let right = ahead.left() * -1.0;
    let mut offer = |from_one: Point, from_other: Point, side: Sides, length| {
        if !one.faces(from_one, measure.slack) || !other.faces(from_other, measure.slack) {
            return ControlFlow::Continue(());
        }
        call(Contact {
            arcs: pair.map(|arc| arc as u32),
            side,
            between: [
                one.centre + from_one * measure.reach,
                other.centre + from_other * measure.reach,
            ],
            directions: [from_one, from_other],
            length: if measure.round { length } else { distance },
        })
    };
    // Beside both corners.
    offer(right, right, Sides::BothLeft, distance)?;
    let left = right * -1.0;
    offer(left, left, Sides::BothRight, distance)?;
    // Between them.
    let gap = distance - 2.0 * measure.reach;
    if gap < -2.0 * measure.tolerance {
        return ControlFlow::Continue(());
    }
    let cos = (2.0 * measure.reach / distance).min(1.0);
    let sin = (1.0 - cos * cos).sqrt();
    let crossing = distance * sin;
    let (along, aside) = (ahead * cos, right * sin);
    let (first, second) = (along + aside, along - aside);
    offer(first, first * -1.0, Sides::LeftRight, crossing)?;
    offer(second, second * -1.0, Sides::RightLeft, crossing)
}

/// A line from a place that touches an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tangent {
    /// Where a body fits at the place, and the touching place.
    pub between: [Point; 2],
    pub touch: Touch,
    pub length: f64,
}

/// Where somebody stands, and where a body of the measured radius fits next to it.
///
/// They differ only for a body without width that touches something.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stance {
    pub place: Point,
    pub fits: Point,
    /// How far the body may be too near to something there.
    pub lacks: f64,
}

/// All lines from a place that touch one of the arcs that are of use, whatever stands on them.
pub(super) fn tangents(
    stance: &Stance,
    arcs: &[Arc],
    measure: &Measure,
    of_use: impl Fn(&Arc) -> bool,
) -> Vec<Tangent> {
    let mut lines = Vec::new();
    for arc in (0..arcs.len()).filter(|&arc| of_use(&arcs[arc])) {
        let _ = tangents_of(stance, arcs, arc, measure, |line| {
            lines.push(line);
            ControlFlow::Continue(())
        });
    }
    lines
}

/// Calls with the lines from a place that touch one arc, until the call has enough.
pub(super) fn tangents_of(
    stance: &Stance,
    arcs: &[Arc],
    index: usize,
    measure: &Measure,
    mut call: impl FnMut(Tangent) -> ControlFlow<()>,
) -> ControlFlow<()> {
    // Whoever stands the depth d within a circle of the radius r is up to the angle sqrt(2 d / r) from where a line
    // could touch it.
    let slack = measure.slack + 2.0 * (2.0 * stance.lacks / measure.reach).sqrt();
    let arc = &arcs[index];
    let apart = stance.fits - arc.centre;
    let distance = apart.dot(apart).sqrt();
    if distance == 0.0 {
        return ControlFlow::Continue(());
    }
    let ahead = apart * (1.0 / distance);
    let cos = (measure.reach / distance).min(1.0);
    let sin = (1.0 - cos * cos).sqrt();
    let aside = ahead.left() * sin;
    for (direction, onward) in [(ahead * cos - aside, true), (ahead * cos + aside, false)] {
        if !arc.faces(direction, slack) {
            continue;
        }
        let exact = sin > 0.0 && arc.faces(direction, 0.0);
        let angle = arc.angle(direction);
        let direction = if exact {
            direction
        } else {
            arc.direction(angle)
        };
        let touches = arc.centre + direction * measure.reach;
        call(Tangent {
            between: [stance.fits, touches],
            touch: Touch {
                arc: index as u32,
                angle,
                onward,
            },
            length: match measure.round {
                true if exact => distance * sin,
                true => stance.fits.distance(touches),
                false => stance.place.distance(arc.centre),
            },
        })?;
    }
    ControlFlow::Continue(())
}
