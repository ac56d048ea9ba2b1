//! What could be changed about a candidate, one thing at a time: the shops of the relief experiment.

use super::Candidate;
use crate::floor::{Manner, Walks};
use crate::random::Distribution;
use crate::shop::{
    CHOICES, ChooseNext, GearId, Item, OrderLine, Person, PlaceId, ProjectId, QUEUE_RULES,
    QueueRule, Row, SWITCHES, Shop, StationId, Work,
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

/// A resource and what is changed about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    pub resource: String,
    pub kind: ReliefKind,
    pub change: String,
}

/// A change with the shop and the walks that it leads to.
#[derive(Debug, Clone)]
pub struct Change {
    pub name: Named,
    pub shop: Shop,
    pub walks: Walks,
}

/// A change that is known to change nothing, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Untried {
    pub name: Named,
    pub why: &'static str,
}

/// Every change worth trying, and those that need no trial.
#[derive(Debug, Clone, Default)]
pub struct Changes {
    pub tried: Vec<Change>,
    pub untried: Vec<Untried>,
}

/// By how much a station's times are cut: its name, and what is left.
const CUTS: [(&str, f64); 2] = [("times −10 %", 0.9), ("times −50 %", 0.5)];

impl Changes {
    /// In the order of the file: stations, people, gear, carts, distances, rules.
    ///
    /// A change is left out only if it cannot change any run, whatever the luck: the reasons follow from the shop
    /// alone.
    pub fn of(candidate: &Candidate) -> Changes {
        let mut changes = Changes::default();
        changes.stations(candidate);
        changes.people(candidate);
        changes.gear(candidate);
        changes.carts(candidate);
        changes.distances(candidate);
        changes.rules(candidate);
        changes
    }

    fn add(&mut self, candidate: &Candidate, name: Named, change: impl FnOnce(&mut Shop)) {
        let mut shop = candidate.shop.clone();
        change(&mut shop);
        self.tried.push(Change {
            name,
            shop,
            walks: candidate.walks.clone(),
        });
    }

    /// Tries a change unless there is a reason why it can do nothing.
    fn add_unless(
        &mut self,
        why: Option<&'static str>,
        candidate: &Candidate,
        name: Named,
        change: impl FnOnce(&mut Shop),
    ) {
        match why {
            Some(why) => self.untried.push(Untried { name, why }),
            None => self.add(candidate, name, change),
        }
    }

    fn stations(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        for (id, station) in shop.stations.enumerate() {
            let works: Vec<&Work> = works(shop)
                .filter(|(at, _)| *at == id)
                .map(|at| at.1)
                .collect();
            // A rack or a door: nothing is done there that could take less time.
            if works.is_empty() {
                continue;
            }
            let named = |change: &str| Named {
                resource: station.name.clone(),
                kind: ReliefKind::Station,
                change: change.to_owned(),
            };
            // A unit that is held by people only while they are at it is never missing if there are as many of them
            // as people: whoever comes finds one.
            let held_by_people = works.iter().all(|work| {
                let cures_here = work.cure.as_ref().is_some_and(|cure| cure.ties_up_station);
                work.people > 0 && !cures_here
            });
            let enough = held_by_people && station.count as usize >= shop.crew.len();
            let why = enough.then_some("there are as many as people, and nobody leaves work in it");
            self.add_unless(why, candidate, named("one more"), |shop| {
                shop.stations[id].count += 1;
            });
            let takes_time = |work: &&Work| durations(work).next().is_some() || work.by_size > 0.0;
            let no_time = (!works.iter().any(takes_time)).then_some("nothing takes time there");
            for (name, factor) in CUTS {
                self.add_unless(no_time, candidate, named(name), |shop| {
                    at_station(shop, id, |work| scale(work, factor));
                });
            }
            if works.iter().any(|work| work.setup.is_some()) {
                self.add(candidate, named("no setup"), |shop| {
                    at_station(shop, id, |work| work.setup = None);
                });
            }
        }
    }

