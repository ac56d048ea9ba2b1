//! The table of kinds: every figure lies in the range of its kind, and every kind can be used.

use std::collections::BTreeSet;

use serde_json::Value;
use shopstride::experiment::{check_layout, checked_legs};
use shopstride::floor::FindingLevel;
use shopstride::report::check::told;
use shopstride::scenario;
use shopstride::scenario::kinds::{
    Figure, FigureSource, Height, KindOperation, StationKind, find, kinds,
};

use crate::support::data;

fn ranges() -> Value {
    serde_json::from_str(&data("kinds/ranges.json")).expect("JSON")
}

fn pair(range: &Value) -> (f64, f64) {
    let end = |index: usize| range[index].as_f64().expect("a number");
    (end(0), end(1))
}

/// That a figure is in order and lies in a range, in so many of its own units.
fn within(what: &str, figure: &Figure, range: &Value, unit: f64) {
    let (low, high) = pair(range);
    let slack = 1e-9 * high.abs();
    let ends = [
        low * unit - slack,
        figure.least,
        figure.usual,
        figure.most,
        high * unit + slack,
    ];
    assert!(
        ends.is_sorted(),
        "{what}: {figure:?} against {range} times {unit}"
    );
}

#[test]
fn every_kind_of_the_ranges_is_there_once() {
    let ranges = ranges();
    let expected: BTreeSet<&str> = (ranges["kinds"].as_object().expect("kinds").keys())
        .map(String::as_str)
        .collect();
    let names: Vec<&str> = kinds().map(|kind| kind.name).collect();
    assert_eq!(names.len(), 44);
    assert_eq!(names.into_iter().collect::<BTreeSet<_>>(), expected);
}

#[test]
fn every_figure_of_a_thing_lies_in_its_range() {
    let ranges = ranges();
    for kind in kinds() {
        let row = &ranges["kinds"][kind.name];
        let what = |figure: &str| format!("{}: {figure}", kind.name);
        for side in 0..2 {
            within(&what("size"), &kind.size[side], &row["foot_in"][side], 1.0);
        }
        match kind.height {
            Some(Height::Table(figure) | Height::Body(figure)) => {
                within(&what("height"), &figure, &row["height_in"], 1.0);
            }
            Some(Height::Between { bottom, top }) => {
                assert_eq!((bottom, top), pair(&row["height_in"]), "{}", kind.name);
            }
            None => panic!("{} has no height", kind.name),
        }
        // A machine reaches above its table at its lowest, and stands below a ceiling of 8 ft.
        let is_machine = matches!(kind.height, Some(Height::Table(_))) && !kind.is_flat;
        assert_eq!(kind.overall.is_some(), is_machine, "{}", kind.name);
        if let Some((overall, table)) = kind
            .overall
            .zip(kind.height.and_then(|height| height.table()))
        {
            let ordered = [table.usual, overall.usual, 84.0];
            assert!(ordered.is_sorted(), "{}: {ordered:?}", kind.name);
            assert!(
                overall.least <= overall.usual && overall.usual <= overall.most,
                "{}",
                kind.name
            );
        }
        assert_eq!(
            kind.mass.is_some(),
            row.get("mass_lb").is_some(),
            "{}",
            kind.name
        );
        if let Some(mass) = kind.mass {
            within(&what("mass"), &mass, &row["mass_lb"], 1.0);
        }
        if let Some(motor) = kind.motor {
            within(&what("current"), &motor.amps, &row["amps"], 1.0);
        }
        assert_eq!(
            kind.noise.is_some(),
            row.get("noise").is_some(),
            "{}",
            kind.name
        );
        if let Some(noise) = kind.noise {
            within(&what("idle"), &noise.idle, &row["noise"][0], 1.0);
            within(&what("cutting"), &noise.cutting, &row["noise"][1], 1.0);
        }
    }
}

/// Airflow is rounded to 50 cfm, ports to half an inch; neither is taken from one maker.
#[test]
fn dust_is_rounded_for_the_kind() {
    let ranges = ranges();
    for kind in kinds() {
        let row = &ranges["kinds"][kind.name];
        let Some(dust) = kind.dust else {
            continue;
        };
        let (low, high) = pair(&row["cfm"]);
        let airflow = dust.airflow.usual;
        assert_eq!(airflow % 50.0, 0.0, "{}", kind.name);
        assert!(
            (low..=high).contains(&airflow),
            "{}: {airflow} cfm",
            kind.name
        );
        let (low, high) = pair(&row["port_in"]);
        let port = dust.port.usual;
        assert_eq!(port % 0.5, 0.0, "{}", kind.name);
        assert!(
            (low - 0.5..=high + 0.5).contains(&port),
            "{}: {port} in",
            kind.name
        );
        assert_eq!(dust.airflow.source, FigureSource::Published);
    }
}

