//! The recorder that only keeps totals: its memory does not grow with the run.

mod interruptions;

use std::marker::PhantomData;

use super::level::TimeWeightedLevel;
use super::measured::{Cut, Measured, MeasuredTime, Whole};
use super::record::{GearTotals, LineTotals, PersonTotals, ProjectTotals, Record, StationTotals};
use super::thirds::Thirds;
use crate::engine::{
    CureTimes, Doing, Handling, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase,
    Recorder, StopKind, StopTimes, TakeOffTimes, TaskTimes, Walk, Workers,
};
use crate::floor::Manner;
use crate::shop::{GearId, PersonId, PlaceId, Shop, StationId, WeeklyTimes};
use crate::units::{Length, Moment, Span, Time};

/// In how many manners people walk: nothing is pushed where there is no cart, and that is the last manner.
fn manners(shop: &Shop) -> usize {
    match shop.handling.carts {
        Some(_) => Manner::ALL.len(),
        None => Manner::Pushing as usize,
    }
}

/// Adds up one run, or what is measured of it.
#[derive(Debug)]
pub struct Totals<M = Cut> {
    time: MeasuredTime,
    calendar: MeasuredTime<Moment>,
    /// What the present task is for.
    project: usize,
    record: Record,
    /// Pairs of places.
    pairs: usize,
    queues: Vec<StationQueue>,
    in_process: TimeWeightedLevel<Moment>,
    thirds: Thirds,
    /// What people did, by person and project: `work_for[person * projects + project]`.
    work_for: Vec<WorkFor>,
    /// Working time by person and station: `working_at[person * stations + station]`.
    working_at: Vec<Span>,
    /// Whether sessions are counted.
    keeps_hours: bool,
    /// Units that are blocked and gear that is kept, and since when.
    open: Vec<(Occupied, Time)>,
    /// When people are there who have hours of their own.
    hours: Vec<(usize, WeeklyTimes)>,
    part: PhantomData<M>,
}

/// What a person did for a project.
#[derive(Debug, Clone, Copy, Default)]
struct WorkFor {
    walked: [Length; 3],
    walking: Span,
    handling: Span,
    working: Span,
}

/// The lots that wait for a station.
#[derive(Debug, Clone, Copy)]
struct StationQueue {
    lots: TimeWeightedLevel,
    /// Lots that joined in the measured time.
    waits: u64,
    /// Lots in the queue that joined before. Their waits do not count, but their presence does.
    early: i64,
    /// The area under the level that is theirs, once they have left.
    of_early: i128,
}

impl Totals {
    /// Of the time from the end of the warm-up to the horizon.
    pub fn new(shop: &Shop, places: usize, warm_up: Span, until: Option<Moment>) -> Totals {
        Totals::measured(shop, places, warm_up, until)
    }
}

impl Totals<Whole> {
    /// Of a run without warm-up and horizon.
    pub fn of_whole_run(shop: &Shop, places: usize) -> Totals<Whole> {
        Totals::measured(shop, places, Span::ZERO, None)
    }
}

impl<M: Measured> Totals<M> {
    fn measured(shop: &Shop, places: usize, warm_up: Span, until: Option<Moment>) -> Totals<M> {
        let begins = shop.begins();
        let calendar = MeasuredTime::on_calendar(begins, warm_up, until);
        let time = MeasuredTime::new(&shop.calendar, warm_up, until);
        let from = time.from();
        let stations = shop.stations.len();
        let queue = StationQueue {
            lots: TimeWeightedLevel::measured_from(from),
            waits: 0,
            early: 0,
            of_early: 0,
        };
        Totals {
            time,
            calendar,
            project: 0,
            pairs: places * places,
            queues: vec![queue; stations],
            in_process: TimeWeightedLevel::measured_from(calendar.from()),
            thirds: Thirds::new(calendar.from(), until),
            keeps_hours: !shop.calendar.is_always_open(),
            work_for: vec![WorkFor::default(); shop.crew.len() * shop.projects.len()],
            working_at: vec![Span::ZERO; shop.crew.len() * stations],
            open: Vec::new(),
            hours: interruptions::own_hours(shop),
            part: PhantomData,
            record: Record {
                from,
                end: Time::START,
                begins,
                on_calendar: (calendar.from(), begins),
                stations: vec![StationTotals::default(); stations],
                crew: vec![PersonTotals::default(); shop.crew.len()],
                gear: vec![GearTotals::default(); shop.gear.len()],
                projects: vec![ProjectTotals::default(); shop.projects.len()],
                lines: (shop.orders.iter())
                    .map(|line| LineTotals::new(line.project))
                    .collect(),
                places,
                trips: vec![0; manners(shop) * places * places],
                walked: [Length::ZERO; 3],
                in_process: 0,
                in_process_by_third: None,
                forced: 0,
                put_aside: 0,
            },
        }
    }

    /// The record of a run that has ended.
    pub fn into_record(self) -> Record {
        self.record
    }

