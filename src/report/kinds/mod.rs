//! What `shopstride kinds` says: the table of kinds, and one kind with every figure and where it comes from.

mod quantity;
mod rows;

use comfy_table::{CellAlignment, ColumnConstraint};
use serde_json::{Map, Value, json};

use super::sentence::listed;
use super::tables::{table, text};
use super::wrap::wrap;
use crate::experiment::Units;
use crate::floor::Side;
use crate::scenario::kinds::{Figure, FigureSource, Height, StationKind, just, kinds};
use quantity::KindQuantity;
use rows::{KindRow, of_kind, of_operation};

/// Columns of the tables and sentences.
const COLUMNS: u16 = 80;

const CAUTION: &str = "Typical figures for planning, none of them a maker's: measure your own, and follow the manuals \
     of your machines. Guards stay on; wiring is an electrician's work; ears need protection from 85 dB(A) on.";

fn wrapped(says: &str) -> String {
    let lines = wrap(says, usize::from(COLUMNS), "", "");
    format!("{}\n", lines.join("\n"))
}

/// What an operation usually takes at a station of a kind, by a key of a scenario.
pub fn usual(kind: &StationKind, operation: &str, key: &str, units: Units) -> Option<String> {
    let does = kind.does.iter().find(|does| does.name == operation)?;
    let row = of_operation(does).into_iter().find(|row| row.name == key)?;
    Some(row.quantity.usual(&row.figure, units))
}

/// The column of what a kind does.
const DOES: usize = 3;

/// All kinds, a row each.
pub fn list(units: Units) -> String {
    let (inches, air) = (KindQuantity::Inches, KindQuantity::CubicFeetAMinute);
    let sign = inches.sign(units);
    let header = [
        "kind".to_owned(),
        format!("size,\n{sign}"),
        format!("table,\n{sign}"),
        "does".to_owned(),
        format!("port,\n{sign}"),
        format!("air,\n{}", air.sign(units)),
        KindQuantity::Decibels.sign(units).to_owned(),
    ];
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut table = table(&header, 1, COLUMNS);
    for (index, column) in table.column_iter_mut().enumerate() {
        // What it does has what the others leave.
        match index {
            DOES => column.set_cell_alignment(CellAlignment::Left),
            _ => {
                column.set_constraint(ColumnConstraint::ContentWidth);
            }
        }
        column.set_padding((u16::from(index == 0), 1));
    }
    let figure = |quantity: KindQuantity, figure: Option<Figure>| {
        figure.map_or_else(String::new, |figure| quantity.number(&figure, units))
    };
    for kind in kinds() {
        let does: Vec<&str> = kind.does.iter().map(|does| does.name).collect();
        let high = match kind.height {
            Some(Height::Table(figure)) => Some(figure),
            _ => None,
        };
        let [along_x, along_y] = kind.size.map(|size| inches.number(&size, units));
        table.add_row([
            kind.name.to_owned(),
            format!("{along_x} × {along_y}"),
            figure(inches, high),
            does.join(", "),
            figure(inches, kind.dust.map(|dust| dust.port)),
            figure(air, kind.dust.map(|dust| dust.airflow)),
            figure(
                KindQuantity::Decibels,
                kind.noise.map(|noise| noise.cutting),
            ),
        ]);
    }
    let use_it = "In a scenario: `table saw: {kind: cabinet saw}`; what the station says itself is taken instead. One \
         kind with its ranges and sources: `shopstride kinds cabinet saw`. Sizes are along x, where one stands, and \
         along y; noise is that of cutting.";
    format!("{}\n{}\n{}", text(table), wrapped(use_it), wrapped(CAUTION))
}

