//! What the lead times of orders go into, from what each of their lots waited for.

use std::collections::BTreeMap;

use crate::engine::{Job, OrderDone};
use crate::shop::{Item, ItemId, ItemKind, ProjectId, Shop};
use crate::units::{Span, Time};

/// What a lead time goes into.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeadTimeComponents<T> {
    /// Setup, run and tear-down.
    pub worked: T,
    /// Chosen, with people, the lot or gear on the way; a delivery wholly.
    pub carried: T,
    pub curing: T,
    pub waiting_station: T,
    pub waiting_gear: T,
    pub waiting_person: T,
    /// Done, while other parts of the order are not.
    pub waiting_parts: T,
}

impl<T: Copy> LeadTimeComponents<T> {
    /// In the order of the fields.
    pub fn parts(&self) -> [T; 7] {
        [
            self.worked,
            self.carried,
            self.curing,
            self.waiting_station,
            self.waiting_gear,
            self.waiting_person,
            self.waiting_parts,
        ]
    }

    pub fn of_parts(parts: [T; 7]) -> LeadTimeComponents<T> {
        let [
            worked,
            carried,
            curing,
            waiting_station,
            waiting_gear,
            waiting_person,
            waiting_parts,
        ] = parts;
        LeadTimeComponents {
            worked,
            carried,
            curing,
            waiting_station,
            waiting_gear,
            waiting_person,
            waiting_parts,
        }
    }
}

/// The orders of one line that were done in the measured time.
#[derive(Debug, Clone, PartialEq)]
pub struct LineLeadTime {
    pub project: ProjectId,
    pub orders: u64,
    /// Component lots of each order as it is released.
    pub leaves: u32,
    /// Microseconds, summed over the orders.
    pub lead_time: i128,
    /// Microseconds, summed over the orders and their leaves: in all, `lead_time` times `leaves`.
    pub split: LeadTimeComponents<i128>,
}

/// What part of a split a lot's time goes into.
#[derive(Debug, Clone, Copy)]
pub(super) enum Component {
    Worked,
    Carried,
    Curing,
    Station,
    Gear,
    Person,
}

/// Since when a lot is ready, the number of its need (none: a delivery), and that need's clocks then.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ready {
    pub at: Time,
    pub need: Option<usize>,
    pub clocks: [i64; 2],
}

/// A lot of an order that is not yet done.
#[derive(Debug)]
pub(super) struct Lot {
    item: ItemId,
    batch: u32,
    ready: Option<Ready>,
    spent: [Span; 6],
    /// When its last task ended, with its cure as far as that is known.
    ended: Time,
}

impl Lot {
    pub fn spend(&mut self, part: Component, span: Span) {
        self.spent[part as usize] += span;
    }

    pub fn take_ready(&mut self) -> Option<Ready> {
        self.ready.take()
    }

    /// A task ends, and with it a cure of which the end is known.
    pub fn ends(&mut self, at: Time) {
        self.ended = at;
    }
}

/// What each line's orders are made of.
#[derive(Debug)]
struct Line {
    /// Lots of each item at release.
    lots: Vec<u32>,
    /// How many leaves are in one of them.
    weights: Vec<u32>,
}

impl Line {
    /// Lots that replace spoiled pieces have none: the leaves that wait for them wait for another part.
    fn weight(&self, lot: &Lot) -> u32 {
        match lot.batch < self.lots[lot.item.index()] {
            true => self.weights[lot.item.index()],
            false => 0,
        }
    }
}

#[derive(Debug)]
pub(super) struct Lots {
    from: Time,
    /// The lots of each open order, by item and batch.
    orders: BTreeMap<u64, Vec<Lot>>,
    lines: Vec<Line>,
    found: Vec<LineLeadTime>,
}

impl Lots {
    pub fn new(shop: &Shop, from: Time) -> Lots {
        let (mut lines, mut found) = (Vec::new(), Vec::new());
        for order in &shop.orders {
            let items = &shop.projects[order.project].items;
            let lots: Vec<u32> = items
                .iter()
                .map(|item| lots_of(item, item.pieces * order.together))
                .collect();
            let mut line = Line {
                lots,
                weights: Vec::new(),
            };
            line.weights = (0..items.len())
                .map(|item| weight(items, &line.lots, item))
                .collect();
            let parts = (items.iter().zip(&line.lots))
                .filter(|(item, _)| matches!(item.kind, ItemKind::Part { .. }));
            found.push(LineLeadTime {
                project: order.project,
                orders: 0,
                leaves: parts.map(|(_, lots)| lots).sum(),
                lead_time: 0,
                split: LeadTimeComponents::default(),
            });
            lines.push(line);
        }
        Lots {
            from,
            orders: BTreeMap::new(),
            lines,
            found,
        }
    }

    /// Lots of orders that are not yet done.
    pub fn held(&self) -> usize {
        self.orders.values().map(Vec::len).sum()
    }

    /// The lot that a job is about; it is new if nothing has been heard of it.
    pub fn lot(&mut self, job: &Job, now: Time) -> &mut Lot {
        let lots = self.orders.entry(job.order).or_default();
        let found = lots.binary_search_by_key(&(job.item, job.batch), |lot| (lot.item, lot.batch));
        let place = found.unwrap_or_else(|place| {
            let lot = Lot {
                item: job.item,
                batch: job.batch,
                ready: None,
                spent: [Span::ZERO; 6],
                ended: now,
            };
            lots.insert(place, lot);
            place
        });
        &mut lots[place]
    }

    pub fn ready(&mut self, job: &Job, ready: Ready) {
        self.lot(job, ready.at).ready = Some(ready);
    }

    pub fn done(&mut self, order: &OrderDone) {
        let lots = self.orders.remove(&order.order).unwrap_or_default();
        if order.done < self.from {
            return;
        }
        let line = &self.lines[order.line.index()];
        let found = &mut self.found[order.line.index()];
        let lead_time = i128::from((order.done - order.released).micros());
        let mut parts = [0; 7];
        for lot in &lots {
            let weight = i128::from(line.weight(lot));
            for (sum, spent) in parts.iter_mut().zip(lot.spent) {
                *sum += weight * i128::from(spent.micros());
            }
        }
        parts[6] = i128::from(found.leaves) * lead_time - parts.iter().sum::<i128>();
        for (sum, part) in parts.iter_mut().zip(found.split.parts()) {
            *sum += part;
        }
        found.split = LeadTimeComponents::of_parts(parts);
        found.orders += 1;
        found.lead_time += lead_time;
    }

    pub fn into_found(self) -> Vec<LineLeadTime> {
        self.found
    }
}

fn lots_of(item: &Item, pieces: u32) -> u32 {
    match item.kind {
        ItemKind::Part { .. } => item.batch.map_or(1, |batch| pieces.div_ceil(batch)),
        ItemKind::Assembly { .. } => 1,
    }
}

/// Leaves in one lot of an item.
fn weight(items: &[Item], lots: &[u32], item: usize) -> u32 {
    match &items[item].kind {
        ItemKind::Part { .. } => 1,
        ItemKind::Assembly { made_of } => {
            let inputs = made_of.iter().map(|input| input.index());
            inputs
                .map(|input| lots[input] * weight(items, lots, input))
                .sum()
        }
    }
}
