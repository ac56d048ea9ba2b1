//! One value of a text is written, added or taken away, and every other byte stays.

use shopstride::scenario::{TextChange, changed, text_at};

fn set(keys: &[&str], yaml: &str) -> TextChange {
    TextChange::set(keys, yaml)
}

/// Every way to write what holds the value, before and after.
#[test]
fn only_the_value_itself_is_written_anew() {
    let size = || set(&["room", "size"], "[7 m, 4 m]");
    let setup = || set(&["stations", "saw", "does", "rip", "setup"], "2 min");
    let saw = || set(&["stations", "saw"], "{kind: planer}");
    let gone = || TextChange::remove(&["stations", "saw"]);
    let post = || TextChange::append(&["room", "blocked"], "{name: post}");
    let no_post = || TextChange::remove(&["room", "blocked"]).of_item("post", None);
    let at = || set(&["room", "blocked"], "[1 m, 1 m]").of_item("post", Some("at"));
    let cases = [
        // A value in place of another.
        (
            size(),
            "room: {size: [6 m, 4 m], ceiling: 3 m} # mine\n",
            "room: {size: [7 m, 4 m], ceiling: 3 m} # mine\n",
        ),
        (
            size(),
            "room:\n  size: [6 m, 4 m]   # inside\n  ceiling: 3 m\n",
            "room:\n  size: [7 m, 4 m]   # inside\n  ceiling: 3 m\n",
        ),
        (
            size(),
            "room:\r\n  size:\r\n    - 6 m\r\n    - 4 m\r\nrun: {}\r\n",
            "room:\r\n  size: [7 m, 4 m]\r\nrun: {}\r\n",
        ),
        (
            setup(),
            "stations:\n  saw: {does: {rip: {setup: 90 s, per piece: 1 min}}} # it's old\n",
            "stations:\n  saw: {does: {rip: {setup: 2 min, per piece: 1 min}}} # it's old\n",
        ),
        (
            setup(),
            "stations: {saw: {does: {rip: {setup: {uniform: [1 min, 3 min]}}}}}\n",
            "stations: {saw: {does: {rip: {setup: 2 min}}}}\n",
        ),
        (
            setup(),
            "stations:\n  saw:\n    does:\n      rip:\n        setup: '90 s'  # by the watch\n",
            "stations:\n  saw:\n    does:\n      rip:\n        setup: 2 min  # by the watch\n",
        ),
        (
            at(),
            "room:\n  blocked:\n    - {name: stair, at: [0, 0]}\n    - {name: post, at: [2 m, 2 m]} # steel\n",
            "room:\n  blocked:\n    - {name: stair, at: [0, 0]}\n    - {name: post, at: [1 m, 1 m]} # steel\n",
        ),
        (
            at(),
            "room:\n  blocked:\n    - name: post # steel\n      at: [2 m, 2 m]\n",
            "room:\n  blocked:\n    - name: post # steel\n      at: [1 m, 1 m]\n",
        ),
        // One that is not there yet.
        (
            size(),
            "title: a\n# the end",
            "title: a\n# the end\nroom: {size: [7 m, 4 m]}\n",
        ),
        (
            setup(),
            "stations:\n  saw: {}\n",
            "stations:\n  saw: {does: {rip: {setup: 2 min}}}\n",
        ),
        (
            setup(),
            "stations:\n  saw:   # new\n  bench: {}\n",
            "stations:\n  saw: {does: {rip: {setup: 2 min}}}   # new\n  bench: {}\n",
        ),
        (
            setup(),
            "stations:\n  saw:\n    does:\n      rip:\n        per piece: 1 min # slow\n    count: 2\n",
            "stations:\n  saw:\n    does:\n      rip:\n        per piece: 1 min # slow\n        setup: 2 min\n    count: 2\n",
        ),
        (
            saw(),
            "stations:\n  bench: {} # oak\n\n# below\nrun: {}\n",
            "stations:\n  bench: {} # oak\n  saw: {kind: planer}\n\n# below\nrun: {}\n",
        ),
        (
            saw(),
            "stations: {bench: {}}\n",
            "stations: {bench: {}, saw: {kind: planer}}\n",
        ),
        // A further item.
        (
            post(),
            "room:\n  blocked:\n    - {name: stair} # steep\nrun: {}\n",
            "room:\n  blocked:\n    - {name: stair} # steep\n    - {name: post}\nrun: {}\n",
        ),
        (
            post(),
            "room:\n  blocked:\n  - name: stair\n    at: [0, 0]\nrun: {}\n",
            "room:\n  blocked:\n  - name: stair\n    at: [0, 0]\n  - {name: post}\nrun: {}\n",
        ),
        (
            post(),
            "room: {blocked: [{name: stair}]}\n",
            "room: {blocked: [{name: stair}, {name: post}]}\n",
        ),
        (
            post(),
            "room: {size: [1 m, 1 m]}\n",
            "room: {size: [1 m, 1 m], blocked: [{name: post}]}\n",
        ),
        (
            post(),
            "room:\n  blocked: []\n",
            "room:\n  blocked: [{name: post}]\n",
        ),
        // One that goes.
        (
            gone(),
            "stations:\n  saw: {kind: planer} # old\n  bench: {}\n",
            "stations:\n  bench: {}\n",
        ),
        (
            gone(),
            "stations:\n  bench: {}\n  saw:\n    # worn\n    kind: planer\nrun: {}\n",
            "stations:\n  bench: {}\nrun: {}\n",
        ),
        (
            gone(),
            "stations: {saw: {does: {a: {}, b: {}}}, bench: {}}\n",
            "stations: {bench: {}}\n",
        ),
        (
            gone(),
            "stations: {bench: {}, saw: {kind: 'a, b'}}\n",
            "stations: {bench: {}}\n",
        ),
        (
            gone(),
            "stations:\n  saw: {}\nrun: {}\n",
            "stations: {}\nrun: {}\n",
        ),
        (
            no_post(),
            "room:\n  blocked:\n    - {name: post}\n    - {name: stair}\n",
            "room:\n  blocked:\n    - {name: stair}\n",
        ),
        (
            no_post(),
            "room: {blocked: [{name: stair}, {name: post, at: [0, 0]}]}\n",
            "room: {blocked: [{name: stair}]}\n",
        ),
        (
            no_post(),
            "room: {blocked: [{name: post}]}\n",
            "room: {blocked: []}\n",
        ),
    ];
    for (change, text, expected) in cases {
        let found = changed(text, std::slice::from_ref(&change));
        assert_eq!(found.as_deref(), Some(expected), "{change:?} of {text}");
    }
}

