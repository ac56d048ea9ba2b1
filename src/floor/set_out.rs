//! Where everything stands by its distances from walls, as one tapes it on the floor.

use super::tolerance::IN_THE_WALL_M;
use super::{Placement, Plan, Point, Room, SAME_POINT_M};
use crate::shop::StationId;

/// Walls of which one is measured from both should not run nearly the same way: the sine of the angle between them.
const ACROSS: f64 = 0.7;

/// A wall: an edge of the room's outline, which has the room to its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallLine {
    pub from: Point,
    pub to: Point,
}

impl WallLine {
    /// In metres.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    fn along(&self) -> Point {
        (self.to - self.from) * (1.0 / self.length())
    }

    /// Square off the wall to a place, in metres; negative behind the wall.
    pub fn distance(&self, place: Point) -> f64 {
        self.along().cross(place - self.from)
    }

    /// How far along the wall a place lies, in metres from its beginning.
    pub fn abreast(&self, place: Point) -> f64 {
        self.along().dot(place - self.from)
    }

    /// The place of the wall's line from which one measures square to a place.
    pub fn foot(&self, place: Point) -> Point {
        self.from + self.along() * self.abreast(place)
    }

    /// Whether the wall is there, and not behind the place, where one measures from it.
    fn is_beside(&self, place: Point) -> bool {
        let at = self.abreast(place);
        at >= -SAME_POINT_M
            && at <= self.length() + SAME_POINT_M
            && self.distance(place) >= -SAME_POINT_M
    }
}

/// A place by its distances from two walls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapedPlace {
    pub at: Point,
    /// Square off each of the walls, in metres.
    pub distances: [f64; 2],
    /// Whether a tape reaches it straight from that wall; otherwise the wall's line has to be prolonged.
    pub is_direct: [bool; 2],
}

/// Something that is measured from two walls.
#[derive(Debug, Clone, PartialEq)]
pub struct SetOut {
    /// Indices of the walls.
    pub walls: [usize; 2],
    /// Corners counter-clockwise, from the one that is nearest to both walls on; what covers nothing has its middle.
    pub corners: Vec<TapedPlace>,
}

/// A station, with what shows that it is square.
#[derive(Debug, Clone, PartialEq)]
pub struct TapedStation {
    pub station: StationId,
    pub set_out: SetOut,
    /// Between opposite corners, in metres: both are as long. Nothing where there are no corners.
    pub diagonal: Option<f64>,
}

/// An opening in a wall, in metres along it from its beginning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    pub wall: usize,
    pub from: f64,
    pub to: f64,
}

/// A whole floor to be taped.
#[derive(Debug, Clone, PartialEq)]
pub struct TapedFloor {
    pub walls: Vec<WallLine>,
    /// Between opposite corners of a room with four.
    pub diagonals: Option<[f64; 2]>,
    /// In the order in which they are taped: those farthest from the widest door first, so that nobody walks over tape.
    pub stations: Vec<TapedStation>,
    /// By the room's things.
    pub things: Vec<SetOut>,
    /// By the room's doors; nothing for one that lies in no wall.
    pub doors: Vec<Option<Opening>>,
    /// The middles of the room's panels, likewise.
    pub panels: Vec<Option<Opening>>,
}

/// How to tape a plan on the floor; nothing without a room.
pub fn taped_floor(plan: &Plan) -> Option<TapedFloor> {
    let room = plan.room.as_ref()?;
    let walls = wall_lines(room);
    let placed = plan.placements.enumerate();
    let placed = placed.filter_map(|(id, placed)| Some((id, placed.as_ref()?)));
    let mut stations: Vec<TapedStation> = placed
        .map(|(station, placement)| {
            let (width, depth) = placement.size;
            let set_out = set_out(&corners(placement), room, &walls);
            TapedStation {
                station,
                diagonal: (set_out.corners.len() > 1).then(|| libm::hypot(width, depth)),
                set_out,
            }
        })
        .collect();
    if let Some(door) = room.widest_door() {
        let away = |taped: &TapedStation| taped.set_out.corners[0].at.distance(door.middle());
        stations.sort_by(|one, other| away(other).total_cmp(&away(one)));
    }
    let things = room.blocked.iter();
    let on_wall = |ends: (Point, Point)| opening(&walls, ends);
    Some(TapedFloor {
        diagonals: diagonals(room),
        stations,
        things: things
            .map(|thing| set_out(thing.outline.corners(), room, &walls))
            .collect(),
        doors: room
            .doors
            .iter()
            .map(|door| on_wall(door.between))
            .collect(),
        panels: (room.panels.iter())
            .map(|panel| on_wall((panel.at, panel.at)))
            .collect(),
        walls,
    })
}

/// Single places as measured from walls, such as those of drops and lamps; nothing without a room.
pub fn taped_places(plan: &Plan, places: &[Point]) -> Option<Vec<SetOut>> {
    let room = plan.room.as_ref()?;
    let walls = wall_lines(room);
    let places = places.iter();
    Some(places.map(|&at| set_out(&[at], room, &walls)).collect())
}

