//! What the steps of all items need, put together where it is the same.

use std::ops::Range;

use crate::engine::slots::{self, HeldSlot};
use crate::shop::{GearId, Item, OperationId, Shop, StationId, Work};

/// A station at which an operation can be done, and what it asks for there besides a unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct AtStation {
    pub station: StationId,
    pub gear: Vec<(GearId, u32)>,
    pub slots: Vec<HeldSlot>,
}

impl AtStation {
    fn asks_for_more(&self) -> bool {
        !self.gear.is_empty() || !self.slots.is_empty()
    }
}

/// Steps that need the same have one need: an operation at any of these stations, with what it asks for there.
#[derive(Debug)]
pub(super) struct SharedNeed {
    pub operation: OperationId,
    /// Whether somebody has to come, for the work or to bring something.
    pub needs_somebody: bool,
    pub options: Vec<AtStation>,
    /// Which clock says how long all stations were taken: that of the only one, or a further one.
    pub clock: usize,
    /// Whether it asks for more than a unit anywhere.
    pub asks_for_more: bool,
    /// Whether units of all its stations may be tied up by cures.
    pub may_cure: bool,
}

/// Which needs there are where.
#[derive(Debug, Default)]
pub(super) struct NeedNumbers {
    pub needs: Vec<SharedNeed>,
    /// Of each need, the same of lots that need nobody; itself where there are none.
    pub unattended: Vec<u32>,
    /// Those of all steps, one after the other.
    pub of_steps: Vec<u32>,
    /// Where those of an item's first step stand, by item among those of all projects.
    pub first_step: Vec<u32>,
    /// Where the items of a project stand among those.
    pub first_item: Vec<u32>,
    /// Needs of several stations of which this is one.
    pub several_at: Vec<Vec<usize>>,
    /// Where each station's units stand among those of all.
    pub units: Vec<Range<usize>>,
}

/// The gear that some work takes for a lot.
fn taken(work: &Work, lot: u32) -> Vec<(GearId, u32)> {
    let gear = work.gear.iter();
    gear.map(|&(gear, count)| (gear, count.of(lot))).collect()
}

impl NeedNumbers {
    pub fn new(shop: &Shop) -> NeedNumbers {
        let mut numbers = NeedNumbers {
            several_at: vec![Vec::new(); shop.stations.len()],
            ..NeedNumbers::default()
        };
        let mut units = 0;
        for station in &shop.stations {
            let first = units;
            units += station.count as usize;
            numbers.units.push(first..units);
        }
        let mut may_cure = vec![false; shop.stations.len()];
        let items = shop.projects.iter().flat_map(|project| &project.items);
        for choice in items
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
        {
            let cure = choice.work.cure.as_ref();
            may_cure[choice.station.index()] |= cure.is_some_and(|cure| cure.ties_up_station);
        }
        let mut clocks = shop.stations.len();
        for (id, project) in shop.projects.enumerate() {
            let lines = shop.orders.iter().filter(|line| line.project == id);
            let together = lines.map(|line| line.together).max().unwrap_or(1);
            numbers.first_item.push(numbers.first_step.len() as u32);
            for item in &project.items {
                let first = numbers.of_steps.len() as u32;
                numbers.first_step.push(first);
                let lot = item.largest_lot(item.pieces.saturating_mul(together));
                numbers.add(shop, (item, lot), &may_cure, &mut clocks);
            }
        }
        numbers
    }

    /// Adds the needs of an item's steps; new ones join the others. What gear each piece needs is counted for a lot of
    /// so many, the largest one: a smaller one counts as short of gear where that one would be.
    fn add(
        &mut self,
        shop: &Shop,
        (item, lot): (&Item, u32),
        may_cure: &[bool],
        clocks: &mut usize,
    ) {
        for step in &item.route {
            let Some(first) = step.choices.first() else {
                continue;
            };
            let operation = first.work.operation;
            let options: Vec<AtStation> = (step.choices.iter())
                .map(|choice| AtStation {
                    station: choice.station,
                    gear: taken(&choice.work, lot),
                    slots: slots::of_work(shop, choice.station, &choice.work),
                })
                .collect();
            let known = (self.needs.iter())
                .position(|need| need.operation == operation && need.options == options);
            let number = known.unwrap_or(self.needs.len());
            self.of_steps.push(number as u32);
            if known.is_some() {
                continue;
            }
            let mut stations: Vec<usize> = options.iter().map(|at| at.station.index()).collect();
            stations.dedup();
            let clock = match stations[..] {
                [station] => station,
                _ => {
                    for station in stations {
                        self.several_at[station].push(number);
                    }
                    *clocks += 1;
                    *clocks - 1
                }
            };
            let asks_for_more = options.iter().any(AtStation::asks_for_more);
            let may_cure = (options.iter()).all(|at| may_cure[at.station.index()]);
            self.needs.push(SharedNeed {
                operation,
                needs_somebody: true,
                asks_for_more,
                may_cure,
                options: options.clone(),
                clock,
            });
            self.unattended.push(number as u32);
            // Lots that need nobody have the same clocks, but a need of their own.
            if step.choices.iter().all(|choice| choice.work.people == 0) {
                let double = self.needs.len() as u32;
                self.unattended[number] = double;
                self.unattended.push(double);
                self.needs.push(SharedNeed {
                    operation,
                    needs_somebody: false,
                    asks_for_more,
                    may_cure,
                    options,
                    clock,
                });
            }
        }
    }
}
