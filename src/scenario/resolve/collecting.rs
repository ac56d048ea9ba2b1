//! Dust collectors: with which machines they are on, and what moves their air.

use super::catalogue::{Catalogue, DeclaredStation};
use super::ducts::{self, LayoutFloor};
use super::electrics::DeclaredPort;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, MapKey, YamlNode};
use crate::services::CollectorPlan;
use crate::services::air::{
    BranchMake, CollectorAir, Connection, ConnectionWay, GateRule, LooseHose, MainLine, PortWants,
};
use crate::shop::StationId;
use crate::units::Span;

/// The collectors of a layout with the machines that they serve; with their air where the layout says where things are.
pub fn collectors(
    dust: Option<&MapEntry>,
    catalogue: &Catalogue,
    floor: Option<LayoutFloor>,
    sink: &Sink,
) -> Vec<CollectorPlan> {
    let opened = dust.and_then(|dust| Fields::open(&dust.node, &dust.key.span, &keys::DUST, sink));
    let Some(fields) = opened else {
        unconnected(catalogue, sink);
        return Vec::new();
    };
    let mut reading = Reading::open(&fields, catalogue, floor);
    for (number, station) in catalogue.declared_stations.iter().enumerate() {
        reading.connect(StationId(number as u32), station);
    }
    let (make, gates) = ducts::branch(&fields);
    // Where a layout has places, a collector without one is not there.
    let stands = |collector: &ReadCollector| {
        let placed = floor.filter(|floor| floor.plan.places_something());
        placed.is_none_or(|floor| floor.place(collector.plan.station.index()).is_some())
    };
    let collectors = reading.collectors.into_iter().filter(stands);
    collectors
        .map(|collector| collector.plan(make, gates))
        .collect()
}

/// Whether the file calls a station a collector.
pub fn is_collector(dust: Option<&MapEntry>, catalogue: &Catalogue, station: StationId) -> bool {
    let collectors = dust.and_then(|dust| dust.node.get("collectors"));
    let name = catalogue.stations.name(station.index());
    collectors.is_some_and(|collectors| collectors.entry(name).is_some())
}

/// A collector of the file, with what is connected to it so far.
struct ReadCollector<'a> {
    key: &'a MapKey,
    has_curve: bool,
    plan: CollectorPlan,
    fan: Option<ducts::ReadFan>,
    mains: Vec<MainLine>,
    hoses: Vec<LooseHose>,
    connections: Vec<Connection>,
    wants: Vec<Vec<PortWants>>,
}

impl ReadCollector<'_> {
    fn plan(self, branch: BranchMake, gates: GateRule) -> CollectorPlan {
        let air = self.fan.filter(|_| !self.connections.is_empty());
        CollectorPlan {
            air: air.map(|fan| CollectorAir {
                collector: fan.collector,
                dirt: fan.dirt,
                mains: self.mains,
                branch,
                gates,
                hoses: self.hoses,
                connections: self.connections,
                wants: self.wants,
            }),
            ..self.plan
        }
    }
}

/// Where a main or a hose leads: to which collector, and its number there, if the file says how it runs.
#[derive(Debug, Clone, Copy)]
struct Lead {
    collector: usize,
    way: Option<ConnectionWay>,
}

/// Mains or hoses by name.
struct Leads<'a> {
    names: Names<'a>,
    /// None of those that lead nowhere, which has been reported.
    list: Vec<Option<Lead>>,
}

struct Reading<'a> {
    sink: &'a Sink,
    floor: Option<LayoutFloor<'a>>,
    collectors: Vec<ReadCollector<'a>>,
    mains: Leads<'a>,
    hoses: Leads<'a>,
}

