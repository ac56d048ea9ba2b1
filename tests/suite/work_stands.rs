//! Where one stands for single operations at a station: by hand, in times, walks, checks and what is told.

use crate::support::command::refused_of;
use crate::support::{record, study};
use shopstride::experiment::Study;
use shopstride::floor::check::RULES;
use shopstride::floor::{Finding, FindingSubject, Manner, RuleId};
use shopstride::shop::{PersonId, PlaceId};

const SECOND: i64 = 1_000_000;

/// A rack at the origin where the maker begins, and a saw at (4, 0): one rips at (4, -3), 5 m away from the rack, and
/// crosscuts at (4, 1), 4 m from there. At 1 m/s; a piece is picked up in 2 s and put down in 3 s.
fn saw(stand: &str, place: &str, route: &str) -> String {
    format!(
        "title: Two sides\n\
         stations:\n\
         \x20 rack: {{stand: [0, 0]}}\n\
         \x20 saw: {{{stand}does: {{rip: {{per piece: 1 min}}, crosscut: {{per piece: 30 s}}}}}}\n\
         crew: {{maker: {{starts at: rack}}}}\n\
         handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 2 s, put down: 3 s}}\n\
         projects: {{box: {{material at: rack, route: [{route}]}}}}\norders: [{{project: box}}]\n\
         layouts: {{room: {{walk: straight, at: {{rack: [0, 0], saw: {place}}}}}}}\n"
    )
}

const BOTH: &str = "stand: {rip: [0, -3 m], crosscut: [0, 1 m]}, ";

fn played(text: &str) -> (i64, f64) {
    let study: Study = study(text);
    let record = record(&study, 0, 1, 0);
    (record.end.micros() / SECOND, record.walking().metres())
}

/// 2 + 5 + 3 s of carrying and a minute, then 4 m around the saw, where the board lies already, and 30 s.
#[test]
fn who_does_an_operation_walks_to_where_one_stands_for_it() {
    assert_eq!(played(&saw(BOTH, "[4 m, 0]", "rip, crosscut")), (104, 9.0));
    // A layout may say it instead, of one operation or of both.
    let place = "{at: [4 m, 0], stand: {crosscut: [0, 1 m]}}";
    let rip = "stand: {rip: [0, -3 m]}, ";
    assert_eq!(played(&saw(rip, place, "rip, crosscut")), (104, 9.0));
    // What a layout says of all work goes before what the station says of some.
    let place = "{at: [4 m, 0], stand: [0, -3 m]}";
    assert_eq!(played(&saw(BOTH, place, "rip, crosscut")), (100, 5.0));
    // Turned by a quarter one rips at (7, 0) and crosscuts at (3, 0).
    let place = "{at: [4 m, 0], turn: 90}";
    assert_eq!(played(&saw(BOTH, place, "rip, crosscut")), (106, 11.0));
}

#[test]
fn trips_are_told_by_operation() {
    let study = study(&saw(BOTH, "[4 m, 0]", "rip, crosscut"));
    let shop = &study.candidates[0].shop;
    let names: Vec<&str> = (0..shop.places() as u32)
        .map(|place| shop.place_name(PlaceId(place)))
        .collect();
    assert_eq!(names, ["rack", "saw", "saw (rip)", "saw (crosscut)"]);
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.trips(Manner::Carrying, PlaceId(0), PlaceId(2)), 1);
    assert_eq!(record.trips(Manner::Empty, PlaceId(2), PlaceId(3)), 1);
    let maker = &record.crew[PersonId(0).index()];
    assert_eq!(maker.working.micros(), 90 * SECOND);
}

#[test]
fn an_operation_that_a_station_does_not_do_is_an_error() {
    let wrong = saw("stand: {ripp: [0, -3 m]}, ", "[4 m, 0]", "rip");
    refused_of(
        &wrong,
        "nobody stands at `saw` for `ripp`, which it does not do",
    );
    refused_of(&wrong, "it does: rip, crosscut");
    refused_of(&wrong, "shop.yaml:4:");
    let wrong = saw("", "{at: [4 m, 0], stand: {plane: [0, 1 m]}}", "rip");
    refused_of(&wrong, "nobody stands at `saw` for `plane`");
}

