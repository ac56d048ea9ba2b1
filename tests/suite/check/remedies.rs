//! That what is advised helps: shifts around things that are not convex, reckoned by hand.

use shopstride::floor::check::check;
use shopstride::floor::{Fact, Point};

use super::scenes::{FT, Scene, helped};

/// What stands in a notch, half a foot too deep on both sides: half a foot along one of them does not help, and along
/// the diagonal it takes the root of 2 times as much.
#[test]
fn out_of_a_notch_it_takes_the_diagonal() {
    let notched = |at: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.thing(
            "heater",
            &[
                (4.0, 3.0),
                (9.0, 3.0),
                (9.0, 4.0),
                (5.0, 4.0),
                (5.0, 9.0),
                (4.0, 9.0),
            ],
        );
        scene.station("saw", (5.0 + at, 4.0 + at), (2.0, 2.0)).stand = Point::new(1.5 * FT, 0.0);
        scene
    };
    let scene = notched(0.5);
    let findings = check(&scene.shop, &scene.plan, &[], &scene.limits);
    let found = findings.iter().find(|finding| finding.rule == "in the way");
    let Some(Fact::Overlap { depth, apart }) = found.map(|finding| &finding.fact) else {
        panic!("{findings:?}")
    };
    let diagonal = 0.5 * 2.0_f64.sqrt() * FT;
    assert!(*depth <= 0.5 * FT + 1e-9, "{depth}");
    let apart = apart.expect("the diagonal helps");
    // A tenth of a millimetre may be left, and steps are a centimetre.
    assert!(
        apart > diagonal - 2e-4 && apart < diagonal + 0.01,
        "{apart}"
    );
    let finding = scene.only("in the way");
    assert!(
        helped(&finding).starts_with("move saw away from heater by 0.7 ft"),
        "{}",
        helped(&finding)
    );
    // So far along the diagonal nothing overlaps, and half a foot of it is too little.
    assert!(
        notched(0.5 + apart / FT / 2.0_f64.sqrt())
            .of("in the way")
            .is_empty()
    );
    assert_eq!(
        notched(0.5 + 0.5 / 2.0_f64.sqrt()).of("in the way").len(),
        1
    );
}

/// In a corner of the room both walls are left at once by the diagonal, which is how far the rack's corner lies outside.
#[test]
fn out_of_a_corner_of_the_room_it_takes_the_diagonal() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("rack", (0.5, 0.5), (2.0, 2.0)).stand = Point::new(3.0 * FT, 3.0 * FT);
    let finding = scene.only("walls");
    let diagonal = 0.5 * 2.0_f64.sqrt() * FT;
    assert!((finding.missing.expect("it is") - diagonal).abs() < 1e-9);
    assert_eq!(helped(&finding), "move rack into the room by 0.7 ft");
}

/// Between two things that leave a foot too little there is no shift that helps, and none is told.
#[test]
fn where_no_shift_helps_none_is_told() {
    let mut scene = Scene::room(20.0, 3.0);
    scene.thing("left", &[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
    scene.thing("right", &[(9.0, 0.0), (20.0, 0.0), (20.0, 3.0), (9.0, 3.0)]);
    scene.station("bench", (6.0, 1.5), (6.0, 2.0)).stand = Point::new(0.0, -1.2 * FT);
    let findings = scene.of("in the way");
    assert_eq!(findings.len(), 1);
    assert_eq!(helped(&findings[0]), "move bench away from left");
    // A foot less, and there is.
    let mut scene = Scene::room(20.0, 3.0);
    scene.thing("left", &[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
    scene.station("bench", (6.0, 1.5), (6.0, 2.0)).stand = Point::new(0.0, -1.2 * FT);
    assert_eq!(
        helped(&scene.only("in the way")),
        "move bench away from left by 1.0 ft"
    );
}