    #[inline]
    fn is_measured(&self, start: Time, end: Time) -> bool {
        !M::CUTS || self.time.contains(start, end)
    }

    #[inline(always)]
    fn work_of(&mut self, person: PersonId) -> &mut WorkFor {
        let projects = self.record.projects.len();
        &mut self.work_for[person.index() * projects + self.project]
    }

    /// The part of a phase that lies in the measured time.
    #[inline]
    fn part_of(&self, start: Time, end: Time) -> Span {
        if self.is_measured(start, end) {
            end - start
        } else {
            self.time.part_of(start, end)
        }
    }

    /// A unit is blocked or gear kept, from now on or for some time.
    #[cold]
    fn held_from(&mut self, phase: &Phase) {
        match phase.end {
            Some(end) => self.held(phase.of, phase.start, end),
            None => self.open.push((phase.of, phase.start)),
        }
    }

    /// A unit is reserved while it is rolled in; all else that is reserved is told with its task.
    #[cold]
    fn rolled_in(&mut self, phase: &Phase) {
        if let (Occupied::Unit(station, _), Some(end)) = (phase.of, phase.end) {
            let span = self.part_of(phase.start, end);
            self.record.stations[station.index()].reserved += span;
        }
    }

    fn held(&mut self, of: Occupied, start: Time, end: Time) {
        let span = self.part_of(start, end);
        match of {
            Occupied::Unit(station, _) => self.record.stations[station.index()].blocked += span,
            Occupied::Gear(gear, amount) => self.gear_taken(gear, amount, span),
            Occupied::Person(_) | Occupied::SetAside(_) => {}
        }
    }

    fn gear_taken(&mut self, gear: GearId, amount: u32, span: Span) {
        self.record.gear[gear.index()].taken += i128::from(amount) * i128::from(span.micros());
    }

    /// The sums over people and projects.
    fn add_up_people(&mut self) {
        let (stations, projects) = (self.queues.len(), self.record.projects.len());
        for (index, person) in self.record.crew.iter_mut().enumerate() {
            person.working_at = self.working_at[index * stations..(index + 1) * stations].to_vec();
            let work_for = &self.work_for[index * projects..(index + 1) * projects];
            for (work, project) in work_for.iter().zip(&mut self.record.projects) {
                for (sum, &walked) in person.walked.iter_mut().zip(&work.walked) {
                    *sum += walked;
                    project.walked += walked;
                }
                person.walking += work.walking;
                person.handling += work.handling;
                person.working += work.working;
                project.hands_on += work.walking + work.handling + work.working;
            }
        }
    }
}

impl<M: Measured> Recorder for Totals<M> {
    #[inline(always)]
    fn task(&mut self, job: &Job, _now: Time) {
        self.project = job.project.index();
    }

