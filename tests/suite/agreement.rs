//! The engine against an independent second reading of the procedure, on thousands of random shops.

use crate::second_reading::generate::{self, LAYOUT};

const SHOPS: u64 = 3000;

#[test]
fn the_engine_and_the_second_reading_agree_on_every_figure() {
    let mut differ = Vec::new();
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let expected = crate::second_reading::play(&yaml, LAYOUT);
        let found = crate::engine::play(&yaml, LAYOUT);
        if found != expected {
            differ.push((seed, yaml, found, expected));
        }
    }
    if let Some((seed, yaml, found, expected)) = differ.first() {
        let seeds: Vec<u64> = differ.iter().map(|(seed, ..)| *seed).collect();
        let (found, expected) = (format!("{found:#?}"), format!("{expected:#?}"));
        let lines = found.lines().zip(expected.lines()).enumerate();
        let lines = lines.filter(|(_, (found, expected))| found != expected);
        let lines = lines.map(|(line, (found, expected))| {
            format!("line {line}: {found}, expected {expected}\n")
        });
        panic!(
            "{} of {SHOPS} shops differ, seeds {:?}\nseed {seed}:\n{yaml}\n{}",
            differ.len(),
            &seeds[..seeds.len().min(40)],
            lines.collect::<String>()
        );
    }
}