impl<'a> Reading<'a> {
    fn open(
        fields: &Fields<'a>,
        catalogue: &Catalogue,
        floor: Option<LayoutFloor<'a>>,
    ) -> Reading<'a> {
        let sink = fields.sink;
        let mut names = Names::new("dust collector");
        let mut collectors = Vec::new();
        for entry in fields.named("collectors").unwrap_or_default() {
            let given = Fields::open(&entry.node, &entry.key.span, &keys::COLLECTOR, sink);
            let run_on = given.and_then(|given| given.quantity("run on", Dimension::Time));
            let fan = given.as_ref().and_then(ducts::fan);
            let vents =
                given.and_then(|given| reader::one_of(given.get("vents")?, &keys::VENTS, sink));
            let station = catalogue
                .stations
                .find_text(&entry.key.text, &entry.key.span, sink);
            if let Some(station) = station {
                names.add(&entry.key);
                collectors.push(ReadCollector {
                    key: &entry.key,
                    has_curve: given.is_some_and(|given| given.get("curve").is_some()),
                    plan: CollectorPlan {
                        station: StationId(station as u32),
                        run_on: Span::from_seconds(run_on.map_or(0.0, |run_on| run_on.value)),
                        serves: Vec::new(),
                        vents_outdoors: vents == Some(1),
                        air: None,
                    },
                    fan,
                    mains: Vec::new(),
                    hoses: Vec::new(),
                    connections: Vec::new(),
                    wants: Vec::new(),
                });
            }
        }
        let mut mains = Leads::new("main");
        for entry in fields.named("mains").unwrap_or_default() {
            let given = Fields::open(&entry.node, &entry.key.span, &keys::MAIN, sink);
            let line = given.as_ref().and_then(|given| {
                ducts::main_line(entry, given, floor.and_then(|floor| floor.room))
            });
            mains.add(entry, given.as_ref(), &names, |collector| {
                let mains = &mut collectors[collector].mains;
                mains.push(line?);
                Some(ConnectionWay::Main(mains.len() - 1))
            });
        }
        let mut hoses = Leads::new("hose");
        for entry in fields.named("hoses").unwrap_or_default() {
            let given = Fields::open(&entry.node, &entry.key.span, &keys::HOSE, sink);
            let hose = given
                .as_ref()
                .and_then(|given| ducts::loose_hose(entry, given));
            hoses.add(entry, given.as_ref(), &names, |collector| {
                let hoses = &mut collectors[collector].hoses;
                hoses.push(hose?);
                Some(ConnectionWay::Hose(hoses.len() - 1))
            });
        }
        Reading {
            sink,
            floor,
            collectors,
            mains,
            hoses,
        }
    }

    /// Connects the ports of a station, the further ones of which hang on the branch of the first.
    fn connect(&mut self, id: StationId, station: &DeclaredStation) {
        let mut last: Option<(Lead, Option<usize>)> = None;
        for port in &station.electrics.ports {
            let named = match (port.duct, port.hose) {
                (Some(duct), _) => Some(self.mains.find(duct, self.sink)),
                (None, Some(hose)) => Some(self.hoses.find(hose, self.sink)),
                (None, None) => None,
            };
            match (named, last) {
                (Some(Some(lead)), _) => {
                    self.warn_without_course(port, lead);
                    last = Some((lead, self.add(id, lead)));
                }
                // Where it leads cannot be found, which has been reported.
                (Some(None), _) => continue,
                (None, Some(_)) => {}
                (None, None) => {
                    self.sink.report(
                        Problem::error(port.at, "nothing says where this port leads").hint(
                            "write `duct: ` and the name of a main, or `hose: ` and that of a hose",
                        ),
                    );
                    continue;
                }
            }
            let Some((lead, connection)) = last else {
                continue;
            };
            let collector = &mut self.collectors[lead.collector];
            if collector.fan.is_none() {
                warn_without_curve(collector, self.floor, self.sink);
                continue;
            }
            let made = ducts::port(port, station, self.sink);
            if let (Some((diameter, wants)), Some(connection)) = (made, connection) {
                collector.connections[connection].ports.push(diameter);
                collector.wants[connection].push(wants);
            }
        }
    }

    /// Warns of a duct of which nobody knows how it runs, though the file says what its fan can do.
    fn warn_without_course(&self, port: &DeclaredPort, lead: Lead) {
        let is_asked = self.floor.is_some() && self.collectors[lead.collector].fan.is_some();
        if is_asked && lead.way.is_none() {
            let what = "nothing is reckoned of the air here, since nothing says how the duct or the hose runs";
            self.sink.report(Problem::warning(port.at, what).hint(
                "give the main `points`, `height` and `pipe`, or the hose its `size` and `length`",
            ));
        }
    }

    /// A connection of a station; nothing where nobody knows how the air gets there.
    fn add(&mut self, station: StationId, lead: Lead) -> Option<usize> {
        let collector = &mut self.collectors[lead.collector];
        if !collector.plan.serves.contains(&station) {
            collector.plan.serves.push(station);
        }
        let at = self.floor.as_ref()?.place(station.index())?;
        collector.connections.push(Connection {
            station,
            at,
            way: lead.way?,
            ports: Vec::new(),
        });
        collector.wants.push(Vec::new());
        Some(collector.connections.len() - 1)
    }
}

impl<'a> Leads<'a> {
    fn new(what: &'static str) -> Leads<'a> {
        Leads {
            names: Names::new(what),
            list: Vec::new(),
        }
    }

    fn add(
        &mut self,
        entry: &'a MapEntry,
        given: Option<&Fields<'a>>,
        collectors: &Names,
        run: impl FnOnce(usize) -> Option<ConnectionWay>,
    ) {
        self.names.add(&entry.key);
        let from = given.and_then(|given| Some((given.get("from")?, given.sink)));
        let collector = from.and_then(|(from, sink)| collectors.find(from, sink));
        self.list.push(collector.map(|collector| Lead {
            collector,
            way: run(collector),
        }));
    }

    fn find(&self, node: &YamlNode, sink: &Sink) -> Option<Lead> {
        self.list[self.names.find(node, sink)?]
    }
}

/// Warns of a collector of which the file does not say what its fan can do, where the layout says where all stands. A
/// curve that could not be read has been reported.
fn warn_without_curve(collector: &ReadCollector, floor: Option<LayoutFloor>, sink: &Sink) {
    if floor.is_none_or(|floor| !floor.plan.places_something()) || collector.has_curve {
        return;
    }
    let what = format!(
        "nothing is reckoned of the air of `{}`, since nothing says what its fan can do",
        collector.key.text
    );
    sink.report(Problem::warning(&collector.key.span, what).hint(
        "write points of its maker's curve, such as `curve: [[0 cfm, 8 inH2O], [1000 cfm, 0]]`",
    ));
}

/// Reports ports that lead to ducts or hoses where the file has none at all.
fn unconnected(catalogue: &Catalogue, sink: &Sink) {
    let stations = catalogue.declared_stations.iter();
    for port in stations.flat_map(|station| &station.electrics.ports) {
        sink.report(
            Problem::error(port.at, "nothing says to which collector this leads")
                .hint("add `dust: {collectors: {NAME: {}}, mains: {NAME: {from: COLLECTOR}}}`"),
        );
    }
}
