//! A layout on the floor: the room, and where everything stands in it.

use super::door_recess::with_recesses;
use super::shapes::{FloorArea, overlap, rectangle_before};
use super::tolerance::{RECESS_SHARE, ROUNDED_M, THROUGH_DOOR_M};
use super::{AllPairs, FreeSpace, Passages, Path};
use super::{Distances, Door, FootPaths, Placement, Point, Polygon, Room};
use crate::shop::{PlaceId, PlaceKind, StationId, Table};

/// How people get from one standing place to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Going {
    /// Around what stands there.
    Around,
    Straight,
    Rectilinear,
}

/// Where things stand. Places are the stations, then the doors of the room, then where one stands for single operations.
#[derive(Debug, Clone)]
pub struct Plan {
    pub room: Option<Room>,
    /// Nothing for a station that the layout does not place.
    pub placements: Table<StationId, Option<Placement>>,
    /// Where one stands for single operations, in the shop's order.
    pub work_stands: Vec<PlacedStand>,
    /// What is parked where it is placed, and where it is used, in the file's order.
    pub rolled_out: Vec<RolledOut>,
    pub going: Going,
    /// Width of the circle that a walking person needs, in metres.
    pub body_width: f64,
    /// Width of the circle that a pushed cart needs, in metres.
    pub cart_width: f64,
    /// People walk below what hangs so high, in metres.
    pub head_room: f64,
}

/// Where one stands for one operation at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedStand {
    pub station: StationId,
    /// From the station's centre, before turning, in metres; where one stands at the station if the layout does not place
    /// it or it is parked.
    pub stand: Option<Point>,
}

/// A station that is parked, and rolled out to be used.
#[derive(Debug, Clone, PartialEq)]
pub struct RolledOut {
    pub station: StationId,
    /// Where it is used.
    pub placement: Placement,
}

/// What stands in somebody's way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    Station(StationId),
    /// Index among the room's things in the way.
    Thing(usize),
    Wall,
}

/// Why nobody can walk in a layout as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum NoWay {
    /// Where one would stand, there is no room for a body: so many metres are missing.
    NoRoom {
        place: PlaceId,
        obstacle: Obstacle,
        missing: f64,
        /// The nearest place that would do.
        instead: Option<Point>,
    },
    /// Nothing leads from one to the other for somebody this wide.
    CutOff { from: PlaceId, to: PlaceId },
}

impl Plan {
    /// Whether it places anything: a room alone is no layout.
    pub fn places_something(&self) -> bool {
        self.placements.iter().any(Option::is_some)
    }

