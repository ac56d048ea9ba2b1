//! One change of a candidate, and the candidate that comes of it.

use std::sync::Arc;

use super::Candidate;
use crate::random::Distribution;
use crate::shop::{
    Choice, ChooseNext, CureRule, Exclusion, GearId, OpeningTime, Person, PersonId, ProjectId,
    QueueRule, SetTo, Shop, StationId, SwitchStation, Upkeep, WearLimit, Work,
};
use crate::units::{Chips, Length, Span};

/// What kind of thing is relieved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReliefKind {
    Station,
    Person,
    Gear,
    Cart,
    Layout,
    Rule,
    /// The time in which the shop is open.
    Session,
    /// The time in which nothing loud runs.
    Quiet,
    /// What wears or fills up.
    Upkeep,
    /// Where finished lots lie.
    Room,
    /// What does not go on together.
    Exclusion,
    /// What is taken off after a cure.
    TakeOff,
}

impl ReliefKind {
    pub fn name(self) -> &'static str {
        match self {
            ReliefKind::Station => "station",
            ReliefKind::Person => "person",
            ReliefKind::Gear => "gear",
            ReliefKind::Cart => "cart",
            ReliefKind::Layout => "layout",
            ReliefKind::Rule => "rule",
            ReliefKind::Session => "session",
            ReliefKind::Quiet => "quiet",
            ReliefKind::Upkeep => "upkeep",
            ReliefKind::Room => "room",
            ReliefKind::Exclusion => "exclusion",
            ReliefKind::TakeOff => "take-off",
        }
    }
}

/// By how many percent a station's times are cut in small, and how much at the boldest.
pub const SMALL_CUT: u32 = 10;
pub const BOLD_CUT: u32 = 50;

/// One thing that is changed; everything else stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edit {
    OneMoreUnit(StationId),
    /// All times at a station, setups, runs, teardowns and cures, cut by so many percent.
    Times(StationId, u32),
    NoSetup(StationId),
    /// One more like this person, after the last who is alike.
    OneMorePerson(PersonId),
    /// One more unit of a station together with one more person, where neither can bring anything without the other.
    OneMoreManned(StationId, PersonId),
    /// Half as much again, rounded up.
    HalfMoreGear(GearId),
    /// As many more as the operation that needs most of it takes.
    OneMoreSet(GearId, u32),
    OneMoreCart,
    NoWalking,
    Queue(QueueRule),
    Switch(SwitchStation),
    Choose(ChooseNext),
    Cures(CureRule),
    /// What wears or fills up at a station, by its number there, lasts twice as long.
    LastsLonger(StationId, usize),
    /// What is fetched for that upkeep lies ready at the station.
    SpareAtHand(StationId, usize),
    /// Room for one more lot that was finished at a station.
    MoreRoom(StationId),
    /// What is kept apart, by its number in the file, goes on together: what that costs, and no advice.
    GoTogether(usize),
    /// Nothing has to be taken off after a cure.
    NoTakeOff,
    /// One more session every week.
    OneMoreSession(OpeningTime),
    /// Loud stations run whenever the shop is open: what keeping quiet costs, and no advice.
    NoQuietTime,
}

impl Edit {
    pub fn kind(self) -> ReliefKind {
        match self {
            Edit::OneMoreUnit(_) | Edit::OneMoreManned(..) => ReliefKind::Station,
            Edit::Times(..) | Edit::NoSetup(_) => ReliefKind::Station,
            Edit::OneMorePerson(_) => ReliefKind::Person,
            Edit::HalfMoreGear(_) | Edit::OneMoreSet(..) => ReliefKind::Gear,
            Edit::OneMoreCart => ReliefKind::Cart,
            Edit::NoWalking => ReliefKind::Layout,
            Edit::Queue(_) | Edit::Switch(_) | Edit::Choose(_) | Edit::Cures(_) => ReliefKind::Rule,
            Edit::LastsLonger(..) | Edit::SpareAtHand(..) => ReliefKind::Upkeep,
            Edit::MoreRoom(_) => ReliefKind::Room,
            Edit::GoTogether(_) => ReliefKind::Exclusion,
            Edit::NoTakeOff => ReliefKind::TakeOff,
            Edit::OneMoreSession(_) => ReliefKind::Session,
            Edit::NoQuietTime => ReliefKind::Quiet,
        }
    }

