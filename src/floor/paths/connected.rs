//! Which places can be reached from each other.
//!
//! Places and arcs between which a body gets along a straight line are one set: no order of lines along an arc matters,
//! since a body fits everywhere on it. A line between two that are in one set already is not looked at.

use std::ops::ControlFlow;

use petgraph::unionfind::UnionFind;

use super::Measure;
use super::corner::Arc;
use super::lines::Lines;
use super::solids::Solids;
use super::tangent::{self, Stance};

/// Between arcs that are no farther apart than this in metres, hardly anything stands: most sets come of them alone.
const NEAR_M: f64 = 3.0;

/// The sets of arcs.
pub(super) fn arcs(arcs: &[Arc], solids: &Solids, measure: &Measure) -> UnionFind<u32> {
    let mut sets = UnionFind::new(arcs.len());
    let mut hint = 0;
    let is_near = |one: usize, other: usize| {
        let apart = arcs[one].centre - arcs[other].centre;
        apart.dot(apart) <= NEAR_M * NEAR_M
    };
    for near in [true, false] {
        for (one, other) in pairs(arcs.len()) {
            if is_near(one, other) != near || sets.equiv(one as u32, other as u32) {
                continue;
            }
            let found = tangent::contacts(arcs, [one, other], measure, |line| {
                match solids.blocker(line.between, &mut hint) {
                    Some(_) => ControlFlow::Continue(()),
                    None => ControlFlow::Break(()),
                }
            });
            if found.is_break() {
                sets.union(one as u32, other as u32);
            }
        }
    }
    sets
}

/// All pairs of so many.
fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(move |one| (one + 1..count).map(move |other| (one, other)))
}

/// The same where all lines are known.
pub(super) fn arcs_of(lines: &Lines, arcs: usize) -> UnionFind<u32> {
    let mut sets = UnionFind::new(arcs);
    for line in &lines.clear {
        sets.union(line.ends[0].arc, line.ends[1].arc);
    }
    sets
}

/// For each place the first one in its set; nothing where no body fits.
pub(super) fn places(
    stances: &[Option<Stance>],
    of_arcs: &UnionFind<u32>,
    arcs: &[Arc],
    solids: &Solids,
    measure: &Measure,
) -> Vec<Option<usize>> {
    let islands = Islands::new(of_arcs, arcs.len());
    // The islands first, then the places.
    let mut sets: UnionFind<u32> = UnionFind::new(islands.count + stances.len());
    let first = islands.count as u32;
    let mut hint = 0;
    let standing = || {
        let all = stances.iter().enumerate();
        all.filter_map(|(index, stance)| Some((first + index as u32, stance.as_ref()?)))
    };
    let mut is_reached = vec![false; islands.count];
    for (place, stance) in standing() {
        is_reached.fill(false);
        let mut left = islands.count;
        for arc in nearest_first(stance, arcs) {
            let island = islands.of[arc] as usize;
            if is_reached[island] {
                continue;
            }
            let found = tangent::tangents_of(stance, arcs, arc, measure, |line| {
                match solids.blocker(line.between, &mut hint) {
                    Some(_) => ControlFlow::Continue(()),
                    None => ControlFlow::Break(()),
                }
            });
            if found.is_break() {
                sets.union(place, island as u32);
                is_reached[island] = true;
                left -= 1;
                if left == 0 {
                    break;
                }
            }
        }
    }
    for (place, stance) in standing() {
        for (other, beside) in standing() {
            if other > place
                && !sets.equiv(place, other)
                && !solids.block(stance.fits, beside.fits, &mut hint)
            {
                sets.union(place, other);
            }
        }
    }
    let mut firsts = vec![None; sets.len()];
    let labels = stances.iter().enumerate().map(|(index, stance)| {
        stance.as_ref()?;
        let set = sets.find_mut(first + index as u32);
        Some(*firsts[set as usize].get_or_insert(index))
    });
    labels.collect()
}

/// The sets of arcs, numbered.
struct Islands {
    /// By arc.
    of: Vec<u32>,
    count: usize,
}

impl Islands {
    fn new(sets: &UnionFind<u32>, arcs: usize) -> Islands {
        let mut numbers = vec![None; arcs];
        let mut count = 0;
        let of = (0..arcs as u32).map(|arc| {
            *numbers[sets.find(arc) as usize].get_or_insert_with(|| {
                count += 1;
                count - 1
            })
        });
        Islands {
            of: of.collect(),
            count: count as usize,
        }
    }
}

/// The arcs in their order, but those around the nearest corner before all: mostly nothing stands on the line there.
fn nearest_first(stance: &Stance, arcs: &[Arc]) -> impl Iterator<Item = usize> {
    let away = arcs.iter().map(|arc| {
        let apart = arc.centre - stance.fits;
        apart.dot(apart)
    });
    let nearest = (away.enumerate()).min_by(|one, other| one.1.total_cmp(&other.1));
    let nearest = nearest.map(|(arc, _)| arc);
    nearest.into_iter().chain(0..arcs.len())
}
