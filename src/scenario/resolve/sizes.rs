//! The sizes of an item, which the time of work and the gear for it may follow from.

use super::drafts::DraftKind;
use super::pieces::Cutting;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::reader::GivenQuantity;

/// The sizes of an item, as far as they are given.
pub struct Sizes {
    pub name: String,
    pub kind: DraftKind,
    pub rough: Option<[GivenQuantity; 3]>,
    pub finished: Option<[GivenQuantity; 3]>,
    /// What it is cut from, and what it becomes.
    pub cutting: Cutting,
    /// Whether a size is there that could not be read, which has been reported.
    pub unreadable: bool,
    /// Finished surface of one piece in square metres, or the size that is missing for it; empty if that
    /// has been reported.
    pub surface: Result<f64, String>,
}

impl Sizes {
    pub fn is_assembly(&self) -> bool {
        self.kind == DraftKind::Assembly
    }

    /// What the file calls this size: material has only one.
    pub fn called(&self, otherwise: &'static str) -> &'static str {
        match self.kind {
            DraftKind::Material => "stock",
            DraftKind::Part | DraftKind::Assembly => otherwise,
        }
    }
}

/// A problem that has been reported already.
pub struct Reported;

/// Reports a size that some work needs.
pub fn missing(operation: &str, at: &Bytes, what: &str, key: &str, sink: &Sink) -> Reported {
    sink.report(
        Problem::error(
            at,
            format!("`{operation}` needs {what}, which is not given"),
        )
        .hint(format!("add `{key}: [length, width, thickness]`")),
    );
    Reported
}
