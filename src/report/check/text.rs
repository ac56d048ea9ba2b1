//! What was found as text: in a few words, or with all figures and sources.

use super::indoors::WayTold;
use super::{
    CAUTION, Checked, NO_FAULT, NO_PLACES, NOT_LOOKED_AT, NOT_ON_PLAN, Quantities, Told, Writer,
    indoors, level_name, machines, numbered, takes, typical_values, walls,
};
use crate::experiment::Study;
use crate::floor::FindingLevel;
use crate::report::sentence::{counted, listed};
use crate::report::style::{FAULT, HEADING};
use crate::report::typical;
use crate::report::wrap::wrap;
use crate::scenario::printable_name;

/// How much is said of each layout.
#[derive(Debug, Clone, Copy, Default)]
pub struct Depth {
    /// Each finding with all its figures and where its rule comes from, rather than in a few words.
    pub details: bool,
    /// The notes, rather than how many they are.
    pub notes: bool,
}

/// Columns before the sentence of a finding.
const INDENT: &str = "           ";

/// All layouts as text, wrapped to the given number of columns; headings and faults stand out on a terminal. Names are
/// made harmless before anything is added that a terminal is to obey.
pub fn text(study: &Study, checked: &[Checked], depth: Depth, columns: usize) -> String {
    let quantities = Quantities::of(study.units);
    let writer = quantities.writer();
    let mut lines = Vec::new();
    let mut sources = Sources::default();
    for (index, layout) in checked.iter().enumerate() {
        lines.extend(heading(layout, columns));
        // Candidates of one layout mostly have the same findings.
        let mut before = checked[..index].iter();
        let is_same = |other: &&Checked<'_>| {
            other.findings == layout.findings
                && other.ways == layout.ways
                && other.machines == layout.machines
                && other.takes == layout.takes
        };
        match before.find(is_same) {
            Some(same) => {
                let name = printable_name(&same.candidate.name);
                let says = format!("the same as \"{name}\"");
                lines.extend(wrap(&says, columns, "  ", "  "));
            }
            None => {
                let like = (!depth.details)
                    .then(|| most_alike(layout, &checked[..index], writer))
                    .flatten();
                lines.extend(one(layout, like, depth, writer, &mut sources, columns));
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
    let is_shortened = !depth.details && checked.iter().any(|layout| worst(layout).is_some());
    let closing = match is_shortened {
        true => format!("Figures and sources: `--details`. {NOT_LOOKED_AT} {CAUTION}"),
        false => format!("{NOT_LOOKED_AT} {CAUTION}"),
    };
    lines.extend(wrap(&closing, columns, "", ""));
    lines.push(String::new());
    lines.join("\n")
}

/// The index of the finding with the number 1.
fn worst(layout: &Checked) -> Option<usize> {
    Some(numbered(&layout.findings).next()?.1)
}

/// The findings of a layout.
fn one(
    layout: &Checked,
    like: Option<&Checked<'_>>,
    depth: Depth,
    writer: Writer<'_>,
    sources: &mut Sources,
    columns: usize,
) -> Vec<String> {
    let mut lines = Vec::new();
    if !layout.has_fault() {
        lines.extend(wrap(NO_FAULT, columns, "  ", "  "));
    }
    let plan = layout.candidate.plan.as_ref();
    if plan.is_some_and(|plan| !plan.places_something()) {
        lines.extend(wrap(NO_PLACES, columns, "  ", "  "));
    }
    let known = like.map_or_else(Vec::new, |like| shared(layout, like, writer));
    if let Some(like) = like {
        let numbers: Vec<String> = known.iter().map(Shared::in_words).collect();
        let name = printable_name(&like.candidate.name);
        let says = format!(
            "found in \"{name}\" too (in brackets its number there, if that is another): {}",
            listed(&numbers, "and")
        );
        lines.extend(wrap(&says, columns, "  ", "  "));
    }
    for entry in entries(&layout.findings, depth.details) {
        if known.iter().any(|shared| shared.number == entry.number) {
            continue;
        }
        let finding = &layout.findings[entry.index];
        let mut says = match depth.details {
            true => in_full(finding, writer, sources),
            false => entry.in_short(finding, writer),
        };
        if !finding.is_on_plan {
            says.push_str(NOT_ON_PLAN);
        }
        let label = format!("{:>2} {:<8}", entry.number, level_name(finding.level));
        let mut says = wrap(&says, columns, &label, INDENT);
        if finding.level == FindingLevel::Fault {
            let plain = level_name(finding.level);
            says[0] = says[0].replacen(plain, &format!("{FAULT}{plain}{FAULT:#}"), 1);
        }
        lines.extend(says);
        lines.extend(help(finding.advice(writer), columns));
    }
    let is_note = |finding: &&Told| finding.level == FindingLevel::Note;
    for finding in layout.findings.iter().filter(is_note) {
        if depth.notes {
            let says = in_full(finding, writer, sources);
            let label = format!("   {:<8}", level_name(finding.level));
            lines.extend(wrap(&says, columns, &label, INDENT));
            lines.extend(help(finding.advice(writer), columns));
        }
    }
    let notes = layout.count(FindingLevel::Note);
    if notes > 0 && !depth.notes {
        let them = if notes == 1 { "it" } else { "them" };
        let says = format!("{}: `--notes` shows {them}", counted(notes, "note"));
        lines.extend(wrap(&says, columns, "  ", "  "));
    }
    lines.extend(ways(layout, depth, writer, sources, columns));
    lines.extend(takes_of(layout, like, writer, columns));
    if depth.details {
        for wall in walls::told(&walls::of(layout.candidate)) {
            let says = wall.written(writer);
            lines.extend(wrap(&says, columns, "   wall    ", INDENT));
        }
    }
    lines
}

/// A fault or warning that is told of another layout already, with its number here and there.
struct Shared {
    number: usize,
    there: usize,
}

impl Shared {
    fn in_words(&self) -> String {
        match self.number == self.there {
            true => self.number.to_string(),
            false => format!("{} ({})", self.number, self.there),
        }
    }
}

/// The faults and warnings of which the same is said of another layout, with as much missing.
fn shared(layout: &Checked<'_>, other: &Checked<'_>, writer: Writer<'_>) -> Vec<Shared> {
    let said = |of: &Checked<'_>| -> Vec<(usize, FindingLevel, String, usize)> {
        let entries = entries(&of.findings, false).into_iter();
        let said = entries.map(|entry| {
            let finding = &of.findings[entry.index];
            let says = finding.briefly(writer);
            (entry.number, finding.level, says, entry.also.len())
        });
        said.collect()
    };
    let there = said(other);
    let here = said(layout)
        .into_iter()
        .filter_map(|(number, level, says, also)| {
            let mut all = there.iter();
            let same =
                all.find(|(_, of, told, joined)| (*of, told, *joined) == (level, &says, also))?;
            Some(Shared {
                number,
                there: same.0,
            })
        });
    here.collect()
}

/// The layout told before of which most faults and warnings are said again, if that is worth a line.
fn most_alike<'c, 'a>(
    layout: &Checked<'_>,
    before: &'c [Checked<'a>],
    writer: Writer<'_>,
) -> Option<&'c Checked<'a>> {
    const WORTH_A_LINE: usize = 3;
    let counted = before
        .iter()
        .map(|other| (shared(layout, other, writer).len(), other));
    // Of those that share as much the first.
    let most = counted.reduce(|most, other| match other.0 > most.0 {
        true => other,
        false => most,
    });
    most.filter(|(count, _)| *count >= WORTH_A_LINE)
        .map(|(_, other)| other)
}

