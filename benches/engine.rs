//! How fast the engine plays: jobs and customers a second on one thread, statistics and keyed draws on.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use shopstride::engine::{Prepared, Run, Workspace, simulate_in};
use shopstride::experiment::{Candidate, Settings, Study, run};
use shopstride::metrics::{Measured, Totals};
use shopstride::scenario;

const FLOW: &str = include_str!("../tests/data/bench/flow.yaml");
const GARAGE: &str = include_str!("../tests/data/bench/garage.yaml");

/// One server, Poisson arrivals, exponential service: a queue whose every figure is known.
const MM1: &str = "
title: One server
stations: {server: {does: {serve: {per lot: {exponential: 48 s}, people: 0}}}}
handling: {pick up: 0, put down: 0}
projects: {customer: {pieces: 1, route: [serve]}}
orders: [{project: customer, every: {exponential: 60 s}, count: 100000}]
layouts: {one spot: {distances: 0}}
run: {replications: 1, seed: 1}
";

fn load(text: &str) -> Study {
    match scenario::load("bench", text.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

fn play(
    workspace: &mut Workspace,
    candidate: &Candidate,
    prepared: &Prepared,
    settings: &Settings,
    replication: u32,
) -> u64 {
    let (shop, places) = (&candidate.shop, candidate.walks.places());
    let run = Run {
        seed: settings.seed,
        replication,
        until: settings.until,
    };
    match settings.until {
        None => orders_done(
            workspace,
            prepared,
            &run,
            Totals::of_whole_run(shop, places),
        ),
        until => {
            let totals = Totals::new(shop, places, settings.warm_up, until);
            orders_done(workspace, prepared, &run, totals)
        }
    }
}

fn orders_done<M: Measured>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    mut totals: Totals<M>,
) -> u64 {
    simulate_in(workspace, prepared, run, &mut totals).expect("it does not get stuck");
    totals.into_record().orders_done()
}

fn one(criterion: &mut Criterion, name: &str, text: &str, orders: u64) {
    let study = load(text);
    let candidate = &study.candidates[0];
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let mut group = criterion.benchmark_group("engine");
    group.throughput(Throughput::Elements(orders));
    let mut replication = 0;
    let mut workspace = Workspace::default();
    group.bench_function(name, |bencher| {
        bencher.iter(|| {
            replication += 1;
            assert_eq!(
                play(
                    &mut workspace,
                    candidate,
                    &prepared,
                    &study.settings,
                    black_box(replication)
                ),
                orders
            );
        });
    });
    group.finish();
}

/// A shop with many stations and people, flooded with lots: what an event costs must not grow with them.
fn crowd(stations: usize, people: usize, lots: usize) -> String {
    let mut text = String::from("title: Crowd\nstations:\n  gate: {}\n");
    for station in 0..stations - 1 {
        text += &format!(
            "  s{station}: {{does: {{op{station}: {{per lot: {{triangular: [1 min, 2 min, 5 min]}}}}}}}}\n"
        );
    }
    text += &format!("crew: {{maker: {{count: {people}}}}}\nprojects:\n");
    for project in 0..4 {
        let route: Vec<String> = (0..8)
            .map(|step| {
                format!(
                    "op{}",
                    (project * 5 + step * (project + 1)) % (stations - 1)
                )
            })
            .collect();
        text += &format!(
            "  p{project}: {{pieces: 1, material at: gate, route: [{}]}}\n",
            route.join(", ")
        );
    }
    text += "orders:\n";
    for project in 0..4 {
        text += &format!("  - {{project: p{project}, in progress: {}}}\n", lots / 4);
    }
    text += "layouts:\n  x:\n    walk: straight\n    at:\n      gate: [0, 0]\n";
    for station in 0..stations - 1 {
        text += &format!(
            "      s{station}: [{} m, {} m]\n",
            2 + station % 5 * 2,
            2 + station / 5 * 2
        );
    }
    // Ten people do ten times as much in the same time.
    text + &format!(
        "run: {{replications: 1, seed: 1, until: {} h}}\n",
        20_000 / people
    )
}

fn scale(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("scale");
    for (name, stations, people, lots) in [
        ("7 stations, 1 person, 20 lots", 7, 1, 20),
        ("25 stations, 10 people, 10000 lots", 25, 10, 10_000),
        // A set of stations is one word up to here, and many beyond: the second may take half as long again.
        ("64 stations, 2 people, 20 lots", 64, 2, 20),
        ("65 stations, 2 people, 20 lots", 65, 2, 20),
    ] {
        let study = load(&crowd(stations, people, lots));
        let candidate = &study.candidates[0];
        let prepared = Prepared::new(&candidate.shop, &candidate.walks);
        let mut totals = Totals::new(
            &candidate.shop,
            candidate.walks.places(),
            study.settings.warm_up,
            study.settings.until,
        );
        let run = Run {
            seed: 1,
            replication: 0,
            until: study.settings.until,
        };
        simulate_in(&mut Workspace::default(), &prepared, &run, &mut totals)
            .expect("it does not get stuck");
        let tasks: u64 = totals
            .into_record()
            .stations
            .iter()
            .map(|station| station.lots)
            .sum();
        group.throughput(Throughput::Elements(tasks));
        let mut workspace = Workspace::default();
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                let settings = &study.settings;
                play(&mut workspace, candidate, &prepared, settings, black_box(0))
            });
        });
    }
    group.finish();
}

fn engine(criterion: &mut Criterion) {
    one(criterion, "flow shop, 1000 jobs", FLOW, 1000);
    one(criterion, "M/M/1, 100000 customers", MM1, 100_000);
    // Any shop: assemblies, gear, cures and deliveries, in many short replications.
    one(criterion, "garage, 1 order", GARAGE, 1);
}

fn compare(criterion: &mut Criterion) {
    let study = load(GARAGE);
    criterion.bench_function("compare, built-in scenario, figures", |bencher| {
        bencher.iter(|| run(black_box(&study), 0, &|_| ()).expect("it does not get stuck"));
    });
    criterion.bench_function("load, built-in scenario", |bencher| {
        bencher.iter(|| load(black_box(GARAGE)))
    });
}

criterion_group!(benches, engine, scale, compare);
criterion_main!(benches);
