//! Whole numbers drawn by name, so that the same seed gives the same sheet.

use rand::Rng;

use crate::random::{Key, Stream};

/// A short sequence of draws under one name.
pub struct LessonDice(Stream);

impl LessonDice {
    pub fn new(key: Key) -> LessonDice {
        LessonDice(Stream::new(key))
    }

    /// A whole number from `least` to `most`, both of them possible. Of 2^64 draws some come up once more than others,
    /// which nobody sees.
    pub fn whole(&mut self, least: i64, most: i64) -> i64 {
        let values = (most - least + 1) as u64;
        least + (self.0.next_u64() % values) as i64
    }

    /// The place of one of so many things.
    pub fn below(&mut self, count: usize) -> usize {
        self.whole(0, count as i64 - 1) as usize
    }
}
