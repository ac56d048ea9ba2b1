//! Letters that the embedded font lacks, so that nobody sees boxes without a word.

use std::collections::BTreeSet;

use super::Picture;
use super::scene::SceneItem;
use super::scene::font::Face;
use crate::report::sentence::listed;

/// So many letters, or texts, are named.
const NAMED: usize = 5;

/// What charts cannot write, and where it stands in them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MissingLetters {
    pub letters: BTreeSet<char>,
    /// Whole texts of the charts, in the order of drawing, each once.
    pub texts: Vec<String>,
}

impl MissingLetters {
    pub fn of(pictures: &[Picture]) -> MissingLetters {
        let mut missing = MissingLetters::default();
        for picture in pictures {
            picture.scene.visit(&mut |item| {
                if let SceneItem::Text(text) = item {
                    missing.look_at(&text.text, text.bold);
                }
            });
        }
        missing
    }

    fn look_at(&mut self, text: &str, bold: bool) {
        let face = Face::weight(bold);
        let lacking = text.chars().filter(|&letter| face.glyph(letter).is_none());
        let lacking: Vec<char> = lacking.collect();
        if !lacking.is_empty() && !self.texts.iter().any(|known| known == text) {
            self.texts.push(text.to_owned());
        }
        self.letters.extend(lacking);
    }

    /// What is said of them; nothing if the font has all letters.
    pub fn note(&self) -> Option<String> {
        if self.letters.is_empty() {
            return None;
        }
        let letters = self.letters.iter();
        let letters: Vec<String> = letters.map(|&letter| called(letter)).collect();
        let texts: Vec<String> = (self.texts.iter())
            .map(|text| format!("\"{text}\""))
            .collect();
        let boxes = match letters.len() {
            1 => "a box",
            _ => "boxes",
        };
        Some(format!(
            "The font of the charts lacks {}: PNG shows {boxes} instead, in {}; SVG shows what the viewer's own fonts \
             have. Latin letters are in it, with their accents.",
            some_of(&letters, "and", "letters"),
            some_of(&texts, "and", "texts"),
        ))
    }
}

/// The first few, and how many more there are.
fn some_of(names: &[String], before_last: &str, of: &str) -> String {
    match names.len().saturating_sub(NAMED) {
        0 => listed(names, before_last),
        more => format!("{} and {more} more {of}", names[..NAMED].join(", ")),
    }
}

/// A letter by its looks, and by its number for those whose screen does not have it either.
fn called(letter: char) -> String {
    let number = u32::from(letter);
    match letter.is_alphanumeric() {
        true => format!("{letter} (U+{number:04X})"),
        false => format!("U+{number:04X}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_texts_are_named_and_counted() {
        let mut missing = MissingLetters::default();
        for text in ["Säge", "pilník", "½ in × 3′", "—"] {
            missing.look_at(text, false);
        }
        assert_eq!(missing.note(), None);
        // Not all scripts of Europe are in it either.
        missing.look_at("пила", false);
        assert_eq!(missing.letters.len(), 4);
        missing = MissingLetters::default();
        missing.look_at("saw 鋸", true);
        missing.look_at("saw 鋸", false);
        let note = missing.note().expect("there is one");
        assert!(
            note.contains("lacks 鋸 (U+92F8): PNG shows a box instead, in \"saw 鋸\";"),
            "{note}"
        );
        missing.look_at("木工所の一二三", false);
        let note = missing.note().expect("there is one");
        assert!(
            note.contains(" and 3 more letters: PNG shows boxes"),
            "{note}"
        );
        assert!(note.contains("\"saw 鋸\" and \"木工所の一二三\""), "{note}");
    }
}
