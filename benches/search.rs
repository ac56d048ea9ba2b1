//! How many moves of a search for a layout are judged and measured in a second, on one core: each tried against the
//! threshold of an annealing, most of them refused early.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use shopstride::experiment::{Candidate, Replications, flow, run};
use shopstride::floor::{Evaluation, Flow, Plan, Pose, Prices, Site};
use shopstride::scenario;
use shopstride::shop::StationId;

#[path = "../tests/suite/support/moves.rs"]
mod moves;

use moves::{Spread, typical};

const PRICES: Prices = Prices {
    fault: 30.0,
    fault_metre: 60.0,
    warning: 3.0,
    warning_metre: 6.0,
};

/// Moves in one measurement.
const MOVES: u64 = 200;

/// A worse placement is accepted if it costs up to so much more, as a share, times a draw of mean 1.
const WARMTH: f64 = 0.01;

fn played(text: &[u8], candidate: usize) -> (Candidate, Flow) {
    let Ok(loaded) = scenario::load_to_check("bench.yaml", text) else {
        panic!("the scenario loads");
    };
    let mut study = loaded.study;
    study.settings.replications = Replications::Fixed(5);
    study.candidates = vec![study.candidates.swap_remove(candidate)];
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let flow = flow(&findings.candidates[0].legs);
    (study.candidates.swap_remove(0), flow)
}

/// Tries moves from where an evaluation stands, and accepts those below the threshold. Returns how many that were.
#[inline(never)]
fn anneal(evaluation: &mut Evaluation<'_>, flow: &Flow, spread: &mut Spread, tries: u64) -> u64 {
    let mut accepted = 0;
    for _ in 0..tries {
        let moves: Vec<(StationId, Pose)> = typical(spread, evaluation.plan(), flow);
        let cost = evaluation.cost();
        let limit = cost - WARMTH * cost * libm::log(1.0 - spread.next());
        if evaluation.try_move(&moves, limit).is_some() {
            evaluation.accept();
            accepted += 1;
        }
    }
    accepted
}

fn searches(criterion: &mut Criterion) {
    let garage: &[u8] = include_bytes!("../tests/data/bench/garage.yaml");
    let grid: &[u8] = include_bytes!("../tests/data/bench/grid.yaml");
    let mut group = criterion.benchmark_group("search");
    for (name, text, candidate) in [("garage", garage, 1), ("30 stations", grid, 0)] {
        let (candidate, flow) = played(text, candidate);
        let plan: &Plan = candidate.plan.as_ref().expect("it is drawn");
        let site = Site::new(&candidate.shop, plan, &candidate.limits);
        group.throughput(Throughput::Elements(MOVES));
        group.bench_function(format!("moves, {name}"), |bencher| {
            let mut seed = 0;
            let start = || {
                seed += 1;
                let mut evaluation = Evaluation::new(&site, plan, &flow, PRICES);
                let mut spread = Spread(seed);
                anneal(&mut evaluation, &flow, &mut spread, MOVES);
                (evaluation, spread)
            };
            bencher.iter_batched(
                start,
                |(mut evaluation, mut spread)| {
                    black_box(anneal(&mut evaluation, &flow, &mut spread, MOVES))
                },
                BatchSize::SmallInput,
            );
        });
        group.throughput(Throughput::Elements(1));
        group.bench_function(format!("placement from scratch, {name}"), |bencher| {
            bencher.iter(|| black_box(site.evaluate(plan, &flow)));
        });
    }
    group.finish();
}

criterion_group!(benches, searches);
criterion_main!(benches);
