//! What an answer says of people who can do the same, of ties, of overload and of what would help, and that no figure in
//! it contradicts another: small shops reckoned by hand.

use shopstride::experiment::{Changes, Edit, quick_look, relieve, run};

use crate::first_minute::{line, said};
use crate::support::{data, study, yaml_files};

const RUN: [&str; 2] = ["run", "--quiet"];
const COMPARE: [&str; 3] = ["compare", "--quiet", "--no-charts"];
const DETAILS: [&str; 3] = ["run", "--quiet", "--details"];

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Ten trays of 3, 5 and 4 min at three machines, by three people: done after 57 min. The drill is in use 50 of these,
/// and the people 120 of 171.
fn three_pupils(crew: &str) -> String {
    format!(
        "title: Trays
stations:
  saw: {{does: {{cut: {{per lot: 3 min}}}}}}
  drill: {{does: {{bore: {{per lot: 5 min}}}}}}
  bench: {{does: {{sand: {{per lot: 4 min}}}}}}
crew: {{{crew}}}
handling: {{pick up: 0, put down: 0}}
projects: {{tray: {{pieces: 1, route: [cut, bore, sand]}}}}
orders: [{{project: tray, count: 10}}]
layouts: {{line: {{distances: 0}}}}
"
    )
}

const NAMED: &str = "Ana: {can: [cut, bore, sand], starts at: saw}, Ben: {starts at: drill}, Cem: {can: [sand, bore, cut], \
                     starts at: bench}";

/// Whoever is named first in the file does most; what they are called and where they start does not
/// make them another bottleneck.
#[test]
fn people_who_can_do_the_same_are_one_whatever_they_are_called() {
    let of = |crew: &str| {
        let findings = run(&study(&three_pupils(crew)), 0, &|_| ()).expect("not stuck");
        findings.candidates.into_iter().next().expect("one")
    };
    for (crew, name) in [(NAMED, "Ana, Ben and Cem"), ("pupil: {count: 3}", "pupil")] {
        let found = of(crew);
        let busiest = found.bottleneck.as_ref().expect("it works");
        assert_eq!(busiest.name, "drill", "{crew}");
        assert!((busiest.utilisation - 50.0 / 57.0).abs() < 1e-9);
        let groups = found.groups();
        assert_eq!(groups.len(), 1, "{crew}");
        assert!(groups[0].iter().all(|person| person.group == name));
        let busy: f64 = groups[0].iter().map(|person| person.utilisation).sum();
        assert!((busy / 3.0 - 120.0 / 171.0).abs() < 1e-9, "{crew}: {busy}");
    }
    let study = study(&three_pupils(NAMED));
    let changes = Changes::of(&study.candidates[0]);
    let people = changes
        .tried
        .iter()
        .filter(|trial| matches!(trial.edit, Edit::OneMorePerson(_)));
    let people: Vec<Option<&str>> = people.map(|trial| trial.resource.as_deref()).collect();
    assert_eq!(people, [Some("Ana, Ben and Cem")]);
    // Who can do less is somebody else.
    let less = of("Ana: {can: [cut]}, Ben: {}, Cem: {}");
    assert_eq!(less.groups().len(), 2);
}

fn grinder(orders: &str, run: &str) -> String {
    format!(
        "title: Queue
stations: {{grinder: {{does: {{grind: {{per lot: {{exponential: 12 min}}}}}}}}}}
crew: {{pupil: {{}}}}
projects: {{chisel: {{pieces: 1, route: [grind]}}}}
orders: [{{project: chisel, {orders}}}]
layouts: {{chance: {{distances: 0}}}}
candidates: {{two of both: {{layout: chance, change: {{stations: {{grinder: {{count: 2}}}}, crew: {{pupil: {{count: 2}}}}}}}}}}
run: {{seed: 7, {run}}}
"
    )
}

/// A machine and the one who works at it are busy as long, but for the rounding of sums over the runs.
#[test]
fn a_machine_and_who_works_at_it_tie_whatever_the_rounding() {
    for seed in 1..=20 {
        let shop = grinder(
            "every: {exponential: 15 min}",
            "replications: 20, until: 50 h",
        );
        let shop = shop.replace("seed: 7", &format!("seed: {seed}"));
        for (layout, you) in [
            ("chance", "and you are busy as long."),
            (
                "two of both",
                "and the 2 people called \"pupil\" are busy as long.",
            ),
        ] {
            let text = said(&[&RUN[..], &["--layout", layout]].concat(), &shop);
            let busiest = line(&text, "Busiest").expect("it works");
            assert!(
                busiest.starts_with("The grinder is the busiest in"),
                "{busiest}"
            );
            assert!(busiest.ends_with(you), "{busiest}");
        }
    }
}

