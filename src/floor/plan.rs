//! A layout on the floor: the room, and where everything stands in it.

use super::door_recess::with_pockets;
use super::polygon::place_on_edge;
use super::{Distances, Placement, Point, Polygon, Room};
use super::{FreeSpace, Passages, Path};
use crate::shop::{PlaceId, StationId, Table};

/// How people get from one standing place to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Going {
    /// Around what stands there.
    Around,
    Straight,
    Rectilinear,
}

/// Where things stand. Places are the stations, then the doors of the room.
#[derive(Debug, Clone)]
pub struct Plan {
    pub room: Option<Room>,
    /// Nothing for a station that the layout does not place.
    pub placements: Table<StationId, Option<Placement>>,
    pub going: Going,
    /// Width of the circle that a walking person needs, in metres.
    pub body_width: f64,
    /// Width of the circle that a pushed cart needs, in metres.
    pub cart_width: f64,
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
    pub fn places(&self) -> usize {
        self.placements.len() + self.room.as_ref().map_or(0, |room| room.doors.len())
    }

    /// Whether it places anything: a room alone is no layout.
    pub fn places_something(&self) -> bool {
        self.placements.iter().any(Option::is_some)
    }

    /// Where one stands at a place: of a door, in the middle of its opening.
    pub fn standing(&self, place: PlaceId) -> Option<Point> {
        let stations = self.placements.len();
        match place.index().checked_sub(stations) {
            None => (self.placements[StationId(place.0)].as_ref()).map(Placement::standing),
            Some(door) => Some(self.room.as_ref()?.doors.get(door)?.middle()),
        }
    }

