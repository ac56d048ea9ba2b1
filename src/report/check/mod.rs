//! What `shopstride check` says of each layout.

mod feeding;
mod gaps;
mod handling;
mod hazards;
mod names;
mod people;
mod phrase;
mod placing;
mod said;
mod short;
mod told;

pub use phrase::{Phrase, Wording, Writer};
pub use told::{Told, told};

use serde_json::{Map, Value, json};

use super::figure::mass;
use super::style::{FAULT, HEADING};
use super::tape::{Rounding, tape};
use super::typical;
use super::wrap::wrap;
use crate::experiment::{Candidate, Study, TypicalValues, Units};
use crate::floor::FindingLevel;
use crate::scenario::printable_name;

/// What the checks are, and what they are not.
pub const CAUTION: &str = "These are planning figures, not an inspection: local codes and the makers' manuals come \
     first, wiring is an electrician's work, and guards stay on.";

/// What is said where no rule finds a fault.
pub const NO_FAULT: &str = "no fault found by these rules; not an inspection";

/// A candidate and what the rules have to say about it.
pub struct Checked<'a> {
    pub candidate: &'a Candidate,
    pub findings: Vec<Told>,
}

/// What a level is called.
pub fn level_name(level: FindingLevel) -> &'static str {
    match level {
        FindingLevel::Fault => "fault",
        FindingLevel::Warning => "warning",
        FindingLevel::Note => "note",
    }
}

impl Checked<'_> {
    fn count(&self, level: FindingLevel) -> usize {
        let of_level = self
            .findings
            .iter()
            .filter(|finding| finding.level == level);
        of_level.count()
    }

    /// Whether anything does not fit.
    pub fn has_fault(&self) -> bool {
        self.count(FindingLevel::Fault) > 0
    }
}

/// All layouts as text, wrapped to the given number of columns; headings and faults stand out on a terminal. Names are
/// made harmless before anything is added that a terminal is to obey.
pub fn text(study: &Study, checked: &[Checked], columns: usize) -> String {
    let quantities = Quantities::of(study.units);
    let writer = quantities.writer();
    let mut lines = Vec::new();
    let mut sources = Sources::default();
    for (index, layout) in checked.iter().enumerate() {
        lines.extend(heading(layout, columns));
        // Candidates of one layout mostly have the same findings.
        let mut before = checked[..index].iter();
        if let Some(same) = before.find(|other| other.findings == layout.findings) {
            let name = printable_name(&same.candidate.name);
            lines.extend(wrap(
                &format!("the same as \"{name}\""),
                columns,
                "  ",
                "  ",
            ));
            lines.push(String::new());
            continue;
        }
        if !layout.has_fault() {
            lines.extend(wrap(NO_FAULT, columns, "  ", "  "));
        }
        let numbered = numbered(&layout.findings).map(|(number, index)| (Some(number), index));
        let all = 0..layout.findings.len();
        let notes = all.filter(|&index| layout.findings[index].level == FindingLevel::Note);
        for (number, index) in numbered.chain(notes.map(|index| (None, index))) {
            let finding = &layout.findings[index];
            let source = sources.number(finding.source());
            let says = format!("{} [{source}]", finding.sentence(writer));
            let number = number.map_or_else(String::new, |number| number.to_string());
            let label = format!("{number:>2} {:<8}", level_name(finding.level));
            let mut says = wrap(&says, columns, &label, "           ");
            if finding.level == FindingLevel::Fault {
                let plain = level_name(finding.level);
                says[0] = says[0].replacen(plain, &format!("{FAULT}{plain}{FAULT:#}"), 1);
            }
            lines.extend(says);
            if let Some(advice) = finding.advice(writer) {
                let advice = format!("help: {advice}");
                lines.extend(wrap(&advice, columns, "           ", "           "));
            }
        }
        lines.push(String::new());
    }
    for (index, source) in sources.0.iter().enumerate() {
        let label = format!("[{}] ", index + 1);
        lines.extend(wrap(source, columns, &label, "    "));
    }
    if !sources.0.is_empty() {
        lines.push(String::new());
    }
    if let Some(typical) = typical::sentence(&typical_values(checked)) {
        lines.extend(wrap(&typical, columns, "", ""));
        lines.push(String::new());
    }
    lines.extend(wrap(CAUTION, columns, "", ""));
    lines.push(String::new());
    lines.join("\n")
}

