//! Warnings about stations that have no place in a layout.

use super::shop::Built;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::tree::{MapEntry, MapKey};

/// Warns of stations that a layout leaves out without a word. One that is used nowhere is told of elsewhere, but one of
/// a kind may stand there only to take its room.
pub fn warn_unplaced(name: &MapKey, at: &MapEntry, built: &Built, sink: &Sink) {
    // While there are errors, what is used is not known.
    if sink.has_errors() {
        return;
    }
    let catalogue = &built.catalogue;
    for (index, declared) in catalogue.declared_stations.iter().enumerate() {
        let station = &declared.key.text;
        if built.is_needed(index) || declared.kind.is_none() || at.node.entry(station).is_some() {
            continue;
        }
        sink.report(
            Problem::warning(
                &name.span,
                format!("the layout `{}` does not place `{station}`", name.text),
            )
            .hint(format!(
                "add for example `{station}: [3 m, 2 m]` under `at`, or `{station}: nowhere`"
            )),
        );
    }
}
