//! Words about how machines come in.

use serde_json::{Value, json};

use super::indoors::WayTold;
use super::names::ShopNames;
use super::phrase::{at_least, at_most, metres, wording};
use crate::floor::{MachineVerdict, MachineWay};
use crate::report::sentence::listed;

/// Whether a verdict deserves a second look.
pub(super) fn is_doubtful(way: &MachineWay) -> bool {
    way.verdict != MachineVerdict::Passes
}

/// The way of a machine in words.
pub(super) fn told(names: ShopNames<'_>, way: &MachineWay) -> WayTold {
    let name = &names.shop.stations[way.station].name;
    let subject = wording![
        format!("{name} ("),
        metres(way.size.0),
        " x ",
        metres(way.size.1),
        ")"
    ];
    let by = way
        .door
        .map_or_else(String::new, |door| format!(" by {}", names.door(door)));
    let between = between(names, way).map_or_else(String::new, |[one, other]| {
        format!(" between {one} and {other}")
    });
    let spare = way.tightest.map_or(0.0, |tightest| tightest.spare);
    const IN_PARTS: &str = "take it apart, stand it on end, or build it in its place; heavy machines want more hands than \
                            one, and a dealer's or mover's word on stairs";
    let (says, helps) = match &way.verdict {
        MachineVerdict::Passes => (
            wording![
                format!(" comes in{by}; where it is tightest,{between}, "),
                at_most(spare),
                " is left on each side"
            ],
            None,
        ),
        MachineVerdict::WhileAside(aside) => {
            let aside: Vec<String> = (aside.iter())
                .map(|&station| names.shop.stations[station].name.clone())
                .collect();
            let stands = if aside.len() == 1 { "stands" } else { "stand" };
            let aside = listed(&aside, "and");
            (
                wording![
                    format!(
                        " comes in{by} while {aside} {stands} aside; it is then tightest{between}, where "
                    ),
                    at_most(spare),
                    " is left on each side"
                ],
                Some(wording![format!("bring it in before {aside}")]),
            )
        }
        MachineVerdict::DoesNotPass { widest } => {
            let says = wording![format!(
                " does not come in{by} as it stands, even with all others aside"
            )];
            let says = match widest {
                Some(widest) => says.and(wording![
                    "; as long, it would up to a width of ",
                    at_most(*widest)
                ]),
                None => says,
            };
            (says, Some(wording![IN_PARTS]))
        }
        MachineVerdict::NoWayIn { missing } => (
            wording![
                " does not come in as it stands: it is ",
                at_least(*missing),
                " too large for the doors, corners and stairs of the best way"
            ],
            Some(wording![IN_PARTS]),
        ),
        MachineVerdict::NotShown { resolution } => (
            wording![
                format!(
                    ": whether it comes in{by} could not be shown, though the floor was searched to "
                ),
                at_least(*resolution)
            ],
            Some(wording![
                "try it with a box of its size, or take off what can be taken off"
            ]),
        ),
    };
    WayTold {
        says: subject.and(says),
        helps,
    }
}

fn between<'a>(names: ShopNames<'a>, way: &MachineWay) -> Option<[&'a str; 2]> {
    let sides = way.tightest?.between?;
    Some(sides.map(|side| names.obstacle(side)))
}

/// The same as JSON, lengths in metres.
pub(super) fn json(names: ShopNames<'_>, way: &MachineWay) -> Value {
    let (passes, aside, missing, widest, resolution) = match &way.verdict {
        MachineVerdict::Passes => (Some(true), Some(Vec::new()), None, None, None),
        MachineVerdict::WhileAside(aside) => {
            let aside = aside
                .iter()
                .map(|&id| names.shop.stations[id].name.as_str());
            (Some(false), Some(aside.collect()), None, None, None)
        }
        MachineVerdict::DoesNotPass { widest } => (Some(false), None, None, *widest, None),
        MachineVerdict::NoWayIn { missing } => (Some(false), None, Some(*missing), None, None),
        MachineVerdict::NotShown { resolution } => (None, None, None, None, Some(*resolution)),
    };
    json!({
        "station": names.shop.stations[way.station].name,
        "size_m": [way.size.0, way.size.1],
        "door": way.door.map(|door| names.door(door)),
        "passes": passes,
        "passes_with_aside": aside,
        "missing_m": missing,
        "widest_m": widest,
        "resolution_m": resolution,
        "tightest_at_m": way.tightest.map(|tightest| [tightest.at.x, tightest.at.y]),
        "spare_m": way.tightest.map(|tightest| tightest.spare),
        "between": between(names, way),
    })
}
