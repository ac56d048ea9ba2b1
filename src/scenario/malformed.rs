//! Why a file is no YAML: what its reader says, in words for those who wrote the file.

use serde_yaml::Location;
use serde_yaml::budget::BudgetBreach;

use super::problem::{Bytes, Problem};

/// What the YAML reader refuses for its size, and how that is said here.
const TOO_MUCH: &[(&str, &str)] = &[(
    "too large or too complex",
    "the file has more in it than is accepted: 250 000 values, where each alias counts with all that it stands for",
)];

/// What the YAML reader refuses of what is YAML, how that is said here, and what would be right.
const NO_SCENARIO: &[(&str, &str, &str)] = &[
    (
        "expected string scalar",
        "a key is a word, and not a list or a mapping",
        "write the key as a word with a colon behind it: `saw: {}`",
    ),
    (
        "Recursive reference",
        "this stands for something in which it stands itself",
        "an alias repeats a whole value that is marked before it: `slow: &slow 5 min`, and later `*slow`",
    ),
];

/// Why the YAML reader refuses a text, as somebody who wrote it can use it.
pub fn explain(text: &str, error: &serde_yaml::Error) -> Problem {
    let formatter = serde_yaml::UserMessageFormatter;
    let message = serde_yaml::MessageFormatter::format_message(&formatter, error.without_snippet());
    let span = error.location().map_or(0..0, |at| place(text, &at));
    // An empty span shows no caret of its own; one character does.
    let span = if span.is_empty() {
        let rest = text.get(span.start..).unwrap_or_default();
        let next = rest.chars().next().filter(|c| *c != '\n');
        span.start..span.start + next.map_or(0, char::len_utf8)
    } else {
        span
    };
    if is_too_deep(error) {
        return Problem::error(&span, format!("the file is nested more than {DEEPEST} levels deep"))
            .label("this is one level too much")
            .hint("is a bracket or brace before it not closed, or does each line begin farther in than the one above?");
    }
    if let serde_yaml::Error::UnknownAnchor { .. } = error.without_snippet() {
        return unknown_alias(text, span.start);
    }
    if let Some(problem) = tagged(text, span.start) {
        return problem;
    }
    if let Some((_, ours, hint)) =
        (NO_SCENARIO.iter()).find(|(theirs, ..)| message.contains(theirs))
    {
        return Problem::error(&span, *ours).hint(*hint);
    }
    let said = TOO_MUCH
        .iter()
        .find(|(theirs, _)| message.contains(theirs))
        .map_or(&*message, |&(_, ours)| ours);
    if let Some(key) = message.strip_prefix("duplicate mapping key `")
        && let Some((key, _)) = key.rsplit_once('`')
    {
        return Problem::error(&span, format!("the key `{key}` is given twice"))
            .label("it has been given before")
            .hint("leave one of the two out, or give one of them another name");
    }
    if let Some(tab) = indenting_tab(text, span.start) {
        return indented_by(&tab);
    }
    if let Some(problem) = colon_before_brace(text, span.start) {
        return problem;
    }
    let problem = Problem::error(&span, said);
    if message.contains("single YAML document") {
        return problem
            .label("a second document begins here")
            .hint("keep one scenario in a file; leave out the line `---` or `...` before it");
    }
    let colon = [
        "expected ':'",
        "mapping values are not allowed",
        "multiline text",
    ];
    if colon.iter().any(|theirs| message.contains(theirs)) {
        if let Some((span, meant)) = unspaced_colon(text, span.start) {
            return Problem::error(&span, "a space is missing between a key and its value")
                .hint(format!("write a space after the colon: `{meant}`"));
        }
        return problem
            .hint("a key and its value have a colon and a space between them: `saw: {}`");
    }
    if message.contains("block") && message.contains("did not find expected") {
        return problem.hint(
            "lines of one mapping begin in the same column: is this line, or the one above it, indented too little or \
             too much?",
        );
    }
    if message.contains("expected ','") {
        return missing_comma(text, span);
    }
    if message.contains("did not find expected") {
        return problem
            .hint("look for a missing comma, bracket or space here or in the line above");
    }
    if message.contains("indentation") {
        return problem.hint("is a bracket or a quote above it not closed?");
    }
    problem
}

