//! Where one person does everything in turn, what is found of single tasks is what is found in any shop.

use std::fmt::Write;

use crate::second_reading::generate::Dice;
use crate::support::many;
use shopstride::engine::{Prepared, Recorder, Run, simulate};
use shopstride::metrics::{Bottlenecks, SinglePersonDiagnosis, Totals, Waits};

const SHOPS: u64 = 1200;

/// Few and whole durations, so that much falls on one instant and periods touch; some take no time.
fn duration(dice: &mut Dice) -> String {
    format!("{} s", 10 * dice.between(0, 4))
}

fn work(dice: &mut Dice) -> String {
    let mut keys = vec![format!("per lot: {}", duration(dice))];
    if dice.chance(30) {
        keys.push(format!("per piece: {}", duration(dice)));
    }
    if dice.chance(25) {
        keys.push(format!("setup: {}", duration(dice)));
    }
    if dice.chance(15) {
        keys.push(format!("teardown: {}", duration(dice)));
    }
    keys.join(", ")
}

fn order(dice: &mut Dice, project: usize) -> String {
    let mut keys = vec![format!("project: p{project}")];
    match dice.between(0, 3) {
        0 => keys.push(format!("count: {}", dice.between(1, 4))),
        1 => keys.push(format!("in progress: {}", dice.between(1, 2))),
        _ => {
            let every = dice.pick(&["30 s", "2 min", "{exponential: 3 min}"]);
            keys.push(format!(
                "every: {every}, count: {}, first: {} s",
                dice.between(1, 8),
                10 * dice.between(0, 9)
            ));
        }
    }
    if dice.chance(20) {
        keys.push("together: 2".to_owned());
    }
    keys.join(", ")
}

/// A shop of one person and up to four stations; with orders that follow one another it takes time to make something.
fn shop(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let stations = dice.between(1, 4);
    let mut yaml = format!("title: In turn {seed}\nstations:\n");
    for station in 0..stations {
        let (count, size) = (
            1 + usize::from(dice.chance(20)),
            "size: [0, 0], stand: [0, 0]",
        );
        let least = work(&mut dice);
        writeln!(
            yaml,
            "  s{station}: {{{size}, count: {count}, does: {{o{station}: {{{least}}}}}}}"
        )
        .unwrap();
    }
    let hand = dice.pick(&["0", "0", "10 s"]);
    writeln!(
        yaml,
        "crew: {{maker: {{}}}}\ngear: {{clamp: {{count: 1}}}}\nhandling: {{walking speed: 1 m/s, loaded speed: 1 m/s, \
         pick up: {hand}, put down: 0, body width: 0, carry: {{pieces: 2}}}}\nprojects:"
    )
    .unwrap();
    let projects = dice.between(1, 3);
    for project in 0..projects {
        writeln!(yaml, "  p{project}:\n    parts:").unwrap();
        for part in 0..dice.between(1, 2) {
            let steps = dice.between(1, 5);
            let route: Vec<String> = (0..steps)
                .map(|_| format!("o{}", dice.between(0, stations - 1)))
                .collect();
            let batch = match dice.chance(40) {
                true => format!(", batch: {}", dice.between(1, 2)),
                false => String::new(),
            };
            writeln!(
                yaml,
                "      part{part}: {{pieces: {}, material at: s{}, route: [{}, {{op: o0, per lot: 10 s}}]{batch}}}",
                dice.between(1, 4),
                dice.between(0, stations - 1),
                route.join(", "),
            )
            .unwrap();
        }
    }
    yaml += "orders:\n";
    for project in 0..projects {
        writeln!(yaml, "  - {{{}}}", order(&mut dice, project)).unwrap();
    }
    yaml += "layouts:\n  x:\n    walk: straight\n    at:\n";
    for station in 0..stations {
        let (x, y) = (10 * dice.between(0, 1), 10 * dice.between(0, 1));
        writeln!(yaml, "      s{station}: [{x} m, {y} m]").unwrap();
    }
    let warm_up = dice.pick(&["0", "0", "70 s", "5 min", "9 min"]);
    write!(
        yaml,
        "run: {{replications: 1, seed: {seed}, warm up: {warm_up}"
    )
    .unwrap();
    yaml + ", until: 10 min}\n"
}

#[test]
fn a_single_person_is_diagnosed_as_in_any_shop() {
    let (mut stations_hold_up, mut waits_for_stations, mut played) = (0, 0, 0);
    for seed in 0..many(SHOPS) {
        let yaml = shop(seed);
        let study = crate::support::study(&yaml);
        let (candidate, settings) = (&study.candidates[0], &study.settings);
        let shop = &candidate.shop;
        let prepared = Prepared::new(shop, &candidate.walks);
        assert!(prepared.is_in_turn(), "{yaml}");
        let orders_follow = yaml.contains("in progress");
        for until in [settings.until, None] {
            if until.is_none() && orders_follow {
                continue;
            }
            let run = Run {
                seed,
                replication: 0,
                until,
            };
            let places = candidate.walks.places();
            let totals = Totals::new(shop, places, settings.warm_up, until);
            let mut all = (totals, SinglePersonDiagnosis::new(shop, settings.warm_up));
            let mut general = (
                Bottlenecks::new(shop, settings.warm_up),
                Waits::new(shop, settings.warm_up, until),
            );
            must_end(&prepared, &run, &mut all);
            must_end(&prepared, &run, &mut general);
            let (totals, diagnosis) = all;
            let found = diagnosis.found(&totals.into_record());
            let (bottlenecks, waits) = general;
            let expected = (bottlenecks.found(), waits.waited());
            assert_eq!(found, expected, "seed {seed}, until {until:?}\n{yaml}");
            let (bottlenecks, waited) = expected;
            stations_hold_up += (bottlenecks.stations.iter())
                .filter(|station| !station.sole.is_zero())
                .count();
            waits_for_stations += (waited.lead_times.iter())
                .filter(|line| line.split.waiting_station > 0)
                .count();
            played += 1;
        }
    }
    assert!(played > 4 * SHOPS as usize / 3, "{played} runs");
    assert!(
        stations_hold_up > 120,
        "{stations_hold_up} stations held something up"
    );
    assert!(
        waits_for_stations > 120,
        "lots waited for {waits_for_stations} stations"
    );
}

fn must_end(prepared: &Prepared, run: &Run, recorder: &mut impl Recorder) {
    simulate(prepared, run, recorder).unwrap_or_else(|stuck| panic!("{stuck:?}"));
}
