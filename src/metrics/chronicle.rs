//! Puts what is told ahead into the order of time.
//!
//! The engine tells all phases of a task when the task is chosen, so they lie in the future. The chronicle keeps what
//! is still to come and tells its witness of every beginning and every end when it is due. It is the one place in
//! which that is kept, and in which what lies beyond the end of the run is cut off.

use std::sync::Arc;

use super::due::Due;
use crate::engine::{Doing, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder, TaskTimes};
use crate::shop::{GearId, PersonId, Shop, StationId};
use crate::units::Time;

/// What a person, or a unit of a station, is to those who wait for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occupation {
    /// In no task.
    Free,
    /// In a task, with nothing to do: a unit that is reserved, a person who waits for others.
    Held,
    /// Walking, handling or working; set up, running or torn down.
    Active,
    /// Of a unit, tied up by a cure.
    Curing,
}

impl Occupation {
    fn of(doing: Doing) -> Occupation {
        match doing {
            Doing::Reserved => Occupation::Held,
            Doing::Cure => Occupation::Curing,
            Doing::Walk { .. } | Doing::Handle { .. } | Doing::Work { .. } | Doing::Taken => {
                Occupation::Active
            }
        }
    }

    /// Whether it does something, as opposed to waiting.
    #[inline]
    pub fn is_active(self) -> bool {
        matches!(self, Occupation::Active | Occupation::Curing)
    }
}

/// From one occupation to another.
#[derive(Debug, Clone, Copy)]
pub struct OccupationChange {
    pub was: Occupation,
    pub is: Occupation,
    pub at: Time,
}

/// All that is known of a task when it is chosen; the instants lie in the future.
#[derive(Debug, Clone, Copy)]
pub struct PlannedTask {
    pub job: Job,
    pub chosen: Time,
    /// The end of the last walk or handling.
    pub brought: Time,
    /// None for a delivery.
    pub work: Option<TaskTimes>,
    /// The end of the lot's cure, if it has one.
    pub cured: Option<Time>,
}

/// Hears what happens in the order of time. Nothing is heard of what begins after the end of the run.
pub trait Witness {
    /// Whether it hears every phase, by [`begins`](Self::begins) and [`ends`](Self::ends).
    const PHASES: bool;
    /// Whether it hears of people, units, gear and cures; phases of one occupation that follow each other are one.
    const OCCUPATIONS: bool;

    /// A phase begins, now; it belongs to a task.
    fn begins(&mut self, _phase: &Phase, _job: &Job) {}
    /// A phase ends, or the run does while it lasts.
    fn ends(&mut self, _phase: &Phase, _job: &Job, _now: Time) {}

    fn person(&mut self, _person: PersonId, _turn: OccupationChange) {}
    fn unit(&mut self, _station: StationId, _turn: OccupationChange) {}
    fn gear_taken(&mut self, _gear: GearId, _amount: u32, _now: Time) {}
    fn gear_back(&mut self, _gear: GearId, _amount: u32, _now: Time) {}
    /// A lot begins to cure, at its station or set aside.
    fn cure_begins(&mut self, _now: Time) {}
    fn cure_ends(&mut self, _now: Time) {}

    /// A task was chosen.
    fn task(&mut self, _job: &Job, _now: Time) {}
    /// The same task, as it is planned, with the people who do the work.
    fn planned(&mut self, _task: &PlannedTask, _workers: &[PersonId]) {}
    fn ready(&mut self, _job: &Job, _now: Time) {}
    fn queued(&mut self, _station: StationId, _now: Time) {}
    fn unqueued(&mut self, _station: StationId, _since: Time, _now: Time) {}
    fn released(&mut self, _order: &OrderReleased) {}
    fn done(&mut self, _order: &OrderDone) {}
    fn end(&mut self, _now: Time) {}
}

/// What happens later.
#[derive(Debug, Clone, Copy)]
enum Change {
    /// A person or a unit, by number.
    Turns(u32, Occupation),
    /// A person or a unit is free, and with it those that are linked to it.
    Free(u32),
    GearTaken(GearId, u32),
    GearBack(GearId, u32),
    CureBegins,
    CureEnds,
    /// A phase that is kept, by its place.
    Begins(u32),
    Ends(u32),
}

/// A person or a unit, as far as has been told.
#[derive(Debug, Clone, Copy)]
struct Occupant {
    now: Occupation,
    /// What it does at last in the task that is being told; free if it takes no part in it.
    last: Occupation,
    /// The end of that; never, if it is not certain.
    until: Time,
    /// Who is free at the same instant, of those in one task; no number if nobody is.
    next: u32,
}

