//! That what is advised helps: shifts around things that are not convex, reckoned by hand.

use shopstride::floor::check::check;
use shopstride::floor::{Fact, FeedHazard, Point, RuleId, Shift, Side};

use super::scenes::{FT, Scene, ft, helped, inches, said};

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
    let found = findings
        .iter()
        .find(|finding| finding.rule == RuleId::InTheWay);
    let Some(Fact::Overlap { depth, apart, .. }) = found.map(|finding| &finding.fact) else {
        panic!("{findings:?}")
    };
    let diagonal = 0.5 * 2.0_f64.sqrt() * FT;
    assert!(*depth <= 0.5 * FT + 1e-9, "{depth}");
    let &Shift::By(apart) = apart else {
        panic!("the diagonal helps: {apart:?}")
    };
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
    // It is tried a foot, which is what is missing, and 60 cm beyond that.
    assert_eq!(
        helped(&findings[0]),
        "no shift of bench by up to 3.0 ft was found that helps: turn it, move what stands around it, or find it \
         another place"
    );
    // A foot less, and there is.
    let mut scene = Scene::room(20.0, 3.0);
    scene.thing("left", &[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
    scene.station("bench", (6.0, 1.5), (6.0, 2.0)).stand = Point::new(0.0, -1.2 * FT);
    assert_eq!(
        helped(&scene.only("in the way")),
        "move bench away from left by 1.0 ft"
    );
}

/// What came of looking for a shift, of a rule's only finding.
fn shift_of(scene: &Scene, rule: &str) -> Shift {
    let findings = check(&scene.shop, &scene.plan, &scene.walked, &scene.limits);
    let mut facts = findings
        .iter()
        .filter(|finding| finding.rule.name() == rule);
    let fact = &facts.next().expect("a finding").fact;
    assert!(facts.next().is_none(), "{findings:?}");
    match fact {
        Fact::BeforeDoor { out, .. } | Fact::InLeaf { out, .. } | Fact::BeforePanel { out, .. } => {
            *out
        }
        Fact::ReachBlocked { away, .. } => *away,
        Fact::Feed(fact) => fact.shift,
        Fact::Standing { away, .. } => away.shift,
        other => panic!("{other:?}"),
    }
}

/// The shift by which a rule's only finding is mended, in feet.
fn feet_of(scene: &Scene, rule: &str) -> f64 {
    match shift_of(scene, rule) {
        Shift::By(metres) => metres / FT,
        other => panic!("{other:?}"),
    }
}

/// That a figure is the least that helps, to a step of a centimetre and a tenth of a millimetre.
#[track_caller]
fn is_least(advised: f64, least: f64) {
    assert!(
        advised > least - 2e-4 / FT && advised < least + 0.01 / FT + 1e-9,
        "{advised} {least}"
    );
}

/// Out of the floor before a door, which is 28 in deep, the shortest way is that into the room; a cupboard there makes it
/// go aside, out of the opening of 3 ft.
#[test]
fn out_of_a_door_another_thing_makes_it_go_aside() {
    let depth = 28.0 / 12.0;
    let before_door = |y: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("saw", (6.5, y + 1.0), (2.0, 2.0)).stand = ft(5.0, 0.0);
        scene.door("door", (5.0, 0.0), (8.0, 0.0));
        scene
    };
    let scene = before_door(depth - 0.5);
    is_least(feet_of(&scene, "doors"), 0.5);
    assert_eq!(helped(&scene.only("doors")), "move saw out of it by 0.5 ft");
    let mut scene = before_door(depth - 0.5);
    scene
        .station("cupboard", (6.5, depth + 2.5), (12.0, 2.0))
        .stand = ft(0.0, 2.0);
    // From 5.5 to 7.5 ft: 2.5 ft aside it is out of the opening, and half a foot into the room is not free. But that is
    // farther than what is tried beyond the half foot.
    assert_eq!(
        shift_of(&scene, "doors"),
        Shift::NoneHelps {
            as_far: 0.5 * FT + 0.6
        }
    );
    scene.the_room().doors[0].between = (ft(6.5, 0.0), ft(9.5, 0.0));
    // Now it is a foot into the opening.
    is_least(feet_of(&scene, "doors"), 1.0);
}

