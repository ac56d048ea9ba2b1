//! On random shops: active periods are those of the trace and add up to the totals, and what the relief experiment leaves out changes nothing.

use crate::second_reading::generate;
use crate::support::many;
use std::collections::BTreeMap;

use shopstride::engine::{Doing, Occupied, Prepared, Recorder, Run, simulate};
use shopstride::experiment::{Candidate, Changes, ReliefKind, Study, WhyNot};
use shopstride::metrics::{Active, Bottlenecks, Record, Totals, TraceLine, What};
use shopstride::shop::Shop;
use shopstride::units::Span;

const SHOPS: u64 = 600;

fn play(study: &Study, candidate: &Candidate, shop: &Shop, recorder: &mut impl Recorder) {
    let run = Run {
        seed: study.settings.seed,
        replication: 0,
        until: study.settings.until,
    };
    let prepared = Prepared::new(shop, &candidate.walks);
    simulate(&prepared, &run, recorder).unwrap_or_else(|stuck| panic!("{stuck:?}"));
}

fn record(study: &Study, candidate: &Candidate, shop: &Shop) -> Record {
    let settings = &study.settings;
    let places = candidate.walks.places();
    let mut totals = Totals::new(shop, places, settings.warm_up, settings.until);
    play(study, candidate, shop, &mut totals);
    totals.into_record()
}

/// When each unit of something was active, in microseconds: how many are, piece by piece of time.
#[derive(Default)]
struct Counts(BTreeMap<i64, i32>);

impl Counts {
    fn add(&mut self, line: &TraceLine) {
        *self.0.entry(line.start.micros()).or_default() += 1;
        *self.0.entry(line.end.micros()).or_default() -= 1;
    }

    /// Time behind the warm-up in which so many are active, and in how many stretches.
    fn all(&self, units: i32, warm_up: i64) -> (i64, u64) {
        let (mut count, mut began) = (0, None);
        let (mut time, mut stretches) = (0, 0);
        for (&at, change) in &self.0 {
            count += change;
            match began {
                None if count == units => began = Some(at.max(warm_up)),
                Some(start) if count < units => {
                    began = None;
                    time += (at - start).max(0);
                    stretches += u64::from(at > start);
                }
                _ => {}
            }
        }
        (time, stretches)
    }
}

fn same(active: &Active, (time, stretches): (i64, u64), of: &str) {
    assert_eq!(
        (active.active.micros(), active.periods),
        (time, stretches),
        "{of}"
    );
}

/// A pool is active while as many of its units are as there are: read off the trace with no thought of order.
#[test]
fn active_periods_are_those_of_the_trace() {
    let mut pools_active = [0; 2];
    for seed in 0..many(SHOPS) {
        let study = crate::support::study(&generate::shop(seed));
        let candidate = &study.candidates[0];
        let shop = &candidate.shop;
        let mut bottlenecks = Bottlenecks::new(shop, study.settings.warm_up);
        play(&study, candidate, shop, &mut bottlenecks);
        let found = bottlenecks.found();
        let (mut stations, mut people) = (BTreeMap::new(), BTreeMap::new());
        for line in crate::support::trace(&study, 0, 0) {
            match line.what {
                What::Phase {
                    of: Occupied::Person(person),
                    ..
                } => {
                    let counts: &mut Counts = people.entry(&*shop.crew[person].group).or_default();
                    counts.add(&line);
                }
                What::Phase {
                    of: Occupied::Unit(station, _),
                    doing,
                } if doing != Doing::Reserved => {
                    let counts: &mut Counts = stations.entry(station).or_default();
                    counts.add(&line);
                }
                _ => {}
            }
        }
        let warm_up = study.settings.warm_up.micros();
        let none = Counts::default();
        for ((id, station), active) in shop.stations.enumerate().zip(&found.stations) {
            let counts = stations.get(&id).unwrap_or(&none);
            let expected = counts.all(station.count as i32, warm_up);
            same(active, expected, &format!("seed {seed}: {}", station.name));
            pools_active[0] += u64::from(station.count > 1 && expected.0 > 0);
        }
        for (group, active) in &found.people {
            let members = shop.crew.iter().filter(|person| *person.group == **group);
            let members = members.count();
            let counts = people.get(&**group).unwrap_or(&none);
            let expected = counts.all(members as i32, warm_up);
            same(active, expected, &format!("seed {seed}: {group}"));
            pools_active[1] += u64::from(members > 1 && expected.0 > 0);
        }
    }
    println!("pools of stations and people that are active: {pools_active:?}");
    assert!(
        pools_active.iter().all(|&count| count > 50),
        "{pools_active:?}"
    );
}

