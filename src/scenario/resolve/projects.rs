//! Projects: parts, what they are joined into, and the route of each.

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};

use super::pieces::Cutting;
use super::routes::{Lies, Plan, route};
use super::work::Sizes;
use super::{MOST_PIECES, room};
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::reader::{self, Fields, Measured, Names};
use crate::scenario::tree::{Key, Node};
use crate::shop::{Item, ItemId, ItemKind, PlaceId, Project, ProjectId, Size, Step, Table};
use crate::units::Mass;

/// The projects, as far as they make sense.
pub struct Projects<'a> {
    pub names: Names<'a>,
    /// Only if all of them do.
    pub table: Option<Table<ProjectId, Project>>,
}

/// A part or an assembly of the file.
struct Draft<'a> {
    name: &'a Key,
    fields: Fields<'a>,
    is_assembly: bool,
    pieces: u32,
    made_of: Vec<usize>,
    goes_into: Option<usize>,
    rough: Option<[Measured; 3]>,
    finished: Option<[Measured; 3]>,
}

pub fn build<'a>(
    fields: &Fields<'a>,
    plan: &Plan<'_, 'a>,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Projects<'a>> {
    let entries = fields.named("projects")?;
    if entries.is_empty()
        && let Some(entry) = fields.entry("projects")
    {
        plan.sink.report(
            Problem::error(&entry.key.span, "there is no project")
                .hint("write for example `box: {pieces: 4, route: [rip]}`"),
        );
        return None;
    }
    let mut table = Some(Table::new());
    for entry in entries {
        let items = drafts(&entry.key, &entry.node, plan.sink)
            .and_then(|drafts| items(&drafts, plan, used, unattended));
        match (items, &mut table) {
            (Some(items), Some(table)) => {
                table.push(Project {
                    name: entry.key.text.clone(),
                    items,
                });
            }
            _ => table = None,
        }
    }
    Some(Projects {
        names: Names::of("project", entries.iter().map(|entry| &entry.key)),
        table,
    })
}

/// Reads the items of a project and joins them.
fn drafts<'a>(name: &'a Key, node: &'a Node, sink: &'a Sink) -> Option<Vec<Draft<'a>>> {
    let fields = Fields::open(node, &name.span, &keys::PROJECT, sink)?;
    let grouped = fields.entry("parts").or_else(|| fields.entry("assemblies"));
    let Some(grouped) = grouped else {
        return Some(vec![draft(name, fields, false)]);
    };
    for key in keys::PART.iter() {
        if let Some(entry) = fields.entry(key.name) {
            sink.report(
                Problem::error(
                    &entry.key.span,
                    format!(
                        "`{}` belongs to a part, not to a project with parts",
                        key.name
                    ),
                )
                .also(&grouped.key.span, "the parts stand here")
                .hint("move it to one of the parts"),
            );
        }
    }
    let mut drafts: Vec<Draft> = Vec::new();
    let mut names = Names::new("part or assembly");
    for (key, table, is_assembly) in [
        ("parts", &keys::PART, false),
        ("assemblies", &keys::ASSEMBLY, true),
    ] {
        for entry in fields.named(key).unwrap_or_default() {
            if let Some(other) = names.index(&entry.key.text) {
                sink.report(
                    Problem::error(
                        &entry.key.span,
                        format!("`{}` is both a part and an assembly", entry.key.text),
                    )
                    .also(names.key(other).span, "the part")
                    .hint("give one of them another name"),
                );
            }
            names.add(&entry.key);
            let given = Fields::open(&entry.node, &entry.key.span, table, sink)?;
            drafts.push(draft(&entry.key, given, is_assembly));
        }
    }
    if drafts.is_empty() {
        sink.report(
            Problem::error(
                &grouped.key.span,
                format!("the project `{}` has no parts", name.text),
            )
            .hint("write for example `parts: {board: {pieces: 4, route: [rip]}}`"),
        );
        return None;
    }
    join(&mut drafts, sink);
    circles(&drafts, sink).then_some(drafts)
}

fn draft<'a>(name: &'a Key, fields: Fields<'a>, is_assembly: bool) -> Draft<'a> {
    let sink = fields.sink;
    let size = |key: &str| {
        let node = fields.get(key)?;
        let size: [Measured; 3] =
            reader::lengths(node, "a size [length, width, thickness]", false, sink)?;
        if let Some(zero) = size.iter().find(|length| length.value <= 0.0) {
            sink.report(
                Problem::error(&zero.span, "a size of 0 leaves nothing to work on").hint(
                    "sizes are length, width, thickness; leave them out if they do not matter",
                ),
            );
            return None;
        }
        Some(size)
    };
    let (rough, finished) = (size("rough"), size("finished"));
    if let (Some(rough), Some(finished)) = (&rough, &finished) {
        for (rough, finished) in rough.iter().zip(finished) {
            if finished.value > rough.value * (1.0 + 1e-9) {
                sink.report(
                    Problem::warning(
                        &finished.span,
                        format!("`{}` is larger when finished than when rough", name.text),
                    )
                    .also(&rough.span, "rough")
                    .hint("sizes are length, width, thickness"),
                );
            }
        }
    }
    let pieces = fields.whole("pieces", 1, MOST_PIECES).unwrap_or(1);
    Draft {
        name,
        fields,
        is_assembly,
        pieces: pieces as u32,
        made_of: Vec::new(),
        goes_into: None,
        rough,
        finished,
    }
}

