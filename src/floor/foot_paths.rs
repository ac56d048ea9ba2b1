//! The ways between the places of a layout for somebody on foot, found once.

use super::{AllPairs, Path};
use crate::shop::PlaceId;

/// The shortest walks between all places that are used, as the walking table of the layout has them.
#[derive(Debug, Clone, PartialEq)]
pub struct FootPaths {
    used: Vec<PlaceId>,
    walks: AllPairs,
}

impl FootPaths {
    /// Of walks between places in this order.
    pub(super) fn new(used: &[PlaceId], walks: AllPairs) -> FootPaths {
        FootPaths {
            used: used.to_vec(),
            walks,
        }
    }

    /// The way from one place to another; nothing if there is none, or if one of them is not used.
    pub fn path(&self, from: PlaceId, to: PlaceId) -> Option<Path> {
        let index = |place: PlaceId| self.used.iter().position(|&used| used == place);
        self.walks.path(index(from)?, index(to)?)
    }
}
