//! Times that may be off: what is stretched, by how much, and how often the answer changes, against exact reckoning.

use crate::support::study;
use serde_json::Value;
use shopstride::experiment::{
    DRAWS, Doubt, Standing, Study, doubt, doubt_replications, doubted, run,
};
use shopstride::report::sensitivity::answer;
use shopstride::shop::{Arrivals, Shop, Work};
use std::process::Command;
use std::sync::atomic::{AtomicU64, Ordering};

pub const SHARE: f64 = 0.2;

/// In how many draws each candidate is the best.
pub fn best(standings: &[Standing]) -> Vec<u32> {
    standings.iter().map(|standing| standing.best).collect()
}

pub fn found(study: &Study) -> Doubt {
    doubt(study, SHARE, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"))
}

/// Everything that takes time, once.
const EVERYTHING: &str = "title: Everything
stations:
  rack: {}
  saw:
    does:
      cut: {setup: 100 s, per piece: 100 s, per lot: 100 s, feed speed: 1 m/s, teardown: 100 s, cure: {time: 100 s}}
  bench: {does: {plane: {per lot: {normal: {mean: 100 s, sd: 10 s}}}}}
crew: {maker: {}, helper: {walking speed: 0.5 m/s}}
handling: {carts: {count: 1, stored at: rack, pieces: 40, speed: 1 m/s, at least: 8, load: 100 s, unload: 100 s}}
projects:
  box:
    parts:
      side: {pieces: 2, rough: [1 m, 10 cm, 2 cm], material at: rack, route: [cut, plane, {op: cut, per piece: 40 s}]}
      lid: {pieces: 1, rough: [2 m, 10 cm, 2 cm], material at: rack, route: [cut]}
  crate: {pieces: 1, rough: [1 m, 10 cm, 2 cm], material at: rack, route: [cut, plane]}
orders:
  - {project: box, every: 1 h, count: 3, first: 100 s, due: 1 d}
  - {project: crate, every: {exponential: 1 h}, count: 2}
  - {project: box, every: 1 h, count: 3}
layouts: {one: {distances: {rack: {saw: 3 m}, saw: {bench: 2 m}}}}
candidates:
  faster: {layout: one, change: {stations: {saw: {does: {cut: {per piece: 50 s}}}}}}
";

pub fn works(shop: &Shop) -> Vec<&Work> {
    let items = shop.projects.iter().flat_map(|project| &project.items);
    let steps = items.flat_map(|item| &item.route);
    steps
        .flat_map(|step| &step.choices)
        .map(|choice| &choice.work)
        .collect()
}

/// Factors of setup, per piece, per lot, by size, tear-down, cure of each work, as far as it has them.
pub fn factors(before: &Work, after: &Work) -> Vec<f64> {
    let mean = |time: &Option<shopstride::random::Distribution>| time.as_ref().map(|t| t.mean());
    let times = |work: &Work| {
        [
            mean(&work.setup),
            mean(&work.per_piece),
            mean(&work.per_lot),
            Some(work.by_size).filter(|&size| size > 0.0),
            mean(&work.teardown),
            work.cure.as_ref().map(|cure| cure.time.mean()),
        ]
    };
    let both = times(before).into_iter().zip(times(after));
    both.filter_map(|(before, after)| Some(after? / before?))
        .collect()
}

/// As factors come out of a division.
#[track_caller]
pub fn assert_same(a: f64, b: f64) {
    assert!((a / b - 1.0).abs() < 1e-9, "{a} is not {b}");
}

#[test]
fn every_time_has_a_factor_of_its_own_and_shares_it_with_itself() {
    let study = study(EVERYTHING);
    let before = &study.candidates[0].shop;
    let after = doubted(&study, 0, SHARE, 1, 0);
    let of: Vec<Vec<f64>> = (works(before).iter().zip(works(&after)))
        .map(|(before, after)| factors(before, after))
        .collect();
    // side: cut, plane, cut with its own time per piece; lid: cut; crate: cut, plane.
    assert_eq!(
        of.iter().map(Vec::len).collect::<Vec<_>>(),
        [6, 1, 6, 6, 6, 1]
    );
    for (index, &factor) in of[0].iter().enumerate() {
        assert_same(of[3][index], factor);
        assert_same(of[4][index], factor);
        if index == 1 {
            assert!(
                (of[2][index] / factor - 1.0).abs() > 1e-3,
                "a time of its own"
            );
        } else {
            assert_same(of[2][index], factor);
        }
    }
    assert_same(of[1][0], of[5][0]);
    let mut different: Vec<f64> = of[0].iter().copied().chain([of[1][0], of[2][1]]).collect();
    let hours = |shop: &Shop| -> Vec<f64> {
        (shop.orders.iter())
            .map(|line| match &line.arrivals {
                Arrivals::Every { every, .. } => every.mean() / 3600.0,
                other => panic!("{other:?}"),
            })
            .collect()
    };
    different.extend(hours(&after));
    let handling = |shop: &Shop| {
        let carts = shop.handling.carts.as_ref().expect("there are carts");
        let pace = |nth| {
            let people: Vec<_> = shop.crew.ids().collect();
            shop.crew[people[nth]].walking_speed.metres_per_second()
        };
        [
            shop.handling.pick_up.seconds() / 2.0,
            shop.handling.put_down.seconds() / 2.0,
            carts.load.seconds() / 100.0,
            carts.unload.seconds() / 100.0,
            1.0 / carts.speed.metres_per_second(),
            1.0 / shop.handling.loaded_speed.metres_per_second(),
            1.25 / pace(0),
            0.5 / pace(1),
        ]
    };
    handling(before)
        .into_iter()
        .for_each(|unit| assert_same(unit, 1.0));
    different.extend(handling(&after));
    assert_eq!(different.len(), 8 + 3 + 8);
    assert!(
        different
            .iter()
            .all(|factor| (1.0 / 1.2..=1.2).contains(factor))
    );
    different.sort_by(f64::total_cmp);
    assert!(
        different.windows(2).all(|two| two[1] - two[0] > 1e-6),
        "{different:?}"
    );
    // What sets the question stays as it is.
    let frame = |shop: &Shop| -> Vec<String> {
        let lines = shop.orders.iter().map(|line| match &line.arrivals {
            Arrivals::Every {
                first,
                count,
                until,
                ..
            } => {
                format!(
                    "{first:?} {count:?} {until:?} {:?} {}",
                    line.due, line.together
                )
            }
            other => format!("{other:?}"),
        });
        lines.collect()
    };
    assert_eq!(frame(before), frame(&after));
}

#[test]
fn candidates_share_the_factors_whatever_their_times() {
    let study = study(EVERYTHING);
    let [one, faster] = &study.candidates[..] else {
        panic!("two candidates");
    };
    for draw in 0..20 {
        let of = |candidate: usize, shop: &Shop| -> Vec<Vec<f64>> {
            let after = doubted(&study, candidate, SHARE, 7, draw);
            (works(shop).iter().zip(works(&after)))
                .map(|(before, after)| factors(before, after))
                .collect()
        };
        let (a, b) = (of(0, &one.shop), of(1, &faster.shop));
        assert_eq!(a.len(), b.len());
        for (a, b) in a.concat().into_iter().zip(b.concat()) {
            assert_same(a, b);
        }
    }
}

/// The logarithm is uniform between -log 1.2 and log 1.2: its mean is 0 and its variance log² 1.2 / 3.
#[test]
pub fn factors_are_log_uniform() {
    let study = study(EVERYTHING);
    let before = &study.candidates[0].shop;
    let most = 1.2f64.ln();
    let n = 4000;
    let places: Vec<f64> = (0..n)
        .map(|draw| {
            factors(
                works(before)[0],
                works(&doubted(&study, 0, SHARE, 3, draw))[0],
            )[0]
            .ln()
                / most
        })
        .collect();
    assert!(places.iter().all(|place| place.abs() <= 1.0 + 1e-9));
    let mean = places.iter().sum::<f64>() / f64::from(n);
    let square = places.iter().map(|place| place * place).sum::<f64>() / f64::from(n);
    // Four standard errors: 1/√3 and 2/√45 over the root of n.
    assert!(mean.abs() < 4.0 * 0.5774 / f64::from(n).sqrt(), "{mean}");
    assert!(
        (square - 1.0 / 3.0).abs() < 4.0 * 0.2981 / f64::from(n).sqrt(),
        "{square}"
    );
}

/// The same cut on one of two saws, in 60 s or in 66 s, nothing else. The second is the faster with the probability that
/// the difference of two uniform numbers between -1 and 1 exceeds x = log 1.1 / log 1.2: (2 - x)² / 8 = 27.3 %.
fn saws() -> Study {
    study(
        "title: Saws
stations:
  first: {does: {cut: {people: 0, per lot: 60 s}}}
  second: {does: {saw: {people: 0, per lot: 66 s}}}
handling: {pick up: 0, put down: 0}
projects: {box: {pieces: 1, route: [cut]}}
orders: [{project: box}]
layouts: {one spot: {distances: 0}}
candidates:
  second: {layout: one spot, change: {projects: {box: {route: [saw]}}}}
",
    )
}

#[test]
fn the_answer_changes_as_often_as_it_must() {
    let study = saws();
    let x = 1.1f64.ln() / 1.2f64.ln();
    let probability = (2.0 - x).powi(2) / 8.0;
    let found = found(&study);
    assert_eq!((found.draws, found.replications), (DRAWS, 1));
    assert_eq!(found.lead_time[0].best + found.lead_time[1].best, DRAWS);
    let sd = |n: f64| (probability * (1.0 - probability) / n).sqrt();
    let share = f64::from(found.lead_time[1].best) / f64::from(DRAWS);
    println!("{share} for {probability}");
    assert!((share - probability).abs() < 4.0 * sd(f64::from(DRAWS)));
    // Nobody walks anywhere, so both are best in every draw.
    assert_eq!(best(&found.walking), [DRAWS, DRAWS]);
    // The same of many draws, without playing.
    let n = 20_000;
    let time = |candidate: usize, draw| {
        let shop = doubted(&study, candidate, SHARE, 1, draw);
        works(&shop)[0].per_lot.as_ref().expect("a time").mean()
    };
    let faster = (0..n).filter(|&draw| time(1, draw) < time(0, draw)).count() as f64;
    let share = faster / f64::from(n);
    println!("{share} for {probability}");
    assert!((share - probability).abs() < 4.0 * sd(f64::from(n)));
}

/// The same cut twice, with a time of its own each; the candidate leaves the first out. It must be faster in every draw.
const A_STEP_LESS: &str = "title: A step less
stations:
  rack: {}
  saw: {does: {cut: {per piece: 1 min}}}
projects:
  box:
    pieces: 1
    material at: rack
    route: [{op: cut, per piece: 30 s}, {op: cut, per piece: 20 min}, cut]
orders: [{project: box}]
layouts: {one: {distances: {rack: {saw: 3 m}}}}
candidates:
  less: {layout: one, change: {projects: {box: {route: [{op: cut, per piece: 20 min}, cut]}}}}
";

#[test]
fn a_step_taken_out_is_faster_in_every_draw() {
    let found = found(&study(A_STEP_LESS));
    assert_eq!(best(&found.lead_time), [0, DRAWS]);
}

/// One time, given for the operation and needed at one station or the other: nothing tells the candidates apart.
#[test]
fn one_time_at_two_stations_is_off_by_the_same() {
    let found = found(&study(
        "title: Two stations
stations: {rack: {}, first: {does: {sand: {}}}, second: {does: {sand: {}}}}
operations: {sand: {per piece: 1 min}}
projects: {box: {pieces: 4, material at: rack, route: [{op: sand, on: first}]}}
orders: [{project: box}]
layouts: {one: {distances: {rack: {first: 3 m, second: 3 m}, first: {second: 1 m}}}}
candidates:
  second: {layout: one, change: {projects: {box: {route: [{op: sand, on: second}]}}}}
",
    ));
    assert_eq!(best(&found.lead_time), [DRAWS, DRAWS]);
    assert_eq!(best(&found.walking), [DRAWS, DRAWS]);
}

#[test]
fn candidates_that_tie_are_said_to_tie() {
    let text = "title: Ties
stations: {rack: {}, saw: {does: {cut: {per piece: 1 min}}}}
projects: {box: {pieces: 4, material at: rack, route: [cut]}}
orders: [{project: box}]
layouts: {one: {distances: {rack: {saw: 3 m}}}}
candidates:
  b: {layout: one}
  c: {layout: one, change: {stations: {saw: {does: {cut: {per piece: 50 s}}}}}}
  d: {layout: one, change: {stations: {saw: {does: {cut: {per piece: 50 s}}}}}}
";
    let study = study(text);
    let found = found(&study);
    assert_eq!(best(&found.walking), [DRAWS; 4]);
    assert_eq!(best(&found.lead_time), [0, 0, DRAWS, DRAWS]);
    let findings = run(&study, 0, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"));
    assert_eq!(
        answer(&findings, &found),
        "If every time that you gave may be off by 20 %, each by itself, all 4 layouts tie for the least walking \
         in 100 of 100 draws, and \"c\" and \"d\" tie for the shortest lead time in 100."
    );
}

#[test]
fn threads_change_nothing() {
    let text = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/class.yaml"));
    let study = study(&String::from_utf8(text.expect("readable")).expect("UTF-8"));
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let played = AtomicU64::new(0);
        let found = pool.install(|| {
            doubt(&study, SHARE, &|by| {
                played.fetch_add(by, Ordering::Relaxed);
            })
        });
        assert_eq!(played.into_inner(), doubt_replications(&study));
        found.expect("it does not get stuck")
    };
    assert_eq!(with(1), with(3));
}

fn compare(more: &[&str], file: &str) -> std::process::Output {
    let file = format!("{}/{file}", env!("CARGO_MANIFEST_DIR"));
    Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["compare", "--no-charts", "--quiet", &file])
        .args(more)
        .output()
        .expect("the program runs")
}

