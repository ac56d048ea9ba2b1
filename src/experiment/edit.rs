//! One change of a candidate: what it is called, and the candidate that comes of it.

use super::Candidate;
use crate::floor::Walks;
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
        };
        let station = |id: StationId, change: String| {
            name(&shop.stations[id].name, ReliefKind::Station, change)
        };
        let rule = |key: &str, rule: &str| name("rules", ReliefKind::Rule, format!("{key} {rule}"));
        let one_more = || "one more".to_owned();
        match self {
            Edit::OneMoreUnit(id) => station(id, one_more()),
            Edit::Times(id, percent) => station(id, format!("times −{percent} %")),
            Edit::NoSetup(id) => station(id, "no setup".to_owned()),
            Edit::OneMorePerson(id) => name(&shop.crew[id].group, ReliefKind::Person, one_more()),
            Edit::HalfMoreGear(id) => name(
                &shop.gear[id].name,
                ReliefKind::Gear,
                "50 % more".to_owned(),
            ),
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
        let shop = &mut changed.shop;
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
                *count = count.saturating_add(count.div_ceil(2));
            }
            Edit::OneMoreCart => {
                if let Some(carts) = &mut shop.handling.carts {
                    carts.count += 1;
                }
            }
            Edit::NoWalking => changed.walks = Walks::none(candidate.walks.places()),
            Edit::Queue(queue) => shop.rules.queue = queue,
            Edit::Switch(switch) => shop.rules.switch = switch,
            Edit::Choose(choose) => shop.rules.choose = choose,
        }
        changed
    }
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
