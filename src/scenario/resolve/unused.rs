//! Warnings about what the file declares and no order uses.

use super::catalogue::{Catalogue, DeclaredStation};
use super::misspelt::misspelt;
use super::projects::Projects;
use crate::scenario::fields::Fields;
use crate::scenario::problem::{Problem, meant};
use crate::shop::{OperationId, Person, PersonId, Table};

/// Warns about what the file declares and no order uses.
pub fn warn(
    fields: &Fields,
    catalogue: &Catalogue,
    projects: &Option<Projects>,
    used: &[bool],
    crew: &Option<Table<PersonId, Person>>,
) {
    let sink = fields.sink;
    let Some(projects) = projects else {
        return;
    };
    // While there are errors, what is used is not known.
    let Some(table) = projects.table.as_ref().filter(|_| !sink.has_errors()) else {
        return;
    };
    let used_stations = (catalogue.declared_stations.iter().zip(used))
        .filter(|(_, used)| **used)
        .map(|(station, _)| &*station.key.text);
    for (declared, _) in catalogue
        .declared_stations
        .iter()
        .zip(used)
        .filter(|(station, used)| {
            !**used && station.kind.is_none() && !station.electrics.says_something()
        })
    {
        sink.report(
            Problem::warning(
                &declared.key.span,
                format!("the station `{}` is never used", declared.key.text),
            )
            .label("no route, material or person goes there")
            .maybe_hint(in_the_way(declared))
            .maybe_hint(misspelt(&declared.key.text, used_stations.clone()).map(meant)),
        );
    }
    let items = || table.iter().flat_map(|project| &project.items);
    let works = || {
        items()
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
    };
    let mut needed = vec![false; catalogue.operations.len()];
    let mut taken = vec![false; catalogue.gear.len()];
    for choice in works() {
        needed[choice.work.operation.index()] = true;
        for &(gear, _) in &choice.work.gear {
            taken[gear.index()] = true;
        }
    }
    let needed_names = (needed.iter().enumerate())
        .filter(|(_, needed)| **needed)
        .map(|(index, _)| catalogue.operations.name(index));
    let taken_names = (taken.iter().enumerate())
        .filter(|(_, taken)| **taken)
        .map(|(index, _)| catalogue.gear.key(index).text);
    for (index, declared) in catalogue.declared_operations.iter().enumerate() {
        // That a kind of station does more than anybody needs is nothing to tell.
        let written = declared.defaults.map(|defaults| &defaults.span);
        if let Some(span) = written.or(declared.written).filter(|_| !needed[index]) {
            let name = catalogue.operations.name(index);
            sink.report(
                Problem::warning(span, format!("no route needs the operation `{name}`"))
                    .label("never done")
                    .maybe_hint(misspelt(name, needed_names.clone()).map(meant)),
            );
        }
    }
    for (index, taken) in taken.iter().enumerate() {
        if !taken {
            let key = catalogue.gear.key(index);
            sink.report(
                Problem::warning(
                    key.span,
                    format!("no operation of a route takes `{}`", key.text),
                )
                .label("never used")
                .maybe_hint(misspelt(key.text, taken_names.clone()).map(meant)),
            );
        }
    }
    let Some(crew) = crew else { return };
    for entry in fields.named("crew").unwrap_or_default() {
        let named = |name: &str| {
            name == entry.key.text
                || name
                    .strip_prefix(&*entry.key.text)
                    .is_some_and(|rest| rest.starts_with(' '))
        };
        let idle = crew
            .iter()
            .find(|person| named(&person.name))
            .filter(|person| {
                let busy = |can: &Vec<OperationId>| can.iter().any(|id| needed[id.index()]);
                person.can.as_ref().is_some_and(|can| !busy(can))
            });
        if idle.is_some() {
            sink.report(
                Problem::warning(
                    &entry.key.span,
                    format!("no route needs what `{}` can do", entry.key.text),
                )
                .label("never works"),
            );
        }
    }
}

/// What to write of something that has a size and nothing to do, such as a wall.
fn in_the_way(declared: &DeclaredStation<'_>) -> Option<String> {
    let (wide, deep) = declared.size;
    let only_stands = declared.does.is_empty() && wide > 0.0 && deep > 0.0;
    only_stands.then(|| {
        "what only stands in the way, as a wall or a post does, goes under `room`: `blocked: [{name: post, at: [2 m, \
         1 m], size: [10 cm, 10 cm]}]`"
            .to_owned()
    })
}
