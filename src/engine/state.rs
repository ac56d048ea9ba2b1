//! What changes while a run is played: orders, lots, stations, people, gear and carts.

use super::agenda::Agenda;
use super::bitset::{BitSet, Set};
use super::offering::Offering;
use super::prepared::Prepared;
use super::queue::{LotQueue, Rank};
use super::slots;
use super::travel_times::SpeedClass;
use crate::random::Key;
use crate::shop::{PersonId, PlaceId, Session, StationId};
use crate::units::{Moment, Time};

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
    pub ready: Moment,
    /// The same in shop time; not kept where the shop is always open.
    pub ready_time: Time,
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

/// Where a lot lies, as far as that takes up anything.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Lying {
    /// The station whose room it takes.
    pub room: Option<StationId>,
    /// The unit that it has not left.
    pub blocks: Option<Blocked>,
    /// Whether it is to leave both when the last of it is picked up.
    pub is_fetched: bool,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Blocked {
    pub station: StationId,
    pub unit: u32,
    /// The choice after which it has not.
    pub choice: u32,
    pub since: Moment,
    /// Whether recorders know.
    pub is_told: bool,
}

#[derive(Debug)]
pub(super) struct Order {
    pub line: u32,
    pub project: u32,
    /// Lots that are not done; an assembly counts as one.
    pub open: u32,
    /// In the order of release.
    pub number: u64,
    pub released: Moment,
    /// The same in shop time, and the number of the session that lasted then, or else of the next one; not kept where
    /// the shop is always open.
    pub released_time: Time,
    pub released_session: i64,
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
            released: Moment::START,
            released_time: Time::START,
            released_session: 0,
            key: Key::from_seed(0),
            items: Vec::new(),
        }
    }
}

#[derive(Debug)]
pub(super) struct OrderItem {
    /// Lots that are not done; an assembly counts as one.
    pub open: u32,
    /// Batches so far.
    pub batches: u32,
    /// Inputs of an assembly that are not done.
    pub inputs_open: u32,
    /// Where the material lies of which a part is cut, once it has been worked on.
    pub material_at: PlaceId,
    /// Finished lots that wait for the assembly they go into.
    pub finished: Vec<u32>,
}

impl OrderItem {
    /// Of a new slot, before its first order.
    pub fn unused() -> OrderItem {
        OrderItem {
            open: 0,
            batches: 0,
            inputs_open: 0,
            material_at: PlaceId(0),
            finished: Vec::new(),
        }
    }
}

/// Used slots that are given out again, last one first.
#[derive(Debug)]
pub(super) struct Slots<T> {
    slots: Vec<T>,
    free: Vec<u32>,
}

impl<T> Default for Slots<T> {
    fn default() -> Slots<T> {
        Slots {
            slots: Vec::new(),
            free: Vec::new(),
        }
    }
}

impl<T> Slots<T> {
    /// Forgets what is in the slots.
    pub fn clear(&mut self) {
        self.slots.clear();
        self.free.clear();
    }

