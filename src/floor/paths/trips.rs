//! How far people walk in all, and how far they would if something stood elsewhere.

use std::sync::OnceLock;

use super::super::tolerance::{FITS_M, ROUNDED_SHARE};
use super::super::{Point, Polygon, nearest_on_segment};
use super::FreeSpace;
use super::bounds::Bounds;
use super::budget::{AskedWalk, MoveBudget, ends};
use super::detour::around;
use super::path::{Path, Piece};

/// A pair of places, by their indices, and how often somebody walks from one to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trip {
    pub between: [usize; 2],
    pub weight: f64,
}

/// Places and the trips between them on a floor, every trip with its shortest walk.
#[derive(Debug)]
pub struct Trips {
    space: FreeSpace,
    obstacles: Vec<Polygon>,
    places: Vec<Point>,
    trips: Vec<Trip>,
    walks: Vec<Walked>,
    total: f64,
}

/// The walk of one trip.
#[derive(Debug, Clone)]
struct Walked {
    path: Path,
    bounds: Bounds,
}

impl Walked {
    fn new(path: Path) -> Walked {
        Walked {
            bounds: path.bounds(),
            path,
        }
    }
}

/// What becomes of the trips when something stands elsewhere.
#[derive(Debug)]
pub enum Outcome {
    /// The total is certain to be greater than what was asked for: at least so many metres.
    Longer(f64),
    /// There is no way for this trip, or no room for a body at one of its ends: found only where a way of any length
    /// would do.
    CutOff(usize),
    Moved(Moved),
}

/// The trips after something has moved, not yet taken over.
#[derive(Debug)]
pub struct Moved {
    /// Sum of all walks times their weights, in metres.
    pub total: f64,
    space: OnceLock<Box<FreeSpace>>,
    /// The new walks, by trip.
    walks: Vec<(usize, Walked)>,
}

impl Moved {
    /// The new walk of a trip; nothing if it is what it was before the move.
    pub fn path(&self, trip: usize) -> Option<&Path> {
        let at = self.walks.binary_search_by_key(&trip, |&(trip, _)| trip);
        at.ok().map(|at| &self.walks[at].1.path)
    }

    /// The floor after the move that these trips were tried for.
    pub fn space(&self, trips: &Trips, change: &Move<'_>) -> &FreeSpace {
        let find = || Box::new(trips.space.moved(change.obstacles));
        self.space.get_or_init(find)
    }
}

/// Obstacles and places that stand elsewhere, by their indices.
#[derive(Debug, Clone, Copy)]
pub struct Move<'a> {
    pub obstacles: &'a [(usize, Polygon)],
    pub places: &'a [(usize, Point)],
}

/// What is known of a trip without looking for its walk, in metres.
#[derive(Debug, Clone, Copy)]
enum Known {
    Exactly(f64),
    Between { least: f64, most: f64 },
}

impl Trips {
    /// A room, if there is one, obstacles, and the radius of a body as for [`FreeSpace::new`]; places and trips. Nothing
    /// if there is no way for one of the trips.
    pub fn new(
        room: Option<&Polygon>,
        obstacles: Vec<Polygon>,
        radius: f64,
        places: Vec<Point>,
        trips: Vec<Trip>,
    ) -> Option<Trips> {
        let space = FreeSpace::new(room, &obstacles, radius);
        space.survey();
        let pairs: Vec<[usize; 2]> = trips.iter().map(|trip| trip.between).collect();
        let all = space.some_pairs(&places, &pairs);
        let walks = pairs
            .iter()
            .map(|&[from, to]| all.path(from, to).map(Walked::new));
        let walks: Vec<Walked> = walks.collect::<Option<_>>()?;
        let mut trips = Trips {
            space,
            obstacles,
            places,
            trips,
            walks,
            total: 0.0,
        };
        trips.total = trips.sum(|trip| trips.walks[trip].path.length);
        Some(trips)
    }

    /// Sum of all walks times their weights, in metres.
    pub fn total(&self) -> f64 {
        self.total
    }

    /// The walk of a trip.
    pub fn path(&self, trip: usize) -> &Path {
        &self.walks[trip].path
    }

    /// The floor on which the trips are walked.
    pub fn space(&self) -> &FreeSpace {
        &self.space
    }

    fn sum(&self, length: impl Fn(usize) -> f64) -> f64 {
        let trips = self.trips.iter().enumerate();
        trips.map(|(trip, of)| of.weight * length(trip)).sum()
    }

