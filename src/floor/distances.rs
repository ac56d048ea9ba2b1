//! The walking table: how far it is from every place to every other.

use std::collections::BTreeMap;

use petgraph::algo::floyd_warshall;
use petgraph::graph::{DiGraph, NodeIndex};

use crate::shop::PlaceId;
use crate::units::Length;

/// How somebody walks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Manner {
    Empty,
    Carrying,
    Pushing,
}

impl Manner {
    pub const ALL: [Manner; 3] = [Manner::Empty, Manner::Carrying, Manner::Pushing];

    pub fn name(self) -> &'static str {
        match self {
            Manner::Empty => "empty",
            Manner::Carrying => "carrying",
            Manner::Pushing => "pushing",
        }
    }
}

/// Distances between all places of one candidate.
///
/// Whoever carries takes the way of somebody who walks empty-handed; a cart may need a wider one. What is rolled out of
/// where it is parked has a row of its own for that, after those of the places.
#[derive(Debug, Clone, PartialEq)]
pub struct Distances {
    /// Rows, and as many columns.
    places: usize,
    /// The places of the rows after those of the places as they are laid down.
    rolled_out: Vec<PlaceId>,
    distances: Vec<Length>,
    /// Where it differs.
    pushing: Option<Vec<Length>>,
}

/// Two places that no chain of given distances connects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Disconnected {
    pub from: PlaceId,
    pub to: PlaceId,
}

impl Distances {
    /// From a complete matrix, row by row: `distances[from * places + to]`.
    ///
    /// # Panics
    /// If the matrix is not `places` by `places`.
    pub fn from_matrix(places: usize, distances: Vec<Length>) -> Distances {
        assert_eq!(
            distances.len(),
            places * places,
            "a walking table is square"
        );
        Distances {
            places,
            rolled_out: Vec::new(),
            distances,
            pushing: None,
        }
    }

    /// Everything stands together.
    pub fn none(places: usize) -> Distances {
        Distances::from_matrix(places, vec![Length::ZERO; places * places])
    }

    /// From a complete matrix in metres, row by row.
    ///
    /// # Panics
    /// If the matrix is not `places` by `places`.
    pub fn from_metres(places: usize, distances: &[f64]) -> Distances {
        Distances::from_matrix(places, lengths(distances))
    }

    /// The same walks with another matrix for pushing a cart, in metres.
    ///
    /// # Panics
    /// If the matrix has another size.
    pub fn with_pushing(mut self, distances: &[f64]) -> Distances {
        assert_eq!(
            distances.len(),
            self.distances.len(),
            "a walking table is square"
        );
        self.pushing = Some(lengths(distances));
        self
    }

    /// The same places, all in one spot.
    pub fn without_walking(&self) -> Distances {
        let nothing = |table: &Vec<Length>| vec![Length::ZERO; table.len()];
        Distances {
            distances: nothing(&self.distances),
            pushing: None,
            ..self.clone()
        }
    }

    /// Places, and places where something stands that is rolled out.
    pub fn places(&self) -> usize {
        self.places
    }

    /// The place that a row belongs to.
    pub fn place_of(&self, row: usize) -> PlaceId {
        match row.checked_sub(self.places - self.rolled_out.len()) {
            None => PlaceId(row as u32),
            Some(nth) => self.rolled_out[nth],
        }
    }

    /// The row of a place while its station is rolled out, if that ever is.
    pub fn row_rolled_out(&self, place: PlaceId) -> Option<PlaceId> {
        let nth = self.rolled_out.iter().position(|&one| one == place)?;
        Some(PlaceId((self.places - self.rolled_out.len() + nth) as u32))
    }

    /// The same with rows, still empty, for places at stations that are rolled out.
    pub(super) fn with_rows_for(self, rolled_out: Vec<PlaceId>) -> Distances {
        if rolled_out.is_empty() {
            return self;
        }
        let places = self.places + rolled_out.len();
        let wider = |table: &[Length]| {
            let mut all = vec![Length::ZERO; places * places];
            for (row, lengths) in table.chunks(self.places).enumerate() {
                all[row * places..row * places + self.places].copy_from_slice(lengths);
            }
            all
        };
        Distances {
            places,
            rolled_out,
            distances: wider(&self.distances),
            pushing: self.pushing.as_deref().map(wider),
        }
    }

    /// The same with more places, each as far from all others as one that is there.
    pub fn with_places_like(self, known: &[PlaceId]) -> Distances {
        if known.is_empty() {
            return self;
        }
        let places = self.places + known.len();
        let row = |place: usize| match place.checked_sub(self.places) {
            Some(nth) => known[nth].index(),
            None => place,
        };
        let wider = |table: &[Length]| -> Vec<Length> {
            let pairs = (0..places).flat_map(|from| (0..places).map(move |to| (from, to)));
            let between = |(from, to)| table[row(from) * self.places + row(to)];
            pairs.map(between).collect()
        };
        Distances {
            places,
            distances: wider(&self.distances),
            pushing: self.pushing.as_deref().map(wider),
            rolled_out: self.rolled_out,
        }
    }

