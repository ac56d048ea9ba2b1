//! On random shops: active periods add up to the totals, and what the relief experiment leaves out changes nothing.

mod second_reading;
mod support;

use second_reading::generate;
use shopstride::engine::{Prepared, Recorder, Run, simulate};
use shopstride::experiment::{Candidate, Changes, ReliefKind, Study};
use shopstride::metrics::{Bottlenecks, Record, Totals};
use shopstride::shop::Shop;
use shopstride::units::Span;

const SHOPS: u64 = 1500;

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

#[test]
fn active_periods_add_up_to_what_the_totals_say() {
    let mut bottlenecks_found = 0;
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let study = support::study(&yaml);
        let candidate = &study.candidates[0];
        let record = record(&study, candidate, &candidate.shop);
        let mut bottlenecks = Bottlenecks::new(&candidate.shop, study.settings.warm_up);
        play(&study, candidate, &candidate.shop, &mut bottlenecks);
        let found = bottlenecks.found();
        for (station, of) in found.stations.iter().zip(&record.stations) {
            assert_eq!(station.active, of.busy(), "seed {seed}");
        }
        for (group, of) in &found.people {
            let members = candidate.shop.crew.iter().zip(&record.crew);
            let members = members.filter(|(person, _)| person.group == *group);
            let hands_on: Span = members.map(|(_, person)| person.hands_on()).sum();
            assert_eq!(of.active, hands_on, "seed {seed}");
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
    for seed in 0..SHOPS {
        let study = support::study(&generate::shop(seed));
        let candidate = &study.candidates[0];
        let before = record(&study, candidate, &candidate.shop);
        for untried in Changes::of(candidate).untried {
            // Rules that go by due dates do something without them too, but nothing that anybody wants.
            if untried.why == "no order has a due date" {
                continue;
            }
            let shop = untried.change.edit.applied(candidate).shop;
            checked[untried.change.name.kind as usize] += 1;
            let mut after = record(&study, candidate, &shop);
            // Somebody who does nothing is one more row of nothing.
            if untried.change.name.kind == ReliefKind::Person {
                let group = &untried.change.name.resource;
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
}
