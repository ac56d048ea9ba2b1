//! The loop: first everything that ends or arrives at an instant, then decisions until nothing more can start.

use super::agenda::{Agenda, Event};
use super::draws::{self, Draws};
use super::prepared::{Prepared, PreparedChoice};
use super::queue::Rank;
use super::recorder::{OrderDone, Recorder};
use super::state::{Lot, Order, OrderItem, State};
use crate::random::Key;
use crate::shop::{Arrivals, ItemKind, OrderLineId, PlaceId, ProjectId, StationId};
use crate::units::{Span, Time};

/// Which replication is played, and how long.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    pub seed: u64,
    /// From 0.
    pub replication: u32,
    /// Without a horizon the run ends when all orders are done.
    pub until: Option<Time>,
}

/// A run that cannot go on although orders are open.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuck {
    pub at: Time,
    /// Whether it goes on for ever within one instant, instead of standing still.
    pub endless: bool,
    pub waiting: Vec<Waiting>,
}

/// Lots that wait for the same thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    pub project: String,
    pub item: String,
    pub operation: String,
    pub station: String,
    pub lots: usize,
}

/// So many rounds at one instant are taken for a run that never ends.
const MOST_ROUNDS_AT_ONCE: u64 = 10_000_000;

/// Plays one replication and tells the recorder what happens. Returns the instant at which it ended.
///
/// # Errors
/// [`Stuck`] if orders are open and nothing can ever happen again.
pub fn simulate<R: Recorder>(
    prepared: &Prepared,
    run: &Run,
    recorder: &mut R,
) -> Result<Time, Stuck> {
    let mut simulation = Simulation {
        prepared,
        draws: Draws::new(prepared.shop, run.seed, run.replication),
        agenda: Agenda::default(),
        state: State::new(prepared),
        until: run.until,
        recorder,
    };
    simulation.play()
}

pub(super) struct Simulation<'s, 'a, R> {
    pub(super) prepared: &'s Prepared<'a>,
    draws: Draws,
    pub(super) agenda: Agenda,
    pub(super) state: State,
    until: Option<Time>,
    pub(super) recorder: &'s mut R,
}

impl<R: Recorder> Simulation<'_, '_, R> {
    fn play(&mut self) -> Result<Time, Stuck> {
        self.open_order_lines();
        let mut rounds = 0;
        loop {
            while let Some(event) = self.agenda.next_at(self.state.now) {
                self.handle(event);
            }
            self.release_due_orders();
            self.decide();
            let Some(next) = self.agenda.next_time() else {
                break;
            };
            if self.until.is_some_and(|end| next > end) {
                break;
            }
            if next == self.state.now {
                rounds += 1;
                if rounds > MOST_ROUNDS_AT_ONCE {
                    return Err(self.stuck(true));
                }
            } else {
                rounds = 0;
            }
            self.state.now = next;
        }
        if self.agenda.next_time().is_none() && self.state.orders_open > 0 {
            return Err(self.stuck(false));
        }
        let end = self.until.unwrap_or(self.state.now);
        self.recorder.end(end);
        Ok(end)
    }

    #[inline]
    fn handle(&mut self, event: Event) {
        match event {
            Event::TaskEnds(task) => self.task_ends(task),
            Event::CureEnds(task) => self.cure_ends(task),
            Event::CarrierFree(person) => self.person_is_free(person),
            Event::CartFree(cart) => self.state.carts_free.insert(cart as usize),
            Event::Delivered(task) => self.delivered(task),
            Event::Release(line) => self.release_is_due(line, 1),
        }
    }

    fn open_order_lines(&mut self) {
        let shop = self.prepared.shop;
        for (line, order) in shop.orders.enumerate() {
            match &order.arrivals {
                Arrivals::AtStart { count } => self.release_is_due(line.0, *count as u32),
                Arrivals::InProgress { count } => self.release_is_due(line.0, *count),
                Arrivals::Every { every, first, .. } => {
                    let gap = if every.is_fixed() {
                        Span::ZERO
                    } else {
                        self.draws.gap(line, 0, every)
                    };
                    self.plan_release(line, Time::START + *first + gap);
                }
            }
        }
    }

