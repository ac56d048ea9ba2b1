//! How machines get from a door to where they stand: with everything else in its place, or with what stands aside.
//!
//! Looked for the other way around, from its place to the floor before the door, standing upright and in one piece. It
//! may first slide straight out of its place along what it touches.

use rayon::prelude::*;

use super::approach::{Floor, Tightest};
use super::passage::{Carrying, entrances};
use crate::floor::bisection::largest;
use crate::floor::hauling::{ConvexSolids, Haul, Lie, Placed, Rectangle};
use crate::floor::polygon::sin_cos_degrees;
use crate::floor::{HeightRange, Placement, Plan, Point, Premises, Room, SAME_POINT_M};
use crate::shop::{Station, StationId};

/// Halvings of the width that is looked for where a machine does not come in.
const HALVINGS: u32 = 5;
/// So far a machine slides straight out of its place, in metres: past what it stands close to.
const SLIDES_M: [f64; 4] = [0.05, 0.2, 0.6, 1.2];
/// Steps between two lies of a way in which it is looked what stands there.
const STEPS: u32 = 8;

/// What is known of how a machine comes in.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineWay {
    pub station: StationId,
    /// As it stands, in metres: the longer side first.
    pub size: (f64, f64),
    /// Index of the door of the room; nothing if none lets it by.
    pub door: Option<usize>,
    pub verdict: MachineVerdict,
    /// Where it is tightest; where it does not pass, for one that just does.
    pub tightest: Option<Tightest>,
}

/// Whether a machine gets to its place upright and in one piece.
#[derive(Debug, Clone, PartialEq)]
pub enum MachineVerdict {
    /// With everything else in its place.
    Passes,
    /// While these stations stand aside, all others in their places.
    WhileAside(Vec<StationId>),
    /// Not even with all other stations out of the way; one as long would up to this width, in metres.
    DoesNotPass { widest: Option<f64> },
    /// It is too wide for the doors, corners and stairs of every way in: by so many metres for the best of them.
    NoWayIn { missing: f64 },
    /// No way was found by a search that told places apart by so many metres.
    NotShown { resolution: f64 },
}

impl MachineVerdict {
    /// The better, the less.
    fn rank(&self) -> usize {
        match self {
            MachineVerdict::Passes => 0,
            MachineVerdict::WhileAside(aside) => aside.len(),
            MachineVerdict::NotShown { .. } => usize::MAX - 2,
            MachineVerdict::DoesNotPass { .. } => usize::MAX - 1,
            MachineVerdict::NoWayIn { .. } => usize::MAX,
        }
    }
}

/// Whether something comes in as it stands: what is fixed on walls or built of boards in its place does not.
fn comes_in(station: &Station) -> bool {
    const BUILT_IN: [&str; 8] = [
        "rack", "racks", "shelf", "shelves", "shelving", "board", "horses", "bin",
    ];
    let name = station.kind.unwrap_or(&station.name).to_lowercase();
    let words = name.split(|letter: char| !letter.is_alphabetic());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    // A cabinet saw is a saw.
    let is_cabinet = matches!(words.last(), Some(&("cabinet" | "cabinets")));
    // Several stand on one footprint, and nobody knows how.
    station.count == 1 && !is_cabinet && !words.iter().any(|word| BUILT_IN.contains(word))
}

/// How each machine comes in that has a footprint, in the file's order, and how many were not looked at: of more than
/// `most` only the widest are. None in a room without doors.
pub fn machine_ways(premises: Premises<'_>, plan: &Plan, most: usize) -> (Vec<MachineWay>, usize) {
    let Some(room) = premises.room.filter(|room| !room.doors.is_empty()) else {
        return (Vec::new(), 0);
    };
    let placed = plan.placements.enumerate();
    let mut machines: Vec<(StationId, &Placement)> = placed
        .filter(|(id, _)| comes_in(&premises.shop.stations[*id]))
        .filter_map(|(id, placement)| Some((id, placement.as_ref()?)))
        .filter(|(_, placement)| placement.size.0.min(placement.size.1) > 0.0)
        // What hangs is put up where it is.
        .filter(|(_, placement)| placement.heights.bottom <= 0.0)
        .collect();
    let untried = machines.len().saturating_sub(most);
    if untried > 0 {
        let sides = |placement: &Placement| {
            let (a, b) = placement.size;
            (a.min(b), a.max(b))
        };
        machines.sort_by(|(_, one), (_, other)| {
            let (one, other) = (sides(one), sides(other));
            other.0.total_cmp(&one.0).then(other.1.total_cmp(&one.1))
        });
        machines.truncate(most);
        machines.sort_by_key(|(id, _)| *id);
    }
    let found = machines.into_par_iter().filter_map(|(station, placement)| {
        let machine = Machine::new(station, placement);
        machine.comes_in(premises, plan, room)
    });
    (found.collect(), untried)
}

