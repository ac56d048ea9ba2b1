//! What stands in the way, and the corner that a room lacks; hinges of doors; what is too wide for a jointer.

use std::fs;

use shopstride::floor::FindingLevel;
use shopstride::scenario::new_shop::{
    CutProject, CutRow, HingeEnd, SaidThing, Stuff, lay_out, read_door, read_room, read_thing,
};

use super::{SIXTEEN, findings, loaded, wish};
use crate::support::command::{done, folder, refused, text};

const FOOT: f64 = 0.3048;

fn thing(said: &str) -> Option<SaidThing> {
    read_thing(said, &read_room("20 ft x 17 ft").expect("a room")).ok()
}

/// By hand in a room of 20 by 17 ft: name, from left and front to the near sides, and sizes, in feet.
#[test]
fn things_are_read_in_plain_words() {
    let cases = [
        (
            "post: 6 in x 6 in, 8 ft from the left, 10 ft from the back",
            ("post", (8.0, 6.5), (0.5, 0.5)),
        ),
        (
            "stairs: 3 ft x 10 ft in the back right corner",
            ("stairs", (17.0, 7.0), (3.0, 10.0)),
        ),
        (
            "water heater: 2 x 2 ft against the left wall, 1 ft from the front",
            ("water heater", (0.0, 1.0), (2.0, 2.0)),
        ),
        (
            "4 in x 4 in, 5 ft from the right, 5 ft from the front",
            (
                "post",
                (20.0 - 5.0 - 1.0 / 3.0, 5.0),
                (1.0 / 3.0, 1.0 / 3.0),
            ),
        ),
    ];
    for (said, (name, from, size)) in cases {
        let thing = thing(said).expect(said);
        assert_eq!(thing.name, name, "{said}");
        let found = [thing.from.0, thing.from.1, thing.size.0, thing.size.1];
        let expected = [from.0, from.1, size.0, size.1].map(|feet| feet * FOOT);
        let near = found
            .iter()
            .zip(expected)
            .all(|(one, other)| (one - other).abs() < 1e-9);
        assert!(near, "{said}: {thing:?}");
    }
    for wrong in [
        "post",
        "post: 6 in x 6 in",
        "post: 6 in x 6 in, 8 ft from the left",
        "post: 6 in x 6 in, 8 ft from the left, 8 ft from the right",
        "post: 6 in x 6 in, 8 ft from the left, 10 ft from the ceiling",
        "post: 6 in, 8 ft from the left, 10 ft from the back",
        "post: 6 in x 6 in, 30 ft from the left, 10 ft from the back",
        "stairs: 21 ft x 3 ft in the back right corner",
    ] {
        assert!(thing(wrong).is_none(), "{wrong}");
    }
}

#[test]
fn hinges_are_read_from_within_the_room() {
    let room = read_room("20 ft x 17 ft").expect("a room");
    let hinge = |said: &str| read_door(said, &room, &[]).map(|door| (door.from / FOOT, door.hinge));
    for (said, end) in [
        (
            "3 ft in the left wall, 2 ft from the front, hinged left, swings in",
            HingeEnd::Left,
        ),
        (
            "3 ft in the left wall, 2 ft from the front, swings out, hinges on the right",
            HingeEnd::Right,
        ),
        (
            "3 ft in the left wall, hinge at the left side, 2 ft from the front, swings in",
            HingeEnd::Left,
        ),
    ] {
        let (from, found) = hinge(said).unwrap_or_else(|complaint| panic!("{said}: {complaint:?}"));
        assert!((from - 2.0).abs() < 1e-9, "{said}");
        assert_eq!(found, Some(end), "{said}");
    }
    let unsaid = hinge("3 ft in the left wall, 2 ft from the front, swings in").expect("a door");
    assert_eq!(unsaid.1, None);
    let wrong = |said: &str| hinge(said).expect_err(said).what;
    assert!(wrong("3 ft in the left wall, hinged, swings in").contains("at which end"));
    assert!(wrong("3 ft in the left wall, hinged left").contains("which way it swings"));
    assert!(wrong("9 ft in the left wall, hinged left").contains("which way it swings"));
}

