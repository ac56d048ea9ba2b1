//! By what the figures of a whole run are divided to be told.

use super::answer::order_noun;
use super::sentence::without_article;
use crate::experiment::CandidateFindings;

/// By what figures of a whole run are divided.
pub struct PerOrder {
    pub orders: f64,
    /// As in "per side table".
    pub unit: String,
}

/// Figures of one thing built where any is finished, and all of one project, else of the run.
pub fn per_order(found: &CandidateFindings) -> PerOrder {
    match found.orders_done > 0.0 && !found.builds_several_projects() {
        true => PerOrder {
            orders: found.built(),
            unit: format!("per {}", without_article(&order_noun(found))),
        },
        false => PerOrder {
            orders: 1.0,
            unit: "in one run".to_owned(),
        },
    }
}
