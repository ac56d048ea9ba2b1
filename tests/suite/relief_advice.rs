//! What the relief experiment advises, in words and data.

use serde_json::Value;
use shopstride::engine::{Prepared, Run, simulate};
use shopstride::experiment::{Changes, Relief, Reliefs};
use shopstride::metrics::{Active, Bottlenecks};
use shopstride::report::relief::{change, resource};
use shopstride::units::{Span, Time};

use crate::relief::{is, lead_time, named, relief};
use crate::relief_untried::scenarios;
use crate::support::study;

fn bottleneck(more: &[&str], file: &str) -> std::process::Output {
    let file = format!("{}/scenarios/{file}", env!("CARGO_MANIFEST_DIR"));
    std::process::Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["bottleneck", "--quiet", "--details", &file])
        .args(more)
        .output()
        .expect("the program runs")
}

/// The busiest machine is not where a change helps: utilisation says one thing, the experiment another.
#[test]
fn the_command_advises_and_gives_every_figure() {
    let output = bottleneck(&[], "carved-chest.yaml");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    // The paragraph with all digits, whichever way it is wrapped.
    let mut paragraphs = text.split("\n\n");
    let is_advice = |paragraph: &&str| {
        let words = paragraph.split_whitespace().collect::<Vec<&str>>();
        words.join(" ").contains("What would help most")
    };
    let paragraph = paragraphs.find(is_advice).expect("a paragraph");
    let advice = paragraph
        .split_whitespace()
        .collect::<Vec<&str>>()
        .join(" ");
    assert!(
        advice.contains(
            "What would help most in \"as it is\" is halving the times at the glue-up table \
             (mostly the cure after glue lid, glue battens and glue chest): "
        ),
        "{advice}"
    );
    for part in [
        "95 % interval",
        "no walking at all",
        "The busiest is the carving machine",
        "The busiest is the carving machine, 46 % of the time; halving its times lengthens the lead time of 5.87 h by next to nothing (0.185 s,",
    ] {
        assert!(advice.contains(part), "{part} is not in: {advice}");
    }
    let words = text.split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(words.contains("Intervals cover chance only"), "{text}");
    let output = bottleneck(
        &["--json", "-", "--replications", "40", "--seed", "9"],
        "carved-chest.yaml",
    );
    let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(
        (data["replications"].as_u64(), data["seed"].as_u64()),
        (Some(40), Some(9))
    );
    assert_eq!(data["candidates"].as_array().map(Vec::len), Some(1));
    let rows = data["relief"].as_array().expect("a list");
    assert!(rows.len() > 10);
    let mut last = f64::NEG_INFINITY;
    for row in rows {
        for (figure, unit) in [
            ("lead_time", "_s"),
            ("walking", "_m"),
            ("hands_on", "_s"),
            ("throughput_per_h", ""),
        ] {
            let of = |what: &str| {
                row[figure][format!("{what}{unit}")]
                    .as_f64()
                    .expect("a number")
            };
            assert!(
                of("low") <= of("difference") && of("difference") <= of("high"),
                "{row}"
            );
        }
        let lead_time = row["lead_time"]["difference_s"].as_f64().expect("a number");
        assert!(lead_time >= last, "best first");
        last = lead_time;
        let kinds = ["station", "person", "gear", "layout", "rule"];
        assert!(
            kinds.contains(&row["kind"].as_str().expect("a kind")),
            "{row}"
        );
        assert!(row["resource"].is_string() && row["change"].is_string());
    }
    assert_eq!(rows[0]["resource"], "glue-up table");
    assert_eq!(rows[0]["change"], "times −50 %");
}

fn advice_of(yaml: &str) -> (String, Reliefs) {
    let reliefs = relief(&study(yaml));
    (shopstride::report::relief::advice(&reliefs), reliefs)
}

