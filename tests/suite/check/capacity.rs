//! What machines take where they stand: by hand, and against the rule about feeding.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use shopstride::floor::{
    FindingLevel, Flow, HeightRange, MachineCapacity, Obstacle, Placement, SheetCapacity, Side,
    Site, StockSizes, capacities,
};
use shopstride::report::check::Told;
use shopstride::shop::StationId;

use super::random::{build, ordinary};
use super::scenes::{FT, IN, Scene, ft};

fn takes(scene: &Scene) -> Vec<MachineCapacity> {
    let site = Site::new(&scene.shop, &scene.plan, &scene.limits);
    capacities(&site, &scene.plan, &Flow::default(), StockSizes::IMPERIAL)
}

const WHOLE: SheetCapacity = SheetCapacity::UpTo(96.0 * IN, 48.0 * IN);

/// A saw of 3 by 3 ft whose cutter stands at x in the middle of a room of 20 by 12 ft, fed toward +x.
fn saw_at(x: f64) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene
        .feed("saw", (x, 6.0), (3.0, 3.0), Side::PlusX)
        .kickback = true;
    let saw = scene.plan.placements[StationId(0)].as_mut();
    let saw = saw.expect("placed");
    saw.stand = Placement::default_stand(saw.size);
    scene
}

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-9, "{value}, not {expected}");
}

/// Before the cutter the operator needs 30 in behind the board's end, behind it nobody: min(11 - 2.5, 9) = 8.5 ft.
#[test]
fn a_machine_takes_what_its_strip_leaves_at_the_shorter_end() {
    let takes = takes(&saw_at(11.0));
    assert_eq!(takes.len(), 1);
    near(takes[0].board.expect("walls end it"), 8.5 * FT);
    assert_eq!(takes[0].sheet, WHOLE);
    assert!(takes[0].short.is_empty());
}

#[test]
fn what_an_8_ft_board_lacks_is_said_with_the_least_move_that_was_tried() {
    // 20 - 12.3 = 7.7 ft behind the cutter: 3.6 in are missing, and whole inches are moved.
    let saw = &takes(&saw_at(12.3))[0];
    near(saw.board.expect("walls end it"), 7.7 * FT);
    assert_eq!(saw.short.len(), 2);
    for short in &saw.short {
        near(short.missing[0], 0.0);
        near(short.missing[1], 3.6 * IN);
        let shift = short.shift.expect("there is room the other way");
        assert_eq!(shift.station, StationId(0));
        near(shift.by.x, -4.0 * IN);
        near(shift.by.y, 0.0);
    }
    // Before the cutter: 10.4 ft of 10.5.
    let saw = &takes(&saw_at(10.4))[0];
    near(saw.short[0].missing[0], 1.2 * IN);
    near(saw.short[0].shift.expect("there is room").by.x, 2.0 * IN);
}

/// Whoever feeds the saw stands 11 in from a post now, and would stand 7 in from it: a person needs 25 cm.
#[test]
fn a_move_that_takes_somebody_the_room_to_stand_is_no_help() {
    let mut scene = saw_at(12.3);
    let along = |scene: &Scene| takes(scene)[0].short[0].shift;
    assert!(along(&scene).is_some());
    let (x, y) = ((11.2, 11.4), (3.3, 3.7));
    scene.thing("post", &[(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)]);
    assert_eq!(along(&scene), None);
}

/// At one side of the saw somebody has 21.2 in of 24 to stand and would have more than 24; at the other somebody has all
/// 24 and would have 22. In sum less would be missing, and yet it would be a new warning.
#[test]
fn a_move_that_makes_a_new_finding_is_no_help_though_it_mends_another() {
    let mut scene = saw_at(12.3);
    let along = |scene: &Scene| takes(scene)[0].short[0].shift;
    // The saw reaches from 10.8 to 13.8 ft.
    scene
        .station("shelf", (13.8 + 10.6 / 12.0, 1.0), (1.0, 1.0))
        .stand = ft(0.0, 5.0);
    assert!(along(&scene).is_some(), "it mends the one");
    scene
        .station("stool", (10.8 - 15.0 / 12.0, 1.0), (1.0, 1.0))
        .stand = ft(0.0, 4.0);
    let before = scene.of("standing");
    assert_eq!(before.len(), 1);
    let mut moved = scene.clone();
    moved.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .at = ft(12.3 - 4.0 / 12.0, 6.0);
    let after = moved.of("standing");
    assert_eq!(after.len(), 1, "one for one");
    assert!(after[0].missing < before[0].missing);
    assert_eq!(along(&scene), None);
}

/// A saw whose table is 34 in high, and behind it a bench from 24 in on that is 6 ft long.
fn before_a_bench(top: f64) -> Scene {
    let mut scene = saw_at(10.5);
    scene.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .table = Some(34.0 * IN);
    scene.station("bench", (15.5, 6.0), (6.0, 4.0)).heights = HeightRange {
        bottom: 0.0,
        top: top * IN,
    };
    scene
}

