//! The rule about work that has to be done before glue sets.

use super::Scene;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::tolerance::ROUNDED_SHARE;
use crate::shop::{Choice, ItemId, PlaceId};

/// Work whose largest lot is expected to take longer than its open time, wherever that is placed. What has to be set up
/// first and taken down afterwards does not count: nothing is spread by then.
pub fn open_time_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let shop = scene.shop();
    let mut findings: Vec<Finding> = Vec::new();
    for (project, of) in scene.site.premises.ordered() {
        let lines = shop.orders.iter().filter(|line| line.project == project);
        let together = lines.map(|line| line.together).max().unwrap_or(1);
        for (id, item) in (0..).map(ItemId).zip(&of.items) {
            let lot = item.largest_lot(item.pieces.saturating_mul(together));
            for choice in item.route.iter().flat_map(|step| &step.choices) {
                let Choice { station, work, .. } = choice;
                let takes = work.expected_run(lot);
                // The allowance keeps 3 times 5 min at 3 stages of 5 min in spite of rounding.
                let Some(open) = work
                    .open_time
                    .filter(|open| takes > open * (1.0 + ROUNDED_SHARE))
                else {
                    continue;
                };
                let mut placed = scene.placed().filter(|(placed, _)| placed == station);
                let Some((_, placement)) = placed.next() else {
                    continue;
                };
                let fact = Fact::OpenTime {
                    operation: work.operation,
                    item: (project, id),
                    takes,
                    open,
                    stages: (takes / open * (1.0 - ROUNDED_SHARE)).ceil() as u32,
                };
                let subject = FindingSubject::Place(PlaceId::from(*station));
                findings.push(
                    Finding::new(FindingLevel::Warning, RuleId::OpenTime, subject, fact)
                        .at(placement.at),
                );
            }
        }
    }
    findings
}
