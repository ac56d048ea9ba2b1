//! How the floor is when something is found on it.

use crate::shop::StationId;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FloorState {
    /// Everything stands where it is placed; what is rolled about is parked.
    #[default]
    Parked,
    /// One thing is rolled out to where it is used.
    RolledOut(StationId),
    /// The shop is shut, and what parks in it stands there.
    Shut,
}
