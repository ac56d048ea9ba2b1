//! All lines between the arcs of a floor, and what they become when obstacles move.

use std::ops::ControlFlow;

use super::Measure;
use super::corner::{Arc, GONE};
use super::solids::Solids;
use super::tangent::{Bitangent, Contact, Sides, contacts};

/// Lines that touch two arcs: those along which a body fits, and those on which something stands.
#[derive(Debug, Clone)]
pub(super) struct Lines {
    /// In the order of [`Bitangent::key`].
    pub clear: Vec<Bitangent>,
    blocked: Vec<Obstructed>,
}

/// A line on which something stands.
#[derive(Debug, Clone, Copy)]
struct Obstructed {
    arcs: [u32; 2],
    side: Sides,
    /// The ring of one of the things that do.
    by: u32,
}

/// How arcs and outlines of a floor go over into those of another.
pub(super) struct ArcChange<'a> {
    /// For each arc before, what it is after.
    pub after: &'a [u32],
    /// The arcs that were none before, in rising order.
    pub fresh: &'a [u32],
    /// The rings that are others.
    pub rings: &'a [u32],
}

impl Lines {
    pub fn new(arcs: &[Arc], solids: &Solids, measure: &Measure) -> Lines {
        let mut lines = Lines {
            clear: Vec::new(),
            blocked: Vec::new(),
        };
        let mut hint = 0;
        for one in 0..arcs.len() {
            for other in one + 1..arcs.len() {
                lines.add([one, other], (arcs, solids, measure), &mut hint);
            }
        }
        lines
    }

    /// Adds the lines of a pair of arcs.
    fn add(
        &mut self,
        pair: [usize; 2],
        (arcs, solids, measure): (&[Arc], &Solids, &Measure),
        hint: &mut usize,
    ) {
        let _ = contacts(arcs, pair, measure, |line| {
            self.sort_in(&line, arcs, solids, hint);
            ControlFlow::Continue(())
        });
    }

    fn sort_in(&mut self, line: &Contact, arcs: &[Arc], solids: &Solids, hint: &mut usize) {
        match solids.blocker(line.between, hint) {
            Some(by) => self.blocked.push(Obstructed {
                arcs: line.arcs,
                side: line.side,
                by,
            }),
            None => self.clear.push(line.line(arcs)),
        }
    }

    /// The lines after a change. Whether something stands on a line whose arcs are as before depends on what has moved
    /// alone, unless that was what stood there.
    pub fn changed(
        &self,
        change: &ArcChange<'_>,
        arcs: &[Arc],
        solids: &Solids,
        measure: &Measure,
    ) -> Lines {
        let mut lines = Lines {
            clear: Vec::with_capacity(self.clear.len() + 64),
            blocked: Vec::with_capacity(self.blocked.len() + 256),
        };
        let mut hint = 0;
        let after = |of: [u32; 2]| {
            let both = of.map(|arc| change.after[arc as usize]);
            (!both.contains(&GONE)).then_some(both)
        };
        for line in &self.clear {
            let Some(both) = after(line.ends.map(|end| end.arc)) else {
                continue;
            };
            let stands_there = |&&ring: &&u32| solids.ring_blocks(ring, line.between);
            if let Some(&by) = change.rings.iter().find(stands_there) {
                let side = line.side;
                lines.blocked.push(Obstructed {
                    arcs: both,
                    side,
                    by,
                });
                continue;
            }
            let mut line = *line;
            line.ends[0].arc = both[0];
            line.ends[1].arc = both[1];
            lines.clear.push(line);
        }
        let kept = lines.clear.len();
        for line in &self.blocked {
            let Some(both) = after(line.arcs) else {
                continue;
            };
            if !change.rings.contains(&line.by) {
                lines.blocked.push(Obstructed {
                    arcs: both,
                    ..*line
                });
                continue;
            }
            let _ = contacts(arcs, both.map(|arc| arc as usize), measure, |again| {
                if again.side != line.side {
                    return ControlFlow::Continue(());
                }
                lines.sort_in(&again, arcs, solids, &mut hint);
                ControlFlow::Break(())
            });
        }
        for &one in change.fresh {
            for other in 0..arcs.len() as u32 {
                if other == one || (other < one && change.fresh.binary_search(&other).is_ok()) {
                    continue;
                }
                let pair = [one.min(other) as usize, one.max(other) as usize];
                lines.add(pair, (arcs, solids, measure), &mut hint);
            }
        }
        if lines.clear.len() > kept {
            // Merges what is in order already.
            lines.clear[kept..].sort_unstable_by_key(Bitangent::key);
            lines.clear.sort_by_key(Bitangent::key);
        }
        lines
    }
}
