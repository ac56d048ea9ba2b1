//! One shop on every candidate, many times: what is asked, and what was found.

mod aggregate;
mod findings;
mod run;
mod study;

pub use findings::{
    CandidateFindings, Comparison, Findings, GearFindings, Leg, PersonFindings, ProjectFindings,
    Resource, ResourceKind, StationFindings, Walked,
};
pub use run::{Failure, run, trace};
pub use study::{Candidate, Replications, Settings, Study, Units};
