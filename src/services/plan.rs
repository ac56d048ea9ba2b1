//! What feeds a shop on one layout.

use super::air::CollectorAir;
use super::heat::HeatPlan;
use super::light::LightPlan;
use super::noise::NoisePlan;
use super::power::Wiring;
use super::together::{OnTime, running_on};
use crate::shop::StationId;
use crate::units::{Moment, Span};

#[derive(Debug, Clone, PartialEq, Default)]
pub struct ServicePlan {
    pub wiring: Wiring,
    pub collectors: Vec<CollectorPlan>,
    pub heat: Option<HeatPlan>,
    pub light: Option<LightPlan>,
    pub noise: Option<NoisePlan>,
}

/// A dust collector and the machines with which it is on.
#[derive(Debug, Clone, PartialEq)]
pub struct CollectorPlan {
    pub station: StationId,
    /// How long it is on after the last of them.
    pub run_on: Span,
    pub serves: Vec<StationId>,
    /// Whether its air is thrown out.
    pub vents_outdoors: bool,
    /// Where the file says what it can do, and the layout where everything stands.
    pub air: Option<CollectorAir>,
}

impl CollectorPlan {
    /// When it is on, given when each station is: with the machines that it serves, or somebody's work at it, and for its
    /// run-on after that, but no longer than until some moment.
    pub fn on(&self, stations: &[Vec<OnTime>], until: Moment) -> Vec<OnTime> {
        let own = std::iter::once(&self.station);
        let all: Vec<OnTime> = (own.chain(&self.serves))
            .flat_map(|station| stations[station.index()].iter().copied())
            .collect();
        let mut on = running_on(&all, self.run_on);
        for time in &mut on {
            time.until = time.until.min(until);
        }
        on
    }
}

impl ServicePlan {
    /// The collector that stands at a station.
    pub fn collector_at(&self, station: StationId) -> Option<&CollectorPlan> {
        self.collectors.iter().find(|plan| plan.station == station)
    }
}
