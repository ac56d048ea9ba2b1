//! Ducts, fans and drums against worked cases.

use std::collections::BTreeMap;

use serde_json::Value;
use shopstride::services::air::{
    Collector, Conveying, CurveError, Drum, DuctNetwork, DuctSection, FanCurve, PORT_ENTRY,
    RatedLoss, Residue, Supply, WantedAir, bore, flexible_loss, loose_volume, smooth_loss,
    velocity_pressure,
};
use shopstride::units::customary::{
    CFM, CUBIC_FOOT, FEET_A_MINUTE, FOOT, GALLON, INCH, INCH_OF_WATER, SQUARE_FOOT, SQUARE_INCH,
};

use super::case::{Case, number, numbers};

pub fn area(case: &Case) {
    let area = bore(case.number("D_in") * INCH);
    case.share(
        "area",
        area / SQUARE_FOOT,
        number(case.expected("area_ft2")),
    );
    for (key, velocity) in [
        ("cfm_3500", 3500.0),
        ("cfm_4000", 4000.0),
        ("cfm_4500", 4500.0),
    ] {
        let airflow = area * velocity * FEET_A_MINUTE / CFM;
        case.share(key, airflow, number(case.expected(key)));
    }
}

/// The chart's equation and the one by airflow are two other sources, which the one that is used follows within 3 %.
pub fn friction(case: &Case) {
    let (diameter, feet_a_minute) = (case.number("D_in"), case.number("V_fpm"));
    let velocity = feet_a_minute * FEET_A_MINUTE;
    let airflow = bore(diameter * INCH) * velocity;
    case.share("Q", airflow / CFM, number(case.expected("Q_cfm")));
    let hundred_feet =
        |loss: f64| loss * 100.0 * FOOT * velocity_pressure(velocity) / INCH_OF_WATER;
    let smooth = hundred_feet(smooth_loss(velocity, airflow));
    let flexible = hundred_feet(flexible_loss(velocity, airflow));
    case.share("smooth", smooth, number(case.expected("acgih_inwg_100ft")));
    case.share("flexible", flexible, number(case.expected("flex")));
    let chart = 2.74 * libm::pow(feet_a_minute / 1000.0, 1.9) / libm::pow(diameter, 1.22);
    let by_airflow = 0.109136 * libm::pow(airflow / CFM, 1.9) / libm::pow(diameter, 5.02);
    case.share("chart", chart, number(case.expected("chart")));
    case.share("by airflow", by_airflow, number(case.expected("q_form")));
    assert!((smooth / chart - 1.0).abs() < 0.03);
}

/// A section in the units of the notes: inches and feet.
fn section(diameter: f64, smooth: f64, flexible: f64, fittings: f64) -> DuctSection {
    DuctSection {
        into: None,
        diameter: diameter * INCH,
        smooth: smooth * FOOT,
        flexible: flexible * FOOT,
        flexible_factor: 1.0,
        fittings,
        entry: PORT_ENTRY,
        has_gate: false,
        leak: 0.0,
    }
}

pub fn example(case: &Case) {
    let fittings = case.numbers("K").iter().sum();
    let duct = DuctSection {
        entry: case.number("he"),
        ..section(
            case.number("D"),
            case.number("straight_ft"),
            case.number("flex_ft"),
            fittings,
        )
    };
    let airflow = case.number("Q") * CFM;
    let network = DuctNetwork::new(vec![duct]).expect("a network");
    let suction = network.suction_for(airflow, &|_| true).expect("a way");
    let pressure = duct.velocity_pressure(airflow);
    case.share(
        "V",
        duct.velocity(airflow) / FEET_A_MINUTE,
        number(case.expected("V")),
    );
    case.share("VP", pressure / INCH_OF_WATER, number(case.expected("VP")));
    case.share("sum", suction / pressure, number(case.expected("sum_VP")));
    case.share(
        "SP",
        suction / INCH_OF_WATER,
        number(case.expected("SP_inwg")),
    );
}

