//! What is written when a layout is saved, proved before anything is written.

use super::history::Poses;
use super::judged::{LoadedText, pose_of};
use crate::experiment::Candidate;
use crate::floor::Pose;
use crate::scenario::{AddedLayout, MovedStation, add_layouts, changes_only_places};

/// Written lengths are rounded to the marks of a tape.
const ROUNDED_M: f64 = 0.001;

/// A text that may be written.
pub struct SavedText {
    pub loaded: LoadedText,
    /// Layouts that are like the one that was changed, and have changed with it.
    pub also: Vec<String>,
}

/// The text with a layout changed.
///
/// # Errors
/// Why it cannot be written.
pub fn over(
    file: &str,
    from: &LoadedText,
    layout: &str,
    poses: &Poses,
) -> Result<SavedText, String> {
    let moved = from.moved(layout, poses);
    let text = from.with(layout, &moved)?;
    let loaded = LoadedText::load(file, text.as_bytes())?;
    let shown = from.layout(layout).ok_or(NOT_AS_WANTED)?;
    proven(loaded, (&from.text, layout), (shown, &moved))?.with_others(from, layout)
}

/// The text with a further layout of this name, which is like another one but for where stations have been moved to.
///
/// # Errors
/// Why it cannot be written.
pub fn beside(
    file: &str,
    from: &LoadedText,
    (layout, name): (&str, &str),
    poses: &Poses,
) -> Result<SavedText, String> {
    let study = &from.study;
    let added = added(from, (layout, name), poses)?;
    let text = add_layouts(&from.text, std::slice::from_ref(&added), study.units);
    let text = text.ok_or(
        "There is no place for a further layout: write `layouts:` with one layout below the other.",
    )?;
    let loaded = LoadedText::load(file, text.as_bytes())?;
    let shown = from.layout(layout).ok_or(NOT_AS_WANTED)?;
    let moved = from.moved(layout, poses);
    let name = &added.name;
    let proven = proven(loaded, (&from.text, name), (shown, &moved))?.with_others(from, name)?;
    match proven.also.is_empty() {
        true => Ok(proven),
        false => Err(NOT_AS_WANTED.to_owned()),
    }
}

/// A further layout of this name, which is like another one but for where stations have been moved to.
///
/// # Errors
/// Why there can be none.
pub fn added(
    from: &LoadedText,
    (layout, name): (&str, &str),
    poses: &Poses,
) -> Result<AddedLayout, String> {
    let moved = from.moved(layout, poses);
    let name = name.trim();
    if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control)
    {
        return Err(format!(
            "A layout needs a name of 1 to {LONGEST_NAME} letters."
        ));
    }
    let study = &from.study;
    let mut known = study.candidates.iter().chain(&study.left_out);
    if known.any(|candidate| candidate.name == name) {
        return Err("There is a layout of this name: choose another one.".to_owned());
    }
    let added = AddedLayout {
        name: name.to_owned(),
        like: layout.to_owned(),
        about: match moved.len() {
            1 => format!("1 station of \"{layout}\" moved"),
            count => format!("{count} stations of \"{layout}\" moved"),
        },
        at: (moved.iter())
            .map(|moved| (moved.station.clone(), moved.to))
            .collect(),
    };
    if added.at.is_empty() {
        return Err("Nothing has been moved: there is nothing to save as a new layout.".to_owned());
    }
    Ok(added)
}

const LONGEST_NAME: usize = 80;
const NOT_AS_WANTED: &str = "The file is written in a way that this change would not come out as it is shown, so nothing was written: change it by hand.";

/// A text that has every station where it is wanted: what has been moved there, and all others where they stood in the layout
/// that was shown. An alias may tie the place of one to that of another.
fn proven(
    loaded: LoadedText,
    (before, layout): (&str, &str),
    (shown, moved): (&Candidate, &[MovedStation]),
) -> Result<SavedText, String> {
    // A lamp may stand where a station does by an alias.
    if !changes_only_places(before, &loaded.text, layout) {
        return Err(NOT_AS_WANTED.to_owned());
    }
    let candidate = loaded.layout(layout).ok_or(NOT_AS_WANTED)?;
    let mut stations = shown.shop.stations.iter();
    let is_as_wanted = stations.all(|station| {
        let moved = moved.iter().find(|moved| moved.station == station.name);
        let wanted = moved
            .map(|moved| moved.to)
            .or_else(|| pose_of(shown, &station.name));
        match (wanted, pose_of(candidate, &station.name)) {
            (Some(wanted), Some(pose)) => is_same(pose, wanted),
            (wanted, pose) => wanted == pose,
        }
    });
    match is_as_wanted {
        true => Ok(SavedText {
            loaded,
            also: Vec::new(),
        }),
        false => Err(NOT_AS_WANTED.to_owned()),
    }
}

impl SavedText {
    /// Looks at all other layouts: none may be gone, and those that have changed are named.
    fn with_others(mut self, from: &LoadedText, layout: &str) -> Result<SavedText, String> {
        for before in from.layouts().filter(|before| before.name != layout) {
            let after = self.loaded.layout(&before.name).ok_or(NOT_AS_WANTED)?;
            let mut stations = before.shop.stations.iter();
            let is_as_before = stations.all(|station| {
                let [before, after] = [before, after].map(|of| pose_of(of, &station.name));
                before == after
            });
            if !is_as_before {
                self.also.push(before.name.clone());
            }
        }
        Ok(self)
    }
}

fn is_same(one: Pose, other: Pose) -> bool {
    let turned = (one.turn - other.turn).rem_euclid(360.0);
    one.at.distance(other.at) <= ROUNDED_M && turned.min(360.0 - turned) < 1e-6
}
