//! Plays scenario text with the crate and gives what each replication left behind.

// Each test binary compiles this module and uses its own part of it.
#![allow(dead_code)]

pub mod command;
pub mod moves;
pub mod series;

use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;
use rayon::prelude::*;
use shopstride::engine::{Prepared, Recorder, Run, simulate};
use shopstride::experiment::{Replications, Study};
use shopstride::metrics::{Chronicle, Record, Totals, Trace, TraceLine, Waited, Waits};
use std::fmt::Debug;
use std::fs;
use std::path::PathBuf;

/// So many drawn things, and so many times as many as the environment says: `DRAWN_TIMES=10 cargo test --test suite waits::`.
pub fn many(usually: u64) -> u64 {
    let times = std::env::var("DRAWN_TIMES").ok();
    usually * times.map_or(1, |times| times.parse().expect("a whole number"))
}

/// So many drawn inputs, the same every time: what fails once fails again. Others are drawn with another seed in the
/// environment, `PROPTEST_RNG_SEED=7 cargo test --test suite paths::`.
pub fn drawn(cases: u32) -> ProptestConfig {
    // It has the seed of the environment.
    let asked = ProptestConfig::default();
    ProptestConfig {
        cases: many(cases.into()) as u32,
        rng_seed: match asked.rng_seed {
            RngSeed::Random => RngSeed::Fixed(1),
            asked => asked,
        },
        failure_persistence: None,
        ..asked
    }
}

/// A file of the tests' data.
pub fn data(path: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(path);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The YAML files of a folder of the repository, by name.
pub fn yaml_files(folder: &str) -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "yaml")
        })
        .collect();
    files.sort();
    files
}

/// The study of a scenario that must be right.
pub fn study(yaml: &str) -> Study {
    match shopstride::scenario::load("scenario.yaml", yaml.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{problems:?}\n{yaml}"),
    }
}

/// One replication of a candidate.
pub fn record(study: &Study, candidate: usize, seed: u64, replication: u32) -> Record {
    let candidate = &study.candidates[candidate];
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let settings = &study.settings;
    let places = candidate.walks.places();
    let mut totals = Totals::new(&candidate.shop, places, settings.warm_up, settings.until);
    let run = Run {
        seed,
        replication,
        until: settings.until,
    };
    simulate(&prepared, &run, &mut totals).unwrap_or_else(|stuck| panic!("{stuck:?}"));
    totals.into_record()
}

/// All replications of a candidate, with the study's own seed and number of them.
pub fn records(study: &Study, candidate: usize) -> Vec<Record> {
    let Replications::Fixed(count) = study.settings.replications else {
        panic!("these scenarios say how many replications they want");
    };
    (0..count)
        .into_par_iter()
        .map(|replication| record(study, candidate, study.settings.seed, replication))
        .collect()
}

/// Every phase of one replication.
pub fn trace(study: &Study, candidate: usize, replication: u32) -> Vec<TraceLine> {
    let candidate = &study.candidates[candidate];
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let mut lines = Vec::new();
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    let trace = Trace::new(&candidate.shop.calendar, run.until, |line: &TraceLine| {
        lines.push(line.clone())
    });
    let mut chronicle = Chronicle::new(trace);
    simulate(&prepared, &run, &mut chronicle).unwrap_or_else(|stuck| panic!("{stuck:?}"));
    drop(chronicle);
    lines
}

/// Tells a recorder of the first replication of the first candidate.
pub fn play(study: &Study, recorder: &mut impl Recorder) {
    let candidate = &study.candidates[0];
    let run = Run {
        seed: study.settings.seed,
        replication: 0,
        until: study.settings.until,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, recorder).unwrap_or_else(|stuck| panic!("{stuck:?}"));
}

/// What was waited for in it.
pub fn waited(study: &Study) -> Waited {
    let (shop, settings) = (&study.candidates[0].shop, &study.settings);
    let mut waits = Waits::new(shop, settings.warm_up, settings.until);
    play(study, &mut waits);
    waits.waited()
}

/// A shop that was drawn with a seed, as text, with what was found of it and what was expected.
pub type Differing<T> = (u64, String, T, T);

/// Shows line by line where the first of the shops differs, if any does.
#[track_caller]
pub fn assert_none_differs<T: Debug>(differ: &[Differing<T>], compared: u64) {
    let Some((seed, yaml, found, expected)) = differ.first() else {
        return;
    };
    let seeds: Vec<u64> = differ.iter().map(|(seed, ..)| *seed).collect();
    let (found, expected) = (format!("{found:#?}"), format!("{expected:#?}"));
    let lines = found.lines().zip(expected.lines()).enumerate();
    let lines = lines.filter(|(_, (found, expected))| found != expected);
    let lines = lines
        .map(|(line, (found, expected))| format!("line {line}: {found}, expected {expected}\n"));
    panic!(
        "{} of {compared} shops differ, seeds {:?}\nseed {seed}:\n{yaml}\n{}",
        differ.len(),
        &seeds[..seeds.len().min(40)],
        lines.collect::<String>()
    );
}
