//! Floors on which something moves: what is kept of the floor before must not show.

use proptest::prelude::*;
use shopstride::floor::{FreeSpace, Move, Outcome, Placement, Point, Polygon, Trip, Trips};

use super::scenes::{obstacle, polygon, scene};
use crate::support::drawn;

proptest! {
    #![proptest_config(drawn(2000))]

    #[test]
    fn a_floor_after_moves_is_the_floor_made_anew(
        scene in scene(),
        moves in prop::collection::vec((obstacle(), 0..7_usize), 1..4),
        together in any::<bool>(),
    ) {
        let mut obstacles = scene.obstacles.clone();
        let count = obstacles.len();
        if count > 0 {
            let mut changes: Vec<(usize, Polygon)> = Vec::new();
            for (outline, index) in moves {
                changes.retain(|&(other, _)| other != index % count);
                changes.push((index % count, outline));
            }
            let mut ground = scene.ground();
            ground.survey();
            for (index, outline) in &changes {
                obstacles[*index] = outline.clone();
            }
            if together {
                ground = ground.moved(&changes);
            } else {
                for change in changes {
                    ground = ground.moved(&[change]);
                }
            }
            let anew = FreeSpace::new(scene.room.as_ref(), &obstacles, scene.radius);
            let nearest: Vec<_> = scene.places.iter().map(|&place| anew.nearest_free(place)).collect();
            for (&place, nearest) in scene.places.iter().zip(&nearest) {
                prop_assert_eq!(ground.is_free(place), anew.is_free(place));
                prop_assert_eq!(&ground.nearest_free(place), nearest);
            }
            let places: Vec<Point> = scene.places.into_iter().chain(nearest.into_iter().flatten()).collect();
            prop_assert_eq!(ground.components(&places), anew.components(&places));
            prop_assert_eq!(ground.all_pairs(&places), anew.all_pairs(&places));
        }
    }
}

/// Numbers from 0 to 1, the same at every run: the additive step and the mixing of SplitMix64.
struct Spread(u64);

impl Spread {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn index(&mut self, count: usize) -> usize {
        (self.next() * count as f64) as usize
    }
}

const RADIUS: f64 = 0.25;

fn placement(at: Point, size: (f64, f64), turn: f64) -> Placement {
    Placement::new(at, turn, size)
}

fn outline(placement: &Placement) -> Polygon {
    placement.footprint().expect("it has a size")
}

