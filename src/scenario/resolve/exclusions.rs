//! What does not go on together, and how warm it is.

use super::catalogue::Catalogue;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink, hint_at};
use crate::scenario::reader;
use crate::scenario::tree::YamlNode;
use crate::shop::{Calendar, Exclusion, Heat, OperationId, Project, ProjectId, StationId, Table};

/// Before the name of an operation whose cure is meant.
const CURE_OF: &str = "cure of ";

/// Reads `not together`.
pub fn exclusions(fields: &Fields, catalogue: &Catalogue) -> Vec<Exclusion> {
    let sink = fields.sink;
    let list = fields.get("not together");
    let what = "a list of what does not go together";
    let such_as = |_: &str| "[{of: [sander, planer], at most: 1}]".to_owned();
    let list = list.and_then(|node| reader::list_such_as(node, what, such_as, sink));
    let groups = list.unwrap_or_default().iter();
    groups
        .filter_map(|node| exclusion(node, catalogue, sink))
        .collect()
}

fn exclusion(node: &YamlNode, catalogue: &Catalogue, sink: &Sink) -> Option<Exclusion> {
    let fields = Fields::open(node, &node.span, &keys::EXCLUSION, sink)?;
    let mut exclusion = Exclusion {
        stations: Vec::new(),
        operations: Vec::new(),
        cures_of: Vec::new(),
        at_most: 1,
    };
    if fields.get("at most").is_some() {
        exclusion.at_most = fields.whole("at most", 1, 1_000_000)? as u32;
    }
    let of = fields.get("of")?;
    let names = reader::list(of, "a list of stations and operations", sink)?;
    if names.is_empty() {
        sink.report(
            Problem::error(&of.span, "nothing is named that does not go together")
                .hint("write for example `of: [sander, planer]`"),
        );
    }
    for node in names {
        let Some(name) = reader::text(node, "a station or an operation", sink) else {
            continue;
        };
        add(&mut exclusion, name, &node.span, catalogue, sink);
    }
    Some(exclusion)
}

fn add(exclusion: &mut Exclusion, name: &str, at: &Bytes, catalogue: &Catalogue, sink: &Sink) {
    let operation_id = |name: &str| {
        let index = catalogue.operations.index(name);
        index.map(|operation| OperationId(operation as u32))
    };
    if let Some(cured) = name.strip_prefix(CURE_OF) {
        exclusion.cures_of.extend(
            (catalogue.operations.find_text(cured, at, sink))
                .map(|operation| OperationId(operation as u32)),
        );
        return;
    }
    match (catalogue.stations.index(name), operation_id(name)) {
        (Some(_), Some(_)) => sink.report(
            Problem::error(at, format!("`{name}` is both a station and an operation"))
                .hint("give one of them another name, so that it is plain which is meant"),
        ),
        (Some(station), None) => exclusion.stations.push(StationId(station as u32)),
        (None, Some(operation)) => exclusion.operations.push(operation),
        (None, None) => {
            let stations = (0..catalogue.stations.len()).map(|one| catalogue.stations.name(one));
            let operations =
                (0..catalogue.operations.len()).map(|one| catalogue.operations.name(one));
            let all: Vec<&str> = stations.chain(operations).collect();
            sink.report(
                Problem::error(
                    at,
                    format!("no station and no operation is called `{name}`"),
                )
                .maybe_hint(hint_at(name, all)),
            );
        }
    }
}

/// Reads `heat`.
pub fn heat(fields: &Fields) -> Option<Heat> {
    let entry = fields.entry("heat")?;
    let heat = Fields::open(&entry.node, &entry.key.span, &keys::HEAT, fields.sink)?;
    let celsius = |key: &str| reader::celsius(heat.get(key)?, fields.sink);
    let (open, shut) = (celsius("open"), celsius("shut"));
    Some(Heat {
        open: open?,
        shut: shut?,
    })
}

/// Reports cures that never end, as it is never warm enough; `None` if there is one. Warns of those that would stand
/// still in the cold where nobody says how warm it is.
pub fn all_cure(
    fields: &Fields,
    heat: Option<&Heat>,
    calendar: &Calendar,
    projects: &Table<ProjectId, Project>,
    operations: &Table<OperationId, String>,
) -> Option<()> {
    let items = projects.iter().flat_map(|project| &project.items);
    let choices = items
        .flat_map(|item| &item.route)
        .flat_map(|step| &step.choices);
    let works = choices.map(|choice| &choice.work);
    let mut cures = works.filter_map(|work| {
        let cure = work.cure.as_ref().filter(|cure| cure.time.mean() > 0.0)?;
        Some((&operations[work.operation], cure))
    });
    let (Some(heat), Some(entry)) = (heat, fields.entry("heat")) else {
        let idle = cures.find(|(_, cure)| cure.least.is_some());
        if let (Some((name, _)), Some(entry)) = (idle, fields.entry("stations")) {
            let what = format!("`least` of the cure after `{name}` has no effect without `heat`");
            fields.sink.report(
                Problem::warning(&entry.key.span, what)
                    .hint("say how warm it is, for example `heat: {open: 18 C, shut: 8 C}`"),
            );
        }
        return Some(());
    };
    for (name, cure) in cures {
        if heat.cures(cure.least, calendar) {
            continue;
        }
        let least = cure.least.unwrap_or_default();
        fields.sink.report(
            Problem::error(
                &entry.key.span,
                format!("after `{name}` nothing ever cures: it is never as warm as {least:.1} C, below which it stands still"),
            )
            .hint("write a higher temperature, or a lower `least` of the cure"),
        );
        return None;
    }
    Some(())
}
