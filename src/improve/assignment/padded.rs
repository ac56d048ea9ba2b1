//! The problem with as many stations as places, in the form in which exchanges are reckoned.

use super::exact::Exact;
use super::problem::AssignmentProblem;

/// Trips and distances by which the sum over pairs is taken in one direction.
#[derive(Debug, Clone)]
pub(super) struct OneDirection<T> {
    /// From one station (row) to another one.
    pub trips: Vec<T>,
    /// From one place (row) to another one.
    pub distances: Vec<T>,
}

/// The problem with stations that nobody goes to at the places that are left.
#[derive(Debug, Clone)]
pub(super) struct Padded<T> {
    /// Those that trips lead to.
    pub stations: usize,
    /// Of stations and of places.
    pub size: usize,
    /// Both directions of trips in one, where trips or distances are the same there and back; otherwise two, of which the
    /// second one has the columns of the first one as rows. Diagonals are zero.
    pub directions: Vec<OneDirection<T>>,
    /// What a station (row) costs at a place by trips from it to itself.
    pub own: Vec<T>,
}

impl<T: Exact> Padded<T> {
    pub fn of(problem: &AssignmentProblem) -> Padded<T> {
        let (stations, size) = (problem.stations(), problem.places());
        let trips = |from: usize, to: usize| match from < stations && to < stations {
            true => T::from(problem.trips().at(from, to)),
            false => T::default(),
        };
        let distances = |from: usize, to: usize| T::from(problem.distances().at(from, to));
        let both_trips = |from, to| trips(from, to) + trips(to, from);
        let both_distances = |from, to| distances(from, to) + distances(to, from);
        let square = |value: &dyn Fn(usize, usize) -> T| -> Vec<T> {
            let cells = (0..size).flat_map(|row| (0..size).map(move |column| (row, column)));
            cells
                .map(|(row, column)| match row == column {
                    true => T::default(),
                    false => value(row, column),
                })
                .collect()
        };
        let direction = |trips: &dyn Fn(usize, usize) -> T,
                         distances: &dyn Fn(usize, usize) -> T| {
            OneDirection {
                trips: square(trips),
                distances: square(distances),
            }
        };
        let directions = match (
            problem.distances().is_symmetric(),
            problem.trips().is_symmetric(),
        ) {
            (true, _) => vec![direction(&both_trips, &distances)],
            (false, true) => vec![direction(&trips, &both_distances)],
            (false, false) => vec![
                direction(&trips, &distances),
                direction(&|from, to| trips(to, from), &|from, to| distances(to, from)),
            ],
        };
        let cells = (0..size).flat_map(|station| (0..size).map(move |place| (station, place)));
        let own = cells.map(|(station, place)| trips(station, station) * distances(place, place));
        Padded {
            stations,
            size,
            directions,
            own: own.collect(),
        }
    }

    /// The sum of trips times distance.
    pub fn cost(&self, places: &[usize]) -> T {
        let size = self.size;
        let pairs = |direction: &OneDirection<T>| -> T {
            let rows = places.iter().enumerate();
            rows.map(|(from, &place)| -> T {
                // Where both directions are in one, each pair counts once; the two of the other form count it twice.
                let others = places.iter().enumerate().take(from);
                others
                    .map(|(to, &other)| {
                        direction.trips[from * size + to]
                            * direction.distances[place * size + other]
                    })
                    .sum()
            })
            .sum()
        };
        let own = places.iter().enumerate();
        let own: T = own
            .map(|(station, &place)| self.own[station * size + place])
            .sum();
        self.directions.iter().map(pairs).sum::<T>() + own
    }

    /// The same assignment, with stations that nobody goes to in the order of their places: who stands where among them
    /// makes no difference.
    pub fn settled(&self, mut places: Vec<usize>) -> Vec<usize> {
        places[self.stations..].sort_unstable();
        places
    }
}