/// A machine in its place.
struct Machine {
    station: StationId,
    heights: HeightRange,
    rectangle: Rectangle,
    lie: Lie,
}

impl Machine {
    fn new(station: StationId, placement: &Placement) -> Machine {
        let (x, y) = placement.size;
        let (sin, cos) = sin_cos_degrees(placement.turn);
        let along = match x >= y {
            true => Point::new(cos, sin),
            false => Point::new(-sin, cos),
        };
        Machine {
            station,
            heights: placement.heights,
            rectangle: Rectangle {
                length: x.max(y),
                width: x.min(y),
            },
            lie: Lie {
                at: placement.at,
                turn: libm::atan2(along.y, along.x),
            },
        }
    }

    /// The best way; nothing where it stands in something else, which is told of elsewhere.
    fn comes_in(&self, premises: Premises<'_>, plan: &Plan, room: &Room) -> Option<MachineWay> {
        let Rectangle { length, width } = self.rectangle;
        let way = |door, verdict, tightest| MachineWay {
            station: self.station,
            size: (length, width),
            door,
            verdict,
            tightest,
        };
        let entrances = entrances(premises);
        let spares = entrances.iter().map(|entrance| {
            let spare = Carrying::upright(entrance, (length, width, self.heights.top));
            (entrance.door(), spare)
        });
        let spares: Vec<(usize, f64)> = spares.collect();
        let mut doors: Vec<usize> = (spares.iter())
            .filter(|(_, spare)| *spare >= -SAME_POINT_M)
            .map(|&(door, _)| door)
            .collect();
        doors.dedup();
        if doors.is_empty() {
            let spare = spares.iter().map(|&(_, spare)| spare);
            let missing = -spare.fold(f64::NEG_INFINITY, f64::max);
            let verdict = MachineVerdict::NoWayIn { missing };
            return Some(way(None, verdict, None));
        }
        let mut best: Option<MachineWay> = None;
        for door in doors {
            let (verdict, tightest) = self.through(plan, room, door)?;
            let is_better = |known: &MachineWay| verdict.rank() < known.verdict.rank();
            if best.as_ref().is_none_or(is_better) {
                best = Some(way(Some(door), verdict, tightest));
            }
            if (best.as_ref()).is_some_and(|best| best.verdict == MachineVerdict::Passes) {
                break;
            }
        }
        best
    }

    /// Through one door; nothing where the machine stands in something else.
    fn through(
        &self,
        plan: &Plan,
        room: &Room,
        door: usize,
    ) -> Option<(MachineVerdict, Option<Tightest>)> {
        let mut plan = plan.clone();
        let all: Vec<StationId> = plan.placements.ids().collect();
        // Itself, and what hangs above it wherever it goes.
        for &id in &all {
            let is_above = |other: &Placement| !other.heights.meets(&self.heights);
            if id == self.station || plan.placements[id].as_ref().is_some_and(is_above) {
                plan.placements[id] = None;
            }
        }
        let plan = &plan;
        let all = all.into_iter().filter(|id| plan.placements[*id].is_some());
        let all: Vec<StationId> = all.collect();
        let search = |aside: &[StationId], rectangle: Rectangle| {
            let mut plan = plan.clone();
            for &station in aside {
                plan.placements[station] = None;
            }
            let floor = Floor::new(&plan, room, &room.doors[door], 0.0);
            self.found(&floor, rectangle)
        };
        let (found, tightest) = search(&[], self.rectangle)?;
        if let Haul::Passes { .. } = found {
            return Some((MachineVerdict::Passes, tightest));
        }
        let (alone, tightest) = match all.is_empty() {
            true => (found, None),
            false => search(&all, self.rectangle)?,
        };
        let way = match alone {
            Haul::Passes { way, .. } => way,
            Haul::NotShown { resolution } => {
                return Some((MachineVerdict::NotShown { resolution }, None));
            }
            Haul::DoesNotPass => {
                let passing = |width: f64| {
                    let rectangle = Rectangle {
                        width,
                        ..self.rectangle
                    };
                    match search(&all, rectangle) {
                        Some((Haul::Passes { .. }, tightest)) => Some(tightest),
                        _ => None,
                    }
                };
                let least = self.rectangle.width / 4.0;
                let widest = passing(least).map(|tightest| {
                    largest((least, self.rectangle.width), tightest, HALVINGS, passing)
                });
                let (widest, tightest) = widest.unzip();
                let verdict = MachineVerdict::DoesNotPass { widest };
                return Some((verdict, tightest.flatten()));
            }
        };
        let passes = |aside: &[StationId]| match search(aside, self.rectangle) {
            Some((Haul::Passes { .. }, tightest)) => Some(tightest),
            _ => None,
        };
        // What stands on that way, or else everything; of which each goes back to its place that is in nobody's way.
        let mut aside = self.on_the_way(plan, &all, &way);
        let mut narrow = match passes(&aside) {
            Some(found) => found,
            None => {
                aside = all;
                tightest
            }
        };
        for station in aside.clone() {
            let fewer: Vec<StationId> = (aside.iter().copied())
                .filter(|&other| other != station)
                .collect();
            if let Some(found) = passes(&fewer) {
                (aside, narrow) = (fewer, found);
            }
        }
        Some((MachineVerdict::WhileAside(aside), narrow))
    }