/// Moves of one station after the other in a room that begin from rows of stations: each is accepted if its total is
/// no greater than a threshold that lets it grow a little, as a search does it. Returns how many were accepted, too
/// long, and cut off.
fn moves_equal_floors_made_anew(
    room: &Polygon,
    columns: usize,
    rows: usize,
    moves: u32,
) -> [u32; 3] {
    let mut spread = Spread(u64::from(moves));
    let (low, high) = room.bounds();
    let pitch = Point::new(
        (high.x - low.x) / columns as f64,
        (high.y - low.y) / rows as f64,
    );
    let mut stations: Vec<Placement> = (0..columns * rows)
        .map(|n| {
            let at = Point::new((n % columns) as f64 + 0.5, (n / columns) as f64 + 0.6);
            let size = (0.3 + 0.4 * spread.next(), 0.2 + 0.3 * spread.next());
            placement(Point::new(at.x * pitch.x, at.y * pitch.y), size, 0.0)
        })
        .filter(|station| {
            let ground = FreeSpace::new(Some(room), &[], RADIUS);
            room.contains(station.at) && ground.is_free(station.standing()).is_ok()
        })
        .collect();
    let count = stations.len();
    let trips: Vec<Trip> = (0..2 * count)
        .map(|_| Trip {
            between: [spread.index(count), spread.index(count)],
            weight: 0.5 + spread.next(),
        })
        .collect();
    let places = |stations: &[Placement]| -> Vec<Point> {
        stations.iter().map(Placement::standing).collect()
    };
    let outlines =
        |stations: &[Placement]| -> Vec<Polygon> { stations.iter().map(outline).collect() };
    let anew = |stations: &[Placement]| -> Option<f64> {
        let ground = FreeSpace::new(Some(room), &outlines(stations), RADIUS);
        let all = ground.all_pairs(&places(stations));
        let lengths = trips
            .iter()
            .map(|trip| Some(trip.weight * all.length(trip.between[0], trip.between[1])?));
        lengths.sum()
    };
    let all = (outlines(&stations), places(&stations));
    let mut walked =
        Trips::new(Some(room), all.0, RADIUS, all.1, trips.clone()).expect("rows are open");
    let mut counts = [0; 3];
    for number in 0..moves {
        let mut moved = stations.clone();
        let station = spread.index(count);
        let at = match spread.index(3) {
            0 => Point::new(
                low.x + spread.next() * (high.x - low.x),
                low.y + spread.next() * (high.y - low.y),
            ),
            _ => stations[station].at + Point::new(spread.next() - 0.5, spread.next() - 0.5),
        };
        let turn = [stations[station].turn, 90.0, 17.0][spread.index(3)];
        moved[station] = placement(at, stations[station].size, turn);
        let change = Move {
            obstacles: &[(station, outline(&moved[station]))],
            places: &[(station, moved[station].standing())],
        };
        let threshold = walked.total() * (0.95 + 0.1 * spread.next());
        // Whether there is a way at all is asked only where any length will do.
        let most = match number % 2 {
            0 => threshold,
            _ => f64::INFINITY,
        };
        let total = anew(&moved);
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b);
        match walked.try_move(&change, most) {
            Outcome::Longer(least) => {
                assert!(
                    least > most && total.is_none_or(|total| total >= least - 1e-9),
                    "{least} {total:?}"
                );
                counts[1] += 1;
            }
            Outcome::CutOff(_) => {
                assert_eq!((total, most), (None, f64::INFINITY));
                counts[2] += 1;
            }
            Outcome::Moved(found) => {
                let total = total.expect("there is a way");
                assert!(
                    near(found.total, total) && found.total <= most,
                    "{} {total}",
                    found.total
                );
                if total > threshold {
                    continue;
                }
                walked.accept(&change, found);
                assert!(near(walked.total(), total));
                stations = moved;
                counts[0] += 1;
            }
        }
    }
    // The walks that are kept are still those of the floor as it is.
    let ground = FreeSpace::new(Some(room), &outlines(&stations), RADIUS);
    for (index, trip) in trips.iter().enumerate() {
        let [from, to] = trip.between.map(|place| stations[place].standing());
        let path = ground.path(from, to).expect("there is a way");
        assert!((walked.path(index).length - path.length).abs() <= 1e-9);
        assert!((walked.path(index).from, walked.path(index).to) == (from, to));
    }
    counts
}

#[test]
fn moves_in_a_garage_come_to_what_floors_made_anew_come_to() {
    let garage = polygon(&[(0.0, 0.0), (7.3, 0.0), (7.3, 6.1), (0.0, 6.1)]);
    let counts = moves_equal_floors_made_anew(&garage, 4, 3, 3000);
    assert!(counts.iter().all(|&count| count > 100), "{counts:?}");
}

#[test]
fn moves_in_a_bent_room_come_to_what_floors_made_anew_come_to() {
    let bent = polygon(&[
        (0.0, 0.0),
        (6.0, 0.0),
        (6.0, 1.0),
        (7.0, 1.0),
        (7.0, 0.0),
        (14.0, 0.0),
        (14.0, 5.0),
        (11.0, 6.5),
        (11.0, 10.0),
        (2.0, 10.0),
        (2.0, 8.0),
        (0.0, 8.0),
    ]);
    let counts = moves_equal_floors_made_anew(&bent, 7, 5, 400);
    assert!(counts.iter().all(|&count| count > 10), "{counts:?}");
}