/// Finds the inputs of the assemblies.
fn join(drafts: &mut [Draft], sink: &Sink) {
    let names = Names::of("part or assembly", drafts.iter().map(|draft| draft.name));
    let mut taken: Vec<Option<Bytes>> = vec![None; drafts.len()];
    for index in 0..drafts.len() {
        let fields = drafts[index].fields;
        let Some(node) = fields.get("made of").filter(|_| drafts[index].is_assembly) else {
            continue;
        };
        let Some(items) = reader::list(node, "a list of parts and assemblies", sink) else {
            continue;
        };
        if items.is_empty() {
            sink.report(
                Problem::error(
                    &node.span,
                    format!(
                        "the assembly `{}` is made of nothing",
                        drafts[index].name.text
                    ),
                )
                .hint("name the parts that it is made of"),
            );
        }
        for item in items {
            let Some(input) = names.find(item, sink) else {
                continue;
            };
            if let Some(before) = &taken[input] {
                sink.report(
                    Problem::error(
                        &item.span,
                        format!("`{}` goes into an assembly twice", drafts[input].name.text),
                    )
                    .also(before, "it is used here already")
                    .hint("every part and assembly goes into at most one assembly, once"),
                );
                continue;
            }
            taken[input] = Some(item.span.clone());
            drafts[input].goes_into = Some(index);
            drafts[index].made_of.push(input);
        }
    }
}

/// Reports assemblies that are made of themselves; true if there are none.
fn circles(drafts: &[Draft], sink: &Sink) -> bool {
    let mut graph = DiGraph::<(), ()>::new();
    for _ in drafts {
        graph.add_node(());
    }
    for (index, draft) in drafts.iter().enumerate() {
        for &input in &draft.made_of {
            graph.add_edge(NodeIndex::new(index), NodeIndex::new(input), ());
        }
    }
    let mut none = true;
    for group in tarjan_scc(&graph) {
        let first = group.iter().map(|node| node.index()).min().unwrap_or(0);
        if group.len() == 1 && !drafts[first].made_of.contains(&first) {
            continue;
        }
        // Within a circle everything goes into one thing, so the circle can be walked.
        let mut circle = vec![first];
        while let Some(next) = circle.last().and_then(|&last| drafts[last].goes_into)
            && next != first
            && circle.len() <= drafts.len()
        {
            circle.push(next);
        }
        circle.push(first);
        let names: Vec<String> = circle
            .iter()
            .map(|&i| format!("`{}`", drafts[i].name.text))
            .collect();
        sink.report(
            Problem::error(
                &drafts[first].name.span,
                format!(
                    "these assemblies are made of each other: {}",
                    names.join(" goes into ")
                ),
            )
            .hint("take one of them out of `made of`"),
        );
        none = false;
    }
    none
}

/// Items in an order in which every input stands before what it goes into.
fn inputs_first(drafts: &[Draft]) -> Vec<usize> {
    let mut order = Vec::with_capacity(drafts.len());
    let mut waiting: Vec<usize> = drafts.iter().map(|draft| draft.made_of.len()).collect();
    let mut ready: Vec<usize> = (0..drafts.len())
        .rev()
        .filter(|&i| waiting[i] == 0)
        .collect();
    while let Some(index) = ready.pop() {
        order.push(index);
        if let Some(into) = drafts[index].goes_into {
            waiting[into] -= 1;
            if waiting[into] == 0 {
                ready.push(into);
            }
        }
    }
    order
}

fn block([length, width, thickness]: &[Measured; 3]) -> Size {
    Size {
        length: length.value,
        width: width.value,
        thickness: thickness.value,
    }
}

