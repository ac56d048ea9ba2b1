//! What is wrong with the keys of stops is said where it stands, with what would be right.

/// What is said of a shop with a saw and a bench, with keys of the saw, of its operation, of the step and of the whole.
pub fn said(saw: &str, rip: &str, step: &str, whole: &str) -> String {
    let yaml = format!(
        "title: x\n\
         stations: {{saw: {{{saw}does: {{rip: {{per lot: 1 min{rip}}}, dado: {{per lot: 1 min}}}}}}}}\n\
         gear: {{clamps: {{count: 20}}}}\n\
         projects: {{box: {{parts: {{side: {{pieces: 3, rough: [50 in, 4 in, 1 in], route: [{{op: rip{step}}}, {{op: dado, gear: {{clamps: 1}}}}]}}}}}}}}\n\
         orders: [{{project: box}}]\nlayouts: {{spot: {{distances: 0}}}}\n{whole}\n"
    );
    match shopstride::scenario::load("x.yaml", yaml.as_bytes()) {
        Ok(loaded) => match loaded.warnings.render(false) {
            none if none.trim().is_empty() => "loaded".to_owned(),
            warnings => warnings,
        },
        Err(problems) => problems.render(false),
    }
}

#[track_caller]
pub fn says(said: &str, expected: &[&str]) {
    for words in expected {
        assert!(said.contains(words), "`{words}` is not in\n{said}");
    }
}

#[test]
fn a_setting_that_is_none_is_named_at_its_place() {
    let from = |from: &str| {
        said(
            &format!("setup from: {from}, "),
            "",
            ", setting: fence wide",
            "",
        )
    };
    says(
        &from(
            "{fence wide: {dado: 4 min}, dado: {fence wide: {triangular: [1 min, 2 min, 4 min]}}}",
        ),
        &["loaded"],
    );
    says(
        &from("{fence wode: {dado: 4 min}}"),
        &[
            "warning: no step says `setting: fence wode`, and no operation is called `fence wode`",
            "x.yaml:2:31",
            "did you mean `fence wide`?",
        ],
    );
    says(
        &from("{dado: 4 min}"),
        &[
            "setups from `dado` are a mapping from what comes next to times, not",
            "x.yaml:2:37",
            "write for example `dado: {rip: 4 min}`",
        ],
    );
    says(&from("{dado: {rip: 4}}"), &["x.yaml:2:43", "min"]);
    says(
        &from("fence wide"),
        &["`setup from` is a mapping of names, not"],
    );
    says(
        &said("", ", setting: wide", "", ""),
        &["`setting` is not a key of an operation"],
    );
    says(
        &said("", "", ", setting: [a, b]", ""),
        &["what the station is set to is needed, not a list"],
    );
}

/// 50 in at a spacing of 8 in are seven spaces, so that each piece takes eight clamps and three pieces 24.
#[test]
fn gear_by_its_spacing_that_makes_no_sense_is_named_at_its_place() {
    let gear = |spaced: &str| said("", &format!(", gear: {{clamps: {spaced}}}"), "", "");
    says(&gear("{spacing: 8 in, per: lot}"), &["loaded"]);
    says(
        &gear("{spacing: 8 in}"),
        &[
            "`rip` of `side` can never start: a lot of 3 pieces takes 24 `clamps`, but there are only 20",
            "x.yaml:5:20",
            "raise `count` of `clamps` under `gear`, write a smaller `batch`, a wider `spacing`, or `per: lot`",
        ],
    );
    says(&gear("{spacing: 10 in}"), &["loaded"]);
    says(
        &gear("{spacing: 0 in}"),
        &[
            "a spacing of 0 would take no end of gear",
            "write for example `spacing: 8 in`",
        ],
    );
    says(
        &gear("{spacing: 8 in, per: side}"),
        &["`side` is none of piece, lot"],
    );
    says(
        &gear("{per: lot}"),
        &["gear by its spacing needs `spacing`"],
    );
    says(
        &gear("{spacing: 1 mm, each: 2}"),
        &["`each` is not a key of gear by its spacing"],
    );
    says(&gear("{spacing: 1 um}"), &["1 um"]);
    says(&gear("8 in"), &["`8 in` is not a whole number"]);
    let unsized_yaml = "title: x\nstations: {bench: {does: {glue: {per lot: 1 min, gear: {clamps: {spacing: 8 in}}}}}}\n\
         gear: {clamps: {count: 20}}\nprojects: {box: {route: [glue]}}\norders: [{project: box}]\nlayouts: {spot: {distances: 0}}\n";
    let Err(problems) = shopstride::scenario::load("x.yaml", unsized_yaml.as_bytes()) else {
        panic!("nobody knows how long the box is");
    };
    says(
        &problems.render(false),
        &[
            "`glue` needs the rough length of `box`, which is not given",
            "add `rough: [length, width, thickness]`",
        ],
    );
}

