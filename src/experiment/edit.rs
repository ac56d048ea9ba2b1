//! One change of a candidate: what it is called, and the candidate that comes of it.

use std::sync::Arc;

use super::Candidate;
use super::changes::items;
use crate::floor::Distances;
use crate::random::Distribution;
use crate::shop::{
    CHOICES, ChooseNext, GearId, Person, PersonId, ProjectId, QUEUE_RULES, QueueRule, Row,
    SWITCHES, Shop, StationId, SwitchStation, Work,
};

/// What kind of thing is relieved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReliefKind {
    Station,
    Person,
    Gear,
    Cart,
    Layout,
    Rule,
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
        }
    }
}

/// A resource and what is changed about it, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    pub resource: String,
    pub kind: ReliefKind,
    pub change: String,
    pub detail: Option<Detail>,
}

/// What one has to know of a change beside its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Detail {
    /// So many pieces of gear are a set.
    Set(u32),
    /// Most of the time at the station is that of the cures after these operations, in which nobody works.
    MostlyCure(Vec<String>),
}

/// One thing that is changed; everything else stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edit {
    OneMoreUnit(StationId),
    /// All times at a station, setups, runs, tear-downs and cures, cut by so many percent.
    Times(StationId, u32),
    NoSetup(StationId),
    /// One more like this person, after the last who is alike.
    OneMorePerson(PersonId),
    /// Half as much again, rounded up.
    HalfMoreGear(GearId),
    /// As many more as the operation that needs most of it takes.
    OneMoreSet(GearId, u32),
    OneMoreCart,
    NoWalking,
    Queue(QueueRule),
    Switch(SwitchStation),
    Choose(ChooseNext),
}

impl Edit {
    pub fn named(self, shop: &Shop) -> Named {
        let name = |resource: &str, kind: ReliefKind, change: String| Named {
            resource: resource.to_owned(),
            kind,
            change,
            detail: None,
        };
        let station = |id: StationId, change: String| {
            name(&shop.stations[id].name, ReliefKind::Station, change)
        };
        let rule = |key: &str, rule: &str| name("rules", ReliefKind::Rule, format!("{key} {rule}"));
        let one_more = || "one more".to_owned();
        match self {
            Edit::OneMoreUnit(id) => station(id, one_more()),
            Edit::Times(id, percent) => Named {
                detail: mostly_cure(shop, id).map(Detail::MostlyCure),
                ..station(id, format!("times −{percent} %"))
            },
            Edit::NoSetup(id) => station(id, "no setup".to_owned()),
            Edit::OneMorePerson(id) => name(&shop.crew[id].group, ReliefKind::Person, one_more()),
            Edit::HalfMoreGear(id) => name(
                &shop.gear[id].name,
                ReliefKind::Gear,
                "50 % more".to_owned(),
            ),
            Edit::OneMoreSet(id, set) => Named {
                detail: Some(Detail::Set(set)),
                ..name(
                    &shop.gear[id].name,
                    ReliefKind::Gear,
                    "one more set".to_owned(),
                )
            },
            Edit::OneMoreCart => name("carts", ReliefKind::Cart, one_more()),
            Edit::NoWalking => name("distances", ReliefKind::Layout, "no walking".to_owned()),
            Edit::Queue(queue) => rule("queue", name_of(QUEUE_RULES, queue)),
            Edit::Switch(switch) => rule("switch station", name_of(SWITCHES, switch)),
            Edit::Choose(choose) => rule("choose next", name_of(CHOICES, choose)),
        }
    }

    /// The candidate with this change.
    pub fn applied(self, candidate: &Candidate) -> Candidate {
        let mut changed = candidate.clone();
        if self == Edit::NoWalking {
            changed.walks = Distances::none(candidate.walks.places());
            return changed;
        }
        let shop = Arc::make_mut(&mut changed.shop);
        match self {
            Edit::OneMoreUnit(id) => shop.stations[id].count += 1,
            Edit::Times(id, percent) => {
                let left = f64::from(100 - percent) / 100.0;
                at_station(shop, id, |work| scale(work, left));
            }
            Edit::NoSetup(id) => at_station(shop, id, |work| work.setup = None),
            Edit::OneMorePerson(id) => {
                let like = shop.crew[id].clone();
                let mut crew: Vec<Person> = shop.crew.iter().cloned().collect();
                let last = crew.iter().rposition(|other| other.group == like.group);
                crew.insert(last.map_or(crew.len(), |last| last + 1), like);
                shop.crew = crew.into_iter().collect();
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
        }
        changed
    }
}

/// Half as many again, rounded up.
pub(super) fn half_more(count: u32) -> u32 {
    count.saturating_add(count.div_ceil(2))
}

/// The operations that cure at a station, if their cures are most of the expected time of the lots that pass it.
fn mostly_cure(shop: &Shop, station: StationId) -> Option<Vec<String>> {
    let mean = |time: &Option<Distribution>| time.as_ref().map_or(0.0, Distribution::mean);
    let (mut cures, mut others) = (0.0, 0.0);
    let mut operations: Vec<String> = Vec::new();
    for item in items(shop) {
        let lot = item.batch.unwrap_or(item.pieces).min(item.pieces);
        let lots = f64::from(item.pieces.div_ceil(lot.max(1)));
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
    (cures > others).then_some(operations)
}

fn name_of<R: PartialEq>(rows: &'static [Row<R>], rule: R) -> &'static str {
    (rows.iter().find(|row| row.rule == rule)).map_or("", |row| row.name)
}

/// Shows every work of a shop, with where it is: project, item, step, and station.
pub(super) fn for_each_work(
    shop: &mut Shop,
    mut show: impl FnMut((ProjectId, usize, usize, StationId), &mut Work),
) {
    for project in shop.projects.ids() {
        for (index, item) in shop.projects[project].items.iter_mut().enumerate() {
            for (step, choices) in item.route.iter_mut().enumerate() {
                for choice in &mut choices.choices {
                    show((project, index, step, choice.station), &mut choice.work);
                }
            }
        }
    }
}

fn at_station(shop: &mut Shop, station: StationId, change: impl Fn(&mut Work)) {
    for_each_work(shop, |(_, _, _, at), work| {
        if at == station {
            change(work);
        }
    });
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
