//! What is told of drawn shops with every stop adds up, and a word means the same wherever it stands.

use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::Study;
use shopstride::metrics::{Bottlenecks, Record, TraceLine, Waited, What};
use shopstride::shop::{PersonId, StationId};
use shopstride::units::{Moment, Span};

use crate::second_reading::generate::shop_with_stops;
use crate::support::{many, play, record, study, trace, waited};

const SHOPS: u64 = 300;

/// States of the units of a station fill their time, and the active-period method calls active what is busy.
fn stations_add_up(study: &Study, record: &Record) -> [bool; 3] {
    let shop = &study.candidates[0].shop;
    let mut bottlenecks = Bottlenecks::new(shop, Span::ZERO);
    play(study, &mut bottlenecks);
    let found = bottlenecks.found();
    let mut occurs = [false; 3];
    let stations = shop.stations.iter().zip(&record.stations);
    for ((station, of), active) in stations.zip(&found.stations) {
        let name = &station.name;
        let states = [
            of.running,
            of.setup,
            of.curing,
            of.serviced,
            of.reserved,
            of.blocked,
            of.left_standing,
        ];
        let all: Span = states.iter().copied().sum();
        let idle = of.idle(record.measured(), station.count);
        assert!(
            states.iter().all(|span| *span >= Span::ZERO),
            "{name}: {of:?}"
        );
        assert!(idle >= Span::ZERO, "{name}: {of:?}");
        assert_eq!(all + idle, record.measured() * i64::from(station.count));
        if station.count == 1 {
            assert_eq!(active.active, of.busy(), "{name}: {of:?}");
        }
        let stops = [of.serviced, of.blocked, of.left_standing];
        (occurs.iter_mut().zip(stops)).for_each(|(so, span)| *so |= span > Span::ZERO);
    }
    occurs
}

/// What people do and wait for fills the time in which they are there.
fn people_add_up(record: &Record, waits: &Waited) {
    let stations = record.stations.len();
    for (index, (of, idle)) in record.crew.iter().zip(&waits.crew).enumerate() {
        let at = &waits.worked_at[index * stations..][..stations];
        let working: Vec<Span> = (at.iter())
            .map(|at| at.setting_up + at.running + at.servicing)
            .collect();
        assert_eq!(working, of.working_at);
        assert_eq!(working.into_iter().sum::<Span>(), of.working);
        assert_eq!(idle.waiting(), record.waiting(PersonId(index as u32)));
        assert_eq!(of.hands_on() + idle.waiting() + of.away, record.measured());
        assert_eq!(idle.away, of.away);
    }
}

/// Phases of one kind, on the clock of the shop.
fn told(
    study: &Study,
    lines: &[TraceLine],
    is_meant: impl Fn(Occupied, WorkPhase) -> bool,
) -> Span {
    let calendar = &study.candidates[0].shop.calendar;
    let spans = lines.iter().filter_map(|line| match line.what {
        What::Phase {
            of,
            doing: Doing::Work { phase, .. },
        } if is_meant(of, phase) => Some(calendar.time(line.end) - calendar.time(line.start)),
        _ => None,
    });
    spans.sum()
}

/// Running is run, tear-down and taking off, of a station as of a person, and setup and upkeep are apart.
fn words_mean_the_same(study: &Study, record: &Record, waits: &Waited) {
    let lines = trace(study, 0, 0);
    let is_running = |phase| {
        matches!(
            phase,
            WorkPhase::Run | WorkPhase::Teardown | WorkPhase::TakeOff
        )
    };
    for (index, of) in record.stations.iter().enumerate() {
        let station = StationId(index as u32);
        let of_units = told(study, &lines, |of, phase| {
            matches!(of, Occupied::Unit(at, _) if at == station) && is_running(phase)
        });
        assert_eq!(of.running, of_units);
    }
    let is_person = |of| matches!(of, Occupied::Person(_));
    let of_people = |of: fn(&shopstride::metrics::TimeAtStation) -> Span| -> Span {
        waits.worked_at.iter().map(of).sum()
    };
    let running = told(study, &lines, |of, phase| {
        is_person(of) && is_running(phase)
    });
    assert_eq!(of_people(|at| at.running), running);
    let servicing = told(study, &lines, |of, phase| {
        is_person(of) && phase == WorkPhase::Service
    });
    assert_eq!(of_people(|at| at.servicing), servicing);
}

