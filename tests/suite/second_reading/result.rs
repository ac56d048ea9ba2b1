//! What came of playing a shop once.

use std::collections::BTreeMap;

/// How somebody walks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Manner {
    Empty,
    Carrying,
    Pushing,
}

/// All figures of one replication: lengths in nanometres, times in microseconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    pub empty_nm: i64,
    pub carrying_nm: i64,
    pub pushing_nm: i64,
    /// The instant at which the replication ended.
    pub makespan_us: i64,
    /// In the order of release.
    pub orders: Vec<OrderOutcome>,
    /// In the file's order.
    pub stations: Vec<StationOutcome>,
    /// In the file's order.
    pub crew: Vec<PersonOutcome>,
    /// Trips and nanometres by station from, station to and manner; walks to where one stands
    /// already are none.
    pub trips: BTreeMap<(String, String, Manner), (u64, i64)>,
}

/// What a shop that keeps hours adds. All other times but those of orders and the makespan are in shop time.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// Shop time of the whole replication.
    pub open_us: i64,
    /// Lead time in shop time, and in sessions, of each order that was done, in the order of release.
    pub orders: Vec<Option<(i64, u64)>>,
    /// Of each order that was done, over its parts lot by lot: how long the shop was shut while they did not cure.
    pub shop_shut_us: Vec<Option<i64>>,
    /// By station: open time in which a unit holds a lot and those whom it needs are away, or must be quiet.
    pub left_standing_us: Vec<i64>,
    /// By station: a unit holds a lot that has no room to lie down, or on which something is to be taken off.
    pub blocked_us: Vec<i64>,
    pub serviced_us: Vec<i64>,
    /// By kind of gear: how long it is taken, each piece by itself; what is to be taken off until it has been.
    pub gear_us: Vec<i128>,
    /// By person: open time in which they are not there.
    pub away_us: Vec<i64>,
    /// Tasks that were begun though they fitted nowhere.
    pub forced: u64,
    /// Lots that were put on the floor beside their unit, since nothing else could go on.
    pub put_aside: u64,
    /// What people walk from the door and back to it, on a layout with a plan.
    pub going_nm: Option<i64>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct OrderOutcome {
    pub project: String,
    pub released_us: i64,
    /// Nothing for an order that was not done by the end.
    pub done_us: Option<i64>,
}

/// Sums over the units of a station.
#[derive(Clone, Debug, PartialEq)]
pub struct StationOutcome {
    pub name: String,
    /// Tear-down included.
    pub running_us: i64,
    pub setup_us: i64,
    /// Only of cures that tie the station up.
    pub curing_us: i64,
    /// From the choice until work begins.
    pub reserved_us: i64,
    /// Runs, with their tear-down, that ended by the end.
    pub lots: u64,
    /// Time that lots spent in the queue, up to the end.
    pub queued_us: i64,
    /// The most lots that were in the queue between two instants.
    pub queue_max: u64,
    /// Waits that began; each time that a lot became ready for this station is one.
    pub waits: u64,
    /// Waits that were over by the end, because the lot was chosen, here or elsewhere.
    pub waits_over: u64,
    /// The time of those alone.
    pub waited_over_us: i64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct PersonOutcome {
    pub name: String,
    pub walked_nm: i64,
    pub walking_us: i64,
    pub handling_us: i64,
    /// Setup, run and tear-down.
    pub working_us: i64,
    pub waiting_us: i64,
}

impl Outcome {
    pub fn walking_nm(&self) -> i64 {
        self.empty_nm + self.carrying_nm + self.pushing_nm
    }

    /// Release to done of the orders that were done, in the order of release, in seconds.
    pub fn lead_times_s(&self) -> Vec<f64> {
        self.orders
            .iter()
            .filter_map(|o| o.done_us.map(|done| (done - o.released_us) as f64 / 1e6))
            .collect()
    }
}

impl StationOutcome {
    /// Time-average number of lots in the queue over a replication of this length.
    pub fn queue_mean(&self, makespan_us: i64) -> f64 {
        if makespan_us == 0 {
            0.0
        } else {
            self.queued_us as f64 / makespan_us as f64
        }
    }

    /// Mean time in the queue, in seconds.
    ///
    /// Reading: a wait counts when it begins, with what of it lies before the end.
    pub fn wait_mean_s(&self) -> f64 {
        if self.waits == 0 {
            0.0
        } else {
            self.queued_us as f64 / 1e6 / self.waits as f64
        }
    }
}