fn items(
    drafts: &[Draft],
    plan: &Plan,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Vec<Item>> {
    let mut surfaces: Vec<Result<f64, String>> = vec![Err(String::new()); drafts.len()];
    let mut masses: Vec<Option<f64>> = vec![None; drafts.len()];
    for index in inputs_first(drafts) {
        let draft = &drafts[index];
        if draft.is_assembly {
            let pieces = f64::from(draft.pieces);
            let inputs = || {
                draft
                    .made_of
                    .iter()
                    .map(|&input| (input, f64::from(drafts[input].pieces)))
            };
            surfaces[index] = inputs()
                .map(|(input, count)| surfaces[input].clone().map(|surface| surface * count))
                .sum::<Result<f64, String>>()
                .map(|surface| surface / pieces);
            masses[index] = inputs()
                .map(|(input, count)| masses[input].map(|mass| mass * count))
                .sum::<Option<f64>>()
                .map(|mass| mass / pieces);
        } else {
            surfaces[index] = match &draft.finished {
                Some(size) => Ok(block(size).surface()),
                None if draft.fields.get("finished").is_some() => Err(String::new()),
                None => Err(format!("the finished size of `{}`", draft.name.text)),
            };
            masses[index] = draft
                .rough
                .as_ref()
                .map(|size| block(size).volume() * plan.density);
        }
    }
    let built: Vec<Option<Item>> = drafts
        .iter()
        .zip(surfaces)
        .zip(masses)
        .map(|((draft, surface), mass)| item(draft, surface, mass, plan, used, unattended))
        .collect();
    built.into_iter().collect()
}

fn item(
    draft: &Draft,
    surface: Result<f64, String>,
    mass: Option<f64>,
    plan: &Plan,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Item> {
    let sink = plan.sink;
    let fields = &draft.fields;
    let sizes = Sizes {
        name: draft.name.text.clone(),
        is_assembly: draft.is_assembly,
        rough: draft.rough.clone(),
        finished: draft.finished.clone(),
        cutting: Cutting::new(
            stock(draft, sink),
            draft.rough.as_ref().map(block),
            draft.finished.as_ref().map(block),
        ),
        unreadable: (draft.rough.is_none() && fields.get("rough").is_some())
            || (draft.finished.is_none() && fields.get("finished").is_some()),
        surface,
    };
    let mut place = |key: &str| {
        let place = plan.ground.places.find(fields.get(key)?, sink)?;
        used[place] = true;
        Some(PlaceId(place as u32))
    };
    let material_at = place("material at");
    let deliver_to = place("deliver to");
    let route = match fields.get("route") {
        Some(node) => {
            let from = match material_at {
                _ if draft.is_assembly => Lies::WithInputs,
                Some(place) => Lies::At(place),
                None => Lies::WhereItBegins,
            };
            route(node, &sizes, plan, used, from, unattended)?
        }
        None => Vec::new(),
    };
    enough_sound(draft, &route, sink);
    let kind = if draft.is_assembly {
        ItemKind::Assembly {
            made_of: draft
                .made_of
                .iter()
                .map(|&input| ItemId(input as u32))
                .collect(),
        }
    } else {
        let first = route
            .first()
            .map(|step: &Step| step.choices[0].station.into());
        let Some(material_at) = material_at.or(first) else {
            if fields.get("material at").is_none() {
                sink.report(
                    Problem::error(
                        fields.at,
                        format!(
                            "nothing says where the material of `{}` lies",
                            draft.name.text
                        ),
                    )
                    .hint("add `material at` and a station, or a route"),
                );
            }
            return None;
        };
        ItemKind::Part { material_at }
    };
    if draft.goes_into.is_some()
        && let Some(entry) = fields.entry("deliver to")
    {
        sink.report(
            Problem::warning(
                &entry.key.span,
                format!(
                    "`{}` is delivered before it goes into an assembly",
                    draft.name.text
                ),
            )
            .hint("usually only what is finished is delivered"),
        );
    }
    let batch = fields
        .whole("batch", 1, MOST_PIECES)
        .map(|batch| batch as u32);
    Some(Item {
        name: draft.name.text.clone(),
        kind,
        pieces: draft.pieces,
        batch,
        route,
        deliver_to,
        mass: mass.map(Mass::from_kilograms),
        rough: draft.rough.as_ref().map(block),
        finished: draft.finished.as_ref().map(block),
        goes_into: draft.goes_into.map(|into| ItemId(into as u32)),
    })
}

/// The size of the board or sheet that a part is cut from. It cannot be smaller than what is cut from it.
fn stock(draft: &Draft, sink: &Sink) -> Option<Size> {
    let node = draft.fields.get("stock")?;
    let stock = room::block(node, sink)?;
    let Some(part) = draft.rough.as_ref().or(draft.finished.as_ref()).map(block) else {
        return Some(stock);
    };
    let more = |part: f64, stock: f64| part > stock * (1.0 + 1e-9);
    if more(part.length, stock.length)
        || more(part.width, stock.width)
        || more(part.thickness, stock.thickness)
    {
        sink.report(
            Problem::warning(
                &node.span,
                format!(
                    "`{}` is larger than the stock it is cut from",
                    draft.name.text
                ),
            )
            .hint("sizes are length, width, thickness; the length runs along the grain of both"),
        );
    }
    Some(stock)
}

/// Refuses a route on which hardly a piece would come through.
fn enough_sound(draft: &Draft, route: &[Step], sink: &Sink) {
    let sound: f64 = route
        .iter()
        .map(|step| {
            1.0 - step
                .choices
                .iter()
                .map(|choice| choice.work.spoils)
                .fold(0.0, f64::max)
        })
        .product();
    if sound < 0.01 * (1.0 - 1e-9) {
        sink.report(
            Problem::error(
                &draft.name.span,
                format!(
                    "fewer than 1 % of the pieces of `{}` would come through its route",
                    draft.name.text
                ),
            )
            .hint("lower `spoils` of its operations, so that a run ends"),
        );
    }
}
