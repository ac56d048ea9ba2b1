//! A placement that is moved on step by step comes to what the same placement comes to from scratch.

use shopstride::experiment::{Candidate, Replications, flow, run};
use shopstride::floor::{Evaluation, Flow, Pose, Prices, Score, Site};
use shopstride::scenario;
use shopstride::shop::StationId;

use crate::support::data;
use crate::support::moves::{Spread, typical};

const PRICES: Prices = Prices {
    fault: 30.0,
    fault_metre: 60.0,
    warning: 3.0,
    warning_metre: 6.0,
};

/// A candidate of a file, and what is walked there.
fn played(file: &str, candidate: usize) -> (Candidate, Flow) {
    let text = data(file);
    let loaded = scenario::load_to_check(file, text.as_bytes());
    let mut study = loaded.map(|loaded| loaded.study).expect("it loads");
    study.settings.replications = Replications::Fixed(2);
    let candidate = study.candidates.swap_remove(candidate);
    study.candidates = vec![candidate.clone()];
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let flow = flow(&findings.candidates[0].legs);
    (candidate, flow)
}

fn same(one: &Score, other: &Score) -> bool {
    let metres = (one.metres - other.metres).abs() <= 1e-9 * one.metres.abs();
    one.missing == other.missing && (metres || one.metres == other.metres)
}

/// Tries moves, accepts those that cost little more, and compares each with a look from scratch. Every so many, all
/// that is tried is accepted, so that faults of every kind come up.
fn moved_on(file: &str, candidate: usize, tries: usize) {
    let (candidate, flow) = played(file, candidate);
    let plan = candidate.plan.as_ref().expect("it is drawn");
    let site = Site::new(&candidate.shop, plan, &candidate.limits);
    let mut evaluation = Evaluation::new(&site, plan, &flow, PRICES);
    assert!(same(&evaluation.score(), &site.evaluate(plan, &flow)));
    let mut spread = Spread(7);
    let (mut refused, mut accepted, mut worse) = (0, 0, 0);
    for number in 0..tries {
        let before = evaluation.plan().clone();
        let moves: Vec<(StationId, Pose)> = typical(&mut spread, &before, &flow);
        let cost = evaluation.cost();
        let limit = match number % 8 {
            7 => f64::INFINITY,
            _ => cost + 0.02 * cost * -libm::log(1.0 - spread.next()),
        };
        let score = evaluation.try_move(&moves, limit);
        let mut after = before.clone();
        for &(station, pose) in &moves {
            let placement = after.placements[station].as_mut().expect("it is placed");
            (placement.at, placement.turn) = (pose.at, pose.turn);
        }
        let anew = site.evaluate(&after, &flow);
        match score {
            Some(score) => {
                assert!(
                    same(&score, &anew),
                    "{number}: {moves:?}\n{score:?}\n{anew:?}"
                );
                assert_eq!(evaluation.plan().placements, after.placements);
                assert!(PRICES.cost(&score) <= limit || limit.is_infinite());
                if number % 3 == 0 {
                    evaluation.take_back();
                    assert_eq!(evaluation.plan().placements, before.placements);
                    continue;
                }
                evaluation.accept();
                accepted += 1;
                worse += usize::from(PRICES.cost(&score) > cost);
            }
            None => {
                let costs = PRICES.cost(&anew);
                assert!(
                    costs > limit * (1.0 - 1e-9) || !anew.metres.is_finite(),
                    "{number}: {moves:?} {costs} {limit}"
                );
                assert_eq!(evaluation.plan().placements, before.placements);
                refused += 1;
            }
        }
    }
    assert!(
        refused > tries / 10 && accepted > tries / 20 && worse > 0,
        "{refused} {accepted} {worse}"
    );
}

#[test]
fn in_the_garage_a_moved_placement_is_judged_and_measured_as_from_scratch() {
    moved_on("bench/garage.yaml", 1, 600);
    moved_on("bench/garage.yaml", 0, 200);
}

#[test]
fn among_thirty_stations_a_moved_placement_is_judged_and_measured_as_from_scratch() {
    moved_on("bench/grid.yaml", 0, 80);
}
