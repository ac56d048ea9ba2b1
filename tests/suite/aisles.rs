//! How wide the ways are: gaps between corners at their exact widths, and none where a walk just ends.

use shopstride::floor::{
    Door, FreeSpace, Going, Narrowest, Passages, Placement, Plan, Point, Polygon, Room,
};
use shopstride::shop::{PlaceId, Table};

fn polygon(corners: &[(f64, f64)]) -> Polygon {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Polygon::new(&corners).expect("an outline")
}

fn rectangle(low: (f64, f64), high: (f64, f64)) -> Polygon {
    polygon(&[low, (high.0, low.1), high, (low.0, high.1)])
}

/// On the way of a body through a room of 10 m by 6 m without doors.
fn narrowest(
    things: &[Polygon],
    radius: f64,
    from: (f64, f64),
    to: (f64, f64),
) -> Option<Narrowest> {
    let room = rectangle((0.0, 0.0), (10.0, 6.0));
    let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
    let ground = FreeSpace::new(Some(&room), things, radius);
    let path = ground.path(from, to).expect("a way");
    Passages::new(Some(&room), &[], things).narrowest(&path, [radius; 2])
}

fn width(found: Option<Narrowest>) -> f64 {
    found.expect("a gap").width
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
}

#[test]
fn a_corner_in_which_a_walk_ends_is_no_gap() {
    // The room itself is what the walk leads through: 6 m from wall to wall.
    for away in [0.26, 0.31, 0.5, 0.6] {
        let ends = (10.0 - away, 6.0 - away);
        near(width(narrowest(&[], 0.25, (1.0, 1.75), ends)), 6.0);
    }
    for side in [0.6, 0.8, 1.0, 1.5] {
        let bench = rectangle((10.0 - side, 6.0 - side), (10.0, 6.0));
        let stands = (10.0 - side / 2.0, 6.0 - side - 0.3);
        // Below the bench it is this far to the wall opposite.
        let found = width(narrowest(&[bench], 0.25, (1.0, 1.75), stands));
        near(found, 6.0 - side);
    }
}

#[test]
fn a_gap_is_as_wide_at_whatever_angle_it_is_crossed() {
    for gap in [0.55, 0.65, 0.75, 1.0, 1.2] {
        let things = [
            rectangle((5.0, 0.0), (5.02, 3.0 - gap / 2.0)),
            rectangle((5.0, 3.0 + gap / 2.0), (5.02, 6.0)),
        ];
        for from in [(3.0, 0.5), (4.5, 0.5), (4.0, 3.0), (4.6, 5.5)] {
            let found = narrowest(&things, 0.25, from, (6.0, 5.5));
            near(width(found), gap);
            let back = narrowest(&things, 0.25, (6.0, 5.5), from);
            near(width(back), gap);
        }
    }
}

#[test]
fn corners_that_face_each_other_are_as_far_apart_as_pythagoras_says() {
    // From (4, 2) to (4.3, 2.4): 0.3, 0.4, 0.5.
    let things = [
        rectangle((3.0, 0.0), (4.0, 2.0)),
        rectangle((4.3, 2.4), (5.3, 6.0)),
    ];
    let found = narrowest(&things, 0.2, (1.0, 4.0), (8.0, 1.0));
    near(width(found), 0.5);
    // Turned by 45 degrees, a square of 2 m reaches its half diagonal, the root of 2, from its middle to the wall.
    let turned = [Polygon::rectangle(Point::new(5.0, 2.0), (2.0, 2.0), 45.0).expect("a square")];
    let above = [rectangle((4.0, 4.0), (6.0, 6.0))];
    let things = [turned, above].concat();
    let found = narrowest(&things, 0.25, (1.0, 3.8), (9.0, 3.8));
    near(width(found), 2.0 - 2.0_f64.sqrt());
}

#[test]
fn who_walks_along_between_two_things_passes_between_them_and_who_crosses_over_does_not() {
    // Two benches of 6 m, 1 m apart: both ends of the walk are between them.
    let things = [
        rectangle((2.0, 0.0), (8.0, 2.5)),
        rectangle((2.0, 3.5), (8.0, 6.0)),
    ];
    near(width(narrowest(&things, 0.25, (3.0, 2.8), (7.0, 3.2))), 1.0);
    assert_eq!(narrowest(&things, 0.25, (5.0, 2.8), (5.3, 3.2)), None);
    // Three millimetres narrower for each metre: at x = 7 - 0.25 it is 6.75 - 2 m from where it is 1 m wide.
    let tapers = [
        rectangle((2.0, 0.0), (8.0, 2.5)),
        polygon(&[(2.0, 3.5), (8.0, 3.482), (8.0, 6.0), (2.0, 6.0)]),
    ];
    let found = width(narrowest(&tapers, 0.25, (3.0, 3.0), (7.0, 3.0)));
    // Across the middle line, hardly slanted: a ten-thousandth of a millimetre does not show, a hundredth would.
    let expected = 1.0 - 0.003 * (6.75 - 2.0);
    assert!((found - expected).abs() < 1e-4, "{found} for {expected}");
}

