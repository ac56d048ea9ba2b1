//! What was found: estimates of every candidate and the differences between them. Seconds and metres.

use crate::floor::Manner;
use crate::metrics::{LeadTimeComponents, OrderHours};
use crate::shop::{Calendar, Date, PlaceId};
use crate::statistics::{Estimate, Histogram, IntervalMethod, Selection};

use super::{
    Comparison, DustFindings, HeatFindings, LightFindings, NoiseFindings, PowerFindings, Units,
};
use crate::units::Moment;

/// Everything that tables, charts and files show.
#[derive(Debug, Clone)]
pub struct Findings {
    pub title: String,
    pub units: Units,
    pub seed: u64,
    pub replications: u32,
    /// So many of them, the first ones, were diagnosed: shares as the bottleneck, what lead times go into and what
    /// people wait for come from those alone, and add up among themselves.
    pub diagnosed: u32,
    pub confidence: f64,
    /// Whether anything varies at all; if not, one replication says everything.
    pub varies: bool,
    /// Whether runs end at a horizon, so that orders may be left undone.
    pub horizon: bool,
    /// Whether the wanted precision was reached, where one was asked for.
    pub precision_reached: Option<bool>,
    /// Whether there are enough replications for skewed figures, where their number was left to the program.
    pub suffices: Option<bool>,
    /// How the intervals are made.
    pub intervals: IntervalMethod,
    pub candidates: Vec<CandidateFindings>,
    /// Every candidate but the base against the base, in order.
    pub comparisons: Vec<Comparison>,
    /// Which candidates may walk least, and which may have the shortest lead time; None where there is one candidate
    /// alone, or where some replication finished no order.
    pub walks_least: Option<Selection>,
    pub soonest: Option<Selection>,
    /// Which candidates may have the shortest lead time of each project that all of them build; empty where there are
    /// not several projects.
    pub soonest_by_project: Vec<ProjectSelection>,
}

/// Which candidates may finish orders of one project soonest.
#[derive(Debug, Clone)]
pub struct ProjectSelection {
    pub name: String,
    /// None where some replication finished no order of it in some candidate.
    pub soonest: Option<Selection>,
}

impl Findings {
    /// Whether orders of more than one project are done in some candidate. Such orders have no lead time in common.
    pub fn has_several_projects(&self) -> bool {
        (self.candidates.iter()).any(CandidateFindings::builds_several_projects)
    }

    /// Those of one candidate, which is compared with nothing.
    pub(super) fn of_one(&self, candidate: usize) -> Findings {
        Findings {
            title: self.title.clone(),
            candidates: vec![self.candidates[candidate].clone()],
            comparisons: Vec::new(),
            walks_least: None,
            soonest: None,
            soonest_by_project: Vec::new(),
            ..*self
        }
    }
}

/// One candidate. Figures without an interval are means over the replications.
///
/// The number of replications does not wait for throughput, work in process, queues and waits: where it is left to the
/// program and does not suffice for one of them, that one has no interval.
#[derive(Debug, Clone)]
pub struct CandidateFindings {
    pub name: String,
    pub walking: Estimate,
    pub walked: WalkedMetres,
    pub walking_per_order: Option<f64>,
    /// None when no order was done in the measured time of any replication.
    pub lead_time: Option<Estimate>,
    /// Of all orders of all replications, in microseconds.
    pub lead_times: Histogram,
    pub makespan: Estimate,
    pub hands_on: f64,
    pub orders_done: f64,
    /// How many are built together in an order, on average over those that are done.
    pub built_per_order: f64,
    /// Lots that were put on the floor beside the unit that they blocked, in a replication.
    pub put_aside: f64,
    /// Mean length of the measured time in seconds, of which shares of time are taken.
    pub measured: f64,
    pub throughput_per_hour: Estimate,
    /// Orders that come.
    pub released_per_hour: f64,
    /// Orders released and not done, on average over time.
    pub work_in_process: Estimate,
    /// The same in each third of the measured time; None without a horizon.
    pub in_process_by_third: Option<[f64; 3]>,
    /// Where orders come faster than they are built: what is in use all the time. Lead time then only says how long the
    /// measured time is.
    pub overload: Option<Vec<Resource>>,
    /// Where orders come as fast as they can be built, so that their number does not settle in the measured time: what is
    /// in use all the time. Lead time then depends on how long that is.
    pub at_capacity: Option<Vec<Resource>>,
    pub projects: Vec<ProjectFindings>,
    pub stations: Vec<StationFindings>,
    pub gear: Vec<GearFindings>,
    pub crew: Vec<PersonFindings>,
    /// Legs that were walked, in the order of places and manners.
    pub legs: Vec<Leg>,
    /// Of the first replications alone, as many as show the ways by which a layout is checked.
    pub checked_legs: Vec<Leg>,
    pub bottleneck: Option<Resource>,
    /// Of a shop that keeps hours.
    pub hours: Option<CandidateHours>,
    /// Of the lines of the orders that somebody wants by some day.
    pub in_time: Vec<InTime>,
    /// Where somebody says something of current.
    pub power: Option<PowerFindings>,
    /// By collector of which somebody says what it can do.
    pub dust: Vec<DustFindings>,
    /// Where somebody says how cold it is outdoors.
    pub heat: Option<HeatFindings>,
    /// Where somebody says something of light.
    pub light: Option<LightFindings>,
    /// Where somebody says something of noise.
    pub noise: Option<NoiseFindings>,
}

