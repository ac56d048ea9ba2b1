//! What is wrong with sessions is said where it stands.

/// The first line of what is said, where it points, and what would help.
pub fn said(sessions: &str, run: &str) -> String {
    let yaml = format!(
        "title: x\nstations: {{bench: {{does: {{sand: {{per lot: 1 min}}}}}}}}\nprojects: {{box: {{route: [sand]}}}}\n\
         orders: [{{project: box}}]\nlayouts: {{spot: {{distances: 0}}}}\n{run}\n{sessions}\n"
    );
    match shopstride::scenario::load("x.yaml", yaml.as_bytes()) {
        Ok(loaded) => match loaded.warnings.render(false) {
            none if none.trim().is_empty() => "loaded".to_owned(),
            warnings => warnings,
        },
        Err(problems) => problems.render(false),
    }
}

#[test]
fn every_mistake_in_a_session_is_named_at_its_place_with_what_would_be_right() {
    let cases = [
        (
            "sessions: [{days: [tue], open: \"19:00\", close: \"21:00\"}]",
            &["loaded"][..],
        ),
        (
            "sessions: [{days: [tue], open: 19:00, close: 24:00}]",
            &["loaded"][..],
        ),
        (
            "sessions: []",
            &["there is no session", "x.yaml:7:1", "leave `sessions` out"],
        ),
        (
            "sessions: evenings",
            &[
                "a list of sessions is needed, not a single value",
                "x.yaml:7:11",
            ],
        ),
        (
            "sessions: {open: \"19:00\"}",
            &[
                "`open` is not a key of the sessions",
                "the sessions needs `when`",
            ],
        ),
        (
            "sessions: {when: [{days: [tue], open: \"19:00\", close: \"21:00\"}], quiet: {from: \"21:00\", to: \"8:00\"}}",
            &[
                "warning: `quiet` has no effect: no station has `loud: true`",
                "x.yaml:7:66",
            ],
        ),
        (
            "sessions: [{open: \"19:00\", close: \"21:00\"}]",
            &["a session needs `days`", "x.yaml:7:12"],
        ),
        (
            "sessions: [{days: [], open: \"19:00\", close: \"21:00\"}]",
            &[
                "a session needs a day",
                "write for example `days: [tue, thu]`",
            ],
        ),
        (
            "sessions: [{days: [Tuesday], open: \"19:00\", close: \"21:00\"}]",
            &[
                "`Tuesday` is none of the days of a week",
                "x.yaml:7:20",
                "write `tue`",
            ],
        ),
        (
            "sessions: [{days: [tue, tue], open: \"19:00\", close: \"21:00\"}]",
            &["`tue` stands here twice", "x.yaml:7:25"],
        ),
        (
            "sessions: [{days: [tue], open: \"7 pm\", close: \"21:60\"}]",
            &[
                "`7 pm` is no time of day",
                "`21:60` is no time of day",
                "x.yaml:7:47",
                "such as \"19:30\"",
            ],
        ),
        (
            "sessions: [{days: [tue], open: \"19:00\", close: \"24:01\"}]",
            &["`24:01` is no time of day"],
        ),
        (
            "sessions: [{days: [tue], open: \"22:00\", close: \"1:00\"}]",
            &[
                "the shop would close before it opens",
                "x.yaml:7:48",
                "as a session of the next day",
            ],
        ),
        (
            "sessions: [{days: [tue], open: \"19:00\", close: \"20:00\", set up: 30 min, tidy up: 30 min}]",
            &[
                "setting up and tidying up leave no time for work",
                "x.yaml:7:73",
            ],
        ),
        (
            "sessions: [{days: [tue], open: \"19:00\", close: \"20:00\", set up: 5}]",
            &["x.yaml:7:65"],
        ),
        (
            "sessions: [{days: [tue, sat], open: \"9:00\", close: \"12:00\"}, {days: [sat], open: \"11:59\", close: \"13:00\"}]",
            &["two sessions overlap on sat", "x.yaml:7:62"],
        ),
    ];
    for (sessions, expected) in cases {
        let said = said(sessions, "");
        for words in expected {
            assert!(
                said.contains(words),
                "{sessions}\n`{words}` is not in\n{said}"
            );
        }
    }
}

#[test]
fn one_is_warned_of_a_run_that_ends_before_the_first_opening() {
    let sessions = "sessions: [{days: [wed], open: \"19:00\", close: \"21:00\"}]";
    let said_of = |run: &str| said(sessions, run);
    assert!(
        said_of("run: {until: 2 d}")
            .contains("warning: the run ends before the shop is first opened")
    );
    assert_eq!(said_of("run: {until: 3 d}"), "loaded");
    // 2 December 2026 is a Wednesday.
    assert_eq!(said_of("run: {until: 2 d, starts: 2026-12-02}"), "loaded");
}

#[test]
fn work_that_no_session_has_time_for_is_refused() {
    let said = |work: &str, batch: &str| {
        let lines = [
            "title: x",
            &format!("stations: {{bench: {{does: {{sand: {{{work}}}}}}}}}"),
            &format!("projects: {{box: {{parts: {{side: {{pieces: 4, {batch}route: [sand]}}}}}}}}"),
            "orders: [{project: box}]",
            "layouts: {spot: {distances: 0}}",
            "sessions: [{days: [tue], open: \"19:00\", close: \"21:00\"}]",
        ];
        let yaml = lines.join("\n");
        match shopstride::scenario::load("x.yaml", yaml.as_bytes()) {
            Ok(_) => "loaded".to_owned(),
            Err(problems) => problems.render(false),
        }
    };
    let wrong = said("per piece: 31 min, pausable: false", "");
    for words in [
        "`sand` of `side` takes 2.1 h and is not to be paused, but no session is that long",
        "x.yaml:4:",
        "there are 2.0 h to work without a break at the most",
    ] {
        assert!(wrong.contains(words), "`{words}` is not in\n{wrong}");
    }
    assert_eq!(
        said("per piece: 31 min, pausable: false", "batch: 2, "),
        "loaded"
    );
    assert_eq!(said("per piece: 30 min, pausable: false", ""), "loaded");
    assert_eq!(said("per piece: 31 min", ""), "loaded");
    let setup = said("setup: 1 min, per piece: 30 min, pausable: false", "");
    assert!(setup.contains("is not to be paused"), "{setup}");
    for (work, words) in [
        ("per lot: 9 h, after hours: true", "needs somebody"),
        (
            "per lot: 1 h, after hours: true, people: 0, pausable: false",
            "is not to be paused",
        ),
        (
            "per lot: 9 h, after hours: maybe, people: 0",
            "`maybe` is neither true nor false",
        ),
    ] {
        let said = said(work, "");
        assert!(said.contains(words), "`{words}` is not in\n{said}");
    }
    assert_eq!(
        said("per lot: 9 h, after hours: true, people: 0", ""),
        "loaded"
    );
}

#[test]
fn a_day_that_is_none_is_refused() {
    let said = said("", "run: {starts: 2026-02-30}");
    for words in [
        "`2026-02-30` is no day",
        "x.yaml:6:15",
        "such as 2026-11-30",
    ] {
        assert!(said.contains(words), "{said}");
    }
}
