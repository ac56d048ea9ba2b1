//! The rules by which stations and people choose, and the figures by which a layout is checked.

use crate::floor::{LIMITS, LimitUnit, Limits};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::shop::{CHOICES, CURES, CureRule, QUEUE_RULES, QueueRule, Rules, SWITCHES, Shop};

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

/// Warns of rules that decide nothing in this shop.
pub fn warn_idle(fields: &Fields, shop: &Shop) {
    let Some(entry) = fields.entry("rules") else {
        return;
    };
    let warn = |key: &str, what: &str, hint: &str| {
        if let Some(rule) = entry.node.entry(key) {
            (fields.sink).report(Problem::warning(&rule.node.span, what).hint(hint));
        }
    };
    let nothing_is_due = shop.orders.iter().all(|line| line.due.is_none());
    if shop.rules.queue == QueueRule::Edd && nothing_is_due {
        warn(
            "queue",
            "no order says when it is due, so each is due when it is released",
            "write for example `due: 5 d` in `orders`, or leave the rule out",
        );
    }
    if shop.rules.cures == CureRule::LastInASession && shop.calendar.is_always_open() {
        warn(
            "cures",
            "the shop is always open, so no session ends",
            "say when it is open in `sessions`, or leave the rule out",
        );
    }
}