#[test]
fn the_command_says_in_how_many_draws() {
    let file = "scenarios/carved-chest.yaml";
    let output = compare(&["--doubt", "20 %"], file);
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(
        text.contains("If every time that you gave may be off by 20 %"),
        "{text}"
    );
    let output = compare(&["--doubt", "20%", "--json", "-"], file);
    let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(data["doubt"]["share"], 0.2);
    assert_eq!(data["doubt"]["draws"], 100);
    let of: Vec<(&str, u64)> = (data["doubt"]["candidates"].as_array().expect("a list"))
        .iter()
        .map(|c| {
            (
                c["name"].as_str().unwrap(),
                c["shortest_lead_time"].as_u64().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        of,
        [
            ("as it is", 0),
            ("second carving machine", 0),
            ("glue that sets in half the time", 100)
        ]
    );
    let without = compare(&["--json", "-"], file);
    let data: Value = serde_json::from_slice(&without.stdout).expect("JSON");
    assert_eq!(data.get("doubt"), None);
}

#[test]
fn what_is_no_doubt_is_refused() {
    for (wrong, why) in [
        ("20", "a percentage such as 20%"),
        ("0%", "more than 0%"),
        ("-5%", "more than 0%"),
        ("NaN%", "more than 0%"),
        ("100.1%", "at most 100%"),
        ("much", "a percentage such as 20%"),
    ] {
        let output = compare(&[&format!("--doubt={wrong}")], "scenarios/minimal.yaml");
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        assert!(errors.contains(why), "{wrong}: {errors}");
    }
    let alone = compare(&["--doubt", "20%"], "tests/data/bench/flow-fixed.yaml");
    assert_eq!(alone.status.code(), Some(2));
    let errors = String::from_utf8_lossy(&alone.stderr).into_owned();
    assert!(errors.contains("there is only one"), "{errors}");
}