    /// Frees all slots, whose contents are overwritten as they are taken.
    pub fn free_all(&mut self) {
        self.free.clear();
        self.free.extend((0..self.slots.len() as u32).rev());
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

#[derive(Debug, Default)]
pub(super) struct StationNow {
    /// Units that do nothing; not kept where that is simple.
    pub free: BitSet,
    pub units: Vec<MachineNow>,
}

/// By what one of a station's units is chosen.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct MachineNow {
    /// What it is set to since it last worked, as choices count that.
    pub set_to: Option<u32>,
    /// The choice that it last worked on.
    pub last_choice: u32,
    /// Since when it has been free, None if it has not worked yet.
    pub idle_since: Option<Moment>,
}

#[derive(Debug)]
pub(super) struct PersonNow {
    pub place: PlaceId,
    /// Empty-handed.
    pub speed: SpeedClass,
    pub last_station: Option<StationId>,
    /// The next helper of the task that this person takes part in.
    pub next_helper: Option<PersonId>,
    /// Whether a task keeps them, and whether they are away; not kept where the shop is always open.
    pub is_busy: bool,
    pub is_away: bool,
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
pub(super) struct Task {
    pub lot: u32,
    /// Of the lot when the task was chosen, before any are spoiled.
    pub pieces: u32,
    /// What is done; None for a delivery.
    pub choice: Option<u32>,
    pub unit: u32,
    /// First of the people, linked by `next_helper`; none if the station works alone.
    pub people: Option<PersonId>,
    /// Pieces that the run spoils and that have not begun anew yet.
    pub spoiled: u32,
    /// The end of the cure, or else of the work.
    pub ends: Moment,
}

/// `B` is a set of stations or people.
#[derive(Debug, Default)]
pub(super) struct State<B> {
    pub now: Moment,
    /// The same in shop time, and the session that lasts now, or else the next one; not kept where the shop is always
    /// open.
    pub time: Time,
    pub session: Session,
    /// Which work is offered while somebody is asked; all of it otherwise.
    pub offering: Offering,
    /// When somebody next comes or goes.
    pub people_change: Time,
    pub agenda: Agenda,
    pub lots: Slots<Lot>,
    pub orders: Slots<Order>,
    pub tasks: Slots<Task>,
    /// The unit that works, where there never is more than one, while the end of its task is at hand in the agenda. What
    /// that task is stands with its lot, whose slot is the task's number.
    pub unit_in_turn: u32,
    pub queues: Vec<LotQueue<Rank>>,
    /// All lots that wait, where one queue will do.
    pub single_queue: LotQueue<Rank>,
    pub stations: Vec<StationNow>,
    /// Stations with a free unit.
    pub free_stations: B,
    /// Stations at which a lot waits that needs somebody, and those at which one needs nobody.
    pub manned_waiting: B,
    pub unmanned_waiting: B,
    /// Of the stations of a plain shop at which lots wait for somebody: the first one, with its rank's value.
    pub heads: Vec<(i64, u32)>,
    /// Lots to be delivered, by where they lie: by the people's rule, then ready longest.
    pub deliveries: Vec<LotQueue<(i64, Rank)>>,
    pub delivery_places: BitSet,
    pub people: Vec<PersonNow>,
    pub idle: B,
    pub idle_of_class: Vec<u32>,
    /// While people choose: the classes of whom nobody has found nothing to do.
    pub choosing: BitSet,
    pub gear_free: Vec<u32>,
    /// Tasks that hold each of the slots of what does not go on together.
    pub slots: Vec<u32>,
    /// Tasks after whose cures something is to be taken off.
    pub take_offs: Vec<u32>,
    /// Where lots lie, by slot; not kept where there is always room.
    pub lying: Vec<Lying>,
    /// Lots that have not left their units.
    pub blocking: Vec<u32>,
    /// What has been worn since the last upkeep, by place as the prepared shop counts them.
    pub worn: Vec<i64>,
    /// Lots that lie at each station, of those for which there is little room.
    pub room_taken: Vec<u32>,
    /// Of the task that is being claimed: lots, and when the last of each was picked up.
    pub picked_up: Vec<(u32, Time)>,
    /// Of the same: who comes to the station, and when; not kept where nothing but closing interrupts anybody.
    pub arrivals: Vec<(PersonId, Time)>,
    /// By station: who last used it where it is rolled out to, if it is; not kept where nothing is ever parked.
    pub rolled_out: Vec<Option<PersonId>>,
    pub carts: Vec<PlaceId>,
    pub carts_free: BitSet,
    /// Orders released of each project.
    pub project_orders: Vec<u64>,
    pub orders_released: u64,
    pub orders_open: u64,
    /// When the last order so far was done; not kept in plain shops.
    pub last_done: Moment,
    pub lines: Vec<LineNow>,
    /// Lines with releases that are due at this instant.
    pub lines_due: BitSet,
}

impl<B: Set> State<B> {
    /// The start of a replication. What earlier ones have left is memory to be used again, whichever shop they were of.
    pub fn begin(&mut self, prepared: &Prepared) {
        let shop = prepared.shop.shop;
        let (stations, people) = (shop.stations.len(), shop.crew.len());
        self.now = Moment::START;
        self.session = shop.calendar.session_at(Moment::START);
        self.time = Time::START;
        self.agenda.clear();
        self.lots.clear();
        self.orders.free_all();
        self.tasks.clear();
        self.unit_in_turn = 0;
        empty_each(&mut self.queues, prepared.shop.queues.len());
        self.single_queue.clear();
        self.stations.resize_with(stations, StationNow::default);
        for (now, station) in self.stations.iter_mut().zip(&shop.stations) {
            now.free.renew(station.count as usize, true);
            renew(
                &mut now.units,
                station.count as usize,
                MachineNow::default(),
            );
        }
        if !prepared.in_turn {
            self.free_stations.renew(stations, true);
            self.manned_waiting.renew(stations, false);
            self.unmanned_waiting.renew(stations, false);
            self.idle.renew(people, true);
        }
        renew(&mut self.heads, stations, (0, 0));
        empty_each(&mut self.deliveries, shop.places());
        self.delivery_places.renew(shop.places(), false);
        self.people.clear();
        (self.people).extend(shop.crew.enumerate().map(|(id, person)| PersonNow {
            place: person.starts_at,
            speed: prepared.travel.speed_of(id),
            last_station: None,
            next_helper: None,
            is_busy: false,
            is_away: false,
        }));
        self.people_change = Time::START;
        self.offering = Offering::All;
        renew(&mut self.idle_of_class, prepared.shop.classes, 0);
        for &class in &prepared.shop.class_of {
            self.idle_of_class[class] += 1;
        }
        self.gear_free.clear();
        (self.gear_free).extend(shop.gear.iter().map(|gear| gear.count));
        renew(&mut self.slots, slots::count(shop), 0);
        self.take_offs.clear();
        self.lying.clear();
        self.blocking.clear();
        renew(&mut self.room_taken, stations, 0);
        self.picked_up.clear();
        self.arrivals.clear();
        renew(&mut self.worn, prepared.shop.wear.count, 0);
        let rolling = match prepared.shop.rolls {
            true => stations,
            false => 0,
        };
        renew(&mut self.rolled_out, rolling, None);
        self.carts.clear();
        if let Some(carts) = &shop.handling.carts {
            self.carts.resize(carts.count as usize, carts.stored_at);
        }
        self.carts_free.renew(self.carts.len(), true);
        renew(&mut self.project_orders, shop.projects.len(), 0);
        self.orders_released = 0;
        self.orders_open = 0;
        self.last_done = Moment::START;
        renew(&mut self.lines, shop.orders.len(), LineNow::default());
        self.lines_due.renew(shop.orders.len(), false);
    }
}

fn renew<T: Clone>(list: &mut Vec<T>, len: usize, value: T) {
    list.clear();
    list.resize(len, value);
}

fn empty_each<K: Ord + Copy>(queues: &mut Vec<LotQueue<K>>, len: usize) {
    queues.resize_with(len, LotQueue::default);
    queues.iter_mut().for_each(LotQueue::clear);
}
