//! The whole search: rounds until nothing better is believed to be there, and then the proof.

use super::exact::Exact;
use super::exchange::Exchanges;
use super::padded::Padded;
use super::population::Population;
use super::problem::AssignmentProblem;
use super::proof::proved;
use crate::random::Key;

/// Up to so many places all assignments are gone through, by branch and bound, and nothing else is tried.
const FEW_PLACES: usize = 8;

/// When so many populations have settled at the same least cost, nothing better is believed to be there.
const AGREEING_POPULATIONS: u64 = 3;

/// After so many populations that found nothing better it is left at that.
const MOST_POPULATIONS: u64 = 8;

/// So much is done to prove that nothing is better: products that are taken for bounds.
const MOST_WORK: u64 = 80_000_000;

/// How long a search may go on.
pub struct AssignmentLimits<'k> {
    /// Rounds at most.
    pub rounds: u64,
    /// Asked again and again, on any thread: whether to go on. A round that is not finished then has not been.
    pub keep_on: &'k (dyn Fn() -> bool + Sync),
    /// Told how many rounds there were, after each.
    pub told: &'k dyn Fn(u64),
}

/// Why a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AssignmentEnd {
    /// No assignment costs less.
    Proved,
    /// Several populations came to the same, or nothing better has come for long.
    Settled,
    /// As many rounds as were asked for.
    Rounds,
    /// Nobody went on waiting.
    Stopped,
}

/// The best assignment found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundAssignment {
    /// The place of each station.
    pub places: Vec<usize>,
    pub cost: i128,
    /// No assignment costs less than this.
    pub at_least: i128,
    pub end: AssignmentEnd,
    /// Whole rounds that were played.
    pub rounds: u64,
    /// Populations, each from nothing, that settled at this cost.
    pub agreeing: u64,
}

/// Looks for the assignment that costs least, from the given order on.
pub fn search(
    problem: &AssignmentProblem,
    seed: u64,
    limits: &AssignmentLimits<'_>,
) -> FoundAssignment {
    match problem.fits_64_bits() {
        true => AssignmentSearch::<i64>::begin(problem).run(seed, limits),
        false => AssignmentSearch::<i128>::begin(problem).run(seed, limits),
    }
}

struct AssignmentSearch<'p, T> {
    problem: &'p AssignmentProblem,
    padded: Padded<T>,
    best: (T, Vec<usize>),
    rounds: u64,
    agreeing: u64,
}

impl<'p, T: Exact> AssignmentSearch<'p, T> {
    /// The given order, and exchanges that make it better.
    fn begin(problem: &'p AssignmentProblem) -> AssignmentSearch<'p, T> {
        let padded = Padded::of(problem);
        let mut exchanges = Exchanges::of(&padded, (0..padded.size).collect());
        exchanges.descend();
        let best = (
            exchanges.cost(),
            padded.settled(exchanges.places().to_vec()),
        );
        AssignmentSearch {
            problem,
            padded,
            best,
            rounds: 0,
            agreeing: 0,
        }
    }

    fn run(mut self, seed: u64, limits: &AssignmentLimits<'_>) -> FoundAssignment {
        let (end, most_work) = match self.padded.size <= FEW_PLACES {
            // Only whoever does not wait keeps it from a proof.
            true => (AssignmentEnd::Stopped, u64::MAX),
            false => match self.settle(Key::from_seed(seed).with_name("assignment"), limits) {
                AssignmentEnd::Settled => (AssignmentEnd::Settled, MOST_WORK),
                end => (end, 0),
            },
        };
        let (cost, mut places) = self.best;
        places.truncate(self.problem.stations());
        let proof = proved(self.problem, (places, cost), most_work, limits.keep_on);
        FoundAssignment {
            end: match proof.at_least == proof.cost {
                true => AssignmentEnd::Proved,
                false => end,
            },
            agreeing: match proof.cost < cost {
                true => 0,
                false => self.agreeing,
            },
            places: proof.places,
            cost: proof.cost.into(),
            at_least: proof.at_least.into(),
            rounds: self.rounds,
        }
    }

    /// Rounds until populations agree, or may not go on.
    fn settle(&mut self, key: Key, limits: &AssignmentLimits<'_>) -> AssignmentEnd {
        let mut fruitless = 0;
        for number in 0.. {
            let mut population = Population::new(key.with(number));
            let before = self.best.0;
            while !population.has_settled() {
                if self.rounds >= limits.rounds {
                    return AssignmentEnd::Rounds;
                }
                if population.round(&self.padded, limits.keep_on).is_none() {
                    return AssignmentEnd::Stopped;
                }
                self.rounds += 1;
                self.hear(&population);
                (limits.told)(self.rounds);
            }
            let has_agreed = population
                .best()
                .is_some_and(|(cost, _)| *cost == self.best.0);
            self.agreeing += u64::from(has_agreed);
            fruitless = if self.best.0 < before {
                0
            } else {
                fruitless + 1
            };
            if self.agreeing >= AGREEING_POPULATIONS || fruitless >= MOST_POPULATIONS {
                break;
            }
        }
        AssignmentEnd::Settled
    }

    fn hear(&mut self, population: &Population<T>) {
        if let Some(best) = population.best().filter(|(cost, _)| *cost < self.best.0) {
            self.best.clone_from(best);
            self.agreeing = 0;
        }
    }
}

#[cfg(test)]
mod tests {
    use rand::RngExt;
    use rand::seq::SliceRandom;