#[test]
fn what_would_change_anything_else_is_left_alone() {
    let setup = |yaml: &str| set(&["stations", "saw", "does", "rip", "setup"], yaml);
    let plain = "stations:\n  saw: {does: {rip: {setup: 90 s}}}\n";
    let cases = [
        // What is written once for two stands where it is defined.
        (
            setup("2 min"),
            "stations:\n  bench: &both {does: {rip: {setup: 90 s}}}\n  saw: *both\n",
        ),
        (
            setup("2 min"),
            "stations: {bench: &both {}, saw: {<<: *both}}\nstations 2: {",
        ),
        // What is no single value.
        (setup("2 min}}}, room: {a: 1"), plain),
        (setup("2 min\nroom: {}"), plain),
        (setup("2 min # {"), plain),
        (set(&["title", "a"], "b"), "title: mine\n"),
        (TextChange::remove(&["stations", "none"]), plain),
        (
            TextChange::remove(&["room", "doors"]).of_item("none", None),
            "room: {doors: []}\n",
        ),
    ];
    for (change, text) in cases {
        let found = changed(text, std::slice::from_ref(&change));
        assert_eq!(found, None, "{change:?} of {text}");
    }
}

#[test]
fn what_is_written_is_found_as_it_is_written() {
    let text = "stations:\n  saw: {does: {rip: {setup: {uniform: [1 min, 2 min]}}}} # old\n";
    let setup = &["stations", "saw", "does", "rip", "setup"];
    assert_eq!(text_at(text, setup), Some("{uniform: [1 min, 2 min]}"));
    assert_eq!(text_at(text, &["stations", "bench"]), None);
}