    /// What cannot be walked through: footprints in the file's order, then the things of the room. What leaves head
    /// room below it is none.
    pub fn obstacles(&self) -> impl Iterator<Item = (Obstacle, Polygon)> + '_ {
        let stations = self
            .placements
            .enumerate()
            .filter_map(|(station, placement)| {
                let footprint = self.walked_around(placement.as_ref()?)?;
                Some((Obstacle::Station(station), footprint))
            });
        let things = self
            .room
            .iter()
            .flat_map(|room| room.blocked.iter().enumerate());
        let things = things.filter(|(_, thing)| !thing.heights.is_overhead(self.head_room));
        stations.chain(things.map(|(index, thing)| (Obstacle::Thing(index), thing.outline.clone())))
    }

    /// The first of what stands right before a door, so that nobody gets through it.
    pub fn stands_before(&self, door: &Door) -> Option<Obstacle> {
        let inward = self.room.as_ref()?.outward(door) * -1.0;
        let before = rectangle_before(door.middle(), inward, door.width(), self.body_width)?;
        let before = FloorArea::new(before);
        let mut obstacles = self.obstacles();
        let is_there = |outline: Polygon| overlap(&FloorArea::new(outline), &before).is_some();
        obstacles.find_map(|(of, outline)| is_there(outline).then_some(of))
    }

    /// How high something is, in metres; infinite where nobody said so.
    pub fn height_of(&self, obstacle: Obstacle) -> f64 {
        let heights = match obstacle {
            Obstacle::Station(station) => self.placements[station].map(|placed| placed.heights),
            Obstacle::Thing(thing) => {
                let room = self.room.as_ref();
                room.and_then(|room| Some(room.blocked.get(thing)?.heights))
            }
            Obstacle::Wall => None,
        };
        heights.unwrap_or_default().top
    }

    /// What people walk around of a station.
    pub fn walked_around(&self, placement: &Placement) -> Option<Polygon> {
        match placement.heights.is_overhead(self.head_room) {
            true => None,
            false => placement.footprint(),
        }
    }

    /// The walls for somebody of this radius in metres: the outline, opened at each door just as far as one steps
    /// into it. Without a room there are none.
    pub fn walls(&self, radius: f64) -> Option<Polygon> {
        let room = self.room.as_ref()?;
        if radius <= 0.0 {
            return Some(room.outline.clone());
        }
        self.opened(radius * (1.0 + RECESS_SHARE) + ROUNDED_M)
    }

    /// What people walk between, for how wide a way is: doors are passages, and nothing stands behind them.
    pub fn passages(&self) -> Passages {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        let outline = self.room.as_ref().map(|room| &room.outline);
        Passages::new(outline, &self.openings(), &obstacles)
    }

    /// The same for some ways alone, and only what is narrower than so many metres.
    pub fn passages_along(&self, ways: &[&Path], wide: f64) -> Passages {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        let outline = self.room.as_ref().map(|room| &room.outline);
        Passages::of_walks(ways, wide, outline, &self.openings(), &obstacles)
    }

    /// The same everywhere, and only what is no wider than so many metres.
    pub(super) fn narrow_passages(&self, wide: f64) -> Passages {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        let outline = self.room.as_ref().map(|room| &room.outline);
        Passages::no_wider(wide, outline, &self.openings(), &obstacles)
    }

    fn openings(&self) -> Vec<(Point, Point)> {
        let doors = self.room.iter().flat_map(|room| &room.doors);
        doors.map(|door| door.between).collect()
    }

    /// The way between two places, and a step farther where it begins or ends in the opening of a door, for it goes on
    /// behind it; and how far it must go on at either end after a gap that it passes, `inside` the room.
    pub fn through_doors(
        &self,
        path: &Path,
        places: [PlaceId; 2],
        inside: f64,
    ) -> (Path, [f64; 2]) {
        let outside = places.map(|place| {
            let room = self.room.as_ref()?;
            let PlaceKind::Door(door) = self.place_kind(place) else {
                return None;
            };
            let door = &room.doors[door];
            Some(door.middle() + room.outward(door) * THROUGH_DOOR_M)
        });
        let beyond = outside.map(|door| if door.is_some() { 0.0 } else { inside });
        (path.led_on(outside[0], outside[1]), beyond)
    }

    /// The outline with a recess of this depth behind each door.
    fn opened(&self, depth: f64) -> Option<Polygon> {
        let room = self.room.as_ref()?;
        Some(with_recesses(&room.outline, &self.openings(), depth))
    }

    /// What is in the way of somebody of this radius in metres.
    pub fn ground(&self, radius: f64) -> FreeSpace {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        FreeSpace::new(self.walls(radius).as_ref(), &obstacles, radius)
    }

    /// The walking table between these places; all other pairs are 0, for nobody walks there.
    ///
    /// # Errors
    /// For walking around: places where nobody can stand, and pairs that nothing connects, with everything parked or
    /// with a thing rolled out.
    pub fn walks(&self, used: &[PlaceId], pushes: bool) -> Result<Distances, Vec<NoWay>> {
        Ok(self.walks_with_paths(used, pushes)?.0)
    }

    /// The same with the ways themselves, where people walk around things.
    ///
    /// # Errors
    /// As [`Plan::walks`].
    pub fn walks_with_paths(
        &self,
        used: &[PlaceId],
        pushes: bool,
    ) -> Result<(Distances, Option<FootPaths>), Vec<NoWay>> {
        let (parked, paths) = self.walks_as_placed(used, pushes)?;
        Ok((self.with_rolled_out(parked, used, pushes)?, paths))
    }

    /// Likewise with everything where it is placed.
    pub(super) fn walks_as_placed(
        &self,
        used: &[PlaceId],
        pushes: bool,
    ) -> Result<(Distances, Option<FootPaths>), Vec<NoWay>> {
        let places = self.places();
        let standing = |place: &PlaceId| self.standing(*place).unwrap_or(Point::ORIGIN);
        let points: Vec<Point> = used.iter().map(standing).collect();
        let spread = |table: &dyn Fn(usize, usize) -> f64| {
            let mut all = vec![0.0; places * places];
            for (row, from) in used.iter().enumerate() {
                for (column, to) in used.iter().enumerate() {
                    all[from.index() * places + to.index()] = table(row, column);
                }
            }
            all
        };
        match self.going {
            Going::Straight => {
                let table = spread(&|a, b| points[a].distance(points[b]));
                Ok((Distances::from_metres(places, &table), None))
            }
            Going::Rectilinear => {
                let table = spread(&|a, b| points[a].rectilinear_distance(points[b]));
                Ok((Distances::from_metres(places, &table), None))
            }
            Going::Around => {
                let (walks, space) = self.on_foot(used, &points)?;
                let body: Vec<f64> = walks.lengths().flatten().collect();
                let table =
                    Distances::from_metres(places, &spread(&|a, b| body[a * used.len() + b]));
                let paths = Some(FootPaths::new(used, walks, space));
                if !pushes || self.cart_width <= self.body_width {
                    return Ok((table, paths));
                }
                // Where a cart cannot be pushed, the way is that of a person.
                let cart = self.cart_table(&points);
                let pushing = spread(&|a, b| {
                    let way = a * used.len() + b;
                    cart[way].unwrap_or(body[way])
                });
                Ok((table.with_pushing(&pushing), paths))
            }
        }
    }

    /// Where a cart stops for each standing place, as near as it gets, and how far it is from there in metres; nothing
    /// where it does not get near.
    fn stops(&self, ground: &FreeSpace, points: &[Point]) -> Vec<Option<(Point, f64)>> {
        let nearest: Vec<Option<Point>> = (points.iter())
            .map(|&place| ground.nearest_free(place))
            .collect();
        // The nearest place that is wide enough may lie behind a wall.
        let ends = nearest.iter().zip(points);
        let ends: Vec<Point> = ends
            .flat_map(|(stop, &place)| [stop.unwrap_or(place), place])
            .collect();
        let pairs: Vec<[usize; 2]> = (0..points.len()).map(|at| [2 * at, 2 * at + 1]).collect();
        let on_foot = (self.ground(self.body_width / 2.0)).some_pairs(&ends, &pairs);
        let stops = nearest.iter().zip(points).enumerate();
        let stops = stops.map(|(at, (&stop, &place))| {
            let stop = stop?;
            let rest = if stop == place {
                0.0
            } else {
                on_foot.length(2 * at, 2 * at + 1)?
            };
            // Farther away it is no place of this station any more.
            (rest <= self.cart_width).then_some((stop, rest))
        });
        stops.collect()
    }

    /// Where carts are parked: at the place itself where they do not get near.
    fn parked(points: &[Point], stops: &[Option<(Point, f64)>]) -> Vec<Point> {
        let all = points.iter().zip(stops);
        all.map(|(&place, stop)| stop.map_or(place, |(stop, _)| stop))
            .collect()
    }

    /// How far a cart is pushed between standing places: it stops where it fits, as near as it gets to each, and from
    /// there somebody walks on.
    fn cart_table(&self, points: &[Point]) -> Vec<Option<f64>> {
        let ground = self.ground(self.cart_width / 2.0);
        let stops = self.stops(&ground, points);
        let table = ground.all_pairs(&Self::parked(points, &stops));
        let count = points.len();
        let mut ways = vec![None; count * count];
        for (from, to) in (0..count).flat_map(|from| (0..count).map(move |to| (from, to))) {
            let rest = stops[from].zip(stops[to]).map(|((_, a), (_, b))| a + b);
            let pushed = table.length(from, to).zip(rest);
            ways[from * count + to] = if from == to {
                Some(0.0)
            } else {
                pushed.map(|(pushed, rest)| pushed + rest)
            };
        }
        ways
    }

    /// Places that a cart which is kept somewhere cannot be pushed to.
    pub fn beyond_carts(&self, kept: PlaceId, used: &[PlaceId]) -> impl Iterator<Item = PlaceId> {
        let is_wide = self.cart_width > self.body_width;
        let from = used.iter().position(|&place| place == kept);
        let beyond: Vec<PlaceId> = match from.filter(|_| is_wide) {
            None => Vec::new(),
            Some(from) => {
                let standing = |place: &PlaceId| self.standing(*place).unwrap_or(Point::ORIGIN);
                let points: Vec<Point> = used.iter().map(standing).collect();
                let ground = self.ground(self.cart_width / 2.0);
                let stops = self.stops(&ground, &points);
                let reached = ground.components(&Self::parked(&points, &stops));
                let gets_to = |to: usize| {
                    let both = stops[from].is_some() && stops[to].is_some();
                    to == from || (both && reached[to].is_some() && reached[to] == reached[from])
                };
                let beyond = (0..used.len()).filter(|&to| !gets_to(to));
                beyond.map(|to| used[to]).collect()
            }
        };
        beyond.into_iter()
    }

    /// The walks between all these places, and the floor for a person.
    fn on_foot(
        &self,
        used: &[PlaceId],
        points: &[Point],
    ) -> Result<(AllPairs, FreeSpace), Vec<NoWay>> {
        let ground = self.ground(self.body_width / 2.0);
        let obstacle = self.obstacles_by_index();
        let mut wrong = Vec::new();
        for (&place, &point) in used.iter().zip(points) {
            if let Err(blocked) = ground.is_free(point) {
                wrong.push(NoWay::NoRoom {
                    place,
                    obstacle: obstacle(blocked.by),
                    missing: blocked.lacks,
                    instead: ground.nearest_free(point),
                });
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let walks = ground.all_pairs(points);
        // Whoever is cut off is cut off from everybody: the first place stands for those it reaches.
        let cut_off = |from: usize, to: usize| NoWay::CutOff {
            from: used[from],
            to: used[to],
        };
        let rows = used.len();
        let from_first = (1..rows).filter(|&to| walks.length(0, to).is_none());
        wrong.extend(from_first.map(|to| cut_off(0, to)));
        if wrong.is_empty() {
            let mut pairs = (1..rows).flat_map(|from| (from + 1..rows).map(move |to| (from, to)));
            let missing = pairs.find(|&(from, to)| walks.length(from, to).is_none());
            wrong.extend(missing.map(|(from, to)| cut_off(from, to)));
        }
        if wrong.is_empty() {
            Ok((walks, ground))
        } else {
            Err(wrong)
        }
    }

    /// The way that somebody walks from one place to another, as [`Plan::walks`] measures it: nothing if there is none.
    pub fn path(&self, ground: &FreeSpace, from: PlaceId, to: PlaceId) -> Option<Path> {
        self.paths(ground, &[(from, to)]).pop().flatten()
    }

    /// The ways of several pairs of places, as [`Plan::path`] finds each.
    pub fn paths(&self, ground: &FreeSpace, pairs: &[(PlaceId, PlaceId)]) -> Vec<Option<Path>> {
        let mut places: Vec<PlaceId> = pairs.iter().flat_map(|&(a, b)| [a, b]).collect();
        places.sort_unstable();
        places.dedup();
        places.retain(|&place| self.standing(place).is_some());
        let points: Vec<Point> = (places.iter())
            .filter_map(|&place| self.standing(place))
            .collect();
        let index = |place: PlaceId| places.binary_search(&place).ok();
        let indices: Vec<Option<[usize; 2]>> = (pairs.iter())
            .map(|&(from, to)| Some([index(from)?, index(to)?]))
            .collect();
        let around = match self.going {
            Going::Around => {
                let wanted: Vec<[usize; 2]> = indices.iter().copied().flatten().collect();
                Some(ground.some_pairs(&points, &wanted))
            }
            Going::Straight | Going::Rectilinear => None,
        };
        let path = |&[from, to]: &[usize; 2]| match (&around, self.going) {
            (Some(around), _) => around.path(from, to),
            (None, Going::Rectilinear) => {
                let (a, b) = (points[from], points[to]);
                Some(Path::through(&[a, Point::new(b.x, a.y), b]))
            }
            (None, _) => Some(Path::through(&[points[from], points[to]])),
        };
        (indices.iter()).map(|pair| path(pair.as_ref()?)).collect()
    }
}
