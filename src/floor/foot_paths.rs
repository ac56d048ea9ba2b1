//! The ways between the places of a layout for somebody on foot, found once.

use super::{AllPairs, FreeSpace, Path};
use crate::shop::PlaceId;

/// The shortest walks between all places that are used, as the walking table of the layout has them.
#[derive(Debug)]
pub struct FootPaths {
    used: Vec<PlaceId>,
    walks: AllPairs,
    space: FreeSpace,
}

impl FootPaths {
    /// Of walks between places in this order on some floor.
    pub(super) fn new(used: &[PlaceId], walks: AllPairs, space: FreeSpace) -> FootPaths {
        FootPaths {
            used: used.to_vec(),
            walks,
            space,
        }
    }

    /// The floor on which a person walks.
    pub fn space(&self) -> &FreeSpace {
        &self.space
    }

    /// The places between all of which people get, in their order.
    pub fn joined(&self) -> &[PlaceId] {
        &self.used
    }

    /// The way from one place to another; nothing if there is none, or if one of them is not used.
    pub fn path(&self, from: PlaceId, to: PlaceId) -> Option<Path> {
        let index = |place: PlaceId| self.used.iter().position(|&used| used == place);
        self.walks.path(index(from)?, index(to)?)
    }
}
