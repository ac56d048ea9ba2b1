//! Floor along which work is fed through a station, and how far it is free.
//!
//! The cutter stands in the middle of the station. A piece of length L that is fed through needs, measured from the
//! cutter, `max(m_in, L) + s_op` before it and `max(m_out, L) + s_off` behind it, where m is how far the body reaches
//! and s the room to stand; the strip is as wide as the piece with some clearance on each side, or as the body. Where
//! whoever feeds it stands beside the station and walks along, as at a jointer, nobody needs room in line with the piece.
//! A sheet at a saw lies beside the blade, with its whole width on one side of it.

use super::access::INCH_M;
use super::tolerance::IN_THE_WALL_M;
use super::{Door, Limits, Obstacle, Placement, Point, Polygon, Room, SAME_POINT_M, Side, outward};

/// Room besides the piece and the body, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// Behind the end of the piece where it is fed in.
    pub operator: f64,
    /// Behind the end of the piece when it has passed.
    pub outfeed: f64,
    /// On each side of the piece.
    pub side: f64,
}

impl Allowances {
    /// At a station that is fed from where one stands there.
    pub fn at(placement: &Placement, limits: &Limits) -> Allowances {
        Allowances {
            operator: match is_fed_from_beside(placement) {
                true => 0.0,
                false => limits.operator,
            },
            outfeed: limits.outfeed_walk,
            side: limits.side_clearance,
        }
    }
}

/// Whether one stands beside a station to feed it, and not in line with the work. What may throw a piece back is fed from
/// behind the piece, wherever one stands to set it up.
fn is_fed_from_beside(placement: &Placement) -> bool {
    let Some(side) = placement.feed.filter(|_| !placement.kickback) else {
        return false;
    };
    let (toward, body) = (side.direction(), StationExtent::of(placement, side));
    let along = toward.dot(placement.stand);
    let aside = toward.cross(placement.stand).abs();
    let is_at_its_side = aside > SAME_POINT_M && aside > body.across / 2.0 - SAME_POINT_M;
    is_at_its_side && along > -body.before - SAME_POINT_M
}

/// A piece that is so wide and so long comes of a sheet, in metres: 24 in.
pub const SHEETS_M: f64 = 24.0 * INCH_M;

/// How a piece lies across the line of the cutter, as one looks the way the work goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LyingAcross {
    InTheMiddle,
    Left,
    Right,
}

impl LyingAcross {
    /// How a piece may lie that is fed through a station: at a saw a sheet lies beside the blade, on one side or the other,
    /// since what is cut off is mostly narrower than what is left.
    pub fn at(placement: &Placement, is_sheet: bool) -> &'static [LyingAcross] {
        match placement.kickback && is_sheet {
            true => &[LyingAcross::Left, LyingAcross::Right],
            false => &[LyingAcross::InTheMiddle],
        }
    }

    /// How far a strip reaches to the left and to the right of the cutter's line, in metres, for a piece of some width in
    /// a body `across` wide.
    pub fn reach(self, width: f64, across: f64, side: f64) -> [f64; 2] {
        let (far, near) = ((width + side).max(across / 2.0), (across / 2.0).max(side));
        match self {
            LyingAcross::InTheMiddle => [(width / 2.0 + side).max(across / 2.0); 2],
            LyingAcross::Left => [far, near],
            LyingAcross::Right => [near, far],
        }
    }
}

/// The strips before a cutter and behind it, which reach so far to the left and to the right of its line, in metres.
pub fn before_and_behind(at: Point, toward: Point, [left, right]: [f64; 2]) -> [Strip; 2] {
    // A strip as wide on both sides begins at the cutter itself, to the last bit.
    let from = match left == right {
        true => at,
        false => at + toward.left() * ((left - right) / 2.0),
    };
    [toward * -1.0, toward].map(|toward| Strip {
        from,
        toward,
        width: left + right,
    })
}

/// What a piece needs to be fed through, in metres from the cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedNeed {
    pub infeed: f64,
    pub outfeed: f64,
    pub width: f64,
}

/// What feeding a piece `length` long and `width` wide through a body needs that reaches `before` and `behind` the
/// cutter and is `across` wide, all in metres.
pub fn need(length: f64, width: f64, body: StationExtent, allowances: Allowances) -> FeedNeed {
    FeedNeed {
        infeed: length.max(body.before) + allowances.operator,
        outfeed: length.max(body.behind) + allowances.outfeed,
        width: (width + 2.0 * allowances.side).max(body.across),
    }
}

/// How far a station reaches before and behind its cutter and how wide it is, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationExtent {
    pub before: f64,
    pub behind: f64,
    pub across: f64,
}

