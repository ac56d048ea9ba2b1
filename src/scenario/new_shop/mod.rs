//! A scenario of somebody's own shop, from what is known after a walk with a tape measure.

mod abilities;
mod bare_shop;
mod concessions;
mod cut_list;
mod habits;
mod hinge;
mod joinery;
mod lay_out;
mod length;
mod list_units;
mod machines;
mod one_more;
mod packing;
mod parts;
mod project_more;
mod room;
mod routes;
mod said_thing;
mod sketch;
mod stock;
mod stopwatch;
mod table;
mod work;

pub use cut_list::read_cut_list;
pub use hinge::HingeEnd;
pub use lay_out::lay_out;
pub use length::{Bare, read_length, sized, taped};
pub use list_units::ListUnits;
pub use machines::{SaidStation, USUAL, read_stations, unused};
pub use one_more::one_more;
pub use packing::{CutPiece, Packing, packed};
pub use parts::{CutProject, CutRow, Stuff, invented, invented_names};
pub use project_more::{project_more, usual_longest};
pub use room::{RoomWall, SaidDoor, SaidRoom, Swing, read_door, read_room, usual_door};
pub use said_thing::{SaidThing, read_thing};
pub use stopwatch::{TakenTimes, read_times};

/// Something that cannot be read, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    pub what: String,
    pub hint: Option<String>,
}

/// All that is wrong in a text, each with what would be right.
pub fn complaints_in_words(complaints: &[Complaint]) -> String {
    let all = complaints.iter().map(|complaint| match &complaint.hint {
        Some(hint) => format!("{}: {hint}.", complaint.what),
        None => format!("{}.", complaint.what),
    });
    all.collect::<Vec<_>>().join(" ")
}

fn complaint(what: impl Into<String>, hint: impl Into<String>) -> Complaint {
    Complaint {
        what: what.into(),
        hint: Some(hint.into()),
    }
}

/// What is wanted.
#[derive(Debug, Clone)]
pub struct Wish {
    pub room: SaidRoom,
    /// At least one.
    pub doors: Vec<SaidDoor>,
    pub is_door_guessed: bool,
    /// What stands in the way.
    pub blocked: Vec<SaidThing>,
    pub stations: Vec<SaidStation>,
    pub are_stations_guessed: bool,
    /// Of the boards as they are bought, in metres.
    pub longest: f64,
    /// At least one, each with a name of its own.
    pub projects: Vec<CutProject>,
    pub is_project_guessed: bool,
    pub times: Vec<TakenTimes>,
    /// How many layouts are asked for, from 1 to 3.
    pub layouts: Option<usize>,
}

/// As many layouts as can be asked for, and as are written where nobody says it; one more stands in comments.
const MOST_LAYOUTS: usize = 3;
const USUAL_LAYOUTS: usize = 2;

impl Wish {
    /// What nobody said of a door, in words.
    pub fn guessed_of(&self, door: &SaidDoor) -> Vec<&'static str> {
        let place = match self.is_door_guessed {
            true => Some("one door; `--door` says another"),
            false => door.is_place_guessed.then_some("where it is in this wall"),
        };
        let width = (door.is_width_guessed && !self.is_door_guessed).then_some("how wide it is");
        let swings =
            (door.is_swing_guessed).then_some("so wide a door goes up and lies under the ceiling");
        let height = door.is_height_guessed.then_some("how high it is");
        [place, width, swings, height]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// A scenario that loads, and what its user is told beside it.
#[derive(Debug, Clone)]
pub struct NewShop {
    pub text: String,
    pub stations: usize,
    pub layouts: usize,
    /// What found no place, and what nothing here can do.
    pub said: Vec<String>,
}
