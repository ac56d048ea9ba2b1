//! How pieces get through the room, around the corner of two corridors of 36 in.

use shopstride::floor::{Direction, IndoorVerdict, IndoorWay, Obstacle, Premises, indoor_ways};
use shopstride::shop::{ItemKind, PartSource, PlaceId, ProjectId, Size, StationId};

use super::scenes::{IN, Scene, inches, person};

/// From a door at the left along one corridor, around the corner and along another one to a rack at its end.
fn scene(size: Size) -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.door("door", (0.0, 0.0), (0.0, 3.0));
    scene.thing(
        "chimney",
        &[(0.0, 3.0), (17.0, 3.0), (17.0, 12.0), (0.0, 12.0)],
    );
    scene.station("rack", (18.5, 11.5), (2.0, 1.0));
    let part = scene.piece("board", 0, size);
    part.rough = Some(size);
    scene
}

fn ways(scene: &Scene) -> Vec<IndoorWay> {
    let premises = Premises {
        shop: &scene.shop,
        room: scene.plan.room.as_ref(),
        limits: &scene.limits,
    };
    let (ways, untried) = indoor_ways(premises, &scene.plan, usize::MAX);
    assert_eq!(untried, 0);
    ways
}

fn only(scene: &Scene) -> IndoorWay {
    let ways = ways(scene);
    assert_eq!(ways.len(), 1, "{ways:?}");
    ways[0].clone()
}

/// On edge a board is as thick as it is: 2 sqrt(2) 36 in - 2 x 1 in = 99.8 in go around the corner.
#[test]
fn a_board_goes_around_a_corner_up_to_what_its_formula_says() {
    let way = only(&scene(inches(96.0, 6.0, 1.0)));
    assert_eq!(way.verdict, IndoorVerdict::Passes);
    assert_eq!((way.door, way.direction), (0, Direction::In));
    let tightest = way.tightest.expect("it passes");
    // What is left on each side is half of what the corner has to spare square to the board, and less than 2 in.
    assert!(
        tightest.spare > 0.0 && tightest.spare < 2.0 * IN,
        "{}",
        tightest.spare / IN
    );
    let corner = [Obstacle::Wall, Obstacle::Thing(0)];
    let between = tightest.between.expect("two things are near");
    assert!(corner.iter().all(|of| between.contains(of)), "{between:?}");

    let way = only(&scene(inches(104.0, 6.0, 1.0)));
    let IndoorVerdict::DoesNotPass {
        longest: Some(longest),
    } = way.verdict
    else {
        panic!("{:?}", way.verdict);
    };
    // The length is halved five times between 6 and 104 in.
    let limit = 2.0 * 2f64.sqrt() * 36.0 - 2.0;
    let found = longest / IN;
    assert!(
        found <= limit && found > limit - 98.0 / 32.0 - 2.0,
        "{found} of {limit}"
    );
}

/// A sheet with somebody beside it is 18.75 in thick, of which 64 in go around; two at its ends make it 120 in long. The
/// sheet alone, 0.75 in thick, passes: its limit is 100.3 in.
#[test]
fn a_sheet_passes_only_alone() {
    let mut sheet = scene(inches(96.0, 48.0, 0.75));
    assert_eq!(only(&sheet).verdict, IndoorVerdict::OnlyAlone);
    sheet.shop.crew.push(person("helper"));
    assert_eq!(only(&sheet).verdict, IndoorVerdict::OnlyAlone);
    // A part of it is carried around.
    assert_eq!(
        only(&scene(inches(48.0, 24.0, 0.75))).verdict,
        IndoorVerdict::Passes
    );
}

/// A board gets to its rack and from there to the saw where its route begins, unless the saw stands behind a passage that
/// the board does not get around.
#[test]
fn a_board_gets_to_the_machine_where_work_on_it_begins() {
    let around = |saw: (f64, f64)| {
        let mut scene = scene(inches(104.0, 6.0, 1.0));
        // The rack is by the door now.
        scene.plan.placements[StationId(0)] = None;
        scene.station("saw", saw, (1.0, 1.0));
        scene.station("rack by the door", (3.0, 2.5), (2.0, 1.0));
        let items = &mut scene.shop.projects[ProjectId(0)].items;
        items[0].route[0].choices[0].station = StationId(1);
        items[0].kind = ItemKind::Part {
            comes_from: PartSource::LiesAt(PlaceId(2)),
        };
        let ways = ways(&scene);
        let verdicts = ways.iter().map(|way| {
            let passes = way.verdict == IndoorVerdict::Passes;
            (way.place, way.direction, passes)
        });
        verdicts.collect::<Vec<_>>()
    };
    let [saw, rack] = [PlaceId(1), PlaceId(2)];
    let both = |passes: bool| vec![(saw, Direction::In, passes), (rack, Direction::In, true)];
    assert_eq!(around((16.0, 2.0)), both(true));
    assert_eq!(around((18.5, 11.5)), both(false));
}

