//! What the exchange of any two stations would bring, kept up to date from one exchange to the next.
//!
//! Taillard, "Robust taboo search for the quadratic assignment problem", Parallel Computing 17 (1991): after stations r
//! and s have changed places, the gain of two others changes by a product of two differences. Distances are kept between
//! stations, and not between places, so that all of it runs along rows.

use super::exact::Exact;
use super::padded::Padded;

/// An assignment with what each exchange of two stations would add to its cost.
#[derive(Debug)]
pub(super) struct Exchanges<'p, T> {
    padded: &'p Padded<T>,
    /// The place of each station.
    places: Vec<usize>,
    cost: T,
    /// For each direction the distances between the places of stations.
    distances: Vec<Vec<T>>,
    /// What the exchange of a station (row) with a later one adds; the rest of the square is not kept.
    added: Vec<T>,
    /// The least of each row.
    least: Vec<T>,
    /// Of the two that were exchanged last, for each direction.
    more_to_one: Vec<MoreToOne<T>>,
}

/// By how much more trips, and distances, there are to one station than to another one, from each.
#[derive(Debug, Clone)]
struct MoreToOne<T> {
    trips: Vec<T>,
    distances: Vec<T>,
}

impl<'p, T: Exact> Exchanges<'p, T> {
    pub fn of(padded: &'p Padded<T>, places: Vec<usize>) -> Exchanges<'p, T> {
        let size = padded.size;
        let directions = padded.directions.iter();
        let distances = directions.map(|direction| {
            let rows = places.iter().flat_map(|&from| {
                let row = &direction.distances[from * size..(from + 1) * size];
                places.iter().map(|&to| row[to])
            });
            rows.collect()
        });
        let none = MoreToOne {
            trips: vec![T::default(); size],
            distances: vec![T::default(); size],
        };
        let mut exchanges = Exchanges {
            padded,
            cost: padded.cost(&places),
            distances: distances.collect(),
            places,
            added: vec![T::default(); size * size],
            least: vec![T::MOST; size],
            more_to_one: vec![none; padded.directions.len()],
        };
        for one in 0..padded.stations {
            for other in one + 1..size {
                exchanges.added[one * size + other] = exchanges.reckoned(one, other);
            }
        }
        exchanges.find_least();
        exchanges
    }

    pub fn places(&self) -> &[usize] {
        &self.places
    }

    pub fn cost(&self) -> T {
        self.cost
    }

    /// What exchanging a station with each later one adds, those first that come first.
    pub fn added_by(&self, one: usize) -> &[T] {
        let size = self.padded.size;
        &self.added[one * size + one + 1..(one + 1) * size]
    }

    /// The least that exchanging a station with a later one adds.
    pub fn least_by(&self, one: usize) -> T {
        self.least[one]
    }

    /// Exchanges two stations, of which the first one comes first.
    pub fn exchange(&mut self, one: usize, other: usize) {
        let size = self.padded.size;
        self.cost += self.added[one * size + other];
        self.carry_over(one, other);
        for distances in &mut self.distances {
            let (before, behind) = distances.split_at_mut(other * size);
            before[one * size..(one + 1) * size].swap_with_slice(&mut behind[..size]);
            for row in distances.chunks_exact_mut(size) {
                row.swap(one, other);
            }
        }
        self.places.swap(one, other);
        for touched in [one, other] {
            for station in 0..touched.min(self.padded.stations) {
                self.added[station * size + touched] = self.reckoned(station, touched);
            }
            if touched < self.padded.stations {
                for station in touched + 1..size {
                    self.added[touched * size + station] = self.reckoned(touched, station);
                }
            }
        }
        self.find_least();
    }

    /// Exchanges as long as one makes it better, the best one first.
    pub fn descend(&mut self) {
        while let Some((one, other)) = self.best() {
            self.exchange(one, other);
        }
    }

    /// The exchange that makes it better by most.
    fn best(&self) -> Option<(usize, usize)> {
        let one = (0..self.padded.stations).min_by_key(|&one| self.least[one])?;
        let least = self.least[one];
        let behind = self
            .added_by(one)
            .iter()
            .position(|&added| added == least)?;
        (least < T::default()).then_some((one, one + 1 + behind))
    }

    /// Brings up to date what exchanges of others than these two add.
    fn carry_over(&mut self, one: usize, other: usize) {
        let size = self.padded.size;
        let [one, other] = [one, other].map(|station| station * size..(station + 1) * size);
        let directions = self.padded.directions.iter().zip(&self.distances);
        for ((direction, distances), more) in directions.zip(&mut self.more_to_one) {
            let trips = &direction.trips;
            difference(&mut more.trips, &trips[one.clone()], &trips[other.clone()]);
            difference(
                &mut more.distances,
                &distances[one.clone()],
                &distances[other.clone()],
            );
        }
        let rows = self.added.chunks_exact_mut(size).enumerate();
        for (station, row) in rows.take(self.padded.stations) {
            for more in &self.more_to_one {
                let (trips, distances) = (more.trips[station], more.distances[station]);
                let later = more.trips.iter().zip(&more.distances).skip(station + 1);
                for (added, (&other_trips, &other_distances)) in
                    row[station + 1..].iter_mut().zip(later)
                {
                    *added += (trips - other_trips) * (distances - other_distances);
                }
            }
        }
    }

    /// What the exchange of two stations adds, from the beginning.
    fn reckoned(&self, one: usize, other: usize) -> T {
        let (size, places) = (self.padded.size, &self.places);
        let row = |station: usize| station * size..(station + 1) * size;
        let (here, there) = (one * size + other, other * size + one);
        let mut sum = T::default();
        for (direction, distances) in self.padded.directions.iter().zip(&self.distances) {
            let trips = &direction.trips;
            let others = (trips[row(one)].iter().zip(&trips[row(other)]))
                .zip(distances[row(one)].iter().zip(&distances[row(other)]));
            for ((&trips_one, &trips_other), (&distance_one, &distance_other)) in others {
                sum += (trips_one - trips_other) * (distance_other - distance_one);
            }
            // The two are no third ones to themselves.
            sum += trips[here] * distances[here] + trips[there] * distances[there];
        }
        if let [direction, _] = &self.padded.directions[..] {
            let (trips, distances) = (&direction.trips, &self.distances[0]);
            sum += (trips[here] - trips[there]) * (distances[there] - distances[here]);
        }
        let own = |station: usize, at: usize| self.padded.own[station * size + places[at]];
        sum + own(one, other) + own(other, one) - own(one, one) - own(other, other)
    }

    fn find_least(&mut self) {
        for one in 0..self.padded.stations {
            let least = self.added_by(one).iter().copied().min();
            self.least[one] = least.unwrap_or(T::MOST);
        }
    }
}

fn difference<T: Exact>(into: &mut [T], minuends: &[T], subtrahends: &[T]) {
    for (into, (&minuend, &subtrahend)) in into.iter_mut().zip(minuends.iter().zip(subtrahends)) {
        *into = minuend - subtrahend;
    }
}

#[cfg(test)]
mod tests {
    use rand::RngExt;

