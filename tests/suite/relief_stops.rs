//! Changes of what stops work, by hand: what wears, where lots lie, what is kept apart, what is taken off, when glue is
//! spread; and what is bought, by what it brings for its price.

use serde_json::Value;
use shopstride::experiment::{Changes, Edit, Relief, Reliefs, quick_look, run};
use shopstride::report::relief::{advice, caution_in_short, json, lines, why_not};
use shopstride::shop::{QueueRule, WearLimit};
use shopstride::units::Span;

use crate::relief::{assert_untried, is, lead_time, named, relief};
use crate::support::command::refused_of;
use crate::support::study;

fn tried(yaml: &str, of: &str, wanted: &str) -> bool {
    let changes = Changes::of(&study(yaml).candidates[0]);
    changes.tried.iter().any(|trial| is(trial, of, wanted))
}

/// What the lines say below this heading.
fn line(reliefs: &Reliefs, heading: &str) -> Option<String> {
    let lines = lines(reliefs);
    let found = lines.into_iter().find(|line| line.heading == heading);
    found.map(|line| line.says)
}

/// Four pieces of 10 min, after each of which the blade takes 8 min and a walk of 10 m there and 10 m back.
const BLADE: &str = "title: Blade
stations:
  saw:
    upkeep: {blade: {every: 10 min, time: 8 min, fetch from: rack, price: 60}}
    price: 900
    does: {cut: {per piece: 10 min}}
  rack: {}
crew: {maker: {walking speed: 1 m/s}}
handling: {pick up: 0, put down: 0}
projects: {box: {pieces: 4, material at: saw, route: [cut]}}
orders: [{project: box}]
layouts: {shed: {distances: {saw: {rack: 10 m}}}}
";

#[test]
fn upkeep_is_half_as_often_or_at_hand() {
    let reliefs = relief(&study(BLADE));
    let base = reliefs.findings.candidates[0].lead_time.expect("done").mean;
    assert_eq!(base, 2400.0 + 4.0 * (480.0 + 20.0));
    let brings = |change: &str| lead_time(named(&reliefs, "saw", change));
    assert_eq!(brings("upkeep half as often"), -2.0 * 500.0);
    assert_eq!(brings("spare at hand"), -4.0 * 20.0);
    // Half the run time reaches the limit half as often, for half of the 8 min each and the same walk.
    assert_eq!(brings("times −50 %"), -1200.0 - (2000.0 - 2.0 * 260.0));
    let said = caution_in_short(&reliefs);
    assert!(
        said.contains("nothing is run longer that is dull or full"),
        "{said}"
    );
    let data = json(&reliefs);
    let rows = data["relief"].as_array().expect("rows");
    let of_blade: Vec<&Value> = rows.iter().filter(|row| row["part"] == "blade").collect();
    assert_eq!(of_blade.len(), 2);
    assert!(
        of_blade
            .iter()
            .all(|row| row["kind"] == "upkeep" && row["to_do"] == true)
    );
}

/// One drum that two machines fill holds twice as much for both.
#[test]
fn what_is_shared_lasts_longer_everywhere_and_is_tried_once() {
    let drum = "upkeep: {drum: {every: 1 h, time: 5 min, shared: drum}}, does:";
    let yaml = format!(
        "title: Drum
stations:
  saw: {{{drum} {{cut: {{per lot: 10 min}}}}}}
  planer: {{{drum} {{plane: {{per lot: 10 min}}}}}}
projects: {{box: {{pieces: 1, route: [cut, plane]}}}}
orders: [{{project: box}}]
layouts: {{one spot: {{distances: 0}}}}
"
    );
    let study = study(&yaml);
    let changes = Changes::of(&study.candidates[0]);
    let longer = (changes.tried.iter()).filter(|trial| trial.part.is_some());
    let longer: Vec<_> = longer.collect();
    assert_eq!(longer.len(), 1, "{longer:?}");
    let shop = longer[0].edit.applied(&study.candidates[0]).shop;
    let two_hours = WearLimit::RunTime(Span::from_seconds(7200.0));
    assert!((shop.stations.iter()).all(|station| station.upkeep[0].every == two_hours));
}

