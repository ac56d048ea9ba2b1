//! How machines differ in what feeding them takes: whether one stands in line with the work, whether a piece lies across or
//! beside the blade, and how wide it may be.

use shopstride::floor::{
    FindingLevel, Flow, HeightRange, MachineCapacity, Placement, SheetCapacity, Side, Site,
    StockSizes, capacities,
};
use shopstride::report::check::Told;
use shopstride::shop::{ProjectId, StationId};

use super::scenes::{FT, IN, Scene, briefly, ft, helped, inches, said};

fn placement(scene: &mut Scene, index: u32) -> &mut Placement {
    scene.plan.placements[StationId(index)]
        .as_mut()
        .expect("placed")
}

fn figure(finding: &Told, name: &str) -> f64 {
    finding.value(name).expect("given") / IN
}

fn takes(scene: &Scene) -> Vec<MachineCapacity> {
    let site = Site::new(&scene.shop, &scene.plan, &scene.limits);
    capacities(&site, &scene.plan, &Flow::default(), StockSizes::IMPERIAL)
}

/// A jointer of 72 by 20 in in the middle of a room so many inches wide, at whose front one stands and walks along.
fn jointer(room: f64, length: f64) -> Scene {
    let mut scene = Scene::room(room / 12.0, 12.0);
    scene.feed(
        "jointer",
        (room / 24.0, 6.0),
        (6.0, 20.0 / 12.0),
        Side::MinusX,
    );
    let jointer = placement(&mut scene, 0);
    jointer.stand = Placement::default_stand(jointer.size);
    scene.piece("leg", 0, inches(length, 2.0, 2.0));
    scene
}

/// Whoever joints stands at the front and walks along the beds: (L - bed) / 2 + 0 beyond each end, at least the body. A leg
/// of 29 in needs nothing beyond the castings, a board of 8 ft 60 in beyond each end of a bed of 72 in.
#[test]
fn nobody_needs_room_in_line_where_one_stands_beside_the_work() {
    let leg = jointer(73.0, 29.0).only("feed");
    assert_eq!(leg.level, FindingLevel::Note, "{}", said(&leg));
    assert!((figure(&leg, "needed_m") - 72.0).abs() < 1e-9);
    assert!(!said(&leg).contains("operator"), "{}", said(&leg));
    let board = jointer(72.0 + 2.0 * 60.0, 96.0).only("feed");
    assert_eq!(board.level, FindingLevel::Note, "{}", said(&board));
    jointer(72.0 + 2.0 * 59.0, 96.0).lacks("feed", FindingLevel::Fault, 1.0);
    let jointer = &takes(&jointer(73.0, 29.0))[0];
    assert_eq!((jointer.lacks, jointer.short.len()), (0.0, 1));
    assert!((jointer.board.expect("walls end it") / IN - 36.5).abs() < 1e-6);
}

/// The 30 in of whoever stands in line stay, and so they do at a saw that may throw a piece back, wherever one stands.
#[test]
fn who_stands_in_line_or_at_a_saw_keeps_the_room_behind_the_piece() {
    let mut in_line = jointer(73.0, 29.0);
    placement(&mut in_line, 0).stand = ft(4.0, 0.0);
    in_line.lacks("feed", FindingLevel::Fault, 29.5);
    let mut saw = jointer(73.0, 29.0);
    placement(&mut saw, 0).kickback = true;
    saw.lacks("feed", FindingLevel::Fault, 29.5);
    // Beside the way to the machine, not beside the machine.
    let mut before = jointer(73.0, 29.0);
    placement(&mut before, 0).stand = ft(3.5, -22.0 / 12.0);
    before.lacks("feed", FindingLevel::Fault, 29.5);
}

/// A saw of 44 by 36 in, fed toward +y, with so many inches free to its left and to its right.
fn hemmed_in([left, right]: [f64; 2]) -> Scene {
    let mut scene = Scene::room(40.0, 24.0);
    scene
        .feed("table saw", (20.0, 11.0), (44.0 / 12.0, 3.0), Side::PlusY)
        .kickback = true;
    for (name, beside, way) in [("planer", left, -1.0), ("jointer", right, 1.0)] {
        let x = 20.0 + way * (22.0 + beside + 12.0) / 12.0;
        scene.station(name, (x, 11.0), (2.0, 2.0)).stand = ft(0.0, -9.0);
    }
    scene
}