/// One more of both saves most: they are several. What is told of it is a quick look at a few changes alone: further from
/// what trying everything finds than chance moves it is none of it.
#[test]
fn what_would_help_agrees_with_the_whole_experiment() {
    let shop = grinder(
        "every: {exponential: 15 min}",
        "replications: 2000, until: 100 h",
    );
    let study = study(&shop);
    let findings = run(&study, 0, &|_| ()).expect("not stuck");
    let quick = quick_look(&study, 0, &findings).expect("something to try");
    let all = relieve(&study, 0, Changes::of(&study.candidates[0]), &|_| ()).expect("not stuck");
    assert!(!quick.list.is_empty());
    for relief in &quick.list {
        let whole = all.list.iter().find(|other| other.trial == relief.trial);
        let whole = whole.expect("everything is tried");
        let [quick, whole] =
            [relief, whole].map(|relief| relief.lead_time.expect("orders are done").difference);
        assert!(quick.n <= 200 && whole.n == 2000, "{quick:?} {whole:?}");
        let apart = (quick.mean - whole.mean).abs();
        assert!(apart <= quick.reach(), "{quick:?} {whole:?}");
    }
    let help = line(&said(&RUN, &shop), "Would help").expect("something helps");
    assert!(
        help.starts_with("One more grinder and one more person save about "),
        "{help}"
    );
}

/// 11 % more orders come than can be ground, in each of so few runs that growth itself is not shown.
#[test]
fn an_overload_is_told_after_a_few_runs() {
    for replications in [20, 50] {
        for seed in 1..=10 {
            let run = format!("replications: {replications}, until: 200 h");
            let shop = grinder("every: {exponential: 10.8 min}", &run)
                .replace("seed: 7", &format!("seed: {seed}"));
            let findings = shopstride::experiment::run(&study(&shop), 0, &|_| ());
            let found = &findings.expect("not stuck").candidates[..];
            assert!(
                found[0].overload.is_some(),
                "{replications} runs, seed {seed}"
            );
            assert!(
                found[1].overload.is_none(),
                "{replications} runs, seed {seed}"
            );
        }
    }
    let shop = grinder(
        "every: {exponential: 10.8 min}",
        "replications: 20, until: 200 h",
    );
    let text = said(&RUN, &shop);
    let overload = line(&text, "Overload").expect("it is told");
    assert!(
        overload.contains("Grinder (99 %) and you (99 %) are in use"),
        "{overload}"
    );
    // 60 / 10.8 = 5.56 an hour come, and at most 60 / 12 = 5 are done.
    let flow = line(&text, "Flow").expect("orders are done");
    assert!(
        flow.contains("; 5.5") && flow.contains(" an hour come and 4.9"),
        "{flow}"
    );
    let busy = grinder(
        "every: {exponential: 15 min}",
        "replications: 20, until: 200 h",
    );
    let flow = line(&said(&RUN, &busy), "Flow").expect("orders are done");
    assert!(!flow.contains("come"), "{flow}");
}

/// One order in 46 h that takes 46 h: 0.0217 an hour, in three digits.
#[test]
fn small_rates_have_three_digits() {
    let slow = "title: Slow
stations: {bench: {does: {sand: {per lot: 46 h}}}}
projects: {box: {route: [sand]}}
orders: [{project: box}]
layouts: {here: {distances: 0}}
";
    let text = said(&DETAILS, slow);
    assert!(flat(&text).contains("done (λ) 0.0217 /h"), "{text}");
}

/// Two parts by one person at two machines: what waits for a machine waits for who is at it. With a second person it may
/// be the machine.
#[test]
fn one_person_is_what_is_waited_for() {
    let shop = |crew: &str| {
        format!(
            "title: Parts
stations: {{saw: {{does: {{cut: {{per lot: 10 min}}}}}}, bench: {{does: {{fit: {{per lot: 1 min}}}}}}}}
crew: {{{crew}}}
projects: {{box: {{parts: {{side: {{material at: saw, route: [cut]}}, lid: {{material at: saw, route: [cut]}}}}, \
             assemblies: {{case: {{made of: [side, lid], route: [fit]}}}}}}}}
orders: [{{project: box}}]
layouts: {{here: {{distances: 0}}}}
"
        )
    };
    let alone = said(&DETAILS, &shop("maker: {}"));
    let takes = line(&alone, "Takes").expect("it is done");
    assert!(takes.contains("waiting for you"), "{takes}");
    assert!(!takes.contains("station"), "{takes}");
    let two = said(&DETAILS, &shop("maker: {count: 2}"));
    let takes = line(&two, "Takes").expect("it is done");
    assert!(takes.contains("waiting for a station in use"), "{takes}");
    assert!(
        flat(&two).contains("`bottleneck` says whether one more would help."),
        "{two}"
    );
}

/// The busiest is called so, since what holds the work up is what one more of helps.
#[test]
fn nothing_is_called_the_bottleneck_for_being_busy() {
    for path in yaml_files("scenarios") {
        let name = path
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        if !["garage", "minimal", "class"].contains(&&name[..]) {
            continue;
        }
        let scenario = std::fs::read_to_string(&path).expect("readable");
        for command in [&DETAILS[..], &[&COMPARE[..], &["--details"]].concat()] {
            let text = flat(&said(command, &scenario));
            assert!(text.contains(" the busiest in "), "{text}");
            assert!(!text.contains("the bottleneck in"), "{text}");
        }
    }
}