    use super::*;
    use crate::improve::assignment::SquareMatrix;
    use crate::random::Stream;

    fn drawn(size: usize, most: i64, stream: &mut Stream) -> Vec<i64> {
        (0..size * size)
            .map(|_| stream.random_range(0..=most))
            .collect()
    }

    fn least(problem: &AssignmentProblem, places: &mut Vec<usize>) -> i128 {
        if places.len() == problem.stations() {
            return problem.cost(places);
        }
        let mut best = i128::MAX;
        for place in 0..problem.places() {
            if !places.contains(&place) {
                places.push(place);
                best = best.min(least(problem, places));
                places.pop();
            }
        }
        best
    }

    fn patient(rounds: u64) -> AssignmentLimits<'static> {
        AssignmentLimits {
            rounds,
            keep_on: &|| true,
            told: &|_| (),
        }
    }

    fn problem(
        stations: usize,
        places: usize,
        most: i64,
        stream: &mut Stream,
    ) -> AssignmentProblem {
        let [trips, distances] = [stations, places]
            .map(|size| SquareMatrix::new(size, drawn(size, most, stream)).expect("a square"));
        AssignmentProblem::new(trips, distances).expect("it is sound")
    }

    /// Against all assignments: there and back not the same, trips from a station to itself, places left over.
    #[test]
    fn no_assignment_of_a_few_stations_costs_less() {
        let mut stream = Stream::new(Key::from_seed(11));
        for case in 0..150 {
            let places = stream.random_range(1..8);
            let stations = stream.random_range(1..=places);
            let most = [1, 9, 1_000, 100_000_000_000_000_000][case % 4];
            let problem = problem(stations, places, most, &mut stream);
            let found = search(&problem, case as u64, &patient(u64::MAX));
            assert_eq!(found.end, AssignmentEnd::Proved);
            assert_eq!(found.cost, least(&problem, &mut Vec::new()), "{problem:?}");
            assert_eq!(problem.cost(&found.places), found.cost);
            assert_eq!(found.at_least, found.cost);
        }
    }

    /// With more places there are rounds first; the bound never passes the least, and the proof agrees with the rounds.
    #[test]
    fn rounds_find_what_all_assignments_have_least() {
        let mut stream = Stream::new(Key::from_seed(12));
        for (stations, places) in [(5, 9), (6, 9), (5, 10)] {
            let problem = problem(stations, places, 30, &mut stream);
            let least = least(&problem, &mut Vec::new());
            let brief = search(&problem, 3, &patient(1));
            assert_eq!((brief.cost, brief.rounds), (least, 1));
            assert!(brief.at_least <= least);
            let whole = search(&problem, 4, &patient(u64::MAX));
            assert_eq!((whole.cost, whole.end), (least, AssignmentEnd::Proved));
        }
    }

    /// Places may be numbered in any way.
    #[test]
    fn the_least_sum_does_not_depend_on_the_order_of_places() {
        let mut stream = Stream::new(Key::from_seed(13));
        let problem = problem(7, 8, 50, &mut stream);
        let found = search(&problem, 1, &patient(u64::MAX));
        let mut order: Vec<usize> = (0..8).collect();
        order.shuffle(&mut stream);
        let distances = order
            .iter()
            .flat_map(|&from| order.iter().map(move |&to| (from, to)));
        let distances = distances
            .map(|(from, to)| problem.distances().at(from, to))
            .collect();
        let distances = SquareMatrix::new(8, distances).expect("a square");
        let other =
            AssignmentProblem::new(problem.trips().clone(), distances).expect("it is sound");
        assert_eq!(search(&other, 1, &patient(u64::MAX)).cost, found.cost);
    }

    #[test]
    fn whoever_does_not_wait_has_the_given_order_made_better_by_exchanges() {
        let mut stream = Stream::new(Key::from_seed(14));
        let problem = problem(12, 12, 50, &mut stream);
        let limits = AssignmentLimits {
            keep_on: &|| false,
            ..patient(u64::MAX)
        };
        let found = search(&problem, 1, &limits);
        assert_eq!((found.end, found.rounds), (AssignmentEnd::Stopped, 0));
        assert!(found.cost < problem.cost(&(0..12).collect::<Vec<_>>()));
        assert!(found.at_least < found.cost);
    }

    #[test]
    fn where_nobody_goes_the_given_order_is_left() {
        let zero = SquareMatrix::new(12, vec![0; 144]).expect("a square");
        let problem = AssignmentProblem::new(zero.clone(), zero).expect("it is sound");
        let found = search(&problem, 1, &patient(1));
        assert_eq!(found.places, (0..12).collect::<Vec<_>>());
        assert_eq!((found.cost, found.end), (0, AssignmentEnd::Proved));
    }
}
