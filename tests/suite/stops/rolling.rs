//! What cannot be rolled about, and what is found on the floors that there are then.

use shopstride::experiment::{LayoutFindings, checked_legs};
use shopstride::floor::Manner;
use shopstride::report::check::{in_short, told};
use shopstride::scenario;
use shopstride::shop::PlaceId;

use super::refused::says;

/// A saw that is parked and rolled out, with keys of the station, of its place and of the whole file.
fn shop(saw: &str, place: &str, rip: &str, whole: &str) -> String {
    format!(
        "title: Rolled about\n\
         room: {{size: [20 ft, 20 ft], doors: [{{name: door, between: [[8 ft, 0], [12 ft, 0]]}}], blocked: [{{name: car, at: [10 ft, 10 ft], size: [6 ft, 14 ft]}}]}}\n\
         stations:\n  rack: {{size: [4 ft, 2 ft]}}\n  saw: {{size: [3 ft, 3 ft], feed toward: +y, {saw}does: {{rip: {{per piece: 1 min, {rip}}}}}}}\n  bench: {{size: [5 ft, 2 ft], does: {{sand: {{per piece: 5 min}}}}}}\n\
         projects:\n  board: {{parts: {{board: {{pieces: 2, rough: [4 ft, 6 in, 1 in], finished: [46 in, 5 in, 3/4 in], material at: rack, route: [rip, sand]}}}}}}\n\
         orders: [{{project: board}}]\n{whole}\
         layouts: {{tight: {{at: {{rack: [2 ft, 19 ft], saw: {{at: [10 ft, 10 ft], {place}}}, bench: [17 ft, 6 ft]}}}}}}\n"
    )
}

const ROLLED: &str = "roll out: 90 s, roll in: 60 s, ";
const CORNER: &str = "parked: {at: [18 ft, 18 ft]}";
const EVENING: &str =
    "sessions: {when: [{days: [tue], open: \"19:00\", close: \"22:00\"}], parks: [car]}\n";

fn refused(text: &str) -> String {
    match scenario::load("x.yaml", text.as_bytes()) {
        Ok(_) => panic!("it is not refused: {text}"),
        Err(problems) => problems.render(false),
    }
}

#[test]
fn what_cannot_be_rolled_about_is_named_at_its_place() {
    let said = refused(&shop("", CORNER, "", EVENING));
    says(
        &said,
        &[
            "nothing says how long it takes to roll `saw` about",
            "roll out: 90 s",
        ],
    );
    let said = refused(&shop("roll out: 90 s, ", CORNER, "", EVENING));
    says(&said, &["nothing says how long it takes to roll in"]);
    let said = refused(&shop(&format!("{ROLLED}count: 2, "), CORNER, "", EVENING));
    says(&said, &["`saw` has several units"]);
    let said = refused(&shop(
        &format!("{ROLLED}set down: 1, "),
        CORNER,
        "",
        EVENING,
    ));
    says(&said, &["`set down` has no meaning"]);
    let said = refused(&shop(ROLLED, CORNER, "people: 0, ", EVENING));
    says(&said, &["nobody is there to roll `saw` out for `rip`"]);
    let said = refused(&shop(ROLLED, CORNER, "cure: {time: 1 h}, ", EVENING));
    says(&said, &["what `rip` leaves cures on it", "`ties up: []`"]);
    let said = refused(&shop(ROLLED, "parked: {turn: 90}", "", EVENING));
    says(&said, &["needs `at`"]);
    let said = refused(&shop(
        ROLLED,
        CORNER,
        "",
        &EVENING.replace("[car]", "[cart]"),
    ));
    says(&said, &["nothing in the room is called `cart`", "car"]);
}