/// A bench that is level carries whatever comes, to the wall 9.5 ft behind the cutter, and to 8 ft before it; one that is
/// an inch higher ends the way of everything 24 in behind it. A board of 3/4 in that hangs 30 in free beyond the edge of the
/// saw, 18 in behind the cutter, sags 0.0306 in and keeps 1/16 in: so a bench 0.1 in lower is passed over by it, but not by
/// 8 ft, of which the 78 in sag more than an inch.
#[test]
fn what_stands_behind_a_table_carries_work_or_ends_it_by_its_height() {
    let level = &takes(&before_a_bench(34.0))[0];
    near(level.board.expect("walls end it"), 8.0 * FT);
    assert_eq!((level.sheet, level.short.len()), (WHOLE, 0));
    let high = &takes(&before_a_bench(35.0))[0];
    let longest = high.board.expect("the bench ends it");
    assert!((longest - 24.0 * IN).abs() < 2e-4, "{longest}");
    near(high.short[0].missing[1], 72.0 * IN);
    let lower = &takes(&before_a_bench(33.9))[0];
    let longest = lower.board.expect("it sags") / IN;
    let sag = |free: f64| 0.20025 * (free / 48.0).powi(4);
    assert!(sag(longest - 18.0) + 1.0 / 16.0 <= 0.1 + 1e-5, "{longest}");
    assert!(sag(longest - 17.99) + 1.0 / 16.0 > 0.1 - 1e-5, "{longest}");
    assert_eq!(
        lower.short[0].ends[1],
        Some(Obstacle::Station(StationId(1)))
    );
}

/// Where one could not stand behind a short board, there is room behind a long one: a low shelf ends 6 ft before the cutter.
#[test]
fn the_longest_board_is_found_where_shorter_ones_do_not_pass() {
    let mut scene = saw_at(11.0);
    scene.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .table = Some(34.0 * IN);
    scene.station("shelf", (6.5, 6.0), (3.0, 4.0)).heights = HeightRange {
        bottom: 0.0,
        top: 10.0 * IN,
    };
    let saw = &takes(&scene)[0];
    near(saw.board.expect("walls end it"), 8.5 * FT);
    assert!(saw.short.is_empty());
}

#[test]
fn a_rack_that_ends_the_strip_may_be_moved_instead() {
    // The saw cannot go back: 10.5 ft before its cutter are just enough.
    let mut scene = saw_at(10.5);
    scene.station("rack", (18.25, 6.0), (1.0, 2.0));
    let saw = &takes(&scene)[0];
    // The rack begins 7.25 ft behind the cutter.
    near(saw.board.expect("it ends"), 7.25 * FT);
    near(saw.short[0].missing[1], 9.0 * IN);
    let shift = saw.short[0].shift.expect("the rack has room behind it");
    assert_eq!(shift.station, StationId(1));
    near(shift.by.x, 9.0 * IN);
}

/// 20 in are free on each side of the blade, beside which a sheet lies with its whole width: with 2 in of room that is
/// 18 in.
#[test]
fn where_no_full_sheet_passes_it_is_said_how_wide_one_may_be() {
    let mut scene = saw_at(11.0);
    for way in [1.0, -1.0] {
        let y = 6.0 + way * (20.0 / 12.0 + 0.5);
        scene.station("shelf", (11.0, y), (12.0, 1.0)).stand = ft(0.0, way * 1.5);
    }
    let saw = &takes(&scene)[0];
    near(saw.board.expect("walls end it"), 8.5 * FT);
    match saw.sheet {
        SheetCapacity::UpTo(length, width) => {
            near(length, 4.0 * FT);
            assert!((width - 18.0 * IN).abs() < 2e-4, "{}", width / IN);
            assert!(width <= 18.0 * IN + 2e-4);
        }
        other => panic!("{other:?}"),
    }
    let short = &saw.short[0];
    assert!(short.is_sheet);
    let left = short.beside.expect("it stands beside the cutter");
    assert!((left - 20.0 * IN).abs() < 5e-4, "{}", left / IN);
    // With 8 in on the side, even a quarter of a sheet is too wide, and a strip of the machine's own width is not free.
    scene.plan.placements[StationId(1)]
        .as_mut()
        .expect("placed")
        .at = ft(11.0, 6.0 + 8.0 / 12.0 + 0.5);
    let saw = &takes(&scene)[0];
    assert_eq!(saw.sheet, SheetCapacity::TooLittleRoom);
    assert_eq!(saw.board, Some(0.0));
    assert!(saw.lacks > 0.0);
}

#[test]
fn through_an_open_door_there_is_no_end() {
    let mut scene = saw_at(18.0);
    scene.door("garage door", (20.0, 1.0), (20.0, 11.0));
    near(takes(&scene)[0].board.expect("the other end"), 15.5 * FT);
    scene.door("back door", (0.0, 11.0), (0.0, 1.0));
    assert_eq!(takes(&scene)[0].board, None);
    assert!(takes(&scene)[0].short.is_empty());
}

