//! The shop at work: instant after instant of the calendar, until all is done or the horizon comes.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::clock::{Times, WEEK};
use super::fits::Stay;
use super::record::Record;
use super::shop::{Layout, Line, Shop, Station, Step};
use super::state::{Cart, Ending, Lot, LotState, Order, Person, Tied, Unit};

pub struct Play<'a> {
    pub shop: &'a Shop,
    pub layout: &'a Layout,
    /// By station: who used it last where it is rolled out to, while it is.
    pub out: Vec<Option<usize>>,
    pub now: i64,
    pub orders: Vec<Order>,
    pub lots: Vec<Lot>,
    pub people: Vec<Person>,
    /// When each of them is there.
    pub there: Vec<Times>,
    pub longest_stays: RefCell<BTreeMap<Stay, i64>>,
    pub units: Vec<Vec<Unit>>,
    pub gear: Vec<i64>,
    pub carts: Vec<Cart>,
    /// What has been done since the last upkeep of each thing that stations share.
    pub worn: BTreeMap<String, i64>,
    /// Tasks that hold what does not go on together: tacky ones, dusty ones, then by group.
    pub slots: Vec<i64>,
    /// What ends, and when, in the order in which it was planned.
    pub agenda: Vec<(i64, Ending)>,
    /// Order lines whose next order comes at this instant since one before is done.
    follow_up: Vec<usize>,
    pub record: Record,
}

/// A run in which orders are open and nothing can ever be begun.
#[derive(Debug, PartialEq)]
pub struct Stuck {
    pub at_us: i64,
    /// How many lots wait at each station, by its name.
    pub waiting: BTreeMap<String, u64>,
}

/// Plays the shop once, and says when that ended.
pub fn play<'a>(shop: &'a Shop, layout: &'a Layout) -> Result<(Play<'a>, i64), Stuck> {
    let mut play = Play::new(shop, layout);
    let end = play.run();
    if shop.horizon.is_none() && play.orders.iter().any(|order| order.done.is_none()) {
        return Err(play.stuck());
    }
    Ok((play, end))
}