/// What is found in the layout, in short.
fn found(text: &str) -> Vec<String> {
    let loaded = scenario::load_to_check("x.yaml", text.as_bytes());
    let loaded = loaded.unwrap_or_else(|problems| panic!("{}", problems.render(false)));
    let legs = checked_legs(&loaded.study).expect("nothing gets stuck");
    let candidate = &loaded.study.candidates[0];
    let floor = LayoutFindings::checked(candidate, &legs[0]).expect("it is drawn");
    let told = told(&floor.shop, floor.plan.room.as_ref(), &floor.findings);
    told.iter()
        .map(|finding| in_short(finding, loaded.study.units))
        .collect()
}

fn has(found: &[String], what: &str) -> bool {
    found.iter().any(|says| says.contains(what))
}

#[test]
fn a_car_that_parks_is_in_the_way_only_while_the_shop_is_shut() {
    // The saw is used where the car parks, and is parked in a corner: nothing stands where the car does.
    let apart = found(&shop(ROLLED, CORNER, "", EVENING));
    assert!(!has(&apart, "car"), "{apart:?}");
    // Parked 18 in into it, since its box is 3 ft wide and the car's 6 ft: 10 ft + 3 ft against 14 ft - 1.5 ft.
    let inside = found(&shop(ROLLED, "parked: {at: [14 ft, 14 ft]}", "", EVENING));
    assert!(has(&inside, "while the shop is shut: "), "{inside:?}");
    // What always stands there is in the way of the saw wherever it is used.
    let always = found(&shop(
        ROLLED,
        CORNER,
        "",
        &EVENING.replace(", parks: [car]", ""),
    ));
    assert!(has(&always, "with saw rolled out: "), "{always:?}");
}

#[test]
fn each_thing_is_judged_where_it_is_parked_and_where_it_is_used() {
    // In front of the door it blocks the way out only while it is parked there; a board of 4 ft passes it in the middle.
    let before_the_door = found(&shop(ROLLED, "parked: {at: [10 ft, 2 ft]}", "", EVENING));
    assert!(
        before_the_door
            .iter()
            .any(|says| says.contains("door") && !says.starts_with("with ")),
        "{before_the_door:?}"
    );
    // Two feet from the wall there is no room to feed it, though it is parked where there would be.
    let by_the_wall = found(
        &shop(ROLLED, CORNER, "", EVENING)
            .replace("saw: {at: [10 ft, 10 ft]", "saw: {at: [10 ft, 17 ft]"),
    );
    assert!(
        has(&by_the_wall, "with saw rolled out: too little room to feed"),
        "{by_the_wall:?}"
    );
}

#[test]
fn people_walk_where_everything_is_parked_but_to_what_is_rolled_out() {
    // One stands left of the saw: parked at (2, 12) ft, and at (7, 10) ft where it is used. From before the rack, at (2, 17)
    // ft, the first is 5 ft away, straight; to the other the parked saw would be in the way, but it stands there no more.
    let rolled = format!("{ROLLED}stand: [-3 ft, 0], ");
    let text = shop(&rolled, "parked: {at: [5 ft, 12 ft]}", "", EVENING);
    let loaded = scenario::load("x.yaml", text.as_bytes());
    let loaded = loaded.unwrap_or_else(|problems| panic!("{}", problems.render(false)));
    let candidate = &loaded.study.candidates[0];
    let (walks, plan) = (&candidate.walks, candidate.plan.as_ref().expect("a plan"));
    let [rack, saw, bench] = [0, 1, 2].map(PlaceId);
    let out = walks.row_rolled_out(PlaceId(1)).expect("it is rolled out");
    let feet = |from, to| walks.distance(Manner::Empty, from, to).metres() / 0.3048;
    assert!((feet(rack, saw) - 5.0).abs() < 1e-6);
    assert!((feet(rack, out) - f64::hypot(5.0, 7.0)).abs() < 1e-6);
    assert!((feet(out, rack) - feet(rack, out)).abs() < 1e-6);
    // From the bench, at (17, 4) ft, the saw itself is in the way where it is used, and everything else as it is parked.
    assert!(feet(bench, out) > f64::hypot(10.0, 6.0) + 0.1);
    assert_eq!(walks.places(), plan.places() + 1);
    assert_eq!(walks.place_of(out.index()), saw);
}
