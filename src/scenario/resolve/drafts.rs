//! Material, parts and assemblies as the file gives them, what is cut from what, and what is joined into what.

use petgraph::algo::{tarjan_scc, toposort};
use petgraph::graph::{DiGraph, NodeIndex};

use super::MOST_PIECES;
use super::bought::BoughtStock;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, LEAVE_ONE_OUT, Problem, Sink};
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapKey, YamlNode};
use crate::shop::Size;
use crate::units::Mass;

/// What an item of the file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DraftKind {
    Material,
    Part,
    Assembly,
}

impl DraftKind {
    fn with_article(self) -> &'static str {
        match self {
            DraftKind::Material => "material",
            DraftKind::Part => "a part",
            DraftKind::Assembly => "an assembly",
        }
    }

    fn label(self) -> &'static str {
        match self {
            DraftKind::Material => "the material",
            DraftKind::Part => "the part",
            DraftKind::Assembly => "the assembly",
        }
    }
}

/// Material, a part or an assembly of the file.
pub struct Draft<'a> {
    pub name: &'a MapKey,
    pub fields: Fields<'a>,
    pub kind: DraftKind,
    pub pieces: u32,
    pub made_of: Vec<usize>,
    pub goes_into: Option<usize>,
    /// The material that a part is cut from, and the parts that material becomes.
    pub cut_from: Option<usize>,
    pub becomes: Vec<usize>,
    /// Of material, both are the size in which it comes.
    pub rough: Option<[GivenQuantity; 3]>,
    pub finished: Option<[GivenQuantity; 3]>,
    /// What a piece of material weighs, if the room says so.
    pub weighed: Option<Mass>,
}

impl Draft<'_> {
    pub fn is_assembly(&self) -> bool {
        self.kind == DraftKind::Assembly
    }

    pub fn is_material(&self) -> bool {
        self.kind == DraftKind::Material
    }
}

/// Reads the items of a project and joins them: material first, then parts, then assemblies.
pub fn drafts<'a>(
    name: &'a MapKey,
    node: &'a YamlNode,
    bought: &BoughtStock,
    sink: &'a Sink,
) -> Option<Vec<Draft<'a>>> {
    let fields = Fields::open(node, &name.span, &keys::PROJECT, sink)?;
    let groups = ["parts", "assemblies", "material"];
    let Some(grouped) = groups.into_iter().find_map(|group| fields.entry(group)) else {
        return Some(vec![draft(name, fields, DraftKind::Part, bought)]);
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
    for (key, table, kind) in [
        ("material", &keys::MATERIAL, DraftKind::Material),
        ("parts", &keys::PART, DraftKind::Part),
        ("assemblies", &keys::ASSEMBLY, DraftKind::Assembly),
    ] {
        for entry in fields.named(key).unwrap_or_default() {
            let other = drafts
                .iter()
                .find(|other: &&Draft| other.name.text == entry.key.text);
            if let Some(other) = other {
                sink.report(
                    Problem::error(
                        &entry.key.span,
                        format!(
                            "`{}` is both {} and {}",
                            entry.key.text,
                            other.kind.with_article(),
                            kind.with_article()
                        ),
                    )
                    .also(&other.name.span, other.kind.label())
                    .hint("give one of them another name"),
                );
            }
            let given = Fields::open(&entry.node, &entry.key.span, table, sink)?;
            drafts.push(draft(&entry.key, given, kind, bought));
        }
    }
    if drafts.iter().all(Draft::is_material) {
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
    cut(&mut drafts, sink)?;
    circles(&drafts, sink).then_some(drafts)
}

fn draft<'a>(
    name: &'a MapKey,
    fields: Fields<'a>,
    kind: DraftKind,
    bought: &BoughtStock,
) -> Draft<'a> {
    let sink = fields.sink;
    let size = |key: &str| {
        let node = fields.get(key)?;
        let size: [GivenQuantity; 3] =
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
    let is_material = kind == DraftKind::Material;
    let named = fields.get("stock").filter(|_| is_material);
    let named = named.and_then(|node| Some((node, bought.name_of(node)?)));
    let (stock, weighed) = match named {
        Some((node, name)) => bought.find(name, node, sink),
        None if is_material => (size("stock"), None),
        None => (None, None),
    };
    let (rough, finished) = match is_material {
        true => (stock.clone(), stock),
        false => (size("rough"), size("finished")),
    };
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
        kind,
        pieces: pieces as u32,
        made_of: Vec::new(),
        goes_into: None,
        cut_from: None,
        becomes: Vec::new(),
        rough,
        finished,
        weighed,
    }
}

