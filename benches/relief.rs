//! How long the relief experiment takes on the built-in scenario: 200 replications for each change, on all threads; and
//! what it costs to follow active periods.

use criterion::{Criterion, criterion_group, criterion_main};
use shopstride::engine::{Prepared, Run, Workspace, simulate_in};
use shopstride::experiment::{Changes, Replications, Study, relieve};
use shopstride::metrics::{Bottlenecks, Totals};
use shopstride::scenario;
use shopstride::units::Span;

const GARAGE: &str = include_str!("../tests/data/bench/garage.yaml");

fn built_in() -> Study {
    match scenario::load("garage.yaml", GARAGE.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

fn relief(criterion: &mut Criterion) {
    let mut study = built_in();
    study.settings.replications = Replications::Fixed(200);
    criterion.bench_function("relief of the built-in shop", |bencher| {
        bencher.iter(|| {
            let changes = Changes::of(&study.candidates[0]);
            let tried = changes.tried.len();
            let reliefs = relieve(&study, 0, changes, &|_| {}).expect("it does not get stuck");
            assert_eq!(reliefs.list.len(), tried);
        });
    });
}

/// What following the active periods costs, beside adding up totals.
fn recorders(criterion: &mut Criterion) {
    let study = built_in();
    let candidate = &study.candidates[0];
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let mut group = criterion.benchmark_group("one run of the built-in shop");
    let workspace = &mut Workspace::default();
    let mut replication = 0;
    let mut next = || {
        replication += 1;
        Run {
            seed: 1,
            replication,
            until: None,
        }
    };
    group.bench_function("totals", |bencher| {
        bencher.iter(|| {
            let places = candidate.walks.places();
            let mut totals = Totals::new(&candidate.shop, places, Span::ZERO, None);
            simulate_in(workspace, &prepared, &next(), &mut totals).expect("it does not get stuck");
            assert_eq!(totals.into_record().orders_done(), 1);
        });
    });
    group.bench_function("active periods", |bencher| {
        bencher.iter(|| {
            let mut bottlenecks = Bottlenecks::new(&candidate.shop, Span::ZERO);
            simulate_in(workspace, &prepared, &next(), &mut bottlenecks)
                .expect("it does not get stuck");
            assert_eq!(bottlenecks.found().people.len(), 1);
        });
    });
}

criterion_group!(benches, relief, recorders);
criterion_main!(benches);
