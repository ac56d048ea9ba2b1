//! Routes: each step with the stations that can do it, and what it takes there.

use std::cell::Cell;

use super::MOST_CHOICES;
use super::bought::BoughtStock;
use super::catalogue::{Catalogue, DeclaredDoing};
use super::catching;
use super::chips;
use super::geometry::block;
use super::pieces::Cutting;
use super::setups::NamedSettings;
use super::sizes::Sizes;
use super::spec::Spec;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};
use crate::shop::{
    Choice, Gear, GearId, OperationId, Person, PersonId, PlaceId, StationId, Step, Table, Work,
    WorkStand,
};

/// What routes are built on.
pub struct RouteContext<'p, 'a> {
    pub catalogue: &'p Catalogue<'a>,
    pub gear: &'p Table<GearId, Gear>,
    pub crew: &'p Option<Table<PersonId, Person>>,
    /// How many people can do each operation.
    pub able: Vec<usize>,
    /// How many choices the routes have so far.
    pub choices: Cell<usize>,
    /// In kg/m3.
    pub density: f64,
    /// What stations have to be set to.
    pub settings: NamedSettings,
    /// What material may name as its stock.
    pub bought: &'p BoughtStock<'p>,
    pub work_stands: &'p [WorkStand],
    pub sink: &'a Sink,
}

impl RouteContext<'_, '_> {
    /// Where one stands for an operation at a station, if that is a place of its own.
    fn stand(&self, station: StationId, operation: OperationId) -> Option<PlaceId> {
        let of = |stand: &WorkStand| (stand.station, stand.operation) == (station, operation);
        let nth = self.work_stands.iter().position(of)?;
        Some(PlaceId((self.catalogue.places.len() + nth) as u32))
    }
}

