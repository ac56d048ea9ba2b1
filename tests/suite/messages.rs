//! What is said of files that are hard to read for a person, too: where it is wrong, what is wrong, and what would be
//! right. Those that fit on a page stand in `tests/scenario_errors`.

use shopstride::scenario;

/// What is said of a file that does not load.
fn said(text: &[u8]) -> String {
    let problems = scenario::load("shop.yaml", text).expect_err("it is wrong");
    problems.render(false)
}

fn assert_says(what: &str, text: &[u8], words: &[&str]) {
    let said = said(text);
    for words in words {
        assert!(said.contains(words), "{what}, without {words:?}:\n{said}");
    }
    // Nobody reads a message of a line that never ends.
    let widest = said.lines().map(|line| line.chars().count()).max();
    assert!(widest < Some(400), "{what}: {widest:?}");
}

/// A small shop with one value in it.
fn shop(per_lot: &str, pieces: &str) -> String {
    format!(
        "title: x\nstations: {{saw: {{does: {{rip: {{per lot: {per_lot}}}}}}}}}\n\
         projects: {{box: {{pieces: {pieces}, route: [rip]}}}}\norders: [{{project: box}}]\nlayouts: {{a: {{distances: 0}}}}\n"
    )
}

#[test]
fn nesting_is_called_nesting() {
    let lists = format!("title: {}{}\n", "[".repeat(70), "]".repeat(70));
    let mappings = "a: {".to_owned() + &"a: {".repeat(1000);
    let lines: String = (0..100)
        .map(|level| format!("{}k{level}:\n", "  ".repeat(level)))
        .collect();
    for (what, text, place) in [
        ("lists", lists, "shop.yaml:1:"),
        ("mappings", mappings, "shop.yaml:1:"),
        ("lines", lines, "shop.yaml:6"),
        ("brackets alone", "[".repeat(100_000), "shop.yaml:1:"),
    ] {
        assert_says(
            what,
            text.as_bytes(),
            &[
                "the file is nested more than 64 levels deep",
                place,
                "not closed",
            ],
        );
    }
}

#[test]
fn whole_numbers_are_whole_however_large() {
    for digits in [
        "5000000000",
        "99999999999999999999999999",
        "99999999999999999999999999999999999999999999999999",
    ] {
        let most = format!("{digits} is more than the most that is accepted, 1000000");
        let words = [&*most, "shop.yaml:3:26"];
        assert_says(digits, shop("1 s", digits).as_bytes(), &words);
    }
    for digits in ["-3", "-99999999999999999999999999"] {
        let least = format!("{digits} is too few; at least 1 is needed");
        let words = [&*least, "shop.yaml:3:26"];
        assert_says(digits, shop("1 s", digits).as_bytes(), &words);
    }
    let broken = shop("1 s", "1.5");
    assert_says("broken", broken.as_bytes(), &["is not a whole number"]);
}

/// Both letters that look like it: the micro sign and the Greek one.
#[test]
fn a_millionth_is_not_taken_for_a_thousandth() {
    for unit in ["µs", "μs", "us", "ns"] {
        let text = shop(&format!("5 {unit}"), "1");
        let words = [
            &*format!("`{unit}` is not a unit of a time"),
            "shop.yaml:2:40",
            "a time is written in ms, s, min, h, d, wk",
        ];
        assert_says(unit, text.as_bytes(), &words);
        assert!(!said(text.as_bytes()).contains("did you mean"), "{unit}");
    }
}

#[test]
fn the_encoding_is_named() {
    let text = shop("1 s", "1").replace("title: x", "title: Säge");
    let units: Vec<u16> = text.encode_utf16().collect();
    let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
    let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
    let marked = |mark: [u8; 2], text: &[u8]| [&mark, text].concat();
    for (what, bytes) in [
        ("little", marked([0xff, 0xfe], &little)),
        ("big", marked([0xfe, 0xff], &big)),
        ("little without a mark", little),
        ("big without a mark", big),
    ] {
        assert_says(
            what,
            &bytes,
            &[
                "this is text in the encoding UTF-16, not UTF-8",
                "shop.yaml:1:1",
                "1 | title: Säge",
                "save the file with the encoding UTF-8",
            ],
        );
    }
    // One zero is a wrong character, and one strange byte another encoding.
    assert!(!said(b"title: \0").contains("UTF-16"));
    assert_says(
        "Latin-1",
        b"title: S\xe4ge",
        &["not UTF-8", "shop.yaml:1:9"],
    );
}

#[test]
fn an_alias_is_called_by_its_name() {
    assert_says(
        "a slip of the pen",
        b"title: x\nstations: {saw: *nmae}\n",
        &[
            "`*nmae` stands for what is marked `&nmae` before it, and nothing is",
            "shop.yaml:2:17",
            "^^^^^",
            "mark the value that is meant",
        ],
    );
    assert_says(
        "a name with an asterisk",
        b"title: x\nstations: {*: {}}\n",
        &["shop.yaml:2:"],
    );
    assert_says(
        "emphasis",
        b"title: **bold**\n",
        &["`**bold**` stands for", "\"**bold**\""],
    );
}

#[test]
fn too_many_layouts_on_one_line_are_counted_and_found() {
    let layouts: Vec<String> = (0..5000)
        .map(|at| format!("layout {at}: {{distances: 0}}"))
        .collect();
    let text = shop("1 s", "1").replace("a: {distances: 0}", &layouts.join(", "));
    let text = format!("{{{}}}", text.trim_end().replace('\n', ", "));
    let column = 1 + text.find("layout 1000:").expect("it is there");
    assert_says(
        "layouts",
        text.as_bytes(),
        &[
            "there are 5000 candidates; at most 1000 are accepted",
            &format!("shop.yaml:1:{column}"),
            "layout 1000",
            "leave some out",
        ],
    );
}