/// One person who stays at the saw while it has work never comes to the bench: three times as many of what is only
/// sawn, and none of what is sanded too.
#[test]
fn what_starves_a_project_is_no_help() {
    let (advice, reliefs) = advice_of(
        "title: Starved
stations:
  saw: {does: {cut: {setup: 2 min, per lot: {exponential: 8 min}}}}
  bench: {does: {sand: {per lot: {exponential: 12 min}}}}
projects: {stool: {pieces: 2, material at: saw, route: [cut, sand]}, peg: {pieces: 1, material at: saw, route: [cut]}}
orders: [{project: stool, in progress: 2}, {project: peg, in progress: 1}]
layouts: {shed: {distances: {saw: {bench: 5 m}}}}
run: {replications: 10, until: 40 h}
",
    );
    let stays = named(&reliefs, "rules", "switch station when its queue is empty");
    let stools = stays.projects[0].orders_done;
    assert!(stools.base_mean > 50.0, "{stools:?}");
    let left = stools.base_mean + stools.difference.mean;
    assert!(left < 2.0, "{left} stools are done");
    // By throughput alone it would come first.
    let most = (reliefs.list.iter())
        .max_by(|a, b| {
            let gain = |relief: &Relief| relief.throughput.difference.mean;
            gain(a).total_cmp(&gain(b))
        })
        .expect("there are changes");
    assert_eq!(
        most.throughput.difference.mean,
        stays.throughput.difference.mean
    );
    assert!(stays.is_at_a_cost() && !reliefs.list[0].is_at_a_cost());
    let costs: Vec<bool> = reliefs.list.iter().map(Relief::is_at_a_cost).collect();
    assert!(
        costs.is_sorted(),
        "what costs nobody comes first: {costs:?}"
    );
    assert!((reliefs.in_question.iter()).all(|&index| !costs[index]));
    assert!(is(&reliefs.list[0].trial, "maker", "one more"));
    assert!(
        advice.starts_with(
            "What would help most in \"shed\" is one more person who can do all that you do: "
        ),
        "{advice}"
    );
    assert!(
        advice.contains(", but fewer orders are finished of stool ("),
        "{advice}"
    );
    let table = shopstride::report::relief::reliefs(&reliefs, 220);
    let row = |change: &str| {
        let row = table.lines().find(|line| line.contains(change));
        row.expect("every change has a row").to_owned()
    };
    assert!(row("when its queue is empty").contains(", fewer stool "));
    assert!(!row("one more").contains("fewer"), "{table}");
    let data = shopstride::report::relief::json(&reliefs);
    let rows = data["relief"].as_array().expect("rows");
    let fewer = |change: &str| {
        let row = rows.iter().find(|row| row["change"] == change);
        row.expect("every change has a row")["fewer"].clone()
    };
    let change = "switch station when its queue is empty";
    assert_eq!(fewer(change), serde_json::json!(["stool"]));
    assert_eq!(fewer("one more"), serde_json::json!([]));
}

/// A chest of 60 min and three pegs of 10 min, in this order: 60, 70, 80 and 90 min; the shortest first: 90, 10, 20
/// and 30 min.
#[test]
fn whose_lead_time_gets_longer_is_said() {
    let (advice, reliefs) = advice_of(
        "title: Mixed
stations: {saw: {does: {long cut: {per lot: 60 min}, short cut: {per lot: 10 min}}}}
handling: {pick up: 0, put down: 0}
projects: {chest: {pieces: 1, route: [long cut]}, peg: {pieces: 1, route: [short cut]}}
orders: [{project: chest}, {project: peg, count: 3}]
layouts: {one spot: {distances: 0}}
",
    );
    let shortest = named(&reliefs, "rules", "queue spt");
    assert_eq!(lead_time(shortest), -2250.0);
    let of = |project: usize| shortest.projects[project].lead_time.expect("it is done");
    assert_eq!(of(0).difference.mean, 1800.0);
    assert_eq!(of(1).difference.mean, -3600.0);
    let said = "shortens the lead time of a peg of 80.0 min by 60.0 min (75 %), \
                but that of a chest is 30.0 min longer than 60.0 min.";
    assert!(advice.contains(said), "{advice}");
}

