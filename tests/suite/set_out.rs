//! The set-out sheet: distances against geometry by hand, and what a page may and may not hold.

use std::path::Path;

use shopstride::floor::{
    Door, Going, Placement, Plan, Point, Polygon, Room, TapedFloor, Thing, taped_floor,
};
use shopstride::shop::Table;

use crate::support::command::shopstride;

fn point(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn outline(corners: &[(f64, f64)]) -> Polygon {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| point(x, y)).collect();
    Polygon::new(&corners).expect("an outline")
}

/// Centre, size in metres and turn in degrees.
type Placed = ((f64, f64), (f64, f64), f64);

fn plan(room: &[(f64, f64)], placed: &[Placed]) -> Plan {
    let placements = placed
        .iter()
        .map(|&((x, y), size, turn)| Some(Placement::new(point(x, y), turn, size)));
    Plan {
        room: Some(Room {
            outline: outline(room),
            ceiling: None,
            doors: Vec::new(),
            blocked: Vec::new(),
            parks: Vec::new(),
            panels: Vec::new(),
            ways: Vec::new(),
            kept: Vec::new(),
            stock: Vec::new(),
        }),
        placements: placements.collect::<Table<_, _>>(),
        work_stands: Vec::new(),
        rolled_out: Vec::new(),
        going: Going::Around,
        body_width: 0.5,
        cart_width: 0.5,
        head_room: 2.0,
    }
}

/// Walls A to D from the lower left corner on, counter-clockwise.
const ROOM: [(f64, f64); 4] = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)];

/// An L of 8 by 6 m without its upper right quarter: A below, B right, C and D at the notch, E above, F left.
const L_ROOM: [(f64, f64); 6] = [
    (0.0, 0.0),
    (8.0, 0.0),
    (8.0, 3.0),
    (4.0, 3.0),
    (4.0, 6.0),
    (0.0, 6.0),
];

fn taped(plan: &Plan) -> TapedFloor {
    taped_floor(plan).expect("it has a room")
}

#[track_caller]
fn is_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

/// The walls of the first station, and the distances of its corners from both.
fn first(plan: &Plan) -> ([usize; 2], Vec<[f64; 2]>) {
    let floor = taped(plan);
    let set_out = &floor.stations[0].set_out;
    let places = set_out.corners.iter();
    assert!(
        set_out
            .corners
            .iter()
            .all(|place| place.is_direct == [true; 2])
    );
    (set_out.walls, places.map(|place| place.distances).collect())
}

#[track_caller]
fn measures(found: &[[f64; 2]], expected: &[[f64; 2]]) {
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        is_near(found[0], expected[0]);
        is_near(found[1], expected[1]);
    }
}

/// 2 by 1 m around (2, 1.5): its lower left corner is 1 m from both walls.
#[test]
fn an_upright_station_is_measured_from_the_nearest_walls() {
    let (walls, corners) = first(&plan(&ROOM, &[((2.0, 1.5), (2.0, 1.0), 0.0)]));
    assert_eq!(walls, [0, 3], "below and left");
    // From A and D, counter-clockwise from the nearest corner on.
    measures(&corners, &[[1.0, 1.0], [1.0, 3.0], [2.0, 3.0], [2.0, 1.0]]);
    // In the upper right corner of the room likewise, from B and C.
    let (walls, corners) = first(&plan(&ROOM, &[((6.0, 4.5), (2.0, 1.0), 0.0)]));
    assert_eq!(walls, [1, 2]);
    measures(&corners, &[[1.0, 1.0], [3.0, 1.0], [3.0, 2.0], [1.0, 2.0]]);
}

/// Turned by a quarter it is 1 m wide and 2 m deep.
#[test]
fn a_quarter_turn_swaps_width_and_depth() {
    let (_, corners) = first(&plan(&ROOM, &[((2.0, 1.5), (2.0, 1.0), 90.0)]));
    measures(&corners, &[[0.5, 1.5], [0.5, 2.5], [2.5, 2.5], [2.5, 1.5]]);
}

/// Turned by 45 degrees, the corners lie (±1 ∓ ½)/√2 and (±1 ± ½)/√2 from the middle; the diagonals stay √5 m.
#[test]
fn a_station_at_an_angle_is_taped_by_its_corners() {
    let plan = plan(&ROOM, &[((3.0, 2.0), (2.0, 1.0), 45.0)]);
    let floor = taped(&plan);
    let taped = &floor.stations[0];
    assert_eq!(taped.set_out.walls, [0, 3]);
    let root = 2.0_f64.sqrt();
    let expected =
        [(-1.0, -0.5), (1.0, -0.5), (1.0, 0.5), (-1.0, 0.5)].map(|(along, across): (f64, f64)| {
            let (x, y) = ((along - across) / root, (along + across) / root);
            [2.0 + y, 3.0 + x]
        });
    let found: Vec<[f64; 2]> = (taped.set_out.corners.iter())
        .map(|place| place.distances)
        .collect();
    measures(&found, &expected);
    is_near(taped.diagonal.expect("it has corners"), 5.0_f64.sqrt());
    // The distances give back corners whose diagonals are as long: from A up and from D to the right.
    let back = |of: [f64; 2]| point(of[1], of[0]);
    is_near(back(found[0]).distance(back(found[2])), 5.0_f64.sqrt());
    is_near(back(found[1]).distance(back(found[3])), 5.0_f64.sqrt());
}