/// What each machine takes where it stands; of those that take the same as in another layout only their names.
fn takes_of(
    layout: &Checked,
    like: Option<&Checked<'_>>,
    writer: Writer<'_>,
    columns: usize,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut same = Vec::new();
    for capacity in &layout.takes {
        if like.is_some_and(|like| like.takes.contains(capacity)) {
            same.push(layout.names().place(capacity.station.into()).to_owned());
            continue;
        }
        let told = takes::told(layout.names(), capacity);
        let says = told.says.written(writer);
        lines.extend(wrap(&says, columns, "   takes   ", INDENT));
        lines.extend(help(told.helps.map(|helps| helps.written(writer)), columns));
    }
    if let Some(like) = like.filter(|_| !same.is_empty()) {
        let name = printable_name(&like.candidate.name);
        let says = format!("{} as in \"{name}\"", listed(&same, "and"));
        lines.extend(wrap(&says, columns, "   takes   ", INDENT));
    }
    lines
}

/// How pieces and machines get through the room: those that do not simply are told of, the others counted unless notes
/// are asked for.
fn ways(
    layout: &Checked,
    depth: Depth,
    writer: Writer<'_>,
    sources: &mut Sources,
    columns: usize,
) -> Vec<String> {
    let names = layout.names();
    let mut lines = Vec::new();
    let mut tell = |told: WayTold, is_doubtful: bool| {
        let mut says = told.says.written(writer);
        if depth.details {
            says.push_str(&format!(" [{}]", sources.number(indoors::SOURCE)));
        }
        let label = if is_doubtful {
            " ? way     "
        } else {
            "   way     "
        };
        lines.extend(wrap(&says, columns, label, INDENT));
        let advice = told.helps.map(|helps| helps.written(writer));
        lines.extend(help(advice, columns));
    };
    for way in &layout.ways {
        let is_doubtful = indoors::is_doubtful(way);
        if is_doubtful || depth.notes {
            tell(indoors::told(names, way), is_doubtful);
        }
    }
    for way in &layout.machines {
        let is_doubtful = machines::is_doubtful(way);
        if is_doubtful || depth.notes {
            tell(machines::told(names, way), is_doubtful);
        }
    }
    let passing = layout.ways.iter().filter(|way| !indoors::is_doubtful(way));
    let coming_in = layout.machines.iter();
    let coming_in = coming_in.filter(|way| !machines::is_doubtful(way));
    let of_each = [
        (
            passing.count(),
            "large piece",
            ["gets", "get"],
            "through the room",
        ),
        (coming_in.count(), "machine", ["comes", "come"], "in"),
    ];
    for (count, what, [one, several], how) in of_each {
        if count > 0 && !depth.notes {
            let (verb, them) = match count {
                1 => (one, "it"),
                _ => (several, "them"),
            };
            let counted = counted(count, what);
            let says = format!("{counted} {verb} {how}: `--notes` shows {them}");
            lines.extend(wrap(&says, columns, "  ", "  "));
        }
    }
    let untried = [
        (layout.untried, "smaller piece"),
        (layout.machines_untried, "machine"),
    ];
    let untried = untried.iter().filter(|(count, _)| *count > 0);
    let untried: Vec<String> = untried.map(|&(count, what)| counted(count, what)).collect();
    if !untried.is_empty() {
        let says = format!(
            "no way was looked for of {}: `--ways` looks for all",
            listed(&untried, "and")
        );
        lines.extend(wrap(&says, columns, "  ", "  "));
    }
    lines
}

