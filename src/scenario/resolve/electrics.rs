//! What a station says of its current and of its ports.

use super::geometry::positive;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapKey, YamlNode, YamlValue};
use crate::services::air::WantedAir;
use crate::services::power::{WireRun, takes_both_legs};

/// What the file says of one station; its kind is not in it.
#[derive(Default)]
pub struct DeclaredElectrics<'a> {
    /// Where its motor or load is given.
    pub said_at: Option<&'a Bytes>,
    /// Whether that is a load without a motor.
    pub is_load: bool,
    pub power: Option<f64>,
    pub volts: Option<GivenQuantity>,
    pub amps: Option<f64>,
    /// Whether some of it could not be read, which has been reported.
    pub is_unreadable: bool,
    pub circuit: Option<&'a YamlNode>,
    pub cord: Option<WireRun>,
    pub is_automatic: bool,
    pub is_continuous: bool,
    /// Keys that mean nothing where nothing is known of its current.
    pub hang_on_it: Vec<&'a MapKey>,
    pub ports: Vec<DeclaredPort<'a>>,
}

/// Where dust is drawn off, and what leads there.
pub struct DeclaredPort<'a> {
    pub at: &'a Bytes,
    pub duct: Option<&'a YamlNode>,
    pub hose: Option<&'a YamlNode>,
    pub size: Option<f64>,
    pub wants: Option<WantedAir>,
    /// Whether some of it could not be read, which has been reported.
    pub is_unreadable: bool,
}

impl DeclaredElectrics<'_> {
    /// Whether the file says that it draws anything.
    pub fn says_something(&self) -> bool {
        self.said_at.is_some() || self.circuit.is_some()
    }
}

/// Reads what a station says.
pub fn read<'a>(station: &Fields<'a>) -> DeclaredElectrics<'a> {
    let sink = station.sink;
    let flag = |key| {
        let node = station.get(key);
        node.and_then(|node| reader::flag(node, sink)) == Some(true)
    };
    let mut declared = DeclaredElectrics {
        circuit: station.get("circuit"),
        cord: station.entry("cord").and_then(|entry| {
            let cord = Fields::open(&entry.node, &entry.key.span, &keys::CORD, sink)?;
            wire_run(&cord)
        }),
        is_automatic: flag("automatic"),
        is_continuous: flag("continuous"),
        hang_on_it: ["circuit", "cord", "automatic", "continuous"]
            .into_iter()
            .filter_map(|key| station.entry(key).map(|entry| &entry.key))
            .collect(),
        ports: ports(station),
        ..DeclaredElectrics::default()
    };
    let (motor, load) = (station.entry("motor"), station.entry("load"));
    if let (Some(motor), Some(load)) = (motor, load) {
        sink.report(
            Problem::error(&load.key.span, "what it draws is given twice")
                .also(&motor.key.span, "here it is a motor")
                .hint(
                    "of a machine with a motor give the `motor`: what else is in it is in its amps",
                ),
        );
    }
    let Some(entry) = motor.or(load) else {
        return declared;
    };
    declared.said_at = Some(&entry.key.span);
    declared.is_load = motor.is_none();
    let keys = match declared.is_load {
        true => &keys::LOAD,
        false => &keys::MOTOR,
    };
    if let Some(given) = Fields::open(&entry.node, &entry.key.span, keys, sink) {
        declared.power = above_zero(&given, "power", Dimension::Power);
        declared.volts = volts(&given);
        if !declared.is_load {
            declared.amps = above_zero(&given, "amps", Dimension::Current);
        }
        let is_read = [
            declared.power,
            declared.amps,
            declared.volts.as_ref().map(|volts| volts.value),
        ];
        let keys = ["power", "amps", "volts"];
        let is_lost = |(key, read): (&str, Option<f64>)| given.get(key).is_some() && read.is_none();
        declared.is_unreadable = keys.into_iter().zip(is_read).any(is_lost);
    }
    declared
}

