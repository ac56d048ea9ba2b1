//! What is wrong with a scenario, where, and what would be right.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::printable::printable_name;

/// A range of bytes of the file.
pub type Bytes = Range<usize>;

/// At most this many problems are shown; the rest are only counted.
const MOST_SHOWN: usize = 50;

/// More errors, or more warnings, than this are not even kept.
const MOST_KEPT: usize = 1000;

/// Characters of the longest sentence.
const LONGEST_SENTENCE: usize = 600;

/// What helps where two things exclude each other.
pub const LEAVE_ONE_OUT: &str = "leave one of them out";

/// Bytes of the longest name for which a near one is searched.
const LONGEST_NAME: usize = 100;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    Error,
    /// A layout cannot be played as it is drawn: an error only where no other one remains.
    LeavesOut,
    Warning,
    /// A layout has been left out while others remain.
    LeftOut,
}

impl Severity {
    pub fn is_warning(self) -> bool {
        matches!(self, Severity::Warning | Severity::LeftOut)
    }
}

/// One thing that is wrong, or looks wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub severity: Severity,
    /// Where it stands in the file.
    pub span: Bytes,
    /// What is wrong, in one sentence.
    pub what: String,
    /// Beside the caret; may be empty.
    pub label: String,
    /// Another place that has to do with it.
    pub also: Option<(Bytes, String)>,
    /// What would be right.
    pub hint: Option<String>,
}

impl Problem {
    pub fn error(span: &Bytes, what: impl Into<String>) -> Problem {
        Problem {
            severity: Severity::Error,
            span: span.clone(),
            what: shortened(what.into()),
            label: String::new(),
            also: None,
            hint: None,
        }
    }

    pub fn warning(span: &Bytes, what: impl Into<String>) -> Problem {
        Problem {
            severity: Severity::Warning,
            ..Problem::error(span, what)
        }
    }

    /// Why a layout is left out.
    pub fn leaves_out(self) -> Problem {
        Problem {
            severity: Severity::LeavesOut,
            ..self
        }
    }

    /// The same where other layouts remain, or where none does.
    pub fn settled(self, others_remain: bool) -> Problem {
        match (self.severity, others_remain) {
            (Severity::LeavesOut, true) => Problem {
                severity: Severity::LeftOut,
                label: match self.label.is_empty() {
                    true => "it is left out".to_owned(),
                    false => format!("it is left out {}", self.label),
                },
                ..self
            },
            (Severity::LeavesOut, false) => Problem {
                severity: Severity::Error,
                ..self
            },
            _ => self,
        }
    }

    pub fn label(mut self, label: impl Into<String>) -> Problem {
        self.label = label.into();
        self
    }

    pub fn also(mut self, span: &Bytes, label: impl Into<String>) -> Problem {
        self.also = Some((span.clone(), label.into()));
        self
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Problem {
        self.hint = Some(hint.into());
        self
    }

    /// A hint, if there is one.
    pub fn maybe_hint(mut self, hint: Option<String>) -> Problem {
        self.hint = hint.or(self.hint);
        self
    }

    fn key(&self) -> (usize, usize, Severity, &str) {
        (self.span.start, self.span.end, self.severity, &self.what)
    }
}

/// Collects problems while something is read, so that all of them are told at once.
#[derive(Debug, Default)]
pub struct Sink {
    problems: RefCell<Vec<Problem>>,
    /// Whether layouts in which nobody can walk are kept, because they are to be checked rather than played.
    pub keeps_unwalkable: bool,
    /// Whether the scenario is shown in feet, and so what messages say of lengths.
    pub imperial: bool,
    /// Numbers that a decimal comma has cut off, by where they begin, and what is to be said of each.
    commas: RefCell<BTreeMap<usize, String>>,
}

impl Sink {
    /// For the same scenario, without its problems.
    pub fn fresh(&self) -> Sink {
        Sink {
            problems: RefCell::default(),
            keeps_unwalkable: self.keeps_unwalkable,
            imperial: self.imperial,
            commas: RefCell::default(),
        }
    }

    /// A length in the scenario's own units, written as the file accepts it.
    pub fn length(&self, metres: f64) -> String {
        match self.imperial {
            true => super::feet::feet_and_inches(metres),
            false => format!("{metres:.2} m"),
        }
    }

