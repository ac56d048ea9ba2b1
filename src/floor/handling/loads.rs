//! Rules about weights and about boards that are turned up.

use super::pieces::{Why, brought, finished, items};
use crate::floor::access::raised;
use crate::floor::finding::{
    Cargo, Fact, Finding, FindingLevel, FindingSubject, MassSource, RuleId,
};
use crate::floor::{Premises, SAME_POINT_M};
use crate::shop::{ItemKind, Size, Step};

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
    let alone = lifted_alone(premises);
    let heavy = stock.chain(made).filter_map(|(cargo, mass, from)| {
        // What is a fault at its step is told as one.
        if limits.one_can_lift(mass) || alone.iter().any(|(told, _)| *told == cargo) {
            return None;
        }
        let (level, limit, lifters) = if !limits.two_can_lift(mass) {
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
    let faults = alone.iter().map(|(cargo, mass)| {
        let fact = Fact::Lifting {
            mass: *mass,
            from: MassSource::Given,
            limit: limits.one_lifts,
            lifters: 1,
            people: false,
        };
        let subject = FindingSubject::Cargo(cargo.clone());
        Finding::new(FindingLevel::Fault, RuleId::Lifting, subject, fact)
    });
    faults.chain(heavy).collect()
}

/// What two are to lift together at some step, with its most there, where nobody can help.
fn lifted_alone(premises: Premises<'_>) -> Vec<(Cargo, f64)> {
    let mut all = Vec::new();
    for (project, of) in premises.ordered() {
        for (id, item) in items(of) {
            let is_alone = |step: &&Step| {
                let mut works = step.choices.iter().map(|choice| &choice.work);
                works.any(|work| work.lifts_together && work.people == 1)
            };
            let steps = item.route.iter().filter(is_alone);
            let masses = steps.filter_map(|step| Some(item.mass_at(step)?.kilograms()));
            let most = masses.fold(0.0, f64::max);
            if !premises.limits.one_can_lift(most) {
                all.push((Cargo::Item(project, id), most));
            }
        }
    }
    all
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
