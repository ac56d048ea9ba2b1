//! What is disliked about a spot, beside what the rules say: how far it is from what it works with, and how unlike what
//! is usual it would stand. Part of it is its own, part of it that of two spots together.

use super::ground::{RoomBoxes, Taken, common, has};
use super::habit::{Affinity, Belongs, PlaceSearch};
use super::spots::{StationSpot, TakenBox, ThrowBoxes, behind};
use crate::floor::{AxisBox, Placement, Plan, Point, SAME_POINT_M, Side};
use crate::shop::{PlaceId, StationId};

/// All in metres of the mean trip. The figures are this program's choice: pictures looked like shops with them.
const BACK_OFF_THE_WALL: f64 = 60.0;
const BACK_OFF_METRE: f64 = 1.0;
const OUT_OF_THE_CORNER_METRE: f64 = 0.5;
const FROM_THE_DOOR_METRE: f64 = 0.3;
const FROM_THE_MIDDLE_METRE: f64 = 0.25;
const ACROSS_THE_ROOM: f64 = 1.5;
const FED_INTO_A_WALL: f64 = 30.0;
const NARROW_METRE: f64 = 3.0;
const BEFORE_A_DOOR: f64 = 10.0;
const IN_THE_LINE: f64 = 6.0;
const DOOR_IN_THE_LINE: f64 = 6.0;
const IN_A_LEAF: f64 = 6.0;
const TRIP_METRE: f64 = 2.5;
const NOT_BEHIND: f64 = 8.0;
const NOT_BEHIND_METRE: f64 = 3.0;

/// A gap that is narrower is none, in metres, and nobody walks through one that is narrower than a person.
pub(super) const NO_GAP_M: f64 = 0.06;
const PERSON_M: f64 = 0.49;

/// What is wider is wide enough for a way out, and what is wider still for whoever carries something.
const WAY_OUT_M: f64 = 0.72;
const LOADED_M: f64 = 1.22;

/// In metres that are missing.
const DEAD_GAP: f64 = 0.12;
const FORBIDDEN_GAP: f64 = 1.5;
const NARROW_GAP: f64 = 0.25;

/// So much room is left behind a machine at least, whatever comes out of it, in metres.
const FED_OUT_M: f64 = 0.65;

/// So far into the room before a door nothing should stand.
const DOORWAY_M: f64 = 1.2;

/// A search with what is asked of it for every spot.
#[derive(Debug)]
pub(super) struct Likes<'a> {
    pub search: &'a PlaceSearch<'a>,
    pub ground: RoomBoxes,
    stations: usize,
    /// For each station, the share of all trips that lead to or from each place.
    trips: Vec<f64>,
    /// For each two stations, what belongs together.
    affinities: Vec<Option<Affinity>>,
    doors: Vec<LikedDoor>,
}

/// What is known of a door.
#[derive(Debug)]
struct LikedDoor {
    middle: Point,
    /// The opening itself.
    opening: Option<AxisBox>,
    /// The floor before it.
    before: Option<AxisBox>,
    /// The floor over which its leaf may swing, with half a person around it.
    leaf: Option<AxisBox>,
}

