//! What a task would take and how long each bit of it would last, if it were begun now.

use super::carry::{Carrier, Leg, length};
use super::play::Play;
use super::result::Manner;
use super::shop::Work;
use super::state::{LastWork, Setting};
pub struct Helper {
    pub person: usize,
    pub place: usize,
    /// What they roll in first, and their walk.
    pub legs: Vec<Leg>,
    pub rolled_in: Vec<(usize, usize)>,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Doing {
    Setup,
    Run,
    Teardown,
    /// Upkeep: the chooser fetches what it takes and does it.
    Service,
    /// The chooser walks around the machine for what has come out.
    WalkAround,
}

/// A bit of the work: what is fetched for it, and how long it lasts then.
pub struct Bit {
    pub doing: Doing,
    pub legs: Vec<Leg>,
    pub time: i64,
}

impl Bit {
    pub fn plain(doing: Doing, time: i64) -> Bit {
        Bit {
            doing,
            legs: Vec::new(),
            time,
        }
    }
}

pub struct WorkPlan {
    pub unit: usize,
    pub last_work: LastWork,
    pub helpers: Vec<Helper>,
    pub bits: Vec<Bit>,
    /// Whether people are needed throughout.
    pub manned: bool,
    /// For each upkeep of the station what will have been done since the last one.
    pub worn: Vec<i64>,
}
pub struct Plan {
    pub lot: usize,
    /// The station, or where a finished lot is brought.
    pub place: usize,
    /// Where one stands there.
    pub here: usize,
    pub chooser: Option<usize>,
    /// What the chooser does to bring all that is needed.
    pub legs: Vec<Leg>,
    /// A cart, and after how many legs it is free again.
    pub cart: Option<(usize, usize)>,
    /// Lots that are brought, and after how many legs nothing of them lies where it was any more.
    pub picked_up: Vec<(usize, usize)>,
    /// What the chooser rolls in, and after how many legs that is done.
    pub rolled_in: Vec<(usize, usize)>,
    /// Nothing for a delivery.
    pub work: Option<WorkPlan>,
    /// How long it takes to take off what is tied up.
    pub take_off: Option<i64>,
}

impl Plan {
    /// How long the chooser's fetching lasts.
    pub fn fetching(&self) -> i64 {
        length(&self.legs)
    }

    /// How long the task lasts from the choice to the end of the tear-down, without any pause.
    pub fn length(&self) -> i64 {
        let Some(work) = &self.work else {
            return self.fetching() + self.take_off.unwrap_or(0);
        };
        let walks = work.helpers.iter().map(|helper| length(&helper.legs));
        let begins = walks.chain([self.fetching()]).max().unwrap_or(0);
        let bits = work.bits.iter().map(|bit| length(&bit.legs) + bit.time);
        begins + bits.sum::<i64>()
    }

    /// How long it keeps the chooser.
    pub fn of_chooser(&self) -> i64 {
        match &self.work {
            Some(work) if !work.manned => self.fetching(),
            _ => self.length(),
        }
    }

    pub fn is_manned(&self) -> bool {
        self.work.as_ref().is_some_and(|work| work.manned)
    }
}
impl Play<'_> {
    /// Units that could take the lot, and since when: free ones, and those that it or what it is made of has not left.
    pub fn units_for(&self, lot: usize, station: usize) -> Vec<(usize, i64)> {
        let things = self.things(lot).into_iter();
        let own: Vec<(usize, usize, i64)> = things
            .filter_map(|thing| self.lots[thing].blocks)
            .filter(|blocks| blocks.0 == station)
            .collect();
        let since = |(unit, of): (usize, &super::state::Unit)| {
            let blocked = own.iter().find(|blocks| blocks.1 == unit);
            match (of.free, blocked) {
                (true, _) => Some((unit, of.freed)),
                (false, Some(blocks)) => Some((unit, blocks.2)),
                (false, None) => None,
            }
        };
        self.units[station]
            .iter()
            .enumerate()
            .filter_map(since)
            .collect()
    }

