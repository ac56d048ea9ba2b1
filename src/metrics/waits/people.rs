//! What people wait for, and what they work on where.

use std::ops::Range;
use std::sync::Arc;

use super::super::measured::MeasuredTime;
use super::followers::Follower;
use super::needs::{Needs, Short};
use crate::engine::{Doing, StopTimes, TakeOffTimes, TaskTimes, WorkPhase};
use crate::shop::{PersonId, Shop, WeeklyTimes};
use crate::units::{Span, Time};

/// What a person waits for; within the measured time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct IdleTime {
    /// For something to cure that they could go on with, or that ties up the station of a lot that they could work on.
    pub cure: Span,
    /// A lot that they could work on waits for a station.
    pub station: Span,
    /// A lot that they could work on does not go together with what goes on.
    pub kept_apart: Span,
    /// A lot that they could work on waits for gear.
    pub gear: Span,
    /// There was nothing to do for them, or they waited for others at a task that had begun.
    pub nothing: Span,
    /// They were not there, while the shop was open.
    pub away: Span,
}

impl IdleTime {
    pub fn waiting(&self) -> Span {
        self.cure + self.station + self.kept_apart + self.gear + self.nothing
    }
}

/// What a person does at a station; within the measured time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct TimeAtStation {
    pub setting_up: Span,
    /// Running, tearing down and taking off.
    pub running: Span,
    /// Seeing to what has worn or filled up.
    pub servicing: Span,
}

/// What somebody who is idle waits for; of several, the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Cause {
    Station,
    Cure,
    KeptApart,
    Gear,
}

/// People who can do the same see the same.
#[derive(Debug, Clone)]
struct Class {
    /// By operation.
    can: Arc<[bool]>,
    /// By need: whether they could do something for lots that have it.
    helps: Arc<[bool]>,
    /// They stand side by side in the crew.
    people: Range<usize>,
    /// What cures and they can go on with.
    cures: Vec<CureNow>,
    /// What whoever is idle waits for, and since when they have as far as it has not been added up yet.
    waits: Option<(Cause, Time)>,
}

#[derive(Debug, Clone)]
struct PersonSoFar {
    /// From here on they are idle, as far as is known.
    until: Time,
    /// By cause, within the measured time.
    waited: [Span; 4],
    hands_on: Span,
}

impl PersonSoFar {
    const IDLE: PersonSoFar = PersonSoFar {
        until: Time::START,
        waited: [Span::ZERO; 4],
        hands_on: Span::ZERO,
    };

    /// Has waited from an instant on, and while idle, if there at all; only the measured time counts.
    #[inline]
    fn add_wait(
        &mut self,
        (cause, since): (Cause, Time),
        end: Time,
        measured: Time,
        hours: &Option<WeeklyTimes>,
    ) {
        let since = since.max(self.until).max(measured);
        if since < end {
            self.waited[cause as usize] += match hours {
                Some(hours) => hours.part_of(since, end),
                None => end - since,
            };
        }
    }
}

/// A lot cures.
#[derive(Debug, Clone, Copy)]
struct CureNow {
    start: Time,
    end: Time,
}

#[derive(Debug, Clone)]
pub(super) struct People {
    time: MeasuredTime,
    classes: Vec<Class>,
    /// By class.
    crew: Vec<PersonSoFar>,
    /// Where each person stands in the crew.
    place: Arc<[usize]>,
    /// Of which class who stands there is.
    class_of: Arc<[usize]>,
    /// When they are there, by class; None if always.
    hours: Arc<[Option<WeeklyTimes>]>,
    /// Where somebody stands who was idle when that was last asked.
    seen_idle: usize,
    /// By person and station: `worked_at[person * stations + station]`.
    worked_at: Vec<TimeAtStation>,
    stations: usize,
    /// When the first of the cures ends that people of any class can go on with.
    first_cured: Option<Time>,
    /// Whether there is a class of whom some may wait.
    somebody_may_wait: bool,
}