    /// Tasks are taken as a whole, and there is no other phase.
    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } => {}
            Doing::Work { .. } | Doing::Cure => {}
            Doing::Serviced | Doing::LeftStanding => {}
            Doing::Reserved => self.rolled_in(phase),
            Doing::Blocked | Doing::Taken => self.held_from(phase),
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        if let Some(nth) = self.open.iter().position(|&(held, _)| held == of) {
            let (_, since) = self.open.swap_remove(nth);
            self.held(of, since, now);
        }
    }

    fn interrupted(&mut self, interruption: &Interruption) {
        self.take_out(interruption);
    }

    fn stopped(&mut self, times: &StopTimes, server: PersonId, others: &[PersonId]) {
        let stations = self.queues.len();
        let all = self.part_of(times.start, times.end);
        let station = &mut self.record.stations[times.station.index()];
        if times.kind == StopKind::Upkeep {
            station.running -= all;
            station.serviced += all;
        }
        // What they fetch is told by itself.
        let fetching = self.part_of(times.start, times.served_from);
        for (person, span) in others
            .iter()
            .map(|&other| (other, all))
            .chain([(server, fetching)])
        {
            self.working_at[person.index() * stations + times.station.index()] -= span;
            self.work_of(person).working -= span;
        }
    }

    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        let &TakeOffTimes {
            station,
            unit,
            chosen,
            begins,
            ends,
        } = times;
        let works = self.part_of(begins, ends);
        if unit.is_some() {
            let walked_to = self.part_of(chosen, begins);
            let of = &mut self.record.stations[station.index()];
            of.blocked += walked_to;
            of.running += works;
        }
        let stations = self.queues.len();
        self.working_at[person.index() * stations + station.index()] += works;
        self.work_of(person).working += works;
    }

    #[inline(always)]
    fn walk(&mut self, walk: &Walk) {
        // The metres of a walk count if it ends in the measured time, the time as far as it lies within.
        let (mut span, mut distance, mut trips) = (walk.end - walk.start, walk.distance, 1);
        if !self.is_measured(walk.start, walk.end) {
            span = self.part_of(walk.start, walk.end);
            if !self.is_measured(walk.end, walk.end) {
                (distance, trips) = (Length::ZERO, 0);
            }
        }
        let manner = walk.manner as usize;
        let person = self.work_of(walk.person);
        person.walking += span;
        person.walked[manner] += distance;
        self.record.trips[manner * self.pairs + walk.pair] += trips;
    }

    #[inline]
    fn handling(
        &mut self,
        person: PersonId,
        _what: Handling,
        _at: PlaceId,
        start: Time,
        end: Time,
    ) {
        let span = self.part_of(start, end);
        self.work_of(person).handling += span;
    }

    #[inline(always)]
    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        let (mut now, mut runs) = (*work, 1);
        if !self.is_measured(work.chosen, work.ends) {
            for at in [
                &mut now.chosen,
                &mut now.begins,
                &mut now.set_up,
                &mut now.ends,
            ] {
                *at = self.time.cut(*at);
            }
            runs = u64::from(self.is_measured(work.ends, work.ends));
        }
        let station = &mut self.record.stations[work.station.index()];
        station.reserved += now.begins - now.chosen;
        station.setup += now.set_up - now.begins;
        station.running += now.ends - now.set_up;
        station.lots += runs;
        let stations = self.queues.len();
        let hands_on = now.ends - now.begins;
        for person in workers {
            self.working_at[person.index() * stations + work.station.index()] += hands_on;
            self.work_of(person).working += hands_on;
        }
    }

    fn forced(&mut self, _job: &Job, now: Time) {
        self.record.forced += u64::from(self.is_measured(now, now));
    }

    fn put_aside(&mut self, _job: &Job, now: Time) {
        self.record.put_aside += u64::from(self.is_measured(now, now));
    }

    fn cure(&mut self, cure: &CureTimes) {
        if cure.unit.is_some() {
            let span = self.part_of(cure.start, cure.end);
            self.record.stations[cure.station.index()].curing += span;
        }
    }

    fn gear(
        &mut self,
        gear: GearId,
        amount: u32,
        (start, end): (Time, Time),
        _moments: (Moment, Moment),
    ) {
        self.gear_taken(gear, amount, self.part_of(start, end));
    }

    #[inline(always)]
    fn queued(&mut self, station: StationId, now: Time) {
        let queue = &mut self.queues[station.index()];
        queue.lots.rise(now);
        if !M::CUTS || now >= self.time.from() {
            queue.waits += 1;
        } else {
            queue.early += 1;
        }
    }

    #[inline(always)]
    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        let queue = &mut self.queues[station.index()];
        queue.lots.fall(now);
        if M::CUTS && since < self.time.from() {
            queue.early -= 1;
            queue.of_early += i128::from((now.max(self.time.from()) - self.time.from()).micros());
        }
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        if M::CUTS {
            self.thirds.pass(order.released, &mut self.in_process);
        }
        self.in_process.rise(order.released);
        self.record.lines[order.line.index()].released += 1;
        let is_measured = !M::CUTS || self.calendar.contains(order.released, order.released);
        self.record.projects[order.project.index()].released += u64::from(is_measured);
    }

    #[inline(always)]
    fn done(&mut self, order: &OrderDone) {
        if M::CUTS {
            self.thirds.pass(order.done, &mut self.in_process);
        }
        self.in_process.fall(order.done);
        let line = &mut self.record.lines[order.line.index()];
        line.done += 1;
        line.last_done = order.done;
        if !M::CUTS || self.calendar.contains(order.done, order.done) {
            let lead_time = (order.done - order.released).micros();
            let project = &mut self.record.projects[order.project.index()];
            project.orders_done += 1;
            project.built += u64::from(order.together);
            project.lead_time += i128::from(lead_time);
            project.lead_times.record(lead_time);
            project.while_shut += i128::from(order.while_shut.micros());
            project.sessions += order.sessions;
            if self.keeps_hours {
                project.session_counts.record(order.sessions as i64);
            }
        }
    }

    fn end(&mut self, now: Time, moment: Moment) {
        for (of, since) in std::mem::take(&mut self.open) {
            self.held(of, since, now);
        }
        self.record.end = now;
        self.record.on_calendar.1 = moment;
        self.thirds.pass(moment, &mut self.in_process);
        self.in_process.settle(moment);
        self.record.in_process = self.in_process.area();
        self.record.in_process_by_third = self.thirds.of(self.record.in_process);
        self.count_away();
        self.add_up_people();
        for (manner, walked) in self.record.walked.iter_mut().enumerate() {
            *walked = self.record.crew.iter().map(|one| one.walked[manner]).sum();
        }
        let measured = (now.max(self.time.from()) - self.time.from()).micros();
        for (station, queue) in self.record.stations.iter_mut().zip(&mut self.queues) {
            queue.lots.settle(now);
            station.queue = queue.lots.area();
            station.queue_max = queue.lots.max();
            station.waits = queue.waits;
            let of_early = queue.of_early + i128::from(queue.early) * i128::from(measured);
            station.waited = Span::from_micros((queue.lots.area() - of_early) as i64);
        }
    }
}
