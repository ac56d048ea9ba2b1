//! What a comparison says of batches, of layouts that are equal or nearly so, and of stations that stand idle in one of
//! them: small shops reckoned by hand.

use crate::first_minute::{line, said};

const COMPARE: [&str; 3] = ["compare", "--quiet", "--no-charts"];
const DETAILS: [&str; 3] = ["run", "--quiet", "--details"];

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Three of a and three of b at a saw that is set up for 5 min whenever the other comes, and takes 3 min for each lot.
/// One by one an order is done every 8 min: a after 8, 24 and 40, b after 16, 32 and 48. Sorted, a after 8, 11 and 14, b
/// after 22, 25 and 28. As two orders of three, a after 8 and b after 16 min.
fn batches(candidates: &str) -> String {
    format!(
        "title: Batches
stations: {{saw: {{does: {{cut: {{setup: 5 min, per lot: 3 min}}}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{a: {{pieces: 1, route: [cut]}}, b: {{pieces: 1, route: [cut]}}}}
orders: [{{project: a}}, {{project: b}}, {{project: a}}, {{project: b}}, {{project: a}}, {{project: b}}]
layouts: {{x: {{distances: 0}}}}
candidates:
{candidates}"
    )
}

const SORTED: &str =
    "  sorted: {layout: x, change: {orders: [{project: a, count: 3}, {project: b, count: 3}]}}\n";
const TOGETHER: &str = "  together: {layout: x, change: {orders: [{project: a, together: 3}, {project: b, together: 3}]}}\n";

#[test]
fn what_is_built_counts_and_not_in_how_many_orders() {
    for candidates in [format!("{SORTED}{TOGETHER}"), TOGETHER.to_owned()] {
        let worth = line(&said(&COMPARE, &batches(&candidates)), "Worth it?").expect("an answer");
        let expected = "Yes: with \"together\" one \"a\" is done 16 min sooner (67 % of 24 min) and one \"b\" is done 16 \
                        min sooner (50 % of 32 min).";
        assert_eq!(worth, expected);
    }
    // What builds less is still held against nobody.
    let less = TOGETHER.replace("together: 3", "together: 2");
    let worth = line(&said(&COMPARE, &batches(&less)), "Worth it?").expect("an answer");
    let expected = "No: \"together\" finishes only 4 of what \"x\" finishes (6), so that its times say little.";
    assert_eq!(worth, expected);
}

/// In the shop of [`batches`] 3 of a are done in 48 min after 24 min each, and 3 of b after 32: (72 + 96) / 48 = 3.5
/// orders in the shop.
#[test]
fn littles_law_can_be_reckoned_with_several_projects() {
    let text = said(&DETAILS, &batches(SORTED));
    let row = |name: &str| {
        let row = text.lines().find(|row| row.trim_start().starts_with(name));
        let row = row.unwrap_or_else(|| panic!("{name}: {text}"));
        let figure = row[row.find(name).expect("it is there") + name.len()..].trim();
        let number = figure.split_whitespace().next().expect("a figure");
        number.parse::<f64>().expect("a number")
    };
    let of = |project: &str| {
        row(&format!("done, {project} (λ)")) * row(&format!("start to finish, {project} (W)"))
    };
    let in_shop = row("in the shop (L)");
    assert!((in_shop - 3.5).abs() < 1e-9, "{text}");
    assert!((of("a") + of("b") - in_shop).abs() < 0.02, "{text}");
    assert!(
        flat(&text).contains("L is the sum of λW over the projects"),
        "{text}"
    );
}

/// Three changes that come to the same: half the time at the bench, in three ways.
#[test]
fn equal_layouts_are_called_so() {
    let bench = |time: &str| {
        format!("change: {{stations: {{bench: {{does: {{sand: {{per lot: {time}}}}}}}}}}}")
    };
    let shop = format!(
        "title: Boxes
stations: {{bench: {{does: {{sand: {{per lot: 20 min}}}}}}}}
projects: {{box: {{route: [sand]}}}}
orders: [{{project: box}}]
layouts: {{here: {{distances: 0}}}}
candidates:
  first: {{layout: here, {half}}}
  second: {{layout: here, {half}}}
  slow: {{layout: here, {slow}}}
  third: {{layout: here, {half}}}
",
        half = bench("10 min"),
        slow = bench("15 min")
    );
    let text = said(&[&COMPARE[..], &["--details"]].concat(), &shop);
    let worth = line(&text, "Worth it?").expect("an answer");
    assert!(worth.starts_with("Yes: with \"first\""), "{worth}");
    assert!(
        worth.ends_with("\"second\" and \"third\" come to the same."),
        "{worth}"
    );
    let equal = "the shortest lead time is that of \"first\", \"second\" and \"third\" alike";
    assert!(flat(&text).contains(equal), "{text}");
}

/// Ways of 40 m against 20 m for what takes 3 h: 20 s less at 1 m/s each way is 0.2 % of it, and no reason to speak of
/// anything but how little it is.
#[test]
fn times_that_are_nearly_the_same_are_said_to_be_nearly_so() {
    let shop = |projects: &str, orders: &str| {
        format!(
            "title: Boxes
stations: {{rack: {{}}, bench: {{does: {{glue: {{per lot: 3 h}}}}}}}}
crew: {{maker: {{starts at: rack}}}}
handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}}
projects: {{{projects}}}
orders: [{orders}]
layouts: {{far: {{distances: {{rack: {{bench: 40 m}}}}}}, near: {{distances: {{rack: {{bench: 20 m}}}}}}}}
"
        )
    };
    let box_of = "pieces: 1, material at: rack, route: [glue]";
    let one = shop(&format!("box: {{{box_of}}}"), "{project: box}");
    let one = line(&said(&COMPARE, &one), "Worth it?").expect("an answer");
    assert!(
        one.contains("which is 20 s of 3 h hands-on. Start to finish it takes 3 h in both, but for these 20 s."),
        "{one}"
    );
    let two = shop(
        &format!("box: {{{box_of}}}, tray: {{{box_of}}}"),
        "{project: box}, {project: tray}",
    );
    let two = line(&said(&COMPARE, &two), "Worth it?").expect("an answer");
    // The tray is fetched back and forth after the box, so that it gains three times as much.
    let nearly = "Start to finish every project takes the same in both, to within 60 s: a box 3 h, a tray 6 h.";
    assert!(two.contains(nearly), "{two}");
}

/// Two saws can cut the box, and whoever carries it goes to the nearer one.
#[test]
fn a_station_that_stands_idle_in_one_layout_is_named() {
    let shop = "title: Two saws
stations: {rack: {}, table saw: {does: {cut: {per lot: 10 min}}}, mitre saw: {does: {cut: {per lot: 10 min}}}}
projects: {box: {pieces: 1, material at: rack, route: [cut]}}
orders: [{project: box}]
layouts:
  as it is: {distances: {rack: {table saw: 9 m, mitre saw: 6 m}, table saw: {mitre saw: 3 m}}}
  moved: {distances: {rack: {table saw: 2 m, mitre saw: 5 m}, table saw: {mitre saw: 3 m}}}
";
    let worth = line(&said(&COMPARE, shop), "Worth it?").expect("an answer");
    let moved = "In \"moved\" the mitre saw stands idle: its work goes to the table saw.";
    let before = "In \"as it is\" the table saw stands idle: its work goes to the mitre saw.";
    assert!(worth.contains(moved) && worth.contains(before), "{worth}");
    let both = shop.replace(
        "table saw: 2 m, mitre saw: 5 m",
        "table saw: 5 m, mitre saw: 2 m",
    );
    let worth = line(&said(&COMPARE, &both), "Worth it?").expect("an answer");
    assert!(!worth.contains("idle"), "{worth}");
}
