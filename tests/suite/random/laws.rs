//! The laws of all kinds of distributions: what theory says about each.

use shopstride::random::{Distribution, KINDS};

use super::{KOLMOGOROV_999, reference};

type Probability = Box<dyn Fn(f64) -> f64>;

/// A distribution with what theory says about it.
pub(super) struct Law {
    pub kind: &'static str,
    pub distribution: Distribution,
    pub mean: f64,
    pub variance: f64,
    pub probability: Probability,
    /// Whether a draw is the inverse of the distribution function at the key's uniform number.
    pub inverse: bool,
}

pub(super) fn law(
    kind: &'static str,
    parameters: &[f64],
    (mean, variance): (f64, f64),
    inverse: bool,
    probability: impl Fn(f64) -> f64 + 'static,
) -> Law {
    let row = KINDS.iter().find(|row| row.name == kind).unwrap();
    let distribution = (row.build)(parameters).unwrap();
    Law {
        kind,
        distribution,
        mean,
        variance,
        probability: Box::new(probability),
        inverse,
    }
}

/// Means, variances and distribution functions from Johnson, Kotz and Balakrishnan, Continuous
/// Univariate Distributions (from memory): chapters 13 (normal), 14 (log-normal), 17 (gamma and
/// Erlang), 19 (exponential), 21 (Weibull), 25 (beta), 26 (uniform, triangular).
pub(super) fn laws() -> Vec<Law> {
    let mut laws = vec![
        law("uniform", &[2.0, 5.0], (3.5, 9.0 / 12.0), true, |x| {
            (x - 2.0) / 3.0
        }),
        law("exponential", &[180.0], (180.0, 180.0 * 180.0), true, |x| {
            1.0 - (-x / 180.0).exp()
        }),
    ];
    for (a, c, b) in [(2.0, 3.0, 6.0), (2.0, 2.0, 6.0), (2.0, 6.0, 6.0)] {
        let variance: f64 = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
        laws.push(law(
            "triangular",
            &[a, c, b],
            ((a + b + c) / 3.0, variance),
            true,
            move |x| {
                if x < c {
                    (x - a) * (x - a) / ((b - a) * (c - a))
                } else if b == c {
                    (x - a) * (x - a) / ((b - a) * (b - a))
                } else {
                    1.0 - (b - x) * (b - x) / ((b - a) * (b - c))
                }
            },
        ));
        let (left, right) = (1.0 + 4.0 * (c - a) / (b - a), 1.0 + 4.0 * (b - c) / (b - a));
        let variance = left * right / (36.0 * 7.0) * (b - a) * (b - a);
        laws.push(law(
            "pert",
            &[a, c, b],
            ((a + 4.0 * c + b) / 6.0, variance),
            false,
            move |x| beta_probability(left, right, (x - a) / (b - a)),
        ));
    }
    for (mean, sd) in [(180.0, 20.0), (180.0, 180.0), (0.0, 60.0)] {
        // With α = -mean/sd: mean + sd λ and sd² (1 + α λ - λ²), where λ = φ(α) / (1 - Φ(α)).
        let alpha: f64 = -mean / sd;
        let below = normal_probability(alpha);
        let lambda =
            (-0.5 * alpha * alpha).exp() / (2.0 * std::f64::consts::PI).sqrt() / (1.0 - below);
        let moments = (
            mean + sd * lambda,
            sd * sd * (1.0 + alpha * lambda - lambda * lambda),
        );
        laws.push(law("normal", &[mean, sd], moments, true, move |x| {
            (normal_probability((x - mean) / sd) - below) / (1.0 - below)
        }));
    }
    for (mean, sd) in [(180.0, 60.0), (3.0, 2.0)] {
        let log_variance = f64::ln(1.0 + sd * sd / (mean * mean));
        laws.push(law(
            "lognormal",
            &[mean, sd],
            (mean, sd * sd),
            true,
            move |x| {
                normal_probability((x.ln() - mean.ln() + log_variance / 2.0) / log_variance.sqrt())
            },
        ));
    }
    for (stages, mean) in [(1.0, 180.0), (3.0, 180.0), (20.0, 4.0)] {
        laws.push(law(
            "erlang",
            &[stages, mean],
            (mean, mean * mean / stages),
            false,
            move |x| gamma_probability(stages, x * stages / mean),
        ));
    }
    for (mean, sd) in [(180.0, 60.0), (180.0, 170.0), (2.0, 3.0)] {
        laws.push(law(
            "gamma",
            &[mean, sd],
            (mean, sd * sd),
            false,
            move |x| gamma_probability(mean * mean / (sd * sd), x * mean / (sd * sd)),
        ));
    }
    for (shape, scale) in [(1.5, 180.0), (0.8, 2.0), (4.0, 60.0)] {
        let mean = scale * libm::tgamma(1.0 + 1.0 / shape);
        let variance = scale * scale * libm::tgamma(1.0 + 2.0 / shape) - mean * mean;
        laws.push(law(
            "weibull",
            &[shape, scale],
            (mean, variance),
            true,
            move |x| 1.0 - (-(x / scale).powf(shape)).exp(),
        ));
    }
    laws
}

fn normal_probability(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The regularised incomplete gamma function by its series (Abramowitz and Stegun 6.5.29).
fn gamma_probability(shape: f64, x: f64) -> f64 {
    let mut term = (shape * x.ln() - x - libm::lgamma(shape + 1.0)).exp();
    let (mut sum, mut n) = (term, 0.0);
    while term > 1e-17 * sum {
        n += 1.0;
        term *= x / (shape + n);
        sum += term;
    }
    sum
}

/// The regularised incomplete beta function by its series (Abramowitz and Stegun 26.5.4).
fn beta_probability(a: f64, b: f64, x: f64) -> f64 {
    if x > 0.5 {
        return 1.0 - beta_probability(b, a, 1.0 - x);
    }
    let log_beta = libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b);
    let mut term = (a * x.ln() + b * (-x).ln_1p() - log_beta).exp() / a;
    let (mut sum, mut n) = (term, 0.0);
    while term > 1e-17 * sum {
        term *= x * (a + b + n) / (a + 1.0 + n);
        sum += term;
        n += 1.0;
    }
    sum
}

/// The two series against values that everybody can check: 1 - e^-x for shape 1, a printed
/// chi-square quantile (half of it for shape 2), and the polynomial 3x² - 2x³ for a = b = 2.
#[test]
fn the_theory_used_here_is_right() {
    assert!((gamma_probability(1.0, 2.5) - (1.0 - (-2.5_f64).exp())).abs() < 1e-14);
    let chi = reference()["chi_square_quantile"]["4"]["0.95"]
        .as_f64()
        .unwrap();
    assert!((gamma_probability(2.0, chi / 2.0) - 0.95).abs() < 1e-13);
    for x in [0.2_f64, 0.5, 0.9] {
        assert!((beta_probability(2.0, 2.0, x) - (3.0 * x * x - 2.0 * x * x * x)).abs() < 1e-14);
    }
    let tail: f64 = (1..5)
        .map(|k| (f64::from(k), if k % 2 == 1 { 2.0 } else { -2.0 }))
        .map(|(k, sign)| sign * (-2.0 * k * k * KOLMOGOROV_999 * KOLMOGOROV_999).exp())
        .sum();
    assert!((tail - 0.001).abs() < 1e-6, "{tail}");
}
