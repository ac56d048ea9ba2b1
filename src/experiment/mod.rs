//! One shop on every candidate, many times: what is asked, and what was found.

mod aggregate;
mod changes;
mod doubt;
mod edit;
mod findings;
mod held;
mod leg_paths;
mod relief;
mod run;
mod select;
mod study;
mod waited;

pub use changes::{Change, Changes, Untried};
pub use doubt::{DRAWS, Doubt, REPLICATIONS, doubt, doubt_replications, doubted};
pub use edit::{Detail, Edit, Named, ReliefKind};
pub use findings::{
    ActiveShares, AtStation, CandidateFindings, Comparison, Findings, GearFindings, Leg,
    PersonFindings, ProjectFindings, Resource, ResourceKind, StationFindings, WaitingFor, Walked,
};
pub use leg_paths::{LegPath, leg_paths, widths};
pub use relief::{Goal, ProjectRelief, Relief, Reliefs, relieve, replications};
pub use run::{Failure, LOOKED_INTO, run, trace};
pub use select::{Indifference, MOST_PLAYED, NoRace, Race, STAGE, select};
pub use study::{Candidate, Replications, Settings, Study, Units};
