//! What does not go on together.

use super::{OperationId, StationId};

/// Of these things only so many go on at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Exclusion {
    pub stations: Vec<StationId>,
    pub operations: Vec<OperationId>,
    /// Operations that count until what they leave has cured.
    pub cures_of: Vec<OperationId>,
    pub at_most: u32,
}

impl Exclusion {
    /// Whether an operation at a station is one of these things; if so, whether it counts until it has cured.
    pub fn holds(&self, station: StationId, operation: OperationId) -> Option<bool> {
        let cures = self.cures_of.contains(&operation);
        let is_meant =
            cures || self.stations.contains(&station) || self.operations.contains(&operation);
        is_meant.then_some(cures)
    }
}

/// A station that is rolled out to floor which another one needs for itself or for what is fed through it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SharedFloor {
    pub rolled_out: StationId,
    /// It may be one that is rolled out, too.
    pub other: StationId,
}

impl SharedFloor {
    /// The other one of the two.
    pub fn beside(&self, station: StationId) -> Option<StationId> {
        match station {
            _ if station == self.rolled_out => Some(self.other),
            _ if station == self.other => Some(self.rolled_out),
            _ => None,
        }
    }
}
