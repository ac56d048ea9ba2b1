//! The recorder that only keeps totals: its memory does not grow with the run.

use super::record::{OfGear, OfPerson, OfProject, OfStation, Record};
use crate::engine::{Job, OrderDone, PersonState, Recorder, StationState, Walk, WorkPhase};
use crate::shop::{GearId, PersonId, PlaceId, ProjectId, Shop, StationId};
use crate::statistics::Histogram;
use crate::units::{Length, Span, Time};

/// Adds up one run, cut to the time from the end of the warm-up to the horizon.
#[derive(Debug)]
pub struct Totals {
    from: Time,
    /// Phases beyond it are cut; later than any phase if the run ends with its last order.
    until: Time,
    project: usize,
    record: Record,
    levels: Vec<Level>,
    in_process: Level,
}

/// A number that changes in time.
#[derive(Debug, Clone, Copy, Default)]
struct Level {
    now: i64,
    since: i64,
    area: i128,
    max: i64,
    /// Waits that began in the measured time, and those of them that are over.
    waits: u64,
    waits_over: u64,
    /// The sum of the instants at which they ended less those at which they began. It may leave its range on the
    /// way, but the sum of the lengths does not, and what wraps round comes back exactly.
    waited: i64,
}

impl Level {
    #[inline]
    fn change(&mut self, at: Time, by: i64, from: Time) {
        self.settle(at, from);
        self.now += by;
    }

    /// A level that lasted no time within the measured time counts for nothing, also as a maximum.
    #[inline]
    fn settle(&mut self, at: Time, from: Time) {
        let begin = self.since.max(from.micros());
        if at.micros() > begin {
            self.area += i128::from(self.now) * i128::from(at.micros() - begin);
            self.max = self.max.max(self.now);
        }
        self.since = at.micros();
    }
}

impl Totals {
    pub fn new(shop: &Shop, places: usize, warm_up: Span, until: Option<Time>) -> Totals {
        let stations = shop.stations.len();
        let person = OfPerson {
            working_at: vec![Span::ZERO; stations],
            ..OfPerson::default()
        };
        Totals {
            from: Time::START + warm_up,
            until: until.unwrap_or(Time::NEVER),
            project: 0,
            levels: vec![Level::default(); stations],
            in_process: Level::default(),
            record: Record {
                from: Time::START + warm_up,
                end: Time::START,
                stations: vec![OfStation::default(); stations],
                crew: vec![person; shop.crew.len()],
                gear: vec![OfGear::default(); shop.gear.len()],
                projects: vec![OfProject::default(); shop.projects.len()],
                places,
                trips: vec![0; 3 * places * places],
                walked: [Length::ZERO; 3],
                lead_times: Histogram::new(),
                in_process: 0,
            },
        }
    }

    /// The record of a run that has ended.
    pub fn into_record(self) -> Record {
        self.record
    }

    /// The part of a phase that lies in the measured time.
    #[inline]
    fn cut(&self, start: Time, end: Time) -> Span {
        if start >= self.from && end <= self.until {
            return end - start;
        }
        let (start, end) = (start.max(self.from), end.min(self.until));
        if end > start { end - start } else { Span::ZERO }
    }

    #[inline]
    fn is_measured(&self, at: Time) -> bool {
        at >= self.from && at <= self.until
    }
}

impl Recorder for Totals {
    #[inline]
    fn task(&mut self, job: &Job, _now: Time) {
        self.project = job.project.index();
    }

    #[inline(always)]
    fn walk(&mut self, walk: &Walk) {
        let person = &mut self.record.crew[walk.person.index()];
        let project = &mut self.record.projects[self.project];
        let mut end = walk.end;
        // The metres of a walk count if it ends in the measured time, the time as far as it lies within.
        if end >= self.from && end <= self.until {
            let manner = walk.manner as usize;
            person.walked[manner] += walk.distance;
            project.walked += walk.distance;
            let places = self.record.places;
            self.record.trips[(manner * places + walk.from.index()) * places + walk.to.index()] +=
                1;
        } else {
            end = end.min(self.until);
        }
        let start = walk.start.max(self.from);
        if end > start {
            person.walking += end - start;
            project.hands_on += end - start;
        }
    }

    #[inline]
    fn person(
        &mut self,
        person: PersonId,
        state: PersonState,
        at: PlaceId,
        start: Time,
        end: Time,
    ) {
        let span = self.cut(start, end);
        let person = &mut self.record.crew[person.index()];
        self.record.projects[self.project].hands_on += span;
        match state {
            PersonState::Handling(_) => person.handling += span,
            PersonState::Working(_) => {
                person.working += span;
                person.working_at[at.index()] += span;
            }
        }
    }

    #[inline]
    fn station(
        &mut self,
        station: StationId,
        _unit: u32,
        state: StationState,
        start: Time,
        end: Time,
    ) {
        let span = self.cut(start, end);
        let station = &mut self.record.stations[station.index()];
        match state {
            StationState::Reserved => station.reserved += span,
            StationState::Working(WorkPhase::Setup) => station.setup += span,
            StationState::Working(WorkPhase::Run | WorkPhase::Teardown) => station.running += span,
            StationState::Curing => station.curing += span,
        }
    }

    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        let span = self.cut(start, end);
        self.record.gear[gear.index()].taken += i128::from(amount) * i128::from(span.micros());
    }

    #[inline]
    fn lot_run(&mut self, station: StationId, end: Time) {
        self.record.stations[station.index()].lots += u64::from(self.is_measured(end));
    }

    #[inline]
    fn queued(&mut self, station: StationId, now: Time) {
        let level = &mut self.levels[station.index()];
        level.change(now, 1, self.from);
        // A wait counts if it begins in the measured time: its length is its end less its beginning.
        if now >= self.from {
            level.waits += 1;
            level.waited = level.waited.wrapping_sub(now.micros());
        }
    }

    #[inline]
    fn unqueued(&mut self, station: StationId, waited: Span, now: Time) {
        let level = &mut self.levels[station.index()];
        level.change(now, -1, self.from);
        if now - (Time::START + waited) >= self.from - Time::START {
            level.waits_over += 1;
            level.waited = level.waited.wrapping_add(now.micros());
        }
    }

    #[inline]
    fn released(&mut self, _project: ProjectId, _order: u64, now: Time) {
        self.in_process.change(now, 1, self.from);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.in_process.change(order.done, -1, self.from);
        if self.is_measured(order.done) {
            let lead_time = (order.done - order.released).micros();
            let project = &mut self.record.projects[order.project.index()];
            project.orders_done += 1;
            project.lead_time += i128::from(lead_time);
            self.record.lead_times.record(lead_time);
        }
    }

    fn end(&mut self, now: Time) {
        self.record.end = now;
        self.in_process.settle(now, self.from);
        self.record.in_process = self.in_process.area;
        for (manner, walked) in self.record.walked.iter_mut().enumerate() {
            *walked = self.record.crew.iter().map(|one| one.walked[manner]).sum();
        }
        for (station, level) in self.record.stations.iter_mut().zip(&mut self.levels) {
            level.settle(now, self.from);
            station.queue = level.area;
            station.queue_max = level.max;
            station.waits = level.waits;
            let open = (level.waits - level.waits_over) as i64;
            let waited = level.waited.wrapping_add(open.wrapping_mul(now.micros()));
            station.waited = Span::from_micros(waited);
        }
    }
}
