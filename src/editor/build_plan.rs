//! What a wish comes to.

use crate::scenario::TextChange;

/// What there is to do, and what is to be said of it.
#[derive(Default)]
pub struct BuildPlan {
    pub changes: Vec<TextChange>,
    pub said: Vec<String>,
}

impl From<Vec<TextChange>> for BuildPlan {
    fn from(changes: Vec<TextChange>) -> BuildPlan {
        BuildPlan {
            changes,
            said: Vec::new(),
        }
    }
}
