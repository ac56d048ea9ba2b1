//! What must hold for any shop: generated ones, with times as they are and with times that vary.

mod books;

use books::{assert_trace_gives_record, assert_walking_is_the_same_however_counted, states};

use crate::second_reading::generate;
use crate::support::{drawn, record, study, trace};
use proptest::prelude::*;
use shopstride::experiment::Study;
use shopstride::floor::{Distances, Manner};
use shopstride::metrics::{Record, TraceLine};
use shopstride::shop::{Carts, PersonId, PlaceId};
use shopstride::units::{Length, Moment, Span, Speed, Time};
use std::sync::Arc;

const CASES: u32 = 600;

/// Keys after which a fixed duration stands, and the distribution that takes its place.
const VARIED: [(&str, Vary); 6] = [
    ("per lot: ", triangular),
    ("per piece: ", triangular),
    ("setup: ", triangular),
    ("teardown: ", triangular),
    ("{time: ", triangular),
    ("every: ", exponential),
];

type Vary = fn(f64, &str) -> String;

fn triangular(mode: f64, unit: &str) -> String {
    let (least, most) = (mode / 2.0, mode * 3.0);
    format!("{{triangular: [{least} {unit}, {mode} {unit}, {most} {unit}]}}")
}

fn exponential(mean: f64, unit: &str) -> String {
    format!("{{exponential: {mean} {unit}}}")
}

/// The shop with every fixed duration but 0 replaced by one that varies.
fn varied(yaml: &str) -> String {
    let mut text = yaml.to_string();
    for (key, vary) in VARIED {
        let mut parts = text.split(key);
        let mut out = parts.next().unwrap_or_default().to_string();
        for part in parts {
            let end = part.find([',', '}', '\n']).expect("a value ends");
            let (value, rest) = part.split_at(end);
            out += key;
            match value.split_once(' ') {
                None => out += value,
                Some((number, unit)) => {
                    out += &vary(number.parse().expect("a number"), unit);
                }
            }
            out += rest;
        }
        text = out;
    }
    text
}

/// A generated shop, as it is or with times that vary.
fn shops() -> impl Strategy<Value = String> {
    (any::<u64>(), any::<bool>()).prop_map(|(seed, vary)| {
        let shop = generate::shop(seed);
        if vary { varied(&shop) } else { shop }
    })
}

/// Every total that is a sum over time, so that the totals of two stretches of time add up to those of both.
fn additive(record: &Record) -> Vec<i128> {
    let mut all: Vec<i128> = vec![record.in_process];
    let span = |span: Span| i128::from(span.micros());
    for station in &record.stations {
        all.extend(states(station).map(i128::from));
        all.extend([
            station.queue,
            i128::from(station.waits),
            i128::from(station.lots),
        ]);
    }
    for person in &record.crew {
        all.extend([person.walking, person.handling, person.working].map(span));
        all.extend(person.working_at.iter().copied().map(span));
        all.extend(person.walked.map(|l| i128::from(l.nanometres())));
    }
    all.extend(record.gear.iter().map(|gear| gear.taken));
    for project in &record.projects {
        all.extend([
            i128::from(project.orders_done),
            project.lead_time,
            i128::from(project.walked.nanometres()),
            span(project.hands_on),
        ]);
    }
    all.extend(record.trips.iter().copied().map(i128::from));
    all
}

/// All distances and speeds times `factor`, which must keep whole nanometres whole.
fn scaled(study: &Study, factor: f64) -> Study {
    let mut other = study.clone();
    let candidate = &mut other.candidates[0];
    candidate.walks = scaled_walks(&candidate.walks, factor);
    let faster = |speed: Speed| Speed::from_metres_per_second(speed.metres_per_second() * factor);
    let shop = Arc::make_mut(&mut candidate.shop);
    let ids: Vec<PersonId> = shop.crew.ids().collect();
    for id in ids {
        let person = &mut shop.crew[id];
        person.walking_speed = faster(person.walking_speed);
    }
    let handling = &mut shop.handling;
    handling.loaded_speed = faster(handling.loaded_speed);
    if let Some(Carts { speed, .. }) = &mut handling.carts {
        *speed = faster(*speed);
    }
    other
}