/// The number of nobody.
const NOBODY: u32 = u32::MAX;

/// Tells a witness what happens, in the order of time.
#[derive(Debug, Clone)]
pub struct Chronicle<W> {
    witness: W,
    now: Time,
    due: Due<Change>,
    /// People, then the units of all stations.
    occupants: Vec<Occupant>,
    people: usize,
    /// The number of a station's first unit.
    first_unit: Arc<[u32]>,
    /// The station of each unit.
    station_of: Arc<[StationId]>,
    /// The task that is being told.
    task: Option<PlannedTask>,
    brought: Time,
    cured: Option<Time>,
    /// What its phases are about, for a witness who hears them.
    job: Option<Job>,
    workers: Vec<PersonId>,
    /// Who takes part in it.
    occupied: Vec<u32>,
    /// Phases that have not ended, for a witness who hears them; and free places among them.
    phases: Vec<(Phase, Job)>,
    free: Vec<u32>,
    /// Those that have begun and of which the end is not certain.
    open: Vec<u32>,
}

impl<W: Witness> Chronicle<W> {
    pub fn new(shop: &Shop, witness: W) -> Chronicle<W> {
        let units = shop.stations.iter().map(|station| station.count);
        Chronicle::of(shop.crew.len(), units, witness)
    }

    /// Of so many people, and so many units of each station.
    fn of(people: usize, units: impl Iterator<Item = u32>, witness: W) -> Chronicle<W> {
        let (mut first_unit, mut station_of) = (Vec::new(), Vec::new());
        for (station, count) in units.enumerate() {
            first_unit.push((people + station_of.len()) as u32);
            station_of.extend((0..count).map(|_| StationId(station as u32)));
        }
        let nobody = Occupant {
            now: Occupation::Free,
            last: Occupation::Free,
            until: Time::START,
            next: NOBODY,
        };
        Chronicle {
            witness,
            now: Time::START,
            due: Due::new(),
            occupants: vec![nobody; people + station_of.len()],
            people,
            first_unit: first_unit.into(),
            station_of: station_of.into(),
            task: None,
            brought: Time::START,
            cured: None,
            job: None,
            workers: Vec::new(),
            occupied: Vec::new(),
            phases: Vec::new(),
            free: Vec::new(),
            open: Vec::new(),
        }
    }

    pub fn witness(&self) -> &W {
        &self.witness
    }

    pub fn into_witness(self) -> W {
        self.witness
    }

    /// How much is kept of what is still to come.
    pub fn held(&self) -> usize {
        self.due.len() + self.phases.len() - self.free.len()
    }

    /// Goes on to an instant, and tells what is due up to it.
    #[inline]
    fn pass(&mut self, now: Time) {
        self.now = now;
        while let Some((at, change)) = self.due.pop_until(now) {
            self.tell(change, at);
        }
    }

    #[inline]
    fn tell(&mut self, change: Change, at: Time) {
        match change {
            Change::Turns(occupant, is) => self.turn(occupant as usize, is, at),
            Change::Free(first) => {
                let mut number = first;
                while number != NOBODY {
                    let next = self.occupants[number as usize].next;
                    self.turn(number as usize, Occupation::Free, at);
                    number = next;
                }
            }
            Change::GearTaken(gear, amount) => self.witness.gear_taken(gear, amount, at),
            Change::GearBack(gear, amount) => self.witness.gear_back(gear, amount, at),
            Change::CureBegins => self.witness.cure_begins(at),
            Change::CureEnds => self.witness.cure_ends(at),
            Change::Begins(place) if W::PHASES => self.tell_beginning(place),
            Change::Ends(place) if W::PHASES => self.tell_end(place, at),
            Change::Begins(_) | Change::Ends(_) => {}
        }
    }

    fn tell_beginning(&mut self, place: u32) {
        let (phase, job) = &self.phases[place as usize];
        self.witness.begins(phase, job);
        match phase.end {
            Some(end) => self.due.push(end, Change::Ends(place)),
            None => self.open.push(place),
        }
    }

    fn tell_end(&mut self, place: u32, at: Time) {
        let (phase, job) = &self.phases[place as usize];
        self.witness.ends(phase, job, at);
        self.free.push(place);
    }

    #[inline]
    fn turn(&mut self, number: usize, is: Occupation, at: Time) {
        let occupant = &mut self.occupants[number];
        let turn = OccupationChange {
            was: occupant.now,
            is,
            at,
        };
        occupant.now = is;
        if number < self.people {
            self.witness.person(PersonId(number as u32), turn);
        } else {
            self.witness
                .unit(self.station_of[number - self.people], turn);
        }
    }