#[test]
fn an_open_time_is_a_time() {
    let open = |open: &str| said("", &format!(", open time: {open}"), "", "");
    says(&open("8 min"), &["loaded"]);
    says(
        &open("0 min"),
        &["an open time of 0 leaves no time for the work"],
    );
    says(&open("8"), &["x.yaml:2:", "8 min"]);
}

fn of_cure(cure: &str, whole: &str) -> String {
    said("", &format!(", {cure}"), "", whole)
}

#[test]
fn a_cure_that_makes_no_sense_is_named_at_its_place() {
    let heat = "heat: {open: 18 C, shut: 46 F}";
    says(
        &of_cure("cure: {time: 1 h, least: 10 C, take off: 3 min}", heat),
        &["loaded"],
    );
    says(
        &of_cure("dry: {time: 4 h, take off: {uniform: [1 min, 2 min]}}", ""),
        &["loaded"],
    );
    says(
        &of_cure("cure: {time: 1 h}, dry: {time: 4 h}", ""),
        &[
            "what happens after the work is given twice",
            "`dry` is another word for `cure`: leave one of them out",
            "x.yaml:2:",
        ],
    );
    says(
        &of_cure("cure: {time: 1 h, least: 10}", heat),
        &["`10` is not a temperature", "such as 18 C or 65 F"],
    );
    says(
        &of_cure("cure: {time: 1 h, least: 10 C}", ""),
        &[
            "warning: `least` of the cure after `rip` has no effect without `heat`",
            "heat: {open: 18 C, shut: 8 C}",
        ],
    );
    says(
        &of_cure("cure: {time: 1 h, least: 20 C}", heat),
        &[
            "after `rip` nothing ever cures: it is never as warm as 20.0 C",
            "x.yaml:7:1",
        ],
    );
    // Without sessions the shop is never shut, so that the warm night does not come.
    says(
        &of_cure(
            "cure: {time: 1 h, least: 20 C}",
            "heat: {open: 18 C, shut: 22 C}",
        ),
        &["nothing ever cures"],
    );
    says(
        &of_cure("cure: {time: 1 h}", "heat: {open: 18 C}"),
        &["the heat needs `shut`"],
    );
    says(
        &of_cure("cure: {time: 1 h}", "heat: {open: 900 C, shut: 1 C}"),
        &["nobody works or glues at 900 C", "at most 150 C"],
    );
    says(
        &of_cure("cure: {time: 1 h, take off: 3}", ""),
        &["x.yaml:2:"],
    );
}

#[test]
fn what_is_tacky_or_dusty_is_one_of_them() {
    says(&of_cure("tacky: 4 h", ""), &["loaded"]);
    says(&of_cure("dusty: true", ""), &["loaded"]);
    says(
        &of_cure("tacky: 4 h, dusty: true", ""),
        &[
            "`rip` is both tacky and dusty",
            "x.yaml:4:",
            "leave one of them out",
        ],
    );
    says(
        &of_cure("dusty: yes", ""),
        &["`yes` is neither true nor false"],
    );
    says(&of_cure("tacky: long", ""), &["x.yaml:2:"]);
}