    /// What cannot be walked through: footprints in the file's order, then the things of the room.
    pub fn obstacles(&self) -> impl Iterator<Item = (Obstacle, Polygon)> + '_ {
        let stations = self
            .placements
            .enumerate()
            .filter_map(|(station, placement)| {
                let footprint = placement.as_ref()?.footprint()?;
                Some((Obstacle::Station(station), footprint))
            });
        let things = self
            .room
            .iter()
            .flat_map(|room| room.blocked.iter().enumerate());
        stations.chain(things.map(|(index, thing)| (Obstacle::Thing(index), thing.outline.clone())))
    }

    /// The walls for somebody of this radius in metres: the outline, opened at each door just as far as one steps
    /// into it. Without a room there are none.
    pub fn walls(&self, radius: f64) -> Option<Polygon> {
        let room = self.room.as_ref()?;
        if radius <= 0.0 {
            return Some(room.outline.clone());
        }
        // A hair deeper than the body, so that standing in the middle of the opening does not hang on a rounding.
        self.opened(radius * (1.0 + 1e-6) + 1e-9)
    }

    /// What people walk between, for how wide a way is: doors are passages, and nothing stands behind them.
    pub fn passages(&self) -> Passages {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        let outline = self.room.as_ref().map(|room| &room.outline);
        Passages::new(outline, &self.openings(), &obstacles)
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
        /// Metres: through the opening, and no farther, for nobody knows what is there.
        const STEP: f64 = 1e-3;
        let outside = places.map(|place| {
            let room = self.room.as_ref()?;
            let door = &room.doors[place.index().checked_sub(self.placements.len())?];
            let mut walls = room.outline.edges();
            let (from, to) = walls.find(|&wall| place_on_edge(wall, door.between).is_some())?;
            let outward = (to - from).left() * (-STEP / from.distance(to));
            Some(door.middle() + outward)
        });
        let beyond = outside.map(|door| if door.is_some() { 0.0 } else { inside });
        (path.led_on(outside[0], outside[1]), beyond)
    }

    /// The outline with a pocket of this depth behind each door.
    fn opened(&self, depth: f64) -> Option<Polygon> {
        let room = self.room.as_ref()?;
        Some(with_pockets(&room.outline, &self.openings(), depth))
    }

    /// What is in the way of somebody of this radius in metres.
    pub fn ground(&self, radius: f64) -> FreeSpace {
        let obstacles: Vec<Polygon> = self.obstacles().map(|(_, outline)| outline).collect();
        FreeSpace::new(self.walls(radius).as_ref(), &obstacles, radius)
    }

    /// The walking table between these places; all other pairs are 0, for nobody walks there.
    ///
    /// # Errors
    /// For walking around: places where nobody can stand, and pairs that nothing connects.
    pub fn walks(&self, used: &[PlaceId], pushes: bool) -> Result<Distances, Vec<NoWay>> {
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
                Ok(Distances::from_metres(places, &table))
            }
            Going::Rectilinear => {
                let table = spread(&|a, b| points[a].rectilinear_distance(points[b]));
                Ok(Distances::from_metres(places, &table))
            }
            Going::Around => {
                let body = self.table(used, &points, self.body_width / 2.0)?;
                let walks =
                    Distances::from_metres(places, &spread(&|a, b| body[a * used.len() + b]));
                if !pushes || self.cart_width <= self.body_width {
                    return Ok(walks);
                }
                // Where a cart cannot be pushed, the way is that of a person.
                let cart = self.cart_table(&points);
                let pushing = spread(&|a, b| {
                    let way = a * used.len() + b;
                    cart[way].unwrap_or(body[way])
                });
                Ok(walks.with_pushing(&pushing))
            }
        }
    }

    /// How far a cart is pushed between standing places: it stops where it fits, as near as it gets to each, and from
    /// there somebody walks on.
    fn cart_table(&self, points: &[Point]) -> Vec<Option<f64>> {
        let ground = self.ground(self.cart_width / 2.0);
        let on_foot = self.ground(self.body_width / 2.0);
        let stops: Vec<Option<(Point, f64)>> = (points.iter())
            .map(|&place| {
                let stop = ground.nearest_free(place)?;
                // The nearest place that is wide enough may lie behind a wall.
                let rest = if stop == place {
                    0.0
                } else {
                    on_foot.path(stop, place)?.length
                };
                // Farther away it is no place of this station any more.
                (rest <= self.cart_width).then_some((stop, rest))
            })
            .collect();
        let near = |at: usize| stops[at];
        let parked: Vec<Point> = (0..points.len())
            .map(|at| near(at).map_or(points[at], |(stop, _)| stop))
            .collect();
        let table = ground.table(&parked);
        let count = points.len();
        let mut ways = vec![None; count * count];
        for (from, to) in (0..count).flat_map(|from| (0..count).map(move |to| (from, to))) {
            let rest = near(from).zip(near(to)).map(|((_, a), (_, b))| a + b);
            let pushed = table[from * count + to].zip(rest);
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
        let points: Vec<Point> = (used.iter())
            .map(|&place| self.standing(place).unwrap_or(Point::ORIGIN))
            .collect();
        let from = used.iter().position(|&place| place == kept);
        let table = match from {
            Some(_) if is_wide => self.cart_table(&points),
            _ => Vec::new(),
        };
        let beyond: Vec<PlaceId> = (used.iter().enumerate())
            .filter(|(to, _)| {
                let way = from.map(|from| from * used.len() + to);
                way.and_then(|way| table.get(way))
                    .is_some_and(Option::is_none)
            })
            .map(|(_, &place)| place)
            .collect();
        beyond.into_iter()
    }

    fn table(
        &self,
        used: &[PlaceId],
        points: &[Point],
        radius: f64,
    ) -> Result<Vec<f64>, Vec<NoWay>> {
        let ground = self.ground(radius);
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
        let table = ground.table(points);
        let rows = used.len();
        // Whoever is cut off is cut off from everybody: the first place stands for those it reaches.
        for column in 1..rows {
            if table[column].is_none() {
                wrong.push(NoWay::CutOff {
                    from: used[0],
                    to: used[column],
                });
            }
        }
        let lengths: Option<Vec<f64>> = table.into_iter().collect();
        match lengths {
            Some(lengths) if wrong.is_empty() => Ok(lengths),
            _ => Err(wrong),
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