    fn people(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        let mut groups: Vec<&Person> = Vec::new();
        for person in &shop.crew {
            if !groups.iter().any(|other| other.group == person.group) {
                groups.push(person);
            }
        }
        for like in groups {
            let delivers = items(shop).any(|item| item.deliver_to.is_some());
            let can = works(shop).any(|(_, work)| like.can_do(work.operation));
            let idle = (!can && !delivers).then_some("there is nothing that they can do");
            let why = nobody_is_needed(candidate).or(idle);
            let name = Named {
                resource: like.group.clone(),
                kind: ReliefKind::Person,
                change: "one more".to_owned(),
            };
            self.add_unless(why, candidate, name, |shop| {
                let last = shop
                    .crew
                    .iter()
                    .rposition(|other| other.group == like.group);
                let mut crew: Vec<Person> = shop.crew.iter().cloned().collect();
                crew.insert(last.map_or(crew.len(), |last| last + 1), like.clone());
                shop.crew = crew.into_iter().collect();
            });
        }
    }

    fn gear(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        for (id, gear) in shop.gear.enumerate() {
            let name = Named {
                resource: gear.name.clone(),
                kind: ReliefKind::Gear,
                change: "50 % more".to_owned(),
            };
            let why = gear_is_never_short(shop, id);
            self.add_unless(why, candidate, name, |shop| {
                let count = &mut shop.gear[id].count;
                *count = count.saturating_add(count.div_ceil(2));
            });
        }
    }

    fn carts(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        let Some(carts) = &shop.handling.carts else {
            return;
        };
        let together = shop
            .orders
            .iter()
            .map(|line| line.together)
            .max()
            .unwrap_or(1);
        let asks = |item: &Item| {
            let pieces = item.pieces.saturating_mul(together);
            item.batch.unwrap_or(pieces).min(pieces) >= carts.at_least
        };
        let asked_for = items(shop).any(asks);
        let why = (!asked_for).then_some("no lot is large enough to ask for one");
        let name = Named {
            resource: "carts".to_owned(),
            kind: ReliefKind::Cart,
            change: "one more".to_owned(),
        };
        self.add_unless(why, candidate, name, |shop| {
            if let Some(carts) = &mut shop.handling.carts {
                carts.count += 1;
            }
        });
    }

    fn distances(&mut self, candidate: &Candidate) {
        let places = candidate.walks.places();
        let name = Named {
            resource: "distances".to_owned(),
            kind: ReliefKind::Layout,
            change: "no walking".to_owned(),
        };
        if !stands_together(&candidate.walks) {
            self.tried.push(Change {
                name,
                shop: candidate.shop.clone(),
                walks: Walks::none(places),
            });
        } else {
            let why = "everything stands together";
            self.untried.push(Untried { name, why });
        }
    }

    fn rules(&mut self, candidate: &Candidate) {
        let rules = candidate.shop.rules;
        let nothing_is_due = candidate.shop.orders.iter().all(|line| line.due.is_none());
        let not_due =
            |by_date: bool| (nothing_is_due && by_date).then_some("no order has a due date");
        for row in others(QUEUE_RULES, rules.queue) {
            let why = not_due(row.rule == QueueRule::Edd);
            self.add_unless(why, candidate, rule("queue", row.name), |shop| {
                shop.rules.queue = row.rule;
            });
        }
        for row in others(SWITCHES, rules.switch) {
            let why = nobody_is_needed(candidate);
            self.add_unless(why, candidate, rule("switch station", row.name), |shop| {
                shop.rules.switch = row.rule;
            });
        }
        for row in others(CHOICES, rules.choose) {
            let why = not_due(row.rule == ChooseNext::DueDate).or(nobody_is_needed(candidate));
            self.add_unless(why, candidate, rule("choose next", row.name), |shop| {
                shop.rules.choose = row.rule;
            });
        }
    }
}

fn rule(key: &str, name: &str) -> Named {
    Named {
        resource: "rules".to_owned(),
        kind: ReliefKind::Rule,
        change: format!("{key} {name}"),
    }
}