    fn plan_release(&mut self, line: OrderLineId, at: Time) {
        let Arrivals::Every { count, until, .. } = &self.prepared.shop.orders[line].arrivals else {
            return;
        };
        let released = self.state.line_released[line.index()];
        let wanted =
            count.is_none_or(|count| released < count) && until.is_none_or(|until| at <= until);
        if wanted {
            self.agenda.plan(at, Event::Release(line.0));
        }
    }

    fn release_is_due(&mut self, line: u32, orders: u32) {
        self.state.releases_due[line as usize] += orders;
        self.state.lines_due.insert(line as usize);
    }

    /// Releases of one instant, in the order of the order lines. An order that is done at once may bring another.
    #[inline]
    fn release_due_orders(&mut self) {
        if !self.state.lines_due.is_empty() {
            self.release_by_line();
        }
    }

    fn release_by_line(&mut self) {
        let mut from = 0;
        while let Some(line) = self.state.lines_due.next(from) {
            while self.state.releases_due[line] > 0 {
                self.state.releases_due[line] -= 1;
                self.release(OrderLineId(line as u32));
            }
            self.state.lines_due.remove(line);
            from = line;
        }
    }

    fn release(&mut self, line: OrderLineId) {
        let order_line = &self.prepared.shop.orders[line];
        let released = self.state.line_released[line.index()] + 1;
        self.state.line_released[line.index()] = released;
        if let Arrivals::Every { every, .. } = &order_line.arrivals {
            let next = self.state.now + self.draws.gap(line, released, every);
            self.plan_release(line, next);
        }
        let project = order_line.project;
        let nth = self.state.project_orders[project.index()];
        self.state.project_orders[project.index()] += 1;
        let number = self.state.orders_released;
        self.state.orders_released += 1;
        self.state.orders_open += 1;
        let key = self.draws.order(project, nth);
        self.recorder.released(project, number, self.state.now);

        let first_item = self.prepared.first_item[project.index()];
        let items = self.prepared.first_item[project.index() + 1] - first_item;
        let slot = self.state.orders.take(Order::unused);
        let order = &mut self.state.orders[slot];
        order.line = line.0;
        order.project = project.0;
        order.number = number;
        order.released = self.state.now;
        order.due = order_line
            .due
            .map_or(i64::MAX, |due| (self.state.now + due).micros());
        order.together = order_line.together;
        order.key = key;
        order.items_open = items as u32;
        order.items.resize_with(items, OrderItem::default);
        for (index, now) in order.items.iter_mut().enumerate() {
            now.batches = 0;
            now.finished.clear();
            let item = self.prepared.items[first_item + index].item;
            match &item.kind {
                ItemKind::Part { .. } => {
                    let pieces = item.pieces * order_line.together;
                    now.open = item.batch.map_or(1, |batch| pieces.div_ceil(batch));
                    now.inputs_open = 0;
                }
                ItemKind::Assembly { made_of } => {
                    now.open = 1;
                    now.inputs_open = made_of.len() as u32;
                }
            }
        }
        for index in 0..items {
            let item = self.prepared.items[first_item + index].item;
            let ItemKind::Part { material_at } = &item.kind else {
                continue;
            };
            let pieces = item.pieces * order_line.together;
            let batch = item.batch.unwrap_or(pieces);
            let mut left = pieces;
            while left > 0 {
                let size = left.min(batch);
                left -= size;
                let lot = self.new_lot(slot, first_item + index, size, *material_at, None);
                self.next_operation(lot);
            }
        }
    }

    /// A lot of an item, with the key of its batch unless one is given.
    pub(super) fn new_lot(
        &mut self,
        order: u32,
        item: usize,
        pieces: u32,
        place: PlaceId,
        key: Option<Key>,
    ) -> u32 {
        let first_item = self.prepared.first_item[self.state.orders[order].project as usize];
        let now = &mut self.state.orders[order].items[item - first_item];
        let batch = now.batches;
        now.batches += 1;
        let key = key.unwrap_or_else(|| {
            draws::lot(
                self.state.orders[order].key,
                self.prepared.items[item].key,
                batch,
            )
        });
        let ready = self.state.now;
        let at_step = self.prepared.items[item].first_step;
        self.state.lots.put(|before| Lot {
            order,
            item: item as u32,
            batch,
            pieces,
            step: 0,
            at_step,
            place,
            unassembled: false,
            ready,
            key,
            stamp: before.map_or(0, |lot| lot.stamp + 1),
        })
    }

