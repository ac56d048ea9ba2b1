//! The sentences of the answers, each on findings made by hand, word by word.

mod of_times;

use shopstride::experiment::{
    CandidateFindings, Comparison, Findings, PersonFindings, ProjectFindings, ProjectSelection,
    Resource, ResourceKind,
};
use shopstride::report::{answer, tables};
use shopstride::statistics::{Estimate, Histogram, Paired, Selection};

use crate::charts::fixtures::{SMALL, Size, findings, nothing};

fn estimate(mean: f64, half_width: Option<f64>) -> Estimate {
    Estimate {
        mean,
        half_width,
        interval: half_width.map(|half_width| (mean - half_width, mean + half_width)),
        n: 200,
        level: 0.95,
    }
}

fn difference(base_mean: f64, mean: f64, half_width: Option<f64>) -> Paired {
    let difference = estimate(mean, half_width);
    Paired {
        base_mean,
        difference,
        percent: (base_mean > 0.0).then(|| difference.scaled(100.0 / base_mean)),
    }
}

fn project(name: &str) -> ProjectFindings {
    ProjectFindings {
        name: name.to_owned(),
        orders_done: 4.0,
        lead_time: Some(estimate(7_200.0, None)),
        lead_times: Histogram::new(),
        walking_per_order: None,
        hands_on_per_order: None,
        lead_time_split: None,
        hours: None,
    }
}

/// So many metres are walked for four orders, at 1 m/s by one person.
fn walks(found: &mut CandidateFindings, metres: f64) {
    found.walking = estimate(metres, Some(4.0));
    found.crew.truncate(1);
    found.crew[0].walking = metres;
    found.bottleneck = None;
    found.projects = vec![project("end table")];
}

/// Two candidates, of which the base walks 1200 m in 4 orders of 2 h hands-on work each, and the other so much more.
fn compared(more: f64, half_width: f64) -> Findings {
    let mut findings = findings(&SMALL);
    for (found, metres) in findings
        .candidates
        .iter_mut()
        .zip([1_200.0, 1_200.0 + more])
    {
        walks(found, metres);
        found.hands_on = 4.0 * 7_200.0;
    }
    findings.comparisons = vec![Comparison {
        base: 0,
        other: 1,
        walking: difference(1_200.0, more, Some(half_width)),
        lead_time: None,
        projects: Vec::new(),
        completion: None,
    }];
    findings
}

const CHANCE: &str = "Intervals cover chance only, not errors in the times you entered.";

#[test]
fn what_a_layout_saves_is_said_of_one_order() {
    assert_eq!(
        answer::compare(&compared(-300.0, 12.0)),
        format!(
            "\"Working order\" saves 75.0 m of walking per end table compared with \"As it grew\": 225 m instead of 300 m \
             (25 % less, 95 % interval 24 to 26 %). That is 75.0 s of 120 min hands-on work. {CHANCE}"
        )
    );
}

#[test]
fn what_a_layout_takes_more_is_said_of_that_layout() {
    assert_eq!(
        answer::compare(&compared(300.0, 12.0)),
        format!(
            "\"Working order\" takes 75.0 m more walking per end table than \"As it grew\": 375 m instead of 300 m (25 % \
             more, 95 % interval 24 to 26 %). {CHANCE}"
        )
    );
}

#[test]
fn orders_of_several_kinds_are_told_by_the_run() {
    let mut findings = compared(-300.0, 12.0);
    findings.candidates[1].orders_done = 3.0;
    let answer = answer::compare(&findings);
    let start = "\"Working order\" saves 300 m of walking in one run compared with \"As it grew\": 900 m instead of 1200 m";
    assert!(answer.starts_with(start), "{answer}");
}

#[test]
fn no_difference_in_walking_is_said_with_its_interval() {
    assert_eq!(
        answer::compare(&compared(3.0, 12.0)),
        format!(
            "The runs show no difference in walking between \"Working order\" and \"As it grew\": 3.00 m on average, 95 % \
             interval −9.00 to 15.0 m. {CHANCE}"
        )
    );
}

#[test]
fn lead_time_is_said_of_what_is_compared_with_the_base() {
    let lead_time = |mean: f64, half_width: f64| {
        let mut findings = compared(3.0, 12.0);
        findings.comparisons[0].lead_time = Some(difference(7_200.0, mean, Some(half_width)));
        answer::compare(&findings)
    };
    let contains = |text: String, sentence: &str| assert!(text.contains(sentence), "{text}");
    contains(
        lead_time(600.0, 60.0),
        " Lead time is 10.0 min longer in \"Working order\" than in \"As it grew\" (95 % interval 9 to 11 min). ",
    );
    contains(
        lead_time(-600.0, 60.0),
        " Lead time is 10.0 min shorter in \"Working order\" than in \"As it grew\" (95 % interval 9 to 11 min). ",
    );
    contains(
        lead_time(10.0, 60.0),
        " The runs show no difference in lead time. ",
    );
}

