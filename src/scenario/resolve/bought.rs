//! What material is bought as: stock that the room names.

use crate::floor::Stock;
use crate::scenario::fields::Fields;
use crate::scenario::problem::{Problem, Sink, hint_at};
use crate::scenario::reader::GivenQuantity;
use crate::scenario::tree::{YamlNode, YamlValue};
use crate::shop::Size;
use crate::units::Mass;

/// What the room calls stock: material may name it.
pub struct BoughtStock<'a> {
    all: &'a [Stock],
    /// Those that could not be read are among these.
    names: Vec<&'a str>,
}

impl<'a> BoughtStock<'a> {
    pub fn new(all: &'a [Stock], fields: &Fields<'a>) -> BoughtStock<'a> {
        let written = fields.get("room").and_then(|room| room.entry("stock"));
        let names = match written.map(|entry| &entry.node.value) {
            Some(YamlValue::Map(entries)) => entries
                .iter()
                .map(|entry| entry.key.text.as_str())
                .collect(),
            _ => Vec::new(),
        };
        BoughtStock { all, names }
    }

    /// The name that a value is, if it is one and no size.
    pub fn name_of<'n>(&self, node: &'n YamlNode) -> Option<&'n str> {
        match &node.value {
            YamlValue::Scalar(text) => Some(text),
            _ => None,
        }
    }

    /// Size and mass of a piece of this name.
    pub fn find(
        &self,
        name: &str,
        node: &YamlNode,
        sink: &Sink,
    ) -> (Option<[GivenQuantity; 3]>, Option<Mass>) {
        if !self.names.contains(&name) {
            let near = hint_at(name, self.names.iter().copied());
            let otherwise =
                "write its size [length, width, thickness], or name it under `stock` of the room";
            sink.report(
                Problem::error(&node.span, format!("the room has no stock called `{name}`"))
                    .hint(near.unwrap_or_else(|| otherwise.to_owned())),
            );
        }
        let Some(stock) = self.all.iter().find(|stock| stock.name == name) else {
            return (None, None);
        };
        let Size {
            length,
            width,
            thickness,
        } = stock.size;
        let size = [length, width, thickness].map(|value| GivenQuantity {
            value,
            text: sink.length(value),
            span: node.span.clone(),
        });
        (Some(size), stock.mass)
    }
}
