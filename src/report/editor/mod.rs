//! A layout while its stations are moved about: its plan, what the rules find, and how far people walk, as data for the
//! page of `shopstride edit`, and that page.

mod beside;
mod figures;
mod page;
mod shop_data;

pub use beside::beside;
pub use page::{EditorPage, editor_page};
pub use shop_data::shop_data;

use serde_json::{Value, json};

use crate::experiment::{Findings, LayoutFindings, Units};
use crate::floor::Placement;
use crate::report::charts::{ReplayedPlan, replayed_plans};
use crate::report::page::{page_findings, shown_layout};
use crate::scenario::{coordinate_yaml, printable_name};
use figures::figures;

/// A layout as it is drawn now.
pub struct EditedLayout<'a> {
    pub found: &'a LayoutFindings,
    pub units: Units,
    /// Whether people get everywhere: if not, nobody knows how far they walk.
    pub is_walkable: bool,
    /// The layout as it is saved, if it can be played, and then as it is now.
    pub played: Option<&'a Findings>,
    /// Faults and warnings of the layout as it is saved.
    pub saved: Option<FindingCounts>,
}

/// How many faults and warnings the rules find.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FindingCounts {
    pub faults: usize,
    pub warnings: usize,
}

impl FindingCounts {
    pub fn of(found: &LayoutFindings, units: Units) -> FindingCounts {
        let findings = page_findings(found, units);
        let faults = findings.iter().filter(|finding| finding.is_fault).count();
        FindingCounts {
            faults,
            warnings: findings.len() - faults,
        }
    }

    pub fn in_words(self) -> String {
        let count = |count: usize, what: &str| match count {
            0 => format!("no {what}"),
            1 => format!("1 {what}"),
            _ => format!("{count} {what}s"),
        };
        let (faults, warnings) = (self.faults, self.warnings);
        format!("{}, {}", count(faults, "fault"), count(warnings, "warning"))
    }
}

impl EditedLayout<'_> {
    /// The plan; nothing where nothing stands anywhere.
    pub fn plan(&self) -> Option<ReplayedPlan> {
        let layout = shown_layout(Some(self.found), self.units)?;
        replayed_plans(&[layout], Some(self.units)).pop()?
    }

    /// Everything that the page shows of it. Places are in metres, turns in degrees.
    pub fn json(&self) -> Value {
        let findings = page_findings(self.found, self.units);
        let played = self.played.filter(|_| self.is_walkable);
        let plan = self.plan().map(|plan| {
            json!({
                "svg": plan.scene.svg_in_page(),
                "metre": plan.metre,
                "origin": plan.origin,
            })
        });
        json!({
            "plan": plan,
            "stations": self.stations(),
            "findings": findings,
            "verdict": self.verdict(),
            "figures": played.and_then(|findings| figures(findings, self.units)),
        })
    }

    fn stations(&self) -> Vec<Value> {
        let placed = self.found.plan.placements.enumerate();
        let stations = placed.filter_map(|(station, placed)| {
            let Placement { at, turn, .. } = placed.as_ref()?;
            let name = &self.found.shop.stations[station].name;
            let [x, y] = [at.x, at.y].map(|metres| coordinate_yaml(metres, self.units));
            Some(json!({
                "number": station.0,
                "name": name,
                "shown": printable_name(name),
                "at": [at.x, at.y],
                "turn": turn,
                "written": [x, y],
            }))
        });
        stations.collect()
    }

    fn verdict(&self) -> Value {
        let now = FindingCounts::of(self.found, self.units);
        let before = self.saved.filter(|saved| *saved != now);
        json!({
            "faults": now.faults,
            "warnings": now.warnings,
            "words": now.in_words(),
            "before": before.map(|saved| format!("as saved {}", saved.in_words())),
        })
    }
}