/// In how many runs all of one line of the orders is done by a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct InTime {
    pub project: String,
    /// From 1, in the file's order.
    pub line: usize,
    /// None where that follows from chance.
    pub orders: Option<u64>,
    pub by: Moment,
    /// The day on which a run begins.
    pub starts: Option<Date>,
    pub met: u64,
    pub runs: u64,
    /// Of the share; None where nothing varies.
    pub interval: Option<(f64, f64)>,
}

impl InTime {
    pub fn share(&self) -> f64 {
        self.met as f64 / self.runs as f64
    }
}

/// What a shop that keeps hours has besides.
#[derive(Debug, Clone, PartialEq)]
pub struct CandidateHours {
    pub calendar: Calendar,
    /// The day on which a run begins.
    pub starts: Option<Date>,
    /// Seconds that are measured on the calendar; the other figures say how much of them is shop time.
    pub measured_on_calendar: f64,
    /// Tasks in a replication that were interrupted though they should not be.
    pub forced: f64,
    /// None where no order was done.
    pub per_order: Option<OrderSessions>,
    /// When all orders are done; None where they are not all there from the start, or some are never done.
    pub all_done: Option<Completion>,
}

/// What orders take in a shop that keeps hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderSessions {
    pub mean: OrderHours,
    /// Sessions that half of all orders do not exceed, and that nine in ten do not.
    pub sessions_p50: u64,
    pub sessions_p90: u64,
}

/// A project in a shop that keeps hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProjectHours {
    pub per_order: OrderSessions,
    /// When all of its orders are done; None as for all orders together.
    pub all_done: Option<Completion>,
}

/// When something is done, over the runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Completion {
    pub runs: u64,
    /// Mean number of sessions with working time from the beginning of the run up to then.
    pub sessions: f64,
    /// Moments that so many percent of the runs do not exceed.
    pub p05: Moment,
    pub p50: Moment,
    pub p90: Moment,
    pub p95: Moment,
}

impl CandidateFindings {
    /// People who are alike together, in the order of the first of each group.
    pub fn groups(&self) -> Vec<Vec<&PersonFindings>> {
        let mut groups: Vec<Vec<&PersonFindings>> = Vec::new();
        for person in &self.crew {
            let known = groups
                .iter_mut()
                .find(|group| group[0].group == person.group);
            match known {
                Some(group) => group.push(person),
                None => groups.push(vec![person]),
            }
        }
        groups
    }

    /// Projects of which orders are done.
    pub fn projects_done(&self) -> impl Iterator<Item = &ProjectFindings> {
        (self.projects.iter()).filter(|project| project.orders_done > 0.0)
    }

    pub fn builds_several_projects(&self) -> bool {
        self.projects_done().nth(1).is_some()
    }

    /// What is built, of whichever project: orders done, each times what is built together in it.
    pub fn built(&self) -> f64 {
        self.orders_done * self.built_per_order
    }
}

/// Metres by manner.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WalkedMetres {
    pub empty: f64,
    pub carrying: f64,
    pub pushing: f64,
}

impl WalkedMetres {
    pub fn total(self) -> f64 {
        self.empty + self.carrying + self.pushing
    }
}

#[derive(Debug, Clone)]
pub struct ProjectFindings {
    pub name: String,
    pub orders_done: f64,
    /// None when no order of it was done in any replication.
    pub lead_time: Option<Estimate>,
    /// Of all its orders of all replications, in microseconds.
    pub lead_times: Histogram,
    pub walking_per_order: Option<Estimate>,
    pub hands_on_per_order: Option<f64>,
    /// Seconds of the mean lead time of the diagnosed replications; None if no order was done in them.
    pub lead_time_split: Option<LeadTimeComponents<f64>>,
    /// Of a shop that keeps hours.
    pub hours: Option<ProjectHours>,
}