/// Lead times are the sums of what they go into, of what the shop is shut as well.
fn lead_times_add_up(waits: &Waited) -> [bool; 2] {
    let mut occurs = [false; 2];
    for line in waits.lead_times.iter().filter(|line| line.leaves > 0) {
        let parts = line.split.parts();
        assert!(parts.iter().all(|part| *part >= 0), "{parts:?}");
        let whole = i128::from(line.leaves) * line.lead_time;
        assert_eq!(parts.iter().sum::<i128>(), whole);
        occurs[0] |= line.split.shop_shut > 0;
        occurs[1] |= line.split.kept_apart > 0;
    }
    occurs
}

/// L = λW over a run that ends with its last order, in which all come to their end (J. D. C. Little, Operations Research 9
/// (1961) 383-387): each order is there from its release until it is done.
fn littles_law_holds(record: &Record) {
    let lead_times: i128 = record.projects.iter().map(|of| of.lead_time).sum();
    assert_eq!(record.in_process, lead_times);
    assert_eq!(record.measured_on_calendar(), record.makespan());
}

#[test]
fn everything_that_is_told_adds_up() {
    let mut occurs = [0; 5];
    for seed in 0..many(SHOPS) {
        let yaml = shop_with_stops(seed);
        let mut study = study(&yaml);
        study.settings.warm_up = Span::ZERO;
        let record = record(&study, 0, study.settings.seed, 0);
        let waits = waited(&study);
        let [serviced, blocked, left] = stations_add_up(&study, &record);
        people_add_up(&record, &waits);
        words_mean_the_same(&study, &record, &waits);
        let [shut, apart] = lead_times_add_up(&waits);
        if study.settings.until.is_none() {
            littles_law_holds(&record);
        }
        let so = [serviced, blocked, left, shut, apart];
        (occurs.iter_mut().zip(so)).for_each(|(count, so)| *count += i32::from(so));
    }
    println!("serviced, blocked, left standing, shut, kept apart: {occurs:?}");
    assert!(occurs.iter().all(|count| *count > 6), "{occurs:?}");
}

/// A shop that first opens on Tuesday evening counts from there: one order, there from the opening until it is done, is one
/// order in process, and done once in as long as it takes.
#[test]
fn a_run_is_counted_from_the_first_opening() {
    let yaml = |first: &str| {
        format!(
            "title: Evenings\n\
             sessions: [{{days: [tue, thu], open: \"19:00\", close: \"21:00\"}}]\n\
             stations: {{bench: {{does: {{build: {{per lot: 3 h}}}}}}}}\n\
             projects: {{box: {{route: [build]}}}}\norders: [{{project: box{first}}}]\nlayouts: {{spot: {{distances: 0}}}}\n"
        )
    };
    let played = |first: &str| {
        let study = study(&yaml(first));
        record(&study, 0, 1, 0)
    };
    const H: i64 = 3_600_000_000;
    let hour = |hour: i64| Moment::from_micros(hour * H);
    let of = played("");
    let (opens, done) = (24 + 19, 3 * 24 + 20);
    assert_eq!(of.on_calendar, (hour(opens), hour(done)));
    assert_eq!(of.makespan(), Span::from_micros((done - opens) * H));
    assert_eq!(of.in_process, i128::from((done - opens) * H));
    // An order that comes on Monday at 6:00 is there from then on.
    let early = played(", every: 1 h, count: 1, first: 6 h");
    assert_eq!(early.on_calendar, (hour(6), hour(done)));
    assert_eq!(early.in_process, i128::from((done - 6) * H));
}
