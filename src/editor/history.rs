//! What has been done, step by step.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::floor::Pose;
use crate::scenario::{TextChange, changed};

/// A station in a layout, both by their names.
pub type StationIn = (String, String);

/// Where stations stand that have been moved, or had been before that was taken back.
pub type Poses = BTreeMap<StationIn, Pose>;

/// What counts after something has been done.
#[derive(Debug, Clone, PartialEq)]
struct HistoryStep {
    /// The scenario but for what has been moved.
    text: Arc<str>,
    /// What has been done to the text of the step before; nothing where stations were only moved.
    changes: Vec<TextChange>,
    poses: Poses,
}

/// Every step since the page was opened; what was taken back is there until something else is done.
#[derive(Debug, Clone)]
pub struct History {
    steps: Vec<HistoryStep>,
    /// Index of the step that counts.
    at: usize,
}

impl History {
    /// Begins with what is in the file.
    pub fn new(text: &str) -> History {
        let first = HistoryStep {
            text: text.into(),
            changes: Vec::new(),
            poses: Poses::new(),
        };
        History {
            steps: vec![first],
            at: 0,
        }
    }

    pub fn now(&self) -> &Poses {
        &self.steps[self.at].poses
    }

    /// The scenario but for what has been moved.
    pub fn text(&self) -> &Arc<str> {
        &self.steps[self.at].text
    }

    /// Where a station stood before it was moved for the first time: that is where steps back lead, whatever is saved
    /// meanwhile.
    pub fn begin(&mut self, station: &StationIn, pose: Pose) {
        for step in &mut self.steps {
            step.poses.entry(station.clone()).or_insert(pose);
        }
    }

    /// Forgets all moves of other stations than these.
    pub fn retain(&mut self, is_kept: impl Fn(&StationIn) -> bool) {
        for step in &mut self.steps {
            step.poses.retain(|station, _| is_kept(station));
        }
        self.keep(|_| true);
    }

    /// Leaves out steps by their index, and those that change nothing any more; the one that counts stays.
    fn keep(&mut self, is_kept: impl Fn(usize) -> bool) {
        let mut kept: Vec<HistoryStep> = Vec::with_capacity(self.steps.len());
        let mut at = 0;
        for (index, step) in std::mem::take(&mut self.steps).into_iter().enumerate() {
            let is_same = |last: &HistoryStep| last.text == step.text && last.poses == step.poses;
            let changes_nothing = kept.last().is_some_and(is_same);
            let is_now = index == self.at;
            if (is_kept(index) || is_now) && !changes_nothing {
                kept.push(step);
            }
            if is_now {
                at = kept.len() - 1;
            }
        }
        (self.steps, self.at) = (kept, at);
    }

    /// Stations stand elsewhere.
    pub fn push(&mut self, poses: Poses) {
        let text = Arc::clone(self.text());
        self.push_step(HistoryStep {
            text,
            changes: Vec::new(),
            poses,
        });
    }

    /// Something else is another one, which has come of these changes.
    pub fn push_changes(&mut self, text: &str, changes: Vec<TextChange>, poses: Poses) {
        self.push_step(HistoryStep {
            text: text.into(),
            changes,
            poses,
        });
    }

    fn push_step(&mut self, step: HistoryStep) {
        let now = &self.steps[self.at];
        if step.text == now.text && step.poses == now.poses {
            return;
        }
        self.steps.truncate(self.at + 1);
        self.steps.push(step);
        self.at += 1;
    }

    /// What counts has been saved as this text; texts of other steps become what `other` makes of them, and steps of which
    /// it makes nothing are forgotten.
    pub fn saved(&mut self, text: &str, other: impl Fn(&str) -> Option<String>) {
        let (now, text): (Arc<str>, Arc<str>) = (Arc::clone(self.text()), text.into());
        let mut forgotten = Vec::new();
        for (index, step) in self.steps.iter_mut().enumerate() {
            match step.text == now {
                true => step.text = Arc::clone(&text),
                false => match other(&step.text) {
                    Some(other) => step.text = other.into(),
                    None => forgotten.push(index),
                },
            }
        }
        self.keep(|index| !forgotten.contains(&index));
    }

    /// The same steps on what somebody else has made of the text that is in the file: what was done since is done to that,
    /// and what had been there before is forgotten. Nothing where what counts finds no place in it.
    pub fn on(&self, base: &str, theirs: &str) -> Option<History> {
        let away = |&index: &usize| index.abs_diff(self.at);
        let of_base = (0..self.steps.len()).filter(|&index| &*self.steps[index].text == base);
        let begins = of_base.min_by_key(away)?;
        let mut steps: Vec<Option<HistoryStep>> = Vec::new();
        let mut before: Option<Arc<str>> = None;
        for (index, step) in self.steps.iter().enumerate() {
            let text = match (&*step.text == base, &before) {
                (true, _) => Some(theirs.into()),
                (false, Some(before)) if index > begins => {
                    changed(before, &step.changes).map(Arc::from)
                }
                _ => None,
            };
            if text.is_none() && index > begins {
                break;
            }
            before.clone_from(&text);
            steps.push(text.map(|text| HistoryStep {
                text,
                ..step.clone()
            }));
        }
        steps.get(self.at)?.as_ref()?;
        let at = steps[..self.at].iter().flatten().count();
        Some(History {
            steps: steps.into_iter().flatten().collect(),
            at,
        })
    }

    pub fn can_undo(&self) -> bool {
        self.at > 0
    }

    pub fn can_redo(&self) -> bool {
        self.at + 1 < self.steps.len()
    }

    /// The layout in which the step that counts differs from another one.
    pub fn differs_in(&self, other: &Poses) -> Option<&str> {
        let now = self.now().iter();
        let mut differing = now.filter(|(station, pose)| other.get(station) != Some(pose));
        differing.next().map(|((layout, _), _)| &layout[..])
    }

    pub fn undo(&mut self) {
        self.at = self.at.saturating_sub(1);
    }

    pub fn redo(&mut self) {
        self.at = (self.at + 1).min(self.steps.len() - 1);
    }
}
