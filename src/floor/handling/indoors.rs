//! How what is brought in gets from a door to where it is kept and to where work on it begins, and what is finished from
//! where it is made to a door.
//!
//! What gets from a door to two places gets from one of them to the other as well, past the door.

use rayon::prelude::*;

use super::approach::{Approach, Floor, Tightest};
use super::passage::{Carrying, Entrance, entrances};
use super::pieces::{brought, comes_as, finished, items};
use crate::floor::access::{Carriers, Effort};
use crate::floor::bisection::largest;
use crate::floor::finding::{Cargo, Direction, Grade};
use crate::floor::hauling::{Destination, Haul, Rectangle};
use crate::floor::{Obstacle, Plan, Premises, Room};
use crate::shop::{Choice, PlaceId, PlaceKind, Size};

/// Whoever stands at a station reaches so far, in metres: a small forward grip reach (25.8 in, the 5th percentile of
/// women in Pheasant, Bodyspace, 1996).
const REACH: f64 = 0.65;
/// Halvings of the length that is looked for where a piece does not pass.
const HALVINGS: u32 = 5;

/// What is known of the way of a piece through the room.
#[derive(Debug, Clone, PartialEq)]
pub struct IndoorWay {
    pub cargo: Cargo,
    pub size: Size,
    pub direction: Direction,
    /// Where it is kept, where work on it begins, or where it is made.
    pub place: PlaceId,
    /// Index of the door of the room.
    pub door: usize,
    pub verdict: IndoorVerdict,
    /// Where it is tightest; where a piece does not pass, for one that just does.
    pub tightest: Option<Tightest>,
    /// What stands right before the door, where it is not shown that the piece passes.
    pub closed_by: Option<Obstacle>,
}

/// Whether a piece gets there, at the height of what stands about: over something lower it may go as well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IndoorVerdict {
    /// With whoever carries it.
    Passes,
    /// The piece alone, with nobody beside it.
    OnlyAlone,
    /// Not even alone; a piece as wide and thick would up to this length, in metres.
    DoesNotPass { longest: Option<f64> },
    /// No way was found by a search that told places apart by so many metres.
    NotShown { resolution: f64 },
}

impl IndoorVerdict {
    /// The better, the less.
    fn rank(self) -> u8 {
        match self {
            IndoorVerdict::Passes => 0,
            IndoorVerdict::OnlyAlone => 1,
            IndoorVerdict::NotShown { .. } => 2,
            IndoorVerdict::DoesNotPass { .. } => 3,
        }
    }
}

/// Something that has to get through the room.
struct IndoorLoad {
    cargo: Cargo,
    size: Size,
    mass: Option<f64>,
    direction: Direction,
    place: PlaceId,
    /// The doors that it may go through.
    doors: Vec<usize>,
}

impl IndoorLoad {
    /// From the least to the greatest.
    fn sides(&self) -> [f64; 3] {
        let mut sides = [self.size.length, self.size.width, self.size.thickness];
        sides.sort_by(f64::total_cmp);
        sides
    }

    /// Whether a search for its way begins like that for another one.
    fn begins_like(&self, other: &IndoorLoad) -> bool {
        self.sides() == other.sides() && self.mass == other.mass && self.doors == other.doors
    }

    /// Whether it is no larger than another one that goes the same way.
    fn is_within(&self, other: &IndoorLoad) -> bool {
        let same = self.direction == other.direction
            && self.place == other.place
            && self.doors == other.doors;
        let mut sides = self.sides().into_iter().zip(other.sides());
        same && sides.all(|(own, other)| own <= other)
    }
}

/// The ways of all that is brought in and of all that is finished, as far as sizes are known, and how many were not
/// looked for: of more than `most` loads only the largest are. What is no larger than something that passes to the same
/// place is left out.
pub fn indoor_ways(premises: Premises<'_>, plan: &Plan, most: usize) -> (Vec<IndoorWay>, usize) {
    let Some(room) = premises.room else {
        return (Vec::new(), 0);
    };
    let ways = entrances(premises);
    let carrying = Carrying {
        effort: Effort::Coarse,
        measure: false,
        ..Carrying::of(premises)
    };
    let loads = loads(premises, plan, &carrying, &ways);
    // What contains others is looked at first: the others only matter where it does not pass.
    let is_largest = |index: &usize| {
        let load = &loads[*index];
        let contains = |(at, other): (usize, &IndoorLoad)| {
            at != *index && load.is_within(other) && (at < *index || !other.is_within(load))
        };
        !loads.iter().enumerate().any(contains)
    };
    let (mut first, rest): (Vec<usize>, Vec<usize>) = (0..loads.len()).partition(is_largest);
    let untried = first.len().saturating_sub(most);
    if untried > 0 {
        let around = |index: &usize| loads[*index].sides().iter().sum::<f64>();
        first.sort_by(|one, other| around(other).total_cmp(&around(one)));
        first.truncate(most);
        first.sort_unstable();
    }
    let find = |these: &[usize]| {
        let these: Vec<&IndoorLoad> = these.iter().map(|&index| &loads[index]).collect();
        find_all(plan, room, &carrying, &these)
    };
    let of_first = find(&first);
    let is_known = |index: &usize| {
        let mut passing = first.iter().zip(&of_first);
        passing.any(|(&larger, way)| {
            let passes = way
                .as_ref()
                .is_some_and(|way| way.verdict == IndoorVerdict::Passes);
            passes && loads[*index].is_within(&loads[larger])
        })
    };
    // Others may lie within one that was not tried.
    let rest = match untried {
        0 => rest,
        _ => Vec::new(),
    };
    let rest: Vec<usize> = rest.into_iter().filter(|index| !is_known(index)).collect();
    let of_rest = find(&rest);
    let found = of_first.into_iter().chain(of_rest).flatten();
    (found.collect(), untried)
}