/// A plan with one place, and doors that are the other places.
fn plan(outline: Polygon, doors: &[[(f64, f64); 2]], place: (f64, f64)) -> Plan {
    let point = |(x, y): (f64, f64)| Point::new(x, y);
    let door = |&[a, b]: &[(f64, f64); 2]| Door {
        name: "door".to_owned(),
        between: (point(a), point(b)),
        height: None,
        wall: 0.0,
        corridor: None,
        swings_in: false,
        hangs_at_first: false,
        overhead: false,
    };
    let placed = Placement {
        stand: Point::ORIGIN,
        ..Placement::new(point(place), 0.0, (0.0, 0.0))
    };
    Plan {
        room: Some(Room {
            outline,
            ceiling: None,
            doors: doors.iter().map(door).collect(),
            blocked: Vec::new(),
            parks: Vec::new(),
            panels: Vec::new(),
            ways: Vec::new(),
            kept: Vec::new(),
            stock: Vec::new(),
        }),
        placements: [Some(placed)].into_iter().collect::<Table<_, _>>(),
        work_stands: Vec::new(),
        rolled_out: Vec::new(),
        going: Going::Around,
        body_width: 0.5,
        cart_width: 0.5,
        head_room: 2.0,
    }
}

/// The narrowest gap on the way from the one place to a door.
fn to_door(plan: &Plan, door: u32) -> Option<f64> {
    let radius = plan.body_width / 2.0;
    let places = [PlaceId(0), PlaceId(1 + door)];
    let path = plan.path(&plan.ground(radius), places[0], places[1])?;
    let (led, beyond) = plan.through_doors(&path, places, radius);
    let found = plan.passages().narrowest(&led, beyond)?;
    Some(found.width)
}

/// A room of 10 m by 8 m around a court of this width that is open at the top.
fn around_a_court(left: f64, right: f64) -> Polygon {
    polygon(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 8.0),
        (right, 8.0),
        (right, 3.0),
        (left, 3.0),
        (left, 8.0),
        (0.0, 8.0),
    ])
}

#[test]
fn doors_are_as_wide_as_they_are_whatever_lies_behind_them() {
    let court = [(4.0, 5.0), (4.0, 6.0)];
    let narrow = [(0.0, 5.0), (0.0, 5.6)];
    for doors in [[court, narrow], [narrow, court]] {
        let plan = plan(around_a_court(4.0, 6.0), &doors, (2.0, 2.0));
        for (index, door) in doors.iter().enumerate() {
            let expected = door[1].1 - door[0].1;
            near(to_door(&plan, index as u32).expect("a way"), expected);
        }
    }
    // 3 ft.
    let room = rectangle((0.0, 0.0), (3.6576, 7.0));
    let plan = plan(room, &[[(0.0, 0.9144), (0.0, 1.8288)]], (2.0, 5.0));
    near(to_door(&plan, 0).expect("a way"), 0.9144);
}

#[test]
fn a_door_without_room_behind_it_closes_no_other() {
    // One side of the wall in the room is 10 cm from the other.
    let doors = [[(5.0, 5.0), (5.0, 6.0)], [(0.0, 5.0), (0.0, 6.3)]];
    let plan = plan(around_a_court(5.0, 5.1), &doors, (2.0, 2.0));
    let ground = plan.ground(0.25);
    assert!(ground.is_free(Point::new(0.0, 5.65)).is_ok());
    // Behind the other there are almost 10 cm, and a body needs 25.
    let blocked = ground.is_free(Point::new(5.0, 5.5)).expect_err("a wall");
    assert!((blocked.lacks - 0.15).abs() < 1e-3, "{blocked:?}");
}

#[test]
fn doors_that_meet_in_a_corner_stay_open() {
    let inner = rectangle((0.0, 0.0), (6.0, 5.0));
    let meeting = [[(0.0, 0.0), (0.0, 1.0)], [(0.0, 0.0), (1.0, 0.0)]];
    // Around a corner that sticks into the room.
    let angled = polygon(&[
        (0.0, 0.0),
        (6.0, 0.0),
        (6.0, 3.0),
        (3.0, 3.0),
        (3.0, 6.0),
        (0.0, 6.0),
    ]);
    let around = [[(3.0, 3.0), (4.0, 3.0)], [(3.0, 3.0), (3.0, 4.0)]];
    for (outline, doors) in [(inner, meeting), (angled, around)] {
        let plan = plan(outline, &doors, (2.0, 2.0));
        for door in 0..2 {
            near(to_door(&plan, door).expect("it is open"), 1.0);
        }
    }
}

#[test]
fn a_corner_in_the_middle_of_a_wall_is_none() {
    let outline = polygon(&[(5.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0), (0.0, 0.0)]);
    assert_eq!(outline.corners().len(), 4);
    assert_eq!(outline.area(), 80.0);
    let plan = plan(outline, &[[(4.5, 0.0), (5.5, 0.0)]], (5.0, 4.0));
    near(to_door(&plan, 0).expect("a way"), 1.0);
}
