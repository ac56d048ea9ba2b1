//! Where a file says that one stands.

use super::geometry;
use crate::floor::Point;
use crate::scenario::problem::{Bytes, Sink};
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};

/// A `stand` as it is written: `[x, y]`, or `{rip: [x, y], crosscut: [x, y]}`.
#[derive(Default)]
pub struct GivenStand<'a> {
    /// For all work.
    pub everywhere: Option<Point>,
    pub by_operation: Vec<(&'a str, &'a Bytes, Point)>,
}

impl<'a> GivenStand<'a> {
    /// Nothing where it cannot be read, which is reported then.
    pub fn read(node: &'a YamlNode, sink: &Sink) -> Option<GivenStand<'a>> {
        let YamlValue::Map(_) = &node.value else {
            return Some(GivenStand {
                everywhere: Some(geometry::point(node, sink)?),
                by_operation: Vec::new(),
            });
        };
        let mut by_operation = Vec::new();
        let mut complete = true;
        for entry in reader::entries(node) {
            match geometry::point(&entry.node, sink) {
                Some(at) => by_operation.push((&*entry.key.text, &entry.key.span, at)),
                None => complete = false,
            }
        }
        complete.then_some(GivenStand {
            everywhere: None,
            by_operation,
        })
    }

    /// What it says of one operation.
    pub fn of(&self, operation: &str) -> Option<Point> {
        let mut given = self.by_operation.iter();
        let (.., at) = given.find(|(name, ..)| *name == operation)?;
        Some(*at)
    }
}