    pub fn report(&self, problem: Problem) {
        let mut problems = self.problems.borrow_mut();
        // Counted by severity, so that many warnings never hide an error.
        let alike = problems.iter().filter(|p| p.severity == problem.severity);
        if alike.count() < MOST_KEPT {
            problems.push(problem);
        }
    }

    /// Keeps a hint for a number that a decimal comma may have cut off; it is shown only if the number turns out wrong.
    pub fn suspect_comma(&self, number: &Bytes, hint: String) {
        self.commas.borrow_mut().insert(number.start, hint);
    }

    /// What is to be said of a number there, if a decimal comma may have cut it off.
    pub fn suspected_comma(&self, number: &Bytes) -> Option<String> {
        self.commas.borrow().get(&number.start).cloned()
    }

    /// Whether there are so many problems that searching for hints is not worth its time.
    pub fn is_full(&self) -> bool {
        self.problems.borrow().len() >= 4 * MOST_SHOWN
    }

    pub fn has_errors(&self) -> bool {
        let problems = self.problems.borrow();
        problems.iter().any(|p| p.severity == Severity::Error)
    }

    pub fn into_problems(self) -> Vec<Problem> {
        self.problems.into_inner()
    }
}

/// Problems of one file, in order of position, each once.
#[derive(Debug, Clone)]
pub struct Problems {
    name: String,
    text: String,
    list: Vec<Problem>,
}

impl Problems {
    pub fn new(name: &str, text: &str, mut list: Vec<Problem>) -> Problems {
        list.sort_by(|a, b| a.key().cmp(&b.key()));
        let mut seen = BTreeSet::new();
        list.retain(|p| seen.insert((p.span.start, p.span.end, p.what.clone())));
        Problems {
            name: name.to_owned(),
            text: text.to_owned(),
            list,
        }
    }

    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.list.iter()
    }

    /// What is still to be said where an answer names the layouts that are left out.
    pub fn beside_left_out(mut self) -> Problems {
        self.list
            .retain(|problem| problem.severity != Severity::LeftOut);
        self
    }

    /// All problems as text for people: file, line and column, the line itself, and what would be right.
    pub fn render(&self, colour: bool) -> String {
        self.render_in(colour, None)
    }

