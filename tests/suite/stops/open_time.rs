//! Glue that does not stay open as long as the work takes.

use crate::support::study;
use shopstride::floor::check;
use shopstride::report::check::told;

/// What `check` says of a top of so many boards, each taking 2 min to spread and join, where glue stays open for some time.
fn said(boards: u32, open: &str) -> Vec<String> {
    let study = study(&format!(
        "title: Glue\nroom: {{size: [6 m, 6 m]}}\n\
         stations: {{bench: {{size: [2 m, 1 m], does: {{glue: {{per lot: 1 min, per piece: 2 min, {open}}}}}}}}}\n\
         projects: {{top: {{pieces: {boards}, route: [glue]}}}}\norders: [{{project: top}}, {{project: top}}]\n\
         layouts: {{here: {{at: {{bench: [3 m, 4 m]}}}}}}\n"
    ));
    let candidate = &study.candidates[0];
    let plan = candidate.plan.as_ref().expect("it is placed");
    let findings = check::check(&candidate.shop, plan, &[], &candidate.limits);
    let told = told(&candidate.shop, plan.room.as_ref(), &findings);
    let of_glue = told.iter().filter(|told| told.rule.name() == "open time");
    of_glue
        .map(|told| {
            assert_eq!(told.subject, "bench");
            format!("{:?} {}", told.figures, told.short)
        })
        .collect()
}

/// Eight boards take 1 + 16 = 17 min, as 16 joints of 1 min after 1 min do, where glue may be 5 min open and 10 min closed:
/// two stages (worked case `glue_up_stages` of the notes on process times). Of 15 min that is more than one stage and less than two; four stages of 4.25 min
/// fit into as much, and five are needed for 4 min. What is ordered twice is said once.
#[test]
fn work_that_takes_longer_than_glue_stays_open_is_found_with_the_stages_that_would_do() {
    assert_eq!(said(8, ""), [""; 0]);
    assert_eq!(said(8, "open time: 17 min"), [""; 0]);
    let found = |open: f64, stages: u32| {
        [format!(
            "[(\"takes_s\", 1020.0), (\"open_s\", {open:?}), (\"stages\", {stages}.0)] work at bench takes longer than its open time"
        )]
    };
    assert_eq!(said(8, "open time: 15 min"), found(900.0, 2));
    assert_eq!(said(8, "open time: 4.25 min"), found(255.0, 4));
    assert_eq!(said(8, "open time: 4 min"), found(240.0, 5));
}
