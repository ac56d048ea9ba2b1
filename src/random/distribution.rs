//! How long something takes when it does not always take the same time.

use std::sync::Arc;

use rand_distr::Distribution as _;
use rand_distr::Gamma;

use super::error::DistributionError;
use super::key::Key;
use super::laws::{normal_density, normal_probability, normal_quantile, triangular_quantile};
use super::stream::Stream;

/// The longest duration that a distribution gives or takes, in seconds: about 317 years.
///
/// Whole microseconds of hundreds of such durations still fit into 64 bits.
pub const LONGEST_S: f64 = 1e10;

/// How many times its mean a duration's standard deviation may be.
const MOST_VARIED: f64 = 100.0;

/// The shapes of a Weibull distribution that are accepted.
const WEIBULL_SHAPES: (f64, f64) = (0.1, 1000.0);

/// More stages than this are no different from a fixed duration.
const MOST_STAGES: f64 = 1e6;

/// A duration in seconds, fixed or random.
///
/// It can only be made with parameters that make sense. A distribution that leaves no room to vary
/// (`uniform` from 3 to 3, an `sd` of 0) becomes a fixed one.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    mean: f64,
    law: Law,
}

/// The precomputed parameters. Large ones are behind a pointer, so that tables of durations stay
/// compact.
#[derive(Clone, Debug, PartialEq)]
enum Law {
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
    /// Always the same duration.
    pub fn fixed(seconds: f64) -> Result<Distribution, DistributionError> {
        duration("the duration", seconds)?;
        Ok(Distribution::always(seconds))
    }

    /// All durations from `least` to `most` equally likely.
    pub fn uniform(least: f64, most: f64) -> Result<Distribution, DistributionError> {
        let Some(range) = range(least, most)? else {
            return Ok(Distribution::always(least));
        };
        Ok(Distribution {
            mean: 0.5 * (least + most),
            law: Law::Uniform { least, range },
        })
    }

    /// A density that rises from `least` to `likely` and falls to `most` in straight lines.
    pub fn triangular(
        least: f64,
        likely: f64,
        most: f64,
    ) -> Result<Distribution, DistributionError> {
        let Some(range) = range_around(least, likely, most)? else {
            return Ok(Distribution::always(least));
        };
        let law = Law::Triangular {
            least,
            range,
            peak: likely - least,
        };
        Ok(Distribution {
            mean: (least + likely + most) / 3.0,
            law,
        })
    }

    /// The PERT distribution: a beta distribution with its mode at `likely` and its mean at
    /// `(least + 4 likely + most) / 6` (Malcolm and others, Operations Research 7 (1959) 646-669).
    pub fn pert(least: f64, likely: f64, most: f64) -> Result<Distribution, DistributionError> {
        let Some(range) = range_around(least, likely, most)? else {
            return Ok(Distribution::always(least));
        };
        let left = 1.0 + 4.0 * ((likely - least) / range);
        let right = 1.0 + 4.0 * ((most - likely) / range);
        let shapes = Box::new([unit_gamma(left), unit_gamma(right)]);
        let mean = (least + 4.0 * likely + most) / 6.0;
        Ok(Distribution {
            mean,
            law: Law::Pert {
                least,
                range,
                shapes,
            },
        })
    }

    /// A normal distribution of which negative draws are drawn again.
    ///
    /// The draw is the inverse of the truncated distribution function, which is the same law. The
    /// truncation makes the [`true_mean`](Distribution::true_mean) longer than `mean`: by
    /// 0.15 % at `sd = mean / 3`, by 9 % at `sd = mean / 1.5`.
    pub fn normal(mean: f64, sd: f64) -> Result<Distribution, DistributionError> {
        duration("the mean", mean)?;
        duration("the sd", sd)?;
        if sd == 0.0 {
            return Ok(Distribution::always(mean));
        }
        Ok(Distribution {
            mean,
            law: Law::Normal {
                sd,
                positive: normal_probability(mean / sd),
            },
        })
    }

    /// A log-normal distribution with this mean and standard deviation of the duration itself.
    ///
    /// The logarithm has the variance `ln(1 + (sd / mean)²)` and the mean `ln(mean)` less half of
    /// that (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1, chapter 14).
    pub fn log_normal(mean: f64, sd: f64) -> Result<Distribution, DistributionError> {
        let Some(variation) = variation(mean, sd)? else {
            return Ok(Distribution::always(mean));
        };
        let log_variance = libm::log1p(variation * variation);
        let log_mean = libm::log(mean) - 0.5 * log_variance;
        Ok(Distribution {
            mean,
            law: Law::LogNormal {
                log_mean,
                log_sd: log_variance.sqrt(),
            },
        })
    }

    /// An exponential distribution.
    pub fn exponential(mean: f64) -> Result<Distribution, DistributionError> {
        duration("the mean", mean)?;
        if mean == 0.0 {
            return Ok(Distribution::always(0.0));
        }
        Ok(Distribution {
            mean,
            law: Law::Exponential,
        })
    }

    /// The sum of `stages` exponential durations that have the mean `mean` together.
    ///
    /// `stages` is a number because a scenario writes numbers; it must be whole.
    pub fn erlang(stages: f64, mean: f64) -> Result<Distribution, DistributionError> {
        if !(1.0..=MOST_STAGES).contains(&stages) || stages.fract() != 0.0 {
            return Err(DistributionError::Stages {
                stages,
                most: MOST_STAGES,
            });
        }
        duration("the mean", mean)?;
        if mean == 0.0 {
            return Ok(Distribution::always(0.0));
        }
        let law = Law::Gamma {
            unit: Box::new(unit_gamma(stages)),
            scale: mean / stages,
        };
        Ok(Distribution { mean, law })
    }