    /// A lot has come to the end of an operation, or is new: it waits for the next, or is finished.
    pub(super) fn next_operation(&mut self, lot: u32) {
        let prepared = self.prepared;
        let now = &mut self.state.lots[lot];
        now.ready = self.state.now;
        let (at_step, place, item, pieces) = (now.at_step, now.place, now.item, now.pieces);
        if pieces == 0 {
            self.lot_done(lot);
            return;
        }
        let choices = prepared.choices_of(at_step);
        if !choices.is_empty() {
            self.enqueue(lot, at_step, choices);
            return;
        }
        match prepared.items[item as usize].item.deliver_to {
            Some(to) if to != place => self.enqueue_for_delivery(lot),
            _ => self.lot_done(lot),
        }
    }

    #[inline]
    fn enqueue(&mut self, lot: u32, at_step: u32, choices: &[PreparedChoice]) {
        let now = self.state.now;
        let prepared = self.prepared;
        let waiting = &self.state.lots[lot];
        let due = self.state.orders[waiting.order].due;
        let (stamp, pieces) = (waiting.stamp, waiting.pieces);
        let rank = self.rank(lot, now.micros());
        for choice in choices {
            let station = choice.station;
            let value = prepared.queue_value(at_step, choice, pieces, rank.value, due);
            let queue = match choice.unmanned_queue {
                Some(queue) if self.lies_ready(lot, station) => queue,
                _ => choice.queue,
            };
            self.state.queues[queue].push(Rank { value, ..rank }, lot, stamp);
            let at = &mut self.state.stations[station.index()];
            at.queued += 1;
            if queue == choice.queue {
                at.manned += 1;
                self.state.manned_waiting.insert(station.index());
            } else {
                self.state.unmanned_waiting.insert(station.index());
            }
            self.recorder.queued(station, now);
        }
    }

    /// A lot's rank with the given value: the ties are the same for all rules.
    #[inline]
    pub(super) fn rank(&self, lot: u32, value: i64) -> Rank {
        let lot = &self.state.lots[lot];
        let order = self.state.orders[lot.order].number;
        Rank {
            value,
            order,
            line_and_batch: u64::from(lot.item) << 32 | u64::from(lot.batch),
        }
    }

    /// Whether nothing has to be brought for this lot to be worked on at the station, or bringing it takes no time.
    #[inline]
    pub(super) fn lies_ready(&self, lot: u32, station: StationId) -> bool {
        let here = PlaceId::from(station);
        let takes_no_time = |lot: u32| {
            let Lot {
                place,
                pieces,
                item,
                ..
            } = self.state.lots[lot];
            if place == here {
                return true;
            }
            let carries = pieces.div_ceil(self.prepared.items[item as usize].carry);
            self.prepared.carries_take_no_time(carries, place, here)
        };
        if self.state.lots[lot].unassembled {
            self.inputs_of(lot).all(takes_no_time)
        } else {
            takes_no_time(lot)
        }
    }

    /// The lots of an assembly's inputs, as listed and by batch, without those that have no sound pieces.
    pub(super) fn inputs_of(&self, assembly: u32) -> impl Iterator<Item = u32> {
        let lot = &self.state.lots[assembly];
        let order = &self.state.orders[lot.order];
        self.prepared
            .inputs(lot.item as usize)
            .iter()
            .flat_map(|input| &order.items[input.index()].finished)
            .copied()
    }

    fn enqueue_for_delivery(&mut self, lot: u32) {
        let value = self.delivery_value(lot);
        let waiting = &self.state.lots[lot];
        let rank = self.rank(lot, waiting.ready.micros());
        let place = waiting.place.index();
        self.state.deliveries[place].push((value, rank), lot, waiting.stamp);
        self.state.delivery_places.insert(place);
    }

