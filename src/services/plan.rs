//! What feeds a shop on one layout.

use super::air::CollectorAir;
use super::power::Wiring;
use crate::shop::StationId;
use crate::units::Span;

#[derive(Debug, Clone, PartialEq, Default)]
pub struct ServicePlan {
    pub wiring: Wiring,
    pub collectors: Vec<CollectorPlan>,
}

/// A dust collector and the machines with which it is on.
#[derive(Debug, Clone, PartialEq)]
pub struct CollectorPlan {
    pub station: StationId,
    /// How long it is on after the last of them.
    pub run_on: Span,
    pub serves: Vec<StationId>,
    /// Where the file says what it can do, and the layout where everything stands.
    pub air: Option<CollectorAir>,
}

impl ServicePlan {
    /// The collector that stands at a station.
    pub fn collector_at(&self, station: StationId) -> Option<&CollectorPlan> {
        self.collectors.iter().find(|plan| plan.station == station)
    }
}