/// In the upper left part of an L the walls of the notch count: D to its right, no wall behind which a tape would end.
#[test]
fn in_an_l_nothing_is_measured_through_a_wall() {
    // 1 by 1 m around (3, 5): half a metre from D at x = 4 and from E above.
    let (walls, corners) = first(&plan(&L_ROOM, &[((3.0, 5.0), (1.0, 1.0), 0.0)]));
    assert_eq!(walls, [3, 4]);
    measures(&corners, &[[0.5, 0.5], [1.5, 0.5], [1.5, 1.5], [0.5, 1.5]]);
    // Around (7, 1): half a metre from A and from B; C above it is 1.5 m away.
    let (walls, _) = first(&plan(&L_ROOM, &[((7.0, 1.0), (1.0, 1.0), 0.0)]));
    assert_eq!(walls, [0, 1]);
    // Around (3.4, 3.4) the wall D ends at y = 3, so its lower corners are not beside D; F and A are.
    let (walls, _) = first(&plan(&L_ROOM, &[((3.4, 3.2), (1.0, 1.0), 0.0)]));
    assert!(!walls.contains(&3) && !walls.contains(&2), "{walls:?}");
}

/// Past a water heater no tape is led, though its wall is nearer.
#[test]
fn what_belongs_to_the_room_is_not_measured_through() {
    let mut plan = plan(&ROOM, &[((2.0, 2.0), (1.0, 1.0), 0.0)]);
    assert_eq!(first(&plan).0, [0, 3]);
    let room = plan.room.as_mut().expect("a room");
    room.blocked.push(Thing {
        name: "water heater".to_owned(),
        heights: Default::default(),
        outline: outline(&[(0.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)]),
    });
    // From B, 5.5 m away, in place of D, 1.5 m away.
    let (walls, corners) = first(&plan);
    assert_eq!(walls, [0, 1]);
    is_near(corners[0][1], 5.5);
    // The heater itself is measured from the walls at which it stands.
    let heater = &taped(&plan).things[0];
    assert_eq!(heater.walls, [0, 3]);
    assert_eq!(heater.corners[0].distances, [1.0, 0.0]);
}

/// Where walls end before everything that stands there, their lines are prolonged, and that is said.
#[test]
fn what_no_tape_reaches_straight_is_marked() {
    let plan = plan(&ROOM, &[((10.0, 8.0), (1.0, 1.0), 0.0)]);
    let floor = taped(&plan);
    let corners = &floor.stations[0].set_out.corners;
    assert!(corners.iter().all(|place| place.is_direct == [false; 2]));
}

/// The last is at the widest door; openings are measured from where their wall begins.
#[test]
fn taping_ends_at_the_widest_door() {
    let each = [(1.0, 1.0), (7.0, 1.0), (1.0, 5.0)];
    let mut plan = plan(&ROOM, &each.map(|at| (at, (0.5, 0.5), 0.0)));
    let door = |name: &str, from: (f64, f64), to: (f64, f64)| Door {
        name: name.to_owned(),
        between: (point(from.0, from.1), point(to.0, to.1)),
        height: None,
        wall: 0.1,
        corridor: None,
        swings_in: false,
        hangs_at_first: false,
        overhead: false,
    };
    let room = plan.room.as_mut().expect("a room");
    room.doors = vec![
        door("house door", (0.0, 2.0), (0.0, 1.0)),
        door("gate", (8.0, 0.5), (8.0, 3.0)),
    ];
    let floor = taped(&plan);
    let order: Vec<usize> = (floor.stations.iter())
        .map(|taped| taped.station.index())
        .collect();
    assert_eq!(order, [2, 0, 1]);
    let openings: Vec<(usize, f64, f64)> = (floor.doors.iter().flatten())
        .map(|opening| (opening.wall, opening.from, opening.to))
        .collect();
    // The left wall runs down, from y = 6.
    assert_eq!(openings, [(3, 4.0, 5.0), (1, 0.5, 3.0)]);
    let [one, other] = floor.diagonals.expect("four corners");
    assert_eq!((one, other), (10.0, 10.0));
    assert!(taped(&self::plan(&L_ROOM, &[])).diagonals.is_none());
    let mut nowhere = plan;
    nowhere.room = None;
    assert!(taped_floor(&nowhere).is_none());
}

