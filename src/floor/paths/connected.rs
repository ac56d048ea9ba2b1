//! Which places can be reached from each other.
//!
//! Places and arcs between which a body gets along a straight line are one set: no order of lines along an arc matters,
//! since a body fits everywhere on it. A line between two that are in one set already is not looked at.

use std::ops::ControlFlow;

use petgraph::unionfind::UnionFind;

use super::super::Point;
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
                until_clear(solids, line.between, &mut hint)
            });
            if found.is_break() {
                sets.union(one as u32, other as u32);
            }
        }
    }
    sets
}

/// Breaks off at a line on which nothing stands.
fn until_clear(solids: &Solids, line: [Point; 2], hint: &mut usize) -> ControlFlow<()> {
    match solids.blocker(line, hint) {
        Some(_) => ControlFlow::Continue(()),
        None => ControlFlow::Break(()),
    }
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
    for (place, stance) in standing() {
        let nearest = nearest(stance, arcs);
        for island in 0..islands.count {
            // Mostly nothing stands on the line to the nearest corner.
            let first = nearest.filter(|&arc| islands.of[arc as usize] == island as u32);
            let mut of_island = first.iter().chain(islands.arcs(island));
            let is_reached = of_island.any(|&arc| {
                let found = tangent::tangents_of(stance, arcs, arc as usize, measure, |line| {
                    until_clear(solids, line.between, &mut hint)
                });
                found.is_break()
            });
            if is_reached {
                sets.union(place, island as u32);
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
    /// The arcs of island `i` are `arcs[starts[i]..starts[i + 1]]`, in their order.
    arcs: Vec<u32>,
    starts: Vec<usize>,
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
        let of: Vec<u32> = of.collect();
        let mut by_island: Vec<u32> = (0..arcs as u32).collect();
        by_island.sort_by_key(|&arc| of[arc as usize]);
        let starts =
            (0..=count).map(|island| by_island.partition_point(|&arc| of[arc as usize] < island));
        Islands {
            count: count as usize,
            starts: starts.collect(),
            arcs: by_island,
            of,
        }
    }

    fn arcs(&self, island: usize) -> &[u32] {
        &self.arcs[self.starts[island]..self.starts[island + 1]]
    }
}

/// The arc around the nearest corner.
fn nearest(stance: &Stance, arcs: &[Arc]) -> Option<u32> {
    let (mut nearest, mut least) = (None, f64::INFINITY);
    for (index, arc) in (0..).zip(arcs) {
        let apart = arc.centre - stance.fits;
        let away = apart.dot(apart);
        if away < least {
            (nearest, least) = (Some(index), away);
        }
    }
    nearest
}
