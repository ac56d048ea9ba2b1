//! What feeds a shop, on its set-out sheet: where drops, outlets and lamps are, and what has to be bought for them.

use minijinja::context;
use minijinja::value::Value;

use super::wall_name;
use crate::experiment::{LayoutFindings, Units};
use crate::floor::{Plan, Point, SetOut, taped_places};
use crate::report::figure::number;
use crate::report::measures::{diameter, length};
use crate::report::power::amps as of_amps;
use crate::report::tape::exact_tape;
use crate::scenario::printable_name;
use crate::services::ServicePlan;
use crate::services::air::{CollectorAir, ConnectionWay, DuctPart};
use crate::services::power::Conductor;
use crate::services::shopping::{ShoppingEntry, ShoppingItem, shopping_list};

/// Places and the list; None of a layout that nobody says to be fed.
pub fn feeding(found: &LayoutFindings, services: &ServicePlan, units: Units) -> Option<Value> {
    let places = places(found, services, units);
    let list: Vec<Value> = shopping_list(services)
        .iter()
        .map(|entry| bought(entry, units))
        .collect();
    let (places, is_prolonged) = taped(&found.plan, places, units)?;
    (!places.is_empty() || !list.is_empty()).then(|| {
        context! {
            places,
            is_prolonged,
            list,
            left_out => left_out(services),
            caution => caution(services),
        }
    })
}

/// Something that is set out.
struct FedPlace {
    what: String,
    at: Point,
    height: Option<f64>,
}

/// Corners of mains, drops, outlets and lamps, in this order.
fn places(found: &LayoutFindings, services: &ServicePlan, units: Units) -> Vec<FedPlace> {
    let mut places = Vec::new();
    for air in services
        .collectors
        .iter()
        .filter_map(|plan| plan.air.as_ref())
    {
        mains(&mut places, air, units);
        drops(&mut places, found, air, units);
    }
    for circuit in &services.wiring.circuits {
        for (nth, &at) in circuit.outlets.iter().enumerate() {
            let which = match circuit.outlets.len() {
                1 => String::new(),
                _ => format!(" {}", nth + 1),
            };
            places.push(FedPlace {
                what: format!(
                    "outlet{which} of circuit {}, {} V",
                    printable_name(&circuit.name),
                    number(circuit.volts)
                ),
                at,
                height: None,
            });
        }
    }
    for row in services.light.iter().flat_map(|light| &light.lamps) {
        for &[x, y] in &row.places {
            places.push(FedPlace {
                what: format!("lamp, {} lm, its middle", number(row.lumens)),
                at: Point::new(x, y),
                height: Some(row.height),
            });
        }
    }
    places
}

fn mains(places: &mut Vec<FedPlace>, air: &CollectorAir, units: Units) {
    for main in &air.mains {
        let name = printable_name(&main.name);
        let last = main.points.len() - 1;
        for (nth, &at) in main.points.iter().enumerate() {
            let end = match nth {
                0 => "begins".to_owned(),
                nth if nth == last => "ends".to_owned(),
                nth => format!("bend {nth}"),
            };
            places.push(FedPlace {
                what: format!("{} {name}: {end}", diameter(units, main.diameter)),
                at,
                height: Some(main.height),
            });
        }
    }
}

/// Where branches leave their main, and where they come down.
fn drops(places: &mut Vec<FedPlace>, found: &LayoutFindings, air: &CollectorAir, units: Units) {
    let ducts = air.laid().ducts;
    for (nth, connection) in air.connections.iter().enumerate() {
        let ConnectionWay::Main(main) = connection.way else {
            continue;
        };
        let gate = ducts.gates[nth];
        let DuctPart::Branch(station) = ducts.parts[gate].0 else {
            continue;
        };
        let station = printable_name(&found.shop.stations[station].name);
        let Some(&wye) = ducts.lines[gate].first() else {
            continue;
        };
        places.push(FedPlace {
            what: format!(
                "wye and {} gate of {station}, on {}",
                diameter(units, air.branch.diameter),
                printable_name(&air.mains[main].name)
            ),
            at: wye,
            height: Some(air.mains[main].height),
        });
        places.push(FedPlace {
            what: format!("drop to {station}"),
            at: connection.at,
            height: Some(air.branch.port_height),
        });
    }
}

/// Rows of places; None without a room to measure in.
fn taped(plan: &Plan, places: Vec<FedPlace>, units: Units) -> Option<(Vec<Value>, bool)> {
    let points: Vec<Point> = places.iter().map(|place| place.at).collect();
    let set_outs = taped_places(plan, &points)?;
    let is_prolonged = |set_out: &SetOut| {
        let mut corners = set_out.corners.iter();
        corners.any(|corner| corner.is_direct.contains(&false))
    };
    let any = set_outs.iter().any(is_prolonged);
    let rows = places.into_iter().zip(&set_outs).map(|(place, set_out)| {
        let from = |side: usize| {
            let corner = set_out.corners.first();
            corner.map_or_else(String::new, |corner| {
                let mark = if corner.is_direct[side] { "" } else { " *" };
                format!(
                    "{} from {}{mark}",
                    exact_tape(units, corner.distances[side]),
                    wall_name(set_out.walls[side])
                )
            })
        };
        context! {
            what => place.what,
            one => from(0),
            other => from(1),
            height => place.height.map_or_else(String::new, |height| exact_tape(units, height)),
        }
    });
    Some((rows.collect(), any))
}

