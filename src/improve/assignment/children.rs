//! What two assignments have in common goes on in their child: uniform crossover (Tate and Smith 1995; with tabu search
//! and the like on each child: Merz and Freisleben 2000).

use rand::RngExt;
use rand::seq::SliceRandom;

use crate::random::Stream;

/// Any assignment.
pub(super) fn drawn(size: usize, stream: &mut Stream) -> Vec<usize> {
    let mut places: Vec<usize> = (0..size).collect();
    places.shuffle(stream);
    places
}

/// An assignment in which every station stands where it does in both parents, or in one of them as far as that place is
/// still free.
pub(super) fn crossed(one: &[usize], other: &[usize], stream: &mut Stream) -> Vec<usize> {
    let size = one.len();
    let mut child = vec![None; size];
    let mut is_taken = vec![false; size];
    for station in (0..size).filter(|&station| one[station] == other[station]) {
        child[station] = Some(one[station]);
        is_taken[one[station]] = true;
    }
    let mut stations: Vec<usize> = (0..size).collect();
    stations.shuffle(stream);
    for &station in &stations {
        if child[station].is_some() {
            continue;
        }
        let mut wanted = [one[station], other[station]];
        if stream.random_bool(0.5) {
            wanted.reverse();
        }
        if let Some(&place) = wanted.iter().find(|&&place| !is_taken[place]) {
            child[station] = Some(place);
            is_taken[place] = true;
        }
    }
    let mut left: Vec<usize> = (0..size).filter(|&place| !is_taken[place]).collect();
    left.shuffle(stream);
    let mut left = left.into_iter();
    child
        .into_iter()
        .filter_map(|place| place.or_else(|| left.next()))
        .collect()
}