/// A value behind a tag such as `!!int`, which asks for something else than what stands there.
fn tagged(text: &str, at: usize) -> Option<Problem> {
    let before = text.get(..at)?;
    let begin = before.rfind('\n').map_or(0, |end| end + 1);
    let tag = before[begin..].split_whitespace().next_back()?;
    let span = begin + before[begin..].rfind(tag)?;
    tag.starts_with('!').then(|| {
        Problem::error(
            &(span..span + tag.len()),
            format!("`{tag}` asks for another kind of value than what follows it"),
        )
        .hint("leave it out: a scenario needs no tags")
    })
}

/// A tab where spaces have to stand.
pub fn indented_by(tab: &Bytes) -> Problem {
    Problem::error(tab, "a tab stands where a line is indented")
        .label("here")
        .hint("indent with spaces alone; most editors can turn tabs into spaces")
}

/// A tab between the beginning of a line and this place in it, if nothing else stands there.
pub fn tab_before(text: &str, at: usize) -> Option<Bytes> {
    let before = text.get(..at)?;
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let indent = &before[start..];
    let tab = start + indent.find('\t').filter(|_| indent.trim().is_empty())?;
    Some(tab..tab + 1)
}

/// The tab at the beginning of the line in which reading ended, or else of the one after or before it: what reads YAML
/// notices some of them late, and some early.
fn indenting_tab(text: &str, at: usize) -> Option<Bytes> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        lines.push((start, line));
        start += line.len();
    }
    let here = lines.iter().rposition(|&(start, _)| start <= at)?;
    let near = [Some(here), here.checked_add(1), here.checked_sub(1)];
    let near = near
        .into_iter()
        .flatten()
        .filter_map(|index| lines.get(index));
    let tab = |&(start, line): &(usize, &str)| {
        let indent = line.find(|letter| !matches!(letter, ' ' | '\t'))?;
        let tab = line[..indent].find('\t')?;
        Some(start + tab..start + tab + 1)
    };
    near.into_iter().find_map(tab)
}

/// How deep mappings and lists may stand in each other, as the YAML reader has it.
const DEEPEST: usize = 64;

fn is_too_deep(error: &serde_yaml::Error) -> bool {
    let breach = match error.without_snippet() {
        serde_yaml::Error::Budget { breach, .. } => breach,
        other => return other.to_string().contains("recursion limit"),
    };
    matches!(breach, BudgetBreach::Depth { .. })
}

/// Within braces or brackets something goes on that has to end, since no comma stands before the next one.
fn missing_comma(text: &str, at: Bytes) -> Problem {
    let before = text.get(..at.start).unwrap_or_default();
    let (within, example) = match innermost_open(before) {
        Some('[') => ("brackets", "[1 m, 2 m]"),
        _ => ("braces", "{kind: workbench, at: [1 m, 2 m]}"),
    };
    // The word before the colon at which reading ended is mostly the next key: the comma belongs before it.
    let line = before.rfind('\n').map_or(0, |end| end + 1);
    let word = before[line..].trim_end().rfind(' ');
    let is_at_colon = text[before.len()..].starts_with(':');
    let span = match word.filter(|_| is_at_colon) {
        Some(space) => line + space + 1..at.start,
        None => at,
    };
    Problem::error(
        &span,
        format!("a comma is missing within {within}, or they are not closed"),
    )
    .label("before this")
    .hint(format!("write a comma between two of them: `{example}`"))
}

/// The last bracket or brace in a text that is not closed in it.
fn innermost_open(text: &str) -> Option<char> {
    let mut open = Vec::new();
    for sign in text.chars() {
        match sign {
            '{' | '[' => open.push(sign),
            '}' | ']' => drop(open.pop()),
            _ => {}
        }
    }
    open.pop()
}

