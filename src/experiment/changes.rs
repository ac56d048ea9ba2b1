//! What could be changed about a candidate, one thing at a time, and what need not be tried.

use std::collections::BTreeSet;

use super::Candidate;
use super::edit::{BOLD_CUT, Edit, SMALL_CUT, Trial, half_more};
use crate::floor::{Distances, Manner};
use crate::shop::{
    CHOICES, CURES, ChooseNext, GearId, Item, OpeningTime, PlaceId, QUEUE_RULES, RuleRow, SWITCHES,
    Shop, StationId, Work,
};

/// Why a change is known to change nothing, or makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNot {
    /// There are as many units as people, nobody leaves work in one, and none has to be set up again.
    OneForEachPerson,
    /// Nothing takes time at the station.
    NoTimeThere,
    /// There is nothing that they can do.
    NothingTheyCanDo,
    /// No lot is large enough to ask for a cart.
    NoLotAsksForACart,
    /// Nobody is needed for anything.
    NobodyIsNeeded,
    /// No order has a due date, so people choose as they do now.
    NothingIsDue,
    /// Everything stands together.
    StandsTogether,
    /// Nothing that is ordered needs this gear.
    NothingNeedsIt,
    /// There is enough gear for everybody at once.
    EnoughForEverybody,
    /// Each day of the week has a session.
    OpenEveryDay,
    /// Nothing that is ordered can be done at a loud station.
    NothingIsLoud,
    /// It is parked and rolled out, and a second one would need places of its own.
    RolledAbout,
}

/// A change that is known to change nothing, or that makes no sense, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Untried {
    pub trial: Trial,
    pub why: WhyNot,
}

/// Every change worth trying, and those that need no trial.
#[derive(Debug, Clone, Default)]
pub struct Changes {
    pub tried: Vec<Trial>,
    pub untried: Vec<Untried>,
}

impl Changes {
    /// In the order of the file: stations, what wears there and lies there, people, gear, carts, distances, rules, what is
    /// taken off, sessions, quiet time, what does not go on together.
    ///
    /// A change is left out only if it cannot change any run, whatever is drawn: the reasons follow from the shop alone. So is
    /// one more of what is rolled about, since nobody says where that would stand.
    pub fn of(candidate: &Candidate) -> Changes {
        let mut changes = Changes::default();
        let shop = &candidate.shop;
        changes.stations(candidate);
        changes.upkeep(shop);
        for (id, station) in shop.stations.enumerate() {
            let is_worked_at = || shop.ordered_work().any(|(at, _)| at == id);
            if station.set_down.is_some() && is_worked_at() {
                changes.add(shop, Edit::MoreRoom(id), None);
            }
        }
        changes.people(candidate);
        changes.both(shop);
        for id in shop.gear.ids() {
            let why = gear_is_never_short(shop, id);
            changes.add(shop, Edit::HalfMoreGear(id), why);
            if let Some(set) = missing_set(shop, id) {
                changes.add(shop, Edit::OneMoreSet(id, set), why);
            }
        }
        changes.carts(shop);
        let together = stands_together(&candidate.walks);
        let why = together.then_some(WhyNot::StandsTogether);
        changes.add(shop, Edit::NoWalking, why);
        changes.rules(candidate);
        changes.cures(shop);
        changes.sessions(shop);
        if shop.quiet.is_some() {
            let mut work = shop.ordered_work();
            let is_loud = work.any(|(station, _)| shop.stations[station].is_loud);
            let why = (!is_loud).then_some(WhyNot::NothingIsLoud);
            changes.add(shop, Edit::NoQuietTime, why);
        }
        for number in 0..shop.not_together.len() {
            changes.add(shop, Edit::GoTogether(number), None);
        }
        changes
    }

    /// What wears or fills up where something is done that is ordered; what several stations share is tried once.
    fn upkeep(&mut self, shop: &Shop) {
        let mut tried = BTreeSet::new();
        for (id, station) in shop.stations.enumerate() {
            if shop.ordered_work().all(|(at, _)| at != id) {
                continue;
            }
            for (number, upkeep) in station.upkeep.iter().enumerate() {
                if upkeep.shared.is_none_or(|shared| tried.insert(shared)) {
                    self.add(shop, Edit::LastsLonger(id, number), None);
                }
                if upkeep.fetch_from.is_some() {
                    self.add(shop, Edit::SpareAtHand(id, number), None);
                }
            }
        }
    }

    /// What comes of cures: when they are begun in a shop that keeps hours, and who takes off what they tie up.
    fn cures(&mut self, shop: &Shop) {
        let cures = || {
            shop.ordered_work()
                .filter_map(|(_, work)| work.cure.as_ref())
        };
        if !shop.calendar.is_always_open() && cures().next().is_some() {
            for rule in others(CURES, shop.rules.cures) {
                self.add(shop, Edit::Cures(rule), None);
            }
        }
        if cures().any(|cure| cure.take_off.is_some()) {
            self.add(shop, Edit::NoTakeOff, None);
        }
    }