impl<'a> Likes<'a> {
    /// Nothing without a room.
    pub fn new(search: &'a PlaceSearch<'a>) -> Option<Likes<'a>> {
        let site = search.site;
        let stations = search.habits.len();
        let doors = site.premises.doors();
        let places = stations + doors.len();
        let mut trips = vec![0.0; stations * places];
        let all = search.trips();
        for leg in &search.flow.legs {
            for (one, other) in [(leg.from, leg.to), (leg.to, leg.from)] {
                if one != other && one.index() < stations {
                    trips[one.index() * places + other.index()] += leg.trips / all;
                }
            }
        }
        let mut affinities = vec![None; stations * stations];
        for affinity in search.affinities {
            let (one, other) = (affinity.one.index(), affinity.other.index());
            affinities[one * stations + other] = Some(*affinity);
            affinities[other * stations + one] = Some(*affinity);
        }
        let doors = doors.iter().zip(&site.doors).map(|(door, floor)| {
            let inner = floor.inward * DOORWAY_M;
            let (one, other) = door.between;
            let before = AxisBox::around([one, other, one + inner, other + inner]);
            let leaves = floor.leaves.iter().flatten();
            let corners = leaves.flat_map(|leaf| leaf.outline.corners().to_vec());
            let leaf = AxisBox::around(corners.collect::<Vec<Point>>());
            LikedDoor {
                middle: door.middle(),
                opening: AxisBox::around([one, other]),
                before: before.map(|before| before.grown(-1e-6)),
                leaf: leaf.map(|leaf| leaf.grown(PERSON_M / 2.0)),
            }
        });
        Some(Likes {
            ground: RoomBoxes::of(site)?,
            stations,
            trips,
            affinities,
            doors: doors.collect(),
            search,
        })
    }

    pub fn spot(&self, station: StationId, placement: Placement) -> StationSpot {
        StationSpot::new(
            self.search.site,
            station,
            placement,
            &self.search.habits[station],
        )
    }

    pub fn taken(&self) -> Taken {
        Taken {
            ground: self.ground.clone(),
            spots: Vec::new(),
        }
    }

    /// All that a plan places but one station.
    pub fn taken_without(&self, plan: &Plan, station: StationId) -> Taken {
        let mut taken = self.taken();
        for (other, placement) in plan.placements.enumerate() {
            if let Some(placement) = placement.filter(|_| other != station) {
                taken.spots.push((other, self.spot(other, placement)));
            }
        }
        taken
    }

    /// Of a spot beside all that is taken.
    pub fn dislike(&self, station: StationId, spot: &StationSpot, taken: &Taken) -> f64 {
        let others = taken.spots.iter();
        let others = others.map(|(other, at)| self.of_both((station, spot), (*other, at)));
        self.own(station, spot) + others.sum::<f64>()
    }

    /// The same with what all machines then take less than they should.
    pub fn dislike_with_takes(&self, station: StationId, spot: &StationSpot, taken: &Taken) -> f64 {
        let others = || taken.spots.iter().map(|(_, other)| other);
        let mut less = self.takes_less((station, spot), others());
        for (machine, fed) in taken.spots.iter().filter(|(_, other)| other.fed.is_some()) {
            let rest = taken.spots.iter().filter(|(other, _)| other != machine);
            let rest = rest.map(|(_, other)| other).chain([spot]);
            less += self.takes_less((*machine, fed), rest);
        }
        self.dislike(station, spot, taken) + less
    }

    fn share(&self, station: StationId, place: PlaceId) -> f64 {
        let places = self.stations + self.doors.len();
        self.trips[station.index() * places + place.index()]
    }

    /// Of a spot in the room alone.
    pub fn own(&self, station: StationId, spot: &StationSpot) -> f64 {
        let habit = &self.search.habits[station];
        let room = &self.ground.room;
        let middle = (room.low + room.high) * 0.5;
        let at = spot.placement.at;
        let body = spot
            .body
            .map_or(AxisBox { low: at, high: at }, |body| body.area);
        let elbow_room = self.search.elbow_room;
        let mut sum = 0.0;
        for (index, door) in self.doors.iter().enumerate() {
            let place = self.search.site.premises.door_place(index);
            sum += TRIP_METRE * self.share(station, place) * door.middle.distance(spot.stands);
        }
        match habit.belongs {
            _ if habit.follows.is_some() => {}
            Belongs::ToAWall => {
                let off = off_the_wall(room, spot, &body);
                sum += BACK_OFF_METRE * off;
                if off > NO_GAP_M {
                    sum += BACK_OFF_THE_WALL;
                }
            }
            Belongs::InTheOpen => {
                let off = at.distance(middle);
                sum += elbow_room * habit.fed_weight.max(1.0) * FROM_THE_MIDDLE_METRE * off;
            }
            Belongs::Anywhere => {}
        }
        if habit.corner {
            let off = |low: f64, high: f64| low.min(high).max(0.0);
            let x = off(body.low.x - room.low.x, room.high.x - body.high.x);
            let y = off(body.low.y - room.low.y, room.high.y - body.high.y);
            sum += OUT_OF_THE_CORNER_METRE * (x + y);
        }
        if habit.by_door {
            let away = self
                .doors
                .iter()
                .map(|door| door.middle.distance(spot.stands));
            sum += FROM_THE_DOOR_METRE * away.reduce(f64::min).unwrap_or(0.0);
        }
        let size = room.high - room.low;
        if let Some(side) = spot.placement.feed {
            let toward = spot.placement.turned(side.direction());
            let (along, across) = match toward.x.abs() > toward.y.abs() {
                true => (size.x, size.y),
                false => (size.y, size.x),
            };
            if along < across {
                sum += ACROSS_THE_ROOM;
            }
            if to_wall(room, &body, toward) < FED_OUT_M {
                sum += FED_INTO_A_WALL;
            }
        }
        if spot.standing_body().is_some() {
            let before = self.doors.iter().filter_map(|door| door.before);
            let before = before.filter(|before| before.meets(&body)).count();
            sum += BEFORE_A_DOOR * before as f64;
            sum += NARROW_METRE * narrow_to_walls(&body, room);
            let things = self.ground.things.iter().filter(|thing| thing.stands());
            sum += NARROW_METRE * things.map(|thing| narrow(&body, &thing.area)).sum::<f64>();
        }
        let leaves = self.doors.iter().filter_map(|door| door.leaf);
        sum += IN_A_LEAF * leaves.filter(|leaf| has(leaf, spot.stands)).count() as f64;
        if let Some(thrown) = &spot.thrown {
            let line = thrown.line.grown(SAME_POINT_M);
            let openings = self.doors.iter().filter_map(|door| door.opening);
            let met = openings.filter(|opening| line.meets(opening)).count();
            sum += DOOR_IN_THE_LINE * met as f64;
        }
        for free in &spot.wished_free {
            let things = self.ground.things.iter().filter(|thing| thing.stands());
            let crowded: f64 = things.map(|thing| common(&free.area, &thing.area)).sum();
            let outside = self.ground.beyond(&free.area, free.is_fed);
            sum += elbow_room * free.weight * (outside + crowded);
        }
        sum
    }

    /// What somebody would shake the head at: its back is to no wall though it belongs to one, what comes out of it runs
    /// into one, or it stands right before a door.
    pub fn oddities(&self, station: StationId, spot: &StationSpot) -> u32 {
        let Some(body) = spot.standing_body() else {
            return 0;
        };
        let room = &self.ground.room;
        let habit = &self.search.habits[station];
        let is_at_walls = habit.belongs == Belongs::ToAWall && habit.follows.is_none();
        let is_off = is_at_walls && off_the_wall(room, spot, &body.area) > NO_GAP_M;
        let is_fed_into = spot.fed.is_some_and(|fed| {
            let room_left = to_wall(room, &body.area, fed.toward);
            room_left < FED_OUT_M
        });
        let mut before = self.doors.iter().filter_map(|door| door.before);
        let is_in_the_way = before.any(|before| before.meets(&body.area));
        u32::from(is_off) + u32::from(is_fed_into) + u32::from(is_in_the_way)
    }

    /// Of two spots beside each other, whichever comes first.
    pub fn of_both(
        &self,
        (one, here): (StationId, &StationSpot),
        (other, there): (StationId, &StationSpot),
    ) -> f64 {
        let elbow_room = self.search.elbow_room;
        let mut sum = 0.0;
        let share = self.share(one, other.into());
        if share > 0.0 {
            sum += TRIP_METRE * share * here.stands.distance(there.stands);
        }
        if let Some(affinity) = &self.affinities[one.index() * self.stations + other.index()] {
            sum += affinity.cost(here.placement.at.distance(there.placement.at));
        }
        let habits = &self.search.habits;
        if habits[one].follows == Some(other) {
            sum += not_behind(here, there, self.search.grid.unit);
        } else if habits[other].follows == Some(one) {
            sum += not_behind(there, here, self.search.grid.unit);
        }
        if !here.is_near(there) {
            return sum;
        }
        let is_one = habits[one].follows == Some(other) || habits[other].follows == Some(one);
        if let (Some(body), Some(next), false) =
            (here.standing_body(), there.standing_body(), is_one)
        {
            sum += NARROW_METRE * narrow(&body.area, &next.area);
        }
        sum += elbow_room
            * (crowds(here, there.standing_body()) + crowds(there, here.standing_body()));
        sum + IN_THE_LINE * f64::from(throws(here, there))
    }
}

