//! What is wrong with the hours of people, and with quiet and rested times, is said where it stands.

use super::refused::said;
use crate::stops::refused::says;

const SATURDAYS: &str = "sessions: [{days: [sat], open: \"9:00\", close: \"16:00\"}]";

fn crew(hours: &str) -> String {
    said(
        &format!("crew: {{maker: {{}}, helper: {{hours: {hours}}}}}"),
        SATURDAYS,
    )
}

#[test]
fn hours_that_make_no_sense_are_named_at_their_place() {
    says(
        &crew("[{days: [sat], open: \"10:00\", close: \"12:00\"}]"),
        &["loaded"],
    );
    says(
        &crew("[]"),
        &[
            "there are no hours, so this person is never there",
            "x.yaml:7:28",
            "leave `hours` out",
        ],
    );
    says(
        &crew("[{days: [sat], open: \"12:00\", close: \"10:00\"}]"),
        &["this person would go before they come", "they come here"],
    );
    says(
        &crew("[{days: [sat], open: \"10:00\", close: \"12:00\", set up: 5 min}]"),
        &["`set up` is not a key of a person's hours"],
    );
    says(
        &crew(
            "[{days: [sat], open: \"10:00\", close: \"12:00\"}, {days: [sat], open: \"11:00\", close: \"13:00\"}]",
        ),
        &["these hours overlap others on sat"],
    );
    says(
        &crew("[{days: [sun], open: \"10:00\", close: \"12:00\"}]"),
        &[
            "warning: `helper` is never there while the shop is open",
            "x.yaml:7:28",
        ],
    );
}

/// What is said of a shop with a bench and a planer, with keys of the planer, of its work, of the crew and of the sessions.
fn shop(planer: &str, work: &str, crew: &str, sessions: &str) -> String {
    let yaml = format!(
        "title: x\nstations: {{bench: {{does: {{sand: {{per lot: 1 min}}}}}}, planer: {{{planer}does: {{plane: {{{work}}}}}}}}}\n\
         projects: {{box: {{route: [plane, sand]}}}}\norders: [{{project: box}}]\nlayouts: {{spot: {{distances: 0}}}}\n\
         crew: {crew}\nsessions: {sessions}\n"
    );
    match shopstride::scenario::load("x.yaml", yaml.as_bytes()) {
        Ok(loaded) => match loaded.warnings.render(false) {
            none if none.trim().is_empty() => "loaded".to_owned(),
            warnings => warnings,
        },
        Err(problems) => problems.render(false),
    }
}

const EVENING: &str = "{when: [{days: [tue], open: \"19:00\", close: \"22:00\"}], quiet: {from: \"21:00\", to: \"8:00\"}}";
const LATE: &str = "[{days: [tue], open: \"19:00\", close: \"22:00\"}]";
const NIGHT: &str = "{when: [{days: [tue], open: \"21:30\", close: \"22:00\"}], quiet: {from: \"21:00\", to: \"8:00\"}}";

#[test]
fn work_for_which_nobody_is_there_while_it_may_be_done_is_refused() {
    let plane = "per lot: 1 h";
    says(
        &shop("loud: true, ", plane, "{maker: {}}", EVENING),
        &["loaded"],
    );
    says(
        &shop("loud: true, ", plane, "{maker: {}}", NIGHT),
        &[
            "`plane` of `box` can never be begun",
            "nobody who can do it is ever there while `planer` may be run",
            "x.yaml:4:",
            "change `hours` under `crew`, `sessions`, `quiet` or `rested`",
        ],
    );
    let apart = "{ann: {hours: [{days: [tue], open: \"19:00\", close: \"20:00\"}]}, bob: {hours: [{days: [tue], open: \"20:00\", close: \"22:00\"}]}}";
    says(&shop("", plane, apart, LATE), &["loaded"]);
    says(
        &shop("", "per lot: 1 h, people: 2", apart, LATE),
        &[
            "`plane` of `box` can never be begun",
            "so many as it takes (2) are never there at the same time while the shop is open",
        ],
    );
    // Two hours until it has to be quiet.
    let long = |time: &str| format!("per lot: {time}, pausable: false");
    says(
        &shop("loud: true, ", &long("2 h"), "{maker: {}}", EVENING),
        &["loaded"],
    );
    says(
        &shop("loud: true, ", &long("121 min"), "{maker: {}}", EVENING),
        &["`plane` of `box` takes 2.0 h and is not to be paused"],
    );
    says(
        &shop(
            "loud: true, ",
            "per lot: 1 h, people: 0, after hours: true",
            "{maker: {}}",
            EVENING,
        ),
        &["`plane` of `box` goes on after hours, but `planer` is not to run at some times"],
    );
}

