//! The rule about what comes into the room and what leaves it.

use super::finding::{at_least, at_most, metres, wording};
use super::passage::{Carrying, Entrance, Grade, Passage, entrances};
use super::pieces::{Source, brought, finished};
use super::{Finding, Level, Scene, Wording};
use crate::floor::access::{Effort, raised};
use crate::shop::{Item, ItemKind, Project, Size};

/// Something that has to come in or to leave.
struct Load {
    name: String,
    size: Size,
    mass: Option<f64>,
    /// "come in" or "leave".
    way: &'static str,
    /// Whether it is worth a note if it passes.
    noted: bool,
    /// Names of the inputs that pass where the whole does not.
    parts: Option<Vec<String>>,
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
pub fn access(scene: &Scene<'_>) -> Vec<Finding> {
    let ways = entrances(scene);
    if ways.is_empty() {
        return Vec::new();
    }
    let carrying = Carrying::of(scene);
    let loads = loads(scene, &carrying, &ways);
    let findings = loads
        .iter()
        .filter_map(|load| judged(&carrying, &ways, load));
    findings.collect()
}

fn loads(scene: &Scene<'_>, carrying: &Carrying<'_>, ways: &[Entrance<'_>]) -> Vec<Load> {
    let brought = brought(scene).into_iter().map(|brought| Load {
        name: brought.name,
        size: brought.size,
        mass: brought.mass,
        way: "come in",
        noted: brought.source == Source::Room,
        parts: None,
    });
    let mut loads: Vec<Load> = brought.collect();
    for project in scene.ordered() {
        for item in &project.items {
            if let (None, Some(size)) = (item.goes_into, item.finished) {
                loads.push(Load {
                    name: called(scene, project, item),
                    size,
                    mass: finished(project, item).map(|finished| finished.mass),
                    way: "leave",
                    noted: true,
                    parts: inputs_that_pass(carrying, ways, project, item),
                });
            }
        }
    }
    loads
}

/// An item's name, with its project where there are several.
pub fn called(scene: &Scene<'_>, project: &Project, item: &Item) -> String {
    match scene.shop.projects.len() {
        1 => item.name.clone(),
        _ if item.name == project.name => item.name.clone(),
        _ => format!("{} of {}", item.name, project.name),
    }
}

/// The inputs of an assembly that pass on their own, as far as their sizes are known.
fn inputs_that_pass(
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
    project: &Project,
    item: &Item,
) -> Option<Vec<String>> {
    let ItemKind::Assembly { made_of } = &item.kind else {
        return None;
    };
    let inputs = made_of
        .iter()
        .filter_map(|input| project.items.get(input.index()));
    let passing = inputs.filter(|input| {
        let size = input.finished.or(input.rough);
        size.is_some_and(|size| {
            let best = carrying.best(ways, sides(size), None);
            best.is_some_and(|(_, passage)| passage.grade <= Grade::OnlySo)
        })
    });
    Some(passing.map(|input| input.name.clone()).collect())
}

fn judged(carrying: &Carrying<'_>, ways: &[Entrance<'_>], load: &Load) -> Option<Finding> {
    let (best, passage) = carrying.best(ways, load.sides(), load.mass)?;
    let level = match passage.grade {
        Grade::Passes if !load.noted => return None,
        Grade::Passes => Level::Note,
        Grade::OnlySo | Grade::Unknown => Level::Warning,
        Grade::Stuck => Level::Fault,
    };
    let Size {
        length,
        width,
        thickness,
    } = load.size;
    let subject = wording![
        format!("{} (", load.name),
        metres(length),
        " x ",
        metres(width),
        " x ",
        metres(thickness)
    ];
    let says = subject.and(match passage.grade {
        Grade::Stuck => wording![
            format!(
                ") cannot {} by any way: at best by {}, where ",
                load.way, best.name
            ),
            at_least(-passage.spare),
            " is missing at "
        ]
        .and(passage.place.clone()),
        Grade::Unknown => wording![
            format!(") may not {} by {}: it is ", load.way, best.name),
            at_least(-passage.spare),
            " longer than what surely passes at "
        ]
        .and(passage.place.clone()),
        Grade::OnlySo => wording![format!(") can {} by {} only ", load.way, best.name)]
            .and(passage.how.clone().unwrap_or_default())
            .and(wording![", with "])
            .and(spare(&passage)),
        Grade::Passes => wording![format!(") can {} by {}", load.way, best.name)]
            .and(others(carrying, ways, load, best))
            .and(wording![", with "])
            .and(spare(&passage)),
    });
    let mut finding = Finding::new(level, "access", &load.name, says)
        .other(best.name)
        .figure("spare_m", passage.spare);
    if passage.grade == Grade::Stuck || passage.grade == Grade::Unknown {
        finding = finding.missing(-passage.spare);
    }
    match advice(carrying, ways, load, &passage) {
        Some(advice) => Some(finding.help(advice)),
        None => Some(finding),
    }
}

fn spare(passage: &Passage) -> Wording {
    let left = wording![
        at_most(passage.spare.max(0.0)),
        format!(" {} to spare at ", passage.of)
    ];
    left.and(passage.place.clone())
}

/// The other ways by which it passes.
fn others(
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
    load: &Load,
    best: &Entrance<'_>,
) -> Wording {
    let also = ways
        .iter()
        .filter(|way| !std::ptr::eq(*way, best))
        .filter(|way| {
            let passage = carrying.along(way, load.sides(), load.mass);
            passage.grade == Grade::Passes
        });
    let names: Vec<&str> = also.map(|way| way.name).collect();
    match names.is_empty() {
        true => Wording::default(),
        false => wording![format!(", and by {}", listed(&names))],
    }
}

/// What helps something through that does not simply pass.
fn advice(
    carrying: &Carrying<'_>,
    ways: &[Entrance<'_>],
    load: &Load,
    passage: &Passage,
) -> Option<Wording> {
    if passage.grade == Grade::Passes {
        return None;
    }
    if let Some(parts) = load.parts.as_ref().filter(|parts| !parts.is_empty()) {
        let names: Vec<&str> = parts.iter().map(String::as_str).collect();
        return Some(wording![format!(
            "build it in parts and join them outside: {} can leave on {} own",
            listed(&names),
            if names.len() == 1 { "its" } else { "their" }
        )]);
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
            helps.push(wording!["let two carry it, one at each end"]);
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
            helps.push(wording![
                "tip it up on end in the corner, if there is a height of ",
                at_least(height)
            ]);
        }
    }
    match carrying.longest(ways, load.sides()) {
        Some(longest) if load.way == "come in" => {
            helps.push(wording![
                "have it cut first: up to ",
                at_most(longest),
                " long it passes"
            ]);
        }
        Some(longest) => helps.push(wording!["up to ", at_most(longest), " long it would pass"]),
        None => helps.push(wording![
            "make it in narrower parts, or bring it by another way"
        ]),
    }
    helps
        .into_iter()
        .reduce(|all, next| all.and(wording!["; or "]).and(next))
}

/// Names in a row: a, b and c.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_string(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
