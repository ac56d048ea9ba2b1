//! Where a function that only rises takes a value.

/// The argument above 0 at which a function that rises from 0 without end takes a value above 0. Close to `power` laws a
/// few steps are enough; whatever it is else, what is left is halved.
///
/// What flows is nearly a power of what drives it, everywhere in a duct, but not quite, and with kinks.
pub(super) fn argument_of(
    value: f64,
    guess: f64,
    power: f64,
    function: impl Fn(f64) -> f64,
) -> f64 {
    /// After so many steps that followed the power law without an end, halving is surer.
    const GUESSED: u32 = 40;
    const STEPS: u32 = 400;
    const CLOSE: f64 = 1e-13;
    let (mut least, mut most) = (0.0, f64::INFINITY);
    let mut argument = guess;
    for step in 0..STEPS {
        let found = function(argument);
        if (found - value).abs() <= CLOSE * value {
            break;
        }
        match found < value {
            true => least = argument,
            false => most = argument,
        }
        let guessed = argument * libm::pow(value / found, 1.0 / power);
        let middle = match most.is_finite() {
            true => (least + most) / 2.0,
            false => 2.0 * least,
        };
        argument = match step < GUESSED && guessed > least && guessed < most {
            true => guessed,
            false => middle,
        };
        if argument <= least || argument >= most {
            break;
        }
    }
    argument
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_and_what_is_far_from_them() {
        for power in [0.5, 1.0, 1.9, 2.0] {
            let found = argument_of(7.0, 1e-3, 2.0, |x| libm::pow(x, power));
            assert!((libm::pow(found, power) - 7.0).abs() < 1e-11, "{power}");
        }
        // Steps that overshoot on and on, and a jump in its slope.
        let steep = argument_of(3.0, 100.0, 0.5, |x| {
            libm::pow(x, 4.0) + (x - 1.2).max(0.0) * 50.0
        });
        assert!((libm::pow(steep, 4.0) + (steep - 1.2).max(0.0) * 50.0 - 3.0).abs() < 1e-11);
    }
}