    /// One more session like those of which there are most in a week, on the next day after the first of them that has
    /// none.
    fn sessions(&mut self, shop: &Shop) {
        let times = shop.calendar.opening_times();
        let alike = |one: &OpeningTime, other: &OpeningTime| {
            OpeningTime {
                weekday: other.weekday,
                ..*one
            } == *other
        };
        let how_many =
            |time: &&OpeningTime| times.iter().filter(|other| alike(time, other)).count();
        // The first of equals.
        let Some(like) = times.iter().rev().max_by_key(how_many) else {
            return;
        };
        let days = (1..7).map(|later| (like.weekday + later) % 7);
        let is_free = |day: &u32| times.iter().all(|time| time.weekday != *day);
        let weekday = days.into_iter().find(is_free);
        let more = OpeningTime {
            weekday: weekday.unwrap_or(like.weekday),
            ..*like
        };
        let why = weekday.is_none().then_some(WhyNot::OpenEveryDay);
        self.add(shop, Edit::OneMoreSession(more), why);
    }

    /// Tries a change unless there is a reason not to.
    fn add(&mut self, shop: &Shop, edit: Edit, why_not: Option<WhyNot>) {
        let trial = Trial::of(edit, shop);
        match why_not {
            Some(why) => self.untried.push(Untried { trial, why }),
            None => self.tried.push(trial),
        }
    }

    fn stations(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        for (id, station) in shop.stations.enumerate() {
            let here = shop.ordered_work().filter(|(at, _)| *at == id);
            let works: Vec<&Work> = here.map(|(_, work)| work).collect();
            // A rack or a door: nothing is done there that could take less time.
            if works.is_empty() {
                continue;
            }
            // Where people hold a unit only while they are at it, and there are as many units as people, everybody finds
            // one free. Where setups are paid again, one more may keep a setting that the others lose.
            let held_by_people = works.iter().all(|work| {
                let cures_here = work.cure.as_ref().is_some_and(|cure| cure.ties_up_station);
                work.people > 0 && !cures_here
            });
            let is_set_up =
                works.iter().any(|work| work.setup.is_some()) || !station.setup_from.is_empty();
            let is_set_up_again = is_set_up && settings(shop, id) > 1;
            let enough =
                held_by_people && !is_set_up_again && station.count as usize >= shop.crew.len();
            let why = match candidate.walks.row_rolled_out(id.into()) {
                Some(_) => Some(WhyNot::RolledAbout),
                None => enough.then_some(WhyNot::OneForEachPerson),
            };
            self.add(shop, Edit::OneMoreUnit(id), why);
            let takes_time = |work: &&Work| {
                let times = [&work.setup, &work.per_piece, &work.per_lot, &work.teardown];
                times.into_iter().any(Option::is_some) || work.cure.is_some() || work.by_size > 0.0
            };
            let no_time = (!works.iter().any(takes_time)).then_some(WhyNot::NoTimeThere);
            for percent in [SMALL_CUT, BOLD_CUT] {
                self.add(shop, Edit::Times(id, percent), no_time);
            }
            if is_set_up {
                self.add(shop, Edit::NoSetup(id), None);
            }
        }
    }

    fn people(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        for (id, person) in shop.crew.enumerate() {
            let mut before = shop.crew.iter().take(id.index());
            if before.any(|other| other.group == person.group) {
                continue;
            }
            let delivers = shop.ordered_items().any(|item| item.deliver_to.is_some());
            let can = shop
                .ordered_work()
                .any(|(_, work)| person.can_do(work.operation));
            let idle = (!can && !delivers).then_some(WhyNot::NothingTheyCanDo);
            let why = nobody_is_needed(candidate).or(idle);
            self.add(shop, Edit::OneMorePerson(id), why);
        }
    }

    /// Where all work is done at one station, one more of it or one more person alone may bring nothing, but both do.
    fn both(&mut self, shop: &Shop) {
        let mut works = shop.ordered_work();
        let Some((station, first)) = works.next() else {
            return;
        };
        let is_alone = works.all(|(at, _)| at == station);
        let is_enough = self.untried.iter().any(|untried| {
            untried.why == WhyNot::OneForEachPerson
                && untried.trial.edit == Edit::OneMoreUnit(station)
        });
        let mut crew = shop.crew.enumerate();
        let able = crew.find(|(_, person)| person.can_do(first.operation));
        if let Some((person, _)) = able.filter(|_| is_alone && is_enough) {
            self.add(shop, Edit::OneMoreManned(station, person), None);
        }
    }