/// "Ripping a 4x8 sheet into 2-ft widths needs about 4 ft left of the blade line for the offcut side and the fence side up
/// to 4 ft": 48 in and 2 in of room from the blade on one side, of which the saw itself takes 22 in.
#[test]
fn a_sheet_lies_beside_the_blade_with_its_whole_width() {
    let of = |free: [f64; 2]| takes(&hemmed_in(free))[0].clone();
    let whole = SheetCapacity::UpTo(96.0 * IN, 48.0 * IN);
    for free in [[28.0, 4.0], [5.0, 28.0], [60.0, 60.0]] {
        assert_eq!(of(free).sheet, whole, "{free:?}");
    }
    for free in [[27.9, 4.0], [4.0, 5.0]] {
        let saw = of(free);
        assert_eq!(saw.sheet, SheetCapacity::Halves(96.0 * IN, 24.0 * IN));
        let sheet = saw.short.iter().find(|short| short.is_sheet);
        let left = sheet
            .and_then(|sheet| sheet.beside)
            .expect("it is too wide");
        let wider = free[0].max(free[1]);
        assert!((left / IN - 22.0 - wider).abs() < 1e-2, "{}", left / IN);
    }
    assert!(matches!(of([3.0, 3.0]).sheet, SheetCapacity::UpTo(_, width) if width < 24.0 * IN));
}

/// What a route sends there is judged alike, and half of a sheet passes where a whole one does not.
#[test]
fn a_sheet_that_a_route_sends_to_a_saw_is_judged_alike() {
    let with = |width: f64| {
        let mut scene = hemmed_in([4.0, 5.0]);
        scene.piece("plywood", 0, inches(96.0, width, 0.75));
        scene.only("feed")
    };
    let whole = with(48.0);
    assert_eq!(whole.level, FindingLevel::Fault);
    // On the right 22 and 5 in are free of the blade.
    assert!((whole.missing.expect("it is") / IN - (50.0 - 27.0)).abs() < 1e-1);
    assert!(
        said(&whole).contains("stands beside the cutter"),
        "{}",
        said(&whole)
    );
    assert!(
        helped(&whole).contains("rip it in half first"),
        "{}",
        helped(&whole)
    );
    assert_eq!(with(24.0).level, FindingLevel::Note);
}

/// A saw of 3 by 3 ft, fed toward +y, so many feet from the left wall of a room of 20 by 10 ft: too little to rip 8 ft.
fn crosscut(x: f64) -> Scene {
    let mut scene = Scene::room(20.0, 10.0);
    scene
        .feed("table saw", (x, 5.0), (3.0, 3.0), Side::PlusY)
        .kickback = true;
    scene.piece("leg", 0, inches(96.0, 4.0, 1.0));
    let item = &mut scene.shop.projects[ProjectId(0)].items[0];
    item.route[0].choices[0].work.is_crosscut = true;
    scene
}

/// "Crosscutting to 8 ft needs 8 ft laterally": on one side of the blade or on the other.
#[test]
fn a_crosscut_slides_sideways() {
    for x in [8.0, 12.0, 10.0] {
        let finding = crosscut(x).only("feed");
        assert_eq!(finding.level, FindingLevel::Note, "{}", said(&finding));
        let says = said(&finding);
        assert!(
            says.contains(
                "lies across and slides past the cutter: it needs 8.0 ft on one side of it"
            ),
            "{says}"
        );
    }
    // With a cupboard at the wall on the right, 7 ft from the blade, and 7.5 ft to the wall on the left.
    let mut scene = crosscut(7.5);
    scene.station("cupboard", (17.25, 5.0), (5.5, 4.0));
    let finding = scene.lacks("feed", FindingLevel::Fault, 6.0);
    assert!(
        said(&finding).contains(
            "free on its left: 7.5 ft, as far as the wall, on its right: 7.0 ft, as far as cupboard"
        ),
        "{}",
        said(&finding)
    );
    assert!(
        helped(&finding).contains("miter saw or a hand-held saw"),
        "{}",
        helped(&finding)
    );
    // What stands before the saw, out of the way of a narrow board, is in nobody's way: 4 in and 2 in of room.
    let aside = |y: f64| {
        let mut scene = crosscut(8.0);
        scene.station("cupboard", (4.0, y), (2.0, 1.0));
        scene.station("shelf", (15.5, y), (2.0, 1.0));
        scene.only("feed").level
    };
    assert_eq!(aside(5.0 - 0.5 - 6.1 / 12.0), FindingLevel::Note);
    assert_eq!(aside(5.0 - 0.5 - 5.9 / 12.0), FindingLevel::Fault);
    // The same board ripped does not go through this room.
    let mut rip = crosscut(8.0);
    rip.shop.projects[ProjectId(0)].items[0].route[0].choices[0]
        .work
        .is_crosscut = false;
    assert_eq!(rip.only("feed").level, FindingLevel::Fault);
}