#[test]
fn what_is_finished_leaves_by_the_same_way() {
    let mut chest = scene(inches(20.0, 6.0, 1.0));
    let items = &mut chest.shop.projects[ProjectId(0)].items;
    // A body of 30 by 24 in: two corridors of 36 in let 2 sqrt(2) 36 - 2 x 24 = 53.8 in by, with nobody beside it.
    items[0].finished = Some(inches(30.0, 28.0, 24.0));
    let ways = ways(&chest);
    assert_eq!(ways.len(), 2, "{ways:?}");
    assert_eq!(ways[1].direction, Direction::Out);
    assert_eq!(ways[1].verdict, IndoorVerdict::OnlyAlone);
}

/// Two benches leave 2 ft between them; a board on the shoulder goes over them if they are lower than that, and a sheet
/// does not.
#[test]
fn a_board_on_the_shoulder_goes_over_low_benches() {
    let between_benches = |size: Size, top: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.door("door", (0.0, 0.0), (0.0, 3.0));
        scene.station("rack", (18.5, 11.5), (2.0, 1.0));
        scene.piece("board", 0, size).rough = Some(size);
        for (name, x) in [("bench", 6.0), ("table", 11.0)] {
            let y = if name == "bench" { 5.0 } else { 7.0 };
            let bench = scene.station(name, (x, y), (3.0, 10.0));
            bench.heights.top = top * IN;
        }
        only(&scene).verdict
    };
    let board = inches(144.0, 6.0, 1.0);
    assert_eq!(between_benches(board, 48.0), IndoorVerdict::Passes);
    assert_ne!(between_benches(board, 48.1), IndoorVerdict::Passes);
    let sheet = inches(144.0, 48.0, 0.75);
    assert_ne!(between_benches(sheet, 48.0), IndoorVerdict::Passes);
}

/// Where something that passes is larger in all three directions, a smaller piece is not told of.
#[test]
fn only_the_largest_are_told_of() {
    let mut both = scene(inches(96.0, 6.0, 1.0));
    let small = inches(30.0, 4.0, 1.0);
    both.piece("rail", 0, small).rough = Some(small);
    assert_eq!(only(&both).size, inches(96.0, 6.0, 1.0));
    // Where the larger one does not pass, the smaller one matters.
    let mut both = scene(inches(104.0, 6.0, 1.0));
    both.piece("rail", 0, small).rough = Some(small);
    let verdicts: Vec<bool> = ways(&both)
        .iter()
        .map(|way| way.verdict == IndoorVerdict::Passes)
        .collect();
    assert_eq!(verdicts, [false, true]);
}

/// A board that is longer than the room ends nowhere in it, however far it comes in, and one of a mile is soon known to
/// do so.
#[test]
fn what_is_longer_than_the_room_does_not_pass() {
    for length in [30.0 * 12.0, 63_360.0] {
        let size = inches(length, 6.0, 1.0);
        let mut wide = Scene::room(20.0, 12.0);
        wide.door("door", (0.0, 0.0), (0.0, 9.0));
        wide.station("rack", (18.5, 11.5), (2.0, 1.0));
        wide.piece("board", 0, size).rough = Some(size);
        let IndoorVerdict::DoesNotPass {
            longest: Some(longest),
        } = only(&wide).verdict
        else {
            panic!("{:?}", only(&wide).verdict);
        };
        // The diagonal of the room.
        let most = (20f64.powi(2) + 12f64.powi(2)).sqrt() * 12.0;
        assert!(longest / IN <= most, "{}", longest / IN);
    }
}

#[test]
fn of_many_only_the_largest_are_tried() {
    let mut many = scene(inches(60.0, 6.0, 1.0));
    for (name, length) in [("long", 90.0), ("longer", 96.0), ("short", 20.0)] {
        let station = many.plan.placements.len() as u32;
        many.station(name, (18.5, 11.5), (2.0, 1.0));
        let size = inches(length, 6.0, 1.0);
        many.piece(name, station, size).rough = Some(size);
    }
    let premises = Premises {
        shop: &many.shop,
        room: many.plan.room.as_ref(),
        limits: &many.limits,
    };
    let (ways, untried) = indoor_ways(premises, &many.plan, 2);
    let lengths: Vec<f64> = ways
        .iter()
        .map(|way| (way.size.length / IN).round())
        .collect();
    assert_eq!((lengths, untried), (vec![90.0, 96.0], 2));
}

/// A room without doors, and one without sizes, have no ways.
#[test]
fn without_doors_or_sizes_nothing_is_said() {
    let mut shut = scene(inches(96.0, 6.0, 1.0));
    shut.the_room().doors.clear();
    assert!(ways(&shut).is_empty());
    let mut unknown = scene(inches(96.0, 6.0, 1.0));
    let items = &mut unknown.shop.projects[shopstride::shop::ProjectId(0)].items;
    items[0].rough = None;
    items[0].route[0].piece = None;
    assert!(ways(&unknown).is_empty());
}