#[test]
fn sheets_are_asked_of_saws_and_of_what_routes_send_them_to() {
    let mut scene = saw_at(11.0);
    let sheet = |scene: &Scene| takes(scene)[0].sheet;
    scene.plan.placements[StationId(0)]
        .as_mut()
        .expect("placed")
        .kickback = false;
    assert_eq!(sheet(&scene), SheetCapacity::NoSheetWork);
    scene.piece("panel", 0, super::scenes::inches(30.0, 23.0, 0.75));
    assert_eq!(sheet(&scene), SheetCapacity::NoSheetWork);
    scene.piece("wide panel", 0, super::scenes::inches(30.0, 24.0, 0.75));
    assert_eq!(sheet(&scene), WHOLE);
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", (10.0, 6.0), (6.0, 2.0));
    assert!(takes(&scene).is_empty());
}

/// Whether the rule about feeding finds a fault with one piece at a station where nothing else is fed.
fn is_fed(scene: &Scene, station: usize, length: f64, width: f64) -> bool {
    let mut scene = scene.clone();
    scene.shop.projects[shopstride::shop::ProjectId(0)]
        .items
        .clear();
    let size = shopstride::shop::Size {
        length,
        width,
        thickness: 0.02,
    };
    scene.piece("piece", station as u32, size);
    let name = &scene.shop.stations[StationId(station as u32)].name;
    let findings = scene.by_one_rule("feed");
    let own = findings.iter().find(|finding| finding.subject == *name);
    own.expect("it is told of").level == FindingLevel::Note
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, rng_seed: RngSeed::Fixed(11), failure_persistence: None, ..ProptestConfig::default() })]

    /// On random floors: what is said to pass passes by the rule about feeding, what is a little longer or wider does
    /// not, and after every move that is named the piece passes and no more is found than before.
    #[test]
    fn the_rule_about_feeding_says_the_same(
        stations in prop::collection::vec(ordinary(), 2..7), door in (1.0..9.0, 10.0..19.0),
    ) {
        const LITTLE: f64 = 1e-3;
        let mut scene = build(&stations, door, 1);
        for station in scene.plan.placements.ids() {
            let placement = scene.plan.placements[station].as_mut().expect("placed");
            placement.kickback |= placement.feed.is_some();
        }
        let board_width = scene.limits.board_width;
        let before = shopstride::floor::check::judge(&scene.shop, &scene.plan, &[], &scene.limits);
        let known = scene.findings();
        for machine in takes(&scene) {
            let station = machine.station.index();
            match machine.board {
                Some(longest) if machine.lacks == 0.0 => {
                    prop_assert!(is_fed(&scene, station, longest, board_width));
                    prop_assert!(!is_fed(&scene, station, longest + LITTLE, board_width));
                }
                Some(_) => prop_assert!(!is_fed(&scene, station, LITTLE, board_width)),
                None => prop_assert!(is_fed(&scene, station, 50.0, board_width)),
            }
            match machine.sheet {
                // What is narrower than 2 ft is no sheet where a route sends it, and lies in the middle.
                SheetCapacity::UpTo(_, width) if width < 24.0 * IN => {
                    prop_assert!(!is_fed(&scene, station, 4.0 * FT, 4.0 * FT));
                }
                SheetCapacity::Halves(length, width) => {
                    prop_assert!(is_fed(&scene, station, length, width));
                    prop_assert!(!is_fed(&scene, station, 4.0 * FT, 4.0 * FT));
                }
                SheetCapacity::UpTo(length, width) => {
                    prop_assert!(is_fed(&scene, station, length, width));
                    let is_whole = length > 96.0 * IN - LITTLE;
                    prop_assert!(is_whole || width < 48.0 * IN - LITTLE || !is_fed(&scene, station, length + LITTLE, width));
                    let is_wide = width > 48.0 * IN - LITTLE;
                    prop_assert!(is_wide || !is_fed(&scene, station, length, width + LITTLE));
                }
                _ => prop_assert!(!is_fed(&scene, station, 4.0 * FT, 4.0 * FT)),
            }
            for short in &machine.short {
                prop_assert!(!is_fed(&scene, station, short.length, short.width));
                let Some(shift) = short.shift else { continue };
                let mut moved = scene.clone();
                let placement = moved.plan.placements[shift.station].as_mut().expect("placed");
                placement.at = placement.at + shift.by;
                prop_assert!(is_fed(&moved, station, short.length, short.width));
                let after = shopstride::floor::check::judge(&moved.shop, &moved.plan, &[], &moved.limits);
                prop_assert!(after.faults <= before.faults && after.warnings <= before.warnings);
                prop_assert!(after.fault_m <= before.fault_m + LITTLE && after.warning_m <= before.warning_m + LITTLE);
                for found in moved.findings().iter().filter(|found| found.level != FindingLevel::Note) {
                    let is_same = |one: &&Told| (one.level, one.rule, &one.subject) == (found.level, found.rule, &found.subject);
                    prop_assert!(known.iter().any(|one| is_same(&one)), "{:?}", found.says);
                }
            }
        }
    }
}
