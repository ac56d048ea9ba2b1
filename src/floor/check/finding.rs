//! What the rules find: facts with figures, and the words for them.

use crate::floor::Point;

/// How bad a finding is, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// It does not fit, or must not be so.
    Fault,
    /// It may be meant so, but is worth a second look.
    Warning,
    /// Good to know.
    Note,
}

impl Level {
    pub const ALL: [Level; 3] = [Level::Fault, Level::Warning, Level::Note];

    pub fn name(self) -> &'static str {
        match self {
            Level::Fault => "fault",
            Level::Warning => "warning",
            Level::Note => "note",
        }
    }
}

/// A piece of a sentence: quantities stay numbers until somebody says in which units to write them.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    Words(String),
    /// In metres, to the nearest mark.
    Length(f64),
    /// In metres: a limit, or what is left. Written no greater than it is, so that what is written still fits.
    AtMost(f64),
    /// In metres: what is needed or missing. Written no less than it is, so that what is written is enough.
    AtLeast(f64),
    /// In kilograms.
    Mass(f64),
}

impl From<&str> for Piece {
    fn from(words: &str) -> Piece {
        Piece::Words(words.to_string())
    }
}

impl From<String> for Piece {
    fn from(words: String) -> Piece {
        Piece::Words(words)
    }
}

/// A length within a sentence, in metres.
pub(super) fn metres(length: f64) -> Piece {
    Piece::Length(length)
}

/// A limit within a sentence, in metres: what is up to it still fits.
pub(super) fn at_most(length: f64) -> Piece {
    Piece::AtMost(length)
}

/// What is needed or missing, in metres: so much is enough.
pub(super) fn at_least(length: f64) -> Piece {
    Piece::AtLeast(length)
}

/// A mass within a sentence, in kilograms.
pub(super) fn kilograms(mass: f64) -> Piece {
    Piece::Mass(mass)
}

/// How quantities are written: lengths from metres, masses from kilograms.
#[derive(Clone, Copy)]
pub struct Units<'a> {
    pub length: &'a dyn Fn(f64) -> String,
    /// A length rounded down.
    pub at_most: &'a dyn Fn(f64) -> String,
    /// A length rounded up.
    pub at_least: &'a dyn Fn(f64) -> String,
    pub mass: &'a dyn Fn(f64) -> String,
}

/// A sentence or two, without units yet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wording(pub Vec<Piece>);

impl Wording {
    pub fn written(&self, units: Units<'_>) -> String {
        let pieces = self.0.iter().map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Length(metres) => (units.length)(*metres),
            Piece::AtMost(metres) => (units.at_most)(*metres),
            Piece::AtLeast(metres) => (units.at_least)(*metres),
            Piece::Mass(kilograms) => (units.mass)(*kilograms),
        });
        pieces.collect()
    }

    pub(super) fn and(mut self, more: Wording) -> Wording {
        self.0.extend(more.0);
        self
    }
}

/// A wording from words, lengths and masses in a row.
macro_rules! wording {
    ($($piece:expr),+ $(,)?) => {
        $crate::floor::check::Wording(vec![$($crate::floor::check::Piece::from($piece)),+])
    };
}
pub(super) use wording;

/// Something that a rule has to say about a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub level: Level,
    /// Name of the row of [`RULES`](super::RULES).
    pub rule: &'static str,
    /// The station or thing that it is about.
    pub subject: String,
    /// What it collides with, if there is something.
    pub other: Option<String>,
    /// Where on the floor, if that can be pointed at.
    pub at: Option<Point>,
    /// How much is missing, in metres.
    pub missing: Option<f64>,
    /// The figures behind the sentence; the unit stands at the end of the name, as in `window_m`.
    pub figures: Vec<(&'static str, f64)>,
    /// What is the matter.
    pub says: Wording,
    /// What would help.
    pub helps: Option<Wording>,
}

impl Finding {
    pub(super) fn new(
        level: Level,
        rule: &'static str,
        subject: impl Into<String>,
        says: Wording,
    ) -> Finding {
        Finding {
            level,
            rule,
            subject: subject.into(),
            other: None,
            at: None,
            missing: None,
            figures: Vec::new(),
            says,
            helps: None,
        }
    }

    pub(super) fn other(mut self, other: impl Into<String>) -> Finding {
        self.other = Some(other.into());
        self
    }

    pub(super) fn at(mut self, at: Point) -> Finding {
        self.at = Some(at);
        self
    }

    pub(super) fn missing(mut self, metres: f64) -> Finding {
        self.missing = Some(metres);
        self
    }

    pub(super) fn figure(mut self, name: &'static str, value: f64) -> Finding {
        self.figures.push((name, value));
        self
    }

    pub(super) fn help(mut self, helps: Wording) -> Finding {
        self.helps = Some(helps);
        self
    }

    /// What is the matter, in the units of the reader.
    pub fn sentence(&self, units: Units<'_>) -> String {
        self.says.written(units)
    }

    /// What would help, in the units of the reader.
    pub fn advice(&self, units: Units<'_>) -> Option<String> {
        self.helps.as_ref().map(|helps| helps.written(units))
    }

    /// A figure by its name.
    pub fn value(&self, name: &str) -> Option<f64> {
        let named = self.figures.iter().find(|(figure, _)| *figure == name);
        named.map(|&(_, value)| value)
    }

    /// Where the rule comes from.
    pub fn source(&self) -> &'static str {
        let row = super::RULES.iter().find(|rule| rule.name == self.rule);
        row.map_or("", |rule| rule.source)
    }
}
