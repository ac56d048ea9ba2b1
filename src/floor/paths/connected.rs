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

/// The sets of arcs.
pub(super) fn arcs(arcs: &[Arc], solids: &Solids, measure: &Measure) -> UnionFind<u32> {
    let mut sets = UnionFind::new(arcs.len());
    let mut hint = 0;
    for one in 0..arcs.len() {
        for other in one + 1..arcs.len() {
            if sets.equiv(one as u32, other as u32) {
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
    let mut sets = of_arcs.clone();
    let first: u32 = arcs.len() as u32;
    for _ in stances {
        sets.new_set();
    }
    let mut hint = 0;
    let standing = || {
        let all = stances.iter().enumerate();
        all.filter_map(|(index, stance)| Some((first + index as u32, stance.as_ref()?)))
    };
    for (place, stance) in standing() {
        for arc in 0..arcs.len() {
            if sets.equiv(place, arc as u32) {
                continue;
            }
            let found = tangent::tangents_of(stance, arcs, arc, measure, |line| {
                match solids.blocker(line.between, &mut hint) {
                    Some(_) => ControlFlow::Continue(()),
                    None => ControlFlow::Break(()),
                }
            });
            if found.is_break() {
                sets.union(place, arc as u32);
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
