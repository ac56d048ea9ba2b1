//! The rule about benches that are as high as suits the people who work at them.

use super::Scene;
use crate::floor::Placement;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::shop::StationId;

/// Benches and tables of a known height at which somebody works whose elbow is known: of people with elbows as high, the
/// first. How high is right depends on the work, so that this is only good to know.
pub fn bench_height_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (station, placement) in scene.placed() {
        let top = placement.heights.top;
        if !is_bench(scene, station, placement) || !top.is_finite() {
            continue;
        }
        let mut told: Vec<f64> = Vec::new();
        for (person, of) in scene.shop().crew.enumerate() {
            let Some(elbow) = of.elbow.filter(|elbow| !told.contains(elbow)) else {
                continue;
            };
            let mut work = scene.site.work_at(station);
            if work.any(|work| work.people > 0 && of.can_do(work.operation)) {
                told.push(elbow);
                let fact = Fact::BenchHeight { top, elbow, person };
                let subject = FindingSubject::Place(station.into());
                findings.push(
                    Finding::new(FindingLevel::Note, RuleId::BenchHeight, subject, fact)
                        .at(placement.at),
                );
            }
        }
    }
    findings
}

/// Whether work lies on it while people do it by hand, as its kind or else its name says.
fn is_bench(scene: &Scene<'_>, station: StationId, placement: &Placement) -> bool {
    let station = &scene.shop().stations[station];
    let name = station.kind.unwrap_or(&station.name).to_lowercase();
    let mut words = name.split(|letter: char| !letter.is_alphabetic());
    let is_named = words.any(|word| matches!(word, "bench" | "workbench" | "table"));
    is_named && placement.feed.is_none() && !placement.kickback && !placement.heights.hangs()
}