    /// The way out through the door; nothing where the machine stands in something else.
    fn found(&self, floor: &Floor, rectangle: Rectangle) -> Option<(Haul, Option<Tightest>)> {
        if floor.gap(rectangle, self.lie) < -SAME_POINT_M {
            return None;
        }
        Some(floor.leave(rectangle, self.slid(floor, rectangle)))
    }

    /// Where the machine may begin: in its place, and wherever it slides to straight from there, along one of its sides
    /// or first along one and then along the other, touching nothing or only along its sides.
    fn slid(&self, floor: &Floor, rectangle: Rectangle) -> Vec<Lie> {
        let along = Point::new(libm::cos(self.lie.turn), libm::sin(self.lie.turn));
        let directions = [(along, true), (along.left(), false)];
        let slide = |from: Lie, (direction, is_long): (Point, bool), far: f64| {
            let Rectangle { length, width } = rectangle;
            let swept = match is_long {
                true => Rectangle {
                    length: length + far.abs(),
                    width,
                },
                false => Rectangle {
                    length,
                    width: width + far.abs(),
                },
            };
            let middle = Lie {
                at: from.at + direction * (far / 2.0),
                ..from
            };
            (floor.gap(swept, middle) >= -SAME_POINT_M).then(|| Lie {
                at: from.at + direction * far,
                ..from
            })
        };
        let both_ways = || SLIDES_M.into_iter().flat_map(|far| [far, -far]);
        let mut lies = vec![self.lie];
        for (one, other) in [(0, 1), (1, 0)] {
            for far in both_ways() {
                let Some(first) = slide(self.lie, directions[one], far) else {
                    continue;
                };
                lies.push(first);
                let second = both_ways().filter_map(|far| slide(first, directions[other], far));
                lies.extend(second);
            }
        }
        lies
    }

    /// The stations that a way leads over.
    fn on_the_way(&self, plan: &Plan, stations: &[StationId], way: &[Lie]) -> Vec<StationId> {
        let half_turn = std::f64::consts::PI;
        let pairs = way.windows(2).map(|pair| (pair[0], pair[1]));
        let lies = pairs.flat_map(|(from, to)| {
            // The shorter way from turn to turn, of which half a turn is the same again.
            let turned =
                (to.turn - from.turn + half_turn / 2.0).rem_euclid(half_turn) - half_turn / 2.0;
            (0..=STEPS).map(move |step| {
                let share = f64::from(step) / f64::from(STEPS);
                Lie {
                    at: from.at + (to.at - from.at) * share,
                    turn: from.turn + turned * share,
                }
            })
        });
        let lies: Vec<Lie> = lies.chain([self.lie]).collect();
        let is_on = |station: &&StationId| {
            let placement = plan.placements[**station].as_ref();
            let Some(outline) = placement.and_then(Placement::footprint) else {
                return false;
            };
            let mut only = ConvexSolids::new();
            only.add(**station, &outline);
            let mut lies = lies.iter();
            lies.any(|&lie| only.gap(&Placed::new(self.rectangle, lie)) < 0.0)
        };
        stations.iter().filter(is_on).copied().collect()
    }
}
