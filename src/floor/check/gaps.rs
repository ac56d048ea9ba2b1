//! The rule about gaps on which it hangs how far people walk.

use super::Scene;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};

/// Gaps that a person just gets through or just does not, and on which walking hangs; notes, since nothing is wrong with
/// them but that the figures depend on a tape measure.
pub fn near_gaps_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let gaps = scene.plan.near_gaps(scene.ways).into_iter();
    let findings = gaps.map(|gap| {
        let [one, other] = gap.between;
        let fact = Fact::NearGap {
            gap,
            body: scene.site.body_width,
            between: scene.between(gap.between, gap.at),
        };
        let subject = FindingSubject::from(one);
        Finding::new(FindingLevel::Note, RuleId::NearGap, subject, fact)
            .other(other)
            .at(gap.at)
    });
    findings.collect()
}
