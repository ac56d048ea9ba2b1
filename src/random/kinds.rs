//! The distributions that a user can write, as one table.

use super::distribution::Distribution;
use super::error::DistributionError;

/// One kind of distribution.
#[derive(Debug)]
pub struct DistributionKind {
    /// The key in the scenario file.
    pub name: &'static str,
    /// One line for help texts.
    pub meaning: &'static str,
    /// A complete example as it stands in a scenario file.
    pub example: &'static str,
    /// How the parameters are written.
    pub form: Form,
    /// Makes the distribution from the parameters in the order of `form`, durations in seconds.
    pub build: fn(&[f64]) -> Result<Distribution, DistributionError>,
}

/// How the parameters of a distribution are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One duration: `{exponential: 3 min}`.
    Single(Parameter),
    /// Durations in a fixed order: `{uniform: [2 min, 4 min]}`.
    List(&'static [Parameter]),
    /// Named parameters: `{normal: {mean: 3 min, sd: 20 s}}`.
    Named(&'static [Parameter]),
    /// One or more durations: `{observed: [170 s, 182 s]}`.
    Values,
}

/// One parameter of a distribution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Parameter {
    pub name: &'static str,
    pub quantity: ParameterQuantity,
}

/// What a parameter counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ParameterQuantity {
    /// A duration, in seconds once it is a number.
    Duration,
    /// A whole number from 1.
    Count,
    /// A number without a unit.
    Number,
}

const fn duration(name: &'static str) -> Parameter {
    Parameter {
        name,
        quantity: ParameterQuantity::Duration,
    }
}

/// All kinds, in the order in which they are explained.
pub const KINDS: &[DistributionKind] = &[
    DistributionKind {
        name: "uniform",
        meaning: "anything from the least to the most, all equally likely",
        example: "{uniform: [2 min, 4 min]}",
        form: Form::List(&[duration("least"), duration("most")]),
        build: |given| {
            let [least, most] = exactly("uniform", given)?;
            Distribution::uniform(least, most)
        },
    },
    DistributionKind {
        name: "triangular",
        meaning: "rises in a straight line from the least to the most likely, and falls to the most",
        example: "{triangular: [2 min, 3 min, 6 min]}",
        form: Form::List(&[duration("least"), duration("most likely"), duration("most")]),
        build: |given| {
            let [least, likely, most] = exactly("triangular", given)?;
            Distribution::triangular(least, likely, most)
        },
    },
    DistributionKind {
        name: "pert",
        meaning: "like triangular, but smooth and with less weight at the ends",
        example: "{pert: [2 min, 3 min, 6 min]}",
        form: Form::List(&[duration("least"), duration("most likely"), duration("most")]),
        build: |given| {
            let [least, likely, most] = exactly("pert", given)?;
            Distribution::pert(least, likely, most)
        },
    },
    DistributionKind {
        name: "normal",
        meaning: "the bell curve; negative draws are drawn again",
        example: "{normal: {mean: 3 min, sd: 20 s}}",
        form: Form::Named(&[duration("mean"), duration("sd")]),
        build: |given| {
            let [mean, sd] = exactly("normal", given)?;
            Distribution::normal(mean, sd)
        },
    },
    DistributionKind {
        name: "lognormal",
        meaning: "mostly near the mean, now and then much longer; mean and sd of the duration itself",
        example: "{lognormal: {mean: 3 min, sd: 1 min}}",
        form: Form::Named(&[duration("mean"), duration("sd")]),
        build: |given| {
            let [mean, sd] = exactly("lognormal", given)?;
            Distribution::log_normal(mean, sd)
        },
    },
    DistributionKind {
        name: "exponential",
        meaning: "what is left to wait never depends on how long it has lasted; the mean",
        example: "{exponential: 3 min}",
        form: Form::Single(duration("mean")),
        build: |given| {
            let [mean] = exactly("exponential", given)?;
            Distribution::exponential(mean)
        },
    },
    DistributionKind {
        name: "erlang",
        meaning: "the sum of several exponential stages with one mean together",
        example: "{erlang: {stages: 3, mean: 3 min}}",
        form: Form::Named(&[
            Parameter {
                name: "stages",
                quantity: ParameterQuantity::Count,
            },
            duration("mean"),
        ]),
        build: |given| {
            let [stages, mean] = exactly("erlang", given)?;
            Distribution::erlang(stages, mean)
        },
    },
    DistributionKind {
        name: "gamma",
        meaning: "never negative, with a longer tail to the right than to the left",
        example: "{gamma: {mean: 3 min, sd: 1 min}}",
        form: Form::Named(&[duration("mean"), duration("sd")]),
        build: |given| {
            let [mean, sd] = exactly("gamma", given)?;
            Distribution::gamma(mean, sd)
        },
    },
    DistributionKind {
        name: "weibull",
        meaning: "times to failure: shape below 1 fails early, above 1 wears out",
        example: "{weibull: {shape: 1.5, scale: 3 min}}",
        form: Form::Named(&[
            Parameter {
                name: "shape",
                quantity: ParameterQuantity::Number,
            },
            duration("scale"),
        ]),
        build: |given| {
            let [shape, scale] = exactly("weibull", given)?;
            Distribution::weibull(shape, scale)
        },
    },
    DistributionKind {
        name: "observed",
        meaning: "one of the values that a stopwatch gave, all equally likely",
        example: "{observed: [170 s, 182 s, 240 s]}",
        form: Form::Values,
        build: Distribution::observed,
    },
];

fn exactly<const N: usize>(
    kind: &'static str,
    given: &[f64],
) -> Result<[f64; N], DistributionError> {
    given.try_into().map_err(|_| DistributionError::Count {
        kind,
        expected: N,
        found: given.len(),
    })
}