/// How often somebody at one of two spots works where the saw at the other one may throw a piece.
pub(super) fn throws(here: &StationSpot, there: &StationSpot) -> u32 {
    let is_hit = |thrown: &Option<ThrowBoxes>, place: Point| {
        thrown.is_some_and(|thrown| has(&thrown.people, place))
    };
    u32::from(is_hit(&here.thrown, there.stands)) + u32::from(is_hit(&there.thrown, here.stands))
}

/// How much of the floor that a spot would like to have free a body takes.
fn crowds(spot: &StationSpot, body: Option<&TakenBox>) -> f64 {
    let Some(body) = body else { return 0.0 };
    let free = spot.wished_free.iter();
    let free = free.filter(|free| !free.lets(&body.heights));
    free.map(|free| free.weight * common(&free.area, &body.area))
        .sum()
}

/// From the back of a body to the wall behind it.
fn off_the_wall(room: &AxisBox, spot: &StationSpot, body: &AxisBox) -> f64 {
    // What is fed away from who feeds it stands with a side to the wall.
    let backs: &[Side] = match spot.placement.feed {
        Some(Side::PlusY | Side::MinusY) => &[Side::PlusX, Side::MinusX],
        _ => &[Side::PlusY],
    };
    let off = backs.iter().map(|side| {
        let back = spot.placement.turned(side.direction());
        to_wall(room, body, back)
    });
    off.fold(f64::INFINITY, f64::min)
}

