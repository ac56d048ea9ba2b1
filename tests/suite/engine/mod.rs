//! Plays a scenario's candidate once with the engine, and gives the figures in the shape of the second reading.

pub mod both;

use crate::second_reading::result::{Manner, OrderOutcome, Outcome, PersonOutcome, StationOutcome};
use shopstride::engine::{Prepared, Run, Stuck, simulate};
use shopstride::experiment::{Candidate, Study};
use shopstride::metrics::{Chronicle, Record, Totals, Trace, TraceLine, What};
use shopstride::shop::{PersonId, PlaceId};

pub fn load(yaml: &str) -> Study {
    match shopstride::scenario::load("scenario.yaml", yaml.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}\n{yaml}", problems.render(false)),
    }
}

pub fn play(yaml: &str, layout: &str) -> Outcome {
    play_hours(yaml, layout).0
}

/// The same with its totals, and the study.
pub fn play_hours(yaml: &str, layout: &str) -> (Outcome, Record, Study) {
    play_study(load(yaml), layout)
}

/// The same of a shop that has been read.
pub fn play_study(study: Study, layout: &str) -> (Outcome, Record, Study) {
    let title = study.title.clone();
    play_or_stuck(study, layout).unwrap_or_else(|stuck| panic!("{stuck:?} of {title}"))
}

/// The same of a shop that may get stuck.
pub fn play_or_stuck(study: Study, layout: &str) -> Result<(Outcome, Record, Study), Stuck> {
    let candidate = study
        .candidates
        .iter()
        .find(|candidate| candidate.name == layout)
        .expect("the layout is there");
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let run = Run {
        seed: study.settings.seed,
        replication: 0,
        until: study.settings.until,
    };
    let places = candidate.walks.places();
    let totals = Totals::new(&candidate.shop, places, study.settings.warm_up, run.until);
    let mut lines = Vec::new();
    let trace = Trace::new(&candidate.shop.calendar, run.until, |line: &TraceLine| {
        lines.push(line.clone())
    });
    let mut both = (totals, Chronicle::new(trace));
    simulate(&prepared, &run, &mut both)?;
    let record = both.0.into_record();
    let outcome = outcome(candidate, &record, lines);
    Ok((outcome, record, study))
}

fn outcome(candidate: &Candidate, record: &Record, lines: Vec<TraceLine>) -> Outcome {
    let shop = &candidate.shop;
    let mut orders: Vec<OrderOutcome> = Vec::new();
    let mut waits_over = vec![(0, 0); shop.stations.len()];
    for line in lines {
        match line.what {
            What::Released { project, order } => {
                assert_eq!(order as usize, orders.len());
                let project = shop.projects[project].name.clone();
                orders.push(OrderOutcome {
                    project,
                    released_us: line.start.micros(),
                    done_us: None,
                });
            }
            What::Done { order, .. } => orders[order as usize].done_us = Some(line.start.micros()),
            What::Unqueued { station, waited } => {
                waits_over[station.index()].0 += 1;
                waits_over[station.index()].1 += waited.micros();
            }
            _ => {}
        }
    }
    let stations = shop.stations.iter().zip(&record.stations).zip(waits_over);
    let stations = stations.map(|((station, of), (over, waited_over))| StationOutcome {
        name: station.name.clone(),
        running_us: of.running.micros(),
        setup_us: of.setup.micros(),
        curing_us: of.curing.micros(),
        reserved_us: of.reserved.micros(),
        lots: of.lots,
        queued_us: of.queue as i64,
        queue_max: of.queue_max as u64,
        waits: of.waits,
        waits_over: over,
        waited_over_us: waited_over,
    });
    let crew = shop.crew.iter().zip(&record.crew).enumerate();
    let crew = crew.map(|(index, (person, of))| PersonOutcome {
        name: person.name.clone(),
        walked_nm: of.walked.iter().map(|length| length.nanometres()).sum(),
        walking_us: of.walking.micros(),
        handling_us: of.handling.micros(),
        working_us: of.working.micros(),
        waiting_us: record.waiting(PersonId(index as u32)).micros(),
    });
    // What is rolled out is the same station.
    let name = |row: PlaceId| {
        let place = candidate.walks.place_of(row.index());
        shop.place_name(place).to_owned()
    };
    let manners = [
        (shopstride::floor::Manner::Empty, Manner::Empty),
        (shopstride::floor::Manner::Carrying, Manner::Carrying),
        (shopstride::floor::Manner::Pushing, Manner::Pushing),
    ];
    let places = || (0..record.places).map(|place| PlaceId(place as u32));
    let mut trips = std::collections::BTreeMap::new();
    for (from, to) in places().flat_map(|from| places().map(move |to| (from, to))) {
        for (ours, theirs) in manners {
            let count = record.trips(ours, from, to);
            if count > 0 {
                let length = candidate.walks.distance(ours, from, to).nanometres() * count as i64;
                let all = trips
                    .entry((name(from), name(to), theirs))
                    .or_insert((0, 0));
                (all.0, all.1) = (all.0 + count, all.1 + length);
            }
        }
    }
    let [empty_nm, carrying_nm, pushing_nm] = record.walked.map(|length| length.nanometres());
    Outcome {
        empty_nm,
        carrying_nm,
        pushing_nm,
        makespan_us: record.on_calendar.1.micros(),
        orders,
        stations: stations.collect(),
        crew: crew.collect(),
        trips,
    }
}