    /// Of the free units the first that is set alike; else one that has not worked yet; else the one
    /// that has been free longest. Of several alike the first.
    fn unit_for(&self, lot: usize, station: usize, setting: &Setting) -> usize {
        let free = self.units_for(lot, station);
        let did = |unit: usize| self.units[station][unit].last_work.as_ref();
        let same = free
            .iter()
            .find(|&&(unit, _)| did(unit).is_some_and(|last| last.setting == *setting));
        let fresh = free.iter().find(|&&(unit, _)| did(unit).is_none());
        let longest = free.iter().min_by_key(|&&(_, freed)| freed);
        let found = same.or(fresh).or(longest);
        found.expect("work begins at a free unit").0
    }

    /// How long it takes to set a unit up for what comes next.
    fn setup(&self, station: usize, unit: usize, next: &LastWork, work: &Work) -> i64 {
        let Some(last) = &self.units[station][unit].last_work else {
            return work.setup;
        };
        if last.setting == next.setting {
            return 0;
        }
        // Reading: a setting goes before an operation, in the rows and in each row.
        let names = |of: &LastWork| match &of.setting {
            Setting::Text(text) => vec![text.clone(), of.op.clone()],
            Setting::Work(..) => vec![of.op.clone()],
        };
        let rows = &self.shop.stations[station].setup_from;
        let from = names(last);
        let row = from
            .iter()
            .find_map(|name| rows.iter().find(|row| row.0 == *name));
        let to = names(next);
        let time = row.and_then(|row| {
            to.iter()
                .find_map(|name| row.1.iter().find(|time| time.0 == *name))
        });
        time.map_or(work.setup, |time| time.1)
    }