    use super::*;
    use crate::improve::assignment::{AssignmentProblem, SquareMatrix};
    use crate::random::{Key, Stream};

    fn drawn(size: usize, is_symmetric: bool, stream: &mut Stream) -> SquareMatrix {
        let mut values: Vec<i64> = (0..size * size)
            .map(|_| stream.random_range(0..20))
            .collect();
        if is_symmetric {
            for row in 0..size {
                for column in 0..row {
                    values[row * size + column] = values[column * size + row];
                }
            }
        }
        SquareMatrix::new(size, values).expect("a square")
    }

    fn agree<T: Exact>(problem: &AssignmentProblem, stream: &mut Stream) {
        let padded = Padded::<T>::of(problem);
        let mut exchanges = Exchanges::of(&padded, (0..padded.size).collect());
        let cost = |places: &[usize]| problem.cost(&places[..problem.stations()]);
        for _ in 0..20 {
            for one in 0..padded.stations {
                for (other, &added) in (one + 1..).zip(exchanges.added_by(one)) {
                    let mut places = exchanges.places().to_vec();
                    places.swap(one, other);
                    let after = cost(&places) - cost(exchanges.places());
                    assert_eq!(added.into(), after, "{problem:?}");
                }
            }
            if padded.size > 1 {
                let one = stream.random_range(0..padded.stations.min(padded.size - 1));
                let other = stream.random_range(one + 1..padded.size);
                exchanges.exchange(one, other);
            }
            assert_eq!(exchanges.cost().into(), cost(exchanges.places()));
        }
        exchanges.descend();
        assert_eq!(exchanges.best(), None);
    }

    /// Against the sum itself, before and after: the same there and back or not, with trips from a station to itself, and
    /// with places that are left over.
    #[test]
    fn exchanges_add_what_the_sum_grows_by() {
        let mut stream = Stream::new(Key::from_seed(5));
        for case in 0..120 {
            let places = stream.random_range(1..9);
            let stations = stream.random_range(1..=places);
            let trips = drawn(stations, case % 2 == 0, &mut stream);
            let distances = drawn(places, case % 3 == 0, &mut stream);
            let problem = AssignmentProblem::new(trips, distances).expect("it is sound");
            agree::<i64>(&problem, &mut stream);
            agree::<i128>(&problem, &mut stream);
        }
    }
}
