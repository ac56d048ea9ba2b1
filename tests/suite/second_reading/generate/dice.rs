//! What generated shops are thrown with.

/// A small generator of its own (splitmix64), so that a seed means the same shop for ever.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x2545_f491_4f6c_dd1d) ^ 0x5eed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn between(&mut self, least: usize, most: usize) -> usize {
        least + (self.next() % (most - least + 1) as u64) as usize
    }

    /// True in so many of a hundred cases.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.between(0, 99) < percent
    }

    pub fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.between(0, list.len() - 1)]
    }
}
