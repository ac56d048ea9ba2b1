//! Who takes what: the one place in which anything is chosen.

use super::bitset::Set;
use super::prepared_shop::QueueKind;
use super::queue::Rank;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::{ChooseNext, PersonId, PlaceId, QueueRule, StationId, SwitchStation};

/// What a station, or a lot that waits to be delivered or for something to be taken off, offers to a person.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offer {
    pub lot: u32,
    pub what: Offered,
    /// By the people's rule; the smallest is taken.
    value: i64,
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Offered {
    Work(StationId),
    /// All else ranks after all stations.
    Delivery,
    /// By the place of the task among those after which something is to be taken off.
    TakeOff(usize),
}

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    /// Starts whatever can start at this instant. Nothing that starts makes anything else possible at the same
    /// instant, so each station and each person is asked in turn until it has nothing more to start.
    #[inline(always)]
    pub(super) fn decide(&mut self) {
        if S::IN_TURN {
            self.let_take_turn();
            return;
        }
        let asks_again = S::STOPS && self.prepared.wear.count > 0
            || S::HOURS && !S::PLAIN && self.prepared.may_not_fit;
        if asks_again {
            self.decide_one_by_one();
            return;
        }
        if !self.state.unmanned_waiting.is_empty() {
            self.start_unmanned();
        }
        if !self.state.idle.is_empty() && self.may_offer() {
            self.let_people_choose();
        }
    }

    /// Whether there may be something that anybody could begin: work at a station with a free unit, or something to be
    /// delivered or taken off.
    #[inline(always)]
    fn may_offer(&self) -> bool {
        let state = &self.state;
        state.manned_waiting.meets(&state.free_stations)
            || !S::PLAIN
                && (!state.delivery_places.is_empty() || S::STOPS && !state.take_offs.is_empty())
    }

    /// Where upkeep may fall due, a task that is begun may be what lets another one do without anybody. And whether work
    /// ends in time depends on where people are, and on what others have taken.
    fn decide_one_by_one(&mut self) {
        loop {
            self.start_unmanned();
            let mut from = 0;
            let started = loop {
                let Some(person) = self.state.idle.next(from) else {
                    break false;
                };
                if self.choose(person) {
                    break true;
                }
                from = person + 1;
            };
            if !started {
                return;
            }
        }
    }

    /// The only person, if idle, takes the first lot of the only line: what [`best_offer`](Self::best_offer) comes to
    /// where every station is free and offers by the same rank.
    #[inline(always)]
    fn let_take_turn(&mut self) {
        if !self.state.agenda.is_task_at_hand()
            && let Some((_, lot)) = self.state.single_queue.peek_unchecked()
        {
            self.start_manned(lot, None, PersonId(0));
        }
    }

    #[inline(always)]
    fn let_people_choose(&mut self) {
        if !S::PLAIN && self.prepared.classes > 1 {
            self.let_classes_choose();
            return;
        }
        for word in 0..self.state.idle.words() {
            let mut left = self.state.idle.word(word);
            while left != 0 {
                let person = word * 64 + left.trailing_zeros() as usize;
                left &= left - 1;
                // Somebody may have been taken along as a helper meanwhile.
                let is_idle = S::PLAIN || self.state.idle.contains(person);
                if is_idle && !self.choose(person) {
                    return;
                }
            }
        }
    }

    /// People of one class are offered the same; whether they take anything does not depend on where they are.
    fn let_classes_choose(&mut self) {
        self.state.choosing.renew(self.prepared.classes, true);
        let mut from = 0;
        while let Some(person) = self.state.idle.next(from) {
            let class = self.prepared.class_of[person];
            if self.state.choosing.contains(class) {
                let is_over = if self.choose(person) {
                    !self.may_offer()
                } else {
                    self.state.choosing.remove(class);
                    self.state.choosing.is_empty()
                };
                if is_over {
                    return;
                }
            }
            from = person + 1;
        }
    }

    /// Work that needs nobody, by station.
    fn start_unmanned(&mut self) {
        let mut from = 0;
        while let Some(station) = self
            .state
            .unmanned_waiting
            .next_of_both(&self.state.free_stations, from)
        {
            while self.state.free_stations.contains(station) {
                let head = match self.prepared.plain_unmanned[station] {
                    Some(queue) => self.state.queues[queue].peek_unchecked(),
                    None => self.head(station, None, |_, _| true),
                };
                let Some((_, lot)) = head else {
                    break;
                };
                self.start_alone(lot, StationId(station as u32));
            }
            from = station + 1;
        }
    }

    /// The first lot of a station's queue that passes `takes` and for which there is gear, for somebody or for nobody.
    fn head(
        &mut self,
        station: usize,
        person: Option<PersonId>,
        takes: impl Fn(&QueueKind, &[u32]) -> bool,
    ) -> Option<(Rank, u32)> {
        let prepared = self.prepared;
        let (manned, unmanned) = (&prepared.manned[station], &prepared.unmanned[station]);
        // What needs nobody needs somebody where upkeep falls due.
        let queues = match person {
            None => unmanned.iter().chain(&[]),
            Some(_) if S::STOPS && prepared.has_upkeep[station] => manned.iter().chain(unmanned),
            Some(_) => manned.iter().chain(&[]),
        };
        let mut best: Option<(Rank, u32)> = None;
        for &queue in queues {
            if self.state.queues[queue].is_empty() {
                continue;
            }
            let kind = &prepared.queues[queue];
            let gear_is_there = kind
                .gear
                .iter()
                .all(|&(gear, count)| self.state.gear_free[gear.index()] >= count.of(1));
            let may_begin =
                gear_is_there && self.goes_together(&kind.slots) && !self.is_passed_over(kind);
            if !may_begin || !takes(kind, &self.state.idle_of_class) {
                continue;
            }
            let lots = &self.state.lots;
            let head = match S::STOPS && kind.lots_differ
                || S::HOURS && (kind.is_put_off || !kind.always_fits)
            {
                true => self.first_that_may_begin(queue, person),
                false => {
                    self.state.queues[queue].peek_current(|lot, stamp| lots[lot].stamp == stamp)
                }
            };
            if let Some(head) = head
                && best.is_none_or(|(rank, _)| head.0 < rank)
            {
                best = Some(head);
            }
        }
        best
    }

    /// The first lot of a station's queue in which this person can take part now. Inlined, since each idle person asks
    /// every station, most of which have one queue.
    #[inline(always)]
    fn head_for(&mut self, person: usize, station: usize) -> Option<(Rank, u32)> {
        match self.prepared.plain[station] {
            Some(queue) => self.state.queues[queue].peek_unchecked(),
            None if S::PLAIN => None,
            None => self.head_for_skilled(person, station),
        }
    }

    #[inline(never)]
    fn head_for_skilled(&mut self, person: usize, station: usize) -> Option<(Rank, u32)> {
        let class = self.prepared.class_of[person];
        let chooser = PersonId(person as u32);
        self.head(station, Some(chooser), |kind, idle| {
            kind.classes.contains(&class)
                && kind.classes.iter().map(|&class| idle[class]).sum::<u32>() >= kind.people
        })
    }

    /// Lets an idle person choose; says whether something was started.
    #[inline(always)]
    fn choose(&mut self, person: usize) -> bool {
        let (lot, what) = match self.oldest_head() {
            Some((lot, station)) => (lot, Offered::Work(station)),
            None => match self.offer_to(person) {
                Some(offer) => (offer.lot, offer.what),
                None => return false,
            },
        };
        let chooser = PersonId(person as u32);
        match what {
            Offered::Work(station) => self.start_manned(lot, Some(station), chooser),
            Offered::Delivery => self.start_delivery(lot, chooser),
            Offered::TakeOff(nth) => self.start_take_off(nth, chooser),
        }
        true
    }

    /// What [`best_offer`](Self::best_offer) comes to in a plain shop where all go by the longest wait; None where
    /// it has to be asked, as when lots have waited equally long.
    #[inline(always)]
    fn oldest_head(&self) -> Option<(u32, StationId)> {
        if !S::PLAIN || !self.prepared.oldest_first {
            return None;
        }
        let state = &self.state;
        let (mut oldest, mut since, mut may_tie) = (None, i64::MAX, false);
        for word in 0..state.manned_waiting.words() {
            let mut left = state.manned_waiting.both(&state.free_stations, word);
            while left != 0 {
                let station = word * 64 + left.trailing_zeros() as usize;
                left &= left - 1;
                let other = state.heads[station].0;
                may_tie |= other == since;
                oldest = if other < since { Some(station) } else { oldest };
                since = since.min(other);
            }
        }
        let oldest = oldest.filter(|_| !may_tie)?;
        Some((state.heads[oldest].1, StationId(oldest as u32)))
    }

    /// The best of what all stations and the lots to be delivered offer.
    #[inline(never)]
    pub(super) fn best_offer(&mut self, person: usize) -> Option<Offer> {
        let rules = &self.prepared.shop.rules;
        if rules.switch == SwitchStation::WhenItsQueueIsEmpty
            && let Some(offer) = self.offer_of_last_station(person)
        {
            return Some(offer);
        }
        // Then a station's own rule has ranked its lots by the instant that people go by too.
        let by_rank = rules.choose == ChooseNext::FirstCome && rules.queue == QueueRule::Fifo;
        let mut best: Option<Offer> = None;
        // Nothing joins or leaves a set while offers are compared, so their words are gone through one by one.
        for word in 0..self.state.manned_waiting.words() {
            let mut left = (self.state.manned_waiting).both(&self.state.free_stations, word);
            while left != 0 {
                let station = word * 64 + left.trailing_zeros() as usize;
                left &= left - 1;
                let Some((rank, lot)) = self.head_for(person, station) else {
                    continue;
                };
                let station = StationId(station as u32);
                let value = match by_rank {
                    true => rank.value,
                    false => self.rule_value(person, lot, station),
                };
                if best.is_some_and(|best| best.value < value) {
                    continue;
                }
                let offer = Offer {
                    lot,
                    what: Offered::Work(station),
                    value,
                };
                if best.is_none_or(|best| self.is_better(&offer, &best)) {
                    best = Some(offer);
                }
            }
        }
        if S::PLAIN {
            return best;
        }
        let best = self.best_delivery(person, best);
        match S::STOPS {
            true => self.best_take_off(person, best),
            false => best,
        }
    }

    /// The best delivery, if it is better than what else there is.
    fn best_delivery(&mut self, person: usize, other: Option<Offer>) -> Option<Offer> {
        let mut best = other;
        let mut from = 0;
        while let Some(place) = self.state.delivery_places.next(from) {
            from = place + 1;
            let Some(lot) = self.first_delivery_from(place, person) else {
                continue;
            };
            let value = match self.prepared.shop.rules.choose {
                ChooseNext::Nearest => self.walk_to(person, PlaceId(place as u32)),
                _ => self.delivery_value(lot),
            };
            let offer = Offer {
                lot,
                what: Offered::Delivery,
                value,
            };
            if best.is_none_or(|best| self.is_better(&offer, &best)) {
                best = Some(offer);
            }
        }
        best
    }

    /// The best of what is to be taken off, if it is better than what else there is. It counts as a delivery does.
    fn best_take_off(&mut self, person: usize, other: Option<Offer>) -> Option<Offer> {
        let mut best = other;
        for nth in 0..self.state.take_offs.len() {
            let task = self.state.take_offs[nth];
            let lot = self.state.tasks[task].lot;
            if !self.may_take_off(PersonId(person as u32), task) {
                continue;
            }
            let value = match self.prepared.shop.rules.choose {
                ChooseNext::Nearest => self.walk_to(person, self.state.lots[lot].place),
                _ => self.delivery_value(lot),
            };
            let offer = Offer {
                lot,
                what: Offered::TakeOff(nth),
                value,
            };
            if best.is_none_or(|best| self.is_better(&offer, &best)) {
                best = Some(offer);
            }
        }
        best
    }

    /// What the station where somebody last worked offers.
    fn offer_of_last_station(&mut self, person: usize) -> Option<Offer> {
        let station = self.state.people[person].last_station?;
        let index = station.index();
        if !self.state.free_stations.contains(index) || !self.state.manned_waiting.contains(index) {
            return None;
        }
        let (rank, lot) = self.head_for(person, index)?;
        Some(Offer {
            lot,
            what: Offered::Work(station),
            value: rank.value,
        })
    }

    /// By value, then by rank, then the station nearer to the lot, then the earlier one in the file.
    #[inline]
    fn is_better(&self, offer: &Offer, than: &Offer) -> bool {
        if offer.value != than.value {
            return offer.value < than.value;
        }
        self.wins_tie(offer, than)
    }

    #[cold]
    fn wins_tie(&self, offer: &Offer, than: &Offer) -> bool {
        // Offers come in the file's order, so of two that tie to the last the one before stays.
        self.age(offer)
            .cmp(&self.age(than))
            .then_with(|| self.way(offer).cmp(&self.way(than)))
            .is_lt()
    }

    /// Ready longest, then the order released first, the line, the batch.
    fn age(&self, offer: &Offer) -> Rank {
        let lot = &self.state.lots[offer.lot];
        lot.rank(lot.ready.micros())
    }

    /// From the lot to the station that offers it.
    fn way(&self, offer: &Offer) -> i64 {
        let Offered::Work(station) = offer.what else {
            return i64::MAX;
        };
        let from = self.fetched_first(offer.lot, station);
        let way = self.distance_now(from, self.place_of_work(offer.lot, station));
        way.nanometres()
    }
}