/// Ranges that hold for an operation wherever it is done, and in what unit.
fn of_operation(ranges: &Value, name: &str) -> Vec<(&'static str, Value, f64)> {
    let practice = |name: &str| ranges["practice"][name].clone();
    let published = |name: &str| ranges["published"][name].clone();
    match name {
        "dado" => vec![("saw setup", practice("dado stack change, min"), 60.0)],
        "sand" => vec![("area rate", practice("sanding, ft2/min"), 1.0)],
        "oil" | "varnish" | "finish" => vec![
            ("area rate", practice("coat, ft2/min"), 1.0),
            ("cure", published("finish recoat, h")[name].clone(), 3600.0),
        ],
        "glue-up" => vec![("cure", published("glue in clamps, min"), 60.0)],
        "dry fit" => vec![("per lot", practice("dry fit, min"), 60.0)],
        "joint" | "joint face" | "joint edge" => {
            vec![("passes", practice("jointing passes"), 1.0)]
        }
        "drum sand" => vec![("passes", practice("drum sanding passes"), 1.0)],
        "rout" | "mould" => vec![("passes", practice("routing passes"), 1.0)],
        _ => Vec::new(),
    }
}

/// The range of set-up of another kind that does this operation, around so many minutes.
fn of_others(ranges: &Value, name: &str, usual: f64) -> Value {
    let kinds = ranges["kinds"].as_object().expect("kinds").values();
    let doing = kinds.filter(|row| {
        row["ops"]
            .as_array()
            .expect("a list")
            .contains(&name.into())
    });
    let mut setups = doing.filter_map(|row| row.get("setup_min"));
    let found = setups.find(|range| (pair(range).0..=pair(range).1).contains(&usual));
    found
        .unwrap_or_else(|| panic!("nobody sets {name} up in {usual} min"))
        .clone()
}

fn check_operation(kind: &StationKind, does: &KindOperation, ranges: &Value) {
    let row = &ranges["kinds"][kind.name];
    let further = of_operation(ranges, does.name);
    let name = |figure: &str| format!("{}: {}: {figure}", kind.name, does.name);
    let is_saw = kind.kickback || kind.name == "radial-arm saw";
    let is_sawn_dado = does.name == "dado" && is_saw;
    let of = |what: &str| {
        let found = further.iter().find(|(of, ..)| *of == what);
        found.map(|(_, range, unit)| (range.clone(), *unit))
    };
    // A guess has no range to lie in; that it is one is what has to be said.
    let known =
        |figure: Option<Figure>| figure.filter(|figure| figure.source != FigureSource::Guess);
    if let Some(setup) = known(does.setup) {
        // Where the ranges of a kind leave setting up out, those of others that do the same stand for it.
        let (range, unit) = match row.get("setup_min") {
            _ if is_sawn_dado => of("saw setup").expect("a range"),
            Some(range) => (range.clone(), 60.0),
            None => (of_others(ranges, does.name, setup.usual / 60.0), 60.0),
        };
        within(&name("setup"), &setup, &range, unit);
    }
    if let Some(per_piece) = known(does.per_piece) {
        within(
            &name("per piece"),
            &per_piece,
            &row["piece_s"][does.name],
            1.0,
        );
    }
    if let Some(feed) = known(does.feed) {
        within(&name("feed speed"), &feed, &row["feed_fpm"], 1.0);
    }
    if let Some(depth) = known(does.depth) {
        // Bench-top planers are listed by ten-thousandths: 0.0156 in is 1/64 in.
        let (low, high) = pair(&row["depth_in"]);
        assert!(
            low <= depth.least + 1e-4 && depth.most <= high + 1e-4,
            "{}",
            name("depth")
        );
        assert!(
            depth.least <= depth.usual && depth.usual <= depth.most,
            "{}",
            name("depth")
        );
    }
    for (what, figure) in [
        ("passes", does.passes),
        ("area rate", does.area_rate),
        ("cure", does.cure),
        ("per lot", does.per_lot),
    ] {
        if let (Some(figure), Some((range, unit))) = (known(figure), of(what)) {
            within(&name(what), &figure, &range, unit);
        }
    }
}