/// The curve and the filter are written out in words.
pub fn operating_points(case: &Case) {
    assert_eq!(case.input("curve"), "SP=8.05594*(1-(Q/1200)^2)");
    assert_eq!(case.input("filter"), "1.0 in wg per 800 cfm, linear");
    let points = vec![(0.0, 8.05594 * INCH_OF_WATER), (1200.0 * CFM, 0.0)];
    let collector = Collector {
        curve: FanCurve::new(points).expect("a curve"),
        filter: Some(rated(1.0, 800.0)),
        dirt: 1.0,
        separator: None,
    };
    let (straight, flexible) = (case.number("straight_ft"), case.number("flex_ft"));
    let (fittings, entry) = (case.numbers("K"), case.number("he"));
    let elbows = fittings[0] + fittings[1];
    let wye = fittings[2];
    let hood = |section| DuctSection { entry, ..section };
    let alone = |diameter| vec![hood(section(diameter, straight, flexible, elbows + wye))];
    let branch = DuctSection {
        into: Some(0),
        ..hood(section(4.0, 0.0, flexible, wye))
    };
    let layouts = [
        ("all_4in", alone(4.0)),
        ("all_6in", alone(6.0)),
        (
            "main6_flex4_hood4",
            vec![section(6.0, straight, 0.0, elbows), branch],
        ),
    ];
    for (name, sections) in layouts {
        let network = DuctNetwork::new(sections).expect("a network");
        let found = network.operating_point(&collector, &|_| true);
        let expected = case.expected(name);
        case.share(name, found.airflow / CFM, number(&expected["Q"]));
        case.share(
            name,
            found.fan_pressure / INCH_OF_WATER,
            number(&expected["SP"]),
        );
        if let Some(velocity) = expected.get("V_main") {
            case.share(
                name,
                found.sections[0].velocity / FEET_A_MINUTE,
                number(velocity),
            );
        }
    }
}

pub fn drum(case: &Case) {
    let solid = case.number("boards")
        * (case.number("width_in") * INCH)
        * (case.number("length_ft") * FOOT)
        * (case.number("removed_in") * INCH);
    let loose = loose_volume(solid, Residue::Shavings);
    let drum = Drum {
        volume: case.number("drum_gal") * GALLON,
    };
    assert_eq!(case.number("expansion"), Residue::Shavings.expansion());
    assert_eq!(case.number("fill"), Drum::FULL);
    case.near("solid_ft3", solid / CUBIC_FOOT);
    case.near("loose_ft3", loose / CUBIC_FOOT);
    case.near("drum_ft3", drum.volume / CUBIC_FOOT);
    case.near("jobs_per_drum", drum.holds() / loose);
}

pub fn chip_rate(case: &Case) {
    let solid = case.number("width_in")
        * INCH
        * case.number("depth_in")
        * INCH
        * case.number("feed_fpm")
        * FEET_A_MINUTE;
    let loose = loose_volume(solid, Residue::Shavings);
    let drum = Drum {
        volume: case.number("drum_gal") * GALLON,
    };
    assert_eq!(case.number("bulk"), Residue::Shavings.expansion());
    assert_eq!(case.number("full"), Drum::FULL);
    case.near("solid_ft3_min", solid / CFM);
    case.near("loose_ft3_min", loose / CFM);
    case.near("minutes_of_cut", drum.holds() / loose / 60.0);
}

pub fn refused_curve(case: &Case) {
    let refused = FanCurve::new(points(case.input("curve"))) == Err(CurveError::TooFewPoints);
    case.same("refused", Some(refused), case.expected("refused").as_bool());
}

fn points(curve: &Value) -> Vec<(f64, f64)> {
    let points = curve.as_array().expect("a list").iter().map(numbers);
    points
        .map(|point| (point[0] * CFM, point[1] * INCH_OF_WATER))
        .collect()
}

fn rated(pressure: f64, airflow: f64) -> RatedLoss {
    RatedLoss {
        pressure: pressure * INCH_OF_WATER,
        airflow: airflow * CFM,
    }
}

pub fn collector(told: &Value) -> Collector {
    let keys = ["curve", "filter", "separator", "dirt"];
    let known = |key: &String| keys.contains(&key.as_str());
    assert!(told.as_object().expect("an object").keys().all(known));
    let loss = |key: &str| {
        let figures = told.get(key).map(numbers)?;
        Some(rated(figures[0], figures[1]))
    };
    Collector {
        curve: FanCurve::new(points(&told["curve"])).expect("a curve"),
        filter: loss("filter"),
        separator: loss("separator"),
        dirt: told.get("dirt").map_or(1.0, number),
    }
}

/// A section of a case, with whether it rises and what its port wants.
struct Told<'a> {
    name: &'a str,
    section: DuctSection,
    is_rising: bool,
    wanted: Option<WantedAir>,
}

