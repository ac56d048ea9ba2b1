//! Straight lines that touch arcs: between two arcs, and from a place to an arc.
//!
//! A shortest walk never turns except around a corner, with the corner on the inside of the turn. So a line that
//! would leave an arc where the arc has no place, that is toward the solid sides of its corner, is never part of one.

use super::super::Point;
use super::Measure;
use super::corner::Arc;
use super::solids::Solids;

/// Where a line touches an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Touch {
    pub arc: u32,
    /// On the arc, from its start.
    pub angle: f64,
    /// Whether the line, seen from here, goes on in the counter-clockwise direction of the circle.
    pub onward: bool,
}

/// A line between two arcs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    pub ends: [Touch; 2],
    pub length: f64,
}

/// All lines that touch two arcs and along which a body fits.
pub(super) fn between(arcs: &[Arc], solids: &Solids, measure: &Measure) -> Vec<Between> {
    let mut lines = Vec::new();
    let mut hint = 0;
    for (i, one) in arcs.iter().enumerate() {
        for (j, other) in arcs.iter().enumerate().skip(i + 1) {
            let apart = other.centre - one.centre;
            let distance = apart.dot(apart).sqrt();
            if distance == 0.0 {
                continue;
            }
            let ahead = apart * (1.0 / distance);
            let right = ahead.left() * -1.0;
            let mut add = |from_one: Point, from_other: Point, onward: (bool, bool), length| {
                if !one.faces(from_one, measure.slack) || !other.faces(from_other, measure.slack) {
                    return;
                }
                let from = one.centre + from_one * measure.reach;
                let to = other.centre + from_other * measure.reach;
                if solids.block(from, to, &mut hint) {
                    return;
                }
                let touch = |arc: usize, of: &Arc, direction: Point, onward| Touch {
                    arc: arc as u32,
                    angle: of.angle(direction),
                    onward,
                };
                lines.push(Between {
                    ends: [
                        touch(i, one, from_one, onward.0),
                        touch(j, other, from_other, onward.1),
                    ],
                    length: if measure.round { length } else { distance },
                });
            };
            // Beside both corners: both to the left of the line, or both to the right.
            add(right, right, (true, false), distance);
            let left = right * -1.0;
            add(left, left, (false, true), distance);
            // Between them: the first to the left and the other to the right, or the reverse.
            let gap = distance - 2.0 * measure.reach;
            if gap < -2.0 * measure.tolerance {
                continue;
            }
            let cos = (2.0 * measure.reach / distance).min(1.0);
            let sin = (1.0 - cos * cos).sqrt();
            let crossing = distance * sin;
            let (along, aside) = (ahead * cos, right * sin);
            let (first, second) = (along + aside, along - aside);
            add(first, first * -1.0, (true, true), crossing);
            add(second, second * -1.0, (false, false), crossing);
        }
    }
    lines
}

/// A line from a place to an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Toward {
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

/// All lines from a place that touch an arc and along which a body fits.
pub(super) fn toward(
    stance: &Stance,
    arcs: &[Arc],
    solids: &Solids,
    measure: &Measure,
) -> Vec<Toward> {
    // Whoever stands the depth d within a circle of the radius r is up to the angle sqrt(2 d / r) from where a line
    // could touch it.
    let slack = measure.slack + 2.0 * (2.0 * stance.lacks / measure.reach).sqrt();
    let mut lines = Vec::new();
    let mut hint = 0;
    for (index, arc) in arcs.iter().enumerate() {
        let apart = stance.fits - arc.centre;
        let distance = apart.dot(apart).sqrt();
        if distance == 0.0 {
            continue;
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
            if solids.block(stance.fits, touches, &mut hint) {
                continue;
            }
            lines.push(Toward {
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
            });
        }
    }
    lines
}
