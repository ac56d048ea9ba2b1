//! Projects: the items of each, with their routes, sizes and masses.

use super::MOST_PIECES;
use super::catalogue::Catalogue;
use super::drafts::{Draft, block_of, drafts, inputs_first};
use super::geometry::block;
use super::pieces::Cutting;
use super::routes::{Lies, RouteContext, route};
use super::usual;
use super::work::Sizes;
use crate::scenario::fields::Fields;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::shop::{Item, ItemId, ItemKind, PlaceId, Project, ProjectId, Size, Step, Table};
use crate::units::Mass;

/// The projects, as far as they make sense.
pub struct Projects<'a> {
    pub names: Names<'a>,
    /// Only if all of them do.
    pub table: Option<Table<ProjectId, Project>>,
}

pub fn build<'a>(
    fields: &Fields<'a>,
    context: &RouteContext<'_, 'a>,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Projects<'a>> {
    let entries = fields.named("projects")?;
    if entries.is_empty()
        && let Some(entry) = fields.entry("projects")
    {
        context.sink.report(
            Problem::error(&entry.key.span, "there is no project")
                .hint("write for example `box: {pieces: 4, route: [rip]}`"),
        );
        return None;
    }
    let mut table = Some(Table::new());
    for entry in entries {
        let items = drafts(&entry.key, &entry.node, context.sink)
            .and_then(|drafts| items(&drafts, context, used, unattended));
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

fn items(
    drafts: &[Draft],
    context: &RouteContext,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Vec<Item>> {
    let mut surfaces: Vec<Result<f64, String>> = vec![Err(String::new()); drafts.len()];
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
        } else {
            surfaces[index] = match &draft.finished {
                Some(size) => Ok(block_of(size).surface()),
                None if draft.fields.get("finished").is_some() => Err(String::new()),
                None => Err(format!("the finished size of `{}`", draft.name.text)),
            };
        }
    }
    let built: Vec<Option<Item>> = drafts
        .iter()
        .zip(surfaces)
        .map(|(draft, surface)| item(draft, surface, context, used, unattended))
        .collect();
    let mut items: Vec<Item> = built.into_iter().collect::<Option<_>>()?;
    weigh_assemblies(&mut items, inputs_first(drafts));
    Some(items)
}

/// Gives each assembly the mass of what it is made of, in an order in which inputs come before what they go into.
fn weigh_assemblies(items: &mut [Item], inputs_first: impl IntoIterator<Item = usize>) {
    for index in inputs_first {
        let ItemKind::Assembly { made_of } = &items[index].kind else {
            continue;
        };
        let inputs = made_of.iter().map(|input| &items[input.index()]);
        let masses = inputs.map(|input| {
            let one = input.finished_mass()?.kilograms();
            Some(one * f64::from(input.pieces))
        });
        let sum = masses.sum::<Option<f64>>();
        let of_one = sum.map(|mass| mass / f64::from(items[index].pieces));
        items[index].mass = of_one.map(Mass::from_kilograms);
    }
}

fn item(
    draft: &Draft,
    surface: Result<f64, String>,
    context: &RouteContext,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Item> {
    let sink = context.sink;
    let fields = &draft.fields;
    let stock = stock(draft, sink);
    let sizes = Sizes {
        name: draft.name.text.clone(),
        is_assembly: draft.is_assembly,
        rough: draft.rough.clone(),
        finished: draft.finished.clone(),
        cutting: Cutting::new(
            stock,
            draft.rough.as_ref().map(block_of),
            draft.finished.as_ref().map(block_of),
        ),
        unreadable: (draft.rough.is_none() && fields.get("rough").is_some())
            || (draft.finished.is_none() && fields.get("finished").is_some()),
        surface,
    };
    let mut place = |key: &str| {
        let place = context.catalogue.places.find(fields.get(key)?, sink)?;
        used[place] = true;
        Some(PlaceId(place as u32))
    };
    let material_at = place("material at");
    let deliver_to = place("deliver to");
    let material_at = material_at.or_else(|| {
        let says_nothing = !draft.is_assembly && fields.get("material at").is_none();
        let rack = says_nothing.then(|| rack(draft, stock, context.catalogue))??;
        used[rack] = true;
        Some(PlaceId(rack as u32))
    });
    let route = match fields.get("route") {
        Some(node) => {
            let from = match material_at {
                _ if draft.is_assembly => Lies::WithInputs,
                Some(place) => Lies::At(place),
                None => Lies::WhereItBegins,
            };
            route(node, &sizes, context, used, from, unattended)?
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
    let rough = draft.rough.as_ref().map(block_of);
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
        // Assemblies are weighed when all their inputs are known.
        mass: rough.map(|rough| Mass::from_kilograms(rough.volume() * context.density)),
        rough,
        finished: draft.finished.as_ref().map(block_of),
        goes_into: draft.goes_into.map(|into| ItemId(into as u32)),
    })
}

/// Where a part lies of which nobody says where: the first station whose kind keeps sheets or boards, as it is cut from
/// one or the other.
fn rack(draft: &Draft, stock: Option<Size>, catalogue: &Catalogue) -> Option<usize> {
    let sizes = [&draft.rough, &draft.finished];
    let given = sizes.into_iter().flatten().map(block_of);
    let size = stock.into_iter().chain(given).next();
    match size.is_some_and(|size| usual::is_of_sheet(&size)) {
        true => catalogue.sheets_at.or(catalogue.boards_at),
        false => catalogue.boards_at,
    }
}

/// The size of the board or sheet that a part is cut from. It cannot be smaller than what is cut from it.
fn stock(draft: &Draft, sink: &Sink) -> Option<Size> {
    let node = draft.fields.get("stock")?;
    let stock = block(node, sink)?;
    let Some(part) = draft
        .rough
        .as_ref()
        .or(draft.finished.as_ref())
        .map(block_of)
    else {
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

/// Refuses a route on which nearly every piece is spoiled.
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
