//! Rules about weights and about boards that are turned up.

use super::entry::called;
use super::finding::{kilograms, metres, wording};
use super::{Finding, Level, Scene};
use crate::floor::SAME_POINT_M;
use crate::floor::access::raised;
use crate::shop::{ItemKind, Size};

/// What is handled can be lifted by the people there are.
pub fn lifting(scene: &Scene<'_>) -> Vec<Finding> {
    let limits = scene.limits;
    let people = scene.shop.crew.len();
    let stock = scene.room().into_iter().flat_map(|room| &room.stock);
    let stock = stock.filter_map(|stock| Some((stock.name.clone(), stock.mass?)));
    let projects = scene.shop.projects.iter();
    let items = projects.flat_map(|project| project.items.iter().map(move |item| (project, item)));
    let items =
        items.filter_map(|(project, item)| Some((called(scene, project, item), item.mass?)));
    let heavy = stock.chain(items).filter_map(|(name, mass)| {
        let mass = mass.kilograms();
        // A piece of exactly the limit is no rounding too heavy.
        let over = |limit: f64| mass > limit * (1.0 + 1e-9);
        if !over(limits.one_lifts) {
            return None;
        }
        let (level, limit, who, help) = if over(limits.two_lift) {
            let help = "use a cart or a panel carrier, or break it down before it is carried";
            (Level::Warning, limits.two_lift, "two people lift", help)
        } else if people < 2 {
            let help =
                "ask somebody to help, use a cart or a panel carrier, or break it down first";
            (Level::Warning, limits.one_lifts, "one person lifts", help)
        } else {
            let help = "two lift it";
            (Level::Note, limits.one_lifts, "one person lifts", help)
        };
        let says = wording![
            format!("{name} weighs "),
            kilograms(mass),
            format!("; {who} "),
            kilograms(limit),
            " at most"
        ];
        let finding = Finding::new(level, "lifting", name, says);
        Some(finding.figure("mass_kg", mass).help(wording![help]))
    });
    heavy.collect()
}

/// Boards that cannot be stood up in the room: one note about the one that is farthest from it.
pub fn ceiling(scene: &Scene<'_>) -> Vec<Finding> {
    let Some((room, ceiling)) = scene.room().and_then(|room| Some((room, room.ceiling?))) else {
        return Vec::new();
    };
    let stock = room
        .stock
        .iter()
        .map(|stock| (stock.name.clone(), stock.size));
    let projects = scene.shop.projects.iter();
    let items = projects.flat_map(|project| project.items.iter().map(move |item| (project, item)));
    let parts = items.filter_map(|(project, item)| match item.kind {
        ItemKind::Part { .. } => Some((called(scene, project, item), item.rough?)),
        ItemKind::Assembly { .. } => None,
    });
    let diagonal = |size: &Size| raised(size.length, size.width);
    let too_long = |(_, size): &(String, Size)| diagonal(size) > ceiling + SAME_POINT_M;
    let mut too_long: Vec<(String, Size)> = stock.chain(parts).filter(too_long).collect();
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
        metres(up),
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
