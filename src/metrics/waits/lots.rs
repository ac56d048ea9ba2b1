//! What the lead times of orders go into, from what each of their lots waited for.

use std::sync::Arc;

use super::needs::ShortTimes;
use crate::engine::{Job, OrderDone, OrderReleased};
use crate::shop::{Item, ItemKind, ProjectId, Shop};
use crate::units::{Moment, Span, Time};

/// What a lead time goes into.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeadTimeComponents<T> {
    /// Setup, run and tear-down.
    pub worked: T,
    /// Chosen, with people, the lot or gear on the way; a delivery wholly.
    pub carried: T,
    pub curing: T,
    pub waiting_station: T,
    /// For something to be over that does not go together with the work.
    pub kept_apart: T,
    pub waiting_gear: T,
    pub waiting_person: T,
    /// Done, while other parts of the order are not.
    pub waiting_parts: T,
    /// The shop is shut, and it neither cures nor is worked on.
    pub shop_shut: T,
}

impl<T: Copy> LeadTimeComponents<T> {
    /// In the order of the fields.
    pub fn parts(&self) -> [T; 9] {
        [
            self.worked,
            self.carried,
            self.curing,
            self.waiting_station,
            self.kept_apart,
            self.waiting_gear,
            self.waiting_person,
            self.waiting_parts,
            self.shop_shut,
        ]
    }

    pub fn of_parts(parts: [T; 9]) -> LeadTimeComponents<T> {
        let [
            worked,
            carried,
            curing,
            waiting_station,
            kept_apart,
            waiting_gear,
            waiting_person,
            waiting_parts,
            shop_shut,
        ] = parts;
        LeadTimeComponents {
            worked,
            carried,
            curing,
            waiting_station,
            kept_apart,
            waiting_gear,
            waiting_person,
            waiting_parts,
            shop_shut,
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

/// How long a lot was in each of the components of a lead time but for the last two, in shop time.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::metrics) struct LotTimes {
    pub worked: Span,
    pub carried: Span,
    pub curing: Span,
    pub waited_station: Span,
    pub kept_apart: Span,
    pub waited_gear: Span,
    pub waited_person: Span,
    /// What its work and its cure take while the shop is shut.
    pub worked_shut: Span,
    pub curing_shut: Span,
}

/// Since when a lot is ready, the number of its need (none: a delivery), and that need's clocks then.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::metrics) struct ReadyLot {
    pub at: Time,
    pub need: Option<u32>,
    pub clocks: ShortTimes,
}

/// The order whose time a lot spends, by slot, and the leaves for which it does.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::metrics) struct SpentBy {
    order: u32,
    leaves: u32,
}

/// The lots of an item in an order at release, and the leaves in one of them.
#[derive(Debug, Clone, Copy)]
struct ItemLots {
    lots: u32,
    leaves: u32,
}

/// What each line's orders are made of.
#[derive(Debug, Default)]
struct LineLots {
    items: Vec<ItemLots>,
    /// Where a line's items begin among these.
    first: Vec<u32>,
}

/// An order in process, by the slot in which the engine keeps it.
#[derive(Debug, Clone, Copy)]
struct OrderSoFar {
    /// Where its items begin among those of all lines.
    first_item: u32,
    /// Microseconds, summed over its leaves.
    components: [i128; 7],
    /// Of the work and of the cures of its leaves while the shop is shut.
    while_shut: [i128; 2],
}

#[derive(Debug, Clone)]
pub(in crate::metrics) struct Lots {
    from: Moment,
    /// By slot.
    orders: Vec<OrderSoFar>,
    ready: Vec<ReadyLot>,
    lines: Arc<LineLots>,
    found: Vec<LineLeadTime>,
}

impl Lots {
    pub fn new(shop: &Shop, warm_up: Span) -> Lots {
        let (mut lines, mut found) = (LineLots::default(), Vec::new());
        for order in &shop.orders {
            let items = &shop.projects[order.project].items;
            let lots: Vec<u32> = items
                .iter()
                .map(|item| item.lots(u64::from(item.pieces * order.together)) as u32)
                .collect();
            let parts = (items.iter().zip(&lots))
                .filter(|(item, _)| matches!(item.kind, ItemKind::Part { .. }));
            found.push(LineLeadTime {
                project: order.project,
                orders: 0,
                leaves: parts.map(|(_, lots)| lots).sum(),
                lead_time: 0,
                split: LeadTimeComponents::default(),
            });
            lines.first.push(lines.items.len() as u32);
            lines.items.extend((0..items.len()).map(|item| ItemLots {
                lots: lots[item],
                leaves: weight(items, &lots, item),
            }));
        }
        Lots {
            from: Moment::START + warm_up,
            orders: Vec::new(),
            ready: Vec::new(),
            lines: Arc::new(lines),
            found,
        }
    }

