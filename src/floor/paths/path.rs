//! A walk: straight lines, and arcs around corners.

use super::super::Point;
use super::bounds::Bounds;

/// An arc is never drawn with more lines than this.
const MOST_LINES: f64 = 4096.0;

/// So many lines are drawn for a piece, more or less.
const MEAN_LINES: usize = 4;

/// The shortest walk of a body's centre from one place to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    pub from: Point,
    pub to: Point,
    /// In the order of walking, each beginning where the one before ends; none if the walk has no length.
    pub pieces: Vec<Piece>,
    /// In metres.
    pub length: f64,
}

/// A piece of a walk.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    Line {
        from: Point,
        to: Point,
    },
    /// Angles in radians, counter-clockwise from the x axis; a negative sweep turns clockwise.
    Arc {
        centre: Point,
        radius: f64,
        from_angle: f64,
        sweep: f64,
    },
}

impl Path {
    /// A box around all of it, arcs with their whole circles.
    pub(super) fn bounds(&self) -> Bounds {
        let pieces = self.pieces.iter();
        pieces.fold(Bounds::of(&[self.from, self.to]), |bounds, piece| {
            let [one, other] = piece.around();
            bounds.with(one).with(other)
        })
    }
}

impl Piece {
    /// Two opposite corners of a box around it, around its whole circle if it is an arc.
    pub(in crate::floor) fn around(&self) -> [Point; 2] {
        match *self {
            Piece::Line { from, to } => [from, to],
            Piece::Arc { centre, radius, .. } => {
                let aside = Point::new(radius, radius);
                [centre - aside, centre + aside]
            }
        }
    }

    /// In metres.
    pub fn length(&self) -> f64 {
        match *self {
            Piece::Line { from, to } => from.distance(to),
            Piece::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// The place after a share of the piece, 0 to 1.
    pub fn at(&self, share: f64) -> Point {
        match *self {
            Piece::Line { from, to } => from + (to - from) * share,
            Piece::Arc {
                centre,
                radius,
                from_angle,
                sweep,
            } => {
                let (sin, cos) = libm::sincos(from_angle + sweep * share);
                centre + Point::new(cos, sin) * radius
            }
        }
    }

    /// The direction of walking after a share of the piece, of length 1; nothing if the piece has no length.
    pub fn direction(&self, share: f64) -> Option<Point> {
        match *self {
            Piece::Line { from, to } => {
                let length = from.distance(to);
                (length > 0.0).then(|| (to - from) * (1.0 / length))
            }
            Piece::Arc {
                from_angle, sweep, ..
            } => {
                let (sin, cos) = libm::sincos(from_angle + sweep * share);
                let outward = Point::new(cos, sin);
                (sweep != 0.0).then(|| outward.left() * sweep.signum())
            }
        }
    }
}

impl Path {
    /// Straight from point to point. At least one must be given.
    pub fn through(points: &[Point]) -> Path {
        let mut pieces = Vec::new();
        for pair in points.windows(2) {
            add_line(&mut pieces, pair[0], pair[1]);
        }
        Path {
            from: points[0],
            to: points[points.len() - 1],
            length: pieces.iter().map(Piece::length).sum(),
            pieces,
        }
    }

    /// Corners of a line that is nowhere farther from the walk than the tolerance in metres.
    pub fn polyline(&self, tolerance: f64) -> Vec<Point> {
        let mut corners = Vec::with_capacity(1 + MEAN_LINES * self.pieces.len());
        corners.push(self.from);
        for piece in &self.pieces {
            let lines = match *piece {
                Piece::Line { .. } => 1.0,
                Piece::Arc { radius, sweep, .. } => {
                    // A chord over the angle a lies at most r (1 - cos(a / 2)) from its arc.
                    let flat = (1.0 - tolerance / radius).clamp(-1.0, 1.0);
                    let lines = (sweep.abs() / (2.0 * libm::acos(flat))).ceil();
                    if lines >= 1.0 {
                        lines.min(MOST_LINES)
                    } else {
                        1.0
                    }
                }
            };
            corners.extend((1..=lines as u32).map(|n| piece.at(f64::from(n) / lines)));
        }
        if let Some(last) = corners.last_mut()
            && !self.pieces.is_empty()
        {
            *last = self.to;
        }
        corners
    }
}

impl Path {
    /// The same walk, coming straight from one place and going on straight to another, where these are given.
    pub fn led_on(&self, before: Option<Point>, after: Option<Point>) -> Path {
        let mut pieces = Vec::with_capacity(self.pieces.len() + 2);
        let (from, to) = (before.unwrap_or(self.from), after.unwrap_or(self.to));
        add_line(&mut pieces, from, self.from);
        pieces.extend(&self.pieces);
        add_line(&mut pieces, self.to, to);
        Path {
            from,
            to,
            pieces,
            length: self.length + from.distance(self.from) + self.to.distance(to),
        }
    }

    /// The same walk the other way.
    pub fn reversed(self) -> Path {
        let back = |piece: &Piece| match *piece {
            Piece::Line { from, to } => Piece::Line { from: to, to: from },
            Piece::Arc {
                centre,
                radius,
                from_angle,
                sweep,
            } => Piece::Arc {
                centre,
                radius,
                from_angle: from_angle + sweep,
                sweep: -sweep,
            },
        };
        Path {
            from: self.to,
            to: self.from,
            pieces: self.pieces.iter().rev().map(back).collect(),
            length: self.length,
        }
    }
}

/// Adds a line unless it has no length.
pub(super) fn add_line(pieces: &mut Vec<Piece>, from: Point, to: Point) {
    if from != to {
        pieces.push(Piece::Line { from, to });
    }
}
