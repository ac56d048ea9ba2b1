//! What the writers of sentences are given, and what they give back.

use super::names::ShopNames;
use super::phrase::{Wording, at_least, at_most, wording};
use crate::floor::{Finding, Shift};
use crate::report::sentence::listed;
use crate::shop::PlaceId;

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

impl Subjects<'_> {
    /// The subject with other places: so many names, and how many more there are.
    pub fn with_others(&self, others: &[PlaceId]) -> String {
        const NAMED: usize = 2;
        let named = match others.len() {
            more if more > NAMED + 1 => NAMED,
            all => all,
        };
        let names = others[..named]
            .iter()
            .map(|&place| self.names.place(place).to_owned());
        let mut all: Vec<String> = std::iter::once(self.subject.clone()).chain(names).collect();
        if others.len() > named {
            all.push(format!("{} more", others.len() - named));
        }
        listed(&all, "and")
    }

    /// What to do to the subject, by how much if a shift was found that helps, and what else there is if none does.
    pub fn shifted(&self, what: String, shift: Shift) -> Wording {
        match shift {
            Shift::By(far) => wording![format!("{what} by "), at_least(far)],
            Shift::Untried => wording![what],
            Shift::NoneHelps { as_far } => wording![
                format!("no shift of {} by up to ", self.subject),
                at_most(as_far),
                " was found that helps: turn it, move what stands around it, or find it another place"
            ],
        }
    }
}
