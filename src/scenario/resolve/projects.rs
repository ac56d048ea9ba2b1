//! Projects: the items of each, with their routes, sizes and masses.

use super::MOST_PIECES;
use super::catalogue::Catalogue;
use super::drafts::{Draft, DraftKind, block_of, drafts, inputs_first};
use super::geometry::block;
use super::pieces::Cutting;
use super::routes::{Lies, RouteContext, route};
use super::sizes::Sizes;
use super::usual;
use crate::scenario::fields::Fields;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::tree::YamlNode;
use crate::shop::{
    Item, ItemId, ItemKind, PartSource, PlaceId, Project, ProjectId, Size, Step, Table,
};
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
        let items = drafts(&entry.key, &entry.node, context.bought, context.sink)
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
        if draft.is_assembly() {
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
                None if draft.is_material() && draft.fields.get("stock").is_some() => {
                    Err(String::new())
                }
                None if draft.is_material() => {
                    Err(format!("the stock size of `{}`", draft.name.text))
                }
                None => Err(format!("the finished size of `{}`", draft.name.text)),
            };
        }
    }
    let mut built: Vec<Option<Item>> = Vec::new();
    for (draft, surface) in drafts.iter().zip(surfaces) {
        let material = draft.cut_from.map(|material| Material {
            draft: &drafts[material],
            item: built[material].as_ref(),
        });
        let item = item(draft, surface, material, context, used, unattended);
        built.push(item);
    }
    enough_material(drafts, context.sink);
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

/// What a part is cut from.
#[derive(Clone, Copy)]
struct Material<'d> {
    draft: &'d Draft<'d>,
    /// Nothing if something is wrong with it.
    item: Option<&'d Item>,
}

impl Material<'_> {
    /// Where the parts lie that it becomes.
    fn lies(self) -> Lies {
        let places = self.item.map(Item::ends_at).unwrap_or_default();
        match places[..] {
            [only] => Lies::At(only),
            _ => Lies::WithInputs,
        }
    }
}

/// Warns of material that is less than all that is cut from it.
fn enough_material(drafts: &[Draft], sink: &Sink) {
    let volume = |draft: &Draft| {
        let size = draft.rough.as_ref().or(draft.finished.as_ref())?;
        Some(block_of(size).volume() * f64::from(draft.pieces))
    };
    for material in drafts.iter().filter(|draft| draft.is_material()) {
        let parts = material
            .becomes
            .iter()
            .filter_map(|&part| volume(&drafts[part]));
        let parts: f64 = parts.sum();
        if let Some(all) = volume(material).filter(|all| parts > all * (1.0 + 1e-9)) {
            let name = &material.name.text;
            sink.report(
                Problem::warning(
                    &material.name.span,
                    format!("`{name}` is less than what is cut from it"),
                )
                .hint(format!(
                    "it would take {:.1} times as much, without any waste: more pieces of it, or fewer or smaller parts",
                    parts / all
                )),
            );
        }
    }
}

fn item(
    draft: &Draft,
    surface: Result<f64, String>,
    material: Option<Material<'_>>,
    context: &RouteContext,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Item> {
    let sink = context.sink;
    let fields = &draft.fields;
    let stock = stock(draft, material, sink);
    let sizes = Sizes {
        name: draft.name.text.clone(),
        kind: draft.kind,
        rough: draft.rough.clone(),
        finished: draft.finished.clone(),
        cutting: Cutting::new(
            stock,
            draft.rough.as_ref().map(block_of),
            draft.finished.as_ref().map(block_of),
        ),
        unreadable: (draft.is_material() && draft.rough.is_none() && fields.get("stock").is_some())
            || (draft.rough.is_none() && fields.get("rough").is_some())
            || (draft.finished.is_none() && fields.get("finished").is_some()),
        surface,
    };
    let mut place = |key: &str| {
        let place = context.catalogue.places.find(fields.get(key)?, sink)?;
        used[place] = true;
        Some(PlaceId(place as u32))
    };
    let at_key = if draft.is_material() {
        "at"
    } else {
        "material at"
    };
    let material_at = place(at_key);
    let deliver_to = place("deliver to");
    let material_at = material_at.or_else(|| {
        let lies_somewhere = !draft.is_assembly() && draft.cut_from.is_none();
        let says_nothing = lies_somewhere && fields.get(at_key).is_none();
        let rack = says_nothing.then(|| rack(draft, stock, context.catalogue))??;
        used[rack] = true;
        Some(PlaceId(rack as u32))
    });
    let batch = fields
        .whole("batch", 1, MOST_PIECES)
        .map(|batch| batch as u32);
    let route = match fields.get("route") {
        Some(node) => {
            let from = match (material, material_at) {
                _ if draft.is_assembly() => Lies::WithInputs,
                (Some(material), _) => material.lies(),
                (None, Some(place)) => Lies::At(place),
                (None, None) => Lies::WhereItBegins,
            };
            route(node, &sizes, context, used, from, unattended)?
        }
        None => Vec::new(),
    };
    enough_sound(draft, &route, sink);
    let ids = |items: &[usize]| items.iter().map(|&item| ItemId(item as u32)).collect();
    let kind = if draft.is_assembly() {
        ItemKind::Assembly {
            made_of: ids(&draft.made_of),
        }
    } else if let Some(material) = draft.cut_from {
        ItemKind::Part {
            comes_from: PartSource::CutFrom(ItemId(material as u32)),
        }
    } else {
        let first = route.first().map(|step: &Step| step.choices[0].place());
        let Some(material_at) = material_at.or(first) else {
            if fields.get(at_key).is_none() {
                let name = &draft.name.text;
                let whose = match draft.kind {
                    DraftKind::Material => format!("`{name}`"),
                    _ => format!("the material of `{name}`"),
                };
                sink.report(
                    Problem::error(fields.at, format!("nothing says where {whose} lies"))
                        .hint(format!("add `{at_key}` and a station, or a route")),
                );
            }
            return None;
        };
        match draft.kind {
            DraftKind::Material => ItemKind::Material {
                lies_at: material_at,
                becomes: ids(&draft.becomes),
            },
            _ => ItemKind::Part {
                comes_from: PartSource::LiesAt(material_at),
            },
        }
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
    Some(Item {
        name: draft.name.text.clone(),
        kind,
        pieces: draft.pieces,
        batch,
        route,
        deliver_to,
        // Assemblies are weighed when all their inputs are known.
        mass: (draft.weighed)
            .or_else(|| Some(Mass::from_kilograms(rough?.volume() * context.density))),
        rough,
        finished: (draft.finished.as_ref())
            .filter(|_| !draft.is_material())
            .map(block_of),
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

/// The size of the board or sheet that a part is cut from, if the file says it. It cannot be smaller than what is cut
/// from it, nor can material.
fn stock(draft: &Draft, material: Option<Material<'_>>, sink: &Sink) -> Option<Size> {
    if draft.is_material() {
        return None;
    }
    let own = draft.fields.get("stock");
    if let (None, Some(node), Some(of)) = (own, draft.fields.get("cut from"), material) {
        if let Some(size) = &of.draft.rough {
            fits_into(draft, block_of(size), node, sink);
        }
        return None;
    }
    let node = own?;
    let stock = block(node, sink)?;
    fits_into(draft, stock, node, sink);
    Some(stock)
}

/// Warns of a part that is larger than what it is cut from.
fn fits_into(draft: &Draft, stock: Size, node: &YamlNode, sink: &Sink) {
    let Some(part) = draft
        .rough
        .as_ref()
        .or(draft.finished.as_ref())
        .map(block_of)
    else {
        return;
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
