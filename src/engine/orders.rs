//! Orders from their release to the day they are done, and the lots that they become.

use super::bitset::Set;
use super::draws;
use super::prepared_shop::Next;
use super::recorder::{OrderDone, OrderReleased, Recorder};
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::{Lot, Order, OrderItem, Slots};
use crate::random::Key;
use crate::shop::{Arrivals, ItemId, OrderLine, OrderLineId, PlaceId, ProjectId};
use crate::units::{Moment, Span};

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    pub(super) fn open_order_lines(&mut self) {
        let shop = self.prepared.shop;
        let opening = shop.calendar.first_opening();
        for (line, order) in shop.orders.enumerate() {
            match &order.arrivals {
                Arrivals::AtStart { .. } | Arrivals::InProgress { .. } => {
                    if S::HOURS && opening > self.state.now {
                        self.state.agenda.plan_release(opening, line);
                    } else {
                        self.release_is_due(line, self.released_together(line));
                    }
                }
                Arrivals::Every { every, first, .. } => {
                    let gap = if every.is_fixed() {
                        Span::ZERO
                    } else {
                        self.draws.gap(line, 0, every)
                    };
                    let first = first.map_or(opening, |first| Moment::START + first);
                    self.plan_release(line, order, 0, first + gap);
                }
            }
        }
    }

    /// How many orders a line releases at once when a release of it is due that was planned. Where the shop is always
    /// open, only those are planned that come one after another.
    #[inline]
    pub(super) fn released_together(&self, line: OrderLineId) -> u32 {
        match &self.prepared.shop.orders[line].arrivals {
            Arrivals::AtStart { count } => *count as u32,
            Arrivals::InProgress { count } => *count,
            Arrivals::Every { .. } => 1,
        }
    }

    #[inline]
    fn plan_release(&mut self, line: OrderLineId, order: &OrderLine, released: u64, at: Moment) {
        let Arrivals::Every { count, until, .. } = &order.arrivals else {
            return;
        };
        let wanted =
            count.is_none_or(|count| released < count) && until.is_none_or(|until| at <= until);
        // What arrives at one instant arrives before anybody chooses. Without an end to their number they would never
        // let anybody choose.
        if wanted && at == self.state.now && count.is_some() {
            self.release_is_due(line, 1);
        } else if wanted {
            self.state.agenda.plan_release(at, line);
        }
    }

    #[inline]
    pub(super) fn release_is_due(&mut self, line: OrderLineId, orders: u32) {
        self.state.lines[line.index()].due += orders;
        self.state.lines_due.insert(line.index());
    }

    /// Releases of one instant, in the order of the order lines. An order that is done at once may bring another.
    #[inline]
    pub(super) fn release_due_orders(&mut self) {
        if !self.state.lines_due.is_empty() {
            self.release_by_line();
        }
    }

    #[inline(never)]
    fn release_by_line(&mut self) {
        let mut from = 0;
        while let Some(line) = self.state.lines_due.next(from) {
            while self.state.lines[line].due > 0 {
                self.state.lines[line].due -= 1;
                self.release(OrderLineId(line as u32));
            }
            self.state.lines_due.remove(line);
            from = line;
        }
    }

    #[inline]
    fn release(&mut self, line: OrderLineId) {
        let prepared = self.prepared;
        let now = self.state.now;
        let of_line = &prepared.lines[line.index()];
        let order_line = of_line.order;
        let line_now = &mut self.state.lines[line.index()];
        line_now.released += 1;
        let released = line_now.released;
        if let Arrivals::Every { every, .. } = &order_line.arrivals {
            let next = now + self.draws.gap(line, released, every);
            self.plan_release(line, order_line, released, next);
        }
        let project = order_line.project;
        let nth = &mut self.state.project_orders[project.index()];
        let key = self.draws.order(project, *nth);
        *nth += 1;
        let number = self.state.orders_released;
        self.state.orders_released += 1;
        self.state.orders_open += 1;
        let slot = self.state.orders.take(Order::unused);
        self.recorder.released(&OrderReleased {
            project,
            line,
            order: number,
            slot,
            now: self.time(),
            released: now,
        });

        let order = &mut self.state.orders[slot];
        order.line = line.0;
        order.project = project.0;
        order.open = of_line.lots;
        order.number = number;
        order.released = now;
        order.key = key;
        if S::HOURS {
            order.released_time = self.state.time;
            order.released_session = self.state.session.number;
        }
        if !S::PLAIN {
            self.open_items(slot);
        }
        for index in of_line.items.clone() {
            if let Some(lies_at) = prepared.items[index].lies_at {
                self.begin_lots(slot, index, order_line.together, lies_at, key);
            }
        }
    }

    /// All lots of an item of an order become ready where they lie.
    #[inline(always)]
    fn begin_lots(&mut self, slot: u32, index: usize, together: u32, lies_at: PlaceId, order: Key) {
        let item = &self.prepared.items[index];
        let pieces = item.item.pieces * together;
        let size = item.item.batch.unwrap_or(pieces);
        let (mut batch, mut left) = (0, pieces);
        while left > 0 {
            let pieces = left.min(size);
            left -= pieces;
            let key = draws::lot(order, item.key, batch);
            let lot = self.new_lot(slot, index, batch, pieces, lies_at, key);
            self.go_on(lot, item.first, None);
            batch += 1;
        }
    }

    /// What the items of a new order wait for.
    fn open_items(&mut self, slot: u32) {
        let prepared = self.prepared;
        let order = &mut self.state.orders[slot];
        let line = &prepared.lines[order.line as usize];
        let together = line.order.together;
        let items = &prepared.items[line.items.clone()];
        order.items.resize_with(items.len(), OrderItem::unused);
        for (now, item) in order.items.iter_mut().zip(items) {
            now.open = item.lots(together);
            now.batches = now.open;
            now.inputs_open = item.inputs().len() as u32;
            now.finished.clear();
        }
    }

    #[inline]
    fn new_lot(
        &mut self,
        order: u32,
        item: usize,
        batch: u32,
        pieces: u32,
        place: PlaceId,
        key: Key,
    ) -> u32 {
        let number = self.state.orders[order].number;
        let (ready, ready_time) = (self.state.now, self.time());
        self.state.lots.put(|before| Lot {
            order,
            item: item as u32,
            batch,
            pieces,
            at: 0,
            place,
            unassembled: false,
            ready,
            ready_time,
            number,
            key,
            stamp: before.map_or(0, |lot| lot.stamp + 1),
        })
    }

    /// A lot has come to the end of an operation, or is new: it waits for what comes next, or is finished. It lies where
    /// it was, unless another place is named.
    #[inline(always)]
    pub(super) fn go_on(&mut self, slot: u32, next: Next, place: Option<PlaceId>) {
        let lot = &mut self.state.lots[slot];
        lot.ready = self.state.now;
        if S::HOURS {
            lot.ready_time = self.state.time;
        }
        lot.place = place.unwrap_or(lot.place);
        if !S::PLAIN && lot.pieces == 0 {
            self.lot_done(slot);
            return;
        }
        match next {
            Next::Step(first) => {
                lot.at = first;
                let lot = *lot;
                self.enqueue(slot, lot);
            }
            Next::Delivery(to) if !S::PLAIN && !self.prepared.shop.is_at(lot.place, to) => {
                self.enqueue_for_delivery(slot)
            }
            Next::Delivery(_) | Next::Nothing => self.lot_done(slot),
        }
    }

    #[inline]
    pub(super) fn lot_done(&mut self, slot: u32) {
        let now = self.state.now;
        let lot = &mut self.state.lots[slot];
        lot.ready = now;
        let order_slot = lot.order;
        let order = &mut self.state.orders[order_slot];
        order.open -= 1;
        let is_last = order.open == 0;
        if S::PLAIN {
            self.state.lots.give_back(slot);
        } else {
            self.item_goes_on(slot);
        }
        if is_last {
            self.order_done(order_slot);
        }
    }

    /// A lot of an item is done: it waits for the assembly it goes into, which may be possible now. Or it is material,
    /// which may be all there now to become parts.
    fn item_goes_on(&mut self, slot: u32) {
        let lot = &self.state.lots[slot];
        let (order, place, batch, pieces) = (lot.order, lot.place, lot.batch, lot.pieces);
        let item = &self.prepared.items[lot.item as usize];
        let first_item = lot.item as usize - item.id.index();
        let goes_into = item.item.goes_into;
        if goes_into.is_none() || pieces == 0 {
            self.leave(slot);
        }
        let items = &mut self.state.orders[order].items;
        if goes_into.is_some() && pieces > 0 {
            let lots = &self.state.lots;
            let finished = &mut items[item.id.index()].finished;
            let before = finished
                .iter()
                .position(|&other| lots[other].batch > batch)
                .unwrap_or(finished.len());
            finished.insert(before, slot);
        } else {
            give_back_lot(&mut self.state.lots, slot);
        }
        let open = &mut items[item.id.index()].open;
        *open -= 1;
        if *open > 0 {
            return;
        }
        if let Some(assembly) = goes_into {
            let inputs_open = &mut items[assembly.index()].inputs_open;
            *inputs_open -= 1;
            if *inputs_open == 0 {
                self.begin_assembly(order, first_item + assembly.index(), place);
            }
        } else if !item.becomes().is_empty() {
            self.become_parts(order, first_item, item.becomes(), place);
        }
    }

    /// The last of some material is done and lies at `place`: so do the parts now that are cut from it.
    #[inline(never)]
    fn become_parts(&mut self, slot: u32, first_item: usize, parts: &[ItemId], place: PlaceId) {
        let order = &mut self.state.orders[slot];
        let (key, line) = (order.key, OrderLineId(order.line));
        for part in parts {
            order.items[part.index()].material_at = place;
        }
        let together = self.prepared.shop.orders[line].together;
        for part in parts {
            self.begin_lots(slot, first_item + part.index(), together, place, key);
        }
    }

    /// The last input of an assembly is done, and lies at `place`. An assembly without a route lies there too; of
    /// inputs done at one instant the last as listed, then the last batch, counts as the last.
    fn begin_assembly(&mut self, order: u32, index: usize, place: PlaceId) {
        let now = &self.state.orders[order];
        let item = &self.prepared.items[index];
        let together = self.prepared.shop.orders[OrderLineId(now.line)].together;
        let key = draws::lot(now.key, item.key, 0);
        let lot = self.new_lot(order, index, 0, item.item.pieces * together, place, key);
        if item.item.route.is_empty() {
            let lots = &self.state.lots;
            let done_now = self
                .inputs_of(lot)
                .filter(|&input| lots[input].ready == self.state.now);
            let last = done_now.last();
            let place = last.map_or(place, |input| lots[input].place);
            self.state.lots[lot].place = place;
            if let Some(last) = last {
                self.takes_over(lot, last);
            }
            if S::STOPS {
                let inputs: Vec<u32> = self.inputs_of(lot).collect();
                inputs.into_iter().for_each(|input| self.leave(input));
            }
            self.use_up_inputs(lot);
        } else {
            self.state.lots[lot].unassembled = true;
        }
        self.go_on(lot, item.first, None);
    }

    /// The lots of an assembly's inputs, as listed and by batch, without those that have no sound pieces.
    pub(super) fn inputs_of(&self, assembly: u32) -> impl Iterator<Item = u32> {
        let lot = &self.state.lots[assembly];
        let order = &self.state.orders[lot.order];
        self.prepared.items[lot.item as usize]
            .inputs()
            .iter()
            .flat_map(|input| &order.items[input.index()].finished)
            .copied()
    }

    /// The inputs have become the assembly.
    pub(super) fn use_up_inputs(&mut self, assembly: u32) {
        let lot = &self.state.lots[assembly];
        let (slot, item) = (lot.order, &self.prepared.items[lot.item as usize]);
        for input in item.inputs() {
            let mut finished =
                std::mem::take(&mut self.state.orders[slot].items[input.index()].finished);
            finished.iter().for_each(|&lot| self.picked_up(lot));
            // The emptied list keeps its memory for the next order of this slot.
            let lots = &mut self.state.lots;
            finished.drain(..).for_each(|lot| give_back_lot(lots, lot));
            self.state.orders[slot].items[input.index()].finished = finished;
        }
        self.state.lots[assembly].unassembled = false;
    }

    /// Spoiled pieces begin anew, as a lot of their own.
    pub(super) fn replace_spoiled(&mut self, slot: u32, pieces: u32, step: u32) {
        let lot = &mut self.state.lots[slot];
        lot.pieces -= pieces;
        let (order, index) = (lot.order, lot.item as usize);
        let key = draws::replacement(lot.key, step);
        let item = &self.prepared.items[index];
        let now = &mut self.state.orders[order];
        now.open += 1;
        let of_item = &mut now.items[item.id.index()];
        of_item.open += 1;
        let batch = of_item.batches;
        of_item.batches += 1;
        let lies_at = item.lies_at.unwrap_or(of_item.material_at);
        let replacement = self.new_lot(order, index, batch, pieces, lies_at, key);
        self.go_on(replacement, item.first, None);
    }

    #[inline]
    fn order_done(&mut self, slot: u32) {
        let order = &self.state.orders[slot];
        let line = OrderLineId(order.line);
        let (released, done) = (order.released, self.state.now);
        let (while_shut, sessions) = match S::HOURS {
            true => self.hours_since_release(order),
            false => (Span::ZERO, 0),
        };
        self.recorder.done(&OrderDone {
            project: ProjectId(order.project),
            line,
            order: order.number,
            slot,
            now: self.time(),
            released,
            done,
            while_shut,
            sessions,
            together: self.prepared.lines[line.index()].order.together,
        });
        self.state.orders.give_back(slot);
        self.state.orders_open -= 1;
        if S::STOPS {
            self.state.last_done = done;
        }
        if let Arrivals::InProgress { .. } = self.prepared.shop.orders[line].arrivals {
            self.release_is_due(line, 1);
        }
    }
}

fn give_back_lot(lots: &mut Slots<Lot>, lot: u32) {
    lots[lot].stamp += 1;
    lots.give_back(lot);
}
