//! Things as boxes: what hangs over what, what people walk below, what is within reach and what is too high.

use shopstride::floor::{FindingLevel, HeightRange, Point};
use shopstride::scenario;
use shopstride::shop::{PersonId, StationId};

use super::scenes::{FT, IN, Scene, ft, helped, inches, said};

/// From so many inches above the floor to so many.
fn inches_high(bottom: f64, top: f64) -> HeightRange {
    HeightRange {
        bottom: bottom * IN,
        top: top * IN,
    }
}

/// A bench of 6 by 2 ft at the wall at the top of a room, 35 in high, and a cabinet on the wall above it that begins so
/// high.
fn bench_and_cabinet(bottom: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", (10.0, 11.0), (6.0, 2.0)).heights = inches_high(0.0, 35.0);
    let cabinet = scene.station("cabinet", (10.0, 11.5), (3.0, 1.0));
    cabinet.heights = inches_high(bottom, bottom + 30.0);
    cabinet.stand = ft(0.0, -2.5);
    scene
}

#[test]
fn a_cabinet_hangs_over_a_bench() {
    assert!(bench_and_cabinet(54.0).findings().is_empty());
    assert!(
        bench_and_cabinet(35.0).of("overlap").is_empty(),
        "it rests on it"
    );
    let finding = bench_and_cabinet(34.0).lacks("overlap", FindingLevel::Fault, 12.0);
    assert!(
        helped(&finding).ends_with("or hang cabinet higher by 0.1 ft"),
        "{}",
        helped(&finding)
    );
    // Under a ceiling that is as high as the cabinet's top, nothing goes higher.
    let mut low = bench_and_cabinet(34.0);
    low.the_room().ceiling = Some(64.5 * IN);
    assert!(!helped(&low.only("overlap")).contains("higher"));
    // What nobody has measured reaches up to the ceiling.
    let mut unknown = bench_and_cabinet(54.0);
    unknown.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .heights = HeightRange::default();
    unknown.lacks("overlap", FindingLevel::Fault, 12.0);
}

/// A room of 20 by 12 ft, parted at x = 10 ft by something that begins so many inches above the floor, with a place on
/// either side to which the work sends people.
fn parted(bottom: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    for (name, x) in [("saw", 4.0), ("bench", 16.0)] {
        scene.station(name, (x, 8.0), (2.0, 2.0));
    }
    scene.piece("rail", 0, super::scenes::inches(40.0, 4.0, 1.0));
    scene.piece("stile", 1, super::scenes::inches(40.0, 4.0, 1.0));
    scene.thing(
        "duct",
        &[(9.5, 0.0), (10.5, 0.0), (10.5, 12.0), (9.5, 12.0)],
    );
    scene.the_room().blocked[0].heights = inches_high(bottom, bottom + 12.0);
    scene
}

/// 29 CFR 1910.36(g)(1): 6 ft 8 in.
#[test]
fn people_walk_below_what_leaves_them_6_ft_8_in() {
    let mut scene = parted(80.0);
    scene.plan.head_room = scene.limits.head_room;
    assert!(scene.findings().is_empty(), "{:#?}", scene.findings());
    scene.the_room().blocked[0].heights.bottom = 79.9 * IN;
    assert_eq!(scene.of("reachable").len(), 1);
    assert_eq!(scene.plan.obstacles().count(), 3);
    scene.plan.head_room = 79.9 * IN;
    assert!(scene.of("reachable").is_empty());
    assert_eq!(scene.plan.obstacles().count(), 2);
}

#[test]
fn people_stand_below_what_leaves_them_head_room() {
    let shelf_over_the_place = |bottom: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.plan.head_room = scene.limits.head_room;
        scene.station("bench", (10.0, 9.0), (6.0, 2.0));
        let shelf = scene.station("shelf", (10.0, 7.0), (6.0, 1.0));
        shelf.heights = inches_high(bottom, bottom + 8.0);
        shelf.stand = ft(-5.0, 0.0);
        scene.of("standing")
    };
    assert!(shelf_over_the_place(80.0).is_empty());
    let found = shelf_over_the_place(79.0);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].other.as_deref(), Some("shelf"));
}