    /// Tells a change, now or when it is due.
    #[inline]
    fn plan(&mut self, at: Time, change: Change) {
        if at <= self.now {
            self.tell(change, at);
        } else {
            self.due.push(at, change);
        }
    }

    /// A person or a unit does something from `start` to `end`. Its phases are told one after the other, and mostly go
    /// on with what it does.
    #[inline(always)]
    fn occupy(&mut self, number: u32, is: Occupation, start: Time, end: Time) {
        let occupant = &mut self.occupants[number as usize];
        if occupant.last == is && start == occupant.until {
            occupant.until = end;
        } else {
            self.change_occupation(number, is, start, end);
        }
    }

    fn change_occupation(&mut self, number: u32, is: Occupation, start: Time, end: Time) {
        let occupant = &mut self.occupants[number as usize];
        let last = occupant.last;
        let since = match last {
            Occupation::Free => self.now,
            _ => occupant.until,
        };
        if end <= since {
            return;
        }
        // Who does what takes no time waits for the others until then all the same.
        let is = if end > start { is } else { Occupation::Held };
        (occupant.last, occupant.until) = (is, end);
        if last == Occupation::Free {
            self.occupied.push(number);
        }
        let mut before = last;
        if start > since && last != Occupation::Held {
            self.plan_turn(number, Occupation::Held, since);
            before = Occupation::Held;
        }
        if is != before {
            self.plan_turn(number, is, start);
        }
    }

    /// Turns somebody or something, now or when it is due.
    #[inline]
    fn plan_turn(&mut self, number: u32, is: Occupation, at: Time) {
        if at <= self.now {
            self.turn(number as usize, is, at);
        } else {
            self.due.push(at, Change::Turns(number, is));
        }
    }

    fn keep(&mut self, phase: &Phase) {
        let Some(job) = self.job else {
            return;
        };
        let place = match self.free.pop() {
            Some(place) => {
                self.phases[place as usize] = (*phase, job);
                place
            }
            None => {
                self.phases.push((*phase, job));
                (self.phases.len() - 1) as u32
            }
        };
        self.plan(phase.start, Change::Begins(place));
    }

    #[inline]
    fn number(&self, of: Occupied) -> Option<u32> {
        match of {
            Occupied::Person(person) => Some(person.0),
            Occupied::Unit(station, unit) => Some(self.first_unit[station.index()] + unit),
            Occupied::SetAside(_) | Occupied::Gear(..) => None,
        }
    }
}

