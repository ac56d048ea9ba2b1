//! What goes on in a replay, by number, with the words and fillings of the charts.

use serde::Serialize;

use crate::engine::Doing;
use crate::experiment::{Activity, activity};
use crate::report::charts::{StateSign, state_signs};

/// All that may go on.
pub struct States {
    signs: Vec<StateSign>,
}

/// One of them, as the page has it.
#[derive(Debug, Serialize)]
pub struct PageState {
    pub name: &'static str,
    pub words: &'static str,
    pub fill: String,
}

impl States {
    pub fn new() -> States {
        States {
            signs: state_signs(),
        }
    }

    /// The number of what somebody or something does.
    pub fn of(&self, doing: Doing) -> usize {
        let activity = activity(doing);
        let mut signs = self.signs.iter();
        // The table has all of them.
        signs
            .position(|sign| sign.activity == activity)
            .unwrap_or_default()
    }

    pub fn all(&self) -> Vec<PageState> {
        let signs = self.signs.iter().map(|sign| PageState {
            name: name(sign.activity),
            words: sign.words,
            fill: sign.fill.clone(),
        });
        signs.collect()
    }

    /// Those that occur by their numbers; who waits is always shown.
    pub fn shown(&self, numbers: impl Iterator<Item = usize>) -> Vec<PageState> {
        let mut occurs: Vec<bool> = (self.signs.iter())
            .map(|sign| sign.activity == Activity::Waiting)
            .collect();
        for number in numbers {
            occurs[number] = true;
        }
        let states = self.all().into_iter().zip(occurs);
        states
            .filter_map(|(state, occurs)| occurs.then_some(state))
            .collect()
    }

    /// The hatches that the fillings refer to.
    pub fn patterns(&self) -> String {
        self.signs
            .iter()
            .filter_map(|sign| sign.pattern.as_deref())
            .collect()
    }
}

/// What scripts call it.
fn name(activity: Activity) -> &'static str {
    match activity {
        Activity::Walking => "walking",
        Activity::Carrying => "carrying",
        Activity::Pushing => "pushing",
        Activity::Handling => "handling",
        Activity::SettingUp => "setup",
        Activity::Running => "working",
        Activity::Curing => "drying",
        Activity::Taken => "taken",
        Activity::Reserved => "reserved",
        Activity::Blocked => "blocked",
        Activity::Serviced => "serviced",
        Activity::LeftStanding => "standing",
        Activity::Away => "away",
        Activity::Waiting => "waiting",
        Activity::Sole | Activity::Shifting => "bottleneck",
    }
}