/// Four candidates of which these are in question by walking and by lead time.
fn of_four(walking: &[usize], lead_time: &[usize]) -> String {
    let mut findings = findings(&Size {
        candidates: 4,
        ..SMALL
    });
    let selection = |in_question: &[usize]| {
        Some(Selection {
            leader: in_question[0],
            in_question: in_question.to_vec(),
            level: Some(0.95),
        })
    };
    findings.walks_least = selection(walking);
    findings.soonest = selection(lead_time);
    for found in &mut findings.candidates {
        found.bottleneck = None;
        found.projects = vec![project("end table")];
    }
    answer::compare(&findings)
}

#[test]
fn the_best_of_many_is_named_for_each_project() {
    let mut findings = findings(&Size {
        candidates: 4,
        ..SMALL
    });
    let selection = |in_question: &[usize]| {
        Some(Selection {
            leader: in_question[0],
            in_question: in_question.to_vec(),
            level: Some(0.95),
        })
    };
    for found in &mut findings.candidates {
        found.bottleneck = None;
        found.projects = vec![project("end table"), project("bench")];
    }
    findings.walks_least = selection(&[1]);
    // Over all orders together it is another one.
    findings.soonest = selection(&[1]);
    let of = |name: &str, in_question: &[usize]| ProjectSelection {
        name: name.to_owned(),
        soonest: selection(in_question),
    };
    findings.soonest_by_project = vec![of("end table", &[2]), of("bench", &[0, 3])];
    let said = answer::compare(&findings);
    let expected = "Of all 4 layouts, \"Working order\" has the least walking, \"Plan 2\" has the shortest lead time of an \
                    end table, and the shortest lead time of a bench is that of \"As it grew\" or \"Plan 3\", which cannot be \
                    told apart (95 % over all comparisons together).";
    assert!(said.contains(expected), "{said}");
}

#[test]
fn the_best_of_many_is_named_only_if_that_holds_over_all_comparisons() {
    let cases: [(&[usize], &[usize], &str); 4] = [
        (
            &[1],
            &[1],
            "Of all 4 layouts, \"Working order\" has both the least walking and the shortest lead time (95 % over all \
             comparisons together).",
        ),
        (
            &[1],
            &[0],
            "Of all 4 layouts, \"Working order\" has the least walking, and \"As it grew\" has the shortest lead time \
             (95 % over all comparisons together).",
        ),
        (
            &[0, 1, 2],
            &[0, 1, 2, 3],
            "Of all 4 layouts, the least walking is that of \"As it grew\", \"Working order\" or \"Plan 2\", which \
             cannot be told apart, and none can be said to have the shortest lead time (95 % over all comparisons \
             together).",
        ),
        (
            &[2],
            &[0, 1],
            "Of all 4 layouts, \"Plan 2\" has the least walking, and the shortest lead time is that of \"As it grew\" or \
             \"Working order\", which cannot be told apart (95 % over all comparisons together).",
        ),
    ];
    for (walking, lead_time, expected) in cases {
        let said = of_four(walking, lead_time);
        assert!(said.contains(expected), "{said}");
    }
}

#[test]
fn of_several_that_do_not_differ_from_the_base_none_is_named() {
    let said = |mean: f64| {
        let mut findings = findings(&Size {
            candidates: 3,
            ..SMALL
        });
        for compared in &mut findings.comparisons {
            compared.walking = difference(1_200.0, mean, Some(9.0));
        }
        answer::compare(&findings)
    };
    let none =
        "The runs show no difference in walking between \"As it grew\" and any other layout.";
    assert!(said(3.0).starts_with(none), "{}", said(3.0));
    let more = "The runs show no layout with less walking than \"As it grew\".";
    assert!(said(30.0).starts_with(more), "{}", said(30.0));
}

/// What is said of the bottleneck in a shop with these people.
fn bottleneck(name: &str, kind: ResourceKind, people: &[(&str, &str)]) -> String {
    let mut findings = compared(-300.0, 12.0);
    findings.candidates.truncate(1);
    let found = &mut findings.candidates[0];
    let like = found.crew[0].clone();
    let mut working_at = vec![0.0; found.stations.len()];
    working_at[4] = 7_200.0;
    let person = |&(name, group): &(&str, &str)| PersonFindings {
        name: name.to_owned(),
        group: group.to_owned(),
        walking: 1_000.0,
        handling: 1_000.0,
        working: 20_000.0,
        waiting: 6_800.0,
        working_at: working_at.clone(),
        ..like.clone()
    };
    found.crew = people.iter().map(person).collect();
    found.bottleneck = Some(Resource {
        name: name.to_owned(),
        kind,
        utilisation: 0.7639,
    });
    let said = answer::run(&findings, 0);
    let (_, rest) = said.split_once("min. ").expect("the first sentence");
    let sentence = rest.strip_suffix(&format!(" {CHANCE}"));
    sentence.expect("the last sentence").to_owned()
}

