//! What the relief experiment leaves untried changes nothing, and what it tries is played once.

use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};

use shopstride::engine::{Prepared, Run, simulate};
use shopstride::experiment::{Changes, Study, relieve};
use shopstride::metrics::Totals;

use crate::relief::{assert_untried, lead_time, named, network, relief};
use crate::support::{study, yaml_files};

pub fn scenarios() -> Vec<(String, Study)> {
    let read = |path: &std::path::PathBuf| std::fs::read_to_string(path).expect("readable");
    yaml_files("scenarios")
        .iter()
        .map(|path| (path.display().to_string(), study(&read(path))))
        .collect()
}

/// What is left out because it cannot matter: tried all the same, it changes no total of any run. Says how many were
/// checked.
fn check_untried(name: &str, study: &Study) -> usize {
    let mut checked = 0;
    for candidate in &study.candidates {
        for untried in Changes::of(candidate).untried {
            let shop = &untried.trial.edit.applied(candidate).shop;
            checked += 1;
            let changes_nothing = (0..5).into_par_iter().all(|replication| {
                let run = Run {
                    seed: study.settings.seed,
                    replication,
                    until: study.settings.until,
                };
                let record = |shop| {
                    let places = candidate.walks.places();
                    let prepared = Prepared::new(shop, &candidate.walks);
                    let mut totals = Totals::new(shop, places, study.settings.warm_up, run.until);
                    simulate(&prepared, &run, &mut totals).expect("it does not get stuck");
                    let mut record = totals.into_record();
                    // Somebody more who does nothing is one more row of nothing.
                    record.crew.truncate(candidate.shop.crew.len());
                    format!("{record:?}")
                };
                record(&candidate.shop) == record(shop)
            });
            assert!(changes_nothing, "{name}, {}: {untried:?}", candidate.name);
        }
    }
    checked
}

#[test]
fn what_is_not_tried_changes_nothing() {
    let checked: usize = scenarios()
        .iter()
        .map(|(name, study)| check_untried(name, study))
        .sum();
    assert!(checked >= 10, "only {checked} were checked");
    // One more person, no walking where nobody walks, the other way of switching, five other ways of choosing.
    assert_eq!(check_untried("network", &network(&[2.0, 3.0], 3)), 8);
}

#[test]
fn threads_change_nothing_and_nothing_is_played_twice() {
    let (_, mut study) = scenarios()
        .into_iter()
        .find(|(name, _)| name.ends_with("class.yaml"))
        .expect("it is there");
    study.settings.replications = shopstride::experiment::Replications::Fixed(5);
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let played = AtomicU64::new(0);
        let changes = Changes::of(&study.candidates[0]);
        let tried = changes.tried.len() as u64;
        let reliefs = pool.install(|| {
            relieve(&study, 0, changes, &|by| {
                played.fetch_add(by, Ordering::Relaxed);
            })
        });
        assert_eq!(played.into_inner(), 5 * (tried + 1));
        format!("{:?}", reliefs.expect("it does not get stuck"))
    };
    assert_eq!(with(1), with(3));
}

/// Legs are cut, shaped and cut again, seats are cut. By the longest wait the saw cuts legs and seat of both stools
/// first, then the legs again: done at 50 and 60 min. By the order released first, the first stool's legs come back at
/// 20 min and are cut before the second's: done at 30 and 60 min.
#[test]
fn rules_by_due_date_are_tried_where_they_can_change_anything() {
    let yaml = "title: Stools
stations:
  saw: {does: {cut: {per lot: 10 min}}}
  bench: {does: {shape: {per lot: 10 min}}}
handling: {pick up: 0, put down: 0}
crew: {maker: {count: 2}}
projects:
  stool:
    parts:
      leg: {pieces: 4, material at: saw, route: [cut, shape, cut]}
      seat: {pieces: 1, material at: saw, route: [cut]}
    assemblies: {set: {made of: [leg, seat]}}
orders: [{project: stool, count: 2}]
layouts: {one spot: {distances: 0}}
";
    let reliefs = relief(&study(yaml));
    let base = reliefs.findings.candidates[0].lead_time;
    assert_eq!(base.map(|base| base.mean), Some(3300.0));
    assert_eq!(lead_time(named(&reliefs, "rules", "queue edd")), -600.0);
    let why = "no order has a due date, so people choose as they do now";
    assert_untried(&reliefs, "rules", "choose next due date", why);
    // Who goes by the walk would go by the longest wait instead.
    let nearest = format!("{yaml}rules: {{choose next: nearest}}\n");
    let reliefs = relief(&study(&nearest));
    let due_date = named(&reliefs, "rules", "choose next due date");
    let first_come = named(&reliefs, "rules", "choose next first come");
    assert_eq!(lead_time(due_date), lead_time(first_come));
}
