//! What happens next: planned events, the earliest first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::hint::select_unpredictable;

use crate::shop::{OrderLineId, PersonId, StationId};
use crate::units::Moment;

/// Something that is planned to happen; the number says to which one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    /// A task's run and tear-down are over.
    TaskEnds(u32),
    /// A task's run is over, and pieces are spoiled; there is tear-down to do.
    RunEnds(u32),
    /// A task's cure is over.
    CureEnds(u32),
    /// Somebody has brought what a station that works alone needs.
    CarrierFree(PersonId),
    /// A cart has been unloaded for the last time in a task.
    CartFree(u32),
    /// A finished lot has been brought to where it is delivered to.
    Delivered(u32),
    /// What does not go on together with others is over, in this place.
    SlotFree(u32),
    /// What a cure has tied up has been taken off.
    TakenOff(u32),
    /// The last of a lot has been picked up where it lay, or work on it begins there.
    PickedUp(u32),
    /// A station has been rolled in to where it is parked.
    RolledIn(StationId),
    /// An order line releases an order.
    Release(OrderLineId),
}

/// An event in one word: which kind it is in the upper half, the number in the lower one.
#[derive(Debug, Clone, Copy)]
pub(super) struct PackedEvent(u64);

impl PackedEvent {
    /// The task whose run and tear-down are over, if that is the event; one comparison tells.
    #[inline]
    pub fn ended_task(self) -> Option<u32> {
        (self.0 >> 32 == 0).then_some(self.0 as u32)
    }

    #[inline]
    pub fn unpack(self) -> Event {
        Event::unpack(self.0)
    }
}

impl Event {
    #[inline]
    fn pack(self) -> u64 {
        let (kind, index) = match self {
            Event::TaskEnds(task) => (0, task),
            Event::CureEnds(task) => (1, task),
            Event::CarrierFree(person) => (2, person.0),
            Event::CartFree(cart) => (3, cart),
            Event::Delivered(task) => (4, task),
            Event::RunEnds(task) => (5, task),
            Event::Release(line) => (6, line.0),
            Event::SlotFree(slot) => (7, slot),
            Event::TakenOff(task) => (8, task),
            Event::PickedUp(lot) => (9, lot),
            Event::RolledIn(station) => (10, station.0),
        };
        (kind << 32) | u64::from(index)
    }

    #[inline]
    fn unpack(packed: u64) -> Event {
        let index = packed as u32;
        // Most events are ends of tasks.
        if packed >> 32 == 0 {
            return Event::TaskEnds(index);
        }
        match packed >> 32 {
            1 => Event::CureEnds(index),
            2 => Event::CarrierFree(PersonId(index)),
            3 => Event::CartFree(index),
            4 => Event::Delivered(index),
            5 => Event::RunEnds(index),
            7 => Event::SlotFree(index),
            8 => Event::TakenOff(index),
            9 => Event::PickedUp(index),
            10 => Event::RolledIn(StationId(index)),
            _ => Event::Release(OrderLineId(index)),
        }
    }
}

/// So many of the next events stand in order; it costs little to put one more among them.
const SOON: usize = 16;

/// Room for them, one more, and what stands for none. A power of two, so that a place is found without being checked.
const PLACES: usize = (SOON + 2).next_power_of_two();

/// The events by time. The order among events of one instant is fixed, but decides nothing: all of them are handled
/// before anybody chooses, and releases are put in the order of their lines.
///
/// Where one person works, the end of that person's task is mostly all that is planned besides releases. It has a
/// place of its own, so that nothing has to be moved for it. A small shop has few events planned: the next ones stand
/// in a short list, and only what comes behind them is kept in a heap.
#[derive(Debug)]
pub(super) struct Agenda {
    /// When an event happens that is no release; [`Moment::NEVER`] if there is none.
    at_hand: Moment,
    /// Which one, if there is one.
    event_at_hand: PackedEvent,
    /// The earliest one last. The first place is [`Planned::NEVER`], so that there always is a last one; without any
    /// other, nothing else is planned.
    soon: [Planned; PLACES],
    /// The place of the earliest one.
    earliest: usize,
    /// What is later than all of these.
    later: BinaryHeap<Reverse<Planned>>,
}

/// An event and its instant. The instant is in the upper half, so that one comparison orders both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Planned(i128);

impl Planned {
    /// What stands for no event: later than all.
    const NEVER: Planned = Planned(i128::MAX);

    #[inline]
    fn new(at: Moment, event: Event) -> Planned {
        Planned::packed(at, PackedEvent(event.pack()))
    }

    #[inline]
    fn packed(at: Moment, event: PackedEvent) -> Planned {
        Planned(i128::from(at.micros()) << 64 | i128::from(event.0))
    }

    #[inline]
    fn at(self) -> Moment {
        Moment::from_micros((self.0 >> 64) as i64)
    }

