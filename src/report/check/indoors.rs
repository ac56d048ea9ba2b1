//! Words about how pieces get through the room.

use serde_json::{Value, json};

use super::names::ShopNames;
use super::phrase::{Wording, at_least, at_most, metres, wording};
use crate::floor::{Direction, FindingSubject, IndoorVerdict, IndoorWay, Obstacle};

/// Where the verdicts come from.
pub const SOURCE: &str = "geometry: a search over place and turn, at the height of what stands about; who carries \
                          takes the room of the limits `hands beside` and `hands at the ends`";

/// What is said of a way, and what helps.
pub struct WayTold {
    pub says: Wording,
    pub helps: Option<Wording>,
}

/// Whether a verdict deserves a second look.
pub fn is_doubtful(way: &IndoorWay) -> bool {
    way.verdict != IndoorVerdict::Passes
}

/// The way of a piece in words.
pub fn told(names: ShopNames<'_>, way: &IndoorWay) -> WayTold {
    let piece = names.subject(&FindingSubject::Cargo(way.cargo.clone()));
    let (place, door) = (names.place(way.place), names.door(way.door));
    let ends = match way.direction {
        Direction::In => format!("from {door} to {place}"),
        Direction::Out => format!("from {place} to {door}"),
    };
    let subject = wording![
        format!("{piece} ("),
        metres(way.size.length),
        " x ",
        metres(way.size.width),
        " x ",
        metres(way.size.thickness)
    ];
    let between = between(names, way).map_or_else(String::new, |(one, other)| {
        format!(" between {one} and {other}")
    });
    let spare = way.tightest.map_or(0.0, |tightest| tightest.spare);
    let (says, helps) = match way.verdict {
        IndoorVerdict::Passes => (
            wording![
                format!(") gets {ends}; where it is tightest,{between}, "),
                at_most(spare),
                " is left on each side"
            ],
            None,
        ),
        IndoorVerdict::OnlyAlone => (
            wording![
                format!(
                    ") gets {ends} only with nobody beside it or at its ends; it is tightest{between}, where "
                ),
                at_most(spare),
                " is left on each side"
            ],
            Some(wording![
                "lift it over what is lower there, or clear the way while it is carried"
            ]),
        ),
        IndoorVerdict::DoesNotPass { longest } => {
            let says = wording![format!(") does not get {ends} past what stands there")];
            let says = match longest {
                Some(longest) => says.and(wording![
                    "; one up to ",
                    at_most(longest),
                    format!(" long would, and is tightest{between}")
                ]),
                None => says,
            };
            let help = "cut it first, lift it over what is lower, or leave more room on the way";
            (says, Some(wording![help]))
        }
        IndoorVerdict::NotShown { resolution } => (
            wording![
                format!(
                    "): whether it gets {ends} could not be shown, though the floor was searched to "
                ),
                at_least(resolution)
            ],
            Some(wording!["try it with a lath as long as the piece"]),
        ),
    };
    let helps = match way.closed_by {
        Some(what) => {
            let what = names.obstacle(what);
            Some(wording![format!(
                "{what} stands before {door}: move it away first"
            )])
        }
        None => helps,
    };
    WayTold {
        says: subject.and(says),
        helps,
    }
}

fn between<'a>(names: ShopNames<'a>, way: &IndoorWay) -> Option<(&'a str, &'a str)> {
    let [one, other] = way.tightest?.between?;
    let name = |obstacle: Obstacle| names.obstacle(obstacle);
    Some((name(one), name(other)))
}

/// The same as JSON, lengths in metres.
pub fn json(names: ShopNames<'_>, way: &IndoorWay) -> Value {
    let (passes, longest, resolution) = match way.verdict {
        IndoorVerdict::Passes | IndoorVerdict::OnlyAlone => (Some(true), None, None),
        IndoorVerdict::DoesNotPass { longest } => (Some(false), longest, None),
        IndoorVerdict::NotShown { resolution } => (None, None, Some(resolution)),
    };
    json!({
        "piece": names.subject(&FindingSubject::Cargo(way.cargo.clone())),
        "size_m": [way.size.length, way.size.width, way.size.thickness],
        "direction": match way.direction { Direction::In => "in", Direction::Out => "out" },
        "door": names.door(way.door),
        "place": names.place(way.place),
        "passes": passes,
        "only_alone": way.verdict == IndoorVerdict::OnlyAlone,
        "longest_m": longest,
        "resolution_m": resolution,
        "tightest_at_m": way.tightest.map(|tightest| [tightest.at.x, tightest.at.y]),
        "spare_m": way.tightest.map(|tightest| tightest.spare),
        "between": between(names, way).map(|(one, other)| [one, other]),
    })
}
