//! Naming the best of several candidates: against printed constants, and small cases reckoned by hand.

use crate::support::data;
use serde_json::Value;
use shopstride::statistics::{IntervalMethod, KimNelson, Paired, Selection, h_squared};

fn screen(series: &[&[f64]], level: f64) -> Option<Selection> {
    Selection::screen(series, level, IntervalMethod::Student)
}

/// The closed form, evaluated elsewhere; see `data/stats/README.md`.
#[test]
fn the_constant_of_the_sequential_procedure() {
    let all: Value = serde_json::from_str(&data("stats/selection.json")).expect("it is JSON");
    let values = all["kn_constants"]["values"].as_object().expect("a table");
    assert!(values.len() >= 16);
    for (name, expected) in values {
        let given: Vec<f64> = name
            .split(',')
            .map(|part| part.split('=').nth(1).unwrap().parse().unwrap())
            .collect();
        let found = h_squared(1.0 - given[0], given[2] as usize, given[1] as u64);
        let expected = expected["h_squared"].as_f64().unwrap();
        assert!(
            (found / expected - 1.0).abs() < 1e-12,
            "{name}: {found} for {expected}"
        );
    }
}

/// Ten made-up pairs whose interval is 5.19 ± 0.700 at 95 %: the second is named.
const A: [f64; 10] = [
    101.2, 96.4, 110.3, 104.8, 99.1, 107.6, 95.2, 102.9, 108.4, 100.6,
];
const B: [f64; 10] = [
    95.7, 92.0, 104.1, 99.6, 94.9, 101.0, 91.3, 97.5, 102.1, 96.4,
];

#[test]
fn of_two_the_paired_interval_decides() {
    let selection = screen(&[&A, &B], 0.95).unwrap();
    assert_eq!((selection.best(), selection.level), (Some(1), Some(0.95)));
    // Law, Simulation Modeling and Analysis, chapter 10: [1.65, 8.31] at 90 % (from memory), so the second is smaller.
    let (first, second) = (
        [126.97, 124.31, 126.68, 122.66, 127.23],
        [118.21, 120.22, 122.45, 122.68, 119.4],
    );
    let named = |level| screen(&[&first, &second], level).unwrap().best();
    assert_eq!(named(0.90), Some(1));
    // At a level at which the interval takes zero in, nobody is named.
    let paired = |level| Paired::of(&first, &second, level).unwrap().difference;
    assert_eq!(paired(0.95).covers_zero(), Some(false));
    assert_eq!(paired(0.99).covers_zero(), Some(true));
    assert_eq!((named(0.95), named(0.99)), (Some(1), None));
}

/// With three candidates each interval is taken at 97.5 %. Differences of C and B have the mean 0.6 and the standard
/// deviation 0.8433 (four times 1.6, five times 0 and once -0.4), so the standard error is 0.2667; t is 2.2622 at 95 %
/// and 2.6850 at 97.5 % (9 degrees, tables), which makes half-widths of 0.603 and 0.716. Either takes zero in, so B
/// and C stay, and A is out.
#[test]
fn of_three_those_that_cannot_be_told_apart_stay() {
    let by = [1.6, 1.6, 1.6, 1.6, 0.0, 0.0, 0.0, 0.0, 0.0, -0.4];
    let c: Vec<f64> = B.iter().zip(by).map(|(b, by)| b + by).collect();
    let selection = screen(&[&A, &B, &c], 0.95).unwrap();
    assert_eq!((selection.leader, selection.best()), (1, None));
    assert_eq!(selection.in_question, [1, 2]);
}

/// The same pair may be told apart when it stands alone and not beside others: the error is shared.
#[test]
fn more_comparisons_need_more_evidence() {
    let by = [1.6, 1.6, 1.6, 1.6, 0.0, 0.1, 0.0, 0.1, 0.0, -0.3];
    let c: Vec<f64> = B.iter().zip(by).map(|(b, by)| b + by).collect();
    let two = screen(&[&B, &c], 0.95).unwrap();
    assert_eq!(two.best(), Some(0));
    let three = screen(&[&B, &c, &A], 0.95).unwrap();
    assert_eq!(three.in_question, [0, 1]);
}

#[test]
fn what_nothing_can_be_said_of() {
    assert_eq!(screen(&[], 0.95), None);
    assert_eq!(screen(&[&[]], 0.95), None);
    assert_eq!(screen(&[&[1.0, 2.0], &[1.0]], 0.95), None);
    let one = screen(&[&[3.0], &[2.0]], 0.95).unwrap();
    assert_eq!((one.leader, one.in_question), (1, vec![0, 1]));
    let alone = screen(&[&[3.0, 4.0]], 0.95).unwrap();
    assert_eq!(alone.best(), Some(0));
    let same = screen(&[&[3.0, 4.0], &[3.0, 4.0]], 0.95).unwrap();
    assert_eq!(same.in_question, [0, 1]);
    let exact = Selection::exact(&[3.0, 2.0, 2.0]).unwrap();
    assert_eq!(
        (exact.leader, exact.in_question, exact.level),
        (1, vec![1, 2], None)
    );
    assert_eq!(Selection::exact(&[]), None);
}

/// Two candidates, indifference 1, first stage 5, level 95 %: η = (0.1^(-1/2) - 1) / 2 = 1.0811 and h² = 8 η = 8.649.
/// Differences -1, -5, -3, -1, 0 have the mean -2 and the variance 4; with -2 from then on, what is allowed after r
/// replications is (34.596 - r) / 2r: 2.96, 2.38 and 1.97, so the second leaves after the seventh.
#[test]
fn the_sequential_procedure_by_hand() {
    let mut race = KimNelson::new(2, 0.95, 1.0, 5);
    for difference in [-1.0, -5.0, -3.0, -1.0, 0.0, -2.0] {
        assert_eq!(race.choice(), None);
        race.add(&[50.0 + difference, 50.0]);
    }
    assert_eq!((race.left(), race.played()), (&[0, 1][..], 6));
    race.add(&[48.0, 50.0]);
    assert_eq!((race.choice(), race.played()), (Some(0), 7));
}

#[test]
fn the_sequential_procedure_ends_among_equals() {
    let mut race = KimNelson::new(3, 0.9, 0.5, 5);
    for round in 0..5 {
        assert_eq!(race.choice(), None);
        race.add(&[f64::from(round); 3]);
    }
    assert_eq!(race.choice(), Some(0));
    assert_eq!(KimNelson::new(1, 0.95, 1.0, 5).choice(), Some(0));
}