/// Legs are cut, shaped and cut again; see `relief_untried` for what each rule does.
#[test]
fn without_due_dates_nothing_goes_by_them() {
    let shop = |due: &str| {
        format!(
            "title: Stools
stations: {{saw: {{does: {{cut: {{per lot: 10 min}}}}}}, bench: {{does: {{shape: {{per lot: 10 min}}}}}}}}
handling: {{pick up: 0, put down: 0}}
crew: {{maker: {{count: 2}}}}
projects:
  stool:
    parts:
      leg: {{pieces: 4, material at: saw, route: [cut, shape, cut]}}
      seat: {{pieces: 1, material at: saw, route: [cut]}}
    assemblies: {{set: {{made of: [leg, seat]}}}}
orders: [{{project: stool, count: 2{due}}}]
layouts: {{one spot: {{distances: 0}}}}
"
        )
    };
    let quick = ["bottleneck", "--quiet"];
    let free = said(&quick, &shop(""));
    assert!(free.contains("queue: oldest order first"), "{free}");
    assert!(!free.contains("due date"), "{free}");
    let due = said(&quick, &shop(", due: 50 min"));
    assert!(due.contains("queue: earliest due date first"), "{due}");
    assert!(!due.contains("oldest order"), "{due}");
}

/// A second bench makes the two stools' legs late and so fewer stools are done: both are harm.
#[test]
fn two_harms_are_joined_by_and() {
    let stools = data("two_harms.yaml");
    let unexpected = line(&said(&["bottleneck", "--quiet"], &stools), "Unexpected");
    let unexpected = unexpected.expect("one more bench does harm");
    assert!(
        unexpected.starts_with("One more bench adds "),
        "{unexpected}"
    );
    assert!(
        unexpected.contains(" %), and throughput falls by "),
        "{unexpected}"
    );
}

/// Where nobody feeds anything there is no feed to be kept, and no blade but at a saw; what two changes have in common
/// is said once.
#[test]
fn what_saves_time_goes_by_what_is_done_there() {
    let help = |first: &str, second: &str| {
        let shop = format!(
            "title: Two stations
stations:
  {first}: {{does: {{one: {{setup: 12 min, per lot: 3 min}}}}}}
  {second}: {{does: {{two: {{per lot: 30 min}}}}}}
projects: {{box: {{pieces: 1, route: [one, two]}}}}
orders: [{{project: box}}]
layouts: {{here: {{distances: 0}}}}
"
        );
        line(&said(&RUN, &shop), "Would help").expect("something helps")
    };
    let by_hand = help("peg board", "bench");
    assert!(
        by_hand.ends_with(" Jigs and stops do that, never haste."),
        "{by_hand}"
    );
    assert_eq!(by_hand.matches("Jigs").count(), 1, "{by_hand}");
    assert!(
        by_hand.contains("No setup at the peg board saves 12 min"),
        "{by_hand}"
    );
    let drilled = help("drill press", "bench");
    assert!(
        drilled.ends_with(" never a faster feed.") && !drilled.contains("blade"),
        "{drilled}"
    );
    let sawn = help("bench", "table saw");
    assert!(
        sawn.ends_with(" Jigs, stops and a sharp blade do that, never a faster feed."),
        "{sawn}"
    );
}

/// Of nine clamps half as many again are five more: a half is rounded up.
#[test]
fn half_as_many_again_is_counted() {
    let shop = "title: Panels
stations: {table: {count: 4, does: {glue: {per lot: 5 min, gear: {clamps: 3}, cure: {time: 5 h, ties up: [clamps]}}}}}
gear: {clamps: {count: 9, stored at: table}}
projects: {panel: {pieces: 1, route: [glue]}}
orders: [{project: panel, count: 8}]
layouts: {cellar: {distances: 0}}
";
    let text = flat(&said(&["bottleneck", "--quiet"], shop));
    assert!(
        text.contains("50 % more clamps (9 → 14): they save"),
        "{text}"
    );
}

/// The cast sets for 3 h by itself, and the lid, which is carried 1 m, is ready long before: no walk matters.
#[test]
fn what_walking_cannot_change_has_no_figure() {
    let shop = "title: Boxes
stations: {rack: {}, mould: {does: {cast: {per lot: 3 h, people: 0}}}, bench: {does: {plane: {per lot: 10 min}}}}
projects:
  box:
    parts: {cast: {material at: mould, route: [cast]}, lid: {material at: rack, route: [plane]}}
    assemblies: {box: {made of: [cast, lid]}}
orders: [{project: box}]
layouts: {here: {distances: {rack: {bench: 1 m, mould: 1 m}, bench: {mould: 1 m}}}}
";
    let walking = line(&said(&["bottleneck", "--quiet"], shop), "Walking");
    assert_eq!(
        walking.expect("it is asked"),
        "Walking does not visibly hold the work up, so no layout is likely to help."
    );
}