    /// The start of another run. Slots are filled before they are read.
    pub fn begin(&mut self) {
        for found in &mut self.found {
            (found.orders, found.lead_time) = (0, 0);
            found.split = LeadTimeComponents::default();
        }
    }

    #[inline]
    pub fn released(&mut self, order: &OrderReleased) {
        let new = OrderSoFar {
            first_item: self.lines.first[order.line.index()],
            components: [0; 7],
            while_shut: [0; 2],
        };
        let slot = order.slot as usize;
        if slot >= self.orders.len() {
            self.orders.resize(slot + 1, new);
        }
        self.orders[slot] = new;
    }

    #[inline]
    pub fn is_ready(&mut self, job: &Job, ready: ReadyLot) {
        let slot = job.lot_slot as usize;
        if slot >= self.ready.len() {
            self.ready.resize(slot + 1, ready);
        }
        self.ready[slot] = ready;
    }

    /// The lot has a need of other lots, which it shares from now on.
    pub fn shares(&mut self, job: &Job, need: usize, clocks: ShortTimes) {
        let ready = &mut self.ready[job.lot_slot as usize];
        (ready.need, ready.clocks) = (Some(need as u32), clocks);
    }

    /// How the lot of a task was when it became ready.
    #[inline]
    pub fn ready(&self, job: &Job) -> ReadyLot {
        self.ready[job.lot_slot as usize]
    }

    /// Lots that replace spoiled pieces are no leaves: the leaves that wait for them wait for another part.
    #[inline]
    pub fn spent_by(&self, job: &Job) -> SpentBy {
        let order = &self.orders[job.order_slot as usize];
        let item = &self.lines.items[order.first_item as usize + job.item.index()];
        SpentBy {
            order: job.order_slot,
            leaves: if job.batch < item.lots {
                item.leaves
            } else {
                0
            },
        }
    }

    /// A single leaf spends its time.
    #[inline]
    pub fn spend_leaf(&mut self, order: u32, times: &LotTimes) {
        self.spend(SpentBy { order, leaves: 1 }, times);
    }

    #[inline(always)]
    pub fn spend(&mut self, by: SpentBy, times: &LotTimes) {
        let order = &mut self.orders[by.order as usize];
        let while_shut = [times.worked_shut, times.curing_shut];
        if while_shut != [Span::ZERO; 2] {
            for (sum, span) in order.while_shut.iter_mut().zip(while_shut) {
                *sum += i128::from(by.leaves) * i128::from(span.micros());
            }
        }
        let times = [
            times.worked,
            times.carried,
            times.curing,
            times.waited_station,
            times.kept_apart,
            times.waited_gear,
            times.waited_person,
        ];
        for (sum, span) in order.components.iter_mut().zip(times) {
            *sum += i128::from(by.leaves) * i128::from(span.micros());
        }
    }

    pub fn done(&mut self, order: &OrderDone) {
        if order.done < self.from {
            return;
        }
        let found = &mut self.found[order.line.index()];
        let leaves = i128::from(found.leaves);
        let lead_time = i128::from((order.done - order.released).micros());
        let while_shut = i128::from(order.while_shut.micros());
        let of_order = &self.orders[order.slot as usize];
        let [worked, carried, curing, station, apart, gear, person] = of_order.components;
        let [worked_shut, curing_shut] = of_order.while_shut;
        let parts = [
            worked + worked_shut,
            carried,
            curing + curing_shut,
            station,
            apart,
            gear,
            person,
            leaves * (lead_time - while_shut) - of_order.components.iter().sum::<i128>(),
            leaves * while_shut - worked_shut - curing_shut,
        ];
        let mut parts = parts;
        for (sum, part) in parts.iter_mut().zip(found.split.parts()) {
            *sum += part;
        }
        found.split = LeadTimeComponents::of_parts(parts);
        found.orders += 1;
        found.lead_time += lead_time;
    }

    pub fn found(&self) -> Vec<LineLeadTime> {
        self.found.clone()
    }
}

/// Leaves in one lot of an item.
fn weight(items: &[Item], lots: &[u32], item: usize) -> u32 {
    match &items[item].kind {
        ItemKind::Part { .. } => 1,
        ItemKind::Material { becomes: other, .. } | ItemKind::Assembly { made_of: other } => {
            let others = other.iter().map(|item| item.index());
            others
                .map(|item| lots[item] * weight(items, lots, item))
                .sum()
        }
    }
}
