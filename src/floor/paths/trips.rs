//! How far people walk in all, and how far they would if something stood elsewhere.

use std::sync::OnceLock;

use super::super::{Point, Polygon, nearest_on_segment};
use super::bounds::Bounds;
use super::detour::around;
use super::path::{Path, Piece};
use super::{FITS_M, FreeSpace};

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
    /// There is no way for this trip, or no room for a body at one of its ends.
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

/// What is known of a trip without looking for its walk.
#[derive(Debug, Clone, Copy)]
enum Known {
    Exactly(f64),
    AtLeast(f64),
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
        let known: Vec<Known> = (0..self.trips.len())
            .map(|trip| self.known(trip, change))
            .collect();
        let bound = |trip: usize| match known[trip] {
            Known::Exactly(length) | Known::AtLeast(length) => length,
        };
        let least = self.sum(bound);
        if least > most {
            return Outcome::Longer(least);
        }
        let open: Vec<usize> = (0..self.trips.len())
            .filter(|&trip| matches!(known[trip], Known::AtLeast(_)))
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
        let (mut sum, enough) = (least, most + 1e-9 * (1.0 + most.abs()));
        let mut cut_off = None;
        let found = space.pairs_until(&places, &pairs, &mut |pair, length| {
            let Some(length) = length else {
                cut_off = Some(pair);
                return true;
            };
            for (&trip, of) in open.iter().zip(&pairs) {
                if *of == pair || *of == [pair[1], pair[0]] {
                    sum += self.trips[trip].weight * (length - bound(trip));
                }
            }
            sum > enough
        });
        if let Some(pair) = cut_off {
            let of = |trip: &&usize| {
                let between = self.trips[**trip].between;
                between == pair || between == [pair[1], pair[0]]
            };
            return Outcome::CutOff(open.iter().find(of).map_or(0, |&trip| trip));
        }
        if sum > enough {
            return Outcome::Longer(sum);
        }
        let mut walks = Vec::with_capacity(open.len());
        for (&trip, &[from, to]) in open.iter().zip(&pairs) {
            match found.path(from, to) {
                Some(path) => walks.push((trip, Walked::new(path))),
                None => return Outcome::CutOff(trip),
            }
        }
        let new = |trip: usize| {
            let at = walks.binary_search_by_key(&trip, |&(trip, _)| trip);
            at.map_or(bound(trip), |at| walks[at].1.path.length)
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

    /// What a move leaves of what is known of a trip.
    ///
    /// Where none of its ends moves, whatever new stands in the way makes it no shorter, and where an obstacle stood, a
    /// shorter way leads only if one gets from one end to the floor on which nobody could be because of it, and on to
    /// the other end, within the old length.
    fn known(&self, trip: usize, change: &Move<'_>) -> Known {
        let between = self.trips[trip].between;
        let walked = &self.walks[trip];
        let end = |place: usize| {
            let moved = change.places.iter().find(|&&(other, _)| other == place);
            moved.map_or(self.places[place], |&(_, at)| at)
        };
        let (from, to) = (end(between[0]), end(between[1]));
        if from != self.places[between[0]] || to != self.places[between[1]] {
            return Known::AtLeast(self.around_one(from, to, change));
        }
        let length = walked.path.length;
        let reach = self.space.measure.reach;
        let shortcut = (change.obstacles.iter())
            .map(|&(obstacle, _)| {
                let old = &self.obstacles[obstacle];
                let away = |place: Point| (distance(place, old) - reach).max(0.0);
                away(from) + away(to)
            })
            .fold(length, f64::min);
        if shortcut < length {
            return Known::AtLeast(shortcut.max(from.distance(to)));
        }
        let keeps_clear = |(_, outline): &(usize, Polygon)| keeps(walked, outline, reach + FITS_M);
        match change.obstacles.iter().all(keeps_clear) {
            true => Known::Exactly(length),
            false => Known::AtLeast(length),
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
    let stays = |piece: &Piece| match *piece {
        Piece::Line { from, to } => {
            around.misses(&Bounds::of(&[from, to])) || segment_keeps((from, to), outline, away)
        }
        Piece::Arc { centre, radius, .. } => distance(centre, outline) >= away + radius,
    };
    distance(path.from, outline) >= away && path.pieces.iter().all(stays)
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