fn in_full(finding: &Told, writer: Writer<'_>, sources: &mut Sources) -> String {
    let source = sources.number(finding.source());
    format!("{} [{source}]", finding.sentence(writer))
}

fn help(advice: Option<String>, columns: usize) -> Vec<String> {
    let advice = advice.map(|advice| wrap(&format!("help: {advice}"), columns, INDENT, INDENT));
    advice.unwrap_or_default()
}

/// A fault or warning with its number, and what is the same in a few words.
struct Entry {
    number: usize,
    index: usize,
    /// The numbers of others of which the same is said.
    also: Vec<usize>,
}

/// Faults and warnings as they are told: those of which the same is said are one, unless all are to be told.
fn entries(findings: &[Told], details: bool) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for (number, index) in numbered(findings) {
        let finding = &findings[index];
        let mut told = entries.iter_mut();
        let same = told.find(|entry| {
            let other = &findings[entry.index];
            !details && other.level == finding.level && other.short == finding.short
        });
        match same {
            // The one that is told costs the most, since it comes first.
            Some(entry) => entry.also.push(number),
            None => entries.push(Entry {
                number,
                index,
                also: Vec::new(),
            }),
        }
    }
    entries
}

impl Entry {
    fn in_short(&self, finding: &Told, writer: Writer<'_>) -> String {
        let mut says = finding.briefly(writer);
        if !self.also.is_empty() {
            let also: Vec<String> = self.also.iter().map(usize::to_string).collect();
            says.push_str(&format!(" (also {})", listed(&also, "and")));
        }
        says
    }
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

fn heading(layout: &Checked, columns: usize) -> Vec<String> {
    let counts = FindingLevel::ALL.map(|level| counted(layout.count(level), level_name(level)));
    let heading = format!("{}: {}", layout.candidate.name, counts.join(", "));
    let lines = wrap(&heading, columns, "", "  ").into_iter();
    lines
        .map(|line| format!("{HEADING}{line}{HEADING:#}"))
        .collect()
}
