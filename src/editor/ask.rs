//! What a page may ask for: nothing in it names a file.

use serde::Deserialize;

use super::{BeginWish, Build};

/// Metres on the floor plan, degrees counter-clockwise.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "ask", rename_all = "snake_case", deny_unknown_fields)]
pub enum Ask {
    /// Everything as it is now.
    State {},
    /// Another layout.
    Layout {
        name: String,
    },
    /// What a layout would come to with a station elsewhere, near to there; nothing is kept.
    Try {
        station: String,
        at: [f64; 2],
        turn: f64,
    },
    /// The same, and it stays there.
    Drop {
        station: String,
        at: [f64; 2],
        turn: f64,
    },
    /// A station exactly there, with lengths as people write them.
    Place {
        station: String,
        at: [String; 2],
        turn: String,
    },
    /// Something else than places.
    Build {
        wish: Build,
    },
    /// A first shop, where there is none yet.
    Begin {
        wish: BeginWish,
    },
    Undo {},
    Redo {},
    /// All runs of the layout as it is now.
    Figures {},
    /// All layouts beside each other, as they are now.
    Beside {},
    /// Looks for better places for the stations of the layout as it is now.
    Improve {},
    /// How far that is.
    Progress {},
    /// All stations where one of the proposals has them, which are counted from 0.
    Take {
        proposal: usize,
    },
    /// Writes the layout over the one that it was, or as a new one of this name. What somebody else has changed in the file
    /// meanwhile is kept, but only with `anyway`.
    Save {
        name: Option<String>,
        #[serde(default)]
        anyway: bool,
    },
    /// Whether the file has changed since this revision.
    Look {
        revision: u64,
    },
    /// That a window shows the page, by a number that it has drawn.
    Here {
        window: u64,
    },
    /// That it does so no more.
    Gone {
        window: u64,
    },
}

impl Ask {
    /// Whether nobody wants it any more as soon as something else is asked for.
    pub fn is_passing(&self) -> bool {
        matches!(
            self,
            Ask::Try { .. } | Ask::Figures {} | Ask::Beside {} | Ask::Improve {}
        )
    }

    /// Whether it leaves what was asked before it as it is.
    pub fn is_look(&self) -> bool {
        matches!(self, Ask::Look { .. } | Ask::Here { .. } | Ask::Gone { .. })
    }
}
