//! What holds up a shop in which one person does everything in turn, and what is waited for there.
//!
//! Such a shop plays one task at a time, and nothing in it overlaps but the waiting. So nothing has to be put into the
//! order of time: every task is looked at once, as a whole, and what [`Bottlenecks`](super::Bottlenecks) and
//! [`Waits`](super::Waits) find of it comes to this:
//!
//! - The person is active from the choice of a task to its end. That covers whatever a station does meanwhile, so the
//!   person is the only bottleneck of each of these periods, unless one station was active over all of it: of periods
//!   of equal length the station's counts.
//! - Of a station with several units one is left all the time, and gear is not in use.
//! - A lot that is ready waits for its station while the station's only unit is taken, and otherwise for the person.
//! - The person is idle only where no lot waits: there is nothing to do.

use std::sync::Arc;

use super::active::Active;
use super::counted::Counted;
use super::measured::MeasuredTime;
use super::record::Record;
use super::waits::{IdleTime, LotTimes, Lots, TimeAtStation, Waited};
use crate::engine::{
    Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder, TaskTimes,
    Workers,
};
use crate::shop::{Shop, StationId};
use crate::units::{Moment, Span, Time};

/// Diagnoses a replication of a shop that is played [in turn](crate::engine::Prepared::is_in_turn), and of no other.
/// What the totals add up too is taken from them.
#[derive(Debug, Clone)]
pub struct SinglePersonDiagnosis {
    time: MeasuredTime,
    stations: Vec<StationSoFar>,
    person: Active,
    /// The last periods in which the person and a station were active, as far as they are known.
    person_active: BusyStretch,
    station_active: (StationId, BusyStretch),
    /// The period of a station before that, which is the last one if the run ends before the other begins.
    station_before: (StationId, BusyStretch),
    /// The station whose only unit the last task takes, and until when.
    taken: (StationId, Time),
    lots: Lots,
    /// By slot of a lot: how long its station's only unit had been taken when it became ready.
    taken_when_ready: Vec<Span>,
    /// The slot of the lot that has become ready last.
    ready_lot: usize,
    /// Since when the lot that was chosen last had been ready, and the slots of it and of its order.
    ready_since: Time,
    lot: usize,
    order: u32,
    /// The group of the person.
    group: Arc<str>,
    kinds_of_gear: usize,
}

#[derive(Debug, Clone, Copy)]
struct StationSoFar {
    has_one_unit: bool,
    /// How long that unit has been reserved or worked, up to the end of the last task.
    taken: Span,
    active: Active,
}

#[derive(Debug, Clone, Copy)]
struct BusyStretch {
    start: Time,
    end: Time,
}

impl BusyStretch {
    const NONE: BusyStretch = BusyStretch {
        start: Time::START,
        end: Time::START,
    };

    /// What is measured of it.
    fn length(self, time: MeasuredTime) -> Option<Span> {
        let start = time.cut(self.start);
        (self.end > start).then(|| self.end - start)
    }
}

impl Active {
    fn add_period(&mut self, length: Span) {
        self.active += length;
        self.periods += 1;
    }
}

impl SinglePersonDiagnosis {
    /// Only the time behind the warm-up is seen.
    pub fn new(shop: &Shop, warm_up: Span) -> SinglePersonDiagnosis {
        let time = MeasuredTime::new(&shop.calendar, warm_up, None);
        let stations = shop.stations.iter().map(|station| StationSoFar {
            has_one_unit: station.count == 1,
            taken: Span::ZERO,
            active: Active::default(),
        });
        let group = shop.crew.iter().next().map_or("", |person| &person.group);
        SinglePersonDiagnosis {
            time,
            stations: stations.collect(),
            person: Active::default(),
            person_active: BusyStretch::NONE,
            station_active: (StationId(0), BusyStretch::NONE),
            station_before: (StationId(0), BusyStretch::NONE),
            taken: (StationId(0), Time::START),
            lots: Lots::new(shop, warm_up),
            taken_when_ready: Vec::new(),
            ready_lot: 0,
            ready_since: Time::START,
            lot: 0,
            order: 0,
            group: group.into(),
            kinds_of_gear: shop.gear.len(),
        }
    }

    /// The start of another run, in the memory of one that has ended. Slots are filled before they are read.
    pub fn begin(&mut self) {
        for station in &mut self.stations {
            (station.taken, station.active) = (Span::ZERO, Active::default());
        }
        self.person = Active::default();
        self.person_active = BusyStretch::NONE;
        self.station_active = (StationId(0), BusyStretch::NONE);
        self.station_before = self.station_active;
        self.taken = (StationId(0), Time::START);
        self.lots.begin();
    }