/// A saw 1 m deep in the middle of a room of 4 x 4 m, fed toward +y: one rips 50 cm before it, and crosscuts behind it,
/// where a post of 40 cm leaves 15 cm to the middle of whoever stands there.
fn checked(crosscut: &str) -> Vec<Finding> {
    let study = study(&format!(
        "title: Behind the saw\n\
         room: {{size: [4 m, 4 m], doors: [{{name: door, between: [[0, 1 m], [0, 2 m]]}}], blocked: [{{name: post, at: [2 m, 3.4 m], size: [40 cm, 40 cm]}}]}}\n\
         stations: {{saw: {{size: [1 m, 1 m], feed toward: +y, kickback: true, stand: {{rip: [-30 cm, -1 m], crosscut: {crosscut}}}, does: {{rip: {{per piece: 1 min}}, crosscut: {{per piece: 1 min}}}}}}}}\n\
         projects: {{box: {{finished: [30 cm, 10 cm, 2 cm], route: [rip, crosscut]}}}}\norders: [{{project: box}}]\n\
         layouts: {{room: {{walk: straight, at: {{saw: [2 m, 2 m]}}}}}}\n"
    ));
    let candidate = &study.candidates[0];
    let plan = candidate.plan.as_ref().expect("a plan");
    let site = shopstride::floor::Site::new(&candidate.shop, plan, &candidate.limits);
    let scene = shopstride::floor::check::Scene::new(&site, plan, &[]);
    RULES.iter().flat_map(|rule| (rule.tell)(&scene)).collect()
}

fn told_of(findings: &[Finding], rule: RuleId) -> Vec<&Finding> {
    let of = |finding: &&Finding| finding.rule == rule;
    findings.iter().filter(of).collect()
}

#[test]
fn every_place_is_judged() {
    let behind = checked("[0, 1.1 m]");
    let [standing] = told_of(&behind, RuleId::Standing)[..] else {
        panic!("{behind:?}");
    };
    // The places are the saw, the door, and then those of rips and crosscuts.
    assert_eq!(standing.subject, FindingSubject::Place(PlaceId(3)));
    let beside = checked("[1.2 m, 0]");
    assert!(told_of(&beside, RuleId::Standing).is_empty(), "{beside:?}");
    assert!(told_of(&beside, RuleId::BladeLine).is_empty(), "{beside:?}");
    // In line with the blade, which is in the middle.
    let in_line = checked("[0, -1 m]");
    let [line] = told_of(&in_line, RuleId::BladeLine)[..] else {
        panic!("{in_line:?}");
    };
    assert_eq!(line.subject, FindingSubject::Place(PlaceId(3)));
}

/// The same saw parked at (4, 8) and rolled out to (4, 0) in a minute: one goes to it as it is parked, and works where one
/// stands for each operation when it is out.
#[test]
fn what_is_rolled_out_has_its_places_there() {
    let place = "{at: [4 m, 0], parked: {at: [4 m, 8 m]}}";
    let stand = "roll out: 1 min, roll in: 1 min, stand: {rip: [0, -3 m], crosscut: [0, 1 m]}, ";
    let study = study(&saw(stand, place, "rip, crosscut"));
    let walks = &study.candidates[0].walks;
    let out = |place: u32| {
        walks
            .row_rolled_out(PlaceId(place))
            .expect("it is rolled out")
    };
    let metres = |from, to| walks.distance(Manner::Empty, from, to).metres();
    assert!((metres(PlaceId(0), out(2)) - 5.0).abs() < 1e-6);
    assert!((metres(out(2), out(3)) - 4.0).abs() < 1e-6);
    // Parked, one stands before it as it is used for nothing there: 12 in off its middle.
    let parked = f64::hypot(4.0, 8.0 - 0.3048);
    for place in [1, 2, 3].map(PlaceId) {
        assert!((metres(PlaceId(0), place) - parked).abs() < 1e-6);
    }
}
