//! The name of a random number, hashed level by level.

/// The odd number nearest to 2^64 divided by the golden ratio: multiples of it are spread evenly.
pub(super) const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

/// The name of one random number, or of a family of them.
///
/// A key is made level by level, most general first:
/// `Key::from_seed(seed).with(replication).with(project).with(order)`. Keys of shared levels can
/// be kept and continued, so a draw usually costs one [`with`](Key::with).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key(u64);

impl Key {
    /// The root of all keys of one seed.
    #[inline]
    pub const fn from_seed(seed: u64) -> Key {
        Key(GOLDEN).with(seed)
    }

    /// The key of a word, such as the name of a project.
    ///
    /// FNV-1a with 64 bits (Fowler, Noll and Vo; RFC 9923) over the UTF-8 bytes, followed by
    /// the finaliser of SplitMix64, because FNV alone leaves the upper bits of short words poorly mixed.
    pub const fn of_name(name: &str) -> Key {
        Key(mix(fnv1a(name.as_bytes())))
    }

    /// The key one level further down: the `value`th of this family.
    ///
    /// For one key, different values never give the same key: a multiple of an odd number and
    /// `mix` are both one-to-one.
    #[inline]
    pub const fn with(self, value: u64) -> Key {
        Key(mix(self
            .0
            .wrapping_add(value.wrapping_add(1).wrapping_mul(GOLDEN))))
    }

    /// The key one level further down, under a name that does not depend on any numbering.
    pub const fn with_name(self, name: &str) -> Key {
        self.with(Key::of_name(name).0)
    }

    /// The random number of this name, above 0 and below 1.
    ///
    /// The upper 52 bits of the key, put in the middle of their interval: one of
    /// `(k + 1/2) / 2^52`. Subtracting it from 1 is exact.
    #[inline]
    pub const fn uniform(self) -> f64 {
        ((self.0 >> 12) as f64 + 0.5) * (1.0 / (1u64 << 52) as f64)
    }

    /// A key of the bits that a test needs, which no name may ever hash to.
    #[cfg(test)]
    pub(super) const fn of_bits(bits: u64) -> Key {
        Key(bits)
    }

    /// The 64 hashed bits.
    #[inline]
    pub const fn bits(self) -> u64 {
        self.0
    }
}

/// The finaliser of SplitMix64: one-to-one, and each bit of the input moves about half of the
/// output's.
///
/// Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014, with the
/// constants that Stafford found for this shape ("mix13").
#[inline]
pub(super) const fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

const fn fnv1a(bytes: &[u8]) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut at = 0;
    while at < bytes.len() {
        hash = (hash ^ bytes[at] as u64).wrapping_mul(0x0000_0100_0000_01b3);
        at += 1;
    }
    hash
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of the hash's authors, also printed in RFC 9923 (from memory).
    #[test]
    fn words_hash_as_published() {
        assert_eq!(fnv1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    /// The first numbers of SplitMix64 with seed 1234567, as commonly published (from memory).
    #[test]
    fn children_of_a_key_are_the_sequence_of_splitmix64() {
        let parent = Key(1_234_567);
        let found: Vec<u64> = (0..5).map(|n| parent.with(n).bits()).collect();
        assert_eq!(
            found,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn uniform_numbers_stay_inside_the_open_interval() {
        assert!(Key(0).uniform() > 0.0);
        assert!(Key(u64::MAX).uniform() < 1.0);
        assert_eq!(1.0 - Key(u64::MAX).uniform(), Key(0).uniform());
    }

    #[test]
    fn the_order_of_the_levels_matters() {
        let root = Key::from_seed(1);
        assert_ne!(root.with(1).with(2), root.with(2).with(1));
        assert_ne!(Key::from_seed(1), Key::from_seed(2));
        assert_ne!(root.with_name("leg"), root.with_name("gel"));
    }
}