/// How far something is from where it would stand right behind a machine, with its front to it.
fn not_behind(spot: &StationSpot, machine: &StationSpot, unit: f64) -> f64 {
    let ideal = behind(&spot.placement, &machine.placement, unit);
    let off = spot.placement.at.distance(ideal);
    let is_turned = spot.placement.turn != machine.placement.turn;
    let is_off = is_turned || off > NO_GAP_M;
    NOT_BEHIND_METRE * off + if is_off { NOT_BEHIND } else { 0.0 }
}

/// From the side of a body that looks in a direction to the wall of the room there.
pub(super) fn to_wall(room: &AxisBox, body: &AxisBox, toward: Point) -> f64 {
    let off = match toward.x.abs() > toward.y.abs() {
        true if toward.x > 0.0 => room.high.x - body.high.x,
        true => body.low.x - room.low.x,
        false if toward.y > 0.0 => room.high.y - body.high.y,
        false => body.low.y - room.low.y,
    };
    off.max(0.0)
}

/// What a gap lacks, in metres: one that nobody gets through hardly matters, and through one that a person squeezes through
/// somebody will walk.
fn lacks(gap: f64) -> f64 {
    match gap {
        _ if gap <= NO_GAP_M || gap >= LOADED_M => 0.0,
        _ if gap < PERSON_M => DEAD_GAP,
        _ if gap < WAY_OUT_M => FORBIDDEN_GAP,
        _ => NARROW_GAP + 0.6 * (LOADED_M - gap),
    }
}

fn narrow_to_walls(body: &AxisBox, room: &AxisBox) -> f64 {
    lacks(body.low.x - room.low.x)
        + lacks(room.high.x - body.high.x)
        + lacks(body.low.y - room.low.y)
        + lacks(room.high.y - body.high.y)
}

/// Of two bodies side by side or corner to corner.
fn narrow(body: &AxisBox, other: &AxisBox) -> f64 {
    let gap = |low: f64, high: f64, by: f64, to: f64| (low - to).max(by - high).max(0.0);
    let x = gap(body.low.x, body.high.x, other.low.x, other.high.x);
    let y = gap(body.low.y, body.high.y, other.low.y, other.high.y);
    match (x == 0.0, y == 0.0) {
        (_, true) => lacks(x),
        (true, false) => lacks(y),
        (false, false) => lacks(libm::hypot(x, y)),
    }
}