/// The second lot of the cutter is ready after 20 min and goes on at 40 min, when the third can begin that has 30 min
/// there: done at 40, 45 and 75 min. With room for one lot it begins at 20 min: done at 40, 45 and 55 min.
#[test]
fn there_is_room_for_one_more_lot() {
    let lot = |cut: u32, drill: u32| {
        format!(
            "{{pieces: 1, route: [{{op: cut, per lot: {cut} min}}, {{op: drill, per lot: {drill} min}}]}}"
        )
    };
    let yaml = format!(
        "title: Room
stations:
  cutter: {{set down: 0, does: {{cut: {{people: 0}}}}}}
  drill: {{does: {{drill: {{people: 0}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{first: {}, second: {}, third: {}}}
orders: [{{project: first}}, {{project: second}}, {{project: third}}]
layouts: {{one spot: {{distances: 0}}}}
",
        lot(10, 30),
        lot(10, 5),
        lot(30, 5)
    );
    let reliefs = relief(&study(&yaml));
    let base = reliefs.findings.candidates[0].lead_time.expect("done").mean;
    assert_eq!(base, (40.0 + 45.0 + 75.0) * 60.0 / 3.0);
    let more = named(&reliefs, "cutter", "room for one more lot");
    assert_eq!(lead_time(more), -20.0 * 60.0 / 3.0);
    let unlimited = yaml.replace("set down: 0, ", "");
    assert!(!tried(&unlimited, "cutter", "room for one more lot"));
}

/// Two lots of 10 min: one after the other they are done at 10 and 20 min.
#[test]
fn what_is_kept_apart_is_a_scale_and_no_advice() {
    let yaml = "title: Apart
stations:
  sander: {does: {sand: {people: 0, per lot: 10 min}}}
  planer: {does: {plane: {people: 0, per lot: 10 min}}}
handling: {pick up: 0, put down: 0}
not together: [{of: [sander, plane], at most: 1}]
projects: {board: {pieces: 1, route: [sand]}, slat: {pieces: 1, route: [plane]}}
orders: [{project: board}, {project: slat}]
layouts: {one spot: {distances: 0}}
";
    let reliefs = relief(&study(yaml));
    let together = named(&reliefs, "sander, plane", "together");
    assert_eq!(lead_time(together), -300.0);
    assert!(together.trial.edit.is_scale() && !together.trial.edit.is_doable());
    let most = line(&reliefs, "Helps most").expect("an answer");
    assert!(
        !most.to_lowercase().starts_with("letting go on together"),
        "{most}"
    );
    let scale = line(&reliefs, "Kept apart").expect("it is told");
    assert!(
        scale.starts_with("Letting go on together what is kept apart (sander, plane) "),
        "{scale}"
    );
    assert!(caution_in_short(&reliefs).contains("stays apart as long as the reason does"));
}

/// Glue of 10 min sets for 60 min on the table, from which it is taken in 5 min: the boards are done at 75 and 150 min. With
/// nothing to take off they are done at 70 and 140 min.
#[test]
fn taking_off_is_a_scale() {
    let yaml = "title: Clamps
stations: {table: {does: {glue: {per lot: 10 min, cure: {time: 60 min, take off: 5 min}}}}}
handling: {pick up: 0, put down: 0}
projects: {board: {pieces: 1, route: [glue]}}
orders: [{project: board, count: 2}]
layouts: {one spot: {distances: 0}}
";
    let reliefs = relief(&study(yaml));
    let base = reliefs.findings.candidates[0].lead_time.expect("done").mean;
    assert_eq!(base, (75.0 + 150.0) * 60.0 / 2.0);
    assert_eq!(
        lead_time(named(&reliefs, "clamps", "no taking off")),
        -450.0
    );
    assert!(line(&reliefs, "Taking off").is_some());
    let without = yaml.replace(", take off: 5 min", "");
    assert!(!tried(&without, "clamps", "no taking off"));
}

/// In order, the box is glued at 19:00 and holds the bench until 20:10, and the board, which takes an hour there, is done
/// on the next evening at 19:10. With glue last the board is done at 20:00, the box at 21:10.
const EVENING: &str = "title: Evening
stations: {bench: {does: {glue: {per lot: 10 min, cure: {time: 60 min}}, shape: {per lot: 60 min}}}}
handling: {pick up: 0, put down: 0}
sessions: [{days: [mon, tue], open: \"19:00\", close: \"21:00\"}]
projects: {box: {pieces: 1, route: [glue]}, board: {pieces: 1, route: [shape]}}
orders: [{project: box}, {project: board}]
layouts: {one spot: {distances: 0}}
";

#[test]
fn cures_come_last_where_nobody_asked_for_it() {
    let study = study(EVENING);
    let reliefs = relief(&study);
    let base = reliefs.findings.candidates[0].lead_time.expect("done").mean;
    assert_eq!(base, (70.0 + 24.0 * 60.0 + 10.0) * 60.0 / 2.0);
    let last = named(&reliefs, "rules", "cures last in a session");
    assert_eq!(lead_time(last), (60.0 + 130.0) * 60.0 / 2.0 - base);
    // Longest work first brings as much; of the two the one is named that is done at once.
    let is_longest = |relief: &&Relief| relief.trial.edit == Edit::Queue(QueueRule::Lpt);
    let longest = reliefs.list.iter().find(is_longest).expect("it is tried");
    assert_eq!(lead_time(longest), lead_time(last));
    let free = line(&reliefs, "For free").expect("a rule helps");
    assert!(free.contains("what cures last in a session"), "{free}");
    // The quick look of every answer tries it too. Here the board waits for the glue, and not for the bench, of which one
    // more would bring more.
    let apart = EVENING.replace("{time: 60 min}", "{time: 60 min, ties up: []}")
        + "not together: [{of: [cure of glue, shape], at most: 1}]\n";
    let study = crate::support::study(&apart);
    let findings = run(&study, 0, &|_| {}).expect("it does not get stuck");
    let quick = quick_look(&study, 0, &findings).expect("something to try");
    assert_eq!(
        lead_time(named(&quick, "rules", "cures last in a session")),
        lead_time(last)
    );
    // Who has asked for it is told of the other way; a shop without hours or cures has no evening to keep glue for.
    let asked = format!("{EVENING}rules: {{cures: last in a session}}\n");
    assert!(tried(&asked, "rules", "cures like other work"));
    assert!(!tried(&asked, "rules", "cures last in a session"));
    let sessions = "sessions: [{days: [mon, tue], open: \"19:00\", close: \"21:00\"}]\n";
    assert!(!tried(
        &EVENING.replace(sessions, ""),
        "rules",
        "cures last in a session"
    ));
    let dry = EVENING.replace(", cure: {time: 60 min}", "");
    assert!(!tried(&dry, "rules", "cures last in a session"));
}

/// What one can do and what only matters have a sentence each, whichever brings more.
#[test]
fn what_to_do_is_told_apart_from_what_matters() {
    // Two hours of work of one person: half the times save an hour, a spare at hand hardly anything.
    let reliefs = relief(&study(BLADE));
    let at_hand = line(&reliefs, "At hand").expect("a blade that lasts");
    assert!(
        at_hand.starts_with("Half as much upkeep (blade) at the saw: it saves "),
        "{at_hand}"
    );
    let most = line(&reliefs, "Helps most").expect("times");
    assert!(
        most.starts_with("Halving the times at the saw: it saves "),
        "{most}"
    );
    assert!(line(&reliefs, "Matters").is_none());
    // Nothing to buy helps one lot that is cut once.
    let alone = BLADE.replace(
        "    upkeep: {blade: {every: 10 min, time: 8 min, fetch from: rack, price: 60}}\n",
        "",
    );
    let reliefs = relief(&study(&alone));
    assert_eq!(
        line(&reliefs, "At hand").as_deref(),
        Some("Nothing that can be bought, added or put in another order helps by 1 % or more.")
    );
    assert_untried(
        &reliefs,
        "saw",
        "one more",
        "there is already one for each person",
    );
    // An hour of setup for 10 min of cutting: without it an hour is saved, with half of all times 35 min. Both are told.
    let set_up = alone.replace("{per piece: 10 min}", "{setup: 60 min, per lot: 10 min}");
    let reliefs = relief(&study(&set_up));
    let most = line(&reliefs, "Helps most").expect("no setup");
    assert!(
        most.starts_with("No setup at the saw: it saves 60 min "),
        "{most}"
    );
    let matters = line(&reliefs, "Matters").expect("times");
    assert!(
        matters.starts_with("Halving the times at the saw: it saves 35 min "),
        "{matters}"
    );
    let said = advice(&reliefs);
    assert!(
        said.contains("Of the times, halving the times at the saw matters most: it "),
        "{said}"
    );
}

/// By what it brings for its price: 1000 s for 60 come before 80 s for the same spare.
#[test]
fn what_is_bought_is_ranked_by_what_it_brings_for_its_price() {
    let yaml = format!("{BLADE}projects a year: 12\n");
    let reliefs = relief(&study(&yaml));
    let data = json(&reliefs);
    assert_eq!(data["projects_a_year"], 12.0);
    let ranked: Vec<(&str, f64)> = (data["relief_by_price"].as_array().expect("a list").iter())
        .map(|row| {
            (
                row["change"].as_str().expect("a name"),
                row["price"].as_f64().expect("a number"),
            )
        })
        .collect();
    assert_eq!(
        ranked,
        [("upkeep half as often", 60.0), ("spare at hand", 60.0)]
    );
    let rows = data["relief"].as_array().expect("rows");
    let row = |change: &str| {
        rows.iter()
            .find(|row| row["change"] == change)
            .expect("a row")
    };
    let longer = row("upkeep half as often");
    assert_eq!(longer["lead_time_saved_s_per_price"], 1000.0 / 60.0);
    // All of it is hands-on, twelve times a year.
    assert_eq!(longer["hands_on_saved_a_year_s"], 12_000.0);
    assert!(row("times −50 %")["price"].is_null());
    let said = line(&reliefs, "For money").expect("a price");
    assert!(
        said.starts_with(
            "Half as much upkeep (blade) at the saw brings most for its price of 60: it saves "
        ),
        "{said}"
    );
    assert!(said.contains(" less of hands-on work a year."), "{said}");
    assert!(
        said.ends_with("Less for the money: a spare (blade) at hand at the saw (60)."),
        "{said}"
    );
    // A belt is seen to after 20 and 40 min for 4 min: once less saves 240 s for 10, more for the money than 1000 s for 600.
    let belt =
        "time: 8 min, fetch from: rack, price: 600}, belt: {every: 20 min, time: 4 min, price: 10}";
    let two = BLADE.replace("time: 8 min, fetch from: rack, price: 60}", belt);
    let reliefs = relief(&study(&two));
    let longer: Vec<f64> = (reliefs.list.iter())
        .filter(|relief| is(&relief.trial, "saw", "upkeep half as often"))
        .map(lead_time)
        .collect();
    assert_eq!(longer, [-1000.0, -240.0]);
    let said = line(&reliefs, "For money").expect("a price");
    assert!(
        said.starts_with("Half as much upkeep (belt) at the saw brings most for its price of 10: "),
        "{said}"
    );
    assert!(
        said.ends_with(
            "Less for the money: half as much upkeep (blade) at the saw (600) and a spare (blade) at hand at the saw (600)."
        ),
        "{said}"
    );
}

#[test]
fn prices_are_more_than_nothing_and_say_nothing_alone() {
    let refused = |yaml: &str, what: &str| refused_of(yaml, what);
    refused(
        &BLADE.replace("price: 900", "price: 0"),
        "`price` has to be more than 0",
    );
    refused(
        &BLADE.replace("price: 60", "price: -1"),
        "`price` has to be more than 0",
    );
    refused(
        &BLADE.replace("price: 900", "price: 300 EUR"),
        "write `300`, without a unit",
    );
    let none = BLADE
        .replace(", price: 60", "")
        .replace("    price: 900\n", "");
    let yaml = format!("{none}projects a year: 12\n");
    let loaded = shopstride::scenario::load("s.yaml", yaml.as_bytes()).expect("it loads");
    let said = format!("{:?}", loaded.warnings);
    assert!(
        said.contains("says nothing where nothing has a `price`"),
        "{said}"
    );
    let reliefs = relief(&loaded.study);
    assert!(line(&reliefs, "For money").is_none());
    assert!(
        reliefs
            .untried
            .iter()
            .all(|untried| !why_not(untried.why).is_empty())
    );
}
