//! What changes while a run is played: orders, lots, stations, people, gear and carts.

use super::prepared::Prepared;
use super::queue::{Queue, Rank};
use crate::random::Key;
use crate::shop::{OperationId, PlaceId, StationId};
use crate::units::Time;

/// A lot in process. Slots are used again, so that memory does not grow with the run.
#[derive(Debug, Clone)]
pub(super) struct Lot {
    /// Slot of its order.
    pub order: u32,
    /// Item among those of all projects.
    pub item: u32,
    pub batch: u32,
    pub pieces: u32,
    /// The next operation of the route; the length of the route when all are done.
    pub step: u32,
    /// The same among the steps of all items.
    pub at_step: u32,
    pub place: PlaceId,
    /// An assembly that has not been put together: its inputs lie where they lie.
    pub unassembled: bool,
    /// Ready for its next operation or its delivery; of a finished lot, done.
    pub ready: Time,
    pub key: Key,
    /// Goes up whenever the lot is taken out of its queues, and when the slot is used again.
    pub stamp: u32,
}

#[derive(Debug)]
pub(super) struct Order {
    pub line: u32,
    pub project: u32,
    /// In the order of release.
    pub number: u64,
    pub released: Time,
    /// Microseconds; the largest number when nothing is due.
    pub due: i64,
    pub together: u32,
    pub key: Key,
    pub items_open: u32,
    pub items: Vec<OrderItem>,
}

impl Order {
    /// A new slot, before its first order.
    pub fn unused() -> Order {
        Order {
            line: 0,
            project: 0,
            number: 0,
            released: Time::START,
            due: i64::MAX,
            together: 1,
            key: Key::from_seed(0),
            items_open: 0,
            items: Vec::new(),
        }
    }
}

#[derive(Debug, Default)]
pub(super) struct OrderItem {
    /// Lots that are not done; an assembly counts as one.
    pub open: u32,
    /// Batches so far.
    pub batches: u32,
    /// Inputs of an assembly that are not done.
    pub inputs_open: u32,
    /// Finished lots that wait for the assembly they go into.
    pub finished: Vec<u32>,
}

/// Used slots that are given out again, last one first.
#[derive(Debug)]
pub(super) struct Slots<T> {
    slots: Vec<T>,
    free: Vec<u32>,
}

impl<T> Slots<T> {
    pub fn new() -> Slots<T> {
        Slots {
            slots: Vec::new(),
            free: Vec::new(),
        }
    }

    /// Fills a slot, an old one if there is one, whose contents `new` is shown.
    #[inline]
    pub fn put(&mut self, new: impl FnOnce(Option<&T>) -> T) -> u32 {
        if let Some(slot) = self.free.pop() {
            let old = &mut self.slots[slot as usize];
            *old = new(Some(old));
            return slot;
        }
        self.slots.push(new(None));
        (self.slots.len() - 1) as u32
    }

    /// A slot: an old one, whose contents the caller overwrites, or a new one.
    #[inline]
    pub fn take(&mut self, new: impl FnOnce() -> T) -> u32 {
        if let Some(slot) = self.free.pop() {
            return slot;
        }
        self.slots.push(new());
        (self.slots.len() - 1) as u32
    }

    #[inline]
    pub fn give_back(&mut self, slot: u32) {
        self.free.push(slot);
    }
}

impl<T> std::ops::Index<u32> for Slots<T> {
    type Output = T;
    #[inline]
    fn index(&self, slot: u32) -> &T {
        &self.slots[slot as usize]
    }
}

impl<T> std::ops::IndexMut<u32> for Slots<T> {
    #[inline]
    fn index_mut(&mut self, slot: u32) -> &mut T {
        &mut self.slots[slot as usize]
    }
}

/// A set of small numbers that is gone through in order. A shop mostly has fewer than 64 of anything, so those stand
/// in one word, and only larger numbers in a list.
#[derive(Debug, Clone)]
pub(super) struct Set {
    word: u64,
    more: Vec<u64>,
    /// Members of the list.
    of_more: usize,
}

impl Set {
    pub fn new(size: usize, full: bool) -> Set {
        let mut set = Set {
            word: 0,
            more: vec![0; size.div_ceil(64).saturating_sub(1)],
            of_more: 0,
        };
        if full {
            (0..size).for_each(|member| set.insert(member));
        }
        set
    }

    #[inline]
    fn word(&self, index: usize) -> Option<u64> {
        match index {
            0 => Some(self.word),
            _ => self.more.get(index - 1).copied(),
        }
    }

    #[inline]
    pub fn contains(&self, member: usize) -> bool {
        let bit = 1 << (member % 64);
        self.word(member / 64).is_some_and(|word| word & bit != 0)
    }

    #[inline]
    pub fn insert(&mut self, member: usize) {
        let bit = 1 << (member % 64);
        if member < 64 {
            self.word |= bit;
            return;
        }
        let word = &mut self.more[member / 64 - 1];
        self.of_more += usize::from(*word & bit == 0);
        *word |= bit;
    }

    #[inline]
    pub fn remove(&mut self, member: usize) {
        let bit = 1 << (member % 64);
        if member < 64 {
            self.word &= !bit;
            return;
        }
        let word = &mut self.more[member / 64 - 1];
        self.of_more -= usize::from(*word & bit != 0);
        *word &= !bit;
    }

