//! How what is brought in gets from a door to where it is kept, and what is finished from where it is made to a door.

use rayon::prelude::*;

use super::passage::{Carrying, Entrance, entrances};
use super::pieces::{brought, finished, items};
use crate::floor::access::{Carriers, Effort};
use crate::floor::bisection::largest;
use crate::floor::finding::{Cargo, Direction, Grade};
use crate::floor::hauling::{ConvexSolids, Destination, Haul, Hauling, Lie, Placed, Rectangle};
use crate::floor::polygon::place_on_edge;
use crate::floor::{Door, Obstacle, Plan, Point, Polygon, Premises, Room};
use crate::shop::{ItemKind, PlaceId, Size};

/// Walls without a door are taken to be so thick, in metres: nothing behind them is looked at.
const WALL: f64 = 0.1;
/// How near a piece begins to the wall outside, in metres.
const CLEAR: f64 = 0.05;
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
    /// Where it is kept or made.
    pub place: PlaceId,
    /// Index of the door of the room.
    pub door: usize,
    pub verdict: IndoorVerdict,
    /// Where it is tightest; where a piece does not pass, for one that just does.
    pub tightest: Option<Tightest>,
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

/// The narrowest place of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightest {
    pub at: Point,
    /// The two things that are nearest there, if there are two.
    pub between: Option<[Obstacle; 2]>,
    /// What is left to each of them, in metres.
    pub spare: f64,
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
    let find = |index: &usize| found(plan, room, &carrying, &loads[*index]);
    let of_first: Vec<Option<IndoorWay>> = first.par_iter().map(find).collect();
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
    let of_rest: Vec<Option<IndoorWay>> = rest.par_iter().map(find).collect();
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
        |place: &PlaceId| place.index() < plan.placements.len() && plan.standing(*place).is_some();
    let material_at = |cargo: &Cargo| -> Vec<PlaceId> {
        let all = premises.ordered().flat_map(|(project, of)| {
            items(of).filter_map(move |(id, item)| match item.kind {
                ItemKind::Part { material_at } => Some((project, id, material_at)),
                ItemKind::Assembly { .. } => None,
            })
        });
        let of_cargo = all.filter(|(project, id, _)| match cargo {
            // Nobody says where it is kept: where any material is.
            Cargo::Stock(_) => true,
            Cargo::CutInto(parts) => parts.contains(&(*project, *id)),
            Cargo::Item(of, item) => (of, item) == (project, id),
        });
        let mut places: Vec<PlaceId> = of_cargo.map(|(.., place)| place).collect();
        places.retain(is_placed);
        places.sort();
        places.dedup();
        places
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
        for place in material_at(&piece.cargo) {
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
            let place = PlaceId::from(made.station);
            if !is_placed(&place) {
                continue;
            }
            // Delivered to a station, it stays in the room.
            let stations = premises.shop.stations.len();
            let door = item
                .deliver_to
                .map(|place| place.index().checked_sub(stations));
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

/// The best way of a load through one of its doors; nothing if no door lets it by, which is told of elsewhere.
fn found(
    plan: &Plan,
    room: &Room,
    carrying: &Carrying<'_>,
    load: &IndoorLoad,
) -> Option<IndoorWay> {
    let standing = plan.standing(load.place)?;
    let goal = Destination {
        point: standing,
        reach: REACH,
        // Through a wall nobody reaches anything.
        room: Some(&room.outline),
    };
    let mut best: Option<(usize, IndoorVerdict, Option<Tightest>)> = None;
    for &index in &load.doors {
        let door = &room.doors[index];
        let (verdict, tightest) = through(plan, room, door, carrying, load, goal);
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
    })
}

/// Through one door: with those who carry, then alone, and then how long it may be.
fn through(
    plan: &Plan,
    room: &Room,
    door: &Door,
    carrying: &Carrying<'_>,
    load: &IndoorLoad,
    goal: Destination<'_>,
) -> (IndoorVerdict, Option<Tightest>) {
    let sides = load.sides();
    let (_, thickness) = carrying.held(sides);
    let floor = Floor::new(plan, room, door);
    let search = |carriers: Carriers, length: f64| {
        let (length, width) = carriers.with(length, thickness);
        floor.haul(Rectangle { length, width }, goal)
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
            let (least, most) = floor.bounds;
            let at_most = sides[2].min(least.distance(most));
            let (longest, tightest) = largest((shortest, at_most), at_least, HALVINGS, passing);
            let longest = Some(longest);
            (IndoorVerdict::DoesNotPass { longest }, tightest)
        }
    }
}