/// The steps of a route, each with the stations that can do it.
pub fn route(
    node: &YamlNode,
    sizes: &Sizes,
    context: &RouteContext,
    used: &mut [bool],
    from: Lies,
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Vec<Step>> {
    let steps = reader::list(node, "a list of operations", context.sink)?;
    if steps.is_empty() {
        context.sink.report(
            Problem::error(&node.span, "nothing is done on this route").hint(
                "write for example `[saw, sand]`, or leave `route` out where nothing is to be done",
            ),
        );
        return None;
    }
    let mut piece = sizes.cutting.clone();
    let mut alone = Vec::new();
    let mut built: Vec<Option<Step>> = Vec::new();
    for (index, node) in steps.iter().enumerate() {
        let mut found = Vec::new();
        built.push(step(node, sizes, &mut piece, context, used, &mut found));
        alone.extend(found.into_iter().map(|what| (index, what)));
    }
    let steps: Vec<Step> = built.into_iter().collect::<Option<_>>()?;
    for (index, what) in alone {
        if !lies_there(&steps, index, from) {
            unattended.push(what);
        }
    }
    Some(steps)
}

/// Where a lot lies before its route.
#[derive(Debug, Clone, Copy)]
pub enum Lies {
    At(PlaceId),
    /// Where its route begins, as the file does not say.
    WhereItBegins,
    /// Wherever its inputs are.
    WithInputs,
}

/// Whether a lot lies at the station of a step already when the step before is done, and nothing is fetched.
fn lies_there(steps: &[Step], index: usize, from: Lies) -> bool {
    let only = |step: &Step| {
        let first = step.choices.first()?.station;
        let all = step.choices.iter().all(|choice| choice.station == first);
        all.then_some(PlaceId::from(first))
    };
    let before = match (index.checked_sub(1), from) {
        (Some(before), _) => only(&steps[before]),
        (None, Lies::At(place)) => Some(place),
        (None, Lies::WhereItBegins) => only(&steps[index]),
        (None, Lies::WithInputs) => None,
    };
    let fetches = (steps[index].choices.iter()).any(|choice| choice.work.fetch_from.is_some());
    !fetches && before.is_some() && before == only(&steps[index])
}

fn step(
    node: &YamlNode,
    sizes: &Sizes,
    piece: &mut Cutting,
    context: &RouteContext,
    used: &mut [bool],
    unattended: &mut Vec<(Bytes, String)>,
) -> Option<Step> {
    let (sink, catalogue) = (context.sink, context.catalogue);
    let (name_node, own, on, own_piece, setting) = match &node.value {
        YamlValue::Map(_) => {
            let fields = Fields::open(node, &node.span, &keys::STEP, sink)?;
            let own = Spec::read(&fields, &catalogue.places, &catalogue.gear);
            let piece = fields.get("piece").and_then(|node| block(node, sink));
            let setting =
                (fields.get("setting")).and_then(|node| context.settings.read(node, sink));
            (fields.get("op")?, own, fields.get("on"), piece, setting)
        }
        _ => (node, Spec::default(), None, None, None),
    };
    let name = reader::text(name_node, "an operation", sink)?;
    let at = &name_node.span;
    let operation = catalogue.operations.find_text(name, at, sink);
    let only = match on {
        Some(on) => Some((on, catalogue.stations.find(on, sink)?)),
        None => None,
    };
    let operation = operation?;
    let doers = &catalogue.declared_operations[operation].doers;
    if doers.is_empty() && catalogue.is_excused(name) {
        return None;
    }
    if doers.is_empty() {
        sink.report(
            Problem::error(at, format!("no station does `{name}`"))
                .hint(format!("add `{name}` to the `does` of a station")),
        );
        return None;
    }
    if let Some((on, station)) = only
        && !doers.iter().any(|&(doer, _)| doer == station)
    {
        if catalogue.declared_stations[station].has_unknown_kind && catalogue.is_excused(name) {
            return None;
        }
        let able: Vec<&str> = doers
            .iter()
            .map(|&(doer, _)| catalogue.stations.name(doer))
            .collect();
        sink.report(
            Problem::error(
                &on.span,
                format!(
                    "`{}` does not do `{name}`",
                    catalogue.stations.name(station)
                ),
            )
            .hint(format!("these do: {}", able.join(", "))),
        );
        return None;
    }
    let total = context.choices.get() + doers.len();
    context.choices.set(total);
    if total > MOST_CHOICES {
        sink.report(
            Problem::error(at, "up to here the routes are longer than is accepted").hint(format!(
                "at most {MOST_CHOICES} steps, times the stations that can do each, are accepted"
            )),
        );
        return None;
    }
    let mut choices = Vec::new();
    let mut obstacles = Vec::new();
    let here = own_piece.or(piece.size());
    let mut cuts: Option<Vec<usize>> = None;
    for &(station, doing) in doers {
        if only.is_some_and(|(_, only)| only != station) {
            continue;
        }
        let DeclaredDoing { given, usual } = &catalogue.declared_stations[station].does[doing];
        let defaults = &catalogue.declared_operations[operation].spec;
        let said = own.over(given).over(defaults);
        let spec = match usual {
            Some(usual) => said.over_usual(usual),
            None => said,
        };
        // All stations that do an operation leave a piece of the same size, so the first one decides.
        cuts.get_or_insert_with(|| spec.cuts().to_vec());
        let id = OperationId(operation as u32);
        let (mut work, mut sources) = spec.work((id, name), sizes, at, &catalogue.gear, sink)?;
        own.tell_levels(given, defaults, usual.as_ref(), &mut sources);
        let mut cut = piece.clone();
        cut.cut(spec.cuts());
        work.bite = spec.bite(sizes, (here, cut.size()), sink);
        if let (Some(before), Some(after)) = (here, cut.size()) {
            work.chips = chips::per_piece(spec.bulk, before, after);
        }
        if let Some(obstacle) = obstacle(&work, name, context) {
            obstacles.push((station, obstacle));
        }
        if work.people == 0 && context.crew.is_some() && context.able[operation] == 0 {
            unattended.push((at.clone(), name.to_owned()));
        }
        let here = StationId(station as u32);
        work.stands_at = context.stand(here, id);
        used[work.place_at(here).index()] = true;
        // Whoever rolls it in goes to where one stands at it.
        if catalogue.declared_stations[station].rolling.is_some() {
            used[station] = true;
        }
        let upkeep = catalogue.declared_stations[station].upkeep.iter();
        for place in upkeep.filter_map(|upkeep| upkeep.fetch_from) {
            used[place.index()] = true;
        }
        if let Some(place) = work.fetch_from {
            used[place.index()] = true;
        }
        if let Some(catching) = work.catches {
            used[catching.at.index()] = true;
            let at_station = (station, catalogue.stations.name(station));
            catching::check(&work, at_station, name, at, sink);
        }
        choices.push(Choice {
            station: StationId(station as u32),
            work,
            sources: sources.into(),
        });
    }
    let none = obstacles.len() == choices.len();
    for (station, (what, hint)) in obstacles {
        let problem = if none {
            Problem::error(at, format!("`{name}` can never start: {what}"))
        } else {
            let station = catalogue.stations.name(station);
            Problem::warning(
                at,
                format!("`{name}` can never start at `{station}`: {what}"),
            )
        };
        sink.report(problem.hint(hint));
    }
    piece.cut(&cuts.unwrap_or_default());
    Some(Step {
        choices,
        piece: here,
        setting,
    })
}

/// Why some work can never start, and what would help.
fn obstacle(work: &Work, name: &str, context: &RouteContext) -> Option<(String, String)> {
    let crew = context.crew.as_ref()?;
    let able = context.able[work.operation.index()];
    if able < work.people as usize {
        return Some(if able == 0 && !crew.is_empty() {
            (
                "nobody can do it".to_owned(),
                format!("add `{name}` to the `can` of somebody"),
            )
        } else if able == 0 {
            (
                "there is nobody to do it".to_owned(),
                "add people to `crew`".to_owned(),
            )
        } else {
            let noun = if able == 1 { "person" } else { "people" };
            (
                format!(
                    "it takes {} people, but only {able} {noun} can do it",
                    work.people
                ),
                if able < crew.len() {
                    format!("add `{name}` to the `can` of somebody, or lower `people`")
                } else {
                    "lower `people`, or add people to `crew`".to_owned()
                },
            )
        });
    }
    for &(id, count) in &work.gear {
        let (gear, count) = (&context.gear[id], count.of(1));
        if gear.count < count {
            return Some((
                format!(
                    "it takes {count} `{}`, but there are only {}",
                    gear.name, gear.count
                ),
                format!(
                    "raise `count` of `{}` under `gear`, or take fewer",
                    gear.name
                ),
            ));
        }
    }
    None
}
