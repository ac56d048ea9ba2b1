//! What feeds the shop on one layout: what the file says, with what the layout says laid over it.

use std::borrow::Cow;

use super::catalogue::Catalogue;
use super::ducts::LayoutFloor;
use super::shop::Built;
use super::sound::SoundGrounds;
use super::{collecting, heating, lighting, sound, wiring};
use crate::floor::Plan;
use crate::scenario::fields::Fields;
use crate::scenario::patch;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::tree::MapEntry;
use crate::services::ServicePlan;
use crate::services::power::Starts;
use crate::shop::StationId;

/// The services of a layout; nothing where nobody says anything of them.
pub fn plan(layout: &Fields, built: &Built, plan: Option<&Plan>) -> Option<ServicePlan> {
    let sink = layout.sink;
    let power = laid_over(built.power, layout.entry("power"));
    let dust = laid_over(built.dust, layout.entry("dust"));
    let floor = plan.map(|plan| LayoutFloor {
        plan,
        room: built.room.as_ref(),
    });
    let light = laid_over(built.light, layout.entry("light"));
    let lamps = light.as_ref().and_then(|light| light.node.get("circuit"));
    let (wiring, lamps_on) = wiring::wiring(
        power.as_deref(),
        &built.catalogue,
        (built.room.as_ref(), lamps),
        sink,
    );
    let mut plan = ServicePlan {
        wiring,
        collectors: collecting::collectors(dust.as_deref(), &built.catalogue, floor, sink),
        heat: heating::heat(built.heat, &built.catalogue, built.room.as_ref(), sink),
        light: lighting::light(
            light.as_deref(),
            &built.catalogue,
            built.room.as_ref(),
            sink,
        ),
        noise: None,
    };
    if let Some(light) = &plan.light {
        let load = wiring::lamps(light, (lamps, lamps_on), &plan.wiring.circuits, sink);
        plan.wiring.loads.extend(load);
    }
    // A collector is on with its machines, also one that somebody calls automatic for that.
    let collectors = plan.collectors.iter();
    let with_machines: Vec<StationId> = collectors
        .filter(|collector| !collector.serves.is_empty())
        .map(|collector| collector.station)
        .collect();
    if let Some(floor) = floor.filter(|floor| floor.plan.places_something()) {
        let is_gone = |station: StationId| {
            floor.place(station.index()).is_none()
                && collecting::is_collector(dust.as_deref(), &built.catalogue, station)
        };
        plan.wiring
            .loads
            .retain(|load| load.station.is_none_or(|station| !is_gone(station)));
    }
    let loads = plan.wiring.loads.iter_mut();
    for load in loads.filter(|load| {
        load.station
            .is_some_and(|station| with_machines.contains(&station))
    }) {
        load.starts = Starts::WithWork;
    }
    for collector in plan.collectors.iter().filter(|plan| plan.vents_outdoors) {
        if plan.heat.is_none() || collector.air.is_none() {
            refuse_vent(dust.as_deref(), &built.catalogue, collector.station, sink);
        }
    }
    warn_of_idle(&plan, &built.catalogue, sink);
    let noise = laid_over(built.noise, layout.entry("noise"));
    let mut people = built.shop.iter().flat_map(|shop| &shop.crew);
    let grounds = SoundGrounds {
        noise: noise.as_deref(),
        has_protection: people.any(|person| person.protection.is_some()),
        quiet: built.quiet,
        collectors: &plan.collectors,
    };
    plan.noise = sound::noise(&built.catalogue, &grounds, sink);
    (plan != ServicePlan::default()).then_some(plan)
}

/// Reports a collector that throws its air out where nothing can be reckoned of that.
fn refuse_vent(dust: Option<&MapEntry>, catalogue: &Catalogue, station: StationId, sink: &Sink) {
    let name = catalogue.stations.name(station.index());
    let collectors = dust.and_then(|dust| dust.node.get("collectors"));
    let vents = collectors.and_then(|all| all.get(name)?.entry("vents"));
    if let Some(vents) = vents {
        sink.report(
            Problem::error(&vents.key.span, "nothing can be reckoned of the air that this throws out")
                .hint("that takes the collector's `curve`, ducts with places in a layout, and `heat` with `outside`, `walls`, `ceiling` and `air changes`"),
        );
    }
}

/// Warns of what is plugged in and never on.
fn warn_of_idle(plan: &ServicePlan, catalogue: &Catalogue, sink: &Sink) {
    let plugged = plan
        .wiring
        .loads
        .iter()
        .filter(|load| load.circuit.is_some());
    let worked = plugged.filter(|load| load.starts == Starts::WithWork);
    let worked = worked.filter_map(|load| load.station);
    for station in worked.filter(|&station| plan.collector_at(station).is_none()) {
        let station = &catalogue.declared_stations[station.index()];
        if !station.does.is_empty() {
            continue;
        }
        let what = format!("`{}` is never on", station.key.text);
        sink.report(
            Problem::warning(&station.key.span, what)
                .label("nobody works at it, and nothing says that it is a dust collector")
                .hint("write `automatic: true` if it starts by itself"),
        );
    }
}

/// What the file says with what the layout says laid over it.
fn laid_over<'a>(
    file: Option<&'a MapEntry>,
    layout: Option<&'a MapEntry>,
) -> Option<Cow<'a, MapEntry>> {
    match (file, layout) {
        (Some(file), Some(layout)) => Some(Cow::Owned(MapEntry {
            key: layout.key.clone(),
            node: patch::merge(&file.node, &layout.node),
        })),
        (only, None) | (None, only) => only.map(Cow::Borrowed),
    }
}