#[test]
fn every_figure_of_an_operation_lies_in_its_range() {
    let ranges = ranges();
    for kind in kinds() {
        let row = &ranges["kinds"][kind.name];
        let listed = row["ops"].as_array().expect("a list").iter();
        let listed: Vec<&str> = listed.map(|name| name.as_str().expect("a name")).collect();
        let names: Vec<&str> = kind.does.iter().map(|does| does.name).collect();
        // A jointer-planer does both, each under one name.
        assert_eq!(names, listed, "{}", kind.name);
        for does in kind.does {
            check_operation(kind, does, &ranges);
            let takes = [does.per_piece, does.per_lot, does.feed, does.area_rate];
            let takes_time = takes.iter().flatten().any(|figure| figure.usual > 0.0);
            assert!(takes_time, "{} takes no time at {}", does.name, kind.name);
        }
    }
}

/// A floor of 30 by 30 ft on which the station stands alone.
fn roomy(kind: &StationKind) -> String {
    let route: Vec<&str> = kind.does.iter().map(|does| does.name).collect();
    let route = route
        .iter()
        .map(|name| format!(", {name}"))
        .collect::<String>();
    format!(
        "title: Roomy\n\
         room: {{size: [30 ft, 30 ft], doors: [{{name: door, between: [[4 ft, 30 ft], [8 ft, 30 ft]]}}]}}\n\
         stations:\n\
         \x20 rack: {{does: {{pick: {{per piece: 1 s}}}}}}\n\
         \x20 machine: {{kind: {}}}\n\
         projects:\n\
         \x20 piece:\n\
         \x20   {{pieces: 2, stock: [96 in, 6 in, 1 in], finished: [24 in, 3 in, 3/4 in], material at: rack, route: [pick{route}]}}\n\
         orders: [{{project: piece}}]\n\
         layouts: {{a: {{at: {{rack: [3 ft, 26 ft], machine: [15 ft, 15 ft]}}}}}}\n\
         run: {{replications: 5}}\n",
        kind.name
    )
}

#[test]
fn every_kind_loads_and_passes_the_check_of_a_roomy_floor() {
    for kind in kinds() {
        let text = roomy(kind);
        let loaded = scenario::load("roomy.yaml", text.as_bytes())
            .unwrap_or_else(|problems| panic!("{problems}"));
        assert!(
            loaded.warnings.is_empty(),
            "{}: {}",
            kind.name,
            loaded.warnings
        );
        let study = loaded.study;
        let candidate = &study.candidates[0];
        let plan = candidate.plan.as_ref().expect("it is drawn");
        let placement = plan.placements.iter().nth(1).and_then(Option::as_ref);
        let placement = placement.expect("it is placed");
        assert_eq!(placement.heights.hangs(), kind.hangs, "{}", kind.name);
        assert!(
            placement
                .table
                .is_none_or(|table| table <= placement.heights.top),
            "{}",
            kind.name
        );
        let legs = checked_legs(&study).expect("it ends");
        let findings = check_layout(candidate, &legs[0]).expect("it is drawn");
        for finding in told(&candidate.shop, plan.room.as_ref(), &findings) {
            assert_eq!(
                finding.level,
                FindingLevel::Note,
                "{}: {finding:?}",
                kind.name
            );
        }
    }
}

#[test]
fn kinds_are_found_by_their_names_alone() {
    for kind in kinds() {
        assert!(find(kind.name).is_some_and(|found| std::ptr::eq(found, kind)));
    }
    assert!(find("Cabinet Saw").is_none() && find("").is_none());
    let hint = scenario::kinds::hint;
    assert_eq!(hint("cabinet sow"), "did you mean `cabinet saw`?");
    assert_eq!(hint("mitre saw"), "did you mean `miter saw`?");
    assert_eq!(hint("Workbench"), "did you mean `workbench`?");
    assert_eq!(
        hint("table saw"),
        "there are: `portable table saw`, `contractor saw`, `cabinet saw`"
    );
    assert_eq!(
        hint("dust collector"),
        "there are: `small dust collector`, `large dust collector`"
    );
    assert_eq!(
        hint("planer"),
        "there are: `bench-top planer`, `floor planer`, `jointer-planer`"
    );
    assert_eq!(hint("kiln"), "`shopstride kinds` lists them");
}
