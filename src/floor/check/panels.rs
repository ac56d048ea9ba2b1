//! The rule about the floor in front of electrical panels.

use super::placing::{lacking, out_of};
use super::remedy::MOST_TRIED;
use super::{Missing, Scene};
use crate::floor::HeightRange;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId, Shift};
use crate::floor::shapes::{do_overlap, overlap};
use crate::floor::site::{Footprint, PanelFloor, Site};

/// Something stands in front of an electrical panel.
pub fn panels_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for panel in &scene.site.panels {
        for footprint in &scene.footprints {
            let Some(depth) = before_panel(scene.site, footprint, panel) else {
                continue;
            };
            let fact = Fact::BeforePanel {
                depth,
                width: panel.width,
                kept_free: scene.limits().panel_depth,
                out: match findings.len() < MOST_TRIED {
                    true => out_of(scene, footprint.of, (depth, depth), |moved| {
                        !do_overlap(moved, &panel.area)
                    }),
                    false => Shift::Untried,
                },
            };
            let at = scene.room().map(|room| room.panels[panel.panel].at);
            let mut finding = Finding::new(
                FindingLevel::Fault,
                RuleId::Panel,
                footprint.of.into(),
                fact,
            )
            .other(FindingSubject::Panel(panel.panel))
            .missing(depth);
            finding.at = at;
            findings.push(finding);
        }
    }
    findings
}

pub fn panels_judge(scene: &Scene<'_>) -> Missing {
    let footprints = scene.footprints.iter();
    footprints
        .map(|footprint| before_panels(scene.site, footprint))
        .sum()
}

/// What is missing where something stands before panels.
pub fn before_panels(site: &Site<'_>, body: &Footprint) -> Missing {
    let panels = site.panels.iter();
    panels
        .map(|panel| lacking(before_panel(site, body, panel)))
        .sum()
}

/// How deep something stands in what is kept free before a panel, in metres.
fn before_panel(site: &Site<'_>, body: &Footprint, panel: &PanelFloor) -> Option<f64> {
    let kept_free = HeightRange {
        bottom: 0.0,
        top: site.premises.limits.panel_height,
    };
    match body.heights.meets(&kept_free) {
        true => overlap(&body.area, &panel.area),
        false => None,
    }
}