    /// Work on a lot, by somebody or by nobody.
    pub fn plan_work(&self, lot: usize, station: usize, chooser: Option<usize>) -> Plan {
        let work = self
            .work_at(lot, station)
            .expect("the station does the operation");
        let here = self.here(lot, station);
        let step = self.step(lot);
        let l = &self.lots[lot];
        let own = || Setting::Work(step.op.clone(), self.orders[l.order].project, l.line);
        let last_work = LastWork {
            op: step.op.clone(),
            setting: step.setting.clone().map_or_else(own, Setting::Text),
        };

        // Claims: a unit, helpers, gear; the cart comes with the bringing.
        let unit = self.unit_for(lot, station, &last_work.setting);
        let setup = self.setup(station, unit, &last_work, work);
        let mut helpers: Vec<usize> = (0..self.people.len())
            .filter(|&p| Some(p) != chooser && self.is_idle(p) && self.has_skill(p, &step.op))
            .collect();
        self.by_stay(&mut helpers, work, station);
        helpers.truncate(work.people.saturating_sub(1));
        // What the chooser rolls in first of all is parked for the helpers too.
        let mut stands = self.out.clone();
        if let Some(person) = chooser {
            let mut carrier = self.carrier(person);
            self.clear_floor(&mut carrier, station);
            stands = carrier.out;
        }
        // The first of them stands where what comes out is taken.
        let helpers: Vec<Helper> = helpers
            .into_iter()
            .enumerate()
            .map(|(nth, person)| {
                let mut helper = self.carrier(person);
                helper.out = stands.clone();
                self.roll_in_own(&mut helper, Some(station));
                stands = helper.out.clone();
                let place = work.catches.filter(|_| nth == 0).map(|of| of.0);
                let place = place.unwrap_or(here);
                self.walk(&mut helper, place, Manner::Empty);
                Helper {
                    place,
                    person,
                    legs: helper.legs,
                    rolled_in: helper.rolled_in,
                }
            })
            .collect();
        // Then the station is out, and all else as it is left.
        if self.layout.parked[station] {
            stands[station] = chooser;
        }
        let (services, worn) = self.services(station, unit, work, l.pieces);
        let manned = work.people > 0 || !services.is_empty();
        let mut bits = vec![Bit::plain(Doing::Setup, setup)];
        let mut run = 0;
        let mut around = self.walks_around(work, l.pieces, (chooser, here), &stands);
        for (at, upkeep) in services {
            // What has come out by then is taken first.
            let later = around.iter().position(|stop| stop.0 > at);
            let rest = around.split_off(later.unwrap_or(around.len()));
            for (after, bit) in std::mem::replace(&mut around, rest) {
                bits.extend([Bit::plain(Doing::Run, after - run), bit]);
                run = after;
            }
            bits.push(Bit::plain(Doing::Run, at - run));
            let upkeep = &self.shop.stations[station].upkeep[upkeep];
            let mut server = Carrier {
                person: chooser.unwrap_or(0),
                place: here,
                legs: Vec::new(),
                out: stands.clone(),
                rolled_in: Vec::new(),
            };
            if let Some(from) = upkeep.fetch_from.filter(|&from| from != station) {
                self.carry_once(&mut server, from, here);
            }
            bits.push(Bit {
                doing: Doing::Service,
                legs: server.legs,
                time: upkeep.time,
            });
            run = at;
        }
        for (after, bit) in around {
            bits.extend([Bit::plain(Doing::Run, after - run), bit]);
            run = after;
        }
        bits.push(Bit::plain(Doing::Run, work.run(l.pieces) - run));
        bits.push(Bit::plain(Doing::Teardown, work.teardown));

        let mut plan = Plan {
            lot,
            place: station,
            here,
            chooser,
            legs: Vec::new(),
            cart: None,
            picked_up: Vec::new(),
            rolled_in: Vec::new(),
            work: Some(WorkPlan {
                unit,
                last_work,
                helpers,
                bits,
                manned,
                worn,
            }),
            take_off: None,
        };
        if let Some(person) = chooser {
            let mut carrier = self.carrier(person);
            self.clear_floor(&mut carrier, station);
            (plan.cart, plan.picked_up) = self.bring(&mut carrier, lot, here);
            self.walk(&mut carrier, here, Manner::Empty);
            let stored: Vec<usize> = work
                .gear
                .iter()
                .filter_map(|&(kind, _)| self.shop.gear[kind].stored_at)
                .collect();
            for from in stored.into_iter().chain(work.fetch_from) {
                if from != station {
                    self.carry_once(&mut carrier, from, here);
                }
            }
            self.roll_out(&mut carrier, station);
            (plan.legs, plan.rolled_in) = (carrier.legs, carrier.rolled_in);
        }
        plan
    }

    /// Somebody brings a finished lot to where it belongs.
    pub fn plan_delivery(&self, lot: usize, to: usize, person: usize) -> Plan {
        let mut carrier = self.carrier(person);
        self.roll_in_own(&mut carrier, None);
        let (cart, picked_up) = self.bring(&mut carrier, lot, to);
        Plan {
            lot,
            place: to,
            here: to,
            chooser: Some(person),
            legs: carrier.legs,
            cart,
            picked_up,
            rolled_in: carrier.rolled_in,
            work: None,
            take_off: None,
        }
    }

    /// Somebody goes where a lot has cured and takes off what it ties up.
    pub fn plan_take_off(&self, lot: usize, at: usize, person: usize) -> Plan {
        let mut carrier = self.carrier(person);
        self.roll_in_own(&mut carrier, Some(at));
        let here = self.here(lot, at);
        self.walk(&mut carrier, here, Manner::Empty);
        let work = self.work_at(lot, at).expect("it was worked on here");
        Plan {
            lot,
            place: at,
            here,
            chooser: Some(person),
            legs: carrier.legs,
            cart: None,
            picked_up: Vec::new(),
            rolled_in: carrier.rolled_in,
            work: None,
            take_off: work.take_off,
        }
    }
}
