//! Where stations of each kind usually stand, from common practice of small shops.

use super::length::INCH;
use crate::improve::{Belongs, Habit};
use crate::scenario::kinds::{Keeps, StationKind};

/// Long work is fed through them, or one walks around them.
const IN_THE_OPEN: [&str; 9] = [
    "portable table saw",
    "contractor saw",
    "cabinet saw",
    "bench-top planer",
    "floor planer",
    "jointer-planer",
    "assembly table",
    "out-feed table",
    "sheet horses",
];

/// A jointer stands with its fence to a wall as often as beside the saw; bins and carts are rolled about.
const ANYWHERE: [&str; 6] = [
    "jointer 6 in",
    "jointer 8 in",
    "drum sander",
    "offcut bin",
    "cart",
    "air cleaner",
];

/// What is bought long goes through them; through others only what has been cut.
const LONG_IS_FED: [&str; 8] = [
    "portable table saw",
    "contractor saw",
    "cabinet saw",
    "bench-top planer",
    "floor planer",
    "jointer-planer",
    "jointer 6 in",
    "jointer 8 in",
];

/// 4 ft.
const SHORT_M: f64 = 48.0 * INCH;

const IN_A_CORNER: [&str; 5] = [
    "small dust collector",
    "large dust collector",
    "chip separator",
    "air compressor",
    "shop vacuum",
];

/// Set up for the work and put away after it: the floor that it takes is taken only then.
const FOLDED: [&str; 1] = ["sheet horses"];

pub fn is_folded(kind: &StationKind) -> bool {
    FOLDED.contains(&kind.name)
}

/// Of a station of a kind, where the boards that are bought are so long in metres.
pub fn habit(kind: &StationKind, longest: f64) -> Habit {
    let belongs = match kind.name {
        name if IN_THE_OPEN.contains(&name) => Belongs::InTheOpen,
        name if ANYWHERE.contains(&name) => Belongs::Anywhere,
        _ => Belongs::ToAWall,
    };
    let [width, depth] = kind.size.map(|figure| figure.usual * INCH);
    Habit {
        belongs,
        corner: IN_A_CORNER.contains(&kind.name),
        by_door: matches!(kind.keeps, Some(Keeps::Boards | Keeps::Sheets)),
        spread: is_folded(kind).then_some((width, depth)),
        fed: match LONG_IS_FED.contains(&kind.name) {
            true => longest,
            false => SHORT_M.min(longest),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::kinds;

    #[test]
    fn whatever_is_named_here_is_a_kind() {
        let named = IN_THE_OPEN
            .iter()
            .chain(&ANYWHERE)
            .chain(&IN_A_CORNER)
            .chain(&FOLDED)
            .chain(&LONG_IS_FED);
        for name in named {
            assert!(kinds::find(name).is_some(), "{name}");
        }
    }
}
