//! Places that are alike: a rectangle of places is the same when it is mirrored, so that whoever may stand in one corner
//! need not be tried in the others.

use super::problem::SquareMatrix;

/// Tries at pairing places, after which two are no longer held to be alike, though they may be.
const MOST_TRIES: usize = 20_000;

/// For each place the first one that it is alike: all distances can be found again from there.
pub(super) fn first_alike(distances: &SquareMatrix) -> Vec<usize> {
    let mut first: Vec<usize> = Vec::new();
    for place in 0..distances.size() {
        let alike =
            (0..place).find(|&other| first[other] == other && are_alike(distances, place, other));
        first.push(alike.unwrap_or(place));
    }
    first
}

fn are_alike(distances: &SquareMatrix, one: usize, other: usize) -> bool {
    let mut pairing = Pairing {
        distances,
        pairs: Vec::new(),
        is_paired: vec![false; distances.size()],
        tries_left: MOST_TRIES,
    };
    let others = (0..distances.size()).filter(|&place| place != one);
    let order: Vec<usize> = std::iter::once(one).chain(others).collect();
    pairing.fits(one, other) && pairing.with(one, other, |pairing| pairing.complete(&order))
}

/// Places with those that they are paired with, such that distances agree.
struct Pairing<'d> {
    distances: &'d SquareMatrix,
    pairs: Vec<(usize, usize)>,
    is_paired: Vec<bool>,
    tries_left: usize,
}

impl Pairing<'_> {
    /// Whether all places can be paired, those that have not been yet in this order.
    fn complete(&mut self, order: &[usize]) -> bool {
        let Some(&place) = order.get(self.pairs.len()) else {
            return true;
        };
        (0..order.len()).any(|with| {
            self.tries_left = self.tries_left.saturating_sub(1);
            self.tries_left > 0
                && !self.is_paired[with]
                && self.fits(place, with)
                && self.with(place, with, |pairing| pairing.complete(order))
        })
    }

    fn fits(&self, place: usize, with: usize) -> bool {
        let agree = |&(from, other): &(usize, usize)| {
            self.distances.at(from, place) == self.distances.at(other, with)
                && self.distances.at(place, from) == self.distances.at(with, other)
        };
        self.distances.at(place, place) == self.distances.at(with, with)
            && self.pairs.iter().all(agree)
    }

    fn with(&mut self, place: usize, other: usize, then: impl FnOnce(&mut Self) -> bool) -> bool {
        self.pairs.push((place, other));
        self.is_paired[other] = true;
        let done = then(self);
        self.pairs.pop();
        self.is_paired[other] = false;
        done
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(width: usize, height: usize) -> SquareMatrix {
        let size = width * height;
        let cells = (0..size).flat_map(|from| (0..size).map(move |to| (from, to)));
        let distances = cells.map(|(from, to)| {
            let along = (from % width).abs_diff(to % width);
            (along + (from / width).abs_diff(to / width)) as i64
        });
        SquareMatrix::new(size, distances.collect()).expect("a square")
    }

    /// A rectangle is the same in two mirrors, a square turned as well; a row in one.
    #[test]
    fn corners_of_a_rectangle_are_alike() {
        assert_eq!(first_alike(&grid(3, 2)), [0, 1, 0, 0, 1, 0]);
        assert_eq!(first_alike(&grid(3, 3)), [0, 1, 0, 1, 4, 1, 0, 1, 0]);
        assert_eq!(first_alike(&grid(5, 1)), [0, 1, 2, 1, 0]);
    }

    #[test]
    fn one_way_that_is_longer_tells_places_apart() {
        let distances = SquareMatrix::new(3, vec![0, 1, 1, 1, 0, 1, 1, 2, 0]).expect("a square");
        assert_eq!(first_alike(&distances), [0, 1, 2]);
        let own = SquareMatrix::new(2, vec![0, 1, 1, 1]).expect("a square");
        assert_eq!(first_alike(&own), [0, 1]);
    }
}
