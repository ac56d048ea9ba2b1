//! What the file says of the gear that an operation takes.

use super::MOST_PIECES;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::YamlValue;
use crate::shop::GearId;
use crate::units::Length;

/// What the file says of a kind of gear that an operation takes.
#[derive(Debug, Clone)]
pub enum GearSpec {
    Number(u32),
    Spaced {
        spacing: GivenQuantity,
        per_piece: bool,
    },
}

/// Reads `gear` of an operation.
pub fn read(fields: &Fields, gear: &Names) -> Option<Vec<(GearId, GearSpec)>> {
    let sink = fields.sink;
    let mut taken = Vec::new();
    for entry in fields.named("gear")? {
        let id = gear.find_text(&entry.key.text, &entry.key.span, sink);
        let spec = match entry.node.value {
            YamlValue::Map(_) => {
                Fields::open(&entry.node, &entry.key.span, &keys::SPACED, sink).and_then(spaced)
            }
            _ => reader::whole(&entry.node, 1, MOST_PIECES, sink)
                .map(|count| GearSpec::Number(count as u32)),
        };
        if let (Some(id), Some(spec)) = (id, spec) {
            taken.push((GearId(id as u32), spec));
        }
    }
    Some(taken)
}

fn spaced(fields: Fields) -> Option<GearSpec> {
    let spacing = fields.quantity("spacing", Dimension::Length)?;
    if nanometres(spacing.value) == 0 {
        fields.sink.report(
            Problem::error(&spacing.span, "a spacing of 0 would take no end of gear")
                .hint("write for example `spacing: 8 in`"),
        );
        return None;
    }
    let per = fields.get("per");
    let per = per.map(|node| reader::one_of(node, &keys::PER, fields.sink));
    Some(GearSpec::Spaced {
        spacing,
        per_piece: per.unwrap_or(Some(0))? == 0,
    })
}

pub fn nanometres(metres: f64) -> i64 {
    Length::from_metres(metres).nanometres()
}
