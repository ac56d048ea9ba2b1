//! Keys that differ in one level of their names, as independent as random numbers are.

use shopstride::random::Key;

use super::{STANDARD_ERRORS, assert_even};

const LEVELS: usize = 8;

/// The key of a random number that has `value` at one level of its name and 3 at the others.
fn named(level: usize, value: u64) -> Key {
    let at = |this: usize| if this == level { value } else { 3 };
    (1..LEVELS).fold(Key::from_seed(at(0)), |key, this| key.with(at(this)))
}

fn line(level: usize, count: u64) -> Vec<f64> {
    (0..count)
        .map(|value| named(level, value).uniform())
        .collect()
}

/// The correlation of two series times √n: a standard normal deviate if they are independent.
fn correlation_deviate(x: &[f64], y: &[f64]) -> f64 {
    let pairs = x.iter().zip(y);
    let covariance = pairs.map(|(x, y)| (x - 0.5) * (y - 0.5)).sum::<f64>() / x.len() as f64;
    covariance * 12.0 * (x.len() as f64).sqrt()
}

/// Neighbours along each level of the name (seed, replication, …, piece), and the same places of
/// two levels.
#[test]
fn neighbouring_keys_are_uncorrelated() {
    let lines: Vec<Vec<f64>> = (0..LEVELS).map(|level| line(level, 100_000)).collect();
    for (level, line) in lines.iter().enumerate() {
        for lag in 1..=5 {
            let deviate = correlation_deviate(&line[lag..], &line[..line.len() - lag]);
            assert!(
                deviate.abs() < STANDARD_ERRORS,
                "level {level}, lag {lag}: {deviate}"
            );
        }
        for (other, others) in lines.iter().enumerate().skip(level + 1) {
            // Place 3 is one and the same key on all lines.
            let deviate = correlation_deviate(&line[4..], &others[4..]);
            assert!(
                deviate.abs() < STANDARD_ERRORS,
                "levels {level} and {other}: {deviate}"
            );
        }
    }
}

/// 30 equal cells of all lines together, and 5 × 4 cells of pairs of neighbours.
#[test]
fn uniform_numbers_fill_line_and_square_evenly() {
    let (mut cells, mut squares) = ([0.0; 30], [0.0; 20]);
    for level in 0..LEVELS {
        let line = line(level, 20_000);
        for u in &line {
            cells[(u * 30.0) as usize] += 1.0;
        }
        for pair in line.chunks_exact(2) {
            squares[(pair[0] * 5.0) as usize * 4 + (pair[1] * 4.0) as usize] += 1.0;
        }
    }
    assert_even(&cells, "29");
    assert_even(&squares, "19");
}

/// The step to the next value at any level flips each bit with probability 1/2: 32 of 64 bits,
/// with a standard deviation of 4.
#[test]
fn one_step_at_any_level_flips_half_of_the_bits() {
    for level in 0..LEVELS {
        let n = 10_000;
        let flipped: u32 = (0..n)
            .map(|value| named(level, value).bits() ^ named(level, value + 1).bits())
            .map(u64::count_ones)
            .sum();
        let deviate = (f64::from(flipped) / n as f64 - 32.0) / (4.0 / (n as f64).sqrt());
        assert!(deviate.abs() < STANDARD_ERRORS, "level {level}: {deviate}");
    }
}