/// Nothing stands in a post, or in the corner that an L-shaped room lacks, and no rule finds a fault.
#[test]
fn what_is_in_the_way_is_kept_free() {
    let mut garage = wish(
        "24 ft x 24 ft",
        &["16 ft x 7 ft in the front wall"],
        SIXTEEN,
        "bookcase",
    );
    for said in [
        "post: 4 in x 4 in, 12 ft from the left, 12 ft from the front",
        "corner: 6 ft x 5 ft in the back right corner",
    ] {
        let thing = read_thing(said, &garage.room).expect(said);
        garage.blocked.push(thing);
    }
    let shop = lay_out(&garage).expect("it is laid out");
    assert!(
        shop.text
            .contains("- {name: post, at: [12 ft 2 in, 12 ft 2 in], size: [4 in, 4 in]}")
    );
    assert!(
        shop.text
            .contains("- {name: corner, at: [21 ft, 21 ft 6 in], size: [6 ft, 5 ft]}")
    );
    let study = loaded(&shop);
    for of_layout in findings(&study) {
        let faults = of_layout
            .iter()
            .filter(|found| found.level == FindingLevel::Fault);
        assert_eq!(faults.count(), 0, "{of_layout:?}");
    }
    for candidate in &study.candidates {
        let plan = candidate.plan.as_ref().expect("it is drawn");
        let bodies = plan
            .placements
            .iter()
            .flatten()
            .filter_map(|placed| placed.footprint());
        let post = shopstride::floor::Point::new(12.1667 * FOOT, 12.1667 * FOOT);
        let corner = shopstride::floor::Point::new(21.0 * FOOT, 21.0 * FOOT);
        for body in bodies {
            assert!(!body.contains(post) && !body.contains(corner));
        }
    }
}

#[test]
fn the_command_takes_things_and_hinges() {
    let folder = folder();
    let at = folder.path();
    let new = [
        "new",
        "l.yaml",
        "--room",
        "6.6 m x 6 m",
        "--door",
        "0.9 m in the front wall, 1 m from the left, swings in, hinged right",
        "--blocked",
        "stairs: 1 m x 3 m in the back right corner",
        "--blocked",
        "post: 12 x 12 cm, 3 m from the left, 3 m from the front",
    ];
    done(&new, at);
    let written = fs::read_to_string(at.join("l.yaml")).expect("it is there");
    assert!(written.contains("swings: in, hinge: right}"), "{written}");
    assert!(
        written.contains("- {name: stairs, at: [6.1 m, 4.5 m], size: [1 m, 3 m]}"),
        "{written}"
    );
    assert!(
        written.contains("- {name: post, at: [3.06 m, 3.06 m], size: [0.12 m, 0.12 m]}"),
        "{written}"
    );
    let checked = text(&done(&["check", "l.yaml"], at).stdout);
    assert!(checked.contains("usual places: 0 faults"), "{checked}");
    let room = [
        "new",
        "x.yaml",
        "--room",
        "6.6 m x 6 m",
        "--blocked",
        "post: 12 x 12 cm",
    ];
    refused(
        &room,
        at,
        "does not say once how far it is from the left or right",
    );
}

/// A top 10-1/2 in wide, to be jointed at 10-7/8 in, is too wide for a jointer of 6 in: two boards of 5-1/4 in are glued up.
/// What has no jointer to go over stays whole.
#[test]
fn what_is_too_wide_for_the_jointer_is_glued_up() {
    let inch = 0.0254;
    let with = |machines: &str| {
        let mut shop = wish("20 ft x 17 ft", &[], machines, "side table");
        shop.projects = vec![CutProject {
            name: "shelf".to_owned(),
            rows: vec![CutRow {
                part: "top".to_owned(),
                quantity: 1,
                size: [60.0 * inch, 10.5 * inch, 0.75 * inch],
                stuff: Stuff::Boards,
                material: "oak".to_owned(),
            }],
            bare_lengths: None,
        }];
        lay_out(&shop).expect("it is laid out").text
    };
    let rest = "miter saw, table saw, planer, workbench, assembly table, lumber rack";
    let narrow = with(&format!("jointer 6 in, {rest}"));
    assert!(
        narrow.contains(
            "top board: {pieces: 2, cut from: oak board, finished: [60 in, 5-1/4 in, 3/4 in]"
        ),
        "{narrow}"
    );
    let none = with(rest);
    assert!(
        none.contains("top: {pieces: 1, cut from: oak board, finished: [60 in, 10-1/2 in, 3/4 in]"),
        "{none}"
    );
}