fn others<R: PartialEq + Copy>(
    rows: &'static [Row<R>],
    rule: R,
) -> impl Iterator<Item = &'static Row<R>> {
    rows.iter().filter(move |row| row.rule != rule)
}

fn stands_together(walks: &Walks) -> bool {
    let places = walks.places();
    let place = |index: usize| PlaceId(index as u32);
    (0..places * places).all(|pair| {
        let (from, to) = (place(pair / places), place(pair % places));
        (Manner::ALL.iter()).all(|&manner| walks.distance(manner, from, to).is_zero())
    })
}

/// Why people, and the rules by which they choose, cannot matter, if they cannot: stations work alone, nothing is
/// fetched or delivered, and what has to be carried takes no time, so nobody is ever asked.
fn nobody_is_needed(candidate: &Candidate) -> Option<&'static str> {
    let shop = &candidate.shop;
    let handling = &shop.handling;
    let carries_take_no_time = stands_together(&candidate.walks)
        && handling.pick_up.is_zero()
        && handling.put_down.is_zero();
    let works_alone = |(_, work): (StationId, &Work)| {
        let fetches_gear = |(gear, _): &(GearId, u32)| shop.gear[*gear].stored_at.is_some();
        work.people == 0 && work.fetch_from.is_none() && !work.gear.iter().any(fetches_gear)
    };
    let is_so = carries_take_no_time
        && works(shop).all(works_alone)
        && items(shop).all(|item| item.deliver_to.is_none());
    is_so.then_some("nobody is needed for anything")
}

/// Why more of a kind of gear cannot matter, if it cannot.
fn gear_is_never_short(shop: &Shop, gear: GearId) -> Option<&'static str> {
    let mut most = 0;
    let mut held_by_people = true;
    for (_, work) in works(shop) {
        let needs = work.gear.iter().find(|(kind, _)| *kind == gear);
        let Some(&(_, count)) = needs else {
            continue;
        };
        most = most.max(count);
        let cures = (work.cure.as_ref()).is_some_and(|cure| cure.ties_up_gear.contains(&gear));
        held_by_people &= work.people > 0 && !cures;
    }
    if most == 0 {
        return Some("nothing that is ordered needs it");
    }
    let crew = shop.crew.len() as u64;
    let is_enough = u64::from(shop.gear[gear].count) >= crew * u64::from(most);
    (held_by_people && is_enough).then_some("there is enough for everybody at once")
}

/// Items of the projects that are ordered.
fn items(shop: &Shop) -> impl Iterator<Item = &Item> {
    let is_ordered = |id: ProjectId| {
        shop.orders
            .iter()
            .any(|line: &OrderLine| line.project == id)
    };
    shop.projects
        .enumerate()
        .filter(move |(id, _)| is_ordered(*id))
        .flat_map(|(_, project)| &project.items)
}

/// What may be done at which station for the projects that are ordered.
fn works(shop: &Shop) -> impl Iterator<Item = (StationId, &Work)> {
    items(shop)
        .flat_map(|item| &item.route)
        .flat_map(|step| &step.choices)
        .map(|choice| (choice.station, &choice.work))
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

/// Changes what is done at one station.
fn at_station(shop: &mut Shop, station: StationId, change: impl Fn(&mut Work)) {
    for_each_work(shop, |(_, _, _, at), work| {
        if at == station {
            change(work);
        }
    });
}

/// The durations of a work that were given as such.
fn durations(work: &Work) -> impl Iterator<Item = &Distribution> {
    let times = [&work.setup, &work.per_piece, &work.per_lot, &work.teardown];
    let cure = work.cure.as_ref().map(|cure| &cure.time);
    times.into_iter().flatten().chain(cure)
}

/// All times of a work: setup, run, tear-down and cure.
fn scale(work: &mut Work, factor: f64) {
    let times = [
        &mut work.setup,
        &mut work.per_piece,
        &mut work.per_lot,
        &mut work.teardown,
    ];
    for time in times.into_iter().flatten() {
        *time = time.scaled(factor);
    }
    if let Some(cure) = &mut work.cure {
        cure.time = cure.time.scaled(factor);
    }
    work.by_size *= factor;
}
