//! `shopstride kinds`: what stations of a kind are usually like.

use super::arguments::KindsOptions;
use super::places::Places;
use super::{Refusal, output};
use crate::experiment::Units;
use crate::report::kinds::{json, list, page};
use crate::scenario::kinds::{self, StationKind};

pub fn kinds(options: &KindsOptions) -> Result<(), Refusal> {
    Places::new(None).file("--json", &options.json).check()?;
    let name = options.name.join(" ");
    let kind = match name.is_empty() {
        true => None,
        false => Some(find(&name)?),
    };
    let units = match options.metric {
        true => Units::Metric,
        false => Units::Imperial,
    };
    if let Some(file) = &options.json {
        let text = match kind {
            Some(kind) => json([kind]),
            None => json(kinds::kinds()),
        };
        output::write_or_print(file, &format!("{text:#}\n"), options.quiet)?;
    }
    if output::is_standard_output(&options.json) {
        return Ok(());
    }
    output::print(&match kind {
        Some(kind) => page(kind, units),
        None => list(units),
    })
}

fn find(name: &str) -> Result<&'static StationKind, Refusal> {
    kinds::find(name).ok_or_else(|| {
        let what = format!("there is no kind of station called `{name}`");
        Refusal::with_hint(what, kinds::hint(name))
    })
}
