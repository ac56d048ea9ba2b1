//! How long something takes when it does not always take the same time.

use std::sync::Arc;

use rand_distr::Distribution as _;
use rand_distr::Gamma;

use super::error::LONGEST_S;
use super::key::Key;
use super::laws::{normal_density, normal_quantile, triangular_quantile};
use super::stream::Stream;

/// A duration in seconds, fixed or random.
///
/// It can only be made with parameters that make sense. A distribution that leaves no room to vary
/// (`uniform` from 3 to 3, an `sd` of 0) becomes a fixed one.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    pub(super) mean: f64,
    pub(super) law: Law,
}

/// The precomputed parameters. Large ones are behind a pointer, so that tables of durations stay
/// compact.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Law {
    Fixed,
    Uniform {
        least: f64,
        range: f64,
    },
    Triangular {
        least: f64,
        range: f64,
        peak: f64,
    },
    Pert {
        least: f64,
        range: f64,
        shapes: Box<[Gamma<f64>; 2]>,
    },
    Normal {
        sd: f64,
        positive: f64,
    },
    LogNormal {
        log_mean: f64,
        log_sd: f64,
    },
    Exponential,
    Gamma {
        unit: Box<Gamma<f64>>,
        scale: f64,
    },
    SmallGamma {
        unit: Box<Gamma<f64>>,
        power: f64,
        scale: f64,
    },
    Weibull {
        power: f64,
        scale: f64,
    },
    Observed(Arc<[f64]>),
}

impl Distribution {
    /// The duration, in seconds, that has this name: from 0 to [`LONGEST_S`].
    ///
    /// PERT, Erlang and gamma draws come from `rand_distr`, the others from the inverse of their
    /// distribution function. `rand_distr` takes its logarithms from the platform as soon as any
    /// crate of the build switches on `num-traits/std`, so only its gamma variates with a shape of
    /// at least 1 are used: in them a logarithm decides about acceptance, or is the tail of an
    /// exponential variate, but no other draw takes a digit from it.
    #[inline(always)]
    pub fn draw(&self, key: Key) -> f64 {
        // The kind that scenarios use most comes first, after one comparison.
        if let Law::Triangular { least, range, peak } = &self.law {
            return least + triangular_quantile(key.uniform(), *range, *peak);
        }
        match &self.law {
            Law::Fixed => self.mean,
            Law::Uniform { least, range } => least + range * key.uniform(),
            Law::Exponential => (-self.mean * libm::log(1.0 - key.uniform())).min(LONGEST_S),
            Law::Observed(values) => {
                let index = (key.uniform() * values.len() as f64) as usize;
                values[index.min(values.len() - 1)]
            }
            _ => self.draw_dear(key).clamp(0.0, LONGEST_S),
        }
    }

    /// The draws that take longer than a function call, kept out of line.
    fn draw_dear(&self, key: Key) -> f64 {
        match &self.law {
            // From the upper tail: there the truncated probability is never rounded to 1.
            Law::Normal { sd, positive } => {
                self.mean - sd * normal_quantile(positive * (1.0 - key.uniform()))
            }
            Law::LogNormal { log_mean, log_sd } => {
                libm::exp(log_mean + log_sd * normal_quantile(key.uniform()))
            }
            Law::Weibull { power, scale } => {
                scale * libm::pow(-libm::log(1.0 - key.uniform()), *power)
            }
            // A beta variate is one gamma variate's share in two (Johnson, Kotz and Balakrishnan,
            // Continuous Univariate Distributions 2, chapter 25).
            Law::Pert {
                least,
                range,
                shapes,
            } => {
                let mut stream = Stream::new(key);
                let [left, right] = shapes.each_ref().map(|shape| shape.sample(&mut stream));
                least + range * (left / (left + right))
            }
            Law::Gamma { unit, scale } => scale * unit.sample(&mut Stream::new(key)),
            Law::SmallGamma { unit, power, scale } => {
                let larger = unit.sample(&mut Stream::new(key));
                scale * larger * libm::pow(key.uniform(), *power)
            }
            Law::Fixed
            | Law::Uniform { .. }
            | Law::Triangular { .. }
            | Law::Exponential
            | Law::Observed(_) => self.draw(key),
        }
    }

    /// The mean as written, in seconds: for a normal distribution its parameter `mean`, which is
    /// below the mean of the draws when truncation matters.
    #[inline]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// The mean of the draws, in seconds.
    ///
    /// It differs from [`mean`](Distribution::mean) for a normal distribution only, by
    /// `sd φ(mean/sd) / Φ(mean/sd)` (Johnson, Kotz and Balakrishnan 1, chapter 13).
    pub fn true_mean(&self) -> f64 {
        match self.law {
            Law::Normal { sd, positive } => {
                self.mean + sd * normal_density(self.mean / sd) / positive
            }
            _ => self.mean,
        }
    }