#[test]
fn what_hangs_high_enough_is_not_before_a_door_nor_in_its_leaf() {
    let over_a_door = |bottom: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.plan.head_room = scene.limits.head_room;
        let shelf = scene.station("shelf", (6.5, 1.0), (3.0, 1.0));
        (shelf.heights, shelf.stand) = (inches_high(bottom, bottom + 8.0), ft(4.0, 2.0));
        let door = scene.door("door", (5.0, 0.0), (8.0, 0.0));
        (door.swings_in, door.height) = (true, Some(82.0 * IN));
        let found = scene.of("doors");
        assert!(found.len() <= 1, "{found:#?}");
        found.first().map(said)
    };
    let before = over_a_door(79.0).expect("it is in the way");
    assert!(before.contains("of floor before door"), "{before}");
    let in_leaf = over_a_door(81.0).expect("the leaf meets it");
    assert!(in_leaf.contains("keeps door from opening"), "{in_leaf}");
    assert_eq!(over_a_door(82.0), None);
}

/// NEC 110.26(A)(3): 6-1/2 ft.
#[test]
fn what_is_kept_free_before_a_panel_is_6_and_a_half_ft_high() {
    let before_panel = |bottom: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.panel("panel", (0.0, 6.0), Point::new(1.0, 0.0));
        let shelf = scene.station("shelf", (0.5, 6.0), (1.0, 3.0));
        (shelf.heights, shelf.stand) = (inches_high(bottom, bottom + 8.0), ft(2.0, 0.0));
        scene
    };
    before_panel(77.9).lacks("panel", FindingLevel::Fault, 12.0);
    assert!(before_panel(78.0).of("panel").is_empty());
}

/// The wall is a box's depth of `deep` inches behind the front of what stands before it; the board is 3 in thick.
fn tool_board_behind(deep: f64) -> Scene {
    let text = format!(
        "title: Board
room: {{size: [20 ft, 12 ft]}}
stations:
  bench: {{size: [72 in, {deep} in], height: 35 in, does: {{work: {{per lot: 1 min}}}}}}
  board: {{size: [60 in, 3 in], bottom: 40 in, height: 80 in}}
projects: {{box: {{pieces: 1, material at: board, route: [work]}}}}
orders: [{{project: box}}]
layouts:
  one: {{at: {{bench: [10 ft, {} in], board: [10 ft, 142.5 in]}}}}
",
        144.0 - deep / 2.0
    );
    let loaded = scenario::load("board.yaml", text.as_bytes());
    let study = loaded.unwrap_or_else(|problems| panic!("{problems}")).study;
    let candidate = &study.candidates[0];
    Scene {
        shop: (*candidate.shop).clone(),
        plan: candidate.plan.clone().expect("it is drawn"),
        walked: Vec::new(),
        limits: candidate.limits.clone(),
    }
}

/// One stands a foot before the bench, and the board's front is 3 in before the wall. 2010 ADA Standards 308.2.2: over
/// 25 in at most.
#[test]
fn one_reaches_over_a_bench_as_far_as_arms_go() {
    let scene = tool_board_behind(28.0);
    assert!(scene.findings().is_empty(), "{:#?}", scene.findings());
    let board = scene.plan.placements[StationId(1)].expect("placed");
    let front = 12.0 * FT - 28.0 * IN;
    assert!((board.standing().y - (front - FT)).abs() < 1e-9);
    let mut scene = tool_board_behind(31.0);
    scene.lacks("out of reach", FindingLevel::Warning, 3.0);
    scene.limits.reach_over = 28.0 * IN;
    assert!(scene.findings().is_empty(), "{:#?}", scene.findings());
}

#[test]
fn nobody_is_sent_to_what_hangs_higher_than_people_reach() {
    let mut scene = tool_board_behind(28.0);
    let board = |scene: &mut Scene, bottom: f64| {
        let board = scene.plan.placements[StationId(1)].as_mut();
        board.expect("placed").heights = inches_high(bottom, bottom + 12.0);
    };
    board(&mut scene, 72.0);
    assert!(scene.of("out of reach").is_empty());
    board(&mut scene, 74.5);
    scene.lacks("out of reach", FindingLevel::Warning, 2.5);
    // Where nobody is sent, it may hang as high as it likes.
    scene.shop.projects = Default::default();
    for person in scene.shop.crew.ids().collect::<Vec<_>>() {
        scene.shop.crew[person].starts_at = shopstride::shop::PlaceId(0);
    }
    assert!(scene.of("out of reach").is_empty());
}

