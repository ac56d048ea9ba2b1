//! A sequence of random numbers under one name, for variates that need more than one.

use std::convert::Infallible;

use rand::TryRng;

use super::key::{GOLDEN, Key, mix};

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014), started at a key.
///
/// The generator is named and fixed, so its numbers do not change with a library's release. It
/// costs nothing to start, which suits one short stream per drawn duration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stream {
    state: u64,
}

impl Stream {
    /// The stream of this name.
    ///
    /// The key is hashed once more under a name of its own, because SplitMix64 started at the key
    /// itself would give the very numbers of the key's children.
    #[inline]
    pub fn new(key: Key) -> Stream {
        const STREAM: Key = Key::of_name("stream");
        Stream {
            state: key.with(STREAM.bits()).bits(),
        }
    }

    #[inline]
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(GOLDEN);
        mix(self.state)
    }
}

impl TryRng for Stream {
    type Error = Infallible;

    #[inline]
    fn try_next_u32(&mut self) -> Result<u32, Infallible> {
        Ok((self.next() >> 32) as u32)
    }

    #[inline]
    fn try_next_u64(&mut self) -> Result<u64, Infallible> {
        Ok(self.next())
    }

    fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), Infallible> {
        for chunk in bytes.chunks_mut(8) {
            chunk.copy_from_slice(&self.next().to_le_bytes()[..chunk.len()]);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use rand::Rng;

    use super::*;

    #[test]
    fn a_stream_shares_no_number_with_the_children_of_its_key() {
        let key = Key::from_seed(3);
        let mut stream = Stream::new(key);
        let numbers: Vec<u64> = (0..1000).map(|_| stream.next_u64()).collect();
        for child in 0..1000 {
            assert!(!numbers.contains(&key.with(child).bits()));
        }
    }

    #[test]
    fn bytes_are_the_words_in_little_endian_order() {
        let key = Key::from_seed(4);
        let mut bytes = [0; 11];
        Stream::new(key).fill_bytes(&mut bytes);
        let mut stream = Stream::new(key);
        assert_eq!(bytes[..8], stream.next_u64().to_le_bytes());
        assert_eq!(bytes[8..], stream.next_u64().to_le_bytes()[..3]);
    }
}
