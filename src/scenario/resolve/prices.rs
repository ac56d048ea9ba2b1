//! What things cost to buy, and how much is built in a year.

use std::collections::BTreeMap;

use crate::scenario::fields::Fields;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::{GearId, PriceList, StationId};

/// Reads every `price`, and `projects a year`. Other keys of what has one are read elsewhere.
pub fn read(fields: &Fields) -> PriceList {
    let sink = fields.sink;
    let price = |node: &YamlNode| more_than_nothing(node.get("price")?, "price", sink);
    let stations = entries(fields.get("stations"));
    let upkeep = stations.enumerate().flat_map(|(station, entry)| {
        let id = StationId(station as u32);
        let all = entries(entry.node.get("upkeep")).enumerate();
        all.filter_map(move |(number, upkeep)| Some(((id, number), price(&upkeep.node)?)))
    });
    let carts = fields.get("handling").and_then(|node| node.get("carts"));
    let prices = PriceList {
        stations: of_each(fields.get("stations"), StationId, price),
        gear: of_each(fields.get("gear"), GearId, price),
        cart: carts.and_then(price),
        upkeep: upkeep.collect(),
        orders_a_year: (fields.get("projects a year"))
            .and_then(|node| more_than_nothing(node, "projects a year", sink)),
    };
    if let Some(entry) = fields.entry("projects a year")
        && prices.orders_a_year.is_some()
        && !prices.is_any()
    {
        sink.report(
            Problem::warning(
                &entry.key.span,
                "`projects a year` says nothing where nothing has a `price`",
            )
            .hint("say what something would cost, for example `gear: {clamps: {count: 8, price: 15}}`"),
        );
    }
    prices
}

fn entries(node: Option<&YamlNode>) -> impl Iterator<Item = &MapEntry> {
    let entries = match node.map(|node| &node.value) {
        Some(YamlValue::Map(entries)) => entries.as_slice(),
        _ => &[],
    };
    entries.iter()
}

fn of_each<Id: Ord>(
    node: Option<&YamlNode>,
    id: fn(u32) -> Id,
    price: impl Fn(&YamlNode) -> Option<f64>,
) -> BTreeMap<Id, f64> {
    let all = entries(node).enumerate();
    all.filter_map(|(index, entry)| Some((id(index as u32), price(&entry.node)?)))
        .collect()
}

/// A number above 0, since what something brings is divided by it.
fn more_than_nothing(node: &YamlNode, key: &str, sink: &Sink) -> Option<f64> {
    let number = reader::number(node, sink)?;
    if number <= 0.0 {
        sink.report(
            Problem::error(&node.span, format!("`{key}` has to be more than 0"))
                .hint(format!("write for example `{key}: 12`, or leave it out")),
        );
        return None;
    }
    Some(number)
}
