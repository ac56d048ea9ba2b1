//! What is given: trips between stations and distances between places.

/// A square of whole numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SquareMatrix {
    size: usize,
    values: Vec<i64>,
}

impl SquareMatrix {
    /// Row by row; nothing if that makes no square.
    pub fn new(size: usize, values: Vec<i64>) -> Option<SquareMatrix> {
        let is_square = size.checked_mul(size) == Some(values.len());
        is_square.then_some(SquareMatrix { size, values })
    }

    pub fn size(&self) -> usize {
        self.size
    }

    pub fn at(&self, row: usize, column: usize) -> i64 {
        self.values[row * self.size + column]
    }

    pub(super) fn is_symmetric(&self) -> bool {
        let all = 0..self.size;
        all.clone()
            .all(|row| (0..row).all(|column| self.at(row, column) == self.at(column, row)))
    }

    fn largest(&self) -> i64 {
        self.values.iter().copied().max().unwrap_or_default()
    }

    fn has_negative(&self) -> bool {
        self.values.iter().any(|&value| value < 0)
    }
}

/// Stations with the trips between them, and as many places or more with the distances between those.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssignmentProblem {
    trips: SquareMatrix,
    distances: SquareMatrix,
}

/// No sum and no difference of sums is larger than this many times the products of the largest numbers for all pairs:
/// differences of four sums of two numbers each, for both directions.
const LARGEST_SUM: i128 = 32;

impl AssignmentProblem {
    /// Of trips from one station (row) to another one (column), and of distances from one place to another one. Nothing
    /// if there are no stations, fewer places than stations, numbers below 0, or sums that could pass 128 bits.
    pub fn new(trips: SquareMatrix, distances: SquareMatrix) -> Option<AssignmentProblem> {
        let problem = AssignmentProblem { trips, distances };
        let is_sound = problem.stations() >= 1
            && problem.places() >= problem.stations()
            && !problem.trips.has_negative()
            && !problem.distances.has_negative()
            && problem.largest_sum().is_some();
        is_sound.then_some(problem)
    }

    pub fn stations(&self) -> usize {
        self.trips.size()
    }

    pub fn places(&self) -> usize {
        self.distances.size()
    }

    /// From one station to another one.
    pub fn trips(&self) -> &SquareMatrix {
        &self.trips
    }

    /// From one place to another one.
    pub fn distances(&self) -> &SquareMatrix {
        &self.distances
    }

    /// The sum of trips times distance over all pairs of stations, in both directions and from each to itself, with each
    /// station at its place.
    pub fn cost(&self, places: &[usize]) -> i128 {
        let from_all = places.iter().enumerate();
        let cost = from_all.map(|(from, &place)| -> i128 {
            let to_all = places.iter().enumerate();
            to_all
                .map(|(to, &other)| {
                    i128::from(self.trips.at(from, to))
                        * i128::from(self.distances.at(place, other))
                })
                .sum()
        });
        cost.sum()
    }

    /// Whether every sum on the way fits into 64 bits.
    pub(super) fn fits_64_bits(&self) -> bool {
        self.largest_sum()
            .is_some_and(|largest| largest <= i128::from(i64::MAX))
    }

    /// More than any sum on the way; nothing if that does not fit into 128 bits.
    fn largest_sum(&self) -> Option<i128> {
        let places = i128::try_from(self.places()).ok()?;
        let product =
            i128::from(self.trips.largest()).checked_mul(i128::from(self.distances.largest()))?;
        let pairs = places.checked_mul(places)?;
        product.checked_mul(pairs)?.checked_mul(LARGEST_SUM)
    }
}
