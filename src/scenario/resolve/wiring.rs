//! Panel, circuits and what is plugged into them.

use super::catalogue::{Catalogue, DeclaredStation};
use super::electrics::{above_zero, is_supplied, volts, wire_run};
use super::geometry::{each, point, warn_outside};
use crate::floor::Room;
use crate::scenario::fields::Fields;
use crate::scenario::keys::{self, ASK};
use crate::scenario::kinds::{self, Motor};
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::rated_amps::{NoAmps, SaidCurrent, is_heater};
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::services::light::LightPlan;
use crate::services::power::{
    AmpsSource, Circuit, ElectricLeg, Starts, StationLoad, Supplied, SupplyPanel, Wiring,
    takes_both_legs,
};
use crate::shop::StationId;

/// The wiring of a layout, without lamps, and the circuit that is named for them; nothing in it where the file says nothing
/// of current.
pub fn wiring(
    power: Option<&MapEntry>,
    catalogue: &Catalogue,
    (room, lamps): (Option<&Room>, Option<&YamlNode>),
    sink: &Sink,
) -> (Wiring, Option<usize>) {
    let panels = room.map_or(&[][..], |room| &room.panels);
    let panels: Vec<&str> = panels.iter().map(|panel| &*panel.name).collect();
    let fields =
        power.and_then(|power| Fields::open(&power.node, &power.key.span, &keys::POWER, sink));
    let panel = fields
        .as_ref()
        .map(|fields| supply(fields, &panels))
        .unwrap_or_default();
    let mut circuits = Circuits {
        names: Names::new("circuit"),
        list: Vec::new(),
    };
    for entry in fields
        .and_then(|fields| fields.named("circuits"))
        .unwrap_or_default()
    {
        circuits.names.add(&entry.key);
        circuits
            .list
            .push(circuit(entry, &panel.volts, &circuits.list, room, sink));
    }
    let stations = catalogue.declared_stations.iter().enumerate();
    let told =
        stations.filter(|(_, station)| power.is_some() || station.electrics.says_something());
    let loads =
        told.filter_map(|(number, station)| circuits.load(StationId(number as u32), station, sink));
    let loads = loads.collect();
    let lamps = lamps.and_then(|node| circuits.find(node, sink));
    let wiring = Wiring {
        loads,
        panel: panel.panel,
        circuits: circuits.list,
    };
    (wiring, lamps)
}

/// What all lamps draw together, on the circuit that was named and found for them; nothing where nobody says what they
/// take. They are taken to be lit throughout.
pub fn lamps(
    light: &LightPlan,
    (named, circuit): (Option<&YamlNode>, Option<usize>),
    circuits: &[Circuit],
    sink: &Sink,
) -> Option<StationLoad> {
    /// Where no circuit says it.
    const VOLTS: f64 = 120.0;
    let known = light.lamps.iter().filter_map(|row| {
        let power = row.power?;
        Some(power * f64::from(row.count))
    });
    let power: f64 = known.sum();
    if power <= 0.0 {
        if let Some(node) = named {
            sink.report(
                Problem::error(&node.span, "nothing says what the lamps draw")
                    .hint("write what each takes at the lamps, such as `power: 40 W`"),
            );
        }
        return None;
    }
    let volts = circuit.map_or(VOLTS, |circuit| circuits[circuit].volts);
    Some(StationLoad {
        station: None,
        circuit,
        volts,
        amps: power / volts,
        source: AmpsSource::Power,
        table_amps: None,
        is_motor: false,
        is_continuous: false,
        starts: Starts::Throughout,
        cord: None,
    })
}

#[derive(Default)]
struct ReadPanel {
    panel: SupplyPanel,
    volts: Vec<f64>,
}

fn supply(fields: &Fields, panels: &[&str]) -> ReadPanel {
    let sink = fields.sink;
    let entry = fields.entry("panel");
    let given =
        entry.and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::SUPPLY, sink));
    let Some(given) = given else {
        return ReadPanel::default();
    };
    if let Some(node) = given.get("at")
        && let Some(name) = reader::text(node, "the name of an electrical panel of the room", sink)
        && !panels.contains(&name)
    {
        let what = format!("the room has no electrical panel called `{name}`");
        let hint = hint_at(name, panels.iter().copied());
        sink.report(Problem::error(&node.span, what).maybe_hint(hint));
    }
    let list = given
        .get("volts")
        .and_then(|node| reader::list(node, "a list of voltages", sink));
    let read = |node: &YamlNode| {
        let volts = reader::quantity(node, Dimension::Voltage, sink)?;
        is_supplied(&volts, &given).then_some(volts.value)
    };
    let feeder = given.entry("feeder");
    let feeder =
        feeder.and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::FEEDER, sink));
    ReadPanel {
        volts: list.unwrap_or_default().iter().filter_map(read).collect(),
        panel: SupplyPanel {
            rating: above_zero(&given, "rating", Dimension::Current),
            feeder: feeder.as_ref().and_then(wire_run),
        },
    }
}

