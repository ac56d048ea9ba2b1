//! Every tolerance of the floor, in one table: from what comes of rounding to what nobody can measure.
//!
//! Lengths are in metres. Where two of them meet, the greater one decides.

/// Corners nearer than this are one, and what overlaps or is missing by less is no finding: a tenth of a millimetre is
/// less than anybody can measure.
pub const SAME_POINT_M: f64 = 1e-4;

/// A place that is no farther from an edge lies on it, whatever the roundings.
pub(super) const ON_EDGE_M: f64 = 1e-6;

/// What comes of lengths being converted and rounded, far below what anybody measures.
pub(super) const ROUNDED_M: f64 = 1e-9;

/// A mass may exceed its limit by this share: a piece of exactly the limit is no rounding too heavy.
pub(super) const ROUNDED_SHARE: f64 = 1e-9;

/// An opening of a door lies on a wall if its ends are no farther from it: ten times what makes corners one, since a
/// file may give both in rounded inches.
pub(super) const IN_THE_WALL_M: f64 = 10.0 * SAME_POINT_M;

/// A gap between two walls that lies nearer than this to a door is the door's: a body in the doorway.
pub(super) const IN_A_DOORWAY_M: f64 = 0.3;

/// Where a walk crosses a line, its arcs may be so far from the lines that stand for them.
pub(super) const CROSSING_M: f64 = 0.01;

/// Where nothing is nearer to a place than a body's radius and this, a body fits there whatever the roundings.
pub(super) const PERHAPS_BLOCKED_M: f64 = 1e-6;

/// A walk that is longer than another one by this share, and by so many metres, is longer whatever the roundings: far
/// more than the tolerances of bodies make of a walk, and far less than a step.
pub(super) const SURELY_LONGER_SHARE: f64 = 1e-9;
pub(super) const SURELY_LONGER_M: f64 = 1e-6;
