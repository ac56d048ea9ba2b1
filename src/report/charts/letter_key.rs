//! Letters that stand for names, and the key that explains them.

use super::canvas::{Align, Canvas, Font};
use super::layout::Layout;
use super::text::{clean, fit_apart};

/// A line of the key.
const LINE: f64 = 17.0;

/// What has a letter.
#[derive(Debug, Default)]
pub struct LetterKey {
    named: Vec<Lettered>,
    /// So many letters are something else's, the first ones.
    taken: usize,
}

/// A name that has a letter.
#[derive(Debug)]
struct Lettered {
    name: String,
    /// Which letter; a station has the same one whether there is one of it or several.
    letter: usize,
    /// Whether it stands in what has been drawn since the key was written last.
    is_untold: bool,
}

impl LetterKey {
    /// With the letters behind so many.
    pub fn behind(taken: usize) -> LetterKey {
        LetterKey {
            taken,
            ..LetterKey::default()
        }
    }

    /// With a letter for whatever has a name on these floors, in the order of the file, so that it has the same one on
    /// each picture of them, of whatever size.
    pub fn of(layouts: &[Layout]) -> LetterKey {
        let mut key = LetterKey::default();
        for layout in layouts {
            for (index, name) in layout.stations.iter().enumerate() {
                let one = key.named(&clean(name));
                let letter = key.named[one].letter;
                if let Some(several) = layout.station(index).filter(|several| several != name) {
                    key.add(clean(&several), letter);
                }
            }
        }
        for room in layouts
            .iter()
            .filter_map(|layout| layout.plan.room.as_ref())
        {
            let things = room.blocked.iter().map(|thing| &thing.name);
            let panels = room.panels.iter().map(|panel| &panel.name);
            let doors = room.doors.iter().map(|door| &door.name);
            for name in things.chain(panels).chain(doors) {
                key.named(&clean(name));
            }
        }
        key
    }

    pub fn letters(&mut self, name: &str) -> String {
        let index = self.named(name);
        let named = &mut self.named[index];
        named.is_untold = true;
        letters(self.taken + named.letter)
    }

    /// The index of what has this name, which gets the next letter if it has none.
    fn named(&mut self, name: &str) -> usize {
        let known = self.named.iter().position(|known| known.name == name);
        known.unwrap_or_else(|| {
            let used = self.named.iter().map(|named| named.letter + 1);
            let letter = used.max().unwrap_or(0);
            self.add(name.to_owned(), letter)
        })
    }

    fn add(&mut self, name: String, letter: usize) -> usize {
        if let Some(known) = self.named.iter().position(|known| known.name == name) {
            return known;
        }
        self.named.push(Lettered {
            name,
            letter,
            is_untold: false,
        });
        self.named.len() - 1
    }

    /// Writes what has been named since the last time in as many columns as fit, and returns where it ends.
    pub fn draw(&mut self, canvas: &mut Canvas, (x, y): (f64, f64), room: f64) -> f64 {
        const LETTERS: f64 = 24.0;
        const GAP: f64 = 20.0;
        const LEAST: f64 = 220.0;
        let mut shown: Vec<(usize, String)> = (self.named.iter_mut())
            .filter_map(|named| {
                let is_shown = std::mem::take(&mut named.is_untold);
                is_shown.then(|| (named.letter, named.name.clone()))
            })
            .collect();
        if shown.is_empty() {
            return y;
        }
        shown.sort();
        let names: Vec<&str> = shown.iter().map(|(_, name)| name.as_str()).collect();
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
            let text = letters(self.taken + shown[index].0);
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