    /// Whether it makes all work at a station quicker, cures among it, of which nobody knows how to do that.
    pub fn saves_times(self) -> bool {
        matches!(self, Edit::Times(..))
    }

    /// Whether it says how much could be won at most, for how much of one's own time, or of whose peace or safety, rather
    /// than what to do.
    pub fn is_scale(self) -> bool {
        matches!(
            self.kind(),
            ReliefKind::Layout
                | ReliefKind::Session
                | ReliefKind::Quiet
                | ReliefKind::Exclusion
                | ReliefKind::TakeOff
        )
    }

    /// Whether it is something to do: to buy, to add or to put in another order.
    pub fn is_doable(self) -> bool {
        !self.is_scale() && !self.saves_times()
    }

    /// Whether work or walking takes another time from the start, as long as the same is done.
    pub(super) fn changes_times(self) -> bool {
        matches!(
            self,
            Edit::Times(..)
                | Edit::NoSetup(_)
                | Edit::NoWalking
                | Edit::LastsLonger(..)
                | Edit::SpareAtHand(..)
        )
    }

    /// What it costs to buy what it adds, if the file gives prices for all of that.
    fn price(self, shop: &Shop) -> Option<f64> {
        let prices = &shop.prices;
        let gear = |id: GearId, count: u32| Some(prices.gear.get(&id)? * f64::from(count));
        match self {
            Edit::OneMoreUnit(id) => prices.stations.get(&id).copied(),
            Edit::HalfMoreGear(id) => {
                let count = shop.gear[id].count;
                gear(id, half_more(count) - count)
            }
            Edit::OneMoreSet(id, set) => gear(id, set),
            Edit::OneMoreCart => prices.cart,
            Edit::LastsLonger(id, number) | Edit::SpareAtHand(id, number) => {
                prices.upkeep.get(&(id, number)).copied()
            }
            _ => None,
        }
    }

    /// The candidate with this change.
    pub fn applied(self, candidate: &Candidate) -> Candidate {
        let mut changed = candidate.clone();
        if self == Edit::NoWalking {
            changed.walks = candidate.walks.without_walking();
            return changed;
        }
        let shop = Arc::make_mut(&mut changed.shop);
        match self {
            Edit::OneMoreUnit(id) => shop.stations[id].count += 1,
            Edit::Times(id, percent) => {
                let left = f64::from(100 - percent) / 100.0;
                at_station(shop, id, |work| scale(work, left));
                for upkeep in &mut shop.stations[id].upkeep {
                    upkeep.time = Span::from_seconds(upkeep.time.seconds() * left);
                }
                for (_, time) in setups_from(shop, id) {
                    *time = time.scaled(left);
                }
            }
            Edit::NoSetup(id) => {
                at_station(shop, id, |work| work.setup = None);
                shop.stations[id].setup_from.clear();
            }
            Edit::OneMorePerson(id) => add_person(shop, id),
            Edit::OneMoreManned(station, person) => {
                shop.stations[station].count += 1;
                add_person(shop, person);
            }
            Edit::HalfMoreGear(id) => {
                let count = &mut shop.gear[id].count;
                *count = half_more(*count);
            }
            Edit::OneMoreSet(id, set) => {
                let count = &mut shop.gear[id].count;
                *count = count.saturating_add(set);
            }
            Edit::OneMoreCart => {
                if let Some(carts) = &mut shop.handling.carts {
                    carts.count += 1;
                }
            }
            Edit::NoWalking => {}
            Edit::Queue(queue) => shop.rules.queue = queue,
            Edit::Switch(switch) => shop.rules.switch = switch,
            Edit::Choose(choose) => shop.rules.choose = choose,
            Edit::Cures(cures) => shop.rules.cures = cures,
            Edit::LastsLonger(id, number) => last_longer(shop, id, number),
            Edit::SpareAtHand(id, number) => shop.stations[id].upkeep[number].fetch_from = None,
            Edit::MoreRoom(id) => {
                let room = &mut shop.stations[id].set_down;
                *room = room.map(|lots| lots.saturating_add(1));
            }
            Edit::GoTogether(number) => {
                shop.not_together.remove(number);
            }
            Edit::NoTakeOff => for_each_work(shop, |_, choice| {
                if let Some(cure) = &mut choice.work.cure {
                    cure.take_off = None;
                }
            }),
            Edit::OneMoreSession(time) => {
                if let Some(longer) = shop.calendar.with(time) {
                    shop.calendar = longer;
                }
            }
            Edit::NoQuietTime => shop.quiet = None,
        }
        changed
    }
}