fn wall_lines(room: &Room) -> Vec<WallLine> {
    let edges = room.outline.edges();
    edges.map(|(from, to)| WallLine { from, to }).collect()
}

/// What is taped of a station.
fn corners(placement: &Placement) -> Vec<Point> {
    match placement.footprint() {
        Some(footprint) => footprint.corners().to_vec(),
        None => vec![placement.at],
    }
}

fn diagonals(room: &Room) -> Option<[f64; 2]> {
    match room.outline.corners() {
        &[a, b, c, d] => Some([a.distance(c), b.distance(d)]),
        _ => None,
    }
}

/// Corners as measured from the two walls from which that is easiest: such as a tape reaches them from, past nothing
/// that stands in the room, and then the nearest.
fn set_out(corners: &[Point], room: &Room, walls: &[WallLine]) -> SetOut {
    let across = |one: usize, other: usize| walls[one].along().cross(walls[other].along()).abs();
    let pairs = (0..walls.len()).flat_map(|one| (one + 1..walls.len()).map(move |two| (one, two)));
    let is_across = |least: f64| move |&(one, two): &(usize, usize)| across(one, two) >= least;
    let mut fitting: Vec<(usize, usize)> = pairs.clone().filter(is_across(ACROSS)).collect();
    if fitting.is_empty() {
        // Only walls that run nearly the same way, as in a very flat triangle.
        fitting = pairs.filter(is_across(SAME_POINT_M)).collect();
    }
    let measured = fitting.into_iter().map(|(one, two)| {
        let pair = [one, two];
        let taped: Vec<TapedPlace> = corners
            .iter()
            .map(|&at| taped(at, pair.map(|wall| walls[wall]), walls))
            .collect();
        let direct = taped.iter().flat_map(|place| place.is_direct);
        let indirect = direct.filter(|is_direct| !is_direct).count();
        let hidden = taped.iter().flat_map(|place| {
            pair.map(|wall| usize::from(is_hidden(place.at, walls[wall], room, corners)))
        });
        let far: f64 = taped.iter().flat_map(|place| place.distances).sum();
        ((indirect, hidden.sum::<usize>(), far), pair, taped)
    });
    let best = measured.reduce(|best, next| {
        let order = |(indirect, hidden, far): (usize, usize, f64)| (indirect, hidden, far);
        match order(next.0) < order(best.0) {
            true => next,
            false => best,
        }
    });
    let Some((_, walls, mut taped)) = best else {
        return SetOut {
            walls: [0, 0],
            corners: Vec::new(),
        };
    };
    let near = |place: &TapedPlace| {
        let indirect = place.is_direct.iter().filter(|is_direct| !**is_direct);
        (indirect.count(), place.distances[0] + place.distances[1])
    };
    let first =
        (0..taped.len()).reduce(
            |first, next| match near(&taped[next]) < near(&taped[first]) {
                true => next,
                false => first,
            },
        );
    taped.rotate_left(first.unwrap_or(0));
    SetOut {
        walls,
        corners: taped,
    }
}

fn taped(at: Point, from: [WallLine; 2], walls: &[WallLine]) -> TapedPlace {
    let is_direct = |wall: &WallLine| {
        let tape = (at, wall.foot(at));
        wall.is_beside(at)
            && !walls
                .iter()
                .any(|other| crosses(tape, (other.from, other.to)))
    };
    TapedPlace {
        at,
        distances: from.map(|wall| wall.distance(at).abs()),
        is_direct: from.map(|wall| is_direct(&wall)),
    }
}

/// Whether something that stands in the room is between a place and a wall; what is measured itself is not.
fn is_hidden(at: Point, wall: WallLine, room: &Room, own: &[Point]) -> bool {
    let tape = (at, wall.foot(at));
    let others = room.blocked.iter();
    let others = others.filter(|thing| thing.outline.corners() != own);
    let mut edges = others.flat_map(|thing| thing.outline.edges());
    edges.any(|edge| crosses(tape, edge))
}

/// Whether one line runs through the other, rather than along it or up to it.
fn crosses((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let aside = |(from, to): (Point, Point), place: Point| {
        let length = from.distance(to);
        match length > SAME_POINT_M {
            true => (to - from).cross(place - from) / length,
            false => 0.0,
        }
    };
    let apart =
        |one: f64, other: f64| one.min(other) < -SAME_POINT_M && one.max(other) > SAME_POINT_M;
    apart(aside((a, b), c), aside((a, b), d)) && apart(aside((c, d), a), aside((c, d), b))
}

/// Where an opening lies in the wall that has both of its ends.
fn opening(walls: &[WallLine], (one, other): (Point, Point)) -> Option<Opening> {
    let is_on = |wall: &WallLine, place: Point| {
        let along = wall.abreast(place);
        wall.distance(place).abs() <= IN_THE_WALL_M
            && along >= -IN_THE_WALL_M
            && along <= wall.length() + IN_THE_WALL_M
    };
    let wall = (walls.iter()).position(|wall| is_on(wall, one) && is_on(wall, other))?;
    let [a, b] = [one, other].map(|end| walls[wall].abreast(end));
    Some(Opening {
        wall,
        from: a.min(b),
        to: a.max(b),
    })
}
