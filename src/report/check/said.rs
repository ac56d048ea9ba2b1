//! What the writers of sentences are given, and what they give back.

use super::names::ShopNames;
use super::phrase::Wording;
use crate::floor::Finding;

/// What is said of a finding.
#[derive(Default)]
pub(super) struct Said {
    pub says: Wording,
    pub helps: Option<Wording>,
    pub figures: Vec<(&'static str, f64)>,
}

impl Said {
    pub fn new(says: Wording) -> Said {
        Said {
            says,
            ..Said::default()
        }
    }

    pub fn help(mut self, helps: Wording) -> Said {
        self.helps = Some(helps);
        self
    }

    pub fn figure(mut self, name: &'static str, value: f64) -> Said {
        self.figures.push((name, value));
        self
    }
}

/// A finding as the writers of sentences see it.
pub(super) struct Subjects<'a> {
    pub names: ShopNames<'a>,
    pub finding: &'a Finding,
    pub subject: String,
    pub other: String,
    /// In metres; 0 where nothing is.
    pub missing: f64,
}