/// What belongs to the room is not to be moved.
#[test]
fn nobody_is_told_to_move_what_belongs_to_the_room() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.thing("heater", &[(5.5, 1.0), (7.5, 1.0), (7.5, 3.0), (5.5, 3.0)]);
    scene.door("door", (5.0, 0.0), (8.0, 0.0));
    scene.panel("panel", (6.5, 5.0), Point::new(0.0, -1.0));
    let [door, panel] = ["doors", "panel"].map(|rule| helped(&scene.only(rule)));
    assert!(door.starts_with("heater belongs to the room"), "{door}");
    assert!(panel.starts_with("heater belongs to the room"), "{panel}");
    assert!(panel.ends_with("nothing is ever stored there"), "{panel}");
    assert_eq!(shift_of(&scene, "doors"), Shift::Untried);
}

/// Aside out of the 30 in before a panel it is 0.4 ft, and deeper into the room 1 ft.
#[test]
fn out_of_the_floor_before_a_panel_goes_what_stands_there() {
    let before = |others: &[(f64, f64)]| {
        let mut scene = Scene::room(20.0, 12.0);
        let stand = |scene: &mut Scene, name: &str, at| {
            scene.station(name, at, (2.0, 2.0)).stand = ft(4.0, 0.0);
        };
        stand(&mut scene, "bench", (3.0, 6.0 + 1.25 + 1.0 - 0.4));
        for &at in others {
            stand(&mut scene, "cupboard", at);
        }
        scene.panel("panel", (0.0, 6.0), Point::new(1.0, 0.0));
        scene
    };
    is_least(feet_of(&before(&[]), "panel"), 0.4);
    // With a cupboard right behind it, it goes into the room: from 2 ft to 3 ft.
    is_least(feet_of(&before(&[(3.0, 9.85)]), "panel"), 1.0);
    let boxed_in = before(&[(3.0, 9.85), (5.0, 7.85), (3.0, 5.85)]);
    let findings = boxed_in.of("panel");
    assert!(findings.len() == 2, "{findings:?}");
    let help = helped(&findings[0]);
    assert!(
        help.starts_with("no shift of bench by up to ")
            && help.ends_with("nothing is ever stored there"),
        "{help}"
    );
}

/// A saw in a room of 20 by 12 ft, at x along it, that takes boards of 8 ft: from 10.5 to 12 ft it has room.
fn saw_at(x: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.feed("saw", (x, 6.0), (3.0, 3.0), Side::PlusX);
    scene.piece("rail", 0, inches(96.0, 6.0, 1.0));
    scene
}

#[test]
fn along_its_strip_a_saw_goes_as_far_as_is_missing_unless_something_stands_there() {
    is_least(feet_of(&saw_at(10.0), "feed"), 0.5);
    is_least(feet_of(&saw_at(12.4), "feed"), 0.4);
    let mut scene = saw_at(10.0);
    let saw = scene.plan.placements[shopstride::shop::StationId(0)].as_mut();
    let saw = saw.expect("placed");
    // It is set up from its side and fed from behind the piece.
    (saw.stand, saw.kickback) = (ft(0.0, -2.5), true);
    let mut blocked = scene.clone();
    is_least(feet_of(&scene, "feed"), 0.5);
    // Where one stands at it would then be in a post.
    blocked.thing(
        "post",
        &[(10.9, 3.0), (12.5, 3.0), (12.5, 4.2), (10.9, 4.2)],
    );
    assert!(matches!(
        shift_of(&blocked, "feed"),
        Shift::NoneHelps { .. }
    ));
    let help = helped(&blocked.only("feed"));
    assert!(
        help.starts_with("no shift of saw along the strip by up to 2.5 ft makes room for it; cut"),
        "{help}"
    );
}

/// Out of a post at the wall it is half a foot straight away from the wall, but then the bench stands in the strip of
/// the saw, and that is no help: along the wall it takes the bench's width, and harms nothing.
#[test]
fn no_shift_is_told_that_makes_another_fault() {
    let bench_beside = |panel: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.feed("saw", (11.0, 6.0), (3.0, 3.0), Side::PlusX);
        scene.piece("panel", 0, inches(96.0, panel, 1.0));
        scene.station("bench", (4.0, 9.3), (2.0, 2.0)).stand = Point::new(0.0, -1.8 * FT);
        scene.thing("post", &[(3.0, 9.8), (5.0, 9.8), (5.0, 12.0), (3.0, 12.0)]);
        scene
    };
    let advised = |scene: &Scene| helped(&scene.only("in the way"));
    assert_eq!(
        advised(&bench_beside(6.0)),
        "move bench away from post by 0.5 ft"
    );
    assert_eq!(
        advised(&bench_beside(48.0)),
        "move bench away from post by 2.0 ft"
    );
}