    /// What becomes of the trips when something stands elsewhere; only as exactly as needed to say that the total
    /// exceeds `most` metres, if it does.
    ///
    /// Lengths that a move cannot touch are kept, so a total differs from that of a floor made anew by roundings.
    pub fn try_move(&self, change: &Move<'_>, most: f64) -> Outcome {
        let away = self.away_from_moved(change);
        let known: Vec<Known> = (0..self.trips.len())
            .map(|trip| self.known(trip, change, &away))
            .collect();
        let bound = |trip: usize| match known[trip] {
            Known::Exactly(length) | Known::Between { least: length, .. } => length,
        };
        let least = self.sum(bound);
        if least > most {
            return Outcome::Longer(least);
        }
        let open: Vec<usize> = (0..self.trips.len())
            .filter(|&trip| matches!(known[trip], Known::Between { .. }))
            .collect();
        if open.is_empty() {
            return Outcome::Moved(Moved {
                total: least,
                space: OnceLock::new(),
                walks: Vec::new(),
            });
        }
        let space = self.space.moved(change.obstacles);
        let places = self.places_after(change);
        let pairs: Vec<[usize; 2]> = open.iter().map(|&trip| self.trips[trip].between).collect();
        // A little more, for here the terms are added in another order.
        let enough = most + ROUNDED_SHARE * (1.0 + most.abs());
        let asked = open.iter().zip(&pairs).map(|(&trip, &pair)| AskedWalk {
            pair: ends(pair),
            weight: self.trips[trip].weight,
            bound: self.trips[trip].weight * bound(trip),
            most: match known[trip] {
                Known::Between { most, .. } => most.min(self.joined(trip, change, &space)),
                Known::Exactly(length) => length,
            },
        });
        let mut budget = MoveBudget::new(asked.collect(), least, enough);
        let found = space.pairs_within(&places, &pairs, &mut budget);
        if let Some(pair) = budget.cut_off {
            let of = |of: &[usize; 2]| ends(*of) == pair;
            return Outcome::CutOff(pairs.iter().position(of).map_or(0, |at| open[at]));
        }
        if budget.least > enough {
            return Outcome::Longer(budget.least);
        }
        let mut walks: Vec<(usize, Walked)> = Vec::with_capacity(open.len());
        for (&trip, &[from, to]) in open.iter().zip(&pairs) {
            match found.path(from, to) {
                Some(path) if path == self.walks[trip].path => {}
                Some(path) => walks.push((trip, Walked::new(path))),
                None => return Outcome::CutOff(trip),
            }
        }
        let new = |trip: usize| {
            let at = walks.binary_search_by_key(&trip, |&(trip, _)| trip);
            at.map_or(self.walks[trip].path.length, |at| walks[at].1.path.length)
        };
        let total = self.sum(new);
        if total > most {
            return Outcome::Longer(total);
        }
        Outcome::Moved(Moved {
            total,
            space: OnceLock::from(Box::new(space)),
            walks,
        })
    }

    /// Takes a move over, with what was found for it.
    pub fn accept(&mut self, change: &Move<'_>, moved: Moved) {
        self.space = match moved.space.into_inner() {
            Some(space) => *space,
            None => self.space.moved(change.obstacles),
        };
        self.places = self.places_after(change);
        for (obstacle, outline) in change.obstacles {
            self.obstacles[*obstacle] = outline.clone();
        }
        for (trip, walked) in moved.walks {
            self.walks[trip] = walked;
        }
        self.total = moved.total;
    }

    fn places_after(&self, change: &Move<'_>) -> Vec<Point> {
        let mut places = self.places.clone();
        for &(place, at) in change.places {
            places[place] = at;
        }
        places
    }

    /// How long a way is at least after a move: straight, or around the worst single thing that stands on the line.
    fn around_one(&self, from: Point, to: Point, change: &Move<'_>) -> f64 {
        let line = Bounds::of(&[from, to]);
        let obstacles = self.obstacles.iter().enumerate().map(|(index, outline)| {
            let moved = change.obstacles.iter().find(|&&(other, _)| other == index);
            moved.map_or(outline, |(_, outline)| outline)
        });
        obstacles
            .filter(|outline| !line.misses(&Bounds::of(outline.corners())))
            .filter_map(|outline| around(from, to, outline))
            .fold(from.distance(to), f64::max)
    }

    /// For each obstacle that moves, how far every place is from where a body got as near to it as it can, in metres.
    fn away_from_moved(&self, change: &Move<'_>) -> Vec<Vec<f64>> {
        let reach = self.space.measure.reach;
        let moved = change.obstacles.iter();
        moved
            .map(|&(obstacle, _)| {
                let old = &self.obstacles[obstacle];
                let away = |&place: &Point| (distance(place, old) - reach).max(0.0);
                self.places.iter().map(away).collect()
            })
            .collect()
    }

