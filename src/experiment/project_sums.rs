//! What is kept of one project's orders over the replications.

use super::calendar_sums::HoursSums;
use super::findings::{Completion, ProjectFindings, ProjectHours};
use crate::metrics::{LeadTimeComponents, ProjectTotals};
use crate::statistics::{Estimate, Histogram, IntervalMethod, PairedSummary, Summary, suffices};

/// Sums of one project of a candidate.
#[derive(Debug, Clone, Default)]
pub(super) struct ProjectSums {
    orders_done: u64,
    lead_times: Histogram,
    /// Means per order by replication, in seconds and metres; None where none was done.
    lead_time: Vec<Option<f64>>,
    walking: Vec<Option<f64>>,
    /// Of the replications in which one was done.
    hands_on: Summary,
    hours: HoursSums,
}

/// Other minus this one, over the replications in which both finished an order.
fn pairs(own: &[Option<f64>], others: &[Option<f64>]) -> PairedSummary {
    let mut pairs = PairedSummary::default();
    for (own, other) in own.iter().zip(others) {
        if let (Some(own), Some(other)) = (own, other) {
            pairs.add(*own, *other);
        }
    }
    pairs
}

fn summary(values: &[Option<f64>]) -> Summary {
    values.iter().copied().flatten().collect()
}

impl ProjectSums {
    pub fn add(&mut self, of: &ProjectTotals) {
        self.orders_done += of.orders_done;
        self.lead_times.merge(&of.lead_times);
        let orders = of.orders_done as f64;
        let is_done = of.orders_done > 0;
        let per_order = |sum: f64| is_done.then(|| sum / orders);
        self.lead_time.push(per_order(of.lead_time as f64 / 1e6));
        self.walking.push(per_order(of.walked.metres()));
        self.hours.add(std::slice::from_ref(of));
        self.hands_on.extend(per_order(of.hands_on.seconds()));
    }

    pub fn lead_times(&self) -> &Histogram {
        &self.lead_times
    }

    pub fn suffices(&self) -> bool {
        suffices(&summary(&self.lead_time)) && suffices(&summary(&self.walking))
    }

    /// Lead times in seconds by replication; None if one of them finished no order.
    pub fn mean_lead_times(&self) -> Option<Vec<f64>> {
        self.lead_time.iter().copied().collect()
    }

    /// Whether there are enough replications for the differences of another one from this one.
    pub fn suffices_against(&self, other: &ProjectSums) -> bool {
        self.lead_time_pairs(other).suffices() && self.walking_pairs(other).suffices()
    }

    /// Lead times in seconds.
    pub fn lead_time_pairs(&self, other: &ProjectSums) -> PairedSummary {
        pairs(&self.lead_time, &other.lead_time)
    }

    /// Metres per order.
    pub fn walking_pairs(&self, other: &ProjectSums) -> PairedSummary {
        pairs(&self.walking, &other.walking)
    }

    pub fn findings(
        &self,
        name: &str,
        runs: f64,
        (level, method): (f64, IntervalMethod),
        split: Option<LeadTimeComponents<f64>>,
        all_done: Option<Completion>,
    ) -> ProjectFindings {
        let estimate = |values| Estimate::by(&summary(values), level, method);
        ProjectFindings {
            name: name.to_owned(),
            orders_done: self.orders_done as f64 / runs,
            lead_time: estimate(&self.lead_time),
            lead_times: self.lead_times.clone(),
            walking_per_order: estimate(&self.walking),
            hands_on_per_order: self.hands_on.mean(),
            lead_time_split: split,
            hours: (self.hours.per_order()).map(|per_order| ProjectHours {
                per_order,
                all_done,
            }),
        }
    }
}