impl<W: Witness> Recorder for Chronicle<W> {
    #[inline]
    fn task(&mut self, job: &Job, now: Time) {
        self.pass(now);
        self.witness.task(job, now);
        if W::PHASES {
            self.job = Some(*job);
        }
        self.workers.clear();
        (self.brought, self.cured) = (now, None);
        self.task = Some(PlannedTask {
            job: *job,
            chosen: now,
            brought: now,
            work: None,
            cured: None,
        });
    }

    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        if W::PHASES {
            self.keep(phase);
        }
        if !W::OCCUPATIONS {
            return;
        }
        let (start, end) = (phase.start, phase.end.unwrap_or(Time::NEVER));
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } => self.brought = self.brought.max(end),
            Doing::Cure => self.cured = Some(end),
            Doing::Reserved | Doing::Work { .. } | Doing::Taken => {}
        }
        match phase.of {
            Occupied::Person(person) => self.occupy(person.0, Occupation::Active, start, end),
            Occupied::Unit(station, unit) => {
                let number = self.first_unit[station.index()] + unit;
                self.occupy(number, Occupation::of(phase.doing), start, end);
            }
            Occupied::Gear(gear, amount) if end > start => {
                self.plan(start, Change::GearTaken(gear, amount));
                self.plan(end, Change::GearBack(gear, amount));
            }
            Occupied::Gear(..) | Occupied::SetAside(_) => {}
        }
        if phase.doing == Doing::Cure && end > start {
            self.plan(start, Change::CureBegins);
            self.plan(end, Change::CureEnds);
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.pass(now);
        if let Some(nth) =
            (self.open.iter()).position(|&place| self.phases[place as usize].0.of == of)
        {
            let place = self.open.remove(nth);
            self.tell(Change::Ends(place), now);
        }
        if let Some(number) = self.number(of).filter(|_| W::OCCUPATIONS) {
            self.occupants[number as usize].last = Occupation::Free;
            self.turn(number as usize, Occupation::Free, now);
        }
    }

    #[inline]
    fn work(&mut self, work: &TaskTimes, workers: impl Iterator<Item = PersonId> + Clone) {
        if W::PHASES {
            for phase in work.phases() {
                self.keep(&phase);
                if matches!(phase.doing, Doing::Work { .. }) {
                    for person in workers.clone() {
                        self.keep(&Phase {
                            of: Occupied::Person(person),
                            ..phase
                        });
                    }
                }
            }
        }
        if W::OCCUPATIONS {
            if let Some(task) = &mut self.task {
                task.work = Some(*work);
            }
            let unit = self.first_unit[work.station.index()] + work.unit;
            self.occupy(unit, Occupation::Held, work.chosen, work.begins);
            self.occupy(unit, Occupation::Active, work.begins, work.ends);
            for person in workers {
                self.workers.push(person);
                self.occupy(person.0, Occupation::Active, work.begins, work.ends);
            }
        }
    }

    #[inline]
    fn told(&mut self) {
        // Those who are free at one instant are told together.
        let (mut first, mut until) = (NOBODY, Time::NEVER);
        while let Some(number) = self.occupied.pop() {
            let occupant = &mut self.occupants[number as usize];
            if occupant.until == Time::NEVER {
                continue;
            }
            occupant.last = Occupation::Free;
            let is_other = occupant.until != until;
            occupant.next = if is_other { NOBODY } else { first };
            let this = occupant.until;
            if is_other && first != NOBODY {
                self.plan(until, Change::Free(first));
            }
            (first, until) = (number, this);
        }
        if first != NOBODY {
            self.plan(until, Change::Free(first));
        }
        if let Some(task) = &mut self.task {
            (task.brought, task.cured) = (self.brought, self.cured);
            self.witness.planned(task, &self.workers);
        }
        self.task = None;
    }

    #[inline]
    fn ready(&mut self, job: &Job, now: Time) {
        self.pass(now);
        self.witness.ready(job, now);
    }

    #[inline]
    fn queued(&mut self, station: StationId, now: Time) {
        self.pass(now);
        self.witness.queued(station, now);
    }

    #[inline]
    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.pass(now);
        self.witness.unqueued(station, since, now);
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.pass(order.released);
        self.witness.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.pass(order.done);
        self.witness.done(order);
    }

    fn end(&mut self, now: Time) {
        self.pass(now);
        while let Some((_, change)) = self.due.pop_until(Time::NEVER) {
            if let Change::Ends(_) = change {
                self.tell(change, now);
            }
        }
        for place in std::mem::take(&mut self.open) {
            self.tell(Change::Ends(place), now);
        }
        self.witness.end(now);
    }
}

/// Two witnesses of the same; each hears what it asks for.
impl<A: Witness, B: Witness> Witness for (A, B) {
    const PHASES: bool = A::PHASES || B::PHASES;
    const OCCUPATIONS: bool = A::OCCUPATIONS || B::OCCUPATIONS;

    fn begins(&mut self, phase: &Phase, job: &Job) {
        if A::PHASES {
            self.0.begins(phase, job);
        }
        if B::PHASES {
            self.1.begins(phase, job);
        }
    }

    fn ends(&mut self, phase: &Phase, job: &Job, now: Time) {
        if A::PHASES {
            self.0.ends(phase, job, now);
        }
        if B::PHASES {
            self.1.ends(phase, job, now);
        }
    }

    #[inline]
    fn person(&mut self, person: PersonId, turn: OccupationChange) {
        self.0.person(person, turn);
        self.1.person(person, turn);
    }

    #[inline]
    fn unit(&mut self, station: StationId, turn: OccupationChange) {
        self.0.unit(station, turn);
        self.1.unit(station, turn);
    }

    fn gear_taken(&mut self, gear: GearId, amount: u32, now: Time) {
        self.0.gear_taken(gear, amount, now);
        self.1.gear_taken(gear, amount, now);
    }

    fn gear_back(&mut self, gear: GearId, amount: u32, now: Time) {
        self.0.gear_back(gear, amount, now);
        self.1.gear_back(gear, amount, now);
    }

    fn cure_begins(&mut self, now: Time) {
        self.0.cure_begins(now);
        self.1.cure_begins(now);
    }

    fn cure_ends(&mut self, now: Time) {
        self.0.cure_ends(now);
        self.1.cure_ends(now);
    }

    #[inline]
    fn task(&mut self, job: &Job, now: Time) {
        self.0.task(job, now);
        self.1.task(job, now);
    }