fn loads(
    premises: Premises<'_>,
    plan: &Plan,
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
) -> Vec<IndoorLoad> {
    let is_placed =
        |place: &PlaceId| plan.station_at(*place).is_some() && plan.standing(*place).is_some();
    let material_at = |cargo: &Cargo| -> Vec<PlaceId> {
        let all = premises.ordered().flat_map(|(project, of)| {
            items(of).filter_map(move |(id, item)| Some((project, id, item.lies_at()?)))
        });
        let of_cargo = all.filter(|(project, id, _)| match cargo {
            // Nobody says where it is kept: where any material is.
            Cargo::Stock(_) => true,
            Cargo::CutInto(parts) => parts.contains(&(*project, *id)),
            Cargo::Item(of, item) => (of, item) == (project, id),
        });
        of_cargo.map(|(.., place)| place).collect()
    };
    // Where the first step of whatever comes in that size is done.
    let begun_at = |size: Size| {
        let all = (premises.ordered()).flat_map(|(_, of)| items(of).map(|(_, item)| item));
        let first = all
            .filter(move |item| item.lies_at().is_some() && comes_as(item) == Some(size))
            .filter_map(|item| item.route.first()?.choices.first());
        first.map(Choice::place)
    };
    let through = |size: Size, mass: Option<f64>, only: Option<usize>| -> Vec<usize> {
        let sides = [size.length, size.width, size.thickness];
        let passing = ways
            .iter()
            .filter(|way| carrying.along(way, sides, mass).grade <= Grade::Unknown);
        let mut doors: Vec<usize> = passing.map(Entrance::door).collect();
        doors.retain(|door| only.is_none_or(|only| *door == only));
        doors.sort_unstable();
        doors.dedup();
        doors
    };
    let mut loads = Vec::new();
    for piece in brought(premises) {
        let mut places = material_at(&piece.cargo);
        places.extend(begun_at(piece.size));
        places.retain(is_placed);
        places.sort();
        places.dedup();
        for place in places {
            loads.push(IndoorLoad {
                doors: through(piece.size, piece.mass, None),
                cargo: piece.cargo.clone(),
                size: piece.size,
                mass: piece.mass,
                direction: Direction::In,
                place,
            });
        }
    }
    for (project_id, project) in premises.ordered() {
        for (id, item) in items(project) {
            let made = item.route.last().and_then(|step| step.choices.first());
            let (None, Some(size), Some(made)) = (item.goes_into, item.finished, made) else {
                continue;
            };
            let place = made.place();
            if !is_placed(&place) {
                continue;
            }
            // Delivered to a station, it stays in the room.
            let door = item.deliver_to.map(|place| match plan.place_kind(place) {
                PlaceKind::Door(door) => Some(door),
                PlaceKind::Station(_) | PlaceKind::WorkStand(_) => None,
            });
            let mass = finished(project, item).map(|finished| finished.mass);
            let doors = match door {
                Some(None) => continue,
                Some(only) => through(size, mass, only),
                None => through(size, mass, None),
            };
            loads.push(IndoorLoad {
                cargo: Cargo::Item(project_id, id),
                size,
                mass,
                direction: Direction::Out,
                place,
                doors,
            });
        }
    }
    loads
}