/// What stands on the floor and in the walls, with one door open, and what lies before that door.
struct Floor {
    solids: ConvexSolids<Obstacle>,
    /// The middle of the opening on the outer face of the wall, and the directions out of the room and along the wall.
    threshold: Point,
    outward: Point,
    corridor: Option<f64>,
    /// The least and the greatest coordinates of the room.
    bounds: (Point, Point),
}

impl Floor {
    fn new(plan: &Plan, room: &Room, door: &Door) -> Floor {
        let mut solids = ConvexSolids::new();
        for (obstacle, outline) in plan.obstacles() {
            solids.add(obstacle, &outline);
        }
        let mut outward = Point::new(0.0, -1.0);
        for edge in room.outline.edges() {
            let along = (edge.1 - edge.0) * (1.0 / edge.0.distance(edge.1));
            let out = along.left() * -1.0;
            let block = |from: f64, to: f64, thick: f64| {
                let (from, to) = (edge.0 + along * from, edge.0 + along * to);
                Polygon::new(&[from, to, to + out * thick, from + out * thick]).ok()
            };
            let length = edge.0.distance(edge.1);
            let blocks = match place_on_edge(edge, door.between) {
                Some((first, last)) => {
                    outward = out;
                    let thick = door.wall.max(WALL);
                    [block(0.0, first, thick), block(last, length, thick)]
                }
                None => [block(0.0, length, WALL), None],
            };
            for block in blocks.iter().flatten() {
                solids.add(Obstacle::Wall, block);
            }
        }
        let threshold = door.middle() + outward * door.wall;
        if let Some(corridor) = door.corridor {
            // The far wall of a corridor, longer than any piece is.
            const LONG: f64 = 30.0;
            let (near, along) = (threshold + outward * corridor, outward.left());
            let corners = [
                near - along * LONG,
                near + along * LONG,
                near + along * LONG + outward * WALL,
                near - along * LONG + outward * WALL,
            ];
            if let Ok(wall) = Polygon::new(&corners) {
                solids.add(Obstacle::Wall, &wall);
            }
        }
        Floor {
            solids,
            threshold,
            outward,
            corridor: door.corridor,
            bounds: room.outline.bounds(),
        }
    }

    /// How a rectangle may lie before the door: straight before it, or along the corridor on either side.
    fn first_lies(&self, rectangle: Rectangle) -> Vec<Lie> {
        let turn_of = |direction: Point| libm::atan2(direction.y, direction.x);
        match self.corridor {
            None => vec![Lie {
                at: self.threshold + self.outward * (rectangle.length / 2.0 + CLEAR),
                turn: turn_of(self.outward),
            }],
            Some(corridor) => {
                let along = self.outward.left();
                let aside = rectangle.length / 2.0 + rectangle.width + CLEAR;
                [-aside, aside]
                    .map(|aside| Lie {
                        at: self.threshold + self.outward * (corridor / 2.0) + along * aside,
                        turn: turn_of(along),
                    })
                    .to_vec()
            }
        }
    }

    /// Whether a rectangle gets from before the door to a goal, and where it is tightest.
    fn haul(&self, rectangle: Rectangle, goal: Destination<'_>) -> (Haul, Option<Tightest>) {
        let from = self.first_lies(rectangle);
        let (mut least, mut most) = self.bounds;
        for Lie { at, .. } in &from {
            least = Point::new(least.x.min(at.x - CLEAR), least.y.min(at.y - CLEAR));
            most = Point::new(most.x.max(at.x + CLEAR), most.y.max(at.y + CLEAR));
        }
        let haul = Hauling::new(&self.solids, rectangle, from, (least, most)).to(goal);
        let tightest = match &haul {
            Haul::Passes {
                tightest, spare, ..
            } => {
                let near = self.solids.nearest(&Placed::new(rectangle, *tightest));
                let between = match near.as_slice() {
                    [one, other, ..] => Some([*one, *other]),
                    _ => None,
                };
                Some(Tightest {
                    at: tightest.at,
                    between,
                    spare: *spare,
                })
            }
            Haul::DoesNotPass | Haul::NotShown { .. } => None,
        };
        (haul, tightest)
    }
}
