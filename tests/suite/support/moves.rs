//! Moves as a search for a layout tries them: most shift one station a little.

use shopstride::floor::{Flow, Placement, Plan, Point, Pose};
use shopstride::shop::StationId;

/// Numbers from 0 to 1, the same at every run: the additive step and the mixing of SplitMix64.
pub struct Spread(pub u64);

impl Spread {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn index(&mut self, count: usize) -> usize {
        ((self.next() * count as f64) as usize).min(count - 1)
    }

    /// Whole steps of 3 in, up to so many to either side.
    fn steps(&mut self, most: usize) -> f64 {
        (self.index(2 * most + 1) as f64 - most as f64) * STEP
    }
}

/// Metres: 3 in.
const STEP: f64 = 0.0762;

const QUARTERS: [f64; 4] = [0.0, 90.0, 180.0, 270.0];

/// A move of the mix that a search uses. Everything must be placed.
pub fn typical(spread: &mut Spread, plan: &Plan, flow: &Flow) -> Vec<(StationId, Pose)> {
    let stations: Vec<StationId> = plan.placements.ids().collect();
    let placed = |station: StationId| plan.placements[station].as_ref().expect("it is placed");
    let pose = |station: StationId| Pose {
        at: placed(station).at,
        turn: placed(station).turn,
    };
    let station = stations[spread.index(stations.len())];
    let other = stations[spread.index(stations.len())];
    let here = pose(station);
    let turn = QUARTERS[spread.index(4)];
    let room = plan.room.as_ref().expect("a room").outline.bounds();
    let one = |pose: Pose| vec![(station, pose)];
    match (spread.next() * 100.0) as u32 {
        // A shift on the grid.
        0..38 => {
            let by = Point::new(spread.steps(4), spread.steps(4));
            one(Pose {
                at: here.at + by,
                ..here
            })
        }
        // To one of those with which it has most to do.
        38..53 => {
            let mut partners = flow.legs.iter().filter_map(|leg| {
                let ends = [leg.from.index(), leg.to.index()];
                let at = ends.iter().position(|&end| end == station.index())?;
                let partner = ends[1 - at];
                Some((*stations.get(partner)?, leg.trips))
            });
            let first = partners.next();
            let best = first.map(|first| {
                partners.fold(
                    first,
                    |best, next| if next.1 > best.1 { next } else { best },
                )
            });
            let partner = best.map_or(other, |(partner, _)| partner);
            let by = Point::new(spread.steps(30), spread.steps(30));
            one(Pose {
                at: pose(partner).at + by,
                turn,
            })
        }
        // To a wall.
        53..63 => {
            let half = half(placed(station), turn);
            let (low, high) = (room.0 + half, room.1 - half);
            let at = match spread.index(4) {
                0 => Point::new(low.x, here.at.y),
                1 => Point::new(high.x, here.at.y),
                2 => Point::new(here.at.x, low.y),
                _ => Point::new(here.at.x, high.y),
            };
            one(Pose { at, turn })
        }
        // Beside another one.
        63..73 => {
            let beside = half(placed(station), here.turn) + half(placed(other), placed(other).turn);
            let there = placed(other).at;
            let at = match spread.index(4) {
                0 => Point::new(there.x + beside.x, here.at.y),
                1 => Point::new(there.x - beside.x, here.at.y),
                2 => Point::new(here.at.x, there.y + beside.y),
                _ => Point::new(here.at.x, there.y - beside.y),
            };
            one(Pose { at, ..here })
        }
        // Two change places.
        73..83 => {
            let there = pose(other);
            match station == other {
                true => one(Pose { turn, ..here }),
                false => vec![(station, there), (other, here)],
            }
        }
        83..91 => one(Pose { turn, ..here }),
        // Two go together.
        91..96 => {
            let by = Point::new(spread.steps(8), spread.steps(8));
            let shifted = |station: StationId| {
                let here = pose(station);
                (
                    station,
                    Pose {
                        at: here.at + by,
                        ..here
                    },
                )
            };
            match station == other {
                true => vec![shifted(station)],
                false => vec![shifted(station), shifted(other)],
            }
        }
        // Anywhere.
        _ => {
            let size = room.1 - room.0;
            let at = room.0 + Point::new(size.x * spread.next(), size.y * spread.next());
            one(Pose { at, turn })
        }
    }
}

/// Half of what a station measures along x and y when it is turned by quarters.
fn half(placement: &Placement, turn: f64) -> Point {
    let (x, y) = placement.size;
    match turn % 180.0 == 0.0 {
        true => Point::new(x / 2.0, y / 2.0),
        false => Point::new(y / 2.0, x / 2.0),
    }
}
