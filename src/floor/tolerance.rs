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

/// A mass may exceed its limit by this share, since a piece of exactly the limit is no rounding too heavy; and so may a
/// sum whose terms are added in another order.
pub(super) const ROUNDED_SHARE: f64 = 1e-9;

/// The rounding of a coordinate, with some to spare, as a share of it.
pub(super) const DIGITS_SHARE: f64 = 4.0 * f64::EPSILON;

/// Of the tolerance by which a body may be too wide, the share that allows for roundings.
pub(super) const ROUNDED_SLACK_SHARE: f64 = 1e-3;

/// A place may lie in a cell of a grid that it misses by no more, in cells.
pub(super) const ROUNDED_CELLS: f64 = 1e-6;

/// Directions of walks that differ by a smaller angle are one.
pub(super) const SAME_DIRECTION_RAD: f64 = 1e-9;

/// Where the edges of a solid turn by less, they go straight on, and nothing sticks out.
pub(super) const STRAIGHT_ON_RAD: f64 = 1e-6;

/// How near a piece that is turned around a corner comes to lying along either corridor, where any length passes.
pub(super) const NEARLY_ALONG_RAD: f64 = 1e-6;

/// An opening of a door lies on a wall if its ends are no farther from it: ten times what makes corners one, since a
/// file may give both in rounded inches.
pub(super) const IN_THE_WALL_M: f64 = 10.0 * SAME_POINT_M;

/// A gap between two walls that lies nearer than this to a door is the door's: a body in the doorway.
pub(super) const IN_A_DOORWAY_M: f64 = 0.3;

/// The recess behind a door's opening is deeper than the body by this share, and by what comes of rounding, so that
/// standing in the middle of the opening does not hang on a rounding.
pub(super) const RECESS_SHARE: f64 = 1e-6;

/// Beside a corner that sticks into the room a recess stays this share away from the middle between both walls.
pub(super) const OFF_THE_MIDDLE_SHARE: f64 = 1e-3;

/// A body passes where it is too wide by this much, so that what fits exactly fits whatever the roundings: ten times
/// the nanometres in which lengths are counted.
pub const FITS_M: f64 = 1e-8;

/// The same for plans so large that numbers have fewer digits left: in units of the largest coordinate.
pub(super) const FITS_SHARE: f64 = 2e-14;

/// The widths of gaps that differ by less are one, and what is nearer touches.
pub(super) const TOUCHING_M: f64 = 1e-7;

/// What the width of a body is changed by to find out what hangs on a gap, and how much wider than a body a gap may be
/// and still be too narrow by nothing that counts: more than what roundings come to, and less than anybody can measure.
pub(super) const HAIR_M: f64 = 1e-6;

/// A gap of less is closed: nobody is that narrow.
pub(super) const CLOSED_M: f64 = 1e-3;

/// A way that begins or ends in the opening of a door goes on so far: through it and no farther, for nobody knows what
/// is there.
pub(super) const THROUGH_DOOR_M: f64 = 1e-3;

/// Walks are led on beyond their ends by less, and where they are straightened into lines, they leave their arcs by
/// less.
pub(super) const LED_ON_M: f64 = 0.01;

/// Where gaps are looked for along a walk, its arcs are cut short by no more: a gap is as wide wherever it is crossed.
pub(super) const FLAT_M: f64 = 1e-3;

/// Where a walk crosses a line, its arcs may be so far from the lines that stand for them.
pub(super) const CROSSING_M: f64 = 0.01;

/// Where nothing is nearer to a place than a body's radius and this, a body fits there whatever the roundings.
pub(super) const PERHAPS_BLOCKED_M: f64 = 1e-6;

/// A walk that is longer than another one by this share, and by so many metres, is longer whatever the roundings: far
/// more than the tolerances of bodies make of a walk, and far less than a step.
pub(super) const SURELY_LONGER_SHARE: f64 = 1e-9;
pub(super) const SURELY_LONGER_M: f64 = 1e-6;
