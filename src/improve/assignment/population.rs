//! A population of assignments that is improved round by round.

use rand::RngExt;
use rayon::prelude::*;

use super::children::{crossed, drawn};
use super::exact::Exact;
use super::padded::Padded;
use super::tabu::improved;
use crate::random::{Key, Stream};

/// Assignments in a population, and children in a round.
const PARENTS: usize = 12;

/// A population has settled when so many rounds have brought no better one.
const FRUITLESS_ROUNDS: u64 = 3;

/// Iterations on a child for each station.
const ITERATIONS: u64 = 50;

/// More exchanges than this are not looked at for one child, so that no round takes long.
const MOST_EXCHANGES: u64 = 50_000_000;

/// Assignments without double ones, the best one first; those that cost the same by their places.
#[derive(Debug)]
pub(super) struct Population<T> {
    key: Key,
    rounds: u64,
    fruitless: u64,
    parents: Vec<(T, Vec<usize>)>,
}

impl<T: Exact> Population<T> {
    pub fn new(key: Key) -> Population<T> {
        Population {
            key,
            rounds: 0,
            fruitless: 0,
            parents: Vec::new(),
        }
    }

    /// The best assignment, with its cost, once there was a round.
    pub fn best(&self) -> Option<&(T, Vec<usize>)> {
        self.parents.first()
    }

    pub fn has_settled(&self) -> bool {
        self.fruitless >= FRUITLESS_ROUNDS || (self.rounds > 0 && self.parents.len() == 1)
    }

    /// Makes the children of one round and lets the best ones live; nothing happens if somebody does not go on waiting.
    pub fn round(&mut self, padded: &Padded<T>, keep_on: &(dyn Fn() -> bool + Sync)) -> Option<()> {
        let key = self.key.with(self.rounds);
        let children: Option<Vec<(T, Vec<usize>)>> = (0..PARENTS as u64)
            .into_par_iter()
            .map(|child| {
                let mut stream = Stream::new(key.with(child));
                let start = self.begun(padded.size, &mut stream);
                improved(padded, start, iterations(padded.size), &mut stream, keep_on)
            })
            .collect();
        let before = self.best().map(|(cost, _)| *cost);
        self.parents.extend(children?);
        self.parents.sort();
        self.parents.dedup();
        self.parents.truncate(PARENTS);
        self.rounds += 1;
        self.fruitless = match self.best().map(|(cost, _)| *cost) == before {
            true => self.fruitless + 1,
            false => 0,
        };
        Some(())
    }

    /// Where a child begins: anywhere in the first round, and then between two parents.
    fn begun(&self, size: usize, stream: &mut Stream) -> Vec<usize> {
        let many = self.parents.len();
        if many < 2 {
            return drawn(size, stream);
        }
        let one = stream.random_range(0..many);
        let other = (one + stream.random_range(1..many)) % many;
        crossed(&self.parents[one].1, &self.parents[other].1, stream)
    }
}

fn iterations(size: usize) -> u64 {
    let size = size as u64;
    (ITERATIONS * size)
        .min(MOST_EXCHANGES / (size * size))
        .max(1)
}
