//! How long the relief experiment takes on the built-in scenario: 200 replications for each change, on all threads.

use criterion::{Criterion, criterion_group, criterion_main};
use shopstride::experiment::{Changes, Replications, relieve};
use shopstride::scenario;

const GARAGE: &str = include_str!("../scenarios/garage.yaml");

fn relief(criterion: &mut Criterion) {
    let mut study = match scenario::load("garage.yaml", GARAGE.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}", problems.render(false)),
    };
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

criterion_group!(benches, relief);
criterion_main!(benches);
