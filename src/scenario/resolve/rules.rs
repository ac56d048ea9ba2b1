//! The rules by which stations and people choose, and the figures by which a layout is checked.

use crate::floor::{LIMITS, LimitUnit, Limits};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::shop::{CHOICES, CURES, QUEUE_RULES, Rules, SWITCHES};

/// The figures by which a layout is checked: the file's, else the defaults.
pub fn limits(fields: &Fields) -> Limits {
    let mut limits = Limits::default();
    let given = fields
        .entry("check")
        .and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::CHECK, fields.sink));
    let Some(given) = given else { return limits };
    for row in LIMITS {
        let dimension = match row.unit {
            LimitUnit::Length => Dimension::Length,
            LimitUnit::Mass => Dimension::Mass,
        };
        if let Some(value) = given.quantity(row.key, dimension) {
            (row.set)(&mut limits, value.value);
        }
    }
    limits
}

/// The rules of the file, else the defaults.
pub fn rules(fields: &Fields) -> Rules {
    let mut rules = Rules::default();
    let Some(entry) = fields.entry("rules") else {
        return rules;
    };
    let Some(given) = Fields::open(&entry.node, &entry.key.span, &keys::RULES, fields.sink) else {
        return rules;
    };
    let pick = |key: &str, names: Vec<&str>| {
        given
            .get(key)
            .and_then(|node| reader::one_of(node, &names, fields.sink))
    };
    if let Some(row) = pick("queue", QUEUE_RULES.iter().map(|row| row.name).collect()) {
        rules.queue = QUEUE_RULES[row].rule;
    }
    if let Some(row) = pick(
        "switch station",
        SWITCHES.iter().map(|row| row.name).collect(),
    ) {
        rules.switch = SWITCHES[row].rule;
    }
    if let Some(row) = pick("choose next", CHOICES.iter().map(|row| row.name).collect()) {
        rules.choose = CHOICES[row].rule;
    }
    if let Some(row) = pick("cures", CURES.iter().map(|row| row.name).collect()) {
        rules.cures = CURES[row].rule;
    }
    rules
}
