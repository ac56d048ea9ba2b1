//! What changes while a run is played: orders, lots, stations, people, gear and carts.

use super::bitset::{BitSet64, Set};
use super::prepared::{Prepared, PreparedChoice};
use super::queue::{Queue, Rank};
use super::specialization::Specialization;
use super::travel_times::SpeedClass;
use crate::random::Key;
use crate::shop::{OperationId, PersonId, PlaceId, StationId};
use crate::units::Time;

/// A lot in process. Slots are used again, so that memory does not grow with the run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lot {
    /// Slot of its order.
    pub order: u32,
    /// Item among those of all projects.
    pub item: u32,
    pub batch: u32,
    pub pieces: u32,
    /// The first choice of the step that it waits for, is in, or has ended.
    pub at: u32,
    pub place: PlaceId,
    /// Goes up whenever the lot is taken out of its queues, and when the slot is used again.
    pub stamp: u32,
    /// An assembly that has not been put together: its inputs lie where they lie.
    pub unassembled: bool,
    /// Ready for its next operation or its delivery; of a finished lot, done.
    pub ready: Time,
    /// The order's, in the order of release.
    pub number: u64,
    pub key: Key,
}

impl Lot {
    /// Its rank with the given value: the ties are the same for all rules.
    #[inline]
    pub fn rank(&self, value: i64) -> Rank {
        Rank {
            value,
            order: self.number,
            line_and_batch: u64::from(self.item) << 32 | u64::from(self.batch),
        }
    }
}

#[derive(Debug)]
pub(super) struct Order {
    pub line: u32,
    pub project: u32,
    /// Lots that are not done; an assembly counts as one.
    pub open: u32,
    /// In the order of release.
    pub number: u64,
    pub released: Time,
    pub key: Key,
    /// By item; empty for a plain shop, whose lots do not wait for each other.
    pub items: Vec<OrderItem>,
}

impl Order {
    /// A new slot, before its first order.
    pub fn unused() -> Order {
        Order {
            line: 0,
            project: 0,
            open: 0,
            number: 0,
            released: Time::START,
            key: Key::from_seed(0),
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

#[derive(Debug)]
pub(super) struct StationNow<S: Specialization> {
    /// Units that do nothing; not kept where that is simple.
    pub free: S::Set,
    /// What each unit last worked on: an operation on an item.
    pub last_work: Vec<Option<(OperationId, u32)>>,
}

#[derive(Debug)]
pub(super) struct PersonNow {
    pub place: PlaceId,
    /// Empty-handed.
    pub pace: SpeedClass,
    pub last_station: Option<StationId>,
    /// The next helper of the task that this person takes part in.
    pub next_helper: Option<PersonId>,
}

#[derive(Debug, Clone, Default)]
pub(super) struct LineNow {
    /// Orders that it has released.
    pub released: u64,
    /// Releases that are due at this instant.
    pub due: u32,
}

/// Work under way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Task<'p> {
    pub lot: u32,
    /// What is done; None for a delivery.
    pub choice: Option<&'p PreparedChoice<'p>>,
    pub unit: u32,
    /// First of the people, linked by `next_helper`; none if the station works alone.
    pub people: Option<PersonId>,
    /// Pieces that the run spoils and that have not begun anew yet.
    pub spoiled: u32,
    pub ends: Time,
}

#[derive(Debug)]
pub(super) struct State<'p, S: Specialization> {
    pub now: Time,
    pub lots: Slots<Lot>,
    pub orders: Slots<Order>,
    pub tasks: Slots<Task<'p>>,
    /// The task under way, where there never is more than one.
    pub task_in_turn: Task<'p>,
    pub queues: Vec<Queue<Rank>>,
    /// All lots that wait, where one line will do.
    pub line: Queue<Rank>,
    pub stations: Vec<StationNow<S>>,
    /// Stations with a free unit.
    pub free_stations: S::Set,
    /// Stations at which a lot waits that needs somebody, and those at which one needs nobody.
    pub manned_waiting: S::Set,
    pub unmanned_waiting: S::Set,
    /// Of the stations of a plain shop at which lots wait for somebody: the first one, with its rank's value.
    pub heads: [(i64, u32); BitSet64::SIZE],
    /// Lots to be delivered, by where they lie: by the people's rule, then ready longest.
    pub deliveries: Vec<Queue<(i64, Rank)>>,
    pub delivery_places: S::Set,
    pub people: Vec<PersonNow>,
    pub idle: S::Set,
    pub idle_of_class: Vec<u32>,
    pub gear_free: Vec<u32>,
    pub carts: Vec<PlaceId>,
    pub carts_free: S::Set,
    /// Orders released of each project.
    pub project_orders: Vec<u64>,
    pub orders_released: u64,
    pub orders_open: u64,
    pub lines: Vec<LineNow>,
    /// Lines with releases that are due at this instant.
    pub lines_due: S::Set,
}

impl<'p, S: Specialization> State<'p, S> {
    pub fn new(prepared: &'p Prepared) -> State<'p, S> {
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
            task_in_turn: Task {
                lot: 0,
                choice: None,
                unit: 0,
                people: None,
                spoiled: 0,
                ends: Time::START,
            },
            queues: prepared.queues.iter().map(|_| Queue::new()).collect(),
            line: Queue::new(),
            stations: (shop.stations.iter())
                .map(|station| StationNow {
                    free: Set::new(station.count as usize, true),
                    last_work: vec![None; station.count as usize],
                })
                .collect(),
            free_stations: Set::new(stations, true),
            manned_waiting: Set::new(stations, false),
            unmanned_waiting: Set::new(stations, false),
            heads: [(0, 0); BitSet64::SIZE],
            deliveries: (0..shop.places()).map(|_| Queue::new()).collect(),
            delivery_places: Set::new(shop.places(), false),
            people: (shop.crew.enumerate())
                .map(|(id, person)| PersonNow {
                    place: person.starts_at,
                    pace: prepared.ways.pace_of(id),
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
            lines: vec![LineNow::default(); shop.orders.len()],
            lines_due: Set::new(shop.orders.len(), false),
        }
    }
}
