//! A task from its claims to its end: fetching, work, cure, and what becomes of the lot.

use super::agenda::Event;
use super::draws::{self, Purpose};
use super::prepared::PreparedChoice;
use super::recorder::{Handling, Job, PersonState, Recorder, StationState, Walk, WorkPhase};
use super::simulation::Simulation;
use super::state::Task;
use crate::floor::Manner;
use crate::shop::{Carts, PersonId, PlaceId, StationId, Work};
use crate::units::{Span, Time};

/// Somebody on the way: where and when.
#[derive(Debug, Clone, Copy)]
struct Carrier {
    person: PersonId,
    at: PlaceId,
    time: Time,
}

/// The cart that a task has taken, and when it was last unloaded.
#[derive(Debug, Clone, Copy)]
struct Cart {
    index: usize,
    at: PlaceId,
    unloaded: Time,
}

impl<'a, R: Recorder> Simulation<'_, 'a, R> {
    /// Claims what the task takes, and plans it to its end. `person` is None for work that needs nobody.
    pub(super) fn start_work(&mut self, lot: u32, station: StationId, person: Option<PersonId>) {
        let prepared = self.prepared;
        let now = self.state.now;
        let here = PlaceId::from(station);
        self.take_from_queues(lot);
        let chosen = &self.state.lots[lot];
        let (item_index, step, pieces, key) = (chosen.item, chosen.step, chosen.pieces, chosen.key);
        let choices = prepared.choice_numbers(chosen.at_step);
        let first = choices.start;
        let choice = choices
            .into_iter()
            .find(|&choice| prepared.choice_at(choice).station == station)
            .unwrap_or(first);
        let PreparedChoice { work, fetches, .. } = *prepared.choice_at(choice);
        let job = self.job(lot, Some(work));
        self.recorder.task(&job, now);

        let (unit, setup_is_due) = self.take_unit(station, work, item_index);
        for &(gear, count) in &work.gear {
            self.state.gear_free[gear.index()] -= count;
        }
        let mut begins = now;
        if let Some(person) = person {
            self.occupy(person);
            let helpers = match work.people {
                0 | 1 => None,
                _ => self.take_helpers(work, person),
            };
            begins = self.fetch(lot, person, here, fetches.then_some(work));
            self.state.people[person.index()].last_station = Some(station);
            let mut helper = helpers;
            while let Some(index) = helper {
                let helper_id = PersonId(index);
                let at = self.state.people[index as usize].place;
                let mut carrier = Carrier {
                    person: helper_id,
                    at,
                    time: now,
                };
                self.walk(&mut carrier, Manner::Empty, here);
                begins = begins.max(carrier.time);
                self.state.people[index as usize].place = here;
                self.state.people[index as usize].last_station = Some(station);
                helper = self.state.people[index as usize].next_helper;
            }
            self.state.people[person.index()].next_helper = helpers;
        }
        if begins > now {
            self.recorder
                .station(station, unit, StationState::Reserved, now, begins);
        }
        let workers = if work.people == 0 {
            if let Some(person) = person {
                self.agenda.plan(begins, Event::CarrierFree(person.0));
            }
            None
        } else {
            person.map(|person| person.0)
        };

        let mut time = begins;
        if setup_is_due {
            let setup = draws::once(&work.setup, key, step, Purpose::Setup);
            time = self.work_phase(WorkPhase::Setup, (station, unit), workers, time, setup);
        }
        let run = draws::run(work, key, step, pieces);
        time = self.work_phase(WorkPhase::Run, (station, unit), workers, time, run);
        if work.teardown.is_some() {
            let teardown = draws::once(&work.teardown, key, step, Purpose::Teardown);
            time = self.work_phase(
                WorkPhase::Teardown,
                (station, unit),
                workers,
                time,
                teardown,
            );
        }
        self.recorder.lot_run(station, time);
        let cured = match &work.cure {
            None => time,
            Some(cure) => time + draws::cure(&cure.time, key, step),
        };
        if let Some(cure) = &work.cure
            && cure.ties_up_station
            && cured > time
        {
            self.recorder
                .station(station, unit, StationState::Curing, time, cured);
        }
        for &(gear, count) in &work.gear {
            let tied = work
                .cure
                .as_ref()
                .is_some_and(|cure| cure.ties_up_gear.contains(&gear));
            self.recorder
                .gear(gear, count, now, if tied { cured } else { time });
        }
        let slot = self.state.tasks.put(|_| Task {
            lot,
            choice,
            unit,
            people: workers,
            ends: cured,
        });
        self.agenda.plan(time, Event::TaskEnds(slot));
    }

    /// Tells one phase of a task, of the unit and of everybody who takes part; returns its end.
    #[inline]
    fn work_phase(
        &mut self,
        phase: WorkPhase,
        (station, unit): (StationId, u32),
        workers: Option<u32>,
        begins: Time,
        takes: Span,
    ) -> Time {
        if takes.is_zero() {
            return begins;
        }
        let ends = begins + takes;
        self.recorder
            .station(station, unit, StationState::Working(phase), begins, ends);
        let here = PlaceId::from(station);
        let mut worker = workers;
        while let Some(index) = worker {
            let state = PersonState::Working(phase);
            self.recorder
                .person(PersonId(index), state, here, begins, ends);
            worker = self.state.people[index as usize].next_helper;
        }
        ends
    }

    /// Brings a finished lot to where it is delivered to.
    pub(super) fn start_delivery(&mut self, lot: u32, person: PersonId) {
        let now = self.state.now;
        let place = self.state.lots[lot].place.index();
        self.state.lots[lot].stamp += 1;
        let lots = &self.state.lots;
        self.state.deliveries[place].taken(lot, |lot, stamp| lots[lot].stamp == stamp);
        if self.state.deliveries[place].is_empty() {
            self.state.delivery_places.remove(place);
        }
        let item = self.prepared.items[self.state.lots[lot].item as usize].item;
        let to = item.deliver_to.unwrap_or(self.state.lots[lot].place);
        let job = self.job(lot, None);
        self.recorder.task(&job, now);
        self.occupy(person);
        self.state.people[person.index()].next_helper = None;
        let mut carrier = Carrier {
            person,
            at: self.state.people[person.index()].place,
            time: now,
        };
        let mut cart = self.take_cart(lot, to, person);
        self.bring(lot, &mut carrier, to, &mut cart);
        self.release_cart(cart);
        self.state.people[person.index()].place = carrier.at;
        let slot = self.state.tasks.put(|_| Task {
            lot,
            choice: 0,
            unit: 0,
            people: Some(person.0),
            ends: carrier.time,
        });
        self.agenda.plan(carrier.time, Event::Delivered(slot));
    }

    pub(super) fn delivered(&mut self, slot: u32) {
        let Task { lot, people, .. } = self.state.tasks[slot];
        self.state.tasks.give_back(slot);
        if let Some(person) = people {
            self.person_is_free(person);
        }
        let item = self.prepared.items[self.state.lots[lot].item as usize].item;
        if let Some(place) = item.deliver_to {
            self.state.lots[lot].place = place;
        }
        self.lot_done(lot);
    }

    /// Run and tear-down are over: the people are free, and what the cure does not tie up.
    #[inline]
    pub(super) fn task_ends(&mut self, slot: u32) {
        let Task {
            lot,
            choice,
            unit,
            people,
            ends,
        } = self.state.tasks[slot];
        let mut person = people;
        while let Some(index) = person {
            person = self.state.people[index as usize].next_helper;
            self.person_is_free(index);
        }
        let PreparedChoice { work, station, .. } = *self.prepared.choice_at(choice);
        if self.state.lots[lot].unassembled {
            self.use_up_inputs(lot);
        }
        self.state.lots[lot].place = PlaceId::from(station);
        let Some(cure) = &work.cure else {
            self.free_unit(station, unit);
            work.gear
                .iter()
                .for_each(|&(gear, count)| self.state.gear_free[gear.index()] += count);
            self.state.tasks.give_back(slot);
            self.operation_done(lot, work);
            return;
        };
        if !cure.ties_up_station {
            self.free_unit(station, unit);
        }
        for &(gear, count) in work
            .gear
            .iter()
            .filter(|(gear, _)| !cure.ties_up_gear.contains(gear))
        {
            self.state.gear_free[gear.index()] += count;
        }
        if ends > self.state.now {
            self.agenda.plan(ends, Event::CureEnds(slot));
        } else {
            self.cure_ends(slot);
        }
    }

    pub(super) fn cure_ends(&mut self, slot: u32) {
        let Task {
            lot, choice, unit, ..
        } = self.state.tasks[slot];
        let PreparedChoice { work, station, .. } = *self.prepared.choice_at(choice);
        if let Some(cure) = &work.cure {
            if cure.ties_up_station {
                self.free_unit(station, unit);
            }
            for &(gear, count) in work
                .gear
                .iter()
                .filter(|(gear, _)| cure.ties_up_gear.contains(gear))
            {
                self.state.gear_free[gear.index()] += count;
            }
        }
        self.state.tasks.give_back(slot);
        self.operation_done(lot, work);
    }

    #[inline]
    fn operation_done(&mut self, lot: u32, work: &Work) {
        if work.spoils > 0.0 {
            self.set_spoiled_apart(lot, work);
        }
        let done = &mut self.state.lots[lot];
        done.step += 1;
        done.at_step += 1;
        self.next_operation(lot);
    }

    /// Spoiled pieces begin anew as a lot of their own; the sound ones go on.
    fn set_spoiled_apart(&mut self, lot: u32, work: &Work) {
        let done = &self.state.lots[lot];
        let spoiled = draws::spoiled(work, done.key, done.step, done.pieces);
        if spoiled == 0 {
            return;
        }
        let key = draws::replacement(done.key, done.step);
        let (order, item) = (done.order, done.item as usize);
        let material_at = match &self.prepared.items[item].item.kind {
            crate::shop::ItemKind::Part { material_at } => *material_at,
            crate::shop::ItemKind::Assembly { .. } => done.place,
        };
        self.state.lots[lot].pieces -= spoiled;
        let first_item = self.prepared.first_item[self.state.orders[order].project as usize];
        self.state.orders[order].items[item - first_item].open += 1;
        let replacement = self.new_lot(order, item, spoiled, material_at, Some(key));
        self.next_operation(replacement);
    }

    #[inline]
    pub(super) fn person_is_free(&mut self, person: u32) {
        self.state.idle.insert(person as usize);
        self.state.idle_of_class[self.prepared.class_of[person as usize]] += 1;
    }

    #[inline]
    fn occupy(&mut self, person: PersonId) {
        self.state.idle.remove(person.index());
        self.state.idle_of_class[self.prepared.class_of[person.index()]] -= 1;
    }

    #[inline]
    fn take_from_queues(&mut self, lot: u32) {
        let prepared = self.prepared;
        let chosen = &mut self.state.lots[lot];
        chosen.stamp += 1;
        let (step, waited) = (chosen.at_step, self.state.now - chosen.ready);
        for choice in prepared.choices_of(step) {
            let station = choice.station;
            let queue = match choice.unmanned_queue {
                Some(queue) if self.lies_ready(lot, station) => queue,
                _ => choice.queue,
            };
            let waiting = &mut self.state.queues[queue];
            if prepared.is_plain[queue] {
                waiting.take_first();
            } else {
                let lots = &self.state.lots;
                waiting.taken(lot, |lot, stamp| lots[lot].stamp == stamp);
            }
            let at = &mut self.state.stations[station.index()];
            at.queued -= 1;
            if queue == choice.queue {
                at.manned -= 1;
                if at.manned == 0 {
                    self.state.manned_waiting.remove(station.index());
                }
            } else if at.queued == at.manned {
                self.state.unmanned_waiting.remove(station.index());
            }
            self.recorder.unqueued(station, waited, self.state.now);
        }
    }

    #[inline]
    fn job(&self, lot: u32, work: Option<&Work>) -> Job {
        let lot = &self.state.lots[lot];
        let order = &self.state.orders[lot.order];
        let item = &self.prepared.items[lot.item as usize];
        Job {
            project: item.project,
            order: order.number,
            item: item.id,
            batch: lot.batch,
            pieces: lot.pieces,
            operation: work.map(|work| work.operation),
            step: lot.step,
        }
    }

    /// Of the free units the first that needs no setup, else the first. Says whether setup is due.
    #[inline]
    fn take_unit(&mut self, station: StationId, work: &Work, item: u32) -> (u32, bool) {
        let this = Some((work.operation, item));
        let now = &mut self.state.stations[station.index()];
        let first = now.free.next(0).unwrap_or(0);
        let mut unit = first;
        let mut setup_is_due = work.setup.is_some() && now.last_work[first] != this;
        let mut from = first + 1;
        while setup_is_due && let Some(other) = now.free.next(from) {
            if now.last_work[other] == this {
                unit = other;
                setup_is_due = false;
            }
            from = other + 1;
        }
        now.free.remove(unit);
        now.last_work[unit] = this;
        if now.free.is_empty() {
            self.state.free_stations.remove(station.index());
        }
        (unit as u32, setup_is_due)
    }

    #[inline]
    fn free_unit(&mut self, station: StationId, unit: u32) {
        self.state.stations[station.index()]
            .free
            .insert(unit as usize);
        self.state.free_stations.insert(station.index());
    }

    /// Idle skilled people in the file's order, linked; the first of them.
    fn take_helpers(&mut self, work: &Work, person: PersonId) -> Option<u32> {
        let mut wanted = work.people.saturating_sub(1);
        let mut first = None;
        let mut last: Option<u32> = None;
        let mut from = 0;
        while wanted > 0
            && let Some(helper) = self.state.idle.next(from)
        {
            from = helper + 1;
            if helper == person.index()
                || !self.prepared.shop.crew[PersonId(helper as u32)].can_do(work.operation)
            {
                continue;
            }
            self.occupy(PersonId(helper as u32));
            self.state.people[helper].next_helper = None;
            match last {
                Some(last) => self.state.people[last as usize].next_helper = Some(helper as u32),
                None => first = Some(helper as u32),
            }
            last = Some(helper as u32);
            wanted -= 1;
        }
        first
    }

    /// The cart that is nearest to the person, then the first, if a lot that has to be brought asks for one.
    #[inline]
    fn take_cart(&mut self, lot: u32, to: PlaceId, person: PersonId) -> Option<Cart> {
        let carts = self.prepared.shop.handling.carts.as_ref()?;
        self.take_one_of(carts, lot, to, person)
    }

    fn take_one_of(
        &mut self,
        carts: &Carts,
        lot: u32,
        to: PlaceId,
        person: PersonId,
    ) -> Option<Cart> {
        let asks = |lot: u32| {
            let lot = &self.state.lots[lot];
            lot.place != to && lot.pieces >= carts.at_least
        };
        let wanted = if self.state.lots[lot].unassembled {
            self.inputs_of(lot).any(asks)
        } else {
            asks(lot)
        };
        if !wanted {
            return None;
        }
        let from = self.state.people[person.index()].place;
        let mut nearest: Option<(i64, usize)> = None;
        let mut next = 0;
        while let Some(index) = self.state.carts_free.next(next) {
            let away = self
                .prepared
                .distance(from, self.state.carts[index])
                .nanometres();
            if nearest.is_none_or(|(nearest, _)| away < nearest) {
                nearest = Some((away, index));
            }
            next = index + 1;
        }
        let (_, index) = nearest?;
        self.state.carts_free.remove(index);
        Some(Cart {
            index,
            at: self.state.carts[index],
            unloaded: self.state.now,
        })
    }

    #[inline]
    fn release_cart(&mut self, cart: Option<Cart>) {
        if let Some(cart) = cart {
            self.state.carts[cart.index] = cart.at;
            self.agenda
                .plan(cart.unloaded, Event::CartFree(cart.index as u32));
        }
    }

    /// Brings the lot and whatever the work needs to the station; returns when everything is there.
    /// `also` is the work, if it asks for more than the lot.
    #[inline]
    fn fetch(&mut self, lot: u32, person: PersonId, here: PlaceId, also: Option<&Work>) -> Time {
        let at = self.state.people[person.index()].place;
        let mut carrier = Carrier {
            person,
            at,
            time: self.state.now,
        };
        if self.state.lots[lot].unassembled {
            self.bring_inputs(lot, &mut carrier, here);
        } else if self.state.lots[lot].place != here {
            let mut cart = self.take_cart(lot, here, person);
            self.bring(lot, &mut carrier, here, &mut cart);
            self.release_cart(cart);
        }
        self.walk(&mut carrier, Manner::Empty, here);
        if let Some(work) = also {
            self.bring_also(work, &mut carrier, here);
        }
        self.state.people[person.index()].place = here;
        carrier.time
    }

    /// Brings the inputs of an assembly.
    fn bring_inputs(&mut self, assembly: u32, carrier: &mut Carrier, here: PlaceId) {
        let mut cart = self.take_cart(assembly, here, carrier.person);
        let inputs: Vec<u32> = self.inputs_of(assembly).collect();
        for input in inputs {
            self.bring(input, carrier, here, &mut cart);
        }
        self.release_cart(cart);
    }

    /// Brings the gear that is kept elsewhere, and what the work has somebody walk for.
    fn bring_also(&mut self, work: &Work, carrier: &mut Carrier, here: PlaceId) {
        let stored = work
            .gear
            .iter()
            .filter_map(|&(gear, _)| self.prepared.shop.gear[gear].stored_at);
        for from in stored.chain(work.fetch_from) {
            if from != here {
                self.walk(carrier, Manner::Empty, from);
                self.carry(carrier, here);
            }
        }
    }

    /// Brings a lot to a place, by cart where one was taken and the lot is large enough, else by hand.
    #[inline]
    fn bring(&mut self, lot: u32, carrier: &mut Carrier, to: PlaceId, cart: &mut Option<Cart>) {
        let moved = &self.state.lots[lot];
        let (from, pieces, item) = (moved.place, moved.pieces, moved.item as usize);
        if from == to {
            return;
        }
        if let (Some(cart), Some(carts)) = (cart.as_mut(), &self.prepared.shop.handling.carts)
            && pieces >= carts.at_least
        {
            self.push(carts, cart, carrier, pieces, (from, to));
            return;
        }
        let at_once = self.prepared.items[item].carry;
        let mut left = pieces;
        while left > 0 {
            self.walk(carrier, Manner::Empty, from);
            self.carry(carrier, to);
            left = left.saturating_sub(at_once);
        }
    }

    /// Brings pieces from one place to another by cart, which stays there.
    fn push(
        &mut self,
        carts: &Carts,
        cart: &mut Cart,
        carrier: &mut Carrier,
        pieces: u32,
        (from, to): (PlaceId, PlaceId),
    ) {
        self.walk(carrier, Manner::Empty, cart.at);
        for _ in 0..pieces.div_ceil(carts.pieces) {
            self.walk(carrier, Manner::Pushing, from);
            self.handle_load(carrier, Handling::Load, carts.load);
            self.walk(carrier, Manner::Pushing, to);
            self.handle_load(carrier, Handling::Unload, carts.unload);
        }
        cart.at = to;
        cart.unloaded = carrier.time;
    }

    /// Picks something up here, carries it to a place and puts it down.
    #[inline]
    fn carry(&mut self, carrier: &mut Carrier, to: PlaceId) {
        let handling = &self.prepared.shop.handling;
        self.handle_load(carrier, Handling::PickUp, handling.pick_up);
        self.walk(carrier, Manner::Carrying, to);
        self.handle_load(carrier, Handling::PutDown, handling.put_down);
    }

    /// Inlined, so that the manner of walking is settled where it is written.
    #[inline(always)]
    fn walk(&mut self, carrier: &mut Carrier, manner: Manner, to: PlaceId) {
        let Carrier {
            person,
            at: from,
            time: start,
        } = *carrier;
        if from == to {
            return;
        }
        let leg = self.prepared.leg(person, manner, from, to);
        let end = start + leg.takes;
        self.recorder.walk(&Walk {
            person,
            manner,
            from,
            to,
            distance: leg.distance,
            start,
            end,
        });
        carrier.at = to;
        carrier.time = end;
    }

    #[inline]
    fn handle_load(&mut self, carrier: &mut Carrier, what: Handling, takes: Span) {
        if takes.is_zero() {
            return;
        }
        let end = carrier.time + takes;
        self.recorder.person(
            carrier.person,
            PersonState::Handling(what),
            carrier.at,
            carrier.time,
            end,
        );
        carrier.time = end;
    }
}
