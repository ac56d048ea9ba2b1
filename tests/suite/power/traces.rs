//! What runs together, read a second time from the traces of single runs, in whole microseconds.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use serde_json::Value;

use super::files::power_in;
use crate::support::command::{done, folder, text};

/// Three people at two sanders, a saw and a planer, by chance, beside a compressor that starts by itself; `more` is the rest.
fn shop(more: &str) -> String {
    format!(
        "title: together\n\
         stations:\n\
         \x20 saw: {{motor: {{volts: 120 V, amps: 15 A}}, circuit: A, ports: [{{duct: main}}], does: {{rip: {{setup: 40 s, per piece: {{triangular: [20 s, 30 s, 70 s]}}, on in: [setup, run]}}}}}}\n\
         \x20 planer: {{motor: {{volts: 120 V, amps: 14 A}}, circuit: B, ports: [{{duct: main}}], does: {{plane: {{per piece: {{triangular: [10 s, 25 s, 30 s]}}, teardown: 20 s}}}}}}\n\
         \x20 sander: {{count: 2, motor: {{volts: 120 V, amps: 7 A}}, circuit: B, does: {{sand: {{per piece: {{exponential: 50 s}}}}}}}}\n\
         \x20 collector: {{motor: {{volts: 120 V, amps: 9 A}}, circuit: A}}\n\
         \x20 compressor: {{motor: {{volts: 120 V, amps: 12 A}}, circuit: B, automatic: true}}\n\
         dust: {{collectors: {{collector: {{run on: 7 s}}}}, mains: {{main: {{from: collector}}}}}}\n\
         power: {{circuits: {{A: {{breaker: 20 A}}, B: {{breaker: 20 A}}}}}}\n\
         crew: {{maker: {{count: 3}}}}\n\
         projects: {{box: {{parts: {{side: {{pieces: 4, route: [rip, plane, sand]}}, lid: {{pieces: 2, route: [plane, rip, sand]}}}}, assemblies: {{box: {{made of: [side, lid], route: [sand]}}}}}}}}\n\
         orders: [{{project: box, count: 4}}]\n\
         layouts: {{here: {{distances: {{saw: {{planer: 3 m, sander: 5 m, collector: 2 m, compressor: 2 m}}}}}}}}\n{more}"
    )
}

const RUNS: usize = 16;

type Times = Vec<(i64, i64)>;

/// Sessions of the calendar in microseconds, or all the time.
type Open = Vec<(i64, i64)>;

fn micros(seconds: &Value) -> i64 {
    (seconds.as_f64().expect("seconds") * 1e6).round() as i64
}

/// When each unit of each station is on, by station and unit, and the end of the run.
fn read(trace: &str, open: &Open) -> (BTreeMap<(String, i64), Times>, i64) {
    let (mut times, mut end): (BTreeMap<(String, i64), Times>, i64) = (BTreeMap::new(), 0);
    for line in trace.lines() {
        let line: Value = serde_json::from_str(line).expect("JSON");
        let what = line["what"].as_str().expect("what");
        let station = line["station"].as_str().unwrap_or_default();
        let is_on = what == "station run" || what == "station setup" && station == "saw";
        if what == "end" {
            end = micros(&line["end_s"]);
        }
        if is_on {
            let (from, until) = (micros(&line["start_s"]), micros(&line["end_s"]));
            let unit = line["unit"].as_i64().expect("a unit");
            let all = times.entry((station.to_owned(), unit)).or_default();
            let parts = open
                .iter()
                .map(|&(opens, closes)| (from.max(opens), until.min(closes)));
            all.extend(parts.filter(|(from, until)| from < until));
        }
    }
    (times, end)
}

/// What a circuit of 20 A comes to: spells, time and longest spell over the rating, the peak, and the time of each set.
#[derive(Debug, Default, PartialEq)]
struct Over {
    spells: i64,
    time: i64,
    longest: i64,
    sets: BTreeMap<Vec<String>, i64>,
}

/// Instant by instant between all beginnings and ends, each asked of every load.
fn over(loads: &BTreeMap<String, (f64, Times)>) -> (Over, f64) {
    let all = loads
        .values()
        .flat_map(|(_, times)| times)
        .flat_map(|&(from, until)| [from, until]);
    let instants: Vec<i64> = all.collect::<BTreeSet<i64>>().into_iter().collect();
    let (mut found, mut peak, mut now) = (Over::default(), 0.0_f64, 0);
    for between in instants.windows(2) {
        let (from, until) = (between[0], between[1]);
        let is_on = |times: &Times| times.iter().any(|time| time.0 <= from && from < time.1);
        let on: Vec<(&String, f64)> = loads
            .iter()
            .filter(|(_, (_, times))| is_on(times))
            .map(|(name, (amps, _))| (name, *amps))
            .collect();
        let amps: f64 = on.iter().map(|(_, amps)| amps).sum();
        peak = peak.max(amps);
        if amps <= 20.0 {
            now = 0;
            continue;
        }
        found.spells += i64::from(now == 0);
        now += until - from;
        found.time += until - from;
        found.longest = found.longest.max(now);
        let names = on.iter().map(|(name, _)| (*name).clone()).collect();
        *found.sets.entry(names).or_default() += until - from;
    }
    (found, peak)
}