/// What begins with an asterisk is an alias, whether its writer knows that or not.
fn unknown_alias(text: &str, at: usize) -> Problem {
    let rest = text.get(at..).unwrap_or_default();
    let name = rest.strip_prefix('*').unwrap_or(rest);
    let ends = |letter: char| letter.is_whitespace() || ",[]{}".contains(letter);
    let name = &name[..name.find(ends).unwrap_or(name.len())];
    let span = at..at + (rest.len() - rest.trim_start_matches('*').len()).min(1) + name.len();
    Problem::error(
        &span,
        format!("`*{name}` stands for what is marked `&{name}` before it, and nothing is"),
    )
    .hint(format!(
        "mark the value that is meant, such as `&{name} 5 min`; a name that begins with an asterisk stands in quotes: \"*{name}\""
    ))
}

/// A line such as `planer {kind: ...}`, in which this place lies: a name and a brace without a colon between them.
fn colon_before_brace(text: &str, at: usize) -> Option<Problem> {
    let start = text.get(..at)?.rfind('\n').map_or(0, |end| end + 1);
    let line = text[start..].split('\n').next()?;
    let (before, _) = line.split_once('{')?;
    unjoined_brace(before, start)
}

/// The same of what stands before the first brace of a line that begins at this byte, or of a key.
pub fn unjoined_brace(before: &str, start: usize) -> Option<Problem> {
    let name = before.trim();
    let is_name = !name.is_empty() && !name.contains([':', '[', '#', '"', '\'', '-', ',']);
    if !is_name || !before.ends_with(' ') {
        return None;
    }
    let end = start + before.trim_end().len();
    Some(
        Problem::error(
            &(end..end + 1),
            "a colon is missing between a name and its brace",
        )
        .label("here")
        .hint(format!("write `{name}: {{` ... `}}`")),
    )
}

/// Lines above a problem in which a colon without a space is looked for.
const LINES_ABOVE: usize = 3;

/// A line such as `pieces:3`, at this place or a little above it: where it stands, and how it is meant.
fn unspaced_colon(text: &str, at: usize) -> Option<(Bytes, String)> {
    let end = text
        .get(at..)?
        .find('\n')
        .map_or(text.len(), |more| at + more);
    let lines = text.get(..end)?.rsplit('\n').take(1 + LINES_ABOVE);
    let mut after = end;
    for line in lines {
        let start = after - line.len();
        after = start.saturating_sub(1);
        let content = line.split(" #").next().unwrap_or(line).trim();
        let content = content.strip_prefix("- ").unwrap_or(content).trim_start();
        let has_colon = content.contains(": ") || content.ends_with(':');
        if let Some((name, value)) = content.split_once(':')
            && !has_colon
            && !name.is_empty()
        {
            let from = start + line.find(content).unwrap_or(0);
            return Some((from..from + content.len(), format!("{name}: {value}")));
        }
    }
    None
}

/// Where a problem of the reader is: some of them have a line and a column only.
fn place(text: &str, location: &Location) -> Bytes {
    if location.span().byte_offset().is_some() {
        return bytes(location);
    }
    let line = location.line().saturating_sub(1) as usize;
    let column = location.column().saturating_sub(1) as usize;
    let start = text
        .split_inclusive('\n')
        .take(line)
        .map(str::len)
        .sum::<usize>();
    let rest = text.get(start..).unwrap_or_default();
    let inside = rest.char_indices().nth(column).map_or(0, |(at, _)| at);
    start + inside..start + inside
}

/// Where something stands, by the YAML reader.
pub fn bytes(location: &Location) -> Bytes {
    let span = location.span();
    let start = span.byte_offset().unwrap_or(0) as usize;
    start..start + span.byte_len().unwrap_or(0) as usize
}