#[test]
fn what_does_not_go_together_is_named_as_it_is_called() {
    let groups = |groups: &str| said("", "", "", &format!("not together: {groups}"));
    says(
        &groups("[{of: [saw, dado, cure of rip], at most: 2}]"),
        &["loaded"],
    );
    says(
        &groups("[{of: [saw, dadoo]}]"),
        &[
            "no station and no operation is called `dadoo`",
            "x.yaml:7:27",
            "did you mean `dado`?",
        ],
    );
    says(&groups("[{of: [cure of ripp]}]"), &["ripp", "x.yaml:7:22"]);
    says(
        &groups("[{of: []}]"),
        &[
            "nothing is named that does not go together",
            "of: [sander, planer]",
        ],
    );
    says(
        &groups("[{of: [saw], at most: 0}]"),
        &["0 is too few; at least 1 is needed"],
    );
    says(
        &groups("{of: [saw]}"),
        &["a list of what does not go together is needed"],
    );
    says(
        &groups("[{at most: 1}]"),
        &["what does not go together needs `of`"],
    );
    let yaml = "title: x\nstations: {sand: {does: {sand: {per lot: 1 min}}}}\nprojects: {box: {route: [sand]}}\n\
         orders: [{project: box}]\nlayouts: {spot: {distances: 0}}\nnot together: [{of: [sand]}]\n";
    let Err(problems) = shopstride::scenario::load("x.yaml", yaml.as_bytes()) else {
        panic!("nobody knows which is meant");
    };
    says(
        &problems.render(false),
        &["`sand` is both a station and an operation", "x.yaml:6:22"],
    );
}

#[test]
fn upkeep_that_makes_no_sense_is_named_at_its_place() {
    let upkeep = |upkeep: &str| said(&format!("upkeep: {{blade: {upkeep}}}, "), "", "", "");
    says(&upkeep("{every: 2 h, time: 8 min}"), &["loaded"]);
    says(
        &upkeep("{every: 400 ft, time: 8 min, fetch from: saw, shared: drum}"),
        &["loaded"],
    );
    says(
        &upkeep("{every: 2 kg, time: 8 min}"),
        &[
            "`2 kg` is neither a time, a length nor a volume",
            "x.yaml:2:42",
            "400 ft",
        ],
    );
    says(
        &upkeep("{every: 60 l, time: 8 min}"),
        &[
            "warning: it never fills: no size says how much wood is taken off",
            "x.yaml:2:42",
            "`rough` and `finished` sizes",
        ],
    );
    says(
        &upkeep("{every: 0 min, time: 8 min}"),
        &["after nothing at all it would always be due"],
    );
    says(&upkeep("{time: 8 min}"), &["upkeep needs `every`"]);
    says(
        &upkeep("{every: 2 h, time: 8 min, fetch from: rack}"),
        &["rack", "x.yaml:2:"],
    );
    let yaml = "title: x\nstations: {saw: {upkeep: {drum: {every: 1 h, time: 1 min, shared: drum}}, does: {rip: {per lot: 1 min}}}, \
         planer: {upkeep: {drum: {every: 2 h, time: 1 min, shared: drum}}, does: {plane: {per lot: 1 min}}}}\n\
         projects: {box: {route: [rip, plane]}}\norders: [{project: box}]\nlayouts: {spot: {distances: 0}}\n";
    let Err(problems) = shopstride::scenario::load("x.yaml", yaml.as_bytes()) else {
        panic!("nobody knows when it is full");
    };
    says(
        &problems.render(false),
        &["`drum` is one thing, but its stations do not agree on `every`"],
    );
}

#[test]
fn room_is_counted_in_whole_lots() {
    says(&said("set down: 0, ", "", "", ""), &["loaded"]);
    says(
        &said("set down: -1, ", "", "", ""),
        &["-1 is too few; at least 0 is needed", "x.yaml:2:"],
    );
    says(
        &said("set down: two, ", "", "", ""),
        &["`two` is not a whole number"],
    );
}