#[test]
fn the_bottleneck_is_named_as_people_would() {
    let alone = [("maker", "maker")];
    let cases = [
        (
            bottleneck("maker", ResourceKind::Person, &alone),
            "You, not a machine, are the busiest in \"As it grew\", busy 76 % of the time; work at the Bench takes 25 % \
             of your time.",
        ),
        (
            bottleneck(
                "ann",
                ResourceKind::Person,
                &[("ann", "ann"), ("bob", "bob")],
            ),
            "\"ann\", not a machine, is the busiest in \"As it grew\", busy 76 % of the time; work at the Bench takes \
             25 % of the time of ann.",
        ),
        (
            bottleneck(
                "student",
                ResourceKind::Person,
                &[("student 1", "student"), ("student 2", "student")],
            ),
            "The 2 people called \"student\", not a machine, are the busiest in \"As it grew\", busy 76 % of the time; \
             work at the Bench takes 25 % of their time.",
        ),
        (
            bottleneck(
                "ann and bob",
                ResourceKind::Person,
                &[("ann", "ann and bob"), ("bob", "ann and bob")],
            ),
            "\"ann\" and \"bob\", who can do the same work, and not a machine, are the busiest in \"As it grew\", busy \
             76 % of the time; work at the Bench takes 25 % of their time.",
        ),
        (
            bottleneck("drill press", ResourceKind::Station, &alone),
            "The drill press is the busiest in \"As it grew\", in use 76 % of the time.",
        ),
        (
            bottleneck("glue up tables", ResourceKind::Station, &alone),
            "The glue up tables are the busiest in \"As it grew\", in use 76 % of the time.",
        ),
        (
            bottleneck("clamps", ResourceKind::Gear, &alone),
            "The clamps are the busiest in \"As it grew\", 76 % of them in use on average.",
        ),
    ];
    for (said, expected) in cases {
        assert_eq!(said, expected);
    }
}

#[test]
fn one_candidate_is_told_by_walking_and_lead_time() {
    let mut findings = compared(-300.0, 12.0);
    findings.candidates.truncate(1);
    findings.comparisons.clear();
    assert_eq!(
        answer::run(&findings, 0),
        format!(
            "In \"As it grew\", the crew walks 1200.0 ± 4.0 m (20.0 min) of 8.00 h hands-on time; the mean lead time of an \
             end table is 120.0 ± 5.0 min. {CHANCE}"
        )
    );
    assert!(
        answer::compare(&findings)
            .starts_with("\"As it grew\", the only layout, takes 1200.0 ± 4.0 m of walking. ")
    );
    findings.candidates[0].lead_time = None;
    let said = answer::run(&findings, 0);
    assert!(
        said.contains("hands-on time; no order is finished in the measured time."),
        "{said}"
    );
}

#[test]
fn what_the_figures_leave_out_is_said_last() {
    let mut findings = compared(-300.0, 12.0);
    let mut said = |change: &dyn Fn(&mut Findings)| {
        change(&mut findings);
        answer::compare(&findings)
    };
    let rough = "Intervals cover chance only, not errors in the times you entered. With only 5 runs they are rough.";
    assert!(said(&|f| f.replications = 5).ends_with(rough));
    let reached = " The wanted precision was reached after 50 runs.";
    let text = said(&|f| {
        f.replications = 50;
        f.precision_reached = Some(true);
    });
    assert!(text.ends_with(reached), "{text}");
    let text = said(&|f| f.precision_reached = Some(false));
    assert!(
        text.ends_with(" The wanted precision was not reached within 50 runs."),
        "{text}"
    );
    let text = said(&|f| f.replications = 1);
    let chance = " One run says nothing about chance: another would give other figures. Ask for more, such as \
                  `--replications 30`.";
    assert!(text.ends_with(chance), "{text}");
    let text = said(&|f| f.varies = false);
    let exact = " No time in this scenario varies, so one run gives the exact result; the times you entered may still be \
                 off.";
    assert!(text.ends_with(exact), "{text}");
    let text = said(&|f| f.horizon = true);
    let covers = " Runs end at a horizon (`until`), and times from start to finish are those of finished orders only: on \
                  average 4.00 in \"As it grew\", 4.00 in \"Working order\". ";
    assert!(text.contains(covers), "{text}");
    let mut empty = nothing();
    empty.candidates[0].orders_done = 0.0;
    empty.candidates[0].hands_on = 0.0;
    assert!(
        answer::compare(&empty).ends_with(
            "Nothing happened in the measured time: is the warm-up longer than the run?"
        )
    );
}

#[test]
fn the_longest_walks_are_told_with_how_many_there_are() {
    let findings = findings(&SMALL);
    let found = &findings.candidates[0];
    let all = found.legs.iter().filter(|leg| leg.metres > 0.0).count();
    let table = tables::legs(&findings, found, 2, 80).expect("somebody walks");
    let last = format!(" The 2 longest of {all} kinds of trips; --json and --csv have all.\n");
    assert!(table.ends_with(&last), "{table}");
    let whole = tables::legs(&findings, found, all, 80).expect("somebody walks");
    assert!(!whole.contains("longest of"), "{whole}");
}