/// How much, and of what.
fn bought(entry: &ShoppingEntry, units: Units) -> Value {
    let count = entry.count;
    let of_length = format!("{} in {}", length(units, entry.length), pieces(count));
    let (much, what) = match entry.what {
        ShoppingItem::Pipe(of) => (of_length, format!("{} rigid pipe", diameter(units, of))),
        ShoppingItem::Hose(of) => (of_length, format!("{} hose", diameter(units, of))),
        ShoppingItem::Cable(conductor) => (
            format!("{} in {}", length(units, entry.length), runs(count)),
            format!("cable, {}", wire(conductor)),
        ),
        ShoppingItem::Elbow(of) => (
            many(count),
            format!("{} elbow, radius 1.5 diameters", diameter(units, of)),
        ),
        ShoppingItem::Wye { main, branch } => (
            many(count),
            format!(
                "wye, {} branch from {} main",
                diameter(units, branch),
                diameter(units, main)
            ),
        ),
        ShoppingItem::Gate(of) => (many(count), format!("{} blast gate", diameter(units, of))),
        ShoppingItem::Reducer { from, to } => (
            many(count),
            format!(
                "reducer, {} to {}",
                diameter(units, from),
                diameter(units, to)
            ),
        ),
        ShoppingItem::Breaker { rating, volts } => (
            many(count),
            match rating {
                Some(amps) => format!("breaker, {}, {} V", of_amps(amps), number(volts)),
                None => format!("breaker, {} V: which, an electrician says", number(volts)),
            },
        ),
        ShoppingItem::Outlet { volts } => (many(count), format!("outlet, {} V", number(volts))),
        ShoppingItem::Cord {
            conductor,
            length: of,
        } => (
            many(count),
            format!("cord, {}, {} long", wire(conductor), length(units, of)),
        ),
        ShoppingItem::Lamp {
            lumens,
            length: tube,
        } => (
            many(count),
            match tube > 0.0 {
                true => format!("lamp, {} lm, {} long", number(lumens), length(units, tube)),
                false => format!("lamp, {} lm", number(lumens)),
            },
        ),
    };
    context! { much, what }
}

fn many(count: usize) -> String {
    count.to_string()
}

fn pieces(count: usize) -> String {
    match count {
        1 => "1 piece".to_owned(),
        many => format!("{many} pieces"),
    }
}

fn runs(count: usize) -> String {
    match count {
        1 => "1 run".to_owned(),
        many => format!("{many} runs"),
    }
}

/// "12 AWG copper", "2.5 mm² copper"
fn wire(conductor: Conductor) -> String {
    match conductor.as_gauge() {
        Some(gauge) => format!("{gauge} AWG copper"),
        // As it is sold: 2.5 and not 2.50.
        None => format!("{} mm² copper", (conductor.area * 1e8).round() / 100.0),
    }
}

/// What the list does not have.
fn left_out(services: &ServicePlan) -> String {
    let mut says = vec!["As drawn, without waste: add what is lost in cutting.".to_owned()];
    if services.collectors.iter().any(|plan| plan.air.is_some()) {
        says.push(
            "What leads from a collector's inlet up to its main, hangers, tape and clamps are not in it.".to_owned(),
        );
    }
    let circuits = &services.wiring.circuits;
    if circuits.iter().any(|circuit| circuit.run.is_none()) {
        says.push("Circuits of which the file gives no wire have no cable here.".to_owned());
    }
    if !circuits.is_empty() {
        says.push("Boxes and conduit are not in it.".to_owned());
    }
    says.join(" ")
}

fn caution(services: &ServicePlan) -> String {
    let mut says = Vec::new();
    if !services.wiring.is_empty() {
        says.push("Estimate for planning only: circuits are designed and installed by a licensed electrician under the local code; breakers and wires here are what the file says, not a choice.");
    }
    if services.collectors.iter().any(|plan| plan.air.is_some()) {
        says.push("A good velocity is not clean air: fine dust needs more, and a mask. Ground ducts as their maker says, keep sparks out, and bring no air back over a flame.");
    }
    if services.heat.is_some() {
        says.push("Fuel, flues and exhaust are the work of licensed people; no solvent finish in the air of a flame.");
    }
    if services.light.is_some() {
        says.push("Lamps that flicker can make a turning blade look still: buy such as do not.");
    }
    says.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wires_are_called_as_they_are_sold() {
        assert_eq!(
            Conductor::gauge(12).map(wire).as_deref(),
            Some("12 AWG copper")
        );
        assert_eq!(wire(Conductor { area: 2.5e-6 }), "2.5 mm² copper");
    }
}