/// Two boards, of which each takes all clamps for 10 min of gluing and 60 min of setting: done after 70 and 140 min.
/// With half as many clamps again the second still waits; with another set it is done after 80 min.
#[test]
fn gear_is_missing_by_the_set() {
    let yaml = "title: Clamps
stations: {table: {does: {glue: {per lot: 10 min, gear: {clamps: 4}, cure: {time: 60 min, ties up: [clamps]}}}}}
handling: {pick up: 0, put down: 0}
gear: {clamps: {count: 4}}
projects: {board: {pieces: 1, route: [glue]}}
orders: [{project: board, count: 2}]
layouts: {one spot: {distances: 0}}
";
    let (advice, reliefs) = advice_of(yaml);
    assert_eq!(lead_time(named(&reliefs, "clamps", "50 % more")), 0.0);
    assert_eq!(
        lead_time(named(&reliefs, "clamps", "one more set")),
        -1800.0
    );
    let tried = |more: &str| {
        let changes = Changes::of(&study(more).candidates[0]);
        let sets = changes
            .tried
            .iter()
            .filter(|c| change(c.edit) == "one more set");
        sets.count()
    };
    assert_eq!(tried(yaml), 1);
    // Half as many again as 6 and 7 are 9 and 11, too few for two sets of 6; as 8 they are 12, as 12 they are 18.
    let sets = |count: u32| {
        let of_six = yaml.replace("clamps: 4", "clamps: 6");
        tried(&of_six.replace("count: 4", &format!("count: {count}")))
    };
    assert_eq!([6, 7, 8, 12].map(sets), [1, 1, 0, 0]);
    // Nobody works in most of the time at the table.
    assert!(
        advice.starts_with(
            "Of what is at hand, one more set of 4 clamps shortens the lead time of 105 min by 30.0 min (29 %). \
             What would help most in \"one spot\" is halving the times at the table (mostly the cure after glue): "
        ),
        "{advice}"
    );
    assert!(
        advice.contains("The busiest are the clamps, 100 % of them in use on average; one more set of 4 clamps would save 30.0 min."),
        "{advice}"
    );
    let table = shopstride::report::relief::reliefs(&reliefs, 80);
    assert!(table.contains("one more set (4)"), "{table}");
    let quick = yaml.replace("per lot: 10 min", "per lot: 61 min");
    assert!(!advice_of(&quick).0.contains("mostly the cure"));
}

/// People who can do the same are several, whoever is named first.
#[test]
fn people_who_can_do_the_same_are_spoken_of_as_several() {
    let shop = |crew: &str, sand: &str| {
        format!(
            "title: Alike
stations:
  saw: {{count: 4, does: {{cut: {{per lot: 10 min}}}}}}
  bench: {{count: 4, does: {{sand: {{per lot: {sand}}}}}}}
crew: {{{crew}}}
projects: {{peg: {{material at: saw, route: [cut, sand]}}}}
orders: [{{project: peg, count: 20}}]
layouts: {{shed: {{distances: 0}}}}
"
        )
    };
    let (named, counted) = ("ann: {}, bob: {}", "maker: {count: 2}");
    // Half of the work at each: half of one of them saves a quarter, a third person a third.
    let (advice, _) = advice_of(&shop(named, "10 min"));
    let best = "is one more person who can do what ann and bob do: it ";
    assert!(advice.contains(best), "{advice}");
    let busiest = "\"ann and bob\" are also the busiest, 100 % of the time.";
    assert!(advice.contains(busiest), "{advice}");
    let (advice, _) = advice_of(&shop(counted, "10 min"));
    assert!(
        advice.contains("is one more person like maker: it "),
        "{advice}"
    );
    assert!(
        advice.contains("\"maker\" is also the busiest, "),
        "{advice}"
    );
    // Nearly all of the work at the saw: half of it saves nearly half.
    let (advice, _) = advice_of(&shop(named, "1 s"));
    assert!(
        advice.contains("is halving the times at the saw: it "),
        "{advice}"
    );
    let busiest = "The busiest are ann and bob, 100 % of the time; one more person who can do what ann and bob do would ";
    assert!(advice.contains(busiest), "{advice}");
}

