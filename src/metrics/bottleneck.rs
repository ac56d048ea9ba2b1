//! The recorder that follows the active periods of stations, people and gear.

use super::active::{Active, ActivePeriods, Momentary};
use crate::engine::{AtStation, Handling, Job, OrderDone, Recorder, Walk};
use crate::shop::{GearId, PersonId, PlaceId, ProjectId, Shop, StationId};
use crate::units::{Span, Time};

/// Hears a run and finds what was the bottleneck when.
///
/// A unit of a station is active while it is set up, runs, is torn down or cures; reserved, it waits for somebody or
/// for the lot. A person is active while walking, handling or working. A kind of gear is active while so much of it is
/// taken that the operation which needs most of it could not begin. Units of one station count together, and so do
/// people whom the file counts together.
#[derive(Debug)]
pub struct Bottlenecks {
    periods: Option<ActivePeriods>,
    first_unit: Vec<usize>,
    first_person: usize,
    first_gear: usize,
    gear: Vec<Taken>,
    counted: Counted<usize>,
    found: (Vec<Active>, Vec<Momentary>),
}

/// Something for each station, each group of people and each kind of gear.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Counted<T> {
    pub stations: Vec<T>,
    /// By name of the group, in the order in which the file names them.
    pub people: Vec<(String, T)>,
    pub gear: Vec<T>,
}

/// What is taken of one kind of gear.
#[derive(Debug)]
struct Taken {
    /// Active while more than this is taken.
    spare: u32,
    /// When what was taken comes back.
    back: Vec<(Time, u32)>,
}

impl Bottlenecks {
    pub fn new(shop: &Shop, warm_up: Span) -> Bottlenecks {
        let mut group_of = Vec::new();
        let mut counted = Counted::default();
        let mut first_unit = Vec::new();
        for (station, of) in shop.stations.enumerate() {
            first_unit.push(group_of.len());
            group_of.extend((0..of.count).map(|_| station.0));
            counted.stations.push(station.index());
        }
        let mut groups = shop.stations.len();
        let first_person = group_of.len();
        for person in &shop.crew {
            let known = counted
                .people
                .iter()
                .find(|(name, _)| *name == person.group);
            let group = known.map_or(groups, |&(_, group)| group);
            if group == groups {
                counted.people.push((person.group.clone(), group));
                groups += 1;
            }
            group_of.push(group as u32);
        }
        let first_gear = group_of.len();
        let mut gear = Vec::new();
        for (id, kind) in shop.gear.enumerate() {
            gear.push(Taken {
                spare: kind.count.saturating_sub(most_needed(shop, id)),
                back: Vec::new(),
            });
            counted.gear.push(groups);
            group_of.push(groups as u32);
            groups += 1;
        }
        Bottlenecks {
            periods: Some(ActivePeriods::grouped(group_of, Time::START + warm_up)),
            first_unit,
            first_person,
            first_gear,
            gear,
            counted,
            found: (Vec::new(), Vec::new()),
        }
    }

    /// Keeps the momentary bottleneck of every instant too.
    pub fn marking(mut self) -> Bottlenecks {
        self.periods = self.periods.map(ActivePeriods::marking);
        self
    }

    /// What was found of a run that has ended.
    pub fn found(&self) -> Counted<Active> {
        let active = |&group: &usize| self.found.0.get(group).copied().unwrap_or_default();
        let people = self.counted.people.iter();
        Counted {
            stations: self.counted.stations.iter().map(active).collect(),
            people: people
                .map(|(name, group)| (name.clone(), active(group)))
                .collect(),
            gear: self.counted.gear.iter().map(active).collect(),
        }
    }

    /// The momentary bottlenecks of a run that has ended, by number of the group as in [`numbers`](Self::numbers).
    pub fn momentary(&self) -> &[Momentary] {
        &self.found.1
    }

    /// Which number each station, group of people and kind of gear has.
    pub fn numbers(&self) -> &Counted<usize> {
        &self.counted
    }

    fn active(&mut self, resource: usize, start: Time, end: Time) {
        if let Some(periods) = &mut self.periods {
            periods.active(resource, start, end);
        }
    }
}

/// The most that one operation takes of a kind of gear; at least one, so that gear without use is never active.
fn most_needed(shop: &Shop, gear: GearId) -> u32 {
    let items = shop.projects.iter().flat_map(|project| &project.items);
    let choices = items
        .flat_map(|item| &item.route)
        .flat_map(|step| &step.choices);
    let needs = choices.flat_map(|choice| &choice.work.gear);
    let of_this = needs
        .filter(|(kind, _)| *kind == gear)
        .map(|&(_, count)| count);
    of_this.max().unwrap_or(1)
}

impl Recorder for Bottlenecks {
    fn task(&mut self, _job: &Job, now: Time) {
        if let Some(periods) = &mut self.periods {
            periods.pass(now);
        }
    }

    fn walk(&mut self, walk: &Walk) {
        self.active(
            self.first_person + walk.person.index(),
            walk.start,
            walk.end,
        );
    }

    fn handling(&mut self, person: PersonId, _: Handling, _: PlaceId, start: Time, end: Time) {
        self.active(self.first_person + person.index(), start, end);
    }

    fn work(&mut self, work: &AtStation, workers: impl Iterator<Item = PersonId> + Clone) {
        let unit = self.first_unit[work.station.index()] + work.unit as usize;
        self.active(unit, work.begins, work.ends);
        for person in workers {
            self.active(self.first_person + person.index(), work.begins, work.ends);
        }
    }

    fn cure(&mut self, station: StationId, unit: u32, start: Time, end: Time) {
        let unit = self.first_unit[station.index()] + unit as usize;
        self.active(unit, start, end);
    }

    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        let kind = &mut self.gear[gear.index()];
        let (mut taken, mut until) = (0, None);
        kind.back.retain(|&(back, _)| back > start);
        kind.back.push((end, amount));
        // As far as is known now: whatever is taken later only prolongs it.
        kind.back
            .sort_unstable_by_key(|&(back, _)| std::cmp::Reverse(back));
        for &(back, amount) in &kind.back {
            taken += amount;
            if taken > kind.spare && until.is_none() {
                until = Some(back);
            }
        }
        if let Some(until) = until {
            self.active(self.first_gear + gear.index(), start, until);
        }
    }

    fn queued(&mut self, _station: StationId, _now: Time) {}

    fn unqueued(&mut self, _station: StationId, _since: Time, _now: Time) {}

    fn released(&mut self, _project: ProjectId, _order: u64, _now: Time) {}

    fn done(&mut self, _order: &OrderDone) {}

    fn end(&mut self, now: Time) {
        if let Some(periods) = self.periods.take() {
            self.found = periods.end_marked(now);
        }
    }
}
