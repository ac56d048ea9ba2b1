//! Whether the answer stands when things stand somewhat beside their places.

use serde_json::{Value, json};

use super::sensitivity::{COUNTED, DrawCounts, rows, said, standings};
use super::sentence::listed;
use super::tables::{table, text};
use super::tape::{Rounding, tape};
use crate::experiment::{Findings, PlacesDoubt};

/// So many layouts are called by their names in one sentence, at most.
const NAMED: usize = 4;

fn counted<'a>(findings: &'a Findings, doubt: &'a PlacesDoubt) -> DrawCounts<'a> {
    DrawCounts {
        findings,
        draws: doubt.draws(),
        walking: &doubt.walking,
        lead_time: &doubt.lead_time,
    }
}

/// What the draws say, in a few sentences.
pub fn answer(findings: &Findings, doubt: &PlacesDoubt) -> String {
    let within = tape(findings.units, doubt.within, Rounding::Nearest);
    let opening =
        format!("If everything may stand up to {within} beside its place, each by itself,");
    let left_out = left_out(findings, doubt);
    if doubt.draws() == 0 {
        return format!(
            "{opening} nothing can be compared. {}",
            left_out.unwrap_or_default()
        );
    }
    let said = said(&counted(findings, doubt), opening);
    match left_out {
        Some(left_out) => format!("{said} {left_out}"),
        None => said,
    }
}

/// Which draws do not count, and why.
fn left_out(findings: &Findings, doubt: &PlacesDoubt) -> Option<String> {
    if doubt.left_out == 0 {
        return None;
    }
    let of = findings.candidates.iter().zip(&doubt.impossible);
    let of = of.filter(|(_, impossible)| **impossible > 0);
    let names: Vec<String> = of
        .map(|(candidate, impossible)| format!("{impossible} in \"{}\"", candidate.name))
        .collect();
    let names = match names.len() {
        0..=NAMED => listed(&names, "and"),
        more => format!("in {more} layouts"),
    };
    let (made, all) = (doubt.made, doubt.left_out);
    let are = if all == 1 { "is" } else { "are" };
    Some(format!(
        "{all} of {made} draws {are} left out, because something then has no place, or somebody cannot stand or get \
         through: {names}."
    ))
}

/// One row a layout.
pub fn candidates(findings: &Findings, doubt: &PlacesDoubt, width: u16) -> String {
    let within = tape(findings.units, doubt.within, Rounding::Nearest);
    let header = [
        &*format!("places off by {within}"),
        COUNTED[0],
        COUNTED[1],
        "impossible in",
    ];
    let mut table = table(&header, 1, width);
    let of = |count: u32, all: u32| format!("{count} of {all}");
    let counted = counted(findings, doubt);
    for ((candidate, walking, lead_time), &impossible) in standings(&counted).zip(&doubt.impossible)
    {
        table.add_row([
            candidate.name.clone(),
            of(walking.near, counted.draws),
            of(lead_time.near, counted.draws),
            of(impossible, doubt.made),
        ]);
    }
    text(table)
}

/// The counts as data.
pub fn json(findings: &Findings, doubt: &PlacesDoubt) -> Value {
    let mut rows = rows(&counted(findings, doubt));
    for (row, impossible) in rows.iter_mut().zip(&doubt.impossible) {
        row["impossible"] = json!(impossible);
    }
    json!({
        "within_m": doubt.within,
        "draws": doubt.made,
        "left_out": doubt.left_out,
        "replications": doubt.replications,
        "candidates": rows,
    })
}