impl StationExtent {
    /// Of a station that is fed toward a side, with its cutter in the middle.
    pub fn of(placement: &Placement, toward: Side) -> StationExtent {
        let (along, across) = match toward {
            Side::PlusX | Side::MinusX => placement.size,
            Side::PlusY | Side::MinusY => (placement.size.1, placement.size.0),
        };
        StationExtent {
            before: along / 2.0,
            behind: along / 2.0,
            across,
        }
    }

    /// The same for a piece that lies across and slides sideways.
    pub fn sideways(self) -> StationExtent {
        StationExtent {
            before: self.across / 2.0,
            behind: self.across / 2.0,
            across: 0.0,
        }
    }
}

/// How far a strip is free on both sides of the cutter, and what follows for a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Free from the cutter, in metres; nothing where the strip runs out into the open.
    pub run_in: Option<f64>,
    pub run_out: Option<f64>,
    pub need: FeedNeed,
    pub allowances: Allowances,
    pub body: StationExtent,
}

impl Fit {
    /// Straight free floor in all, in metres.
    pub fn run(&self) -> Option<f64> {
        Some(self.run_in? + self.run_out?)
    }

    /// How much straight run is needed in all, in metres.
    pub fn needed(&self) -> f64 {
        self.need.infeed + self.need.outfeed
    }

    /// The band along the strip in which the cutter may stand, in metres; negative: what is missing wherever it
    /// stands; nothing where the strip has no end.
    pub fn window(&self) -> Option<f64> {
        Some(self.run()? - self.needed())
    }

    /// What is missing where the cutter stands now, at the worse end, in metres; 0 if it fits.
    pub fn missing(&self) -> f64 {
        let short = |need: f64, run: Option<f64>| run.map_or(0.0, |run| need - run);
        let worse =
            short(self.need.infeed, self.run_in).max(short(self.need.outfeed, self.run_out));
        worse.max(0.0)
    }

    /// Whether it is missing where the work is fed in.
    pub fn short_in(&self) -> bool {
        self.run_in
            .is_some_and(|run| self.need.infeed - run > SAME_POINT_M)
    }

    /// The longest piece that passes where the cutter stands now, in metres; 0 if the machine itself has too little
    /// room for any, nothing if there is no end to it.
    pub fn longest_here(&self) -> Option<f64> {
        if self.machine_lacks() > 0.0 {
            return Some(0.0);
        }
        let fed = self.run_in.map(|run| run - self.allowances.operator);
        let passed = self.run_out.map(|run| run - self.allowances.outfeed);
        let longest = match (fed, passed) {
            (Some(fed), Some(passed)) => fed.min(passed),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => return None,
        };
        Some(longest.max(0.0))
    }

    /// What is missing for the machine itself with the room to stand, however short the piece; 0 if nothing is.
    pub fn machine_lacks(&self) -> f64 {
        let short = |reach: f64, room: f64, run: Option<f64>| {
            let lacks = run.map_or(0.0, |run| reach + room - run);
            if lacks > SAME_POINT_M { lacks } else { 0.0 }
        };
        let before = short(self.body.before, self.allowances.operator, self.run_in);
        let behind = short(self.body.behind, self.allowances.outfeed, self.run_out);
        before.max(behind).max(0.0)
    }

    /// The longest piece that would pass if the cutter stood at the best place of this strip, in metres.
    pub fn longest_anywhere(&self) -> Option<f64> {
        let run = self.run()? - self.allowances.operator - self.allowances.outfeed;
        Some((run / 2.0).max(0.0))
    }
}

/// A strip of floor from a point in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    pub from: Point,
    /// Of length 1.
    pub toward: Point,
    /// In metres.
    pub width: f64,
}

/// How far a strip is free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeRun {
    /// In metres; nothing where it has no end.
    pub free: Option<f64>,
    /// What ends it; nothing where it runs out of the room into the open.
    pub end: Option<Obstacle>,
    /// Index of the room's door through which it leaves.
    pub through: Option<usize>,
}

impl Strip {
    /// How far the strip is free of walls, as [`solid_walls`] gives them, and of obstacles; all doors are open.
    pub fn run<'p>(
        &self,
        walls: &[(Point, Point)],
        doors: &[Door],
        obstacles: impl IntoIterator<Item = (Obstacle, &'p Polygon)>,
    ) -> FreeRun {
        let ends = obstacles.into_iter().filter_map(|(obstacle, outline)| {
            let near = self.nearest_of(outline)?;
            Some((obstacle, near))
        });
        self.run_to(walls, doors, ends)
    }

    /// The same where it is known how far it is to each obstacle, in metres.
    pub fn run_to(
        &self,
        walls: &[(Point, Point)],
        doors: &[Door],
        ends: impl IntoIterator<Item = (Obstacle, f64)>,
    ) -> FreeRun {
        let mut free = f64::INFINITY;
        let mut end = None;
        for &wall in walls {
            if let Some(near) = self.nearest(wall).filter(|&near| near < free) {
                (free, end) = (near, Some(Obstacle::Wall));
            }
        }
        for (obstacle, near) in ends {
            if near < free {
                (free, end) = (near, Some(obstacle));
            }
        }
        let line = Strip {
            width: 0.0,
            ..*self
        };
        let through = doors.iter().position(|door| {
            let threshold = line.nearest(door.between);
            threshold.is_some_and(|at| at + SAME_POINT_M < free)
        });
        FreeRun {
            free: free.is_finite().then_some(free),
            end,
            through,
        }
    }

