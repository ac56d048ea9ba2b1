//! Bringing things: who walks where, with what in hand, and when they are there.

use super::agenda::Event;
use super::bitset::Set;
use super::phase::{Doing, Handling};
use super::prepared_shop::PreparedChoice;
use super::recorder::{Recorder, Walk};
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use super::travel_times::SpeedClass;
use crate::floor::Manner;
use crate::shop::{Carts, PersonId, PlaceId, StationId, WeeklyTimes, Work};
use crate::units::{Span, Time};

/// Somebody on the way: where and when.
#[derive(Debug, Clone, Copy)]
pub(super) struct Carrier<'s> {
    pub person: PersonId,
    /// Empty-handed.
    pub speed: SpeedClass,
    pub at: PlaceId,
    pub time: Time,
    /// When something was last picked up.
    pub picked_up: Time,
    /// Whether it happens. Otherwise it is only asked how long it would take: then nothing is told, and nothing is
    /// taken.
    pub is_told: bool,
    /// When they go on, if anything but closing interrupts them.
    pub times: Option<&'s WeeklyTimes>,
}

/// The cart that a task has taken, and when it was last unloaded.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cart {
    index: usize,
    at: PlaceId,
    unloaded: Time,
}

impl<'s, R: Recorder + ?Sized, S: Specialization> Simulation<'s, '_, R, S> {
    /// Somebody who delivers something, or takes something off.
    #[inline]
    pub(super) fn carrier(&self, person: PersonId) -> Carrier<'s> {
        self.carrier_for(person, None)
    }

    /// Somebody who brings something to a station, or comes there to help.
    #[inline]
    pub(super) fn carrier_to(&self, person: PersonId, station: StationId) -> Carrier<'s> {
        self.carrier_for(person, Some(station))
    }

    /// Somebody of whom it is only asked how long it would take.
    pub(super) fn carrier_if(&self, person: PersonId) -> Carrier<'s> {
        Carrier {
            is_told: false,
            times: None,
            ..self.carrier(person)
        }
    }

    #[inline(always)]
    fn carrier_for(&self, person: PersonId, station: Option<StationId>) -> Carrier<'s> {
        let now = &self.state.people[person.index()];
        Carrier {
            person,
            speed: now.speed,
            at: now.place,
            time: self.time(),
            picked_up: self.time(),
            is_told: true,
            times: self.goes_on(person, station),
        }
    }

    /// Whether what is at a place is at another one, elsewhere at the same station perhaps.
    #[inline(always)]
    pub(super) fn is_at(&self, place: PlaceId, here: PlaceId) -> bool {
        place == here || !S::PLAIN && self.prepared.shop.is_at(place, here)
    }

    /// Brings the lot and whatever else the work needs to the station.
    #[inline(always)]
    pub(super) fn fetch(
        &mut self,
        slot: u32,
        lot: &Lot,
        carrier: &mut Carrier<'s>,
        choice: &PreparedChoice,
    ) {
        let here = choice.here;
        if !S::PLAIN && lot.unassembled {
            self.bring_inputs(slot, carrier, here);
        } else if !self.is_at(lot.place, here) {
            let mut cart = self.seize_cart(slot, here, carrier);
            self.bring(lot, choice.carry, carrier, here, &mut cart);
            if S::STOPS && carrier.is_told {
                self.note_pick_up(slot, lot.place, here, carrier.picked_up);
            }
            self.release_cart(cart, carrier);
        }
        self.walk(carrier, Manner::Empty, here);
        if !S::PLAIN && choice.fetches {
            self.bring_also(choice.work, carrier, here);
        }
    }

    /// Brings the inputs of an assembly.
    fn bring_inputs(&mut self, assembly: u32, carrier: &mut Carrier<'s>, here: PlaceId) {
        let mut cart = self.seize_cart(assembly, here, carrier);
        let inputs: Vec<u32> = self.inputs_of(assembly).collect();
        for input in inputs {
            let lot = self.state.lots[input];
            let at_once = self.prepared.items[lot.item as usize].carry;
            self.bring(&lot, at_once, carrier, here, &mut cart);
            if carrier.is_told {
                self.note_pick_up(input, lot.place, here, carrier.picked_up);
            }
        }
        self.release_cart(cart, carrier);
    }

    /// Brings the gear that is kept elsewhere, and what the work has somebody walk for.
    fn bring_also(&mut self, work: &Work, carrier: &mut Carrier, here: PlaceId) {
        let stored = work
            .gear
            .iter()
            .filter_map(|&(gear, _)| self.prepared.shop.gear[gear].stored_at);
        for from in stored.chain(work.fetch_from) {
            if !self.is_at(from, here) {
                self.walk(carrier, Manner::Empty, from);
                self.carry(carrier, here);
            }
        }
    }

    /// Brings a lot to a place, by cart where one was taken and the lot is large enough, else by hand, so many pieces
    /// at once.
    #[inline(always)]
    pub(super) fn bring(
        &mut self,
        lot: &Lot,
        at_once: u32,
        carrier: &mut Carrier<'s>,
        to: PlaceId,
        cart: &mut Option<Cart>,
    ) {
        if self.is_at(lot.place, to) {
            return;
        }
        if !S::PLAIN
            && let (Some(cart), Some(carts)) = (cart.as_mut(), &self.prepared.shop.handling.carts)
            && lot.pieces >= carts.at_least
        {
            self.push(carts, cart, carrier, lot.pieces, (lot.place, to));
            return;
        }
        self.walk(carrier, Manner::Empty, lot.place);
        self.carry(carrier, to);
        if lot.pieces > at_once {
            *carrier = self.carry_the_rest(lot.place, lot.pieces - at_once, at_once, *carrier, to);
        }
    }

    /// The carries of a lot but for the first. The carrier comes and goes by value, so that nothing has to be kept in
    /// memory where there is no such carry.
    #[inline(never)]
    fn carry_the_rest(
        &mut self,
        from: PlaceId,
        pieces: u32,
        at_once: u32,
        mut carrier: Carrier<'s>,
        to: PlaceId,
    ) -> Carrier<'s> {
        for _ in 0..pieces.div_ceil(at_once) {
            self.walk(&mut carrier, Manner::Empty, from);
            self.carry(&mut carrier, to);
        }
        carrier
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
            carrier.picked_up = carrier.time;
            self.walk(carrier, Manner::Pushing, to);
            self.handle_load(carrier, Handling::Unload, carts.unload);
        }
        cart.at = to;
        cart.unloaded = carrier.time;
    }

    /// Brings a finished lot to where it is delivered to.
    pub(super) fn deliver(&mut self, slot: u32, lot: &Lot, carrier: &mut Carrier<'s>) {
        let item = &self.prepared.items[lot.item as usize];
        let to = item.item.deliver_to.unwrap_or(lot.place);
        let mut cart = self.seize_cart(slot, to, carrier);
        self.bring(lot, item.carry, carrier, to, &mut cart);
        if carrier.is_told {
            self.note_pick_up(slot, lot.place, to, carrier.picked_up);
        }
        self.release_cart(cart, carrier);
    }

    /// Picks something up here, carries it to a place and puts it down.
    #[inline(always)]
    pub(super) fn carry(&mut self, carrier: &mut Carrier, to: PlaceId) {
        let prepared = self.prepared;
        self.handle_load(carrier, Handling::PickUp, prepared.pick_up);
        if S::STOPS {
            carrier.picked_up = carrier.time;
        }
        self.walk(carrier, Manner::Carrying, to);
        self.handle_load(carrier, Handling::PutDown, prepared.put_down);
    }

    /// Inlined, so that the manner of walking is settled where it is written.
    #[inline(always)]
    pub(super) fn walk(&mut self, carrier: &mut Carrier, manner: Manner, to: PlaceId) {
        let Carrier {
            person,
            speed: empty_handed,
            at: from,
            time: start,
            is_told,
            ..
        } = *carrier;
        if from == to {
            return;
        }
        let travel = self.travel;
        let speed = match manner {
            Manner::Empty => empty_handed,
            Manner::Carrying => SpeedClass::CARRYING,
            Manner::Pushing => travel.pushing(),
        };
        let pair = self.way_between(from, to);
        let leg = travel.of(speed, pair);
        let walks = Doing::Walk {
            manner,
            from,
            to,
            distance: leg.distance,
        };
        let end = self.carrier_until(carrier, walks, leg.takes);
        if !S::HOURS || is_told {
            self.recorder.walk(&Walk {
                person,
                manner,
                from,
                to,
                pair,
                distance: leg.distance,
                start,
                end,
            });
        }
        carrier.at = to;
        carrier.time = end;
    }

    #[inline]
    pub(super) fn handle_load(&mut self, carrier: &mut Carrier, what: Handling, takes: Span) {
        if takes.is_zero() {
            return;
        }
        let handles = Doing::Handle {
            what,
            at: carrier.at,
        };
        let end = self.carrier_until(carrier, handles, takes);
        if !S::HOURS || carrier.is_told {
            self.recorder
                .handling(carrier.person, what, carrier.at, carrier.time, end);
        }
        carrier.time = end;
    }

    /// The cart that is nearest to the person, then the first, if a lot that has to be brought asks for one.
    #[inline]
    pub(super) fn seize_cart(&mut self, slot: u32, to: PlaceId, carrier: &Carrier) -> Option<Cart> {
        match &self.prepared.shop.handling.carts {
            Some(carts) if !S::PLAIN => self.take_one_of(carts, slot, to, carrier),
            _ => None,
        }
    }

    fn take_one_of(
        &mut self,
        carts: &Carts,
        slot: u32,
        to: PlaceId,
        carrier: &Carrier,
    ) -> Option<Cart> {
        let asks = |lot: u32| {
            let lot = &self.state.lots[lot];
            !self.is_at(lot.place, to) && lot.pieces >= carts.at_least
        };
        let wanted = if self.state.lots[slot].unassembled {
            self.inputs_of(slot).any(asks)
        } else {
            asks(slot)
        };
        if !wanted {
            return None;
        }
        let mut nearest: Option<(i64, usize)> = None;
        let mut next = 0;
        while let Some(index) = self.state.carts_free.next(next) {
            let away = self.distance_now(carrier.at, self.state.carts[index]);
            let away = away.nanometres();
            if nearest.is_none_or(|(nearest, _)| away < nearest) {
                nearest = Some((away, index));
            }
            next = index + 1;
        }
        let (_, index) = nearest?;
        if carrier.is_told {
            self.state.carts_free.remove(index);
        }
        Some(Cart {
            index,
            at: self.state.carts[index],
            unloaded: self.time(),
        })
    }

    #[inline]
    pub(super) fn release_cart(&mut self, cart: Option<Cart>, carrier: &Carrier) {
        if !S::PLAIN
            && carrier.is_told
            && let Some(cart) = cart
        {
            self.state.carts[cart.index] = cart.at;
            let event = Event::CartFree(cart.index as u32);
            let unloaded = self.end_at(cart.unloaded);
            self.state.agenda.plan(unloaded, event);
        }
    }
}