/// The loads of both circuits in one run.
fn circuits(trace: &str, open: &Open) -> [BTreeMap<String, (f64, Times)>; 2] {
    let (times, end) = read(trace, open);
    let of = |station: &str, unit: i64| {
        times
            .get(&(station.to_owned(), unit))
            .cloned()
            .unwrap_or_default()
    };
    let (saw, planer) = (of("saw", 1), of("planer", 1));
    let collector: Times = saw
        .iter()
        .chain(&planer)
        .map(|&(from, until)| (from, (until + 7_000_000).min(end)))
        .collect();
    // Whichever sander it is, and both.
    let (one, other) = (of("sander", 1), of("sander", 2));
    let both = one.iter().flat_map(|one| {
        other
            .iter()
            .map(move |other| (one.0.max(other.0), one.1.min(other.1)))
    });
    let both: Times = both.filter(|(from, until)| from < until).collect();
    let any: Times = one.iter().chain(&other).copied().collect();
    let load = |name: &str, amps: f64, times: Times| (name.to_owned(), (amps, times));
    [
        BTreeMap::from([load("saw", 15.0, saw), load("collector", 9.0, collector)]),
        BTreeMap::from([
            load("planer", 14.0, planer),
            load("sander", 7.0, any),
            load("sander, both", 7.0, both),
        ]),
    ]
}

/// The names of a set as the program writes them.
fn as_told(set: &Value) -> Vec<String> {
    let names: Vec<String> = serde_json::from_value(set.clone()).expect("names");
    let mut all: Vec<String> = (names.into_iter())
        .flat_map(|name| match name.strip_prefix("2 × ") {
            Some(sander) => vec![sander.to_owned(), format!("{sander}, both")],
            None => vec![name],
        })
        .collect();
    all.sort();
    all
}

fn agrees(scenario: &str, open: &Open) {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("writable");
    let runs = RUNS.to_string();
    let told = power_in(folder.path(), "shop.yaml", &["--replications", &runs]);
    assert_eq!(told["runs"].as_u64(), Some(RUNS as u64));
    let mut sums = [Over::default(), Over::default()];
    let mut peaks = [0.0_f64; 2];
    for number in 1..=RUNS {
        let number = number.to_string();
        let arguments = [
            "run",
            "shop.yaml",
            "--quiet",
            "--replications",
            &runs,
            "--replication",
            &number,
            "--trace",
            "-",
        ];
        let trace = text(&done(&arguments, folder.path()).stdout);
        for (nth, loads) in circuits(&trace, open).iter().enumerate() {
            let (found, peak) = over(loads);
            let sum = &mut sums[nth];
            sum.spells += found.spells;
            sum.time += found.time;
            sum.longest = sum.longest.max(found.longest);
            for (set, time) in found.sets {
                *sum.sets.entry(set).or_default() += time;
            }
            peaks[nth] = peaks[nth].max(peak);
        }
    }
    assert!(sums.iter().all(|sum| sum.spells > 0), "{sums:?}");
    for ((told, sum), peak) in told["circuits"]
        .as_array()
        .expect("circuits")
        .iter()
        .zip(&sums)
        .zip(peaks)
    {
        assert_eq!(told["peak_a"].as_f64(), Some(peak));
        let over = &told["over_rating"];
        let in_all = |value: &Value| value.as_f64().expect("a figure") * RUNS as f64;
        assert!(
            (in_all(&over["spells"]) - sum.spells as f64).abs() < 1e-6,
            "{over} {sum:?}"
        );
        assert!(
            (in_all(&over["time_s"]) * 1e6 - sum.time as f64).abs() < 0.5,
            "{over} {sum:?}"
        );
        assert_eq!(micros(&over["longest_of_all_s"]), sum.longest);
        let sets: BTreeMap<Vec<String>, i64> =
            (over["combinations"].as_array().expect("sets").iter())
                .map(|set| {
                    (
                        as_told(&set["of"]),
                        (in_all(&set["time_s"]) * 1e6).round() as i64,
                    )
                })
                .collect();
        assert_eq!(sets, sum.sets);
    }
}

#[test]
fn what_runs_together_is_what_the_traces_say() {
    agrees(&shop(""), &vec![(0, i64::MAX)]);
}

/// Open for a quarter of an hour each day: work pauses overnight, with the machine off.
#[test]
fn nothing_is_on_while_the_shop_is_shut() {
    let open = "sessions: [{days: [mon, tue, wed, thu, fri, sat, sun], open: \"19:00\", close: \"19:15\"}]\n";
    let day = |number: i64| {
        let opens = (number * 24 + 19) * 3_600_000_000;
        (opens, opens + 900_000_000)
    };
    agrees(&shop(open), &(0..60).map(day).collect());
}

/// Only what begins after the warm-up and before the horizon counts.
#[test]
fn a_warm_up_and_a_horizon_cut_what_is_on() {
    let run = "run: {until: 15 min, warm up: 4 min}\n";
    agrees(&shop(run), &vec![(240_000_000, 900_000_000)]);
}