    /// How far it is along the strip to an area that reaches into it; 0 if the strip begins in it.
    pub fn nearest_of(&self, area: &Polygon) -> Option<f64> {
        let along = area.edges().filter_map(|edge| self.nearest(edge));
        // Where no edge reaches into the strip, it does not begin in the area either: it would have to leave it.
        let nearest = along.reduce(f64::min)?;
        let begins_in_it =
            area.contains(self.from) && area.distance_to_outline(self.from) > SAME_POINT_M;
        Some(if begins_in_it { 0.0 } else { nearest })
    }

    /// From where to where along the strip an area reaches into it.
    pub fn span_of(&self, area: &Polygon) -> Option<(f64, f64)> {
        let begins_in_it =
            area.contains(self.from) && area.distance_to_outline(self.from) > SAME_POINT_M;
        let spans = area.edges().filter_map(|edge| self.span(edge));
        let spans = spans.chain(begins_in_it.then_some((0.0, 0.0)));
        spans.reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
    }

    /// How far it is along the strip to a segment that reaches into it, more than to touch its sides.
    pub fn nearest(&self, segment: (Point, Point)) -> Option<f64> {
        self.span(segment).map(|(near, _)| near)
    }

    /// From where to where along the strip a segment reaches into it.
    fn span(&self, (a, b): (Point, Point)) -> Option<(f64, f64)> {
        let half = (self.width / 2.0 - SAME_POINT_M).max(0.0);
        let place = |point: Point| {
            let from_here = point - self.from;
            (from_here.dot(self.toward), self.toward.cross(from_here))
        };
        let ((mut near, side_a), (mut far, side_b)) = (place(a), place(b));
        if side_a.min(side_b) > half || side_a.max(side_b) < -half {
            return None;
        }
        let along = far - near;
        if side_a != side_b {
            let at =
                |side: f64| near + along * ((side - side_a) / (side_b - side_a)).clamp(0.0, 1.0);
            let (one, other) = (at(-half), at(half));
            (near, far) = (one, other);
        }
        let (near, far) = (near.min(far), near.max(far));
        // What lies just at the beginning, as the wall against which a station stands, is an end of length 0.
        (far >= -SAME_POINT_M).then_some((near.max(0.0), far.max(0.0)))
    }

    /// The strip as an outline, as far as `length` metres; nothing if it has no area.
    pub fn outline(&self, length: f64) -> Option<Polygon> {
        let (side, far) = (
            self.toward.left() * (self.width / 2.0),
            self.toward * length,
        );
        let (left, right) = (self.from + side, self.from - side);
        Polygon::new(&[right, right + far, left + far, left]).ok()
    }
}

/// The walls without the openings of the doors, the cheeks of the openings, and the far walls of corridors outside.
pub fn solid_walls(room: &Room) -> Vec<(Point, Point)> {
    let mut walls = Vec::new();
    for (from, to) in room.outline.edges() {
        let length = from.distance(to);
        let along = (to - from) * (1.0 / length);
        // Where the openings lie along this wall, in order.
        let mut openings: Vec<(f64, f64)> = Vec::new();
        for door in &room.doors {
            let place = |point: Point| ((point - from).dot(along), along.cross(point - from));
            let ((a, off_a), (b, off_b)) = (place(door.between.0), place(door.between.1));
            let on_wall = off_a.abs() <= IN_THE_WALL_M && off_b.abs() <= IN_THE_WALL_M;
            let (a, b) = (a.min(b).max(0.0), a.max(b).min(length));
            if on_wall && b - a > SAME_POINT_M {
                openings.push((a, b));
                let out = outward((from, to));
                let (left, right) = (from + along * a, from + along * b);
                walls.push((left, left + out * door.wall));
                walls.push((right, right + out * door.wall));
                if let Some(corridor) = door.corridor {
                    let far = out * (door.wall + corridor);
                    let stretch = along * CORRIDOR_LENGTH_M;
                    walls.push((left - stretch + far, right + stretch + far));
                }
            }
        }
        openings.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut free_from = 0.0;
        for (a, b) in openings {
            if a > free_from {
                walls.push((from + along * free_from, from + along * a));
            }
            free_from = b.max(free_from);
        }
        if free_from < length {
            walls.push((from + along * free_from, to));
        }
    }
    walls
}

/// A corridor outside is taken to run so far to both sides of its door.
const CORRIDOR_LENGTH_M: f64 = 100.0;