    #[inline]
    pub fn is_empty(&self) -> bool {
        self.word == 0 && self.of_more == 0
    }

    /// Into how many words of 64 members the set is cut.
    #[inline]
    pub fn words(&self) -> usize {
        self.more.len() + 1
    }

    /// The members of both sets in one of these words, as bits.
    #[inline]
    pub fn both(&self, other: &Set, word: usize) -> u64 {
        self.word(word).unwrap_or(0) & other.word(word).unwrap_or(0)
    }

    /// The first member of both sets that is not smaller than `from`.
    #[inline]
    pub fn next_of_both(&self, other: &Set, from: usize) -> Option<usize> {
        let mut word = from / 64;
        let mut mask = u64::MAX << (from % 64);
        while word < self.words() {
            let bits = self.both(other, word) & mask;
            if bits != 0 {
                return Some(word * 64 + bits.trailing_zeros() as usize);
            }
            word += 1;
            mask = u64::MAX;
        }
        None
    }

    /// The first member that is not smaller than `from`.
    #[inline]
    pub fn next(&self, from: usize) -> Option<usize> {
        let mut word = from / 64;
        let mut bits = self.word(word)? & (u64::MAX << (from % 64));
        while bits == 0 {
            word += 1;
            bits = self.word(word)?;
        }
        Some(word * 64 + bits.trailing_zeros() as usize)
    }
}

#[derive(Debug)]
pub(super) struct StationNow {
    pub free: Set,
    /// What each unit last worked on: an operation on an item.
    pub last_work: Vec<Option<(OperationId, u32)>>,
    /// Lots in its queues.
    pub queued: u32,
    /// Of these, lots that need somebody.
    pub manned: u32,
}

#[derive(Debug)]
pub(super) struct PersonNow {
    pub place: PlaceId,
    pub last_station: Option<StationId>,
    /// The next helper of the task that this person takes part in.
    pub next_helper: Option<u32>,
}

/// Work under way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Task {
    pub lot: u32,
    /// Among the choices of all steps; means nothing for a delivery.
    pub choice: u32,
    pub unit: u32,
    /// First of the people, linked by `next_helper`; none if the station works alone.
    pub people: Option<u32>,
    pub ends: Time,
}

#[derive(Debug)]
pub(super) struct State {
    pub now: Time,
    pub lots: Slots<Lot>,
    pub orders: Slots<Order>,
    pub tasks: Slots<Task>,
    pub queues: Vec<Queue<Rank>>,
    pub stations: Vec<StationNow>,
    /// Stations with a free unit.
    pub free_stations: Set,
    /// Stations at which a lot waits that needs somebody, and those at which one needs nobody.
    pub manned_waiting: Set,
    pub unmanned_waiting: Set,
    /// Lots to be delivered, by where they lie: by the people's rule, then ready longest.
    pub deliveries: Vec<Queue<(i64, Rank)>>,
    pub delivery_places: Set,
    pub people: Vec<PersonNow>,
    pub idle: Set,
    pub idle_of_class: Vec<u32>,
    pub gear_free: Vec<u32>,
    pub carts: Vec<PlaceId>,
    pub carts_free: Set,
    /// Orders released of each project.
    pub project_orders: Vec<u64>,
    pub orders_released: u64,
    pub orders_open: u64,
    /// Orders that each line has released.
    pub line_released: Vec<u64>,
    /// Releases that are due at this instant, by line.
    pub releases_due: Vec<u32>,
    pub lines_due: Set,
}

impl State {
    pub fn new(prepared: &Prepared) -> State {
        let shop = prepared.shop;
        let stations = shop.stations.len();
        let mut idle_of_class = vec![0; prepared.classes];
        prepared
            .class_of
            .iter()
            .for_each(|&class| idle_of_class[class] += 1);
        let carts = shop.handling.carts.as_ref();
        let cart_places = carts.map_or_else(Vec::new, |carts| {
            vec![carts.stored_at; carts.count as usize]
        });
        State {
            now: Time::START,
            lots: Slots::new(),
            orders: Slots::new(),
            tasks: Slots::new(),
            queues: prepared.queues.iter().map(|_| Queue::new()).collect(),
            stations: (shop.stations.iter())
                .map(|station| StationNow {
                    free: Set::new(station.count as usize, true),
                    last_work: vec![None; station.count as usize],
                    queued: 0,
                    manned: 0,
                })
                .collect(),
            free_stations: Set::new(stations, true),
            manned_waiting: Set::new(stations, false),
            unmanned_waiting: Set::new(stations, false),
            deliveries: (0..stations).map(|_| Queue::new()).collect(),
            delivery_places: Set::new(stations, false),
            people: (shop.crew.iter())
                .map(|person| PersonNow {
                    place: person.starts_at,
                    last_station: None,
                    next_helper: None,
                })
                .collect(),
            idle: Set::new(shop.crew.len(), true),
            idle_of_class,
            gear_free: shop.gear.iter().map(|gear| gear.count).collect(),
            carts_free: Set::new(cart_places.len(), true),
            carts: cart_places,
            project_orders: vec![0; shop.projects.len()],
            orders_released: 0,
            orders_open: 0,
            line_released: vec![0; shop.orders.len()],
            releases_due: vec![0; shop.orders.len()],
            lines_due: Set::new(shop.orders.len(), false),
        }
    }
}