    /// What a move leaves of what is known of a trip.
    ///
    /// Where none of its ends moves, a new obstacle makes it no shorter. An obstacle that is gone makes it shorter only
    /// if the way from one end to the floor that it had kept people from, and on to the other end, is shorter than the
    /// trip was.
    fn known(&self, trip: usize, change: &Move<'_>, away: &[Vec<f64>]) -> Known {
        let between = self.trips[trip].between;
        let walked = &self.walks[trip];
        let [from, to] = between.map(|place| self.standing(place, change));
        if from != self.places[between[0]] || to != self.places[between[1]] {
            return Known::Between {
                least: self.around_one(from, to, change),
                most: f64::INFINITY,
            };
        }
        let length = walked.path.length;
        let reach = self.space.measure.reach;
        let shortcut = (away.iter())
            .map(|away| between.map(|place| away[place]))
            .map(|[from, to]| from + to)
            .fold(length, f64::min);
        let keeps_clear = |(_, outline): &(usize, Polygon)| keeps(walked, outline, reach + FITS_M);
        let is_open = change.obstacles.iter().all(keeps_clear);
        // Nothing is shorter than straight.
        let least = shortcut.max(from.distance(to));
        if least >= length && is_open {
            return Known::Exactly(length);
        }
        Known::Between {
            least,
            most: if is_open { length } else { f64::INFINITY },
        }
    }

    /// Where somebody stands at a place after a move.
    fn standing(&self, place: usize, change: &Move<'_>) -> Point {
        let moved = change.places.iter().find(|&&(other, _)| other == place);
        moved.map_or(self.places[place], |&(_, at)| at)
    }

    /// The length in metres of some way of a trip that one of its ends has left: straight from there to a place of the
    /// old way, and on along that. Infinite where that is not open.
    fn joined(&self, trip: usize, change: &Move<'_>, space: &FreeSpace) -> f64 {
        let between = self.trips[trip].between;
        let stays = between.map(|place| self.standing(place, change) == self.places[place]);
        let new = match stays {
            [true, false] => self.standing(between[1], change),
            [false, true] => self.standing(between[0], change),
            _ => return f64::INFINITY,
        };
        if space.is_free(new).is_err() {
            return f64::INFINITY;
        }
        let walked = &self.walks[trip];
        let away = space.measure.reach + FITS_M;
        let mut hint = 0;
        let mut least = f64::INFINITY;
        // Along the old way from the end that stays, as far as nothing new stands on it.
        let mut here = if stays[0] {
            walked.path.from
        } else {
            walked.path.to
        };
        let mut gone = 0.0;
        let pieces: Box<dyn Iterator<Item = &Piece>> = match stays[0] {
            true => Box::new(walked.path.pieces.iter()),
            false => Box::new(walked.path.pieces.iter().rev()),
        };
        let is_open = |piece: &Piece| {
            (change.obstacles.iter()).all(|(_, outline)| stays_clear(piece, outline, away))
        };
        let mut pieces = pieces.take_while(|piece| is_open(piece));
        loop {
            if !space.solids.block(here, new, &mut hint) {
                least = least.min(gone + here.distance(new));
            }
            let Some(piece) = pieces.next() else {
                return least;
            };
            here = piece.at(if stays[0] { 1.0 } else { 0.0 });
            gone += piece.length();
        }
    }
}

/// Whether a walk is certain to stay this far from an outline, in metres.
fn keeps(walked: &Walked, outline: &Polygon, away: f64) -> bool {
    let around = Bounds::of(outline.corners()).grown(away);
    if around.misses(&walked.bounds) {
        return true;
    }
    let path = &walked.path;
    let mut pieces = path.pieces.iter();
    distance(path.from, outline) >= away && pieces.all(|piece| stays_clear(piece, outline, away))
}

/// Whether a piece of a walk that begins far enough from an outline is certain to stay this far from it.
fn stays_clear(piece: &Piece, outline: &Polygon, away: f64) -> bool {
    match *piece {
        Piece::Line { from, to } => {
            let around = Bounds::of(outline.corners()).grown(away);
            around.misses(&Bounds::of(&[from, to])) || segment_keeps((from, to), outline, away)
        }
        Piece::Arc { centre, radius, .. } => distance(centre, outline) >= away + radius,
    }
}

/// Whether a segment stays this far from an outline.
fn segment_keeps(segment: (Point, Point), outline: &Polygon, away: f64) -> bool {
    let square = away * away;
    let near = |point: Point, segment: (Point, Point)| {
        let apart = point - nearest_on_segment(point, segment);
        apart.dot(apart) < square
    };
    let along = segment.1 - segment.0;
    let meets = |(a, b): (Point, Point)| {
        let (of_a, of_b) = (along.cross(a - segment.0), along.cross(b - segment.0));
        let edge = b - a;
        let (of_from, of_to) = (edge.cross(segment.0 - a), edge.cross(segment.1 - a));
        of_a * of_b <= 0.0 && of_from * of_to <= 0.0
    };
    !outline.edges().any(|edge| {
        meets(edge) || near(segment.0, edge) || near(segment.1, edge) || near(edge.0, segment)
    }) && !outline.contains(segment.0)
}

/// Distance in metres from a point to an outline, 0 within it.
fn distance(point: Point, outline: &Polygon) -> f64 {
    let square = (outline.edges())
        .map(|edge| {
            let apart = point - nearest_on_segment(point, edge);
            apart.dot(apart)
        })
        .fold(f64::INFINITY, f64::min);
    if outline.contains(point) {
        0.0
    } else {
        square.sqrt()
    }
}
