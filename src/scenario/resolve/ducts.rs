//! What moves the air of a layout: fans, pipes and hoses, and where they run.

use super::catalogue::DeclaredStation;
use super::electrics::DeclaredPort;
use super::geometry::{point, positive, warn_outside};
use crate::floor::{Plan, Point, Room};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::kinds;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::sizing::rated_loss;
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::services::air::{
    BranchMake, Collector, CurveError, FLEXIBLE_FACTOR, FanCurve, GateRule, LooseHose, MainLine,
    PortWants, RatedLoss, WantedAir, wye_k,
};
use crate::units::customary::{CFM, FOOT, INCH};

/// Most times that a dirty filter may lose more than a clean one.
const DIRTIEST: f64 = 100.0;

/// A collector's fan with what stands before it; None where the file does not say what it can do.
pub struct ReadFan {
    pub collector: Collector,
    /// How many times more a dirty filter takes.
    pub dirt: f64,
}

/// Reads what a collector can do.
pub fn fan(given: &Fields) -> Option<ReadFan> {
    let sink = given.sink;
    let loss = |key: &str| -> Option<RatedLoss> {
        let node = given.get(key)?;
        let text = reader::text(
            node,
            "a pressure at an airflow, such as 1 inH2O at 600 cfm",
            sink,
        )?;
        match rated_loss(text) {
            Ok(loss) => Some(loss),
            Err(why) => {
                let problem =
                    Problem::error(&node.span, format!("`{text}` is no loss at an airflow"));
                sink.report(problem.hint(why));
                None
            }
        }
    };
    let (filter, separator) = (loss("filter"), loss("separator"));
    let dirt = given.get("dirty").and_then(|node| {
        let times = reader::number(node, sink)?;
        let is_possible = (1.0..=DIRTIEST).contains(&times);
        if !is_possible {
            let what = format!("a dirty filter does not take {times} times what a clean one takes");
            sink.report(
                Problem::error(&node.span, what).hint("write a number from 1 to 100, such as 3"),
            );
        }
        is_possible.then_some(times)
    });
    Some(ReadFan {
        collector: Collector {
            curve: curve(given.get("curve")?, sink)?,
            filter,
            dirt: 1.0,
            separator,
        },
        dirt: dirt.unwrap_or(1.0),
    })
}

fn curve(node: &YamlNode, sink: &Sink) -> Option<FanCurve> {
    let points = reader::list(node, "a list of points [airflow, suction]", sink)?;
    let read: Vec<Option<(f64, f64)>> = (points.iter())
        .map(|point| {
            let pair = reader::list(point, "a point [airflow, suction]", sink)?;
            let [airflow, pressure] = pair else {
                let what = format!(
                    "a point has an airflow and a suction, not {} figures",
                    pair.len()
                );
                sink.report(
                    Problem::error(&point.span, what).hint("write for example [400 cfm, 7 inH2O]"),
                );
                return None;
            };
            let airflow = reader::quantity(airflow, Dimension::Airflow, sink);
            let pressure = reader::quantity(pressure, Dimension::Pressure, sink);
            Some((airflow?.value, pressure?.value))
        })
        .collect();
    let read: Vec<(f64, f64)> = read.into_iter().collect::<Option<_>>()?;
    match FanCurve::new(read) {
        Ok(curve) => Some(curve),
        Err(why) => {
            let hint = match why {
                CurveError::NoFreeAirflow => {
                    "add the airflow at which no suction is left, such as [1000 cfm, 0], or a third point"
                }
                _ => "write points of the maker's curve, such as [[0 cfm, 8 inH2O], [1000 cfm, 0]]",
            };
            sink.report(Problem::error(&node.span, why.to_string()).hint(hint));
            None
        }
    }
}

/// Where a layout has things: without a plan nobody knows how long ducts are.
#[derive(Clone, Copy)]
pub struct LayoutFloor<'a> {
    pub plan: &'a Plan,
    pub room: Option<&'a Room>,
}

impl LayoutFloor<'_> {
    pub fn place(&self, station: usize) -> Option<Point> {
        let placement = self.plan.placements.iter().nth(station)?;
        Some(placement.as_ref()?.at)
    }
}

/// How branches are made, and how their gates open.
pub fn branch(dust: &Fields) -> (BranchMake, GateRule) {
    let entry = dust.entry("branch");
    let given = entry
        .and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::BRANCH, dust.sink));
    let length = |key: &str, usual: f64| {
        let given = given.and_then(|given| given.quantity(key, Dimension::Length));
        given.map_or(usual, |length| length.value)
    };
    let factor = given.and_then(|given| {
        let node = given.get("flex factor")?;
        let factor = reader::number(node, dust.sink)?;
        let is_possible = (1.0..=10.0).contains(&factor);
        if !is_possible {
            let what = format!("hose does not lose {factor} times what straight smooth hose loses");
            dust.sink.report(
                Problem::error(&node.span, what).hint("write a number from 1 to 10, such as 1.5"),
            );
        }
        is_possible.then_some(factor)
    });
    let leak = given.and_then(|given| given.quantity("leak", Dimension::Area));
    let rule = given.and_then(|given| gate(given.get("gate")?, dust.sink));
    let make = BranchMake {
        diameter: given
            .and_then(|given| positive(&given, "pipe"))
            .unwrap_or(4.0 * INCH),
        flexible: length("flexible", 5.0 * FOOT),
        flexible_factor: factor.unwrap_or(FLEXIBLE_FACTOR),
        port_height: length("port height", 2.0 * FOOT),
        leak: leak.map_or(0.0, |leak| leak.value),
    };
    let rule = match rule {
        Some(1) => GateRule::ByItself,
        _ => GateRule::ByHand,
    };
    (make, rule)
}

