//! The rule about what comes into the room and what leaves it.

use super::passage::{Carrying, Entrance, entrances};
use super::pieces::{Why, brought, finished, items};
use crate::floor::Premises;
use crate::floor::access::{Effort, raised};
use crate::floor::finding::{
    AccessFact, AccessHelp, Cargo, Direction, Fact, Finding, FindingLevel, FindingSubject, Grade,
    Passage, RuleId,
};
use crate::shop::{Item, ItemId, ItemKind, Project, ProjectId, Size};

/// Something that has to come in or to leave.
struct Load {
    cargo: Cargo,
    size: Size,
    /// In kilograms.
    mass: Option<f64>,
    direction: Direction,
    /// Whether it is worth a note if it passes.
    noted: bool,
    /// The inputs that pass where the whole does not.
    parts: Vec<(ProjectId, ItemId)>,
}

impl Load {
    fn sides(&self) -> [f64; 3] {
        sides(self.size)
    }
}

fn sides(size: Size) -> [f64; 3] {
    [size.length, size.width, size.thickness]
}

/// Boards, sheets and parts come in, and finished work leaves, by some way.
///
/// Along a way, pieces go around its corners with whoever carries them, along its stair, and through its door, where
/// they are reckoned with alone. What lies behind the door in the room is not looked at.
pub fn access(premises: Premises<'_>) -> Vec<Finding> {
    let ways = entrances(premises);
    if ways.is_empty() {
        return Vec::new();
    }
    let carrying = Carrying::of(premises);
    let loads = loads(premises, &carrying, &ways).into_iter();
    let findings = loads.filter_map(|load| judged(&carrying, &ways, load));
    findings.collect()
}

fn loads(premises: Premises<'_>, carrying: &Carrying<'_>, ways: &[Entrance<'_>]) -> Vec<Load> {
    let brought = brought(premises).into_iter().map(|brought| Load {
        cargo: brought.cargo,
        size: brought.size,
        mass: brought.mass,
        direction: Direction::In,
        noted: brought.why == Why::Named,
        parts: Vec::new(),
    });
    let mut loads: Vec<Load> = brought.collect();
    for (project_id, project) in premises.ordered() {
        for (id, item) in items(project) {
            if let (None, Some(size)) = (item.goes_into, item.finished) {
                let parts = inputs_that_pass(carrying, ways, project, item);
                loads.push(Load {
                    cargo: Cargo::Item(project_id, id),
                    size,
                    mass: finished(project, item).map(|finished| finished.mass),
                    direction: Direction::Out,
                    noted: true,
                    parts: parts.map(|id| (project_id, id)).collect(),
                });
            }
        }
    }
    loads
}

/// The inputs of an assembly that pass on their own, as far as their sizes are known.
fn inputs_that_pass<'p>(
    carrying: &'p Carrying<'_>,
    ways: &'p [Entrance<'_>],
    project: &'p Project,
    item: &'p Item,
) -> impl Iterator<Item = ItemId> + 'p {
    let made_of = match &item.kind {
        ItemKind::Assembly { made_of } => made_of.as_slice(),
        ItemKind::Material { .. } | ItemKind::Part { .. } => &[],
    };
    made_of.iter().copied().filter(move |id| {
        let input = project.items.get(id.index());
        let size = input.and_then(|input| input.finished.or(input.rough));
        size.is_some_and(|size| {
            let best = carrying.best(ways, sides(size), None);
            best.is_some_and(|(_, passage)| passage.grade <= Grade::OnlySo)
        })
    })
}

fn judged(carrying: &Carrying<'_>, ways: &[Entrance<'_>], load: Load) -> Option<Finding> {
    let (best, passage) = carrying.best(ways, load.sides(), load.mass)?;
    let level = match passage.grade {
        Grade::Passes if !load.noted => return None,
        Grade::Passes => FindingLevel::Note,
        Grade::OnlySo | Grade::Unknown => FindingLevel::Warning,
        Grade::Stuck => FindingLevel::Fault,
    };
    let fact = AccessFact {
        size: load.size,
        direction: load.direction,
        passage,
        also_by: match passage.grade {
            Grade::Passes => others(carrying, ways, &load, best),
            _ => Vec::new(),
        },
        helps: helps(carrying, ways, &load, &passage),
    };
    let fact = Fact::Access(Box::new(fact));
    let subject = FindingSubject::Cargo(load.cargo);
    let finding = Finding::new(level, RuleId::Access, subject, fact).other(best.of.clone());
    Some(match passage.grade {
        Grade::Stuck | Grade::Unknown => finding.missing(-passage.spare),
        Grade::Passes | Grade::OnlySo => finding,
    })
}

/// The other ways by which it passes.
fn others(
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
    load: &Load,
    best: &Entrance<'_>,
) -> Vec<FindingSubject> {
    let others = ways.iter().filter(|way| !std::ptr::eq(*way, best));
    let also = others.filter(|way| {
        let passage = carrying.along(way, load.sides(), load.mass);
        passage.grade == Grade::Passes
    });
    also.map(|way| way.of.clone()).collect()
}

/// What helps something through that does not simply pass.
fn helps(
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
    load: &Load,
    passage: &Passage,
) -> Vec<AccessHelp> {
    if passage.grade == Grade::Passes {
        return Vec::new();
    }
    if !load.parts.is_empty() {
        return vec![AccessHelp::BuildInParts(load.parts.clone())];
    }
    let mut helps = Vec::new();
    if carrying.people < 2 {
        let two = Carrying {
            people: 2,
            effort: Effort::Coarse,
            measure: false,
            ..*carrying
        };
        let with_two = two.best(ways, load.sides(), load.mass);
        if with_two.is_some_and(|(_, with_two)| with_two.grade == Grade::Passes) {
            helps.push(AccessHelp::LetTwoCarry);
        }
    }
    if carrying.ceiling.is_none() && passage.grade == Grade::Stuck {
        let upright = Carrying {
            ceiling: Some(f64::INFINITY),
            effort: Effort::Coarse,
            measure: false,
            ..*carrying
        };
        let best = upright.best(ways, load.sides(), load.mass);
        if best.is_some_and(|(_, upright)| upright.grade <= Grade::OnlySo) {
            let height = raised(load.size.length, load.size.width);
            helps.push(AccessHelp::TipUp { height });
        }
    }
    helps.push(match carrying.longest(ways, load.sides()) {
        Some(longest) => AccessHelp::Shorten { longest },
        None => AccessHelp::MakeNarrower,
    });
    helps
}