impl People {
    pub fn new(shop: &Shop, needs: &Needs, time: MeasuredTime) -> People {
        let mut people_of: Vec<(Vec<bool>, Vec<usize>)> = Vec::new();
        for (number, person) in shop.crew.iter().enumerate() {
            let can: Vec<bool> = (shop.operations.ids())
                .map(|operation| person.can_do(operation))
                .collect();
            match people_of.iter_mut().find(|(known, _)| *known == can) {
                Some((_, people)) => people.push(number),
                None => people_of.push((can, vec![number])),
            }
        }
        let (crew, stations) = (shop.crew.len(), shop.stations.len());
        let mut place = vec![0; crew];
        let mut hours = vec![None; crew];
        let mut class_of = vec![0; crew];
        let mut beyond = 0;
        let mut classes: Vec<Class> = Vec::new();
        for (can, people) in people_of {
            let first = beyond;
            for number in people {
                place[number] = beyond;
                class_of[beyond] = classes.len();
                hours[beyond] = shop.crew[PersonId(number as u32)].hours.clone();
                beyond += 1;
            }
            let helps = needs.all().iter();
            classes.push(Class {
                helps: helps
                    .map(|need| need.needs_somebody && can[need.operation.index()])
                    .collect(),
                can: can.into(),
                people: first..beyond,
                cures: Vec::new(),
                waits: None,
            });
        }
        People {
            time,
            classes,
            first_cured: None,
            somebody_may_wait: false,
            crew: vec![PersonSoFar::IDLE; crew],
            place: place.into(),
            class_of: class_of.into(),
            hours: hours.into(),
            seen_idle: 0,
            worked_at: vec![TimeAtStation::default(); crew * stations],
            stations,
        }
    }

    /// The start of another run.
    pub fn begin(&mut self) {
        self.crew.fill(PersonSoFar::IDLE);
        self.worked_at.fill(TimeAtStation::default());
        for class in &mut self.classes {
            class.cures.clear();
            class.waits = None;
        }
        self.somebody_may_wait = false;
        self.first_cured = None;
    }

    /// Somebody walks or handles something, and is not idle before the end.
    #[inline]
    pub fn fetches(&mut self, person: PersonId, now: Time, start: Time, end: Time) {
        let hands_on = match self.time.contains(start, end) {
            true => end - start,
            false => self.time.part_of(start, end),
        };
        self.is_busy(person, now, end).hands_on += hands_on;
    }

    /// Somebody is not idle from now on until an instant.
    #[inline]
    fn is_busy(&mut self, person: PersonId, now: Time, end: Time) -> &mut PersonSoFar {
        let place = self.place[person.index()];
        let person = &mut self.crew[place];
        if self.somebody_may_wait
            && person.until < now
            && let Some(waits) = self.classes[self.class_of[place]].waits
        {
            person.add_wait(waits, now, self.time.from(), &self.hours[place]);
        }
        person.until = person.until.max(end);
        person
    }

    /// Somebody works.
    #[inline]
    pub fn works(&mut self, person: PersonId, now: Time, task: &TaskTimes) {
        let (mut begins, mut set_up, mut ends) = (task.begins, task.set_up, task.ends);
        if !self.time.contains(begins, ends) {
            [begins, set_up, ends] = [begins, set_up, ends].map(|at| self.time.cut(at));
        }
        let at = &mut self.worked_at[person.index() * self.stations + task.station.index()];
        at.setting_up += set_up - begins;
        at.running += ends - set_up;
        self.is_busy(person, now, task.ends).hands_on += ends - begins;
    }

    /// Somebody stands still within what is told next.
    pub fn interrupted(&mut self, person: PersonId, within: Doing, start: Time, end: Time) {
        let span = self.time.part_of(start, end);
        self.crew[self.place[person.index()]].hands_on -= span;
        if let Doing::Work { phase, at } = within {
            let at = &mut self.worked_at[person.index() * self.stations + at.index()];
            match phase {
                WorkPhase::Setup => at.setting_up -= span,
                WorkPhase::Service => at.servicing -= span,
                WorkPhase::Run | WorkPhase::Teardown | WorkPhase::TakeOff => at.running -= span,
            }
        }
    }

    /// Somebody sees to upkeep within a run, for which others wait.
    pub fn stopped(&mut self, times: &StopTimes, server: PersonId, others: &[PersonId]) {
        let all = self.time.part_of(times.start, times.end);
        let at = |person: PersonId| person.index() * self.stations + times.station.index();
        for &other in others {
            self.worked_at[at(other)].running -= all;
            self.crew[self.place[other.index()]].hands_on -= all;
        }
        // What they fetch is told by itself.
        let of_server = &mut self.worked_at[at(server)];
        of_server.running -= all;
        of_server.servicing += self.time.part_of(times.served_from, times.end);
    }

    /// Somebody takes off what a cure has tied up.
    pub fn takes_off(&mut self, person: PersonId, now: Time, times: &TakeOffTimes) {
        let works = self.time.part_of(times.begins, times.ends);
        let at = &mut self.worked_at[person.index() * self.stations + times.station.index()];
        at.running += works;
        self.is_busy(person, now, times.ends).hands_on += works;
    }

    /// Something cures, and with what follows people can go on.
    pub fn cure(
        &mut self,
        now: Time,
        followers: impl Iterator<Item = Follower> + Clone,
        start: Time,
        end: Time,
    ) {
        self.forget_cures(now);
        for class in &mut self.classes {
            let mut all = followers.clone();
            if all.any(|follower| class.goes_on_with(follower)) {
                class.cures.push(CureNow { start, end });
                self.first_cured = Some(self.first_cured.map_or(end, |first| first.min(end)));
            }
        }
    }

