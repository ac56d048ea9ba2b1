//! Distributions from their parameters, each checked before it becomes one.

use rand_distr::Gamma;

use super::distribution::{Distribution, Law};
use super::error::{DistributionError, LONGEST_S};
use super::laws::normal_probability;

/// How many times its mean a duration's standard deviation may be.
const MOST_VARIED: f64 = 100.0;

/// The shapes of a Weibull distribution that are accepted.
const WEIBULL_SHAPES: (f64, f64) = (0.1, 1000.0);

/// More stages than this are no different from a fixed duration.
const MOST_STAGES: f64 = 1e6;

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
