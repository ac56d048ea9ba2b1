//! The totals of one replication over its measured time; whole microseconds and nanometres, so they add up exactly.

use crate::floor::Manner;
use crate::shop::{PersonId, PlaceId, ProjectId};
use crate::statistics::Histogram;
use crate::units::{Length, Moment, Span, Time};

/// The measured time runs from `from` to `end`, in shop time; phases are cut to it.
#[derive(Debug, Clone)]
pub struct Record {
    pub from: Time,
    pub end: Time,
    /// When the shop first opens, or an order may come before: from then on the run is counted.
    pub begins: Moment,
    /// What is measured, on the calendar, on which orders are released and done.
    pub on_calendar: (Moment, Moment),
    pub stations: Vec<StationTotals>,
    pub crew: Vec<PersonTotals>,
    pub gear: Vec<GearTotals>,
    pub projects: Vec<ProjectTotals>,
    /// By order line.
    pub lines: Vec<LineTotals>,
    pub places: usize,
    /// Distances that ended, by manner and pair of places: `trips[(manner * places + from) * places + to]`. Where there is no
    /// cart it ends before those that are pushed.
    pub trips: Vec<u64>,
    /// Metres of the same walks.
    pub walked: [Length; 3],
    /// Orders released and not done, times microseconds of the calendar.
    pub in_process: i128,
    /// The same of each third of the measured time; None without a horizon.
    pub in_process_by_third: Option<[i128; 3]>,
    /// Tasks that were interrupted though they should not be.
    pub forced: u64,
    /// Lots that were put on the floor beside the unit that they blocked, since nothing else could go on.
    pub put_aside: u64,
}

/// Of all units of a station together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StationTotals {
    pub reserved: Span,
    /// While something that has worn or filled up is seen to.
    pub serviced: Span,
    /// With a lot in it that has not left, on which nobody works.
    pub blocked: Span,
    /// With a lot in it, while its people are away or it must not be run.
    pub left_standing: Span,
    pub setup: Span,
    /// With tear-down, and with taking off what a cure has tied the unit up with.
    pub running: Span,
    pub curing: Span,
    /// Lots in the queue times microseconds.
    pub queue: i128,
    pub queue_max: i64,
    /// Time in the queue of the lots that joined it in the measured time, up to the end.
    pub waited: Span,
    /// Those lots.
    pub waits: u64,
    /// Runs that ended.
    pub lots: u64,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct PersonTotals {
    pub walking: Span,
    pub handling: Span,
    pub working: Span,
    /// While the shop is open.
    pub away: Span,
    /// By station.
    pub working_at: Vec<Span>,
    pub walked: [Length; 3],
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct GearTotals {
    /// Pieces taken times microseconds.
    pub taken: i128,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct ProjectTotals {
    pub orders_done: u64,
    /// What these orders are of, where several are built together as one.
    pub built: u64,
    /// Orders that came.
    pub released: u64,
    /// Microseconds of the calendar, summed over the orders done.
    pub lead_time: i128,
    /// Of each order done, in microseconds.
    pub lead_times: Histogram,
    /// Summed over the orders done: for how much of the lead time the shop was shut, in microseconds, and the sessions
    /// with working time between release and done.
    pub while_shut: i128,
    pub sessions: u64,
    /// Of each order done, where the shop keeps hours: those sessions.
    pub session_counts: Histogram,
    pub walked: Length,
    pub hands_on: Span,
}

/// The orders of one line, in the whole run, whatever of it is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineTotals {
    pub project: ProjectId,
    pub released: u64,
    pub done: u64,
    /// When the last of those was done.
    pub last_done: Moment,
}

impl LineTotals {
    pub fn new(project: ProjectId) -> LineTotals {
        LineTotals {
            project,
            released: 0,
            done: 0,
            last_done: Moment::START,
        }
    }

    /// When the last one was done; None as long as one that was released is not, and before any is.
    pub fn all_done(&self) -> Option<Moment> {
        (self.done > 0 && self.done == self.released).then_some(self.last_done)
    }
}

impl ProjectTotals {
    /// The lead times without the time in which the shop was shut, in microseconds, summed over the orders done.
    pub fn in_shop_time(&self) -> i128 {
        self.lead_time - self.while_shut
    }
}

impl Record {
    /// From the first opening, or an order before it, to the end of the run.
    pub fn makespan(&self) -> Span {
        let (_, end) = self.on_calendar;
        if end > self.begins {
            end - self.begins
        } else {
            Span::ZERO
        }
    }

    /// Length of the measured time on the calendar.
    pub fn measured_on_calendar(&self) -> Span {
        let (from, end) = self.on_calendar;
        if end > from { end - from } else { Span::ZERO }
    }

    /// Length of the measured time.
    pub fn measured(&self) -> Span {
        if self.end > self.from {
            self.end - self.from
        } else {
            Span::ZERO
        }
    }

    pub fn walking(&self) -> Length {
        self.walked.iter().copied().sum()
    }

    pub fn orders_done(&self) -> u64 {
        self.projects
            .iter()
            .map(|project| project.orders_done)
            .sum()
    }

    /// Mean of done minus release over the orders done, in seconds; None without one.
    pub fn mean_lead_time(&self) -> Option<f64> {
        let done = self.orders_done();
        let sum: i128 = self.projects.iter().map(|project| project.lead_time).sum();
        (done > 0).then(|| sum as f64 / 1e6 / done as f64)
    }

    /// Of the orders done, their mean shop time from release to done in seconds, and the sessions in that time; None
    /// without one.
    pub fn mean_hours(&self) -> Option<OrderHours> {
        OrderHours::of(&self.projects)
    }

    /// Working, handling and walking of all people.
    pub fn hands_on(&self) -> Span {
        self.crew.iter().map(PersonTotals::hands_on).sum()
    }

    pub fn trips(&self, manner: Manner, from: PlaceId, to: PlaceId) -> u64 {
        let pair = (manner as usize * self.places + from.index()) * self.places + to.index();
        self.trips.get(pair).copied().unwrap_or(0)
    }

    /// What is left of the time in which a person is there.
    pub fn waiting(&self, person: PersonId) -> Span {
        let person = &self.crew[person.index()];
        self.measured() - person.away - person.hands_on()
    }
}

/// How long an order was in the shop while that was open, and in how many sessions; a mean over orders.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OrderHours {
    /// Seconds of shop time from release to done.
    pub in_shop_time: f64,
    /// Sessions with working time between release and done.
    pub sessions: f64,
}

impl OrderHours {
    /// Of the orders of these projects that were done; None without one.
    pub fn of(projects: &[ProjectTotals]) -> Option<OrderHours> {
        let done: u64 = projects.iter().map(|project| project.orders_done).sum();
        let time: i128 = projects.iter().map(ProjectTotals::in_shop_time).sum();
        let sessions: u64 = projects.iter().map(|project| project.sessions).sum();
        (done > 0).then(|| OrderHours {
            in_shop_time: time as f64 / 1e6 / done as f64,
            sessions: sessions as f64 / done as f64,
        })
    }
}

impl PersonTotals {
    pub fn hands_on(&self) -> Span {
        self.walking + self.handling + self.working
    }
}

impl StationTotals {
    /// Running, setting up, curing, and being seen to: what the active-period method calls active.
    pub fn busy(&self) -> Span {
        self.running + self.setup + self.curing + self.serviced
    }

    /// What is left of the units' time.
    pub fn idle(&self, measured: Span, count: u32) -> Span {
        let held_up = self.reserved + self.blocked + self.left_standing;
        measured * i64::from(count) - self.busy() - held_up
    }
}