    /// Whether every draw is the same.
    pub fn is_fixed(&self) -> bool {
        self.law == Law::Fixed
    }

    /// The same draw for each key, `factor` times as long.
    ///
    /// Draws of a bounded distribution may then be longer than [`LONGEST_S`], by this factor.
    ///
    /// # Panics
    /// If the factor is negative or not finite.
    pub fn scaled(&self, factor: f64) -> Distribution {
        assert!(
            factor.is_finite() && factor >= 0.0,
            "no duration can be multiplied by {factor}"
        );
        if factor == 0.0 {
            return Distribution::always(0.0);
        }
        let law = match self.law.clone() {
            Law::Fixed => Law::Fixed,
            Law::Exponential => Law::Exponential,
            Law::Uniform { least, range } => Law::Uniform {
                least: least * factor,
                range: range * factor,
            },
            Law::Triangular { least, range, peak } => Law::Triangular {
                least: least * factor,
                range: range * factor,
                peak: peak * factor,
            },
            Law::Pert {
                least,
                range,
                shapes,
            } => Law::Pert {
                least: least * factor,
                range: range * factor,
                shapes,
            },
            Law::Normal { sd, positive } => Law::Normal {
                sd: sd * factor,
                positive,
            },
            Law::LogNormal { log_mean, log_sd } => Law::LogNormal {
                log_mean: log_mean + libm::log(factor),
                log_sd,
            },
            Law::Gamma { unit, scale } => Law::Gamma {
                unit,
                scale: scale * factor,
            },
            Law::SmallGamma { unit, power, scale } => Law::SmallGamma {
                unit,
                power,
                scale: scale * factor,
            },
            Law::Weibull { power, scale } => Law::Weibull {
                power,
                scale: scale * factor,
            },
            Law::Observed(values) => {
                Law::Observed(values.iter().map(|value| value * factor).collect())
            }
        };
        Distribution {
            mean: self.mean * factor,
            law,
        }
    }

    pub(super) fn always(seconds: f64) -> Distribution {
        Distribution {
            mean: seconds,
            law: Law::Fixed,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNLUCKIEST: [Key; 2] = [Key::of_bits(0), Key::of_bits(u64::MAX)];

    /// The smallest and the largest uniform number, with parameters at the ends of what is
    /// accepted.
    #[test]
    fn the_outermost_keys_give_possible_durations() {
        for law in [
            Distribution::uniform(0.0, LONGEST_S),
            Distribution::triangular(0.0, 0.0, LONGEST_S),
            Distribution::triangular(0.0, LONGEST_S, LONGEST_S),
            Distribution::pert(0.0, 0.0, LONGEST_S),
            Distribution::normal(0.0, LONGEST_S),
            Distribution::normal(LONGEST_S, 1e-300),
            Distribution::normal(1e-300, LONGEST_S),
            Distribution::log_normal(LONGEST_S / 100.0, LONGEST_S),
            Distribution::exponential(LONGEST_S),
            Distribution::erlang(1e6, LONGEST_S),
            Distribution::gamma(1e-300, 1e-298),
            Distribution::gamma(1.0, 1e-160),
            Distribution::weibull(0.1, 2000.0),
            Distribution::weibull(1000.0, LONGEST_S),
            Distribution::observed(&[0.0, LONGEST_S]),
        ] {
            let law = law.unwrap();
            for key in UNLUCKIEST {
                let draw = law.draw(key);
                assert!((0.0..=LONGEST_S).contains(&draw), "{law:?} gave {draw}");
            }
        }
    }

    /// The normal distribution's quantile of 2^-53 is -8.2095 (a z table's tail; from memory), so
    /// the outermost draws of a normal far above 0 are that many sd away from its mean.
    #[test]
    fn normal_draws_reach_both_tails() {
        let law = Distribution::normal(1000.0, 10.0).unwrap();
        let [low, high] = UNLUCKIEST.map(|key| (law.draw(key) - 1000.0) / 10.0);
        assert!(
            (low + 8.2095).abs() < 1e-3 && (high - 8.2095).abs() < 1e-3,
            "{low} {high}"
        );
    }

    #[test]
    fn a_table_of_durations_stays_compact() {
        assert!(size_of::<Distribution>() <= 40);
    }
}