    /// What was found of a run that has ended, and of which these are the totals.
    pub fn found(&self, record: &Record) -> (Counted<Active>, Waited) {
        let bottlenecks = Counted {
            stations: self.stations.iter().map(|of| of.active).collect(),
            people: vec![(self.group.clone(), self.person)],
            gear: vec![Active::default(); self.kinds_of_gear],
        };
        let crew = vec![IdleTime {
            nothing: record.measured() - self.person.active,
            ..IdleTime::default()
        }];
        let worked_at = record.stations.iter().map(|of| TimeAtStation {
            setting_up: of.setup,
            running: of.running,
            ..TimeAtStation::default()
        });
        let waited = Waited {
            lead_times: self.lots.found(),
            crew,
            worked_at: worked_at.collect(),
        };
        (bottlenecks, waited)
    }

    /// A task goes on with what the person and the station did, or begins anew.
    #[inline]
    fn follow(&mut self, task: &TaskTimes) {
        if task.ends > task.chosen {
            if task.chosen > self.person_active.end {
                self.close_person();
                self.person_active.start = task.chosen;
            }
            self.person_active.end = task.ends;
        }
        if task.ends > task.begins {
            let (station, active) = &mut self.station_active;
            if *station != task.station || task.begins > active.end {
                self.close_station();
                self.station_before = self.station_active;
                self.station_active.0 = task.station;
                self.station_active.1.start = task.begins;
            }
            self.station_active.1.end = task.ends;
        }
    }

    /// A period of the person is over; those of stations within it are known.
    #[inline]
    fn close_person(&mut self) {
        let Some(length) = self.person_active.length(self.time) else {
            return;
        };
        self.person.add_period(length);
        let (station, of_station) = self.station_active;
        let is_as_long = of_station.end == self.person_active.end
            && of_station.length(self.time) == Some(length);
        let station = &mut self.stations[station.index()];
        match is_as_long && station.has_one_unit {
            true => station.active.sole += length,
            false => self.person.sole += length,
        }
    }

    #[inline]
    fn close_station(&mut self) {
        let (station, active) = self.station_active;
        let station = &mut self.stations[station.index()];
        if let Some(length) = active.length(self.time).filter(|_| station.has_one_unit) {
            station.active.add_period(length);
        }
    }
}

impl Recorder for SinglePersonDiagnosis {
    #[inline]
    fn task(&mut self, job: &Job, _now: Time) {
        (self.lot, self.order) = (job.lot_slot as usize, job.order_slot);
    }

    /// Tasks are taken as a whole, and there is no other phase.
    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } | Doing::Reserved => {}
            Doing::Work { .. } | Doing::Cure | Doing::Blocked | Doing::Serviced | Doing::Taken => {}
            Doing::LeftStanding => {}
        }
    }

    #[inline(always)]
    fn ends(&mut self, _of: Occupied, _now: Time) {}

    #[inline(always)]
    fn interrupted(&mut self, _interruption: &Interruption) {}

    #[inline]
    fn work(&mut self, task: &TaskTimes, _workers: Workers<'_>) {
        let station = &mut self.stations[task.station.index()];
        let waited = task.chosen - self.ready_since;
        let mut waited_station = Span::ZERO;
        if station.has_one_unit {
            waited_station = station.taken - self.taken_when_ready[self.lot];
            station.taken += task.ends - task.chosen;
            self.taken = (task.station, task.ends);
        }
        let times = LotTimes {
            worked: task.ends - task.begins,
            carried: task.begins - task.chosen,
            waited_station,
            waited_person: waited - waited_station,
            ..LotTimes::default()
        };
        self.lots.spend_leaf(self.order, &times);
        self.follow(task);
    }

    #[inline]
    fn ready(&mut self, job: &Job, _now: Time, _moment: Moment) {
        self.ready_lot = job.lot_slot as usize;
    }

    /// The lot that has just become ready joins the only queue in which it waits.
    #[inline]
    fn queued(&mut self, station: StationId, now: Time) {
        let mut taken = self.stations[station.index()].taken;
        let (of, until) = self.taken;
        if of == station && until > now {
            taken -= until - now;
        }
        if self.ready_lot >= self.taken_when_ready.len() {
            self.taken_when_ready.resize(self.ready_lot + 1, Span::ZERO);
        }
        self.taken_when_ready[self.ready_lot] = taken;
    }

    #[inline]
    fn unqueued(&mut self, _station: StationId, since: Time, _now: Time) {
        self.ready_since = since;
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.lots.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.lots.done(order);
    }

    /// The last task may end later, and its work begin later.
    fn end(&mut self, now: Time, _moment: Moment) {
        self.person_active.end = self.person_active.end.min(now);
        let (_, of_station) = &mut self.station_active;
        if of_station.start < now {
            of_station.end = of_station.end.min(now);
            self.close_station();
        } else {
            self.station_active = self.station_before;
        }
        self.close_person();
    }
}
