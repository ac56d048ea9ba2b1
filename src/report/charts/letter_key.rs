//! Letters that stand for names, and the key that explains them.

use super::canvas::{Align, Canvas, Font};
use super::text::{clean, fit_apart};

/// A line of the key.
const LINE: f64 = 17.0;

/// What has a letter, in the order of the letters: A to Z, then AA, AB and so on.
#[derive(Debug, Default)]
pub struct LetterKey {
    names: Vec<String>,
    /// So many letters are something else's, the first ones.
    taken: usize,
}

impl LetterKey {
    /// With the letters behind so many.
    pub fn behind(taken: usize) -> LetterKey {
        LetterKey {
            names: Vec::new(),
            taken,
        }
    }

    pub fn letters(&mut self, name: &str) -> String {
        let known = self.names.iter().position(|known| known == name);
        let index = known.unwrap_or_else(|| {
            self.names.push(name.to_owned());
            self.names.len() - 1
        });
        letters(self.taken + index)
    }

    /// Writes it in as many columns as fit, and returns where it ends.
    pub fn draw(&self, canvas: &mut Canvas, (x, y): (f64, f64), room: f64) -> f64 {
        const LETTERS: f64 = 24.0;
        const GAP: f64 = 20.0;
        const LEAST: f64 = 220.0;
        if self.names.is_empty() {
            return y;
        }
        let widths = self.names.iter().map(|name| Font::BODY.width(&clean(name)));
        // Two columns of cut names are better than one of whole ones, if they are not cut too short.
        let widest = if room >= 2.0 * LEAST {
            room / 2.0
        } else {
            room
        };
        let column = (widths.fold(0.0, f64::max) + LETTERS + GAP).min(widest);
        let most = (room / column + 1e-9) as usize;
        let rows = self.names.len().div_ceil(most.max(1));
        let name_room = (column - LETTERS - 4.0).max(0.0);
        let names: Vec<&str> = self.names.iter().map(String::as_str).collect();
        let names = fit_apart(&names, Font::BODY.shape(), name_room);
        for (index, name) in names.iter().enumerate() {
            let left = x + column * (index / rows) as f64;
            let middle = y + LINE * ((index % rows) as f64 + 0.5);
            let font = Font::BODY.bold(true).align(Align::Right);
            let text = letters(self.taken + index);
            canvas.text(&text, (left + LETTERS - 6.0, middle), LETTERS, font);
            canvas.text(name, (left + LETTERS, middle), name_room, Font::BODY);
        }
        y + LINE * rows as f64
    }
}

/// A to Z, then AA, AB and so on.
pub fn letters(index: usize) -> String {
    let letter = |index: usize| char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => letter(index).to_string(),
        before => letters(before - 1) + &letter(index).to_string(),
    }
}
