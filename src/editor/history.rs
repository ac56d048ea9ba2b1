//! What has been moved, step by step.

use std::collections::BTreeMap;

use crate::floor::Pose;

/// A station in a layout, both by their names.
pub type StationIn = (String, String);

/// Where stations stand that have been moved, or had been before that was taken back.
pub type Poses = BTreeMap<StationIn, Pose>;

/// Every step since the page was opened; what was taken back is there until something else is done.
#[derive(Debug, Clone)]
pub struct History {
    steps: Vec<Poses>,
    /// Index of the step that counts.
    at: usize,
}

impl Default for History {
    fn default() -> History {
        History {
            steps: vec![Poses::new()],
            at: 0,
        }
    }
}

impl History {
    pub fn now(&self) -> &Poses {
        &self.steps[self.at]
    }

    /// Where a station stood before it was moved for the first time: that is where steps back lead, whatever is saved
    /// meanwhile.
    pub fn begin(&mut self, station: &StationIn, pose: Pose) {
        for step in &mut self.steps {
            step.entry(station.clone()).or_insert(pose);
        }
    }

    /// Forgets all steps of other stations than these.
    pub fn retain(&mut self, is_kept: impl Fn(&StationIn) -> bool) {
        let mut kept: Vec<Poses> = Vec::with_capacity(self.steps.len());
        let mut at = 0;
        for (index, mut step) in std::mem::take(&mut self.steps).into_iter().enumerate() {
            step.retain(|station, _| is_kept(station));
            if kept.last() != Some(&step) {
                kept.push(step);
            }
            if index == self.at {
                at = kept.len() - 1;
            }
        }
        (self.steps, self.at) = (kept, at);
    }

    pub fn push(&mut self, step: Poses) {
        if step == *self.now() {
            return;
        }
        self.steps.truncate(self.at + 1);
        self.steps.push(step);
        self.at += 1;
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