    /// The same within so many columns, where that is possible: a long word or path stands out.
    pub fn render_in(&self, colour: bool, columns: Option<usize>) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let renderer = match columns {
            Some(columns) => renderer.term_width(columns),
            None => renderer,
        };
        // Where not all can be shown, errors come before warnings.
        let errors = self.list.iter().filter(|p| p.severity == Severity::Error);
        let mut room = MOST_SHOWN.saturating_sub(errors.count());
        let shown = self.list.iter().filter(|problem| {
            let fits = problem.severity == Severity::Error || room > 0;
            if fits && problem.severity.is_warning() {
                room -= 1;
            }
            fits
        });
        let mut out: Vec<String> = shown
            .take(MOST_SHOWN)
            .map(|problem| self.render_one(&renderer, problem, columns))
            .collect();
        if self.list.len() > MOST_SHOWN {
            out.push(format!(
                "... and {} more problems",
                self.list.len() - MOST_SHOWN
            ));
        }
        let mut text = out.join("\n\n");
        text.push('\n');
        text
    }

    fn render_one(&self, renderer: &Renderer, problem: &Problem, columns: Option<usize>) -> String {
        // The renderer indents further lines of a message as far as its first one.
        let within = |text: &str, heading: usize| {
            let text = printable_name(text);
            match columns {
                None => text.into_owned(),
                Some(columns) => in_lines(&text, columns.saturating_sub(heading)),
            }
        };
        // Only the lines concerned go to the renderer, so that a large file costs no more than a small one.
        let all = [Some(&problem.span), problem.also.as_ref().map(|a| &a.0)];
        let mut first = usize::MAX;
        let mut last = 0;
        for span in all.into_iter().flatten() {
            let span = self.within(span);
            first = first.min(span.start);
            last = last.max(span.end);
        }
        let start = self.text[..first].rfind('\n').map_or(0, |at| at + 1);
        let end = self.text[last..]
            .find('\n')
            .map_or(self.text.len(), |at| last + at);
        let line = self.text[..start].matches('\n').count() + 1;
        let shift = |span: &Bytes| {
            let span = self.within(span);
            span.start - start..span.end - start
        };
        let mut main = AnnotationKind::Primary.span(shift(&problem.span));
        if !problem.label.is_empty() {
            main = main.label(printable_name(&problem.label));
        }
        let mut snippet = Snippet::source(&self.text[start..end])
            .path(printable_name(&self.name))
            .line_start(line)
            .annotation(main);
        if let Some((span, label)) = &problem.also {
            let context = AnnotationKind::Context.span(shift(span));
            snippet = snippet.annotation(context.label(printable_name(label)));
        }
        let level = match problem.severity {
            Severity::Error | Severity::LeavesOut => Level::ERROR,
            Severity::Warning | Severity::LeftOut => Level::WARNING,
        };
        let heading = match problem.severity {
            Severity::Error | Severity::LeavesOut => "error: ",
            Severity::Warning | Severity::LeftOut => "warning: ",
        };
        let what = within(&problem.what, heading.len());
        let mut group: Group = level.primary_title(what).element(snippet);
        if let Some(hint) = &problem.hint {
            let last = line + self.text[start..end].matches('\n').count();
            let heading = last.to_string().len() + " = help: ".len();
            group = group.element(Level::HELP.message(within(hint, heading)));
        }
        // Of the file's own line the renderer shows most controls by signs as wide, so that columns stay.
        let shown = renderer.render(&[group]);
        shown.replace(is_left_by_renderer, "\u{fffd}")
    }

    /// The span, moved to the borders of characters of the text.
    fn within(&self, span: &Bytes) -> Bytes {
        let mut start = span.start.min(self.text.len());
        while !self.text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = span.end.clamp(start, self.text.len());
        while !self.text.is_char_boundary(end) {
            end += 1;
        }
        start..end
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for Problems {}

/// A text in lines of so many letters at most, as far as its words allow.
fn in_lines(text: &str, columns: usize) -> String {
    let mut lines = String::new();
    let mut used = 0;
    for word in text.split(' ') {
        let letters = word.chars().count();
        match used {
            0 => {}
            _ if used + 1 + letters > columns => {
                lines.push('\n');
                used = 0;
            }
            _ => {
                lines.push(' ');
                used += 1;
            }
        }
        lines.push_str(word);
        used += letters;
    }
    lines
}

/// Controls that the renderer takes for letters.
fn is_left_by_renderer(letter: char) -> bool {
    matches!(letter, '\u{80}'..='\u{9f}' | '\u{2028}' | '\u{2029}')
}

/// Cuts off a sentence that would quote a very long text from the file.
fn shortened(text: String) -> String {
    match text.char_indices().nth(LONGEST_SENTENCE) {
        Some((end, _)) => format!("{}...", &text[..end]),
        None => text,
    }
}

/// What somebody may have meant who wrote `word`: the nearest of `names`, if one is near.
pub fn nearest<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest_within(word, names, 1 + word.chars().count() / 3)
}

/// The nearest of `names` that so many typing errors make of `word`, if there is one.
pub fn nearest_within<'a>(
    word: &str,
    names: impl IntoIterator<Item = &'a str>,
    allowed: usize,
) -> Option<&'a str> {
    let squeezed = |text: &str| -> String {
        let letters = text.chars().filter(|c| !matches!(c, ' ' | '_' | '-'));
        letters.flat_map(char::to_lowercase).collect()
    };
    if word.len() > LONGEST_NAME {
        return None;
    }
    let plain = squeezed(word);
    names
        .into_iter()
        .filter(|name| name.len() <= LONGEST_NAME)
        .filter_map(|name| {
            let distance = if squeezed(name) == plain {
                0
            } else {
                strsim::damerau_levenshtein(word, name)
            };
            // A name of which every letter would have to change is not a misspelling, however short it is.
            let close = distance <= allowed && distance < name.chars().count().max(2);
            close.then_some((distance, name))
        })
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, name)| name)
}

pub fn meant(name: &str) -> String {
    format!("did you mean `{name}`?")
}

/// "did you mean ...?", or the names that there are if these are few.
pub fn hint_at<'a>(word: &str, names: impl IntoIterator<Item = &'a str> + Clone) -> Option<String> {
    if let Some(name) = nearest(word, names.clone()) {
        return Some(meant(name));
    }
    let all: Vec<&str> = names.into_iter().take(13).collect();
    (!all.is_empty() && all.len() <= 12).then(|| format!("there are: {}", all.join(", ")))
}