impl<'a> Play<'a> {
    /// The shop before anything has come.
    pub fn new(shop: &'a Shop, layout: &'a Layout) -> Play<'a> {
        let open = &shop.hours.open;
        let there = |hours: &Option<Times>| hours.as_ref().map_or(open.clone(), |h| open.and(h));
        let units = |station: &Station| {
            let unit = Unit {
                free: true,
                last_work: None,
                freed: 0,
                worn: vec![0; station.upkeep.len()],
            };
            vec![unit; station.count]
        };
        let people = shop.crew.iter().map(|person| Person {
            idle: true,
            place: person.starts_at,
            last_station: None,
        });
        let carts = shop.handling.carts.iter().flat_map(|carts| {
            (0..carts.count).map(|_| Cart {
                free: true,
                place: carts.stored_at,
            })
        });
        Play {
            shop,
            layout,
            out: vec![None; shop.stations.len()],
            now: 0,
            orders: Vec::new(),
            lots: Vec::new(),
            people: people.collect(),
            there: shop.crew.iter().map(|p| there(&p.hours)).collect(),
            longest_stays: RefCell::default(),
            units: shop.stations.iter().map(units).collect(),
            gear: shop.gear.iter().map(|g| g.count).collect(),
            carts: carts.collect(),
            worn: BTreeMap::new(),
            slots: vec![0; 2 + shop.not_together.len() + layout.shared_floor.len()],
            agenda: Vec::new(),
            follow_up: Vec::new(),
            record: Record::default(),
        }
    }
    pub fn line(&self, lot: usize) -> &'a Line {
        let lot = &self.lots[lot];
        &self.shop.projects[self.orders[lot.order].project].lines[lot.line]
    }

    pub fn step(&self, lot: usize) -> &'a Step {
        &self.line(lot).route[self.lots[lot].step]
    }

    /// Plays to the end and says when that was.
    fn run(&mut self) -> i64 {
        let mut releases = self.planned_releases();
        let mut active = 0;
        loop {
            let next_end = self.agenda.iter().map(|e| e.0).min();
            let next_release = releases.first().map(|r| r.0);
            let coming = next_end.into_iter().chain(next_release).min();
            // All hours come again every week: what nobody can begin within one will never be begun.
            let next_change = self.next_change();
            // Reading: where the hour decides nothing but whether the shop is open, an opening is to come only while it is
            // shut.
            let is_shut = !self.shop.hours.open.hold(self.now);
            let to_come = next_change.filter(|_| is_shut || self.asks_the_hour());
            let stuck = coming.is_none() && to_come.is_none_or(|change| change > active + WEEK);
            let aside = if stuck { self.put_aside() } else { None };
            if stuck && aside.is_none() && self.shop.horizon.is_none() {
                break;
            }
            let first = aside.or(coming.into_iter().chain(next_change).min());
            let Some(next) = first else {
                break;
            };
            if self.shop.horizon.is_some_and(|horizon| next > horizon) {
                break;
            }
            self.now = next;

            // First everything that ends at this instant ends.
            let (ending, later) = std::mem::take(&mut self.agenda)
                .into_iter()
                .partition(|e| e.0 == next);
            self.agenda = later;
            let ending: Vec<(i64, Ending)> = ending;
            for (_, what) in ending {
                self.end(what);
            }

            // Then what arrives arrives, in the order of the order lines.
            let mut arriving: Vec<usize> = std::mem::take(&mut self.follow_up);
            while releases.first().is_some_and(|r| r.0 == next) {
                arriving.push(releases.remove(0).1);
            }
            while !arriving.is_empty() {
                arriving.sort();
                for line in std::mem::take(&mut arriving) {
                    self.release(line);
                }
                arriving = std::mem::take(&mut self.follow_up);
            }

            // Then decisions are taken until nothing more can start. Reading: what is started
            // here and takes no time ends after them, and the instant goes round once more. Nothing starts while
            // the shop is shut, nor at the moment of closing.
            self.set_down();
            if aside.is_some() || coming == Some(next) {
                active = next;
            }
            while self.shop.hours.open.hold(self.now) && self.start_something() {
                active = next;
            }

            if self.shop.horizon.is_none()
                && releases.is_empty()
                && self.orders.iter().all(|o| o.done.is_some())
            {
                break;
            }
        }
        // Reading: with a horizon, the horizon is the end, even when all is done before it.
        if let Some(horizon) = self.shop.horizon {
            self.still_blocked(horizon);
            return horizon;
        }
        self.still_blocked(self.now);
        self.orders.iter().filter_map(|o| o.done).max().unwrap_or(0)
    }

    fn stuck(&self) -> Stuck {
        let mut waiting = BTreeMap::new();
        let ready = (0..self.lots.len()).filter(|&lot| self.lots[lot].state == LotState::Ready);
        for (station, _) in ready.flat_map(|lot| &self.step(lot).at) {
            *waiting
                .entry(self.shop.stations[*station].name.clone())
                .or_default() += 1;
        }
        Stuck {
            at_us: self.now,
            waiting,
        }
    }

    /// When the shop next opens, somebody comes or goes, or a station has to be silent, or any of it the other way round.
    ///
    /// Reading: quiet time that no station keeps changes nothing, and none does while the shop is shut.
    fn next_change(&self) -> Option<i64> {
        let open = &self.shop.hours.open;
        let stations = 0..self.shop.stations.len();
        let silences = stations.map(|station| open.and(&self.silence(station)));
        let all = [open].into_iter().chain(&self.there);
        let changes = all.map(|times| times.change_after(self.now));
        let silent = silences.map(|times| times.change_after(self.now));
        changes.chain(silent).flatten().min()
    }

    /// Whether there is work that may not begin at some hours in which the shop is open.
    fn asks_the_hour(&self) -> bool {
        let shop = self.shop;
        let lines = shop.projects.iter().flat_map(|project| &project.lines);
        let mut works = lines.flat_map(|line| &line.route).flat_map(|step| &step.at);
        shop.crew.iter().any(|person| person.hours.is_some())
            || works.any(|(station, work)| {
                let is_put_off = shop.rules.cures_last && work.cure > 0;
                // Silence decides nothing while the shop is shut anyway.
                let silent = shop.hours.open.and(&self.silence(*station));
                !work.pausable || is_put_off || !silent.are_never()
            })
    }

    /// Instants and order lines of the orders that come by the calendar, first to last.
    fn planned_releases(&self) -> Vec<(i64, usize)> {
        let mut releases = Vec::new();
        for (line, order) in self.shop.orders.iter().enumerate() {
            if let Some(n) = order.in_progress {
                releases.extend((0..n).map(|_| (order.first, line)));
                continue;
            }
            let Some(every) = order.every else {
                releases.extend((0..order.count.unwrap_or(1)).map(|_| (order.first, line)));
                continue;
            };
            // Reading: an order that falls on `until` itself still comes. What would come after the end of the run is to come
            // all the same: a longer run begins like a shorter one. The first of these will do.
            let horizon = self.shop.horizon;
            assert!(
                order.count.is_some() || (order.until.or(horizon).is_some() && every > 0),
                "orders without an end"
            );
            let mut k = 0;
            let mut comes = order.first;
            while order.count.is_none_or(|n| k < n)
                && order.until.is_none_or(|until| comes <= until)
            {
                releases.push((comes, line));
                if horizon.is_some_and(|horizon| comes > horizon) {
                    break;
                }
                k += 1;
                comes = order.first + k * every;
            }
        }
        releases.sort();
        releases
    }

    /// An order arrives and becomes lots.
    fn release(&mut self, order_line: usize) {
        let shop = self.shop;
        let line_of_file = &shop.orders[order_line];
        let project = &shop.projects[line_of_file.project];
        let order = self.orders.len();
        let first_lot = self.lots.len();
        let mut lots_of_line: Vec<Vec<usize>> = Vec::new();
        for (line, l) in project.lines.iter().enumerate() {
            // `together` multiplies the pieces. Reading: a transfer batch keeps its size.
            let mut left = l.pieces * line_of_file.together;
            let batch_size = l.batch.unwrap_or(left);
            let mut lots = Vec::new();
            while left > 0 {
                let pieces = left.min(batch_size);
                left -= pieces;
                let is_part = l.made_of.is_empty();
                lots.push(self.lots.len());
                self.lots.push(Lot {
                    order,
                    line,
                    batch: lots.len() - 1,
                    pieces,
                    state: LotState::WaitsForInputs,
                    since: self.now,
                    first_ready: None,
                    step: 0,
                    place: if is_part { l.material_at } else { None },
                    inputs: Vec::new(),
                    room: None,
                    blocks: None,
                    tied: Tied::default(),
                });
            }
            lots_of_line.push(lots);
        }
        for (line, l) in project.lines.iter().enumerate() {
            for &assembly in &lots_of_line[line] {
                let inputs = l
                    .made_of
                    .iter()
                    .flat_map(|&input| lots_of_line[input].clone())
                    .collect();
                self.lots[assembly].inputs = inputs;
            }
        }
        self.orders.push(Order {
            line: order_line,
            project: line_of_file.project,
            released: self.now,
            due: line_of_file.due.map(|due| self.now + due),
            done: None,
            lots: (first_lot..self.lots.len()).collect(),
        });
        for lot in first_lot..self.lots.len() {
            if self.lots[lot].inputs.is_empty() && self.line(lot).cut_from.is_none() {
                self.next_operation(lot);
            }
        }
    }

    /// Something that was under way ends at this instant.
    fn end(&mut self, what: Ending) {
        match what {
            Ending::PersonBusy(person) => self.people[person].idle = true,
            Ending::CartInUse(cart) => self.carts[cart].free = true,
            Ending::Finished { lot, station, unit } => {
                self.lots[lot].blocks = Some((station, unit, self.now));
            }
            Ending::PickedUp { lot } => self.leave(lot),
            Ending::Slot(slot) => self.slots[slot] -= 1,
            Ending::Cured { lot } => self.set_state(lot, LotState::AwaitsTakeOff),
            Ending::GearTaken(kind, amount) => self.take_gear(kind, -amount),
            Ending::RolledIn(station) => self.units[station][0].free = true,
            Ending::Run { station } => self.record.lot_worked(station),
            Ending::Operation { lot } => {
                self.lots[lot].step += 1;
                self.next_operation(lot);
            }
            Ending::Delivery { lot } => self.lot_done(lot),
        }
    }

    /// Gear is taken, or given back if it is less than none.
    pub fn take_gear(&mut self, kind: usize, amount: i64) {
        self.gear[kind] -= amount;
        self.record.gear.push((kind, amount, self.now));
    }

    pub fn set_state(&mut self, lot: usize, state: LotState) {
        let was = &self.lots[lot];
        self.record.lot(lot, was.state, was.since, self.now);
        self.lots[lot].state = state;
        if matches!(state, LotState::Ready | LotState::AwaitsDelivery) {
            self.lots[lot].first_ready.get_or_insert(self.now);
        }
        self.lots[lot].since = self.now;
    }

    /// The lot gets ready for its next operation, or its route is over.
    fn next_operation(&mut self, lot: usize) {
        let line = self.line(lot);
        if self.lots[lot].step < line.route.len() {
            self.set_state(lot, LotState::Ready);
            for (station, _) in &self.step(lot).at {
                self.record.wait_begins(lot, *station, self.now);
            }
        } else if line.deliver_to.is_some()
            && line.deliver_to != self.lots[lot].place.map(|at| self.station_of(at))
        {
            self.set_state(lot, LotState::AwaitsDelivery);
        } else {
            // Reading: what lies already where it is to be delivered needs nobody.
            self.lot_done(lot);
        }
    }

    /// The lot is done and, where that is asked for, delivered.
    fn lot_done(&mut self, lot: usize) {
        self.set_state(lot, LotState::Done);
        let is_done = |play: &Self, lot: usize| play.lots[lot].state == LotState::Done;
        let order = self.lots[lot].order;
        let siblings = self.orders[order].lots.clone();

        // Material is one lot, and becomes the parts that are cut from it where it lies.
        for &part in &siblings {
            if self.line(part).cut_from == Some(self.lots[lot].line) {
                self.lots[part].place = self.lots[lot].place;
                self.next_operation(part);
            }
        }
        // An assembly waits for the delivery of its inputs too.
        for &assembly in &siblings {
            let inputs = self.lots[assembly].inputs.clone();
            if inputs.contains(&lot) && inputs.iter().all(|&i| is_done(self, i)) {
                if self.line(assembly).route.is_empty() {
                    // Reading: of inputs done at one instant, the one listed last is the last.
                    let last = *inputs
                        .iter()
                        .max_by_key(|&&i| self.lots[i].since)
                        .expect("it has inputs");
                    self.lots[assembly].place = self.lots[last].place;
                    // It lies where that one lay, and the others are in it.
                    self.lots[assembly].room = self.lots[last].room.take();
                    self.lots[assembly].blocks = self.lots[last].blocks.take();
                    for input in inputs {
                        self.leave(input);
                    }
                }
                self.next_operation(assembly);
            }
        }
        if self.orders[order].done.is_none() && siblings.iter().all(|&l| is_done(self, l)) {
            self.orders[order].done = Some(self.now);
            let line = self.orders[order].line;
            if self.shop.orders[line].in_progress.is_some() {
                self.follow_up.push(line);
            }
        }
    }
}
