//! What somebody asks of the places of stations, what a machine keeps taking, what is to come, and searches that are
//! ended by hand.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::support::command::{done, folder, refused, shopstride, text};

/// A room of 6 by 5 m: what is asked of places goes in place of the marks.
const ROOM: &str = "\
title: A room
room:
  size: [6 m, 5 m]
  doors: [{name: door, between: [[0, 0], [1 m, 0]], height: 2 m, swings: out}]
  blocked: [{name: stove, at: [5.7 m, 4.7 m], size: [50 cm, 50 cm]}]
stations:
  bench: {size: [1.6 m, 0.6 m], does: {sand: {per piece: 1 min}}#bench}
  saw: {size: [0.6 m, 0.6 m], does: {cut: {per piece: 1 min}}#saw}
  shelf: {size: [0.8 m, 0.3 m]#shelf}
  cart: {size: [0.5 m, 0.5 m]#cart}
crew: {maker: {}}
projects:
  box:
    parts: {side: {pieces: 4, material at: shelf, route: [cut, sand, cut, sand], deliver to: door}}
orders: [{project: box}]
layouts:
  now:
    at:
      bench: {at: [4.6 m, 4 m], turn: 0}
      saw: {at: [3 m, 1 m], turn: 0}
      shelf: {at: [1 m, 4 m], turn: 0}
      cart: {at: [3 m, 2.6 m], turn: 0}
";

fn room(asked: &[(&str, &str)]) -> String {
    let mut text = ROOM.to_owned();
    for station in ["bench", "saw", "shelf", "cart"] {
        let place = asked.iter().find(|(of, _)| *of == station);
        let place = place.map_or_else(String::new, |(_, place)| format!(", place: {{{place}}}"));
        text = text.replace(&format!("#{station}"), &place);
    }
    text
}

fn found_in(folder: &Path, scenario: &str, more: &[&str]) -> Value {
    fs::write(folder.join("shop.yaml"), scenario).expect("writable");
    let asked = ["improve", "shop.yaml", "--rounds", "2", "--json", "-"];
    let output = done(&[&asked, more].concat(), folder);
    serde_json::from_str(&text(&output.stdout)).expect("JSON")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

/// Where each station stands in a proposal: as now, or where its last step has it.
fn places(proposal: &Value) -> Vec<(String, [f64; 2], f64)> {
    let now = [
        ("bench", [4.6, 4.0], 0.0),
        ("saw", [3.0, 1.0], 0.0),
        ("shelf", [1.0, 4.0], 0.0),
        ("cart", [3.0, 2.6], 0.0),
    ];
    let mut places: Vec<(String, [f64; 2], f64)> = now
        .iter()
        .map(|(name, at, turn)| ((*name).to_owned(), *at, *turn))
        .collect();
    for step in list(&proposal["steps"]) {
        for station in list(&step["stations"]) {
            let at = list(&station["at_m"]);
            let place = places
                .iter_mut()
                .find(|(name, ..)| station["name"] == **name);
            let place = place.expect("a station");
            place.1 = [0, 1].map(|axis| at[axis].as_f64().expect("a number"));
            place.2 = station["turn"].as_f64().expect("a number");
        }
    }
    places
}

fn of<'p>(places: &'p [(String, [f64; 2], f64)], name: &str) -> &'p (String, [f64; 2], f64) {
    let mut all = places.iter();
    all.find(|(known, ..)| known == name).expect("a station")
}

fn apart(one: [f64; 2], other: [f64; 2]) -> f64 {
    libm::hypot(one[0] - other[0], one[1] - other[1])
}

/// Every proposal is as it is asked for, and without being asked none is.
#[test]
fn proposals_are_as_they_are_asked_for() {
    let folder = folder();
    let free = found_in(folder.path(), &room(&[]), &[]);
    assert!(!list(&free["proposals"]).is_empty());
    let asked = room(&[
        ("bench", "fixed: true"),
        (
            "saw",
            "within: [[2 m, 0], [6 m, 5 m]], away from: {stove: 2 m}, turns: [0, 180]",
        ),
        ("shelf", "at wall: west, near: {saw: 3 m}"),
    ]);
    let found = found_in(folder.path(), &asked, &[]);
    assert_eq!(found["fixed"], serde_json::json!(["bench"]));
    let proposals = list(&found["proposals"]);
    assert!(!proposals.is_empty(), "{found}");
    for proposal in proposals {
        let places = places(proposal);
        let (bench, saw, shelf) = (
            of(&places, "bench"),
            of(&places, "saw"),
            of(&places, "shelf"),
        );
        assert_eq!((bench.1, bench.2), ([4.6, 4.0], 0.0));
        // Half of the saw is 30 cm.
        assert!(saw.1[0] >= 2.3 - 1e-6 && saw.2 % 180.0 == 0.0, "{saw:?}");
        // From the middle of the saw to the nearest edge of the stove, whose low corner is at (5.45, 4.45) m.
        let off = [0, 1].map(|axis| {
            (5.45 - saw.1[0].min(5.45)) * f64::from(axis == 0)
                + (4.45 - saw.1[1].min(4.45)) * f64::from(axis == 1)
        });
        assert!(libm::hypot(off[0], off[1]) >= 2.0 - 1e-6, "{saw:?}");
        // Its back is opposite to where one stands, so at the west wall it is turned to the left.
        assert!(
            shelf.2 == 90.0 && shelf.1[0] < 0.3 / 2.0 + 0.0762 + 1e-6,
            "{shelf:?}"
        );
        assert!(apart(shelf.1, saw.1) <= 3.0 + 1e-6, "{shelf:?} {saw:?}");
    }
}

#[test]
fn what_stands_together_goes_together() {
    let folder = folder();
    let asked = room(&[("cart", "together with: [saw]"), ("bench", "fixed: true")]);
    let found = found_in(folder.path(), &asked, &[]);
    assert_eq!(
        found["moved_together"],
        serde_json::json!([["saw", "cart"]])
    );
    let mut moved = 0;
    for proposal in list(&found["proposals"]) {
        let places = places(proposal);
        let (saw, cart) = (of(&places, "saw"), of(&places, "cart"));
        // 1.6 m beyond the saw, as it is turned.
        assert!(
            (apart(saw.1, cart.1) - 1.6).abs() < 1e-3,
            "{saw:?} {cart:?}"
        );
        assert_eq!(saw.2, cart.2);
        moved += usize::from(apart(saw.1, [3.0, 1.0]) > 0.01);
    }
    assert!(moved > 0, "{found}");
}

/// What is kept unless its move saves more than is walked at all stays.
#[test]
fn what_is_kept_unless_it_saves_much_stays_where_it_saves_less() {
    let folder = folder();
    let free = found_in(folder.path(), &room(&[]), &[]);
    let moves_saw = |found: &Value| {
        let proposals = list(&found["proposals"]).iter();
        let mut moved = proposals.flat_map(|proposal| list(&proposal["stations"]));
        moved.any(|name| name == "saw")
    };
    assert!(moves_saw(&free), "{free}");
    let kept = room(&[("saw", "keep: unless it saves 1000 m")]);
    assert!(!moves_saw(&found_in(folder.path(), &kept, &[])));
}

/// No station is moved whose move is not worth it: the cart, to which nobody goes, stays unless it is in the way.
#[test]
fn nothing_is_moved_for_nothing() {
    let folder = folder();
    let found = found_in(folder.path(), &room(&[]), &[]);
    let least = found["least_saving_m"].as_f64().expect("a number");
    let walked = found["now"]["walking"]["mean_m"]
        .as_f64()
        .expect("a number");
    assert!(
        (least - 0.01 * walked).abs() < 0.02 * least,
        "{least} {walked}"
    );
    let (mut before, mut moved) = (walked, 0.0);
    for row in list(&found["curve"]) {
        let walks = row["walking"]["mean_m"].as_f64().expect("a number");
        let more = row["moved"].as_f64().expect("a number") - moved;
        // The search reckons with trips counted in other runs.
        assert!(before - walks >= 0.95 * least * more, "{found}");
        (before, moved) = (walks, moved + more);
    }
}

#[test]
fn what_cannot_be_asked_is_told_where_it_stands() {
    for (asked, said) in [
        ("at wall: nord", "did you mean `north`?"),
        ("at wall: sideways", "`sideways` is no wall"),
        ("near: {stive: 2 m}", "did you mean `stove`?"),
        ("near: {stove: 2 kg}", "shop.yaml:8"),
        ("within: [[0, 0]]", "two opposite corners, not 1"),
        ("together with: [sawe]", "did you mean `saw`?"),
        ("together with: [saw]", "together with itself"),
        ("keep: always", "keep: unless it saves 20 m"),
        ("turns: []", "turns: [0, 90]"),
        ("nearr: {stove: 2 m}", "did you mean `near`?"),
        ("fixed: perhaps", "neither true nor false"),
    ] {
        let folder = folder();
        fs::write(folder.path().join("shop.yaml"), room(&[("saw", asked)])).expect("writable");
        refused(&["improve", "shop.yaml"], folder.path(), said);
        refused(&["improve", "shop.yaml"], folder.path(), "shop.yaml:8");
    }
}

/// A file is not overwritten unless it is the scenario that is named.
#[test]
fn what_is_no_scenario_is_not_written_over() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), room(&[])).expect("writable");
    fs::write(folder.path().join("notes.txt"), "measure twice").expect("writable");
    let asked = ["improve", "shop.yaml", "--write", "notes.txt"];
    refused(
        &asked,
        folder.path(),
        "there is a file already that is no scenario",
    );
    let kept = fs::read_to_string(folder.path().join("notes.txt")).expect("there");
    assert_eq!(kept, "measure twice");
}

