//! What an assignment costs at least (Gilmore 1962, Lawler 1963).
//!
//! From a station at a place, trips to others cost at least what they do if the most frequent one goes to the nearest
//! place. With that for every station and place, the least matching of stations to places is a lower bound, in which
//! stations only seem to agree on who stands where.

use super::exact::Exact;
use super::least_matching::{LeastMatching, least_matching};
use super::problem::{AssignmentProblem, SquareMatrix};

/// The numbers of a problem, and in which order they are taken.
#[derive(Debug)]
pub(super) struct LowerBounds<T> {
    pub stations: usize,
    pub places: usize,
    trips: Vec<T>,
    distances: Vec<T>,
    /// For each station the others, the one with the most trips to it first.
    most_trips: Vec<Vec<usize>>,
    /// For each place the others, the nearest first.
    nearest: Vec<Vec<usize>>,
}

/// Some stations that have their places, and what that makes of the others.
#[derive(Debug, Clone)]
pub(super) struct Partial<T> {
    /// The place of each station that has one.
    pub places: Vec<Option<usize>>,
    pub is_taken: Vec<bool>,
    /// What it costs among those that have their places.
    pub cost: T,
    /// What a station (row) costs at a place by trips to itself and those that have their places.
    to_placed: Vec<T>,
}

/// A lower bound, by the matching from which it comes.
#[derive(Debug)]
pub(super) struct Bound<T> {
    pub least: T,
    pub free_stations: Vec<usize>,
    pub free_places: Vec<usize>,
    /// What each free station costs at least at each free place.
    costs: Vec<T>,
    matching: LeastMatching<T>,
}

impl<T: Exact> LowerBounds<T> {
    pub fn of(problem: &AssignmentProblem) -> LowerBounds<T> {
        let (stations, places) = (problem.stations(), problem.places());
        let numbers = |matrix: &SquareMatrix| -> Vec<T> {
            let size = matrix.size();
            let cells = (0..size).flat_map(|row| (0..size).map(move |column| (row, column)));
            cells
                .map(|(row, column)| T::from(matrix.at(row, column)))
                .collect()
        };
        let others = |size: usize, of: usize| (0..size).filter(move |&other| other != of).collect();
        let most_trips = (0..stations).map(|from| {
            let mut most: Vec<usize> = others(stations, from);
            most.sort_by_key(|&to| std::cmp::Reverse(problem.trips().at(from, to)));
            most
        });
        let nearest = (0..places).map(|from| {
            let mut nearest: Vec<usize> = others(places, from);
            nearest.sort_by_key(|&to| problem.distances().at(from, to));
            nearest
        });
        LowerBounds {
            stations,
            places,
            trips: numbers(problem.trips()),
            distances: numbers(problem.distances()),
            most_trips: most_trips.collect(),
            nearest: nearest.collect(),
        }
    }

    /// Nobody has a place yet.
    pub fn begun(&self) -> Partial<T> {
        let cells = (0..self.stations).flat_map(|station| {
            let trips = self.trips[station * self.stations + station];
            (0..self.places).map(move |place| trips * self.distances[place * self.places + place])
        });
        Partial {
            places: vec![None; self.stations],
            is_taken: vec![false; self.places],
            cost: T::default(),
            to_placed: cells.collect(),
        }
    }

    /// The same with one more station at a free place.
    pub fn placed(&self, partial: &Partial<T>, station: usize, place: usize) -> Partial<T> {
        let mut more = partial.clone();
        more.cost += partial.to_placed[station * self.places + place];
        more.places[station] = Some(place);
        more.is_taken[place] = true;
        let trips = |from: usize, to: usize| self.trips[from * self.stations + to];
        let distance = |from: usize, to: usize| self.distances[from * self.places + to];
        for other in (0..self.stations).filter(|&other| more.places[other].is_none()) {
            let (there, back) = (trips(station, other), trips(other, station));
            let row = &mut more.to_placed[other * self.places..(other + 1) * self.places];
            for (at, cost) in row.iter_mut().enumerate() {
                *cost += there * distance(place, at) + back * distance(at, place);
            }
        }
        more
    }

    /// What it costs at least, wherever the others go.
    pub fn bound(&self, partial: &Partial<T>) -> Bound<T> {
        let is_free = |&station: &usize| partial.places[station].is_none();
        let free_stations: Vec<usize> = (0..self.stations).filter(is_free).collect();
        let free_places: Vec<usize> = (0..self.places)
            .filter(|&place| !partial.is_taken[place])
            .collect();
        let distances: Vec<Vec<T>> = (free_places.iter())
            .map(|&from| {
                let nearest = self.nearest[from]
                    .iter()
                    .filter(|&&to| !partial.is_taken[to]);
                nearest
                    .map(|&to| self.distances[from * self.places + to])
                    .collect()
            })
            .collect();
        let mut costs = Vec::with_capacity(free_stations.len() * free_places.len());
        for &from in &free_stations {
            let trips: Vec<T> = (self.most_trips[from]
                .iter()
                .filter(|station| is_free(station)))
            .map(|&to| self.trips[from * self.stations + to])
            .collect();
            for (&place, distances) in free_places.iter().zip(&distances) {
                let to_free = trips.iter().zip(distances);
                let to_free: T = to_free.map(|(&trips, &distance)| trips * distance).sum();
                costs.push(partial.to_placed[from * self.places + place] + to_free);
            }
        }
        let matching = least_matching(&costs, free_stations.len(), free_places.len());
        Bound {
            least: partial.cost + matching.cost,
            free_stations,
            free_places,
            costs,
            matching,
        }
    }
}

impl<T: Exact> Bound<T> {
    /// The free station that is dearest to put elsewhere, and for each free place what it costs at least if it goes there:
    /// the least first.
    pub fn branches(&self) -> Option<(usize, Vec<(T, usize)>)> {
        let rows = 0..self.free_stations.len();
        let all = |row: usize| -> T { self.more_at(row).sum() };
        let row = rows.max_by_key(|&row| (all(row), std::cmp::Reverse(row)))?;
        let mut branches: Vec<(T, usize)> = (self.more_at(row))
            .zip(&self.free_places)
            .map(|(more, &place)| (self.least + more, place))
            .collect();
        branches.sort_unstable();
        Some((self.free_stations[row], branches))
    }

    /// By how much the bound grows at least when a station goes to each of the free places.
    fn more_at(&self, row: usize) -> impl Iterator<Item = T> {
        let columns = self.free_places.len();
        let costs = &self.costs[row * columns..(row + 1) * columns];
        let of_row = self.matching.of_rows[row];
        let cells = costs.iter().zip(&self.matching.of_columns);
        cells.map(move |(&cost, &of_column)| cost - of_row - of_column)
    }

    /// How much work it was, by the products that were taken.
    pub fn work(&self) -> u64 {
        let (stations, places) = (self.free_stations.len(), self.free_places.len());
        (stations * stations * places) as u64
    }
}