/// Each of these is how somebody wrote a quantity in a first file, and what the hint must give back.
#[test]
fn quantities_in_other_signs_are_spelled_out_in_the_hint() {
    for (per_lot, meant) in [
        ("'1,5 min'", "decimals are written with a point: `1.5 min`"),
        ("'2,400 s'", "write `2.400 s` or `2400 s`"),
        ("1½ h", "did you mean `1-1/2 h`?"),
        ("½ h", "did you mean `1/2 h`?"),
        ("“1 min”", "did you mean `1 min`?"),
    ] {
        assert_says(per_lot, shop(per_lot, "4").as_bytes(), &[meant]);
    }
    let sized =
        |size: &str| shop("1 min", "4").replace("{saw: {", &format!("{{saw: {{size: {size}, "));
    assert_says(
        "marks for feet and inches",
        sized("[24'6\", 30½ in]").as_bytes(),
        &["did you mean `24 ft 6 in`?", "did you mean `30-1/2 in`?"],
    );
    assert_says(
        "a blank between feet and inches",
        sized("[12' 1\", 5']").as_bytes(),
        &["did you mean `12 ft 1 in`?", "did you mean `5 ft`?"],
    );
}

/// What is said of one value must not be refused in its turn.
#[test]
fn a_single_value_for_a_list_of_mappings_is_told_as_a_mapping() {
    let text = shop("1 min", "4").replace("orders: [{project: box}]", "orders: box");
    let hours = "crew: {maker: {hours: sat}}\nsessions: sat\nnot together: saw\nroom: {size: [6 m, 5 m], doors: front}\n";
    assert_says(
        "lists",
        format!("{text}{hours}").as_bytes(),
        &[
            "a list stands in brackets: `[{project: box}]`",
            "a list stands in brackets: `[{days: [sat], open: \"10:00\", close: \"12:00\"}]`",
            "a list stands in brackets: `[{days: [tue, thu], open: \"19:00\", close: \"21:30\"}]`",
            "a list stands in brackets: `[{of: [sander, planer], at most: 1}]`",
            "a list stands in brackets: `[{name: ..., between: ...}]`",
        ],
    );
}

#[test]
fn numbers_that_are_too_small_are_told_with_what_is_right() {
    for pieces in ["0", "-2"] {
        let text = shop("1 min", pieces);
        assert_says(pieces, text.as_bytes(), &["write a whole number from 1 to"]);
    }
}

/// Of a misspelt kind nothing else is told that follows from it.
#[test]
fn a_misspelt_kind_is_one_mistake() {
    let text = "title: x\nstations:\n  rack: {kind: lumber rack}\n  saw: {kind: contracter saw}\n  other: {kind: cabinet saw}\n\
                projects: {p: {pieces: 2, finished: [30 in, 4 in, 3/4 in], route: [{op: crosscut, on: saw}, {op: rip, on: saw}, dado]}}\n\
                orders: [{project: p}]\nlayouts: {a: {at: {rack: [1 m, 1 m], saw: [3 m, 3 m], other: [6 m, 6 m]}}}\n";
    let said = said(text.as_bytes());
    assert_eq!(said.matches("error").count(), 1, "{said}");
    assert!(said.contains("did you mean `contractor saw`?"), "{said}");
}

/// With one key the line is still YAML, whose key has a brace; with two it is not.
#[test]
fn a_colon_that_is_missing_before_a_brace_is_told_where_it_is_missing() {
    for keys in [
        "kind: bench-top planer",
        "kind: bench-top planer, size: [1 m, 1 m]",
    ] {
        let text = format!("title: x\nstations:\n  planer {{{keys}}}\n  saw: {{}}\n");
        assert_says(
            keys,
            text.as_bytes(),
            &[
                "shop.yaml:3:9",
                "a colon is missing between a name and its brace",
                "write `planer: {` ... `}`",
            ],
        );
    }
}

#[test]
fn a_colon_without_a_space_is_told_where_it_makes_a_text() {
    let text = shop("1 min", "4").replace("rip: {per lot: 1 min}", "rip: per lot:1 min");
    assert_says(
        "no space",
        text.as_bytes(),
        &["write a space after the colon: `per lot: 1 min`"],
    );
}

/// Whatever a reader of YAML makes of a tab at the beginning of a line, it is called a tab, at its line and column.
#[test]
fn a_tab_before_a_line_is_called_a_tab() {
    let tabs: [(&str, &str); 10] = [
        ("title: x\n\tfoo: bar\n", "2:1"),
        ("a:\n  - x\n\t- y\n", "3:1"),
        ("a:\n  - x\n  -\ty: 1\n\tz: 2\n", "4:1"),
        ("a: {b: c,\n\td: e}\n", "2:1"),
        ("a: |\n\ttext\n", "2:1"),
        ("a: \"x\n\ty\"\n", "2:1"),
        ("projects:\n  p:\n    parts:\n\t  leg: {pieces: 1}\n", "4:1"),
        ("a:\n  b:\n    \tc: 1\n    d: 2\n", "3:5"),
        ("a: b\n \tc: d\n", "2:2"),
        ("stations:\n  saw: {}\n\n\tbench: {}\n", "4:1"),
    ];
    for (text, at) in tabs {
        assert_says(
            text,
            text.as_bytes(),
            &[
                "a tab stands where a line is indented",
                &format!("shop.yaml:{at}\n"),
                "indent with spaces alone",
            ],
        );
    }
    // What else is wrong keeps its own words, with tabs elsewhere.
    let elsewhere = "title:\t[x\nstations: {}\n";
    let message = said(elsewhere.as_bytes());
    assert!(!message.contains("a tab stands"), "{message}");
}