/// One kind with every figure, its range and its source.
pub fn page(kind: &StationKind, units: Units) -> String {
    let header = ["what", "usual", "range", "source"];
    let mut table = table(&header, 1, COLUMNS);
    if let Some(column) = table.column_mut(3) {
        column.set_cell_alignment(CellAlignment::Left);
    }
    let mut sources = Vec::new();
    let mut add = |what: String, row: &KindRow| {
        let source = row.figure.source;
        if !sources.contains(&source) {
            sources.push(source);
        }
        table.add_row([
            what,
            row.quantity.usual(&row.figure, units),
            row.quantity.range(&row.figure, units),
            source.name().to_owned(),
        ]);
    };
    for row in of_kind(kind) {
        add(row.name.to_owned(), &row);
    }
    for does in kind.does {
        for row in of_operation(does) {
            add(format!("{}: {}", does.name, row.name), &row);
        }
    }
    let mut says = format!("{}\n", wrapped(&format!("{}: {}.", kind.name, kind.about)));
    says.push_str(&text(table));
    says.push('\n');
    says.push_str(&wrapped(&stands(kind)));
    says.push_str(&wrapped(&filled(kind)));
    let unbroken = kind.does.iter().filter(|does| does.is_unbroken);
    let unbroken: Vec<String> = unbroken.map(|does| format!("`{}`", does.name)).collect();
    if !unbroken.is_empty() {
        says.push_str(&wrapped(&format!(
            "In a shop with `sessions`, {} {} not left half done when it closes (`pausable: false`).",
            listed(&unbroken, "and"),
            if unbroken.len() == 1 { "is" } else { "are" }
        )));
    }
    let across = kind.does.iter().filter(|does| does.is_across);
    let across: Vec<String> = across.map(|does| format!("`{}`", does.name)).collect();
    if !across.is_empty() {
        says.push_str(&wrapped(&format!(
            "{} {} across the grain, so that a piece is fed along its width.",
            listed(&across, "and"),
            if across.len() == 1 { "runs" } else { "run" }
        )));
    }
    says.push('\n');
    for source in FigureSource::ALL
        .into_iter()
        .filter(|source| sources.contains(source))
    {
        says.push_str(&wrapped(&format!(
            "{}: {}.",
            source.name(),
            source.in_words()
        )));
    }
    says.push('\n');
    for caution in cautions(kind, units) {
        says.push_str(&wrapped(&caution));
    }
    says + &wrapped(CAUTION)
}

/// Where one stands and which way the work goes.
fn stands(kind: &StationKind) -> String {
    let edge = |side: Side| match side {
        Side::MinusY => "in front",
        Side::PlusY => "behind it",
        Side::MinusX => "at its left end",
        Side::PlusX => "at its right end",
    };
    let aside = match kind.stand.along {
        along if along < 0.0 => ", left of the middle",
        along if along > 0.0 => ", right of the middle",
        _ => "",
    };
    let mut says = vec![format!("One stands {}{aside}", edge(kind.stand.side))];
    if let Some(feed) = kind.feed {
        let way = match feed {
            Side::PlusY => "away from oneself",
            Side::MinusY => "toward oneself",
            Side::MinusX => "from right to left",
            Side::PlusX => "from left to right",
        };
        says.push(format!(
            "the work is fed {way} (`feed toward: {}`)",
            feed.name()
        ));
    }
    if kind.hangs {
        says.push("it hangs, so that something lower may stand below it".to_owned());
    }
    if kind.is_flat {
        says.push("nothing stands above its table, so that work passes over it".to_owned());
    }
    let sides = Side::ALL
        .into_iter()
        .filter(|&side| kind.reach_from[side as usize]);
    let sides: Vec<&str> = sides.map(Side::name).collect();
    if !sides.is_empty() {
        says.push(format!("it is reached from {}", listed(&sides, "and")));
    }
    format!("{}.", says.join("; "))
}

/// What a scenario takes from the kind, and how it says otherwise.
fn filled(kind: &StationKind) -> String {
    let mut keys = vec!["`size`"];
    let (has_height, has_table, has_bottom) = match kind.height {
        Some(Height::Table(_)) => (kind.is_flat || kind.overall.is_some(), true, false),
        Some(Height::Body(_)) => (true, false, false),
        Some(Height::Between { .. }) => (true, false, true),
        None => (false, false, false),
    };
    keys.extend(has_height.then_some("`height`"));
    keys.extend(has_table.then_some("`table`"));
    keys.extend(has_bottom.then_some("`bottom`"));
    keys.extend(kind.widest.map(|_| "`widest`"));
    keys.push("`stand`");
    keys.extend(kind.feed.map(|_| "`feed toward`"));
    keys.extend(kind.kickback.then_some("`kickback`"));
    keys.extend(kind.reach_from.contains(&true).then_some("`reach from`"));
    keys.extend((!kind.does.is_empty()).then_some("`does`"));
    let never = match kind.does.last() {
        Some(last) => format!(" `does: {{{}: never}}` takes an operation away.", last.name),
        None => String::new(),
    };
    format!(
        "A station of this kind takes {} from here, each until it says it itself.{never}",
        listed(&keys, "and")
    )
}