    /// Takes the way between two places, there and back, from another table of the same places; each may be the row of
    /// what is rolled out there.
    pub(super) fn copy(&mut self, one: (PlaceId, bool), other: (PlaceId, bool), from: &Distances) {
        let row = |(place, is_out): (PlaceId, bool)| match is_out {
            true => (self.row_rolled_out(place)).map_or(place.index(), PlaceId::index),
            false => place.index(),
        };
        let (a, b) = (row(one), row(other));
        for (from_row, to_row, start, end) in [(a, b, one.0, other.0), (b, a, other.0, one.0)] {
            let at = from_row * self.places + to_row;
            self.distances[at] = from.distance(Manner::Empty, start, end);
            if let Some(pushing) = &mut self.pushing {
                pushing[at] = from.distance(Manner::Pushing, start, end);
            }
        }
    }

    #[inline]
    pub fn distance(&self, manner: Manner, from: PlaceId, to: PlaceId) -> Length {
        let table = match (&self.pushing, manner) {
            (Some(pushing), Manner::Pushing) => pushing,
            _ => &self.distances,
        };
        table[from.index() * self.places + to.index()]
    }
}

fn lengths(metres: &[f64]) -> Vec<Length> {
    metres.iter().copied().map(Length::from_metres).collect()
}

/// Completes measured distances: a pair that is not given is the shortest chain of given ones; a given pair is
/// never shortened. `given` holds (from, to) in one direction each. Only pairs within `used` must be connected.
///
/// # Errors
/// Every pair of used places, smaller id first, that no chain connects in one direction or the other.
pub fn chains(
    places: usize,
    given: &BTreeMap<(PlaceId, PlaceId), Length>,
    used: &[PlaceId],
) -> Result<Distances, Vec<Disconnected>> {
    let edges = given
        .iter()
        .map(|(&(from, to), length)| (from.0, to.0, length.nanometres()));
    let mut graph = DiGraph::<(), i64>::from_edges(edges);
    while graph.node_count() < places {
        graph.add_node(());
    }
    // Lengths are not negative, so neither is a circle.
    let chained = floyd_warshall(&graph, |edge| *edge.weight()).unwrap_or_default();
    let ends = (0..places).flat_map(|from| (0..places).map(move |to| (from, to)));
    let mut shortest: Vec<Option<Length>> = ends
        .map(|(from, to)| {
            let length = chained.get(&(NodeIndex::new(from), NodeIndex::new(to)))?;
            (*length < i64::MAX).then(|| Length::from_nanometres(*length))
        })
        .collect();
    let missing =
        |from: &PlaceId, to: &PlaceId| shortest[from.index() * places + to.index()].is_none();
    let mut disconnected = Vec::new();
    for (index, &from) in used.iter().enumerate() {
        for &to in &used[index + 1..] {
            if missing(&from, &to) || missing(&to, &from) {
                disconnected.push(Disconnected { from, to });
            }
        }
    }
    if !disconnected.is_empty() {
        return Err(disconnected);
    }
    for (&(from, to), &length) in given {
        shortest[from.index() * places + to.index()] = Some(length);
    }
    // Nobody ever walks between places that are not used, so their distance is never read.
    let distances = shortest
        .into_iter()
        .map(|length| length.unwrap_or(Length::ZERO))
        .collect();
    Ok(Distances::from_matrix(places, distances))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(pairs: &[(u32, u32, f64)]) -> BTreeMap<(PlaceId, PlaceId), Length> {
        pairs
            .iter()
            .map(|&(from, to, metres)| ((PlaceId(from), PlaceId(to)), Length::from_metres(metres)))
            .collect()
    }

    #[test]
    fn a_measured_pair_is_never_shortened_and_a_missing_one_is_the_shortest_chain() {
        let both = [
            (0, 1, 2.0),
            (1, 0, 2.0),
            (1, 2, 2.0),
            (2, 1, 2.0),
            (0, 2, 9.0),
            (2, 0, 9.0),
            (2, 3, 1.0),
            (3, 2, 1.0),
        ];
        let used: Vec<PlaceId> = (0..4).map(PlaceId).collect();
        let walks = chains(4, &given(&both), &used).expect("all are connected");
        let metres = |from, to| {
            walks
                .distance(Manner::Empty, PlaceId(from), PlaceId(to))
                .metres()
        };
        assert_eq!(metres(0, 2), 9.0, "measured with a tape");
        assert_eq!(
            metres(0, 3),
            5.0,
            "0-1-2-3, since chains may pass where a measured pair does not"
        );
        assert_eq!(metres(3, 0), 5.0);
    }

    #[test]
    fn places_that_nothing_connects_are_named() {
        let used = [PlaceId(0), PlaceId(1), PlaceId(2)];
        let result = chains(3, &given(&[(0, 1, 1.0), (1, 0, 1.0)]), &used);
        let expected = vec![
            Disconnected {
                from: PlaceId(0),
                to: PlaceId(2),
            },
            Disconnected {
                from: PlaceId(1),
                to: PlaceId(2),
            },
        ];
        assert_eq!(result, Err(expected));
    }
}
