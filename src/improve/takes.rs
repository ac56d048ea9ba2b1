//! What machines take among boxes, where they stand, and what it counts that this is less than what is usually fed there:
//! `floor::machine_capacities` says it to the millimetre, in a thousand times as long.

use super::dislike::Likes;
use super::ground::RoomBoxes;
use super::spots::{FedSpot, StationSpot, is_passed};
use crate::floor::{AxisBox, Point, SAME_POINT_M};
use crate::shop::StationId;

/// For each metre of a board that is missing, in metres of the mean trip.
const SHORT_METRE: f64 = 6.0;

/// For each metre of a sheet that is missing at a saw.
const SHEET_METRE: f64 = 1.0;

/// Where a machine takes nothing at all, and for each metre that it lacks for that.
const NOTHING: f64 = 12.0;
const LACKS_METRE: f64 = 10.0;

/// A sheet as it is sold, in metres: 8 ft by 4 ft.
const SHEET_M: (f64, f64) = (2.4384, 1.2192);

/// What one machine takes.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Taking {
    /// In metres, of what is so wide.
    longest: f64,
    /// What the machine with room to stand lacks for the shortest piece, in metres.
    lacks: f64,
}

impl Likes<'_> {
    /// What it counts that a machine takes less than it should, beside others; nothing for what is not fed.
    pub fn takes_less<'s>(
        &self,
        (station, spot): (StationId, &StationSpot),
        others: impl Iterator<Item = &'s StationSpot> + Clone,
    ) -> f64 {
        let Some(fed) = &spot.fed else { return 0.0 };
        let habit = &self.search.habits[station];
        let taking = |width: f64| self.taking(spot, fed, width, others.clone());
        let board = taking(self.search.site.premises.limits.board_width);
        let mut sum = SHORT_METRE * (habit.fed - board.longest).max(0.0);
        if board.lacks > 0.0 {
            sum += NOTHING + LACKS_METRE * board.lacks;
        }
        if spot.placement.kickback {
            let (long, wide) = SHEET_M;
            sum += SHEET_METRE * (long - taking(wide).longest).max(0.0);
        }
        habit.fed_weight * sum
    }

    /// The same of one of some machines, beside all others.
    pub fn one_takes_less(&self, index: usize, spots: &[(StationId, StationSpot)]) -> f64 {
        let (station, spot) = &spots[index];
        let others = spots.iter().filter(|(other, _)| other != station);
        self.takes_less((*station, spot), others.map(|(_, spot)| spot))
    }

    /// The same of all machines together.
    pub fn all_take_less(&self, spots: &[(StationId, StationSpot)]) -> f64 {
        let less = (0..spots.len()).map(|index| self.one_takes_less(index, spots));
        less.sum()
    }

    /// Whether something stands in the line of a machine, before or behind it: what does not has nothing to do with what
    /// that takes.
    pub fn is_in_line(&self, machine: &StationSpot, other: &StationSpot) -> bool {
        let (Some(fed), Some(body)) = (&machine.fed, other.standing_body()) else {
            return false;
        };
        let board = self.search.site.premises.limits.board_width;
        let widest = match machine.placement.kickback {
            true => board.max(SHEET_M.1),
            false => board,
        };
        let strip = BoxStrip {
            from: machine.placement.at,
            toward: fed.toward,
            width: self.strip_width(fed, widest),
        };
        strip.is_within(strip.spans(&body.area)[1])
    }

    /// Of the strip for something so wide, in metres.
    fn strip_width(&self, fed: &FedSpot, width: f64) -> f64 {
        let limits = &self.search.site.premises.limits;
        (width + 2.0 * limits.side_clearance).max(fed.across)
    }

    fn taking<'s>(
        &self,
        spot: &StationSpot,
        fed: &FedSpot,
        width: f64,
        others: impl Iterator<Item = &'s StationSpot> + Clone,
    ) -> Taking {
        let limits = &self.search.site.premises.limits;
        let width = self.strip_width(fed, width);
        let run = |toward: Point, table: Option<f64>| {
            let strip = BoxStrip {
                from: spot.placement.at,
                toward,
                width,
            };
            strip.run(&self.ground, table, others.clone())
        };
        // Whoever feeds stands there, so that nothing low is passed over before the cutter.
        let before = run(fed.toward * -1.0, None) - limits.operator;
        let behind = run(fed.toward, spot.placement.table) - limits.outfeed_walk;
        let lacks = (fed.reach - before.min(behind)).max(0.0);
        Taking {
            longest: match lacks > SAME_POINT_M {
                true => 0.0,
                false => before.min(behind),
            },
            lacks: if lacks > SAME_POINT_M { lacks } else { 0.0 },
        }
    }
}

/// A strip of floor along a wall of the room.
struct BoxStrip {
    from: Point,
    toward: Point,
    width: f64,
}

impl BoxStrip {
    /// Along the strip and across it.
    fn place(&self, at: Point) -> (f64, f64) {
        let off = at - self.from;
        (off.dot(self.toward), self.toward.cross(off))
    }

    /// From where to where a box lies along the strip and across it.
    fn spans(&self, area: &AxisBox) -> [(f64, f64); 2] {
        let (one, other) = (self.place(area.low), self.place(area.high));
        [
            (one.0.min(other.0), one.0.max(other.0)),
            (one.1.min(other.1), one.1.max(other.1)),
        ]
    }

    /// Half of its width, in metres, without what is only touched.
    fn half(&self) -> f64 {
        self.width / 2.0 - SAME_POINT_M
    }

    /// Whether something that lies so across the strip is in it.
    fn is_within(&self, (left, right): (f64, f64)) -> bool {
        left < self.half() && right > -self.half()
    }

    /// How far it is free, in metres, for work that passes over whatever is low enough below the table.
    fn run<'s>(
        &self,
        ground: &RoomBoxes,
        table: Option<f64>,
        others: impl Iterator<Item = &'s StationSpot>,
    ) -> f64 {
        let half = self.half();
        let [(_, to_wall), _] = self.spans(&ground.room);
        let goes_out = ground.outside.iter().any(|door| {
            let [(near, far), (left, right)] = self.spans(door);
            near <= to_wall + SAME_POINT_M && far > to_wall && left <= -half && half <= right
        });
        let mut free = match goes_out {
            true => f64::INFINITY,
            false => to_wall,
        };
        let bodies = others.filter_map(|spot| spot.standing_body());
        let things = ground.things.iter().filter(|thing| thing.stands());
        for body in bodies.chain(things) {
            if table.is_some_and(|table| is_passed(&body.heights, table)) {
                continue;
            }
            let [(near, far), across] = self.spans(&body.area);
            let is_met = far > SAME_POINT_M && self.is_within(across);
            if is_met && near < free {
                free = near.max(0.0);
            }
        }
        free
    }
}