/// At a miter saw a board lies along the fence, and so along what `feed toward` says: the longest board of which it is told
/// that the saw takes it passes, and one that is an inch longer does not, whether its length alone is cut or an angle.
#[test]
fn a_miter_saw_takes_what_lies_along_its_fence() {
    for is_crosscut in [true, false] {
        let with = |length: f64| {
            let mut scene = Scene::room(20.0, 10.0);
            scene.feed("miter saw", (7.0, 5.0), (4.0, 2.0), Side::PlusX);
            scene.piece("leg", 0, inches(length, 4.0, 1.0));
            let item = &mut scene.shop.projects[ProjectId(0)].items[0];
            item.route[0].choices[0].work.is_crosscut = is_crosscut;
            scene
        };
        let longest = takes(&with(12.0))[0].board.expect("it ends at the wall") / IN;
        let level = |length: f64| with(length).only("feed").level;
        assert_eq!(level(longest - 0.01), FindingLevel::Note);
        assert_eq!(level(longest + 1.0), FindingLevel::Fault);
    }
}

/// What is cut across tips when its middle lies beyond the edge of the table, 18 in from the blade: at 36 in.
#[test]
fn what_is_cut_across_tips_over_the_side() {
    let with = |length: f64| {
        let mut scene = crosscut(10.0);
        let item = &mut scene.shop.projects[ProjectId(0)].items[0];
        item.route[0].piece = Some(inches(length, 4.0, 1.0));
        scene.of("tipping")
    };
    assert!(with(36.0).is_empty());
    let long = with(96.0);
    assert_eq!(long.len(), 1);
    assert!((figure(&long[0], "carried_m") - 18.0).abs() < 1e-9);
    assert!(
        said(&long[0]).contains("beside the cutter"),
        "{}",
        said(&long[0])
    );
    assert!(
        helped(&long[0]).contains("hand-held saw"),
        "{}",
        helped(&long[0])
    );
}

/// A planer: "L + 24 in behind", where somebody walks to the out-feed; no other machine says it.
#[test]
fn behind_a_planer_there_is_room_to_walk_or_it_is_said_that_there_is_none() {
    let of = |name: &str| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.feed(name, (11.0, 6.0), (2.0, 2.0), Side::PlusX);
        takes(&scene)[0].clone()
    };
    let planer = of("planer");
    let feet = |length: Option<f64>| length.expect("walls end it") / FT;
    assert!((feet(planer.board) - 8.5).abs() < 1e-9);
    assert!((feet(planer.walked.expect("somebody walks")) - 7.0).abs() < 1e-9);
    assert_eq!(of("drum sander").walked, None);
    assert_eq!(of("jointer-planer").walked, None);
}

/// A table that is meant to carry what comes and is a little too low or too high for that: "carries the work if 0 <= table
/// height - top <= 1/16 in".
#[test]
fn a_table_that_hardly_misses_the_height_is_told_of() {
    let with = |top: f64| {
        let mut scene = Scene::room(40.0, 12.0);
        scene
            .feed("saw", (15.0, 6.0), (3.0, 3.0), Side::PlusX)
            .table = Some(35.0 * IN);
        scene
            .station("out-feed table", (19.5, 6.0), (6.0, 3.0))
            .heights = HeightRange {
            bottom: 0.0,
            top: top * IN,
        };
        scene.piece("rail", 0, inches(96.0, 6.0, 0.75));
        let finding = scene.only("feed");
        (finding.level, briefly(&finding))
    };
    assert_eq!(with(35.0).0, FindingLevel::Note);
    assert_eq!(with(35.0 - 1.0 / 16.0).0, FindingLevel::Note);
    let (level, says) = with(34.5);
    assert_eq!(level, FindingLevel::Fault);
    assert!(
        says.ends_with("out-feed table is 0.5000 in too low to carry it"),
        "{says}"
    );
    assert!(
        with(35.25).1.ends_with("0.2500 in too high to carry it"),
        "{}",
        with(35.25).1
    );
    assert!(with(50.0).1.ends_with("missing"), "{}", with(50.0).1);
}

/// A miter saw that cuts 12 in and a jointer with knives of 6 in.
#[test]
fn what_is_wider_than_a_machine_takes_is_a_warning() {
    let of = |widest: Option<f64>, width: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("miter saw", (10.0, 6.0), (8.0, 2.0));
        scene.shop.stations[StationId(0)].widest = widest.map(|inches| inches * IN);
        scene.piece("back", 0, inches(60.0, width, 0.75));
        scene
    };
    let back = of(Some(12.0), 31.0).lacks("wide piece", FindingLevel::Warning, 19.0);
    assert_eq!(back.short, "back is too wide for miter saw");
    assert!(helped(&back).contains("another machine"));
    assert!(of(Some(12.0), 12.0).of("wide piece").is_empty());
    assert!(of(None, 31.0).of("wide piece").is_empty(), "nobody said so");
    // A board that stands on its edge is as wide as it is thick.
    let mut edge = of(Some(6.0), 7.0);
    edge.shop.operations[shopstride::shop::OperationId(0)] = "joint edge".to_owned();
    assert!(edge.of("wide piece").is_empty());
}