fn told<'a>(name: &'a str, told: &Value, before: &[Told]) -> Told<'a> {
    let keys = [
        "into", "D", "straight", "flex", "K", "he", "gate", "rising", "wants", "leak",
    ];
    let known = |key: &String| keys.contains(&key.as_str());
    assert!(
        told.as_object().expect("an object").keys().all(known),
        "{told}"
    );
    let figure = |key: &str| told.get(key).map_or(0.0, number);
    let flag = |key: &str| told.get(key) == Some(&Value::Bool(true));
    let into = told.get("into").map(|into| {
        let at = before.iter().position(|section| into == section.name);
        at.expect("a section before it")
    });
    let wanted = told.get("wants").map(|wants| match wants.as_f64() {
        Some(one) => [one, one],
        None => [number(&wants[0]), number(&wants[1])],
    });
    Told {
        name,
        section: DuctSection {
            into,
            entry: told.get("he").map_or(PORT_ENTRY, number),
            has_gate: flag("gate"),
            leak: figure("leak") * SQUARE_INCH,
            ..section(figure("D"), figure("straight"), figure("flex"), figure("K"))
        },
        is_rising: flag("rising"),
        wanted: wanted.map(|[least, good]| WantedAir {
            least: least * CFM,
            good: good * CFM,
        }),
    }
}

fn sections(all: &Value) -> Vec<Told<'_>> {
    let all = all.as_object().expect("an object");
    // In the case's own order, which may name what is behind first.
    let mut left: Vec<(&String, &Value)> = all.iter().collect();
    let mut found: Vec<Told> = Vec::new();
    while !left.is_empty() {
        let ready = left.iter().position(|(_, section)| {
            let into = section.get("into");
            into.is_none_or(|into| found.iter().any(|before| into == before.name))
        });
        let (name, next) = left.remove(ready.expect("a tree"));
        let section = told(name, next, &found);
        found.push(section);
    }
    found
}

pub fn network(case: &Case) {
    let collectors = case.input("collectors").as_object().expect("an object");
    let [(name, collector_told)] = collectors.iter().collect::<Vec<_>>()[..] else {
        panic!("one collector");
    };
    let told = sections(case.input("sections"));
    let open: Vec<&str> = (case.input("open").as_array().expect("a list").iter())
        .map(|name| name.as_str().expect("a name"))
        .collect();
    let network = DuctNetwork::new(told.iter().map(|told| told.section).collect());
    let network = network.expect("a network");
    let is_open = |number: usize| open.contains(&told[number].name);
    let found = network.operating_point(&collector(collector_told), &is_open);
    let expected = case.expected(name);
    case.close("cfm", found.airflow / CFM, number(&expected["cfm"]));
    let pressure = |pressure: f64| pressure / INCH_OF_WATER;
    case.close(
        "fan",
        pressure(found.fan_pressure),
        number(&expected["fan_sp"]),
    );
    let suction = number(&expected["inlet_suction"]);
    case.close("suction", pressure(found.inlet_suction), suction);
    case.same(
        "beyond",
        Some(found.is_beyond_curve),
        expected["beyond_curve"].as_bool(),
    );
    let on_way = network.on_open_ways(&is_open);
    let mut supplies = BTreeMap::new();
    for (number_of, told) in told.iter().enumerate() {
        let flow = found.sections[number_of];
        let expected = &expected["sections"][told.name];
        let near = |key: &str, value: f64| {
            case.close(
                &format!("{} {key}", told.name),
                value,
                number(&expected[key]),
            );
        };
        near("cfm", flow.airflow / CFM);
        near("fpm", flow.velocity / FEET_A_MINUTE);
        near("vp", pressure(flow.velocity_pressure));
        let state = match on_way[number_of] {
            true => Conveying::at(flow.velocity, told.is_rising),
            false => Conveying::Shut,
        };
        case.same(
            told.name,
            Some(state.in_words()),
            expected["state"].as_str(),
        );
        if let Some(wanted) = told.wanted.filter(|_| on_way[number_of]) {
            let supply = match wanted.supply(flow.airflow) {
                Supply::Enough => "enough",
                Supply::Short => "between",
                Supply::Starved => "starved",
            };
            supplies.insert(told.name.to_owned(), Value::from(supply));
        }
    }
    let expected_sections = expected["sections"].as_object().expect("an object");
    assert_eq!(expected_sections.len(), told.len());
    let ports = expected["ports"].as_object().expect("an object");
    let ports: BTreeMap<String, Value> = ports.clone().into_iter().collect();
    case.same("ports", supplies, ports);
}