fn circuit(
    entry: &MapEntry,
    panel_volts: &[f64],
    before: &[Circuit],
    room: Option<&Room>,
    sink: &Sink,
) -> Circuit {
    let fields = Fields::open(&entry.node, &entry.key.span, &keys::CIRCUIT, sink);
    let said = fields.as_ref().and_then(volts);
    let volts = said.as_ref().map_or(120.0, |volts| volts.value);
    let is_both = takes_both_legs(volts) == Some(true);
    let turn = before
        .iter()
        .filter(|circuit| !circuit.is_of_both_legs())
        .count()
        % 2;
    let leg = fields.and_then(|fields| fields.entry("leg"));
    let said_leg = leg.and_then(|leg| reader::one_of(&leg.node, &keys::LEGS, sink));
    if let (true, Some(leg)) = (is_both, leg) {
        sink.report(
            Problem::error(&leg.key.span, "a circuit of 240 V loads both legs")
                .hint("leave `leg` out"),
        );
    }
    let gives = |volts: &GivenQuantity| {
        panel_volts.is_empty()
            || panel_volts
                .iter()
                .any(|&of| takes_both_legs(of) == takes_both_legs(volts.value))
    };
    if let Some(said) = said.filter(|said| !gives(said)) {
        sink.report(
            Problem::error(&said.span, format!("the panel does not give {}", said.text))
                .hint("its `volts` say what it gives"),
        );
    }
    let outlets = fields
        .iter()
        .flat_map(|fields| each(fields, "outlets", &keys::OUTLET));
    let outlets = outlets.filter_map(|outlet| {
        if let Some(node) = outlet.get("overhead") {
            reader::flag(node, sink);
        }
        let node = outlet.get("at")?;
        let at = point(node, sink)?;
        warn_outside(room, (at, node), "this outlet is not in the room", sink);
        Some(at)
    });
    let rating = fields.as_ref().and_then(breaker);
    let run = fields.as_ref().and_then(wire_run);
    let of_wire = run.and_then(|run| run.conductor.usual_breaker());
    if let (Some(rating), Some(most)) = (rating, of_wire)
        && rating > most
    {
        let at = fields.as_ref().and_then(|fields| fields.entry("breaker"));
        sink.report(
            Problem::warning(
                at.map_or(&entry.key.span, |breaker| &breaker.node.span),
                format!("the breaker of `{}` is larger than its wire is usually protected by", entry.key.text),
            )
            .label(format!("{most} A at most; the wire may get hot before it trips"))
            .hint("read what stands on both again, put nothing more on it, and ask a licensed electrician"),
        );
    }
    Circuit {
        outlets: outlets.collect(),
        name: entry.key.text.clone(),
        rating,
        volts,
        supplied: match (is_both, said_leg.unwrap_or(turn)) {
            (true, _) => Supplied::Both,
            (false, 0) => Supplied::One(ElectricLeg::A),
            (false, _) => Supplied::One(ElectricLeg::B),
        },
        run,
    }
}

/// Its rating; none that is for an electrician to say.
fn breaker(circuit: &Fields) -> Option<f64> {
    let Some(node) = circuit.get("breaker") else {
        circuit.sink.report(
            Problem::error(circuit.at, "nothing says how the circuit is protected")
                .hint("write `breaker: 20 A`, what stands on it, or `breaker: ask`"),
        );
        return None;
    };
    match node.value == YamlValue::Scalar(ASK.to_owned()) {
        true => None,
        false => above_zero(circuit, "breaker", Dimension::Current),
    }
}

struct Circuits<'a> {
    names: Names<'a>,
    list: Vec<Circuit>,
}

