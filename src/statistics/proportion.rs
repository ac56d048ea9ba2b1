//! How far a share that was counted may lie from the one that it estimates.

use distrs::Normal;

/// The interval of the share of which `met` of `n` trials, at least one, are an instance: E. B. Wilson's (Journal of the
/// American Statistical Association 22 (1927) 209-212), which stays between 0 and 1 and says something where none or all
/// did.
pub fn wilson(met: u64, n: u64, level: f64) -> (f64, f64) {
    let (met, n) = (met as f64, n as f64);
    let z = Normal::ppf(0.5 + 0.5 * level, 0.0, 1.0);
    let share = met / n;
    let middle = share + z * z / (2.0 * n);
    let reach = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    let all = 1.0 + z * z / n;
    // At the ends the two terms are equal, but for rounding.
    let low = if met == 0.0 {
        0.0
    } else {
        (middle - reach) / all
    };
    let high = if met == n {
        1.0
    } else {
        (middle + reach) / all
    };
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17 (1998) 857-872,
    /// table I, method 3, at 95 %; its figures are from memory.
    #[test]
    fn intervals_are_those_of_a_published_table() {
        let table = [
            ((81, 263), (0.2553, 0.3662)),
            ((15, 148), (0.0624, 0.1605)),
            ((0, 20), (0.0, 0.1611)),
            ((1, 29), (0.0061, 0.1718)),
        ];
        for ((met, n), (low, high)) in table {
            let found = wilson(met, n, 0.95);
            let is_close = |one: f64, other: f64| (one - other).abs() < 5e-5;
            assert!(
                is_close(found.0, low) && is_close(found.1, high),
                "{found:?}"
            );
            let mirrored = wilson(n - met, n, 0.95);
            assert!((1.0 - mirrored.1 - found.0).abs() < 1e-12);
        }
    }
}