/// The way of each load, if it has one. Loads of one size through the same doors are looked for together, since their
/// searches begin alike.
fn find_all(
    plan: &Plan,
    room: &Room,
    carrying: &Carrying<'_>,
    loads: &[&IndoorLoad],
) -> Vec<Option<IndoorWay>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (number, load) in loads.iter().enumerate() {
        let is_like = |group: &&mut Vec<usize>| loads[group[0]].begins_like(load);
        match groups.iter_mut().find(is_like) {
            Some(group) => group.push(number),
            None => groups.push(vec![number]),
        }
    }
    let of_group = |group: &Vec<usize>| {
        let first = loads[group[0]];
        let sides = first.sides();
        let (_, thickness) = carrying.held(sides);
        let carriers = carrying.carriers(sides, first.mass);
        let rectangles = carriers.into_iter().chain([Carriers::Unseen]).map(|who| {
            let (length, width) = who.with(sides[2], thickness);
            Rectangle { length, width }
        });
        let rectangles: Vec<Rectangle> = rectangles.collect();
        let doors = first.doors.iter().map(|&door| &room.doors[door]);
        let over = carrying.passes_over(sides);
        let floors = doors.map(|door| Floor::new(plan, room, door, over));
        let floors: Vec<Floor> = floors.collect();
        let approaches: Vec<Approach<'_>> = (floors.iter())
            .map(|floor| Approach::new(floor, &rectangles))
            .collect();
        let each = group.par_iter().map(|&number| {
            let way = found(plan, room, carrying, loads[number], &approaches);
            (number, way)
        });
        each.collect::<Vec<(usize, Option<IndoorWay>)>>()
    };
    let mut ways: Vec<(usize, Option<IndoorWay>)> = groups.par_iter().flat_map(of_group).collect();
    ways.sort_by_key(|&(number, _)| number);
    ways.into_iter().map(|(_, way)| way).collect()
}

/// The best way of a load through one of its doors; nothing if no door lets it by, which is told of elsewhere.
fn found(
    plan: &Plan,
    room: &Room,
    carrying: &Carrying<'_>,
    load: &IndoorLoad,
    approaches: &[Approach<'_>],
) -> Option<IndoorWay> {
    let standing = plan.standing(load.place)?;
    let goal = Destination {
        point: standing,
        reach: REACH,
        // Through a wall nobody reaches anything.
        room: Some(&room.outline),
    };
    let mut best: Option<(usize, IndoorVerdict, Option<Tightest>)> = None;
    for (&index, approach) in load.doors.iter().zip(approaches) {
        let (verdict, tightest) = through(approach, carrying, load, goal);
        if best
            .as_ref()
            .is_none_or(|(_, known, _)| verdict.rank() < known.rank())
        {
            best = Some((index, verdict, tightest));
        }
        if verdict == IndoorVerdict::Passes {
            break;
        }
    }
    let (door, verdict, tightest) = best?;
    Some(IndoorWay {
        cargo: load.cargo.clone(),
        size: load.size,
        direction: load.direction,
        place: load.place,
        door,
        verdict,
        tightest,
        closed_by: match verdict {
            IndoorVerdict::Passes | IndoorVerdict::OnlyAlone => None,
            IndoorVerdict::DoesNotPass { .. } | IndoorVerdict::NotShown { .. } => {
                plan.stands_before(&room.doors[door])
            }
        },
    })
}

/// Through one door: with those who carry, then alone, and then how long it may be.
fn through(
    approach: &Approach<'_>,
    carrying: &Carrying<'_>,
    load: &IndoorLoad,
    goal: Destination<'_>,
) -> (IndoorVerdict, Option<Tightest>) {
    let sides = load.sides();
    let (_, thickness) = carrying.held(sides);
    let search = |carriers: Carriers, length: f64| {
        let (length, width) = carriers.with(length, thickness);
        approach.haul(Rectangle { length, width }, goal)
    };
    let mut alone = None;
    for who in carrying.carriers(sides, load.mass) {
        let found = search(who, sides[2]);
        if let (Haul::Passes { .. }, tightest) = found {
            return (IndoorVerdict::Passes, tightest);
        }
        // A narrow board takes no room but its own.
        if who == Carriers::Unseen {
            alone = Some(found);
        }
    }
    match alone.unwrap_or_else(|| search(Carriers::Unseen, sides[2])) {
        (Haul::Passes { .. }, tightest) => (IndoorVerdict::OnlyAlone, tightest),
        (Haul::NotShown { resolution }, _) => (IndoorVerdict::NotShown { resolution }, None),
        (Haul::DoesNotPass, _) => {
            let passing = |length: f64| match search(Carriers::Unseen, length) {
                (Haul::Passes { .. }, tightest) => Some(tightest),
                _ => None,
            };
            let shortest = sides[1].min(sides[2]);
            let Some(at_least) = passing(shortest) else {
                return (IndoorVerdict::DoesNotPass { longest: None }, None);
            };
            // Nothing longer than the room is wide from corner to corner lies in it.
            let (least, most) = approach.bounds();
            let at_most = sides[2].min(least.distance(most));
            let (longest, tightest) = largest((shortest, at_most), at_least, HALVINGS, passing);
            let longest = Some(longest);
            (IndoorVerdict::DoesNotPass { longest }, tightest)
        }
    }
}
