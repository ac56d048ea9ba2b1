//! What is asked: candidates and how often each is played.

use std::sync::Arc;

use rayon::prelude::*;

use crate::floor::{Distances, FootPaths, Limits, Plan, Site};
use crate::services::ServicePlan;
use crate::shop::{Date, Shop};
use crate::statistics::IntervalMethod;
use crate::units::{Moment, Span};

/// A checked scenario: every candidate of it can be simulated.
#[derive(Debug, Clone)]
pub struct Study {
    pub title: String,
    pub about: Option<String>,
    pub units: Units,
    pub settings: Settings,
    /// In the file's order: layouts, then further candidates; never empty.
    pub candidates: Vec<Candidate>,
    /// Candidates in which nobody can stand or walk as they are drawn: they are checked, not simulated, and their walks
    /// are straight.
    pub left_out: Vec<Candidate>,
}

impl Study {
    /// Whether any draw can change a run of some candidate.
    pub fn varies(&self) -> bool {
        let mut candidates = self.candidates.iter();
        candidates.any(|candidate| candidate.shop.varies())
    }

    /// The [site](Candidate::site) of each candidate.
    pub fn sites(&self) -> Vec<Option<Site<'_>>> {
        self.candidates.par_iter().map(Candidate::site).collect()
    }
}

/// A shop and its walks: a change may touch the shop, not only the layout.
#[derive(Debug, Clone)]
pub struct Candidate {
    pub name: String,
    pub layout: String,
    /// Layouts of one shop share it.
    pub shop: Arc<Shop>,
    pub walks: Distances,
    /// Where things stand, unless the layout only says how far it is.
    pub plan: Option<Plan>,
    /// The ways on it, where people walk around what stands there.
    pub paths: Option<Arc<FootPaths>>,
    /// By which the layout is checked.
    pub limits: Limits,
    /// What feeds it; nothing where nobody says anything of that.
    pub services: Option<Arc<ServicePlan>>,
}

impl Candidate {
    /// Where its stations stand or may stand; nothing if it says only how far it is.
    pub fn site(&self) -> Option<Site<'_>> {
        let plan = self.plan.as_ref()?;
        Some(Site::new(&self.shop, plan, &self.limits))
    }

    /// The same on a floor on which the same stations stand elsewhere; nothing if nobody gets about there.
    pub fn on(&self, plan: Plan, site: &Site<'_>) -> Option<Candidate> {
        let pushes = self.shop.handling.carts.is_some();
        let (walks, paths) = plan.walks_with_paths(&site.used, pushes).ok()?;
        Some(Candidate {
            walks,
            paths: paths.map(Arc::new),
            plan: Some(plan),
            ..self.clone()
        })
    }
}

/// The units in which people read lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    #[default]
    Metric,
    Imperial,
}

/// How a candidate is played; the same for all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    pub replications: Replications,
    pub seed: u64,
    /// The day on which a run begins, at 0:00; a Monday without one.
    pub starts: Option<Date>,
    /// The horizon, on the calendar as the warm-up is; without one a replication ends when all orders are done.
    pub until: Option<Moment>,
    pub warm_up: Span,
    /// Level of the intervals, between 0 and 1.
    pub confidence: f64,
}

/// Where nobody says how many replications are wanted, it is looked after so many of them whether they suffice; the last
/// are the most that are played. The first are many because what happens seldom does not show in few.
pub const LOOKS: [u32; 4] = [2_000, 4_000, 8_000, 10_000];

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Replications {
    Fixed(u32),
    /// Until they suffice for the mean of skewed figures by Cochran's rule, looked at after [`LOOKS`].
    Sufficient,
    /// Until each half-width of walking and of lead time is at most this share of its mean.
    Precision(f64),
}

impl Replications {
    /// How intervals are made: where it is asked whether the replications suffice, also so that they hold for skewed
    /// figures.
    pub fn intervals(self) -> IntervalMethod {
        match self {
            Replications::Fixed(_) | Replications::Precision(_) => IntervalMethod::Student,
            Replications::Sufficient => IntervalMethod::Hall,
        }
    }
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            replications: Replications::Sufficient,
            seed: 1,
            starts: None,
            until: None,
            warm_up: Span::ZERO,
            confidence: 0.95,
        }
    }
}