    /// Forgets what has cured.
    #[inline]
    pub fn forget_cures(&mut self, now: Time) {
        if self.first_cured.is_some_and(|first| first <= now) {
            for class in &mut self.classes {
                class.cures.retain(|cure| cure.end > now);
            }
            let cures = self.classes.iter().flat_map(|class| &class.cures);
            self.first_cured = cures.map(|cure| cure.end).min();
        }
    }

    /// From when on somebody is idle, as far as is known: the earliest instant, or any that is not behind `now`.
    #[inline]
    pub fn idle_from(&mut self, now: Time) -> Time {
        if let Some(seen) = self.crew.get(self.seen_idle)
            && seen.until <= now
        {
            return seen.until;
        }
        let mut earliest = Time::NEVER;
        for (place, person) in self.crew.iter().enumerate() {
            if person.until < earliest {
                (earliest, self.seen_idle) = (person.until, place);
                if earliest <= now {
                    break;
                }
            }
        }
        earliest
    }

    /// Whether something cures with which anybody can go on.
    #[inline]
    pub fn is_curing(&self) -> bool {
        self.first_cured.is_some()
    }

    /// From an instant on, whoever is idle waits for what lots wait for then. Returns until when they do, as far as is
    /// known.
    #[inline]
    pub fn wait_from(&mut self, at: Time, needs: &Needs) -> Time {
        let mut until = Time::NEVER;
        for nth in 0..self.classes.len() {
            let (cause, same_until) = self.classes[nth].cause(at, needs);
            until = until.min(same_until);
            if cause != self.classes[nth].waits.map(|(cause, _)| cause) {
                self.wait_no_more(nth, at);
                self.classes[nth].waits = cause.map(|cause| (cause, at));
                self.somebody_may_wait |= cause.is_some();
            }
        }
        until
    }

    /// From an instant on there is nothing to wait for.
    #[inline]
    pub fn wait_for_nothing(&mut self, at: Time) {
        if self.somebody_may_wait {
            (0..self.classes.len()).for_each(|nth| self.wait_no_more(nth, at));
            self.somebody_may_wait = false;
        }
    }

    /// Up to an instant, people of a class have waited for the same while they were idle.
    fn wait_no_more(&mut self, class: usize, at: Time) {
        let class = &mut self.classes[class];
        if let Some(waits) = class.waits.take() {
            for place in class.people.clone() {
                self.crew[place].add_wait(waits, at, self.time.from(), &self.hours[place]);
            }
        }
    }

    /// What each person did at each station: `[person * stations + station]`.
    pub fn worked_at(&self) -> &[TimeAtStation] {
        &self.worked_at
    }

    /// What came of it in a run that ends now.
    pub fn found(&self, end: Time) -> Vec<IdleTime> {
        let measured = self.time.part_of(self.time.from(), end);
        let people = self.place.iter().map(|&place| {
            let person = &self.crew[place];
            let [station, cure, kept_apart, gear] = person.waited;
            let from = self.time.from();
            let there = match &self.hours[place] {
                Some(hours) => hours.part_of(from, from + measured),
                None => measured,
            };
            IdleTime {
                cure,
                station,
                kept_apart,
                gear,
                nothing: there - person.hands_on - cure - station - kept_apart - gear,
                away: measured - there,
            }
        });
        people.collect()
    }
}

impl Class {
    /// Why somebody of the class is idle at an instant, and until when for the same, as far as is known.
    #[inline]
    fn cause(&self, at: Time, needs: &Needs) -> (Option<Cause>, Time) {
        let (mut first, mut until) = (None, Time::NEVER);
        for number in needs.waiting() {
            if !self.helps[number] {
                continue;
            }
            let need = &needs.all()[number];
            until = until.min(needs.same_until(need, at));
            let cause = match needs.short(need, at) {
                None => continue,
                // A station all of whose units cure is not seen: the cure is.
                Some(Short::Station) if needs.all_units_cure(need, at) => Cause::Cure,
                Some(Short::Station) => return (Some(Cause::Station), until),
                Some(Short::KeptApart) => Cause::KeptApart,
                Some(Short::Gear) => Cause::Gear,
            };
            first = Some(first.map_or(cause, |first: Cause| first.min(cause)));
        }
        for &CureNow { start, end } in &self.cures {
            if at < start {
                until = until.min(start);
            } else if at < end {
                until = until.min(end);
                first = Some(Cause::Cure);
            }
        }
        (first, until)
    }

    /// Whether somebody of the class could do what follows.
    fn goes_on_with(&self, follower: Follower) -> bool {
        match follower {
            Follower::Operation(operation) => self.can[operation.index()],
            Follower::Delivery => true,
            Follower::Nobody => false,
        }
    }
}
