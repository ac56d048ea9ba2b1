//! Sentences whose quantities stay numbers until somebody says in which units to write them.

/// A piece of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Phrase {
    Words(String),
    /// In metres, to the nearest mark.
    Length(f64),
    /// In metres: a limit, or what is left. Written no greater than it is, so that what is written still fits.
    AtMost(f64),
    /// In metres: what is needed or missing. Written no less than it is, so that what is written is enough.
    AtLeast(f64),
    /// A thickness or a depth of cut in metres, to the nearest mark of a finer measure.
    Fine(f64),
    /// In kilograms.
    Mass(f64),
}

impl From<&str> for Phrase {
    fn from(words: &str) -> Phrase {
        Phrase::Words(words.to_string())
    }
}

impl From<String> for Phrase {
    fn from(words: String) -> Phrase {
        Phrase::Words(words)
    }
}

/// A length within a sentence, in metres.
pub(super) fn metres(length: f64) -> Phrase {
    Phrase::Length(length)
}

/// A limit within a sentence, in metres: what is up to it still fits.
pub(super) fn at_most(length: f64) -> Phrase {
    Phrase::AtMost(length)
}

/// What is needed or missing, in metres: so much is enough.
pub(super) fn at_least(length: f64) -> Phrase {
    Phrase::AtLeast(length)
}

/// A thickness or a depth of cut within a sentence, in metres.
pub(super) fn finely(thickness: f64) -> Phrase {
    Phrase::Fine(thickness)
}

/// A mass within a sentence, in kilograms.
pub(super) fn kilograms(mass: f64) -> Phrase {
    Phrase::Mass(mass)
}

/// How quantities are written: lengths from metres, masses from kilograms.
#[derive(Clone, Copy)]
pub struct Writer<'a> {
    pub length: &'a dyn Fn(f64) -> String,
    /// A length rounded down.
    pub at_most: &'a dyn Fn(f64) -> String,
    /// A length rounded up.
    pub at_least: &'a dyn Fn(f64) -> String,
    /// A thickness.
    pub fine: &'a dyn Fn(f64) -> String,
    pub mass: &'a dyn Fn(f64) -> String,
}

/// A sentence or two, without units yet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wording(pub Vec<Phrase>);

impl Wording {
    pub fn written(&self, writer: Writer<'_>) -> String {
        let phrases = self.0.iter().map(|phrase| match phrase {
            Phrase::Words(words) => words.clone(),
            Phrase::Length(metres) => (writer.length)(*metres),
            Phrase::AtMost(metres) => (writer.at_most)(*metres),
            Phrase::AtLeast(metres) => (writer.at_least)(*metres),
            Phrase::Fine(metres) => (writer.fine)(*metres),
            Phrase::Mass(kilograms) => (writer.mass)(*kilograms),
        });
        phrases.collect()
    }

    pub(super) fn and(mut self, more: Wording) -> Wording {
        self.0.extend(more.0);
        self
    }
}

/// A wording from words, lengths and masses in a row.
macro_rules! wording {
    ($($phrase:expr),+ $(,)?) => {
        $crate::report::check::phrase::Wording(vec![
            $($crate::report::check::phrase::Phrase::from($phrase)),+
        ])
    };
}
pub(super) use wording;
