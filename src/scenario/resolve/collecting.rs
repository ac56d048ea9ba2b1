//! Which machines a dust collector is on with.

use super::catalogue::Catalogue;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::tree::{MapEntry, YamlNode};
use crate::services::CollectorPlan;
use crate::shop::StationId;
use crate::units::Span;

/// The collectors of a layout with the machines that they serve.
pub fn collectors(
    dust: Option<&MapEntry>,
    catalogue: &Catalogue,
    sink: &Sink,
) -> Vec<CollectorPlan> {
    let opened = dust.and_then(|dust| Fields::open(&dust.node, &dust.key.span, &keys::DUST, sink));
    let Some(fields) = opened else {
        unconnected(catalogue, sink);
        return Vec::new();
    };
    let (mut plans, mut names) = (Vec::new(), Names::new("dust collector"));
    for entry in fields.named("collectors").unwrap_or_default() {
        let given = Fields::open(&entry.node, &entry.key.span, &keys::COLLECTOR, sink);
        let run_on = given.and_then(|given| given.quantity("run on", Dimension::Time));
        let station = catalogue
            .stations
            .find_text(&entry.key.text, &entry.key.span, sink);
        if let Some(station) = station {
            names.add(&entry.key);
            plans.push(CollectorPlan {
                station: StationId(station as u32),
                run_on: Span::from_seconds(run_on.map_or(0.0, |run_on| run_on.value)),
                serves: Vec::new(),
            });
        }
    }
    let ducts = Leads::read(&fields, ("mains", "main"), &keys::MAIN, &names);
    let hoses = Leads::read(&fields, ("hoses", "hose"), &keys::HOSE, &names);
    for (station, declared) in catalogue.declared_stations.iter().enumerate() {
        for port in &declared.electrics.ports {
            let to = match (port.duct, port.hose) {
                (Some(duct), _) => ducts.collector(duct, sink),
                (None, Some(hose)) => hoses.collector(hose, sink),
                (None, None) => None,
            };
            let station = StationId(station as u32);
            if let Some(plan) = to.map(|to: usize| &mut plans[to])
                && !plan.serves.contains(&station)
            {
                plan.serves.push(station);
            }
        }
    }
    plans
}

/// Ducts or hoses by name, with the collector of each.
struct Leads<'a> {
    names: Names<'a>,
    collectors: Vec<Option<usize>>,
}

impl<'a> Leads<'a> {
    fn read(
        fields: &Fields<'a>,
        (key, what): (&str, &'static str),
        keys: &'static keys::Keys,
        collectors: &Names,
    ) -> Leads<'a> {
        let sink = fields.sink;
        let mut leads = Leads {
            names: Names::new(what),
            collectors: Vec::new(),
        };
        for entry in fields.named(key).unwrap_or_default() {
            leads.names.add(&entry.key);
            let given = Fields::open(&entry.node, &entry.key.span, keys, sink);
            let from = given.and_then(|given| given.get("from"));
            let found = from.and_then(|from| collectors.find(from, sink));
            leads.collectors.push(found);
        }
        leads
    }

    fn collector(&self, node: &YamlNode, sink: &Sink) -> Option<usize> {
        self.collectors[self.names.find(node, sink)?]
    }
}

/// Reports ports that lead to ducts or hoses where the file has none at all.
fn unconnected(catalogue: &Catalogue, sink: &Sink) {
    let ports = catalogue
        .declared_stations
        .iter()
        .flat_map(|station| &station.electrics.ports);
    let spans: Vec<&Bytes> = ports
        .filter_map(|port| Some(&port.duct.or(port.hose)?.span))
        .collect();
    for span in spans {
        sink.report(
            Problem::error(span, "nothing says to which collector this leads")
                .hint("add `dust: {collectors: {NAME: {}}, mains: {NAME: {from: COLLECTOR}}}`"),
        );
    }
}
