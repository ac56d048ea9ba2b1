//! Whether long, wide and tall pieces get in and out: corners, doorways, openings, stairs and ceilings.
//!
//! Every function works in one unit of length, whichever that is; the project's is the metre.

mod ceiling;
mod corner;
mod doorway;
mod opening;

pub use ceiling::{leaned, raised, stair_spare};
pub use corner::{Carriers, corner_limit, corner_longest, corner_spare};
pub use doorway::{Doorway, Effort, Verdict, longest};
pub use opening::{OpeningFit, opening_fit};

pub use crate::units::customary::INCH as INCH_M;

/// The least value of a function between two arguments: steps first, then the golden section around the best one.
fn least(from: f64, to: f64, steps: u32, of: impl Fn(f64) -> f64) -> (f64, f64) {
    let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(steps);
    let best = (0..=steps)
        .min_by(|&i, &j| of(at(i)).total_cmp(&of(at(j))))
        .unwrap_or(0);
    let (mut low, mut high) = (at(best.saturating_sub(1)), at((best + 1).min(steps)));
    let ratio = (libm::sqrt(5.0) - 1.0) / 2.0;
    for _ in 0..80 {
        let (left, right) = (high - (high - low) * ratio, low + (high - low) * ratio);
        if of(left) <= of(right) {
            high = right;
        } else {
            low = left;
        }
    }
    let middle = (low + high) / 2.0;
    // The ends of the range are not reached from within.
    let candidates = [middle, at(best)];
    let place = candidates
        .into_iter()
        .min_by(|&i, &j| of(i).total_cmp(&of(j)))
        .unwrap_or(middle);
    (place, of(place))
}
