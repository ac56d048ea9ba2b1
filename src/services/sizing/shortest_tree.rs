//! The shortest tree of square runs that joins places, as a comparison with a straight main and its branches.
//!
//! There is one along the lines through the places, level and upright (Hanan, "On Steiner's problem with rectilinear
//! distance", 1966); of these the shortest is found exactly, by putting trees of ever more places together (Dreyfus and
//! Wagner, "The Steiner problem in graphs", 1971).

use crate::floor::Point;

/// A collector and eight ports: work and memory double with every place.
pub const MOST_PLACES: usize = 9;

/// Its length in m; 0 of fewer than two places, none of more than [`MOST_PLACES`].
pub fn shortest_tree(places: &[Point]) -> Option<f64> {
    let Some((&root, others)) = places.split_last() else {
        return Some(0.0);
    };
    if places.len() > MOST_PLACES {
        return None;
    }
    let crossings = crossings(places);
    let apart = |one: usize, other: usize| crossings[one].rectilinear_distance(crossings[other]);
    // By set of places: the shortest tree that joins them and a crossing.
    let sets = 1_usize << others.len();
    let mut trees: Vec<Vec<f64>> = vec![vec![0.0; crossings.len()]; sets];
    for set in 1..sets {
        let joined: Vec<f64> = match set.is_power_of_two() {
            true => {
                let place = others[set.trailing_zeros() as usize];
                let from = crossings.iter();
                from.map(|at| at.rectilinear_distance(place)).collect()
            }
            false => {
                let meeting = meeting(set, &trees, crossings.len());
                let to = 0..crossings.len();
                to.map(|to| {
                    let from = meeting.iter().enumerate();
                    let ways = from.map(|(from, tree)| tree + apart(from, to));
                    ways.fold(f64::INFINITY, f64::min)
                })
                .collect()
            }
        };
        trees[set] = joined;
    }
    let at_root = crossings.iter().position(|at| *at == root)?;
    Some(trees[sets - 1][at_root])
}

/// By crossing, the shortest pair of trees that meet there and have the places of a set between them.
fn meeting(set: usize, trees: &[Vec<f64>], crossings: usize) -> Vec<f64> {
    let mut least = vec![f64::INFINITY; crossings];
    let mut part = (set - 1) & set;
    while part > 0 {
        for (at, least) in least.iter_mut().enumerate() {
            *least = least.min(trees[part][at] + trees[set & !part][at]);
        }
        part = (part - 1) & set;
    }
    least
}

/// Where level and upright lines through places cross.
fn crossings(places: &[Point]) -> Vec<Point> {
    let along = |of: fn(&Point) -> f64| {
        let mut values: Vec<f64> = places.iter().map(of).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        values
    };
    let (across, up) = (along(|place| place.x), along(|place| place.y));
    let rows = up.iter();
    rows.flat_map(|&y| across.iter().map(move |&x| Point::new(x, y)))
        .collect()
}