#[test]
fn what_is_higher_than_the_ceiling_does_not_stand_there() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.the_room().ceiling = Some(90.0 * IN);
    scene.station("rack", (10.0, 6.0), (4.0, 2.0)).heights = inches_high(0.0, 90.0);
    assert!(scene.findings().is_empty());
    let rack = scene.plan.placements[StationId(0)].as_mut();
    rack.expect("placed").heights.top = 92.0 * IN;
    let finding = scene.lacks("too high", FindingLevel::Fault, 2.0);
    assert_eq!(finding.other, None);
}

/// A door of 9 by 7 ft whose leaf lies 7 ft deep below the ceiling while it is open.
#[test]
fn below_an_open_overhead_door_nothing_is_higher_than_that() {
    let below = |y: f64, top: f64| {
        let mut scene = Scene::room(20.0, 20.0);
        let door = scene.door("car door", (4.0, 0.0), (13.0, 0.0));
        (door.height, door.overhead) = (Some(7.0 * FT), true);
        let rack = scene.station("rack", (8.0, y), (2.0, 2.0));
        rack.heights = inches_high(0.0, top);
        scene
    };
    let finding = below(6.0, 85.0).lacks("too high", FindingLevel::Fault, 1.0);
    assert_eq!(finding.other.as_deref(), Some("car door"));
    assert!(below(6.0, 84.0).of("too high").is_empty());
    assert_eq!(below(7.9, 96.0).of("too high").len(), 1);
    assert!(below(8.0, 96.0).of("too high").is_empty(), "beyond it");
    let mut swings = below(6.0, 96.0);
    swings.the_room().doors[0].overhead = false;
    assert!(swings.of("too high").is_empty());
    let mut unknown = below(6.0, 96.0);
    unknown.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .heights = HeightRange::default();
    assert!(
        unknown.of("too high").is_empty(),
        "nobody said how high it is"
    );
}

/// The row of 175 cm of the handbook table: an elbow at 112.8 cm, hands at 88 to 103 cm with force, at 103 to 108 cm at light
/// work, and at 118 to 123 cm at fine work.
#[test]
fn the_height_of_a_bench_is_told_by_the_elbow_of_who_works_at_it() {
    let with = |name: &str, elbow: Option<f64>, can: bool| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(name, (10.0, 6.0), (6.0, 2.0)).heights = HeightRange {
            bottom: 0.0,
            top: 0.864,
        };
        scene.piece("panel", 0, inches(20.0, 10.0, 1.0));
        let maker = &mut scene.shop.crew[PersonId(0)];
        maker.elbow = elbow;
        maker.can = (!can).then(Vec::new);
        scene
    };
    let told = with("workbench", Some(1.128), true).only("bench height");
    assert_eq!(told.level, FindingLevel::Note);
    assert_eq!(
        said(&told),
        "workbench is 2.8 ft high; the hands of maker, whose elbow is at 3.7 ft, work best at 2.9 ft to 3.4 ft with force, \
         as in planing, at 3.4 ft to 3.5 ft at light work, and at 3.9 ft to 4.0 ft at fine work"
    );
    // Of somebody 175 cm tall the elbow is at 0.63 x 175 + 2.5 cm with shoes on (worked case `bench_height_175cm`; Bodyspace).
    let exact = with("workbench", Some(1.1275), true).only("bench height");
    for (figure, centimetres) in [
        ("with_force_low_m", 87.75),
        ("with_force_high_m", 102.75),
        ("light_low_m", 102.75),
        ("light_high_m", 107.75),
        ("fine_low_m", 117.75),
        ("fine_high_m", 122.75),
    ] {
        let found = exact.value(figure).expect("given");
        assert!(
            (found - centimetres / 100.0).abs() < 1e-9,
            "{figure}: {found}"
        );
    }
    for silent in [
        with("workbench", None, true),
        with("workbench", Some(1.128), false),
        with("band saw", Some(1.128), true),
    ] {
        assert!(silent.of("bench height").is_empty());
    }
}
