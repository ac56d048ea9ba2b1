//! `shopstride kinds`: what stations of a kind are usually like.

use super::arguments::KindsOptions;
use super::places::Places;
use super::{Refusal, output};
use crate::experiment::Units;
use crate::report::kinds::{json, list, page};
use crate::scenario::kinds::{self, CalledKind};

pub fn kinds(options: &KindsOptions) -> Result<(), Refusal> {
    Places::default().file("--json", &options.json).check()?;
    let name = options.name.join(" ");
    let called = match name.is_empty() {
        true => None,
        false => Some(find(&name)?),
    };
    let is_one_of_several = called
        .as_ref()
        .is_some_and(|called| called.is_one_of_several);
    let kind = called.map(|called| called.kind);
    if let Some(kind) = kind.filter(|_| is_one_of_several) {
        let says = format!(
            "`{name}` is taken to be a {}, as usual; `shopstride kinds` lists the others",
            kind.name
        );
        output::note(options.quiet, &says);
    }
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

fn find(name: &str) -> Result<CalledKind, Refusal> {
    kinds::called(name).ok_or_else(|| {
        let what = format!("there is no kind of station called `{name}`");
        Refusal::with_hint(what, kinds::hint_of_called(name))
    })
}