    /// A gamma distribution: its shape is `(mean / sd)²`, its scale `sd² / mean`.
    ///
    /// A shape below 1 is drawn as one above 1, times a power of a uniform number (Marsaglia and
    /// Tsang, ACM Transactions on Mathematical Software 26 (2000) 363-372).
    pub fn gamma(mean: f64, sd: f64) -> Result<Distribution, DistributionError> {
        let Some(variation) = variation(mean, sd)? else {
            return Ok(Distribution::always(mean));
        };
        let power = variation * variation;
        let shape = 1.0 / power;
        let scale = mean * power;
        if !shape.is_finite() {
            return Ok(Distribution::always(mean));
        }
        let law = if shape < 1.0 {
            Law::SmallGamma {
                unit: Box::new(unit_gamma(shape + 1.0)),
                power,
                scale,
            }
        } else {
            Law::Gamma {
                unit: Box::new(unit_gamma(shape)),
                scale,
            }
        };
        Ok(Distribution { mean, law })
    }

    /// A Weibull distribution: `F(x) = 1 - exp(-(x / scale)^shape)`.
    pub fn weibull(shape: f64, scale: f64) -> Result<Distribution, DistributionError> {
        let (least, most) = WEIBULL_SHAPES;
        if !(least..=most).contains(&shape) {
            return Err(DistributionError::Shape { shape, least, most });
        }
        duration("the scale", scale)?;
        if scale == 0.0 {
            return Ok(Distribution::always(0.0));
        }
        let power = 1.0 / shape;
        let mean = duration("the mean", scale * libm::tgamma(1.0 + power))?;
        Ok(Distribution {
            mean,
            law: Law::Weibull { power, scale },
        })
    }

    /// One of these values, all equally likely; their order does not matter.
    pub fn observed(values: &[f64]) -> Result<Distribution, DistributionError> {
        for &value in values {
            duration("an observed value", value)?;
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let (Some(&least), Some(&most)) = (sorted.first(), sorted.last()) else {
            return Err(DistributionError::NothingObserved);
        };
        if least == most {
            return Ok(Distribution::always(least));
        }
        let mean = sorted.iter().sum::<f64>() / sorted.len() as f64;
        Ok(Distribution {
            mean,
            law: Law::Observed(sorted.into()),
        })
    }

    /// The duration, in seconds, that has this name: from 0 to [`LONGEST_S`].
    ///
    /// PERT, Erlang and gamma draws come from `rand_distr`, the others from the inverse of their
    /// distribution function. `rand_distr` takes its logarithms from the platform as soon as any
    /// crate of the build switches on `num-traits/std`, so only its gamma variates with a shape of
    /// at least 1 are used: in them a logarithm decides about acceptance, or is the tail of an
    /// exponential variate, but no other draw takes a digit from it.
    #[inline(always)]
    pub fn draw(&self, key: Key) -> f64 {
        // What people write most comes first, and costs one comparison.
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

    /// The draws that cost more than a call.
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

    /// The same luck, each duration `factor` times as long.
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

    fn always(seconds: f64) -> Distribution {
        Distribution {
            mean: seconds,
            law: Law::Fixed,
        }
    }
}

/// Gamma variates of scale 1; the callers' shapes are finite and at least 1.
fn unit_gamma(shape: f64) -> Gamma<f64> {
    Gamma::new(shape, 1.0).expect("the shape is positive")
}

fn duration(what: &'static str, value_s: f64) -> Result<f64, DistributionError> {
    if !value_s.is_finite() {
        Err(DistributionError::NotFinite {
            what,
            value: value_s,
        })
    } else if value_s < 0.0 {
        Err(DistributionError::Negative { what, value_s })
    } else if value_s > LONGEST_S {
        Err(DistributionError::TooLong { what, value_s })
    } else {
        Ok(value_s)
    }
}

/// From `least` to `most`, or nothing where they are the same.
fn range(least_s: f64, most_s: f64) -> Result<Option<f64>, DistributionError> {
    duration("the least value", least_s)?;
    duration("the most", most_s)?;
    if least_s > most_s {
        return Err(DistributionError::Reversed { least_s, most_s });
    }
    Ok((least_s < most_s).then_some(most_s - least_s))
}

fn range_around(
    least_s: f64,
    likely_s: f64,
    most_s: f64,
) -> Result<Option<f64>, DistributionError> {
    duration("the most likely value", likely_s)?;
    let range = range(least_s, most_s)?;
    if !(least_s..=most_s).contains(&likely_s) {
        return Err(DistributionError::LikelyOutside {
            least_s,
            likely_s,
            most_s,
        });
    }
    Ok(range)
}

/// The standard deviation as a share of the mean, or nothing where nothing varies.
fn variation(mean_s: f64, sd_s: f64) -> Result<Option<f64>, DistributionError> {
    duration("the mean", mean_s)?;
    duration("the sd", sd_s)?;
    if sd_s == 0.0 {
        return Ok(None);
    }
    if mean_s == 0.0 {
        return Err(DistributionError::ZeroMean { sd_s });
    }
    if sd_s > MOST_VARIED * mean_s {
        return Err(DistributionError::TooVaried {
            mean_s,
            sd_s,
            most_times: MOST_VARIED,
        });
    }
    Ok(Some(sd_s / mean_s))
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