/// Single machines and people are active while they are busy, pools at most as long as any unit is.
#[test]
fn active_periods_add_up_to_what_the_totals_say() {
    let mut bottlenecks_found = 0;
    for seed in 0..many(SHOPS) {
        let yaml = generate::shop(seed);
        let study = crate::support::study(&yaml);
        let candidate = &study.candidates[0];
        let record = record(&study, candidate, &candidate.shop);
        let mut bottlenecks = Bottlenecks::new(&candidate.shop, study.settings.warm_up);
        play(&study, candidate, &candidate.shop, &mut bottlenecks);
        let found = bottlenecks.found();
        let stations = found.stations.iter().zip(&record.stations);
        for ((active, busy), of) in stations.zip(candidate.shop.stations.iter()) {
            match of.count {
                1 => assert_eq!(active.active, busy.busy(), "seed {seed}"),
                count => assert!(
                    active.active.micros() * i64::from(count) <= busy.busy().micros(),
                    "seed {seed}"
                ),
            }
        }
        for (group, of) in &found.people {
            let members = candidate.shop.crew.iter().zip(&record.crew);
            let members = members.filter(|(person, _)| *person.group == **group);
            let hands_on: Vec<Span> = members.map(|(_, person)| person.hands_on()).collect();
            match hands_on.as_slice() {
                [alone] => assert_eq!(of.active, *alone, "seed {seed}"),
                all => assert!(all.iter().all(|one| of.active <= *one), "seed {seed}"),
            }
        }
        let people = found.people.iter().map(|(_, of)| of);
        let all = found.stations.iter().chain(people).chain(&found.gear);
        let mut sole = Span::ZERO;
        for of in all {
            assert!(of.sole + of.shifting <= record.measured(), "seed {seed}");
            assert!(of.sole + of.shifting <= of.active, "seed {seed}");
            sole += of.sole;
        }
        assert!(sole <= record.measured(), "seed {seed}");
        bottlenecks_found += u64::from(!sole.is_zero());
    }
    assert!(
        bottlenecks_found > SHOPS / 2,
        "{bottlenecks_found} have a sole bottleneck"
    );
}

#[test]
fn what_is_left_out_changes_nothing() {
    let mut checked = [0; 6];
    let mut due_alike = 0;
    for seed in 0..many(1500) {
        let study = crate::support::study(&generate::shop(seed));
        let candidate = &study.candidates[0];
        let before = record(&study, candidate, &candidate.shop);
        for untried in Changes::of(candidate).untried {
            let shop = untried.trial.edit.applied(candidate).shop;
            checked[untried.trial.edit.kind() as usize] += 1;
            due_alike += u64::from(untried.why == WhyNot::NothingIsDue);
            let mut after = record(&study, candidate, &shop);
            // Somebody who does nothing is one more row of nothing.
            if untried.trial.edit.kind() == ReliefKind::Person {
                let group = untried.trial.resource.as_ref().expect("people are named");
                let added = shop.crew.iter().rposition(|person| person.group == *group);
                let idle = after.crew.remove(added.expect("they were added"));
                assert_eq!(idle.hands_on(), Span::ZERO, "seed {seed}: {untried:?}");
            }
            assert_eq!(
                format!("{before:?}"),
                format!("{after:?}"),
                "seed {seed}: {untried:?}"
            );
        }
    }
    println!("stations, people, gear, carts, layouts, rules: {checked:?}");
    assert!(checked[0] > 100 && checked[2] > 100, "{checked:?}");
    assert!(
        due_alike > 30,
        "only {due_alike} shops have nothing due and choose by wait"
    );
}
