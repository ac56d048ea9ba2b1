//! How many lots wait at each station at every instant of one replication.

use crate::engine::{Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder};
use crate::shop::{Shop, StationId};
use crate::units::{Moment, Time};

/// Lots that are ready for a station and not yet taken. One that several stations could do waits at each of them.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitingLots {
    pub station: String,
    /// From when on so many wait, in seconds from the start and in the order of time. None wait before the first.
    pub levels: Vec<(f64, u32)>,
}

impl WaitingLots {
    pub fn longest(&self) -> u32 {
        self.levels
            .iter()
            .map(|(_, level)| *level)
            .max()
            .unwrap_or(0)
    }
}

/// Hears a run and keeps every change of a queue that lasts.
pub(super) struct QueueLevels {
    by_station: Vec<Vec<(Time, u32)>>,
}

impl QueueLevels {
    pub fn new(shop: &Shop) -> QueueLevels {
        QueueLevels {
            by_station: vec![Vec::new(); shop.stations.len()],
        }
    }

    /// By station, for those at which a lot ever waits.
    pub fn waiting(self, shop: &Shop) -> Vec<WaitingLots> {
        let all = shop.stations.iter().zip(self.by_station);
        let waiting = all.map(|(station, changes)| WaitingLots {
            station: station.name.clone(),
            levels: changes
                .into_iter()
                .map(|(time, level)| (time.seconds(), level))
                .collect(),
        });
        waiting.filter(|of| of.longest() > 0).collect()
    }

    fn change(&mut self, station: StationId, now: Time, change: impl Fn(u32) -> u32) {
        let changes = &mut self.by_station[station.index()];
        let before = |changes: &[(Time, u32)]| changes.last().map_or(0, |(_, level)| *level);
        let level = change(before(changes));
        // What has become ready and is taken at once waits for no time.
        if changes.last().is_some_and(|(time, _)| *time == now) {
            changes.pop();
        }
        if level != before(changes) {
            changes.push((now, level));
        }
    }
}

impl Recorder for QueueLevels {
    fn queued(&mut self, station: StationId, now: Time) {
        self.change(station, now, |level| level + 1);
    }

    fn unqueued(&mut self, station: StationId, _since: Time, now: Time) {
        self.change(station, now, |level| level.saturating_sub(1));
    }

    // What is done with lots that are taken is no matter of queues.
    fn task(&mut self, _job: &Job, _now: Time) {}
    fn phase(&mut self, _phase: &Phase) {}
    fn ends(&mut self, _of: Occupied, _now: Time) {}
    fn interrupted(&mut self, _interruption: &Interruption) {}
    fn released(&mut self, _order: &OrderReleased) {}
    fn done(&mut self, _order: &OrderDone) {}
    fn end(&mut self, _now: Time, _moment: Moment) {}
}