fn scaled_walks(walks: &Distances, factor: f64) -> Distances {
    let places = walks.places();
    let ids = || (0..places).map(|i| PlaceId(i as u32));
    let distances = ids().flat_map(|from| {
        ids().map(move |to| {
            let nm = walks.distance(Manner::Empty, from, to).nanometres() as f64 * factor;
            assert_eq!(nm.fract(), 0.0, "half of an odd number");
            Length::from_nanometres(nm as i64)
        })
    });
    Distances::from_matrix(places, distances.collect())
}

/// An instant of the run at which nothing of it begins or ends: some share of its length, and an odd microsecond.
fn instant(lines: &[TraceLine], end: Time, share: f64) -> Option<Moment> {
    let mut at = (end.micros() as f64 * share) as i64;
    let taken = |at: i64| {
        let at = Moment::from_micros(at);
        lines.iter().any(|line| line.start == at || line.end == at)
    };
    while taken(at) {
        at += 1;
    }
    (at > 0 && at < end.micros()).then(|| Moment::from_micros(at))
}

proptest! {
    #![proptest_config(drawn(CASES))]

    #[test]
    fn books_balance_and_nobody_is_in_two_places(yaml in shops(), replication in 0u32..3) {
        let study = study(&yaml);
        let record = record(&study, 0, study.settings.seed, replication);
        let lines = trace(&study, 0, replication);
        assert_trace_gives_record(&study, &lines, &record);
        assert_walking_is_the_same_however_counted(&study, &record);
        // The same run twice is the same to the last digit.
        let again = crate::support::record(&study, 0, study.settings.seed, replication);
        prop_assert_eq!(format!("{record:?}"), format!("{again:?}"));
    }

    /// Also a horizon at the very instant at which something begins.
    #[test]
    fn a_horizon_cuts_and_adds_nothing(
        yaml in shops(),
        share in 0.05f64..0.95,
        event in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut study = study(&yaml);
        let whole = record(&study, 0, study.settings.seed, 0);
        let whole_lines = trace(&study, 0, 0);
        let horizon = match event {
            Some(index) => Some(index.get(&whole_lines).start),
            None => instant(&whole_lines, whole.end, share),
        };
        let Some(horizon) = horizon else {
            return Ok(());
        };
        study.settings.until = Some(horizon);
        let cut = record(&study, 0, study.settings.seed, 0);
        prop_assert_eq!(cut.on_calendar.1, horizon);
        prop_assert_eq!(cut.end.micros(), horizon.micros());
        let lines = trace(&study, 0, 0);
        assert_trace_gives_record(&study, &lines, &cut);
        assert_walking_is_the_same_however_counted(&study, &cut);
        for (part, all) in additive(&cut).iter().zip(additive(&whole)) {
            prop_assert!(*part >= 0 && *part <= all);
        }
    }

    #[test]
    fn a_warm_up_and_what_follows_add_up_to_the_whole(yaml in shops(), share in 0.05f64..0.95) {
        let mut study = study(&yaml);
        let whole = record(&study, 0, study.settings.seed, 0);
        let lines = trace(&study, 0, 0);
        let Some(at) = instant(&lines, whole.end, share) else {
            return Ok(());
        };
        study.settings.warm_up = at - Moment::START;
        let after = record(&study, 0, study.settings.seed, 0);
        prop_assert_eq!(after.measured() + (at - Moment::START), whole.measured());
        study.settings.warm_up = Span::ZERO;
        study.settings.until = Some(at);
        let before = record(&study, 0, study.settings.seed, 0);
        let sums: Vec<i128> = additive(&before)
            .iter()
            .zip(additive(&after))
            .map(|(before, after)| before + after)
            .collect();
        prop_assert_eq!(sums, additive(&whole));
        for (id, of_shop) in study.candidates[0].shop.stations.enumerate() {
            let station = &after.stations[id.index()];
            prop_assert!(station.idle(after.measured(), of_shop.count) >= Span::ZERO);
        }
        for id in study.candidates[0].shop.crew.ids() {
            prop_assert!(after.waiting(id) >= Span::ZERO);
        }
    }

    #[test]
    fn a_larger_shop_with_faster_people_takes_the_same_time(yaml in shops()) {
        let study = study(&yaml);
        let seed = study.settings.seed;
        let here = record(&study, 0, seed, 0);
        let double = scaled(&study, 2.0);
        let there = record(&double, 0, seed, 0);
        let times = |record: &Record| {
            let mut record = record.clone();
            record.walked = [Length::ZERO; 3];
            record.crew.iter_mut().for_each(|person| person.walked = [Length::ZERO; 3]);
            record.projects.iter_mut().for_each(|project| project.walked = Length::ZERO);
            format!("{record:?}")
        };
        prop_assert_eq!(times(&here), times(&there));
        for manner in 0..3 {
            let (here, there) = (here.walked[manner], there.walked[manner]);
            prop_assert_eq!(2 * here.nanometres(), there.nanometres());
        }
        // Half of the double is where it began; half of this shop exists where all its nanometres are even.
        let again = record(&scaled(&double, 0.5), 0, seed, 0);
        prop_assert_eq!(format!("{here:?}"), format!("{again:?}"));
        let ids = || (0..here.places).map(|i| PlaceId(i as u32));
        let walks = &study.candidates[0].walks;
        let even = ids().all(|from| {
            ids().all(|to| walks.distance(Manner::Empty, from, to).nanometres() % 2 == 0)
        });
        if even {
            let half = record(&scaled(&study, 0.5), 0, seed, 0);
            prop_assert_eq!(times(&here), times(&half));
            prop_assert_eq!(here.walking().nanometres(), 2 * half.walking().nanometres());
        }
    }

    /// Text that people could mistype is refused with a sentence or played; it never ends in a panic or a hang.
    #[test]
    fn a_damaged_file_never_panics(
        yaml in shops(),
        at in any::<prop::sample::Index>(),
        length in 1usize..12,
        whole_line in any::<bool>(),
    ) {
        let damaged: String = if whole_line {
            let lines: Vec<&str> = yaml.lines().collect();
            let without = at.index(lines.len());
            let kept = lines.iter().enumerate().filter(|(k, _)| *k != without);
            kept.map(|(_, line)| format!("{line}\n")).collect()
        } else {
            let without = at.index(yaml.len());
            let kept = yaml.char_indices().filter(|(k, _)| !(without..without + length).contains(k));
            kept.map(|(_, c)| c).collect()
        };
        match shopstride::scenario::load("damaged.yaml", damaged.as_bytes()) {
            Err(problems) => {
                let told = problems.to_string();
                prop_assert!(told.contains("damaged.yaml"), "{}", told);
            }
            Ok(loaded) => {
                let mut study = loaded.study;
                study.settings.replications = shopstride::experiment::Replications::Fixed(1);
                // It may get stuck, but says so.
                let _ = shopstride::experiment::run(&study, 0, &|_| ());
            }
        }
    }
}

/// The variation must reach most shops, and all kinds of durations, or the properties say less than they seem to.
#[test]
fn times_do_vary_in_varied_shops() {
    let mut of_kind = [0; VARIED.len()];
    for seed in 0..60 {
        let yaml = varied(&generate::shop(seed));
        let shop = study(&yaml);
        assert!(shop.candidates[0].shop.varies(), "shop {seed}");
        for (count, (key, _)) in of_kind.iter_mut().zip(VARIED) {
            let varies = [format!("{key}{{triangular"), format!("{key}{{exponential")];
            *count += usize::from(varies.iter().any(|words| yaml.contains(words)));
        }
    }
    assert!(of_kind.iter().all(|&count| count >= 10), "{of_kind:?}");
}