/// How gates open, as an index of [`GATES`](keys::GATES).
fn gate(node: &YamlNode, sink: &Sink) -> Option<usize> {
    if let YamlValue::Map(_) = node.value {
        sink.report(
            Problem::error(
                &node.span,
                "what it takes to open a gate is not reckoned yet",
            )
            .hint("write `gate: by hand`, and add that time to the `setup` of the work there"),
        );
        return None;
    }
    reader::one_of(node, &keys::GATES, sink)
}

/// A main that says where it runs.
pub fn main_line(entry: &MapEntry, given: &Fields, room: Option<&Room>) -> Option<MainLine> {
    let sink = given.sink;
    let node = given.get("points")?;
    let nodes = reader::list(node, "a list of points [x, y]", sink)?;
    let points: Vec<Option<Point>> = nodes.iter().map(|node| point(node, sink)).collect();
    let points: Vec<Point> = points.into_iter().collect::<Option<_>>()?;
    if points.len() < 2
        || points
            .windows(2)
            .any(|pair| pair[0].distance(pair[1]) < SHORTEST)
    {
        let what =
            "a main runs from point to point, and no two that follow each other are the same";
        sink.report(
            Problem::error(&node.span, what)
                .hint("write for example [[1 ft, 20 ft], [1 ft, 8 ft]]"),
        );
        return None;
    }
    for (node, &at) in nodes.iter().zip(&points) {
        warn_outside(room, (at, node), "this main leaves the room here", sink);
    }
    let missing: Vec<&str> = ["height", "pipe"]
        .into_iter()
        .filter(|key| given.get(key).is_none())
        .collect();
    if !missing.is_empty() {
        let what = format!(
            "the main `{}` needs {}",
            entry.key.text,
            missing.join(" and ")
        );
        sink.report(
            Problem::error(given.at, what).hint("write for example `height: 7 ft, pipe: 5 in`"),
        );
        return None;
    }
    let (height, diameter) = (positive(given, "height")?, positive(given, "pipe")?);
    if let Some(ceiling) = room.and_then(|room| room.ceiling)
        && height + diameter / 2.0 > ceiling
        && let Some(node) = given.get("height")
    {
        let what = format!(
            "the axis of the pipe is {} high, but there is only {} below the ceiling",
            sink.length(height),
            sink.length(ceiling - diameter / 2.0)
        );
        sink.report(
            Problem::error(&node.span, what)
                .hint("`height` is of its axis: half of the pipe is above it"),
        );
    }
    let angle = given.get("wye").and_then(|node| {
        let angle = reader::number(node, sink)?;
        let is_possible = (10.0..=90.0).contains(&angle);
        if !is_possible {
            let what = format!("no branch joins a main at {angle}°");
            sink.report(
                Problem::error(&node.span, what).hint("write an angle from 10 to 90, such as 45"),
            );
        }
        is_possible.then_some(angle)
    });
    Some(MainLine {
        name: entry.key.text.clone(),
        points,
        height,
        diameter,
        wye: wye_k(angle.unwrap_or(45.0)),
    })
}

/// Two points that are closer are the same, in m.
const SHORTEST: f64 = 0.01;

/// A hose that says how wide and how long it is.
pub fn loose_hose(entry: &MapEntry, given: &Fields) -> Option<LooseHose> {
    let (diameter, length) = (positive(given, "size"), positive(given, "length"));
    Some(LooseHose {
        name: entry.key.text.clone(),
        diameter: diameter?,
        length: length?,
    })
}

/// The diameter of a port and what it wants, from the file or else as is usual for the kind of its station.
pub fn port(
    port: &DeclaredPort,
    station: &DeclaredStation,
    sink: &Sink,
) -> Option<(f64, PortWants)> {
    if port.is_unreadable {
        return None;
    }
    let usual = station
        .kind
        .and_then(kinds::find)
        .and_then(|kind| kind.dust);
    let size = port.size.or(usual.map(|dust| dust.port.usual * INCH));
    let air = port.wants.or(usual.map(|dust| {
        let airflow = dust.airflow.usual * CFM;
        WantedAir {
            least: airflow,
            good: airflow,
        }
    }));
    let missing: Vec<&str> = [("size", size.is_none()), ("wants", air.is_none())]
        .into_iter()
        .filter_map(|(key, is_missing)| is_missing.then_some(key))
        .collect();
    let (Some(size), Some(air)) = (size, air) else {
        let what = format!(
            "nothing says the {} of a port of `{}`",
            missing.join(" and what it "),
            station.key.text
        );
        sink.report(
            Problem::error(port.at, what)
                .hint("write for example `size: 4 in, wants: [400 cfm, 550 cfm]`"),
        );
        return None;
    };
    let is_typical = port.size.is_none() || port.wants.is_none();
    Some((size, PortWants { air, is_typical }))
}
