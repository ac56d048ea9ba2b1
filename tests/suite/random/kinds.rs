//! The kinds of distributions: what is refused, and what any parameters come to.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use shopstride::random::{Distribution, DistributionError, Form, KINDS, Key, LONGEST_S};

use super::laws::laws;

#[test]
fn what_cannot_vary_is_fixed() {
    for (kind, parameters) in [
        ("uniform", &[3.0, 3.0][..]),
        ("triangular", &[3.0, 3.0, 3.0]),
        ("pert", &[3.0, 3.0, 3.0]),
        ("normal", &[3.0, 0.0]),
        ("lognormal", &[3.0, 0.0]),
        ("gamma", &[3.0, 0.0]),
        ("observed", &[3.0, 3.0]),
    ] {
        let row = KINDS.iter().find(|row| row.name == kind).unwrap();
        assert_eq!((row.build)(parameters), Distribution::fixed(3.0), "{kind}");
    }
    assert_eq!(Distribution::exponential(0.0), Distribution::fixed(0.0));
    assert!(laws().iter().all(|law| !law.distribution.is_fixed()));
}

#[test]
fn errors_say_what_would_be_right() {
    let message = |made: Result<Distribution, DistributionError>| made.unwrap_err().to_string();
    assert_eq!(
        message(Distribution::triangular(60.0, 300.0, 180.0)),
        "the most likely value, 300 s, lies outside 60 s to 180 s; it must be one of them or lie between them"
    );
    assert_eq!(
        message(Distribution::uniform(240.0, 120.0)),
        "the least value, 240 s, is more than the most, 120 s; write the least first"
    );
    assert_eq!(
        message(Distribution::normal(-1.0, 1.0)),
        "the mean is -1 s; it must not be negative"
    );
    assert_eq!(
        message(Distribution::fixed(f64::NAN)),
        "the duration is NaN; it must be a finite number"
    );
    assert_eq!(
        message(Distribution::erlang(2.5, 60.0)),
        "the number of stages is 2.5; it must be a whole number from 1 to 1000000"
    );
    assert_eq!(
        message(Distribution::weibull(0.0, 60.0)),
        "the shape is 0; it must lie between 0.1 and 1000"
    );
    assert_eq!(
        message(Distribution::gamma(0.0, 60.0)),
        "the mean is 0 but the sd is 60 s; a positive quantity that varies needs a mean above 0"
    );
    assert_eq!(
        message(Distribution::observed(&[])),
        "there is no observed value; at least one is needed"
    );
    assert_eq!(
        message((KINDS[0].build)(&[1.0])),
        "uniform takes 2 numbers, not 1"
    );
}

/// The table of kinds agrees with itself: the example uses the name and every named parameter.
#[test]
fn examples_are_written_as_their_form_says() {
    for kind in KINDS {
        assert!(
            kind.example.starts_with(&format!("{{{}: ", kind.name)),
            "{}",
            kind.example
        );
        let commas = kind.example.matches(',').count();
        match kind.form {
            Form::Single(_) => assert_eq!(commas, 0),
            Form::Values => assert!(kind.example.contains('[')),
            Form::List(parameters) => assert_eq!(commas, parameters.len() - 1),
            Form::Named(parameters) => {
                for parameter in parameters {
                    assert!(
                        kind.example.contains(&format!("{}: ", parameter.name)),
                        "{}",
                        kind.example
                    );
                }
            }
        }
    }
}

/// Numbers of all sizes, and the ones that are none.
fn parameter() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        (-320.0..12.0).prop_map(|exponent| 10.0_f64.powf(exponent)),
        0.0..1000.0,
        Just(0.0),
        Just(LONGEST_S),
        (1u32..50).prop_map(f64::from),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 2000, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default()
    })]

    /// Whatever is given: an error, or durations that are none but possible ones.
    #[test]
    fn no_parameters_give_an_impossible_duration(
        parameters in prop::collection::vec(parameter(), 0..4),
        seed in any::<u64>(),
    ) {
        for kind in KINDS {
            if let Ok(distribution) = (kind.build)(&parameters) {
                prop_assert!(distribution.mean().is_finite() && distribution.mean() >= 0.0);
                prop_assert!(distribution.true_mean().is_finite());
                for piece in 0..10 {
                    let draw = distribution.draw(Key::from_seed(seed).with(piece));
                    prop_assert!((0.0..=LONGEST_S).contains(&draw), "{distribution:?} gave {draw}");
                }
            }
        }
    }
}