fn ports<'a>(station: &Fields<'a>) -> Vec<DeclaredPort<'a>> {
    let sink = station.sink;
    let Some(node) = station.get("ports") else {
        return Vec::new();
    };
    let nodes = reader::list(node, "a list of ports", sink).unwrap_or_default();
    let read = nodes.iter().filter_map(|node| {
        let port = Fields::open(node, &node.span, &keys::PORT, sink)?;
        if let (Some(duct), Some(hose)) = (port.entry("duct"), port.entry("hose")) {
            sink.report(
                Problem::error(&hose.key.span, "this port is both on a duct and on a hose")
                    .also(&duct.key.span, "here it is on a duct")
                    .hint("leave one of them out; a machine may have several ports"),
            );
        }
        let size = positive(&port, "size");
        let wants = port.get("wants").and_then(|node| wanted_air(node, sink));
        let is_lost = |key, is_read: bool| port.get(key).is_some() && !is_read;
        Some(DeclaredPort {
            at: &node.span,
            duct: port.get("duct"),
            hose: port.get("hose"),
            size,
            wants,
            is_unreadable: is_lost("size", size.is_some()) || is_lost("wants", wants.is_some()),
        })
    });
    read.collect()
}

/// A quantity that must not be 0.
pub fn above_zero(given: &Fields, key: &str, dimension: Dimension) -> Option<f64> {
    let quantity = given.quantity(key, dimension)?;
    if quantity.value <= 0.0 {
        given.sink.report(
            Problem::error(&quantity.span, format!("`{key}` cannot be 0"))
                .hint(format!("write for example {}", dimension.examples())),
        );
        return None;
    }
    Some(quantity.value)
}

/// A voltage that a supply of 120 and 240 V gives.
pub fn volts(given: &Fields) -> Option<GivenQuantity> {
    let volts = given.quantity("volts", Dimension::Voltage)?;
    is_supplied(&volts, given).then_some(volts)
}

/// Whether a voltage is one of those of such a supply; if not, that is reported.
pub fn is_supplied(volts: &GivenQuantity, given: &Fields) -> bool {
    let is_known = takes_both_legs(volts.value).is_some();
    if !is_known {
        given.sink.report(
            Problem::error(
                &volts.span,
                format!(
                    "{} is neither 120 V on one leg nor 240 V on both",
                    volts.text
                ),
            )
            .hint("circuits are reckoned with as in North America; write 120 V or 240 V"),
        );
    }
    is_known
}

/// A wire with its length; nothing if one of them is missing or wrong.
pub fn wire_run(given: &Fields) -> Option<WireRun> {
    let length = given.quantity("length", Dimension::Length);
    let conductor = given
        .get("wire")
        .and_then(|node| reader::wire(node, given.sink));
    Some(WireRun {
        conductor: conductor?,
        length: length?.value,
    })
}

/// An airflow, or the least that will do and a good one.
fn wanted_air(node: &YamlNode, sink: &Sink) -> Option<WantedAir> {
    let nodes = match &node.value {
        YamlValue::List(nodes) => nodes.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let read = |node| reader::quantity(node, Dimension::Airflow, sink).map(|airflow| airflow.value);
    let read: Vec<Option<f64>> = nodes.iter().map(read).collect();
    let wrong = match read.into_iter().collect::<Option<Vec<f64>>>()?[..] {
        [one] if one > 0.0 => {
            return Some(WantedAir {
                least: one,
                good: one,
            });
        }
        [least, good] if least > 0.0 && least <= good => return Some(WantedAir { least, good }),
        [_] | [_, _] => "it must be more than nothing, and no less than the least that will do",
        _ => "one airflow is needed, or the least that will do and a good one",
    };
    sink.report(
        Problem::error(&node.span, wrong).hint("write for example 400 cfm, or [400 cfm, 785 cfm]"),
    );
    None
}
