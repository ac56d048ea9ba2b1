//! A project from a cut list for a shop that is there already.

use super::abilities::{Abilities, AbleStation};
use super::machines::unused;
use super::parts::{CutProject, Stuff};
use super::work::planned;
use crate::experiment::Units;
use crate::scenario::TextChange;
use crate::scenario::kinds;
use crate::scenario::yaml_name::yaml_name;
use crate::shop::Shop;
use crate::units::customary::FOOT;

/// The longest board where nobody says one, in metres: 8 ft, or 2.4 m.
pub fn usual_longest(units: Units) -> f64 {
    match units {
        Units::Imperial => 8.0 * FOOT,
        Units::Metric => 2.4,
    }
}

/// What writes a project into a scenario and orders one of it, and what is said of it. What stations do is taken from their
/// kinds; `door` is where what is built leaves.
pub fn project_more(
    project: &CutProject,
    shop: &Shop,
    door: &str,
    units: Units,
) -> (Vec<TextChange>, Vec<String>) {
    let stations = shop.stations.iter().filter_map(|station| {
        Some(AbleStation {
            name: &station.name,
            kind: kinds::find(station.kind?)?,
            is_out: false,
        })
    });
    let abilities = Abilities {
        stations: stations.collect(),
        needs_sheets: project.rows.iter().any(|row| row.stuff == Stuff::Sheets),
        sheets_come_cut: false,
        boards_come_cut: false,
        door,
    };
    let is_known = |name: &str| shop.projects.iter().any(|known| known.name == name);
    let named = CutProject {
        name: unused(&project.name, is_known),
        ..project.clone()
    };
    let planned = planned(&named, &abilities, usual_longest(units), units);
    let lines = planned.lines.iter().map(|line| format!("{line}\n"));
    let changes = vec![
        TextChange::set(&["projects", &named.name], lines.collect::<String>()),
        TextChange::append(
            &["orders"],
            format!("{{project: {}}}", yaml_name(&named.name)),
        ),
    ];
    let mut said = vec![format!(
        "To buy, by a plain packing and a guess: {}.",
        planned.to_buy.join("; ")
    )];
    if !planned.missing.is_empty() {
        let missing = planned.missing.join(" or ");
        said.push(format!(
            "Nothing here can {missing}: the routes go without."
        ));
    }
    (changes, said)
}
