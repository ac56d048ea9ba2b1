//! Better places for the stations of a layout.

use crate::floor::Pose;

/// Stations elsewhere than they are shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// In what it differs from the other proposals.
    pub about: String,
    pub at: Vec<(String, Pose)>,
}

/// Looks for better places, given the text of a scenario and the name of its layout; nothing where nobody waits for them
/// any more.
pub type ProposalSearch = Box<dyn Fn(&str, &str) -> Result<Option<Vec<Proposal>>, String>>;