/// What wears or fills up lasts twice as long: at all stations that share it.
fn last_longer(shop: &mut Shop, station: StationId, number: usize) {
    let shared = shop.stations[station].upkeep[number].shared;
    let double = |upkeep: &mut Upkeep| {
        upkeep.every = match upkeep.every {
            WearLimit::RunTime(time) => {
                WearLimit::RunTime(Span::from_micros(time.micros().saturating_mul(2)))
            }
            WearLimit::Length(length) => WearLimit::Length(Length::from_nanometres(
                length.nanometres().saturating_mul(2),
            )),
            WearLimit::Chips(chips) => {
                WearLimit::Chips(Chips::from_picolitres(chips.picolitres().saturating_mul(2)))
            }
        };
    };
    match shared {
        None => double(&mut shop.stations[station].upkeep[number]),
        Some(_) => {
            for id in shop.stations.ids() {
                let all = shop.stations[id].upkeep.iter_mut();
                all.filter(|upkeep| upkeep.shared == shared)
                    .for_each(double);
            }
        }
    }
}

/// One more like this person, after the last who is alike.
fn add_person(shop: &mut Shop, id: PersonId) {
    let like = shop.crew[id].clone();
    let mut crew: Vec<Person> = shop.crew.iter().cloned().collect();
    let last = crew.iter().rposition(|other| other.group == like.group);
    crew.insert(last.map_or(crew.len(), |last| last + 1), like);
    shop.crew = crew.into_iter().collect();
}

/// Half as many again, rounded up.
pub fn half_more(count: u32) -> u32 {
    count.saturating_add(count.div_ceil(2))
}

/// A change to try, with the names from the shop that a sentence about it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    pub edit: Edit,
    /// The station, the group of people, the gear or what is kept apart; none where the change is one of the whole shop.
    pub resource: Option<String>,
    /// What wears or fills up at the station.
    pub part: Option<String>,
    /// What it costs to buy, if the file says so.
    pub price: Option<f64>,
    /// Of a cut of a station's times: the operations after which lots cure there, if that is most of the time.
    pub mostly_cure: Vec<String>,
    /// The kind of the station, if it is said to be of one.
    pub station_kind: Option<&'static str>,
    /// How many there are of the gear.
    pub gear_count: Option<u32>,
    /// Whether no order has a due date: what goes by due dates then goes by the order released first.
    pub nothing_is_due: bool,
}

impl Trial {
    pub fn of(edit: Edit, shop: &Shop) -> Trial {
        let resource = match edit {
            Edit::OneMoreUnit(id)
            | Edit::OneMoreManned(id, _)
            | Edit::Times(id, _)
            | Edit::NoSetup(id)
            | Edit::LastsLonger(id, _)
            | Edit::SpareAtHand(id, _)
            | Edit::MoreRoom(id) => Some(shop.stations[id].name.clone()),
            Edit::OneMorePerson(id) => Some(shop.crew[id].group.clone()),
            Edit::HalfMoreGear(id) | Edit::OneMoreSet(id, _) => Some(shop.gear[id].name.clone()),
            Edit::GoTogether(number) => Some(kept_apart(shop, &shop.not_together[number])),
            Edit::OneMoreCart
            | Edit::NoWalking
            | Edit::Queue(_)
            | Edit::Switch(_)
            | Edit::Choose(_)
            | Edit::Cures(_)
            | Edit::NoTakeOff
            | Edit::OneMoreSession(_)
            | Edit::NoQuietTime => None,
        };
        Trial {
            edit,
            resource,
            price: edit.price(shop),
            part: match edit {
                Edit::LastsLonger(id, number) | Edit::SpareAtHand(id, number) => {
                    Some(shop.stations[id].upkeep[number].name.clone())
                }
                _ => None,
            },
            mostly_cure: match edit {
                Edit::Times(id, _) => mostly_cure(shop, id),
                _ => Vec::new(),
            },
            station_kind: match edit {
                Edit::OneMoreUnit(id)
                | Edit::OneMoreManned(id, _)
                | Edit::Times(id, _)
                | Edit::NoSetup(id) => shop.stations[id].kind,
                _ => None,
            },
            gear_count: match edit {
                Edit::HalfMoreGear(id) | Edit::OneMoreSet(id, _) => Some(shop.gear[id].count),
                _ => None,
            },
            nothing_is_due: shop.orders.iter().all(|line| line.due.is_none()),
        }
    }
}

