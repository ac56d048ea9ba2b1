//! What one candidate differs from another by.

use crate::statistics::Paired;

/// Other minus base, paired by replication.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// Index of the base in the candidates.
    pub base: usize,
    pub other: usize,
    pub walking: Paired,
    /// None when some replication finished no order in one of the two.
    pub lead_time: Option<Paired>,
    /// Of projects that both build, in the base's order.
    pub projects: Vec<ProjectComparison>,
    /// Of shops that keep hours, where all is done in every run.
    pub completion: Option<CompletionChange>,
}

impl Comparison {
    /// One of the projects that both build.
    pub fn project(&self, name: &str) -> Option<&ProjectComparison> {
        self.projects.iter().find(|project| project.name == name)
    }
}

/// One project in two candidates, over the replications in which both finished an order of it.
#[derive(Debug, Clone)]
pub struct ProjectComparison {
    pub name: String,
    /// Seconds; None when no replication finished one in both, and so with metres per order.
    pub lead_time: Option<Paired>,
    pub walking_per_order: Option<Paired>,
}

/// How the moment at which all is done differs from that of the base, paired by replication.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompletionChange {
    /// Whether both keep the same sessions; if not, days are counted instead of sessions.
    pub same_sessions: bool,
    /// Sessions or days later, on average.
    pub mean: f64,
    /// Shares of the runs in which it is in an earlier one, and in a later one.
    pub sooner: f64,
    pub later: f64,
}