/// Ann is there for 2 of 3 hours: planing that is expected to take 2.9 h waits for the maker, who is there for all 3.
#[test]
fn a_helper_for_whom_all_work_takes_too_long_is_told_of() {
    let ann = |can: &str| {
        format!(
            "ann: {{can: [{can}], hours: [{{days: [tue], open: \"19:00\", close: \"21:00\"}}]}}"
        )
    };
    let with_maker = |can: &str| format!("{{maker: {{}}, {}}}", ann(can));
    says(
        &shop("", "per lot: 174 min", &with_maker("plane"), LATE),
        &[
            "warning: nothing that `ann` can do is expected to end while `ann` is there",
            "x.yaml:6:19",
            "there for 2.0 h at a time",
            "`plane` of `box` takes 2.9 h, and so it waits for others",
        ],
    );
    // She does what takes no longer than she is there, other work besides, and what nobody else is there for longer to do.
    for (work, crew) in [
        ("per lot: 2 h", with_maker("plane")),
        ("per lot: 174 min", with_maker("plane, sand")),
        ("per lot: 174 min, people: 0", with_maker("plane")),
        (
            "per lot: 174 min",
            format!("{{maker: {{can: [sand]}}, {}}}", ann("plane")),
        ),
    ] {
        says(&shop("", work, &crew, LATE), &["loaded"]);
    }
}

#[test]
fn silences_that_make_no_sense_are_named_at_their_place() {
    let of = |more: &str| {
        let sessions =
            format!("{{when: [{{days: [tue], open: \"19:00\", close: \"22:00\"}}], {more}}}");
        shop(
            "loud: true, blade: true, ",
            "per lot: 1 min",
            "{maker: {}}",
            &sessions,
        )
    };
    says(&of("rested: {no blades after: \"21:30\"}"), &["loaded"]);
    says(
        &of("quiet: {from: \"21:00\", to: \"21:00\"}"),
        &[
            "quiet time would never end",
            "from: \"21:00\", to: \"8:00\"",
        ],
    );
    says(
        &of("quiet: {from: \"21:00\"}"),
        &["the quiet time needs `to`"],
    );
    says(
        &of("quiet: {from: late, to: \"8:00\"}"),
        &["`late` is no time of day"],
    );
    says(
        &of("rested: {after: \"21:00\"}"),
        &["`after` is not a key of rested work"],
    );
    says(
        &shop("loud: yes, ", "per lot: 1 min", "{maker: {}}", EVENING),
        &["`yes` is neither true nor false"],
    );
    says(
        &shop(
            "loud: true, ",
            "per lot: 1 min",
            "{maker: {}}",
            "{when: [{days: [tue], open: \"19:00\", close: \"22:00\"}], rested: {no blades after: \"21:30\"}}",
        ),
        &["warning: `rested` has no effect: no station has `blade: true`"],
    );
}

#[test]
fn a_rule_for_cures_that_is_none_is_named_with_those_that_are() {
    says(
        &said("rules: {cures: last in a session}", SATURDAYS),
        &["loaded"],
    );
    says(
        &said("rules: {cures: last}", SATURDAYS),
        &["`last` is none of like other work, last in a session"],
    );
}
