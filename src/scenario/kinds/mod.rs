//! Generic kinds of machines and furniture of a home shop: what a station of a kind is usually like, until somebody has
//! measured it.
//!
//! The usual figure is the middle of a range, rounded to one that is met in shops. No figure is a maker's.

mod benches;
mod called;
mod figure;
mod kind;
mod milling;
mod saws;
mod shaping;
mod storage;

pub use called::{CalledKind, called, called_at_the_end, hint_of_called, words};
pub use kind::{
    Dust, Figure, FigureSource, Height, Keeps, KindOperation, Motor, Noise, OFF, Stand,
    StationKind, about, just,
};

use super::problem::{meant, nearest_within};

/// All kinds, in the order in which they are listed.
pub fn kinds() -> impl Iterator<Item = &'static StationKind> + Clone {
    let machines = saws::SAWS
        .iter()
        .chain(&milling::MILLING)
        .chain(&shaping::SHAPING);
    let furniture = benches::BENCHES
        .iter()
        .chain(&storage::STORAGE)
        .chain(&storage::SERVICES);
    machines.chain(furniture)
}

pub fn find(name: &str) -> Option<&'static StationKind> {
    kinds().find(|kind| kind.name == name)
}

/// The name of a thing that is only misspelt in `word`: things of the same sort are called much alike, so that a name half
/// of which is another one says nothing.
fn nearest_called<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest_within(word, names, (word.chars().count() / 4).max(1))
}

/// So many kinds are named in a hint.
const MOST_NAMED: usize = 6;

/// What somebody may have meant who wrote a kind that there is not: those of which these words are said, such as the three
/// of "table saw", or one written much alike.
pub fn hint(name: &str) -> String {
    let words = |text: &str| -> Vec<String> {
        let words = text.split(|letter: char| !letter.is_alphanumeric());
        words
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .collect()
    };
    let wanted = words(name);
    let is_said = |kind: &&StationKind| {
        let said = words(&format!("{} {}", kind.name, kind.about));
        !wanted.is_empty() && said.windows(wanted.len()).any(|some| some == wanted)
    };
    let said: Vec<String> = kinds()
        .filter(is_said)
        .map(|kind| format!("`{}`", kind.name))
        .collect();
    match said.len() {
        1 => format!("did you mean {}?", said[0]),
        2..=MOST_NAMED => format!("there are: {}", said.join(", ")),
        _ => {
            let near = nearest_called(name, kinds().map(|kind| kind.name));
            near.map_or_else(|| "`shopstride kinds` lists them".to_owned(), meant)
        }
    }
}