/// Faults and warnings by index, with their numbers from 1 on: worst first, and within a level in the order of the
/// rules. Notes have none.
pub fn numbered(findings: &[Told]) -> impl Iterator<Item = (usize, usize)> + '_ {
    let levels = [FindingLevel::Fault, FindingLevel::Warning].into_iter();
    let indices = levels.flat_map(move |level| {
        (0..findings.len()).filter(move |&index| findings[index].level == level)
    });
    indices
        .enumerate()
        .map(|(before, index)| (before + 1, index))
}

/// What a finding says, in the units of the reader.
pub fn written(finding: &Told, units: Units) -> String {
    finding.sentence(Quantities::of(units).writer())
}

/// Where rules come from, numbered as they are met.
#[derive(Default)]
struct Sources(Vec<&'static str>);

impl Sources {
    fn number(&mut self, source: &'static str) -> usize {
        let known = self.0.iter().position(|known| *known == source);
        1 + known.unwrap_or_else(|| {
            self.0.push(source);
            self.0.len() - 1
        })
    }
}

type QuantityFormat = Box<dyn Fn(f64) -> String>;

/// How lengths from metres and masses from kilograms are written for the reader of a study.
struct Quantities {
    /// To the nearest mark, down and up.
    lengths: [QuantityFormat; 3],
    mass: QuantityFormat,
}

impl Quantities {
    fn of(units: Units) -> Quantities {
        let length =
            |rounding| -> QuantityFormat { Box::new(move |metres| tape(units, metres, rounding)) };
        Quantities {
            lengths: [Rounding::Nearest, Rounding::Down, Rounding::Up].map(length),
            mass: Box::new(move |kilograms| mass(units, kilograms)),
        }
    }

    fn writer(&self) -> Writer<'_> {
        let [length, at_most, at_least] = &self.lengths;
        Writer {
            length,
            at_most,
            at_least,
            mass: &self.mass,
        }
    }
}

fn heading(layout: &Checked, columns: usize) -> Vec<String> {
    let counts = FindingLevel::ALL.map(|level| {
        let count = layout.count(level);
        let plural = if count == 1 { "" } else { "s" };
        format!("{count} {}{plural}", level_name(level))
    });
    let heading = format!("{}: {}", layout.candidate.name, counts.join(", "));
    let lines = wrap(&heading, columns, "", "  ").into_iter();
    lines
        .map(|line| format!("{HEADING}{line}{HEADING:#}"))
        .collect()
}

/// All layouts as JSON: lengths in metres, masses in kilograms.
pub fn json(study: &Study, checked: &[Checked]) -> Value {
    let layouts: Vec<Value> = checked
        .iter()
        .map(|layout| {
            let findings: Vec<Value> = (layout.findings.iter())
                .map(|finding| one(study, finding))
                .collect();
            json!({
                "name": layout.candidate.name,
                "faults": layout.count(FindingLevel::Fault),
                "warnings": layout.count(FindingLevel::Warning),
                "notes": layout.count(FindingLevel::Note),
                "findings": findings,
            })
        })
        .collect();
    let mut document = json!({"scenario": study.title, "layouts": layouts, "caution": CAUTION});
    if let Some(typical) = typical::json(&typical_values(checked)) {
        document["typical"] = typical;
    }
    document
}

/// Sizes alone: no rule asks how long anything takes.
fn typical_values(checked: &[Checked]) -> TypicalValues {
    TypicalValues {
        times: Vec::new(),
        ..TypicalValues::of(checked.iter().map(|layout| layout.candidate))
    }
}

fn one(study: &Study, finding: &Told) -> Value {
    let quantities = Quantities::of(study.units);
    let writer = quantities.writer();
    let figures: Map<String, Value> = (finding.figures.iter())
        .map(|(name, value)| ((*name).to_owned(), json!(value)))
        .collect();
    json!({
        "level": level_name(finding.level),
        "rule": finding.rule,
        "subject": finding.subject,
        "other": finding.other,
        "at_m": finding.at.map(|at| [at.x, at.y]),
        "missing_m": finding.missing,
        "figures": figures,
        "says": finding.sentence(writer),
        "help": finding.advice(writer),
        "source": finding.source(),
    })
}