/// The names of what does not go on together.
fn kept_apart(shop: &Shop, apart: &Exclusion) -> String {
    let stations = apart
        .stations
        .iter()
        .map(|id| shop.stations[*id].name.clone());
    let operations = apart
        .operations
        .iter()
        .map(|id| shop.operations[*id].clone());
    let cures = apart.cures_of.iter();
    let cures = cures.map(|id| format!("cure of {}", shop.operations[*id]));
    let names: Vec<String> = stations.chain(operations).chain(cures).collect();
    names.join(", ")
}

/// The operations that cure at a station, if their cures are most of the expected time of the lots that pass it.
fn mostly_cure(shop: &Shop, station: StationId) -> Vec<String> {
    let mean = |time: &Option<Distribution>| time.as_ref().map_or(0.0, Distribution::mean);
    let (mut cures, mut others) = (0.0, 0.0);
    let mut operations: Vec<String> = Vec::new();
    for item in shop.ordered_items() {
        let lot = item.largest_lot(item.pieces);
        let lots = item.lots(u64::from(item.pieces)) as f64;
        for choice in item.route.iter().flat_map(|step| &step.choices) {
            if choice.station != station {
                continue;
            }
            let work = &choice.work;
            others += lots * (mean(&work.setup) + work.expected_run(lot) + mean(&work.teardown));
            let Some(cure) = &work.cure else { continue };
            cures += lots * cure.time.mean();
            let name = &shop.operations[work.operation];
            if !operations.contains(name) {
                operations.push(name.clone());
            }
        }
    }
    if cures > others {
        operations
    } else {
        Vec::new()
    }
}

/// Shows every work of a shop, with where it is: project, item, step, and station.
pub(super) fn for_each_work(
    shop: &mut Shop,
    mut show: impl FnMut((ProjectId, usize, usize), &mut Choice),
) {
    for project in shop.projects.ids() {
        for (index, item) in shop.projects[project].items.iter_mut().enumerate() {
            for (step, choices) in item.route.iter_mut().enumerate() {
                for choice in &mut choices.choices {
                    show((project, index, step), choice);
                }
            }
        }
    }
}

fn at_station(shop: &mut Shop, station: StationId, change: impl Fn(&mut Work)) {
    for_each_work(shop, |_, choice| {
        if choice.station == station {
            change(&mut choice.work);
        }
    });
}

/// The times that a station has of its own for setting up from one thing for another, by what comes next.
fn setups_from(
    shop: &mut Shop,
    station: StationId,
) -> impl Iterator<Item = &mut (SetTo, Distribution)> {
    let from = shop.stations[station].setup_from.iter_mut();
    from.flat_map(|from| &mut from.to)
}

fn scale(work: &mut Work, factor: f64) {
    let cure = work.cure.as_mut().map(|cure| &mut cure.time);
    let times = [
        work.setup.as_mut(),
        work.per_piece.as_mut(),
        work.per_lot.as_mut(),
        work.teardown.as_mut(),
        cure,
    ];
    for time in times.into_iter().flatten() {
        *time = time.scaled(factor);
    }
    work.by_size *= factor;
}
