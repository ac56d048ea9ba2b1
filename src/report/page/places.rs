//! The floor of a replay: its plan as a picture, and which findings belong to which place.

use serde::Serialize;

use crate::experiment::{LayoutFindings, Units};
use crate::floor::{FindingLevel, FindingSubject, Placement, Plan};
use crate::report::charts::{Layout, ReplayedPlan};
use crate::report::check::{advised, in_short, numbered, told, written};
use crate::report::sentence::capital;
use crate::scenario::printable_name;

/// Where things are in the picture of a plan.
#[derive(Debug, Serialize)]
pub struct PageFloor {
    /// Units of the picture in a metre, and where the origin of the floor is.
    pub metre: f64,
    pub origin: (f64, f64),
    /// Whether it is a plan, and not places in rows.
    pub to_scale: bool,
    /// Whether any rule has looked at it: else it says only how far it is.
    pub is_checked: bool,
    /// The corner of each station at which it is told how many lots wait, in metres.
    pub corners: Vec<Option<(f64, f64)>>,
    pub findings: Vec<PageFinding>,
}

/// A fault or a warning.
#[derive(Debug, Clone, Serialize)]
pub struct PageFinding {
    /// As `shopstride check` numbers it.
    pub number: usize,
    pub is_fault: bool,
    /// In a few words, with how much is missing.
    pub short: String,
    pub words: String,
    /// What would help, where that is known.
    pub help: Option<String>,
    /// Indices of the stations and doors that it is about.
    pub places: Vec<u32>,
}

impl PageFloor {
    pub fn new(
        plan: &Plan,
        drawn: &ReplayedPlan,
        found: Option<&LayoutFindings>,
        units: Units,
    ) -> PageFloor {
        PageFloor {
            metre: drawn.metre,
            origin: drawn.origin,
            to_scale: found.is_some_and(|found| found.plan.places_something()),
            is_checked: found.is_some(),
            corners: plan
                .placements
                .iter()
                .map(|placed| corner(placed.as_ref()?))
                .collect(),
            findings: found.map_or_else(Vec::new, |found| page_findings(found, units)),
        }
    }
}

/// The upper left corner as the plan is drawn.
fn corner(placement: &Placement) -> Option<(f64, f64)> {
    let Some(footprint) = placement.footprint() else {
        return Some((placement.at.x, placement.at.y));
    };
    let corners = footprint.corners().iter();
    let corner = corners.max_by(|a, b| (a.y - a.x).total_cmp(&(b.y - b.x)))?;
    Some((corner.x, corner.y))
}

/// Faults and warnings by their numbers.
pub fn page_findings(found: &LayoutFindings, units: Units) -> Vec<PageFinding> {
    let all = told(&found.shop, found.plan.room.as_ref(), &found.findings);
    let numbered = numbered(&all).map(|(number, index)| {
        let finding = &found.findings[index];
        let subjects = [Some(&finding.subject), finding.other.as_ref()];
        let places = subjects
            .into_iter()
            .flatten()
            .filter_map(|subject| match subject {
                FindingSubject::Place(place) => {
                    // Where one stands for one operation belongs to its station.
                    let station = found.plan.station_at(*place);
                    Some(station.map_or(place.0, |station| station.0))
                }
                _ => None,
            });
        PageFinding {
            number,
            is_fault: finding.level == FindingLevel::Fault,
            short: in_words(in_short(&all[index], units)),
            words: in_words(written(&all[index], units)),
            help: advised(&all[index], units).map(in_words),
            places: places.collect(),
        }
    });
    numbered.collect()
}

/// A sentence of the page.
fn in_words(words: String) -> String {
    capital(&printable_name(&words))
}

/// The layout that a run is shown on.
pub fn shown_layout(found: Option<&LayoutFindings>, units: Units) -> Option<Layout> {
    let found = found.filter(|found| found.plan.places_something())?;
    Some(Layout::of(found, units))
}