/// A rule that brings orders home sooner may bring home fewer of them; a hair's breadth less is not spoken of.
#[test]
fn what_a_rule_costs_in_throughput_is_said() {
    // With the hours by which throughput is told.
    for (file, hours, costs) in [
        ("worked/case-09.yaml", 1.0, true),
        ("bench/flow-fixed.yaml", 24.0, false),
    ] {
        let file = format!("../tests/data/{file}");
        let advice = String::from_utf8(bottleneck(&[], &file).stdout).expect("UTF-8");
        let advice = advice.split_whitespace().collect::<Vec<_>>().join(" ");
        let (_, free) = advice.split_once("Free of charge, ").expect("a rule");
        let output = bottleneck(&["--json", "-"], &file);
        let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let rows = data["relief"].as_array().expect("rows");
        let rule = rows.iter().find(|row| row["kind"] == "rule").expect("one");
        let less = -hours
            * rule["throughput_per_h"]["difference"]
                .as_f64()
                .expect("one");
        assert!(less > 0.0, "{file}: both rules cost something");
        let said = format!("but throughput falls by {less:.3} from ");
        assert_eq!(free.contains(&said), costs, "{file}: {free}");
        assert_eq!(free.contains("throughput falls"), costs, "{file}: {free}");
    }
}

#[test]
fn one_replication_has_no_interval_and_a_wrong_name_is_refused() {
    let output = bottleneck(&["--json", "-"], "minimal.yaml");
    let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(data["replications"], 1);
    assert_eq!(data["relief"][0]["change"], "no setup");
    assert_eq!(data["relief"][0]["lead_time"]["difference_s"], -120.0);
    assert_eq!(data["relief"][0]["lead_time"]["low_s"], Value::Null);
    let output = bottleneck(&["--layout", "fra"], "minimal.yaml");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("did you mean `far`?"));
}

/// What the scenario's own comment says: every indicator names the carving machine, and the experiment does not.
#[test]
fn indicators_may_agree_and_be_wrong() {
    let (_, study) = scenarios()
        .into_iter()
        .find(|(name, _)| name.ends_with("carved-chest.yaml"))
        .expect("it is there");
    let reliefs = relief(&study);
    let found = &reliefs.findings.candidates[0];
    let busiest = found.bottleneck.as_ref().expect("one is busiest");
    assert_eq!(busiest.name, "carving machine");
    let machine = |of: &dyn Fn(usize) -> f64| {
        let stations = 0..found.stations.len();
        let most = stations.max_by(|&a, &b| of(a).total_cmp(&of(b)));
        found.stations[most.expect("there are stations")]
            .name
            .clone()
    };
    assert_eq!(
        machine(&|s| found.stations[s].queue.mean),
        "carving machine"
    );
    let candidate = &study.candidates[0];
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let mut stations = vec![Active::default(); found.stations.len()];
    let mut others = [Active::default(); 2];
    let mut measured = Span::ZERO;
    for replication in 0..200 {
        let run = Run {
            seed: study.settings.seed,
            replication,
            until: None,
        };
        let mut bottlenecks = Bottlenecks::new(&candidate.shop, Span::ZERO);
        measured += simulate(&prepared, &run, &mut bottlenecks).expect("it ends") - Time::START;
        let of_run = bottlenecks.found();
        stations
            .iter_mut()
            .zip(&of_run.stations)
            .for_each(|(sum, of)| sum.add(of));
        others[0].add(&of_run.people[0].1);
        others[1].add(&of_run.gear[0]);
    }
    for (name, of) in (found
        .stations
        .iter()
        .map(|s| s.name.as_str())
        .chain(["maker", "clamps"]))
    .zip(stations.iter().chain(&others))
    {
        let share = |span: Span| 100.0 * span.seconds() / measured.seconds();
        let average = of.average().unwrap_or(0.0) / 60.0;
        println!(
            "{name}: {average:.1} min on average, sole {:.1} %, shifting {:.1} %",
            share(of.sole),
            share(of.shifting)
        );
    }
    assert_eq!(
        machine(&|s| stations[s].average().unwrap_or(0.0)),
        "carving machine"
    );
    assert_eq!(machine(&|s| stations[s].sole.seconds()), "carving machine");
    assert!(others.iter().all(|of| of.average() < stations[1].average()));
    assert!(others.iter().all(|of| of.sole < stations[1].sole));
    let halved = named(&reliefs, "carving machine", "times −50 %");
    // Less than a second of 5.9 hours, to the worse.
    let difference = halved.lead_time.expect("it is done").difference;
    assert!(difference.low().expect("many runs") > 0.0);
    assert!(difference.high().expect("many runs") < 1.0);
    assert_eq!(resource(&reliefs.list[0].trial), "glue-up table");
}