    #[inline]
    fn event(self) -> PackedEvent {
        PackedEvent(self.0 as u64)
    }
}

impl Agenda {
    /// Forgets what is planned.
    pub fn clear(&mut self) {
        self.at_hand = Moment::NEVER;
        self.earliest = 0;
        self.later.clear();
    }
}

impl Default for Agenda {
    fn default() -> Agenda {
        Agenda {
            at_hand: Moment::NEVER,
            event_at_hand: PackedEvent(0),
            soon: [Planned::NEVER; PLACES],
            earliest: 0,
            later: BinaryHeap::new(),
        }
    }
}

impl Agenda {
    #[inline(always)]
    pub fn plan(&mut self, at: Moment, event: Event) {
        if self.at_hand == Moment::NEVER {
            self.at_hand = at;
            self.event_at_hand = PackedEvent(event.pack());
        } else {
            self.put_among_others(Planned::new(at, event));
        }
    }

    /// Plans the end of a task where one person does everything: no other one is planned.
    #[inline(always)]
    pub fn plan_in_turn(&mut self, at: Moment, task: u32) {
        debug_assert!(!self.is_task_at_hand(), "one task after the other");
        self.at_hand = at;
        self.event_at_hand = PackedEvent(u64::from(task));
    }

    /// Where one person does everything: whether that person is at work.
    #[inline(always)]
    pub fn is_task_at_hand(&self) -> bool {
        self.at_hand != Moment::NEVER
    }

    /// Plans a release: there is one for each order line, mostly not the next event.
    #[inline(always)]
    pub fn plan_release(&mut self, at: Moment, line: OrderLineId) {
        self.put_among_others(Planned::new(at, Event::Release(line)));
    }

    #[inline(never)]
    fn put_among_others(&mut self, planned: Planned) {
        if self.soon[1] < planned && !self.later.is_empty() && self.earliest > 0 {
            self.later.push(Reverse(planned));
            return;
        }
        // Where it belongs nothing foretells, so all places are gone through: a processor that guesses wrong loses
        // more than that.
        let mut earlier = planned;
        for place in &mut self.soon[1..=self.earliest] {
            let is_later = *place > earlier;
            let later = select_unpredictable(is_later, *place, earlier);
            earlier = select_unpredictable(is_later, earlier, *place);
            *place = later;
        }
        self.earliest += 1;
        self.soon[self.earliest] = earlier;
        if self.earliest > SOON {
            self.put_off_last();
        }
    }

    /// The last event of the list goes into the heap.
    #[cold]
    fn put_off_last(&mut self) {
        self.later.push(Reverse(self.soon[1]));
        self.soon.copy_within(2..=self.earliest, 1);
        self.earliest -= 1;
    }

    /// When the next event happens; [`Moment::NEVER`] if none is planned.
    #[inline(always)]
    pub fn next_time(&self) -> Moment {
        (self.at_hand).min(self.soon[self.earliest % PLACES].at())
    }

    /// Takes the next event, if one is planned up to an instant before [`Moment::NEVER`].
    #[inline(always)]
    pub fn take_until(&mut self, last: Moment) -> Option<(Moment, PackedEvent)> {
        let planned = self.soon[self.earliest % PLACES];
        let (at, event) = (self.at_hand, self.event_at_hand);
        if Planned::packed(at, event) < planned {
            if at > last {
                return None;
            }
            self.at_hand = Moment::NEVER;
            return Some((at, event));
        }
        self.take_planned(planned, last)
    }

    /// Likewise where one person does everything: the end of a task comes before releases of the same instant.
    #[inline(always)]
    pub fn take_in_turn_until(&mut self, last: Moment) -> Option<(Moment, PackedEvent)> {
        let planned = self.soon[self.earliest % PLACES];
        let at = self.at_hand;
        if at <= planned.at() {
            if at > last {
                return None;
            }
            self.at_hand = Moment::NEVER;
            // It is known to be the end of a task, so that nobody has to ask.
            let task = self.event_at_hand.0 as u32;
            return Some((at, PackedEvent(u64::from(task))));
        }
        self.take_planned(planned, last)
    }

    /// Takes the earliest event but for the one at hand.
    #[inline(always)]
    fn take_planned(&mut self, planned: Planned, last: Moment) -> Option<(Moment, PackedEvent)> {
        // What stands for no event is later than all.
        let at = planned.at();
        if at > last {
            return None;
        }
        self.earliest -= 1;
        if self.earliest == 0 && !self.later.is_empty() {
            self.look_ahead();
        }
        Some((at, planned.event()))
    }

    /// Takes the next events out of the heap.
    #[cold]
    fn look_ahead(&mut self) {
        self.earliest = self.later.len().min(SOON / 2);
        for place in (1..=self.earliest).rev() {
            if let Some(Reverse(planned)) = self.later.pop() {
                self.soon[place] = planned;
            }
        }
    }
}