    pub(super) fn lot_done(&mut self, lot: u32) {
        self.state.lots[lot].ready = self.state.now;
        let done = &self.state.lots[lot];
        let (slot, item, place, batch, pieces) = (
            done.order,
            done.item as usize,
            done.place,
            done.batch,
            done.pieces,
        );
        let project = self.state.orders[slot].project as usize;
        let first_item = self.prepared.first_item[project];
        let goes_into = self.prepared.items[item].item.goes_into;
        if goes_into.is_some() && pieces > 0 {
            let lots = &self.state.lots;
            let finished = &mut self.state.orders[slot].items[item - first_item].finished;
            let before = finished
                .iter()
                .position(|&other| lots[other].batch > batch)
                .unwrap_or(finished.len());
            finished.insert(before, lot);
        } else {
            self.give_back_lot(lot);
        }
        let now = &mut self.state.orders[slot].items[item - first_item];
        now.open -= 1;
        if now.open > 0 {
            return;
        }
        let order = &mut self.state.orders[slot];
        order.items_open -= 1;
        if let Some(assembly) = goes_into {
            order.items[assembly.index()].inputs_open -= 1;
            if order.items[assembly.index()].inputs_open == 0 {
                self.begin_assembly(slot, first_item + assembly.index(), place);
            }
        } else if order.items_open == 0 {
            self.order_done(slot);
        }
    }

    /// The last input of an assembly is done, and lies at `place`. An assembly without a route lies there too; of
    /// inputs done at one instant the last as listed, then the last batch, counts as the last.
    fn begin_assembly(&mut self, order: u32, item: usize, place: PlaceId) {
        let pieces = self.prepared.items[item].item.pieces * self.state.orders[order].together;
        let lot = self.new_lot(order, item, pieces, place, None);
        let first_step = self.prepared.items[item].first_step;
        if self.prepared.choice_numbers(first_step).is_empty() {
            let lots = &self.state.lots;
            let done_now = self
                .inputs_of(lot)
                .filter(|&input| lots[input].ready == self.state.now);
            let place = done_now.last().map_or(place, |input| lots[input].place);
            self.state.lots[lot].place = place;
            self.use_up_inputs(lot);
        } else {
            self.state.lots[lot].unassembled = true;
        }
        self.next_operation(lot);
    }

    /// The inputs have become the assembly.
    pub(super) fn use_up_inputs(&mut self, assembly: u32) {
        let (slot, item) = (
            self.state.lots[assembly].order,
            self.state.lots[assembly].item as usize,
        );
        for input in self.prepared.inputs(item) {
            let finished =
                std::mem::take(&mut self.state.orders[slot].items[input.index()].finished);
            finished.iter().for_each(|&lot| self.give_back_lot(lot));
            // The emptied list keeps its memory for the next order of this slot.
            let mut emptied = finished;
            emptied.clear();
            self.state.orders[slot].items[input.index()].finished = emptied;
        }
        self.state.lots[assembly].unassembled = false;
    }

    fn give_back_lot(&mut self, lot: u32) {
        self.state.lots[lot].stamp += 1;
        self.state.lots.give_back(lot);
    }

    fn order_done(&mut self, slot: u32) {
        let order = &self.state.orders[slot];
        let line = OrderLineId(order.line);
        let done = OrderDone {
            project: ProjectId(order.project),
            line,
            order: order.number,
            released: order.released,
            done: self.state.now,
        };
        self.recorder.done(&done);
        self.state.orders.give_back(slot);
        self.state.orders_open -= 1;
        if matches!(
            self.prepared.shop.orders[line].arrivals,
            Arrivals::InProgress { .. }
        ) {
            self.release_is_due(line.0, 1);
        }
    }

    fn stuck(&mut self, endless: bool) -> Stuck {
        let prepared = self.prepared;
        let lots = &self.state.lots;
        let mut waiting: Vec<Waiting> = Vec::new();
        for (kind, queue) in prepared.queues.iter().zip(&mut self.state.queues) {
            let Some((_, lot)) = queue.head(|lot, stamp| lots[lot].stamp == stamp) else {
                continue;
            };
            let lot = &lots[lot];
            let item = &prepared.items[lot.item as usize];
            let operation = prepared.choices_of(lot.at_step)[0].work.operation;
            let project = self.state.orders[lot.order].project;
            waiting.push(Waiting {
                project: prepared.shop.projects[ProjectId(project)].name.clone(),
                item: item.item.name.clone(),
                operation: prepared.shop.operations[operation].clone(),
                station: prepared.shop.stations[kind.station].name.clone(),
                lots: queue.len(),
            });
        }
        Stuck {
            at: self.state.now,
            endless,
            waiting,
        }
    }
}