/// Finds the material of parts; nothing if anything is wrong with that.
fn cut(drafts: &mut [Draft], sink: &Sink) -> Option<()> {
    let material = drafts.iter().filter(|draft| draft.is_material());
    let names = Names::of("material", material.map(|draft| draft.name));
    let mut complete = true;
    for index in names.len()..drafts.len() {
        let fields = drafts[index].fields;
        let Some(entry) = fields.entry("cut from") else {
            continue;
        };
        let name = drafts[index].name;
        let found = match names.len() {
            0 => {
                sink.report(
                    Problem::error(
                        &entry.node.span,
                        format!("there is no material that `{}` could be cut from", name.text),
                    )
                    .hint("write for example `material: {plywood: {pieces: 2, route: [rip]}}` beside `parts`"),
                );
                None
            }
            _ => names.find(&entry.node, sink),
        };
        complete &= found.is_some();
        if let Some(lies) = fields.entry("material at") {
            sink.report(
                Problem::error(
                    &lies.key.span,
                    "`material at` and `cut from` exclude each other",
                )
                .also(&entry.key.span, "it begins where that material is by then")
                .hint(LEAVE_ONE_OUT),
            );
            complete = false;
        }
        // Material stands first among the items.
        if let Some(material) = found {
            drafts[index].cut_from = Some(material);
            drafts[material].becomes.push(index);
        }
    }
    // A name with a mistake may have meant it.
    let unused = drafts[..names.len()]
        .iter()
        .filter(|draft| complete && draft.becomes.is_empty());
    for draft in unused {
        let name = &draft.name.text;
        sink.report(
            Problem::error(&draft.name.span, format!("nothing is cut from `{name}`")).hint(
                format!("add `cut from: {name}` to a part, or leave the material out"),
            ),
        );
    }
    (complete
        && drafts[..names.len()]
            .iter()
            .all(|draft| !draft.becomes.is_empty()))
    .then_some(())
}

/// Finds the inputs of the assemblies.
fn join(drafts: &mut [Draft], sink: &Sink) {
    let names = Names::of("part or assembly", drafts.iter().map(|draft| draft.name));
    let mut taken: Vec<Option<Bytes>> = vec![None; drafts.len()];
    for index in 0..drafts.len() {
        let fields = drafts[index].fields;
        let Some(node) = fields
            .get("made of")
            .filter(|_| drafts[index].is_assembly())
        else {
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
            if drafts[input].is_material() {
                let name = &drafts[input].name.text;
                sink.report(
                    Problem::error(
                        &item.span,
                        format!("`{name}` is material, which is cut and not joined"),
                    )
                    .also(&drafts[input].name.span, "the material")
                    .hint("name the parts that are cut from it"),
                );
                continue;
            }
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

/// An arc from each item to the assembly that it goes into.
fn goes_into(drafts: &[Draft]) -> DiGraph<(), ()> {
    let mut graph = DiGraph::new();
    for _ in drafts {
        graph.add_node(());
    }
    for (index, draft) in drafts.iter().enumerate() {
        for &input in &draft.made_of {
            graph.add_edge(NodeIndex::new(input), NodeIndex::new(index), ());
        }
    }
    graph
}

/// Reports assemblies that are made of themselves; true if there are none.
fn circles(drafts: &[Draft], sink: &Sink) -> bool {
    let mut none = true;
    for group in tarjan_scc(&goes_into(drafts)) {
        let first = group.iter().map(|node| node.index()).min().unwrap_or(0);
        if group.len() == 1 && !drafts[first].made_of.contains(&first) {
            continue;
        }
        // Each item goes into at most one assembly, so following these links goes once around the circle.
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
///
/// # Panics
/// If assemblies are made of each other, which [`drafts`] refuses.
pub fn inputs_first(drafts: &[Draft]) -> Vec<usize> {
    let order = toposort(&goes_into(drafts), None).expect("no assembly is made of itself");
    order.into_iter().map(NodeIndex::index).collect()
}

/// The size of a block in metres.
pub fn block_of([length, width, thickness]: &[GivenQuantity; 3]) -> Size {
    Size {
        length: length.value,
        width: width.value,
        thickness: thickness.value,
    }
}
