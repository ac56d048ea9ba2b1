//! What two lift together: who is called, for which steps, and what is said where nobody can help.

use shopstride::scenario::load;
use shopstride::shop::{Person, Shop};

use crate::support::command::{answer_of, folder, refused_of, shopstride, text};
use crate::support::{record, study};

/// A slab of 1 m x 50 cm x 10 cm at 650 kg/m3 is 32.5 kg; planed to half of that it is 16.25 kg. The limit for one person is
/// 23 kg (NIOSH 94-110).
fn shop(crew: &str, lift: &str) -> String {
    format!(
        "title: Slab
stations:
  bench: {{does: {{carve: {{per lot: 30 min}}}}}}
  planer: {{does: {{plane: {{per lot: 10 min, {lift}cuts: thickness}}}}}}
  sander: {{does: {{sand: {{per lot: 5 min{}}}}}}}
crew: {{{crew}}}
handling: {{pick up: 0, put down: 0}}
projects:
  peg: {{route: [carve]}}
  slab: {{rough: [1 m, 50 cm, 10 cm], finished: [1 m, 50 cm, 5 cm], material at: planer, route: [plane, sand]}}
orders: [{{project: peg}}, {{project: slab}}]
layouts: {{one spot: {{distances: 0}}}}
",
        match lift.is_empty() {
            true => "",
            false => ", lift: together",
        }
    )
}

const TWO: &str = "maker: {}, helper: {}";
const TOGETHER: &str = "lift: together, ";

fn people(shop: &Shop) -> Vec<u32> {
    let slab = shop.projects.iter().nth(1).expect("the slab");
    let steps = slab.items[0].route.iter();
    steps.map(|step| step.choices[0].work.people).collect()
}

/// One carves until 30 min. Alone, the other planes from 0 to 10 min; together they begin at 30 min. Sanding takes one.
#[test]
fn a_second_person_is_called_and_waited_for() {
    let ends = |yaml: &str| record(&study(yaml), 0, 1, 0).end.micros() / 60_000_000;
    let alone = shop(TWO, "");
    assert_eq!(people(&study(&alone).candidates[0].shop), [1, 1]);
    assert_eq!(ends(&alone), 30);
    let together = shop(TWO, TOGETHER);
    assert_eq!(people(&study(&together).candidates[0].shop), [2, 1]);
    assert_eq!(ends(&together), 30 + 10 + 5);
    // Who may lift more lifts it alone.
    let strong = format!("{together}check: {{one person lifts: 32.5 kg}}\n");
    assert_eq!(people(&study(&strong).candidates[0].shop), [1, 1]);
    // Whoever cannot plane is no help.
    let unable = shop("maker: {}, helper: {can: [carve, sand]}", TOGETHER);
    assert_eq!(people(&study(&unable).candidates[0].shop), [1, 1]);
    let is_helper = |person: &&Person| person.name == "helper";
    assert_eq!(
        study(&unable).candidates[0]
            .shop
            .crew
            .iter()
            .filter(is_helper)
            .count(),
        1
    );
}

/// The same on a floor, so that it is checked.
fn placed(crew: &str, lift: &str) -> String {
    let spots =
        "layouts: {one spot: {at: {bench: [2 m, 2 m], planer: [5 m, 2 m], sander: [5 m, 5 m]}}}";
    shop(crew, lift).replace("layouts: {one spot: {distances: 0}}", spots)
        + "room: {size: [8 m, 7 m], doors: [{name: gate, between: [[1 m, 0], [4 m, 0]], height: 2.1 m}]}\n"
}

#[test]
fn where_nobody_can_help_it_is_a_fault() {
    let check = |yaml: &str| {
        let folder = folder();
        std::fs::write(folder.path().join("shop.yaml"), yaml).expect("written");
        let output = shopstride(&["check", "--details", "shop.yaml"], folder.path());
        let said = text(&output.stdout);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        (output.status.code(), said)
    };
    let (code, said) = check(&placed("maker: {}", TOGETHER));
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("nobody can help at this step"), "{said}");
    assert!(
        said.contains("use a cart or a panel carrier, or have it cut before"),
        "{said}"
    );
    for yaml in [placed("maker: {}", ""), placed(TWO, TOGETHER)] {
        let (_, said) = check(&yaml);
        assert!(!said.contains("nobody can help at this step"), "{said}");
    }
    // It is played all the same: by one person.
    assert!(
        answer_of(&placed("maker: {}", TOGETHER), &["--no-charts"]).contains("start to finish")
    );
}

#[test]
fn what_calls_nobody_is_said() {
    let warned = |yaml: &str| {
        let loaded = load("shop.yaml", yaml.as_bytes()).expect("it loads");
        format!("{:?}", loaded.warnings)
    };
    let unknown = shop(TWO, TOGETHER).replace(
        "rough: [1 m, 50 cm, 10 cm], finished: [1 m, 50 cm, 5 cm], ",
        "",
    );
    let said = warned(&unknown);
    assert!(
        said.contains("how heavy `slab` is at `plane` is not known"),
        "{said}"
    );
    let by_itself = shop(TWO, "people: 0, lift: together, ");
    let said = warned(&by_itself);
    assert!(
        said.contains("`plane` takes nobody, so nobody is called to lift for it"),
        "{said}"
    );
    refused_of(&shop(TWO, "lift: both, "), "together");
}