const SHOP: &str = "\
title: <i>Two & \"boards\"</i>
show: imperial
room:
  size: [20 ft, 12 ft]
  doors: [{name: side <door>, between: [[20 ft, 2 ft], [20 ft, 5 ft]]}]
  panels: [{name: main panel, at: [0, 6 ft]}]
stations:
  rack <b>: {size: [4 ft, 1 ft]}
  saw: {size: [3 ft, 2 ft], does: {rip: {per piece: 1 min}}}
projects: {box: {pieces: 2, material at: \"rack <b>\", route: [rip]}}
orders: [{project: box}]
layouts:
  far:
    at: {\"rack <b>\": [16 ft, 11 ft], saw: {at: [6 ft, 5 ft], turn: 30}}
  \"</script><near>\":
    at: {\"rack <b>\": [8 ft, 11 ft], saw: [6 ft, 5 ft 3/16 in]}
";

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("shop.yaml"), SHOP).expect("written");
    folder
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn page(folder: &Path, more: &[&str]) -> String {
    let arguments: Vec<&str> = ["sheet", "shop.yaml", "--out", "-"]
        .into_iter()
        .chain(more.iter().copied())
        .collect();
    let output = shopstride(&arguments, folder);
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// The saw of the second layout, 3 by 2 ft around (6 ft, 5 ft 3/16 in), has its nearest corner 4 ft 3/16 in from A below
/// and 4 ft 6 in from D on the left.
#[test]
fn the_page_has_the_distances_as_a_tape_has_them_and_escapes_every_name() {
    let folder = folder();
    let page = page(folder.path(), &["--layout", "</script><near>"]);
    // Slashes are escaped, too.
    let read = page.replace("&#x2f;", "/");
    for part in [
        "4 ft 3/16 in",
        "4 ft 6 in",
        // The diagonal: sqrt(13) ft = 43.267 in, on the nearest sixteenth.
        "3 ft 7-1/4 in",
        "&lt;i&gt;Two &amp; &quot;boards&quot;&lt;/i&gt;",
        "rack &lt;b&gt;",
        "&lt;near&gt;",
        "Side &lt;door&gt;: in wall B, from 24 in to 5 ft from the corner of A and B.",
        "Main panel: on wall D, its middle 6 ft from the corner of C and D.",
        "before main panel free",
        "unplug them, two people or a mover",
        "makers",
    ] {
        assert!(read.contains(part), "{part}: {page}");
    }
    assert!(!page.contains("<near>") && !page.contains("<b>:") && !page.contains("<door>"));
    assert!(!page.contains("<i>Two") && !page.contains("</script>"));
    // It needs nothing from anywhere, and runs nothing.
    for part in ["src=", "href=\"http", "url(http", "<script", "@import"] {
        assert!(!page.contains(part), "{part}");
    }
    assert!(!page.contains(">None<"));
    assert!(page.contains("<svg ") && page.trim_end().ends_with("</html>"));
}

/// Without a name it is the first layout, and the file is written whole.
#[test]
fn the_page_is_a_file_like_other_answers() {
    let folder = folder();
    let file = folder.path().join("sheet.html");
    let output = shopstride(
        &["sheet", "shop.yaml", "--out", "sheet.html"],
        folder.path(),
    );
    let said = text(&output.stderr);
    assert!(output.status.success(), "{said}");
    assert!(
        said.contains("of \"far\", the first layout in a room"),
        "{said}"
    );
    let first = std::fs::read(&file).expect("written");
    assert_eq!(
        text(&first),
        page(folder.path(), &[]),
        "the same bytes each time"
    );
    let again = shopstride(
        &[
            "sheet",
            "shop.yaml",
            "--out",
            "sheet.html",
            "--layout",
            "far",
            "-q",
        ],
        folder.path(),
    );
    assert!(again.status.success() && again.stderr.is_empty());
    assert_eq!(std::fs::read(&file).expect("replaced"), first);
    let refused = shopstride(&["sheet", "shop.yaml", "--out", "shop.yaml"], folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(&refused.stderr).contains("that is the scenario itself"));
    let nowhere = shopstride(
        &["sheet", "shop.yaml", "--out", "no/such.html"],
        folder.path(),
    );
    assert_eq!(nowhere.status.code(), Some(2));
}

/// Distances alone cannot be taped.
#[test]
fn without_a_room_there_is_no_sheet() {
    let folder = folder();
    let (before, _) = SHOP.split_once("layouts:").expect("it has layouts");
    let measured = format!("{before}layouts: {{a: {{distances: 0}}}}\n");
    std::fs::write(folder.path().join("shop.yaml"), measured).expect("written");
    let output = shopstride(
        &["sheet", "shop.yaml", "--out", "sheet.html"],
        folder.path(),
    );
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(said.contains("a set-out sheet needs a room"), "{said}");
    assert!(!folder.path().join("sheet.html").exists());
}