/// A drill press on the floor is higher than the second room.
#[test]
fn it_says_whether_a_machine_fits() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), room(&[])).expect("writable");
    let asked = ["improve", "shop.yaml", "--fits", "drill press", "--quiet"];
    let output = done(&asked, folder.path());
    let said = text(&output.stdout);
    assert!(said.starts_with("Fits "), "{said}");
    assert!(
        said.contains("nothing else moves") && said.contains("wall"),
        "{said}"
    );
    let shed = room(&[]).replace("size: [6 m, 5 m]", "size: [6 m, 5 m]\n  ceiling: 1.6 m");
    fs::write(folder.path().join("low.yaml"), shed).expect("writable");
    let output = shopstride(
        &["improve", "low.yaml", "--fits", "drill press", "--quiet"],
        folder.path(),
    );
    let said = text(&output.stdout);
    assert_eq!(
        output.status.code(),
        Some(1),
        "{said} {}",
        text(&output.stderr)
    );
    assert!(said.starts_with("No room "), "{said}");
    refused(
        &["improve", "shop.yaml", "--fits", "dril press"],
        folder.path(),
        "there is no kind of station called",
    );
}

/// What is bought is written where it was told, and the file has no fault that it had not before.
#[test]
fn what_is_bought_is_placed_and_written() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), room(&[])).expect("writable");
    let asked = [
        "improve",
        "shop.yaml",
        "--buy",
        "drill press",
        "--write",
        "more.yaml",
        "--json",
        "-",
        "--quiet",
    ];
    let found: Value =
        serde_json::from_str(&text(&done(&asked, folder.path()).stdout)).expect("JSON");
    assert_eq!(found["stations"][0]["fits"], true);
    assert!(found["walks_more"]["mean_m"].is_number(), "{found}");
    let checked = done(
        &["check", "more.yaml", "--json", "-", "--quiet"],
        folder.path(),
    );
    let checked: Value = serde_json::from_str(&text(&checked.stdout)).expect("JSON");
    assert_eq!(checked["layouts"][0]["faults"], 0, "{checked}");
    let written = fs::read_to_string(folder.path().join("more.yaml")).expect("there");
    assert!(written.contains("drill press: {kind: "), "{written}");
}

/// Ctrl-C ends the search, and the best that was found until then is told.
#[cfg(unix)]
#[test]
fn the_best_so_far_is_told_when_a_search_is_ended_by_hand() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), room(&[])).expect("writable");
    let begun = Instant::now();
    let searching = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args([
            "improve",
            "shop.yaml",
            "--seconds",
            "3000",
            "--threads",
            "1",
        ])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    std::thread::sleep(Duration::from_secs(3));
    let id = searching.id().to_string();
    let ended = Command::new("kill").args(["-INT", &id]).status();
    assert!(ended.expect("kill runs").success());
    let output = searching.wait_with_output().expect("it ends");
    let said = text(&output.stdout);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{said} {}",
        text(&output.stderr)
    );
    assert!(said.starts_with("Saves "), "{said}");
    assert!(begun.elapsed() < Duration::from_secs(600));
}