impl Circuits<'_> {
    /// What one unit of a station draws; nothing where nothing says that it draws anything.
    fn load(&self, id: StationId, station: &DeclaredStation, sink: &Sink) -> Option<StationLoad> {
        let said = &station.electrics;
        let kind = station.kind.and_then(kinds::find);
        let motor = kind.and_then(|kind| kind.motor).filter(|_| !said.is_load);
        if said.said_at.is_none() && motor.is_none() {
            nothing_known(station, sink);
            return None;
        }
        if said.is_unreadable {
            return None;
        }
        let circuit = said.circuit.map(|node| self.find(node, sink));
        let circuit = match circuit {
            Some(found) => Some(found?),
            None => None,
        };
        let volts = self.volts(station, circuit, motor.as_ref(), sink)?;
        let current = SaidCurrent {
            amps: said.amps,
            power: said.power,
            is_resistive: said.is_load,
        };
        let at = said.said_at.unwrap_or(&station.key.span);
        let (amps, source) = match current.amps_at(volts, motor.as_ref()) {
            Ok(found) => found,
            Err(why) => {
                no_amps(why, at, &station.key.text, sink);
                return None;
            }
        };
        let is_heater = said.is_load && said.is_automatic
            || [Some(&*station.key.text), station.kind]
                .into_iter()
                .flatten()
                .any(is_heater);
        Some(StationLoad {
            station: Some(id),
            circuit,
            volts,
            amps,
            source,
            table_amps: current.table_amps_at(volts, motor.as_ref()),
            is_motor: !said.is_load,
            is_continuous: said.is_continuous || is_heater,
            starts: match (said.is_automatic, said.is_load) {
                (false, _) => Starts::WithWork,
                (true, true) => Starts::Throughout,
                (true, false) => Starts::ByItself,
            },
            cord: said.cord,
        })
    }

    fn find(&self, node: &YamlNode, sink: &Sink) -> Option<usize> {
        if self.list.is_empty() {
            let what = "there is no circuit";
            let hint = "add for example `power: {circuits: {A: {breaker: 20 A}}}`";
            sink.report(Problem::error(&node.span, what).hint(hint));
            return None;
        }
        self.names.find(node, sink)
    }

    /// The voltage at which a station takes its current; nothing if its circuit has another one.
    fn volts(
        &self,
        station: &DeclaredStation,
        circuit: Option<usize>,
        motor: Option<&Motor>,
        sink: &Sink,
    ) -> Option<f64> {
        let said = station.electrics.volts.as_ref();
        let usual = motor.map_or(&[][..], |motor| motor.volts);
        let Some(circuit) = circuit.map(|circuit| &self.list[circuit]) else {
            let usual = usual.first().map_or(120.0, |&volts| f64::from(volts));
            return Some(said.map_or(usual, |volts| volts.value));
        };
        let fits = |volts: f64| takes_both_legs(volts) == Some(circuit.is_of_both_legs());
        let wrong = match said {
            Some(volts) if fits(volts.value) => return Some(volts.value),
            Some(volts) => Problem::error(
                &volts.span,
                format!(
                    "it takes {}, but circuit `{}` has {} V",
                    volts.text, circuit.name, circuit.volts
                ),
            ),
            None => {
                let own = usual
                    .iter()
                    .copied()
                    .map(f64::from)
                    .find(|&volts| fits(volts));
                let is_of_kind = station.electrics.amps.or(station.electrics.power).is_none();
                match (own, is_of_kind && !usual.is_empty()) {
                    (Some(volts), _) => return Some(volts),
                    (None, false) => return Some(circuit.volts),
                    (None, true) => Problem::error(
                        &station.electrics.circuit?.span,
                        format!(
                            "a {} usually takes {} V, but circuit `{}` has {} V",
                            station.kind.unwrap_or_default(),
                            usual[0],
                            circuit.name,
                            circuit.volts
                        ),
                    ),
                }
            }
        };
        sink.report(wrong.hint("plug it in elsewhere, or write what its nameplate says, such as `motor: {volts: 120 V, amps: 15 A}`"));
        None
    }
}

/// Reports what is said of a current of which nothing is known.
fn nothing_known(station: &DeclaredStation, sink: &Sink) {
    if let Some(key) = station.electrics.hang_on_it.first() {
        sink.report(
            Problem::error(&key.span, format!("nothing says what `{}` draws", station.key.text))
                .hint("write what its nameplate says, such as `motor: {volts: 120 V, amps: 15 A}`, or `load: {power: 1.5 kW}`"),
        );
    }
}

fn no_amps(why: NoAmps, at: &Bytes, name: &str, sink: &Sink) {
    let problem = match why {
        NoAmps::BrushMotor => {
            Problem::error(at, "the power of a brush motor says nothing of its current")
        }
        NoAmps::NothingSaid => {
            Problem::error(at, format!("nothing says how much current `{name}` draws"))
        }
    };
    sink.report(problem.hint("write the amps of its nameplate, such as `amps: 15 A`"));
}
