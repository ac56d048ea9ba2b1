//! Rules about weights and about boards that are turned up.

use super::pieces::{Why, brought, finished, items};
use crate::floor::access::raised;
use crate::floor::finding::{
    Cargo, Fact, Finding, FindingLevel, FindingSubject, MassSource, RuleId,
};
use crate::floor::tolerance::ROUNDED_SHARE;
use crate::floor::{Premises, SAME_POINT_M};
use crate::shop::{ItemKind, Size};

/// What is handled can be lifted by the people there are.
pub fn lifting(premises: Premises<'_>) -> Vec<Finding> {
    let limits = premises.limits;
    let people = premises.shop.crew.len();
    let stock = brought(premises).into_iter();
    let stock = stock.filter(|brought| brought.why != Why::Part);
    let stock = stock.filter_map(|brought| Some((brought.cargo, brought.mass?, MassSource::Given)));
    let all = premises.ordered().flat_map(|(id, project)| {
        items(project).map(move |(item_id, item)| (id, project, item_id, item))
    });
    let made = all.filter_map(|(project_id, project, id, item)| {
        let cargo = Cargo::Item(project_id, id);
        match item.kind {
            // It is among what is brought in.
            ItemKind::Material { .. } => None,
            // Before it is planed a part is at its heaviest.
            ItemKind::Part { .. } => Some((cargo, item.mass?.kilograms(), MassSource::Given)),
            ItemKind::Assembly { .. } => {
                let finished = finished(project, item)?;
                let from = if finished.about {
                    MassSource::RoughParts
                } else {
                    MassSource::FinishedParts
                };
                Some((cargo, finished.mass, from))
            }
        }
    });
    let heavy = stock.chain(made).filter_map(|(cargo, mass, from)| {
        // A piece of exactly the limit is no rounding too heavy.
        let over = |limit: f64| mass > limit * (1.0 + ROUNDED_SHARE);
        if !over(limits.one_lifts) {
            return None;
        }
        let (level, limit, lifters) = if over(limits.two_lift) {
            (FindingLevel::Warning, limits.two_lift, 2)
        } else if people < 2 {
            (FindingLevel::Warning, limits.one_lifts, 1)
        } else {
            (FindingLevel::Note, limits.one_lifts, 1)
        };
        let fact = Fact::Lifting {
            mass,
            from,
            limit,
            lifters,
            people: people >= 2,
        };
        Some(Finding::new(
            level,
            RuleId::Lifting,
            FindingSubject::Cargo(cargo),
            fact,
        ))
    });
    heavy.collect()
}

/// Boards that cannot be stood up in the room: one note about the one that is farthest from it.
pub fn ceiling(premises: Premises<'_>) -> Vec<Finding> {
    let Some(ceiling) = premises.room.and_then(|room| room.ceiling) else {
        return Vec::new();
    };
    let brought = brought(premises).into_iter();
    let brought = brought.map(|brought| (brought.cargo, brought.size));
    let diagonal = |size: &Size| raised(size.length, size.width);
    let too_long = |(_, size): &(Cargo, Size)| diagonal(size) > ceiling + SAME_POINT_M;
    let mut too_long: Vec<(Cargo, Size)> = brought.filter(too_long).collect();
    // The sort is stable: of equals, the first of the file comes first.
    too_long.sort_by(|(_, one), (_, other)| diagonal(other).total_cmp(&diagonal(one)));
    let others = too_long.len().saturating_sub(1);
    let worst = too_long.into_iter().next().map(|(cargo, size)| {
        let raised = diagonal(&size);
        let fact = Fact::Ceiling {
            raised,
            ceiling,
            others,
        };
        let subject = FindingSubject::Cargo(cargo);
        Finding::new(FindingLevel::Note, RuleId::Ceiling, subject, fact).missing(raised - ceiling)
    });
    worst.into_iter().collect()
}
