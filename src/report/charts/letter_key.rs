//! Letters that stand for names, and the key that explains them.

use super::canvas::{Align, Canvas, Font};
use super::text::{clean, fit_apart};

/// A line of the key.
const LINE: f64 = 17.0;

/// What has a letter, in the order of the letters.
#[derive(Debug, Default)]
pub struct LetterKey {
    names: Vec<String>,
    /// Which of them stand in what has been drawn since the key was written last.
    untold: Vec<bool>,
    /// So many letters are something else's, the first ones.
    taken: usize,
}

impl LetterKey {
    /// With the letters behind so many.
    pub fn behind(taken: usize) -> LetterKey {
        LetterKey {
            taken,
            ..LetterKey::default()
        }
    }

    pub fn letters(&mut self, name: &str) -> String {
        let known = self.names.iter().position(|known| known == name);
        let index = known.unwrap_or_else(|| {
            self.names.push(name.to_owned());
            self.untold.push(true);
            self.names.len() - 1
        });
        self.untold[index] = true;
        letters(self.taken + index)
    }

    /// Writes what has been named since the last time in as many columns as fit, and returns where it ends.
    pub fn draw(&mut self, canvas: &mut Canvas, (x, y): (f64, f64), room: f64) -> f64 {
        const LETTERS: f64 = 24.0;
        const GAP: f64 = 20.0;
        const LEAST: f64 = 220.0;
        let shown: Vec<usize> = (0..self.names.len())
            .filter(|&index| self.untold[index])
            .collect();
        self.untold.fill(false);
        if shown.is_empty() {
            return y;
        }
        let names: Vec<&str> = (shown.iter())
            .map(|&index| self.names[index].as_str())
            .collect();
        let widths = names.iter().map(|name| Font::BODY.width(&clean(name)));
        // Two columns of cut names are better than one of whole ones, if they are not cut too short.
        let widest = if room >= 2.0 * LEAST {
            room / 2.0
        } else {
            room
        };
        let column = (widths.fold(0.0, f64::max) + LETTERS + GAP).min(widest);
        let most = (room / column + 1e-9) as usize;
        let rows = names.len().div_ceil(most.max(1));
        let name_room = (column - LETTERS - 4.0).max(0.0);
        let names = fit_apart(&names, Font::BODY.shape(), name_room);
        for (index, name) in names.iter().enumerate() {
            let left = x + column * (index / rows) as f64;
            let middle = y + LINE * ((index % rows) as f64 + 0.5);
            let font = Font::BODY.bold(true).align(Align::Right);
            let text = letters(self.taken + shown[index]);
            canvas.text(&text, (left + LETTERS - 6.0, middle), LETTERS, font);
            canvas.text(name, (left + LETTERS, middle), name_room, Font::BODY);
        }
        y + LINE * rows as f64
    }
}

/// The letters of things, without I and O: a line beside them would make a plus of the one, and the other is a nought.
const ALPHABET: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";

/// A to Z, then AA, AB and so on.
pub fn letters(index: usize) -> String {
    let letter = char::from(ALPHABET[index % ALPHABET.len()]);
    match index / ALPHABET.len() {
        0 => letter.to_string(),
        before => letters(before - 1) + &letter.to_string(),
    }
}
