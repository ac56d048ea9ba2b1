//! Rules about weights and about boards that are turned up.

use super::entry::called;
use super::finding::{at_least, kilograms, metres, wording};
use super::pieces::{Source, brought, finished};
use super::{Finding, Level, Scene};
use crate::floor::SAME_POINT_M;
use crate::floor::access::raised;
use crate::shop::{ItemKind, Size};

/// What a mass is reckoned from.
#[derive(Clone, Copy)]
enum From {
    /// As given, or by the sizes of the piece itself.
    Given,
    FinishedParts,
    RoughParts,
}

/// What is handled can be lifted by the people there are.
pub fn lifting(scene: &Scene<'_>) -> Vec<Finding> {
    let limits = scene.limits;
    let people = scene.shop.crew.len();
    let stock = brought(scene).into_iter();
    let stock = stock.filter(|brought| brought.source != Source::Part);
    let stock = stock.filter_map(|brought| Some((brought.name, brought.mass?, From::Given)));
    let items = scene
        .ordered()
        .flat_map(|project| project.items.iter().map(move |item| (project, item)));
    let items = items.filter_map(|(project, item)| {
        let name = called(scene, project, item);
        match item.kind {
            // Before it is planed a part is at its heaviest.
            ItemKind::Part { .. } => Some((name, item.mass?.kilograms(), From::Given)),
            ItemKind::Assembly { .. } => {
                let finished = finished(project, item)?;
                let from = if finished.about {
                    From::RoughParts
                } else {
                    From::FinishedParts
                };
                Some((name, finished.mass, from))
            }
        }
    });
    let heavy = stock.chain(items).filter_map(|(name, mass, from)| {
        // A piece of exactly the limit is no rounding too heavy.
        let over = |limit: f64| mass > limit * (1.0 + 1e-9);
        if !over(limits.one_lifts) {
            return None;
        }
        let (level, limit, who, help) = if over(limits.two_lift) {
            let help = "use a cart or a panel carrier, or break it down before it is carried";
            (Level::Warning, limits.two_lift, "two people", help)
        } else if people < 2 {
            let help =
                "ask somebody to help, use a cart or a panel carrier, or break it down first";
            (Level::Warning, limits.one_lifts, "one person", help)
        } else {
            let help = "two lift it";
            (Level::Note, limits.one_lifts, "one person", help)
        };
        let (weighs, from) = match from {
            From::Given => ("weighs", ""),
            From::FinishedParts => ("weighs", " by the finished sizes of its parts"),
            From::RoughParts => ("weighs about", ", from sizes before planing"),
        };
        let says = wording![
            format!("{name} {weighs} "),
            kilograms(mass),
            format!("{from}; "),
            kilograms(limit),
            format!(" at most is advised for {who}")
        ];
        let finding = Finding::new(level, "lifting", name, says);
        Some(finding.figure("mass_kg", mass).help(wording![help]))
    });
    heavy.collect()
}

/// Boards that cannot be stood up in the room: one note about the one that is farthest from it.
pub fn ceiling(scene: &Scene<'_>) -> Vec<Finding> {
    let Some(ceiling) = scene.room().and_then(|room| room.ceiling) else {
        return Vec::new();
    };
    let brought = brought(scene).into_iter();
    let brought = brought.map(|brought| (brought.name, brought.size));
    let diagonal = |size: &Size| raised(size.length, size.width);
    let too_long = |(_, size): &(String, Size)| diagonal(size) > ceiling + SAME_POINT_M;
    let mut too_long: Vec<(String, Size)> = brought.filter(too_long).collect();
    // The sort is stable: of equals, the first of the file comes first.
    too_long.sort_by(|(_, one), (_, other)| diagonal(other).total_cmp(&diagonal(one)));
    let Some((name, size)) = too_long.first() else {
        return Vec::new();
    };
    let others = match too_long.len() {
        1 => String::new(),
        2 => ", nor can one other piece".to_string(),
        count => format!(", nor can {} other pieces", count - 1),
    };
    let up = diagonal(size);
    let says = wording![
        format!("{name} cannot be stood on end{others}: raising it takes "),
        at_least(up),
        ", and the ceiling is at ",
        metres(ceiling)
    ];
    let finding = Finding::new(Level::Note, "ceiling", name, says);
    vec![
        finding
            .missing(up - ceiling)
            .figure("raised_m", up)
            .help(wording!["store and turn it lying, or cut it first"]),
    ]
}