#[test]
fn sideways_a_saw_goes_clear_of_what_stands_beside_its_cutter() {
    let beside = |wall: f64| {
        let mut scene = Scene::room(20.0, wall);
        scene.feed("saw", (11.0, 6.0), (3.0, 3.0), Side::PlusX);
        scene.piece("panel", 0, inches(96.0, 48.0, 1.0));
        // A strip of 4.5 ft and its hands' breadth: the post stands a foot within it.
        scene.thing(
            "post",
            &[(10.5, 7.6), (11.5, 7.6), (11.5, 9.0), (10.5, 9.0)],
        );
        scene
    };
    let scene = beside(12.0);
    let finding = scene.only("feed");
    let half = finding.value("strip_width_m").expect("given") / FT / 2.0;
    is_least(feet_of(&scene, "feed"), half - 1.6);
    let help = helped(&finding);
    assert!(
        help.starts_with("move saw sideways from post by "),
        "{help}"
    );
    // With a second post as far on the other side there is no such place.
    let mut scene = beside(12.0);
    scene.thing(
        "pillar",
        &[(10.5, 3.0), (11.5, 3.0), (11.5, 4.4), (10.5, 4.4)],
    );
    let help = helped(&scene.only("feed"));
    assert!(
        help.starts_with("no shift of saw sideways by up to ")
            && help.contains("find it another place"),
        "{help}"
    );
}

/// A bench that is to be reached from behind stands 1 ft from the wall there, and a person takes 50 cm.
#[test]
fn a_bench_goes_away_from_what_keeps_people_from_a_side_of_it() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", (10.0, 10.0), (5.0, 2.0)).reach_from = [false, false, true, false];
    is_least(feet_of(&scene, "reach"), 0.5 / FT - 1.0);
    let help = helped(&scene.only("reach"));
    assert!(
        help.starts_with("move bench away from the wall by 0.6 ft"),
        "{help}"
    );
    // A cabinet before it leaves 2 ft to stand, and is in its way.
    scene.station("cabinet", (10.0, 6.0), (20.0, 2.0)).stand = ft(0.0, -3.0);
    assert!(matches!(shift_of(&scene, "reach"), Shift::NoneHelps { .. }));
}

/// Nobody is told to stand where there is no room.
#[test]
fn beside_the_line_of_the_blade_there_is_room_or_it_is_said() {
    let with_posts = |posts: &[f64]| {
        let mut scene = saw_at(11.0);
        let saw = scene.plan.placements[shopstride::shop::StationId(0)].as_mut();
        let saw = saw.expect("placed");
        (saw.kickback, saw.stand) = (true, ft(-2.5, 0.0));
        for &y in posts {
            scene.thing(
                "post",
                &[(8.0, y), (9.0, y), (9.0, y + 1.0), (8.0, y + 1.0)],
            );
        }
        scene
    };
    let is_room = |scene: &Scene| {
        let findings = check(&scene.shop, &scene.plan, &scene.walked, &scene.limits);
        let of_rule = findings
            .into_iter()
            .find(|found| found.rule == RuleId::BladeLine);
        match of_rule.expect("found").fact {
            Fact::FeedHazard(FeedHazard::BladeLine { is_room, .. }) => is_room,
            other => panic!("{other:?}"),
        }
    };
    assert!(is_room(&with_posts(&[])));
    // The one side is enough.
    assert!(is_room(&with_posts(&[6.9])));
    let scene = with_posts(&[6.9, 4.1]);
    assert!(!is_room(&scene), "{:?}", scene.of("blade line"));
    let finding = scene.only("blade line");
    assert!(
        helped(&finding).ends_with("there is no room for that on either side"),
        "{} {}",
        said(&finding),
        helped(&finding)
    );
}

/// Who has too little room at a saw is not sent into the line of its blade, where a hand's breadth aside there is room.
#[test]
fn nobody_is_advised_to_stand_in_the_line_of_the_blade() {
    let or_place = |kickback: bool| {
        let mut scene = saw_at(11.0);
        let saw = scene.plan.placements[shopstride::shop::StationId(0)].as_mut();
        let saw = saw.expect("placed");
        (saw.kickback, saw.stand) = (kickback, ft(-2.5, 0.0));
        scene.thing("post", &[(8.0, 6.7), (9.0, 6.7), (9.0, 7.7), (8.0, 7.7)]);
        let findings = check(&scene.shop, &scene.plan, &scene.walked, &scene.limits);
        let found = findings
            .into_iter()
            .find(|found| found.rule == RuleId::Standing);
        match found.expect("found").fact {
            Fact::Standing { away, .. } => away.or_place,
            other => panic!("{other:?}"),
        }
    };
    assert!(or_place(false), "a hand's breadth aside there is room");
    assert!(!or_place(true), "but there the blade points at who stands");
}