/// What the active-period method of Roser, Nakano and Tanaka (2001, 2002) finds of one resource, as shares of the
/// measured time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ActiveShares {
    /// With all of its units.
    pub active: f64,
    /// As the only bottleneck of the moment.
    pub sole: f64,
    /// As one of two while the bottleneck shifts from the one to the other.
    pub shifting: f64,
    /// Seconds; None if it was never active.
    pub average_period: Option<f64>,
}

/// Seconds of all units together; they add up to the open time times the count.
#[derive(Debug, Clone)]
pub struct StationFindings {
    pub name: String,
    pub count: u32,
    /// Of running, setup, curing and being serviced.
    pub utilisation: f64,
    pub running: f64,
    pub setup: f64,
    pub curing: f64,
    pub reserved: f64,
    pub serviced: f64,
    pub blocked: f64,
    /// With a lot in it, while its people are away or it must not be run.
    pub left_standing: f64,
    pub idle: f64,
    /// Lots that are ready and not yet taken, on average over time.
    pub queue: Estimate,
    /// The longest queue, as a mean over replications of each one's maximum.
    pub queue_max: f64,
    /// Seconds in the queue; None when no lot was ever taken from it.
    pub wait: Option<Estimate>,
    pub lots: f64,
    pub held: ActiveShares,
}

#[derive(Debug, Clone)]
pub struct GearFindings {
    pub name: String,
    pub count: u32,
    /// Share of the gear's time in which it is taken.
    pub utilisation: f64,
    pub held: ActiveShares,
}

#[derive(Debug, Clone)]
pub struct PersonFindings {
    pub name: String,
    /// The name of those who are alike, this person among them.
    pub group: String,
    pub walking: f64,
    pub handling: f64,
    pub working: f64,
    pub waiting: f64,
    /// While the shop was open; the other times add up to the rest.
    pub away: f64,
    pub walked: WalkedMetres,
    /// Seconds of setup, run and tear-down at each station, by station.
    pub working_at: Vec<f64>,
    /// Share of the time in which they were there.
    pub utilisation: f64,
    /// Of the whole group.
    pub held: ActiveShares,
    pub diagnosed: DiagnosedTime,
}

/// Where somebody's time went in the diagnosed replications, in seconds; it adds up to the measured time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DiagnosedTime {
    pub walking: f64,
    pub handling: f64,
    /// Where they worked.
    pub at_stations: Vec<WorkAtStation>,
    pub waiting_for: WaitingFor,
    pub away: f64,
}

impl DiagnosedTime {
    /// All of it.
    pub fn whole(&self) -> f64 {
        let at_stations = self.at_stations.iter();
        let working: f64 = at_stations.map(WorkAtStation::whole).sum();
        working + self.walking + self.handling + self.waiting_for.whole() + self.away
    }
}

/// Seconds in which somebody was idle, by what for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WaitingFor {
    pub cure: f64,
    pub station: f64,
    /// For something to be over that does not go together with what they could do.
    pub kept_apart: f64,
    pub gear: f64,
    /// There was nothing to do for them.
    pub nothing: f64,
}

impl WaitingFor {
    pub fn whole(&self) -> f64 {
        self.cure + self.station + self.kept_apart + self.gear + self.nothing
    }
}

/// Seconds that somebody worked at a station.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkAtStation {
    pub name: String,
    pub setting_up: f64,
    /// With tear-down, and with taking off what a cure ties up.
    pub running: f64,
    /// Seeing to upkeep, without what they fetch for it.
    pub servicing: f64,
}

impl WorkAtStation {
    pub fn whole(&self) -> f64 {
        self.setting_up + self.running + self.servicing
    }
}

/// A leg from one place to another in one manner.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    pub from: String,
    pub to: String,
    /// The same as ids.
    pub places: (PlaceId, PlaceId),
    pub manner: Manner,
    /// Mean number in a replication.
    pub trips: f64,
    pub metres: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Resource {
    pub name: String,
    pub kind: ResourceKind,
    pub utilisation: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResourceKind {
    Station,
    Person,
    Gear,
}

impl ResourceKind {
    pub fn name(self) -> &'static str {
        match self {
            ResourceKind::Station => "station",
            ResourceKind::Person => "person",
            ResourceKind::Gear => "gear",
        }
    }
}