/// Air passes a port of this many inches no faster than about 4500 ft a minute at a small collector.
fn passes(port: f64) -> f64 {
    const FASTEST: f64 = 4500.0;
    let feet = port / 12.0;
    std::f64::consts::FRAC_PI_4 * feet * feet * FASTEST
}

/// What one person lifts at most: the load constant of NIOSH 94-110, 51 lb.
const ONE_LIFTS_LB: f64 = 51.0;

fn cautions(kind: &StationKind, units: Units) -> Vec<String> {
    let mut all = Vec::new();
    all.extend(kind.caution.map(str::to_owned));
    if kind.kickback {
        all.push("Nobody stands in the line of the blade: it can throw a piece back.".to_owned());
    }
    if let Some(dust) = kind.dust
        && dust.airflow.usual > 1.2 * passes(dust.port.usual)
    {
        let rounded = Figure {
            usual: (passes(dust.port.usual) / 50.0).round() * 50.0,
            ..dust.airflow
        };
        all.push(format!(
            "A port of {} passes about {}, less than is asked for: a larger or a second one helps.",
            KindQuantity::Inches.usual(&dust.port, units),
            KindQuantity::CubicFeetAMinute.usual(&rounded, units),
        ));
    }
    let most = KindQuantity::Pounds.usual(&just(ONE_LIFTS_LB), units);
    match kind.mass {
        Some(mass) if mass.least > ONE_LIFTS_LB => {
            all.push("It is too heavy for one person to lift.".to_owned());
        }
        Some(mass) if mass.most > ONE_LIFTS_LB => {
            all.push(format!(
                "If yours weighs more than {most}, do not lift it alone."
            ));
        }
        _ => {}
    }
    all
}

/// Kinds as data: figures in SI units, with the unit in the key.
pub fn json<'a>(kinds: impl IntoIterator<Item = &'a StationKind>) -> Value {
    let kinds: Vec<Value> = kinds.into_iter().map(one).collect();
    let sources: Map<String, Value> = FigureSource::ALL
        .into_iter()
        .map(|source| (source.name().to_owned(), json!(source.in_words())))
        .collect();
    json!({"kinds": kinds, "sources": sources, "caution": CAUTION})
}

fn one(kind: &StationKind) -> Value {
    let figures = |rows: Vec<KindRow>| -> Vec<Value> { rows.iter().map(figure).collect() };
    let does = kind.does.iter().map(|does| {
        json!({
            "name": does.name,
            "figures": figures(of_operation(does)),
        })
    });
    let sides = Side::ALL
        .into_iter()
        .filter(|&side| kind.reach_from[side as usize]);
    json!({
        "name": kind.name,
        "about": kind.about,
        "hangs": kind.hangs,
        "flat": kind.is_flat,
        "stands_at": kind.stand.side.name(),
        "feed_toward": kind.feed.map(Side::name),
        "kickback": kind.kickback,
        "reach_from": sides.map(Side::name).collect::<Vec<_>>(),
        "volts": kind.motor.map(|motor| motor.volts),
        "universal_motor": kind.motor.map(|motor| motor.universal),
        "figures": figures(of_kind(kind)),
        "does": does.collect::<Vec<Value>>(),
    })
}

fn figure(row: &KindRow) -> Value {
    let (suffix, factor) = row.quantity.si();
    let mut figure = Map::new();
    figure.insert("what".to_owned(), json!(row.name));
    for (name, value) in [
        ("usual", row.figure.usual),
        ("least", row.figure.least),
        ("most", row.figure.most),
    ] {
        figure.insert(format!("{name}{suffix}"), json!(value * factor));
    }
    figure.insert("source".to_owned(), json!(row.figure.source.name()));
    Value::Object(figure)
}