    #[inline]
    fn planned(&mut self, task: &PlannedTask, workers: &[PersonId]) {
        self.0.planned(task, workers);
        self.1.planned(task, workers);
    }

    #[inline]
    fn ready(&mut self, job: &Job, now: Time) {
        self.0.ready(job, now);
        self.1.ready(job, now);
    }

    #[inline]
    fn queued(&mut self, station: StationId, now: Time) {
        self.0.queued(station, now);
        self.1.queued(station, now);
    }

    #[inline]
    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.0.unqueued(station, since, now);
        self.1.unqueued(station, since, now);
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.0.released(order);
        self.1.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.0.done(order);
        self.1.done(order);
    }

    fn end(&mut self, now: Time) {
        self.0.end(now);
        self.1.end(now);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::WorkPhase;
    use crate::shop::{ItemId, OperationId, ProjectId};

    /// Writes down what it hears.
    #[derive(Default)]
    struct Heard(Vec<(String, i64)>);

    impl Witness for Heard {
        const PHASES: bool = true;
        const OCCUPATIONS: bool = true;

        fn begins(&mut self, phase: &Phase, _: &Job) {
            let what = format!("{:?} begins", phase.doing);
            self.0.push((what, phase.start.micros()));
        }

        fn ends(&mut self, phase: &Phase, _: &Job, now: Time) {
            self.0
                .push((format!("{:?} ends", phase.doing), now.micros()));
        }

        fn unit(&mut self, _: StationId, turn: OccupationChange) {
            let what = format!("{:?} to {:?}", turn.was, turn.is);
            self.0.push((what, turn.at.micros()));
        }
    }

    /// A unit is reserved from 2 to 5, works, and then stays seized until something makes room for its lot, at 20.
    fn told(end: i64, closed: Option<i64>) -> Vec<(String, i64)> {
        let at = Time::from_micros;
        let station = StationId(0);
        let mut chronicle = Chronicle::of(0, [1].into_iter(), Heard::default());
        let job = Job {
            project: ProjectId(0),
            order: 0,
            item: ItemId(0),
            batch: 0,
            pieces: 1,
            operation: Some(OperationId(0)),
            step: 0,
            lot_slot: 0,
            order_slot: 0,
        };
        chronicle.task(&job, at(2));
        let phase = |doing, start, end| Phase {
            of: Occupied::Unit(station, 0),
            doing,
            start: at(start),
            end,
        };
        let work = Doing::Work {
            phase: WorkPhase::Run,
            at: station,
        };
        chronicle.phase(&phase(Doing::Reserved, 2, Some(at(5))));
        chronicle.phase(&phase(work, 5, Some(at(9))));
        chronicle.phase(&phase(Doing::Reserved, 9, None));
        chronicle.told();
        if let Some(closed) = closed {
            chronicle.ends(Occupied::Unit(station, 0), at(closed));
        }
        chronicle.end(at(end));
        chronicle.into_witness().0
    }

    #[test]
    fn a_phase_without_an_end_lasts_until_it_is_closed() {
        let heard = told(30, Some(20));
        let run = "Work { phase: Run, at: StationId(0) }";
        let expected = [
            ("Reserved begins", 2),
            ("Free to Held", 2),
            ("Reserved ends", 5),
            (&format!("{run} begins"), 5),
            ("Held to Active", 5),
            (&format!("{run} ends"), 9),
            ("Reserved begins", 9),
            ("Active to Held", 9),
            ("Reserved ends", 20),
            ("Held to Free", 20),
        ];
        let mut expected: Vec<(String, i64)> = (expected.iter())
            .map(|&(what, at)| (what.to_owned(), at))
            .collect();
        let mut sorted = heard.clone();
        sorted.sort_by_key(|&(_, at)| at);
        assert_eq!(sorted, heard, "told in the order of time");
        // What falls on one instant may come in any order.
        let (mut heard, by) = (heard, |one: &(String, i64)| (one.1, one.0.clone()));
        heard.sort_by_key(by);
        expected.sort_by_key(by);
        assert_eq!(heard, expected);
    }

    #[test]
    fn the_end_of_the_run_cuts_what_lasts_and_what_is_still_to_come() {
        let last = |heard: Vec<(String, i64)>| heard.last().cloned();
        let open = last(told(15, None));
        assert_eq!(open, Some(("Reserved ends".to_owned(), 15)));
        let early = told(4, None);
        assert_eq!(last(early.clone()), Some(("Reserved ends".to_owned(), 4)));
        assert_eq!(early.len(), 3, "{early:?}");
    }
}