    fn carts(&mut self, shop: &Shop) {
        let Some(carts) = &shop.handling.carts else {
            return;
        };
        let together = shop.orders.iter().map(|line| line.together);
        let together = together.max().unwrap_or(1);
        let asks =
            |item: &Item| item.largest_lot(item.pieces.saturating_mul(together)) >= carts.at_least;
        let asked_for = shop.ordered_items().any(asks);
        let why = (!asked_for).then_some(WhyNot::NoLotAsksForACart);
        self.add(shop, Edit::OneMoreCart, why);
    }

    fn rules(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        let nobody = nobody_is_needed(candidate);
        // Without due dates `edd` still goes by the order released first, which `fifo` does not.
        for rule in others(QUEUE_RULES, shop.rules.queue) {
            self.add(shop, Edit::Queue(rule), None);
        }
        for rule in others(SWITCHES, shop.rules.switch) {
            self.add(shop, Edit::Switch(rule), nobody);
        }
        // Lots that are due alike are chosen by how long they have been ready, which is what `first come` goes by.
        let nothing_is_due = shop.orders.iter().all(|line| line.due.is_none());
        let is_alike = nothing_is_due && shop.rules.choose == ChooseNext::FirstCome;
        for rule in others(CHOICES, shop.rules.choose) {
            let comes_to_the_same = is_alike && rule == ChooseNext::DueDate;
            let why = comes_to_the_same.then_some(WhyNot::NothingIsDue);
            self.add(shop, Edit::Choose(rule), nobody.or(why));
        }
    }
}

fn others<R: PartialEq + Copy>(rows: &'static [RuleRow<R>], rule: R) -> impl Iterator<Item = R> {
    rows.iter()
        .map(|row| row.rule)
        .filter(move |other| *other != rule)
}

/// How many settings a station works in: those that steps name, and operations on items.
fn settings(shop: &Shop, station: StationId) -> usize {
    let mut named = BTreeSet::new();
    let mut unnamed = 0;
    for item in shop.ordered_items() {
        let mut operations = BTreeSet::new();
        for step in &item.route {
            for choice in step
                .choices
                .iter()
                .filter(|choice| choice.station == station)
            {
                match step.setting {
                    Some(setting) => named.insert(setting),
                    None => operations.insert(choice.work.operation),
                };
            }
        }
        unnamed += operations.len();
    }
    named.len() + unnamed
}

fn stands_together(walks: &Distances) -> bool {
    let places = walks.places();
    let place = |index: usize| PlaceId(index as u32);
    (0..places * places).all(|pair| {
        let (from, to) = (place(pair / places), place(pair % places));
        (Manner::ALL.iter()).all(|&manner| walks.distance(manner, from, to).is_zero())
    })
}

/// Why people, and the rules by which they choose, cannot matter, if they cannot: stations work alone, nothing is
/// fetched or delivered, and carrying takes no time.
fn nobody_is_needed(candidate: &Candidate) -> Option<WhyNot> {
    let shop = &candidate.shop;
    let handling = &shop.handling;
    let carries_take_no_time = stands_together(&candidate.walks)
        && handling.pick_up.is_zero()
        && handling.put_down.is_zero();
    let works_alone = |(_, work): (StationId, &Work)| {
        let mut gear = work.gear.iter();
        let fetches_gear = gear.any(|(gear, _)| shop.gear[*gear].stored_at.is_some());
        work.people == 0 && work.fetch_from.is_none() && !fetches_gear
    };
    let is_so = carries_take_no_time
        && shop.ordered_work().all(works_alone)
        && shop.ordered_items().all(|item| item.deliver_to.is_none());
    is_so.then_some(WhyNot::NobodyIsNeeded)
}

/// Why more of a kind of gear cannot matter, if it cannot.
fn gear_is_never_short(shop: &Shop, gear: GearId) -> Option<WhyNot> {
    let mut most = 0;
    let mut held_by_people = true;
    for (work, count) in shop.takers_of(gear) {
        most = most.max(count);
        let cures = (work.cure.as_ref()).is_some_and(|cure| cure.ties_up_gear.contains(&gear));
        held_by_people &= work.people > 0 && !cures;
    }
    if most == 0 {
        return Some(WhyNot::NothingNeedsIt);
    }
    let crew = shop.crew.len() as u64;
    let is_enough = u64::from(shop.gear[gear].count) >= crew * u64::from(most);
    (held_by_people && is_enough).then_some(WhyNot::EnoughForEverybody)
}

/// The most of a kind of gear that an operation needs, if half as much gear again does not let one more such operation
/// begin: the step then to think of is gear for a second glue-up.
fn missing_set(shop: &Shop, gear: GearId) -> Option<u32> {
    let set = shop.takers_of(gear).map(|(_, count)| count).max()?;
    let count = shop.gear[gear].count;
    let sets = |count: u32| count.checked_div(set);
    (sets(half_more(count)) == sets(count)).then_some(set)
}
