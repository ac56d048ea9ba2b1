//! How large something may become, or how long it lasts, before it no longer fits.

/// Halves what lies between a size that fits and one that does not, and returns the largest size that was found to fit
/// with what fits there: `best` if nothing larger does.
pub(crate) fn largest<T>(
    (mut fits, mut sticks): (f64, f64),
    mut best: T,
    halvings: u32,
    at: impl Fn(f64) -> Option<T>,
) -> (f64, T) {
    for _ in 0..halvings {
        let middle = (fits + sticks) / 2.0;
        match at(middle) {
            Some(found) => (fits, best) = (middle, found),
            None => sticks = middle,
        }
    }
    (fits, best)
}
