//! Rooms, doors and machines as people say them, and what is told of what cannot be read.

use shopstride::experiment::Units;
use shopstride::scenario::new_shop::{
    Bare, Complaint, RoomWall, SaidDoor, Swing, read_door, read_length, read_room, read_stations,
};

const FOOT: f64 = 0.3048;

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

#[test]
fn rooms_are_read_in_any_spelling() {
    let feet = (20.0 * FOOT, 17.0 * FOOT);
    let cases = [
        ("20 ft x 17 ft", feet, Units::Imperial),
        ("20x17 ft", feet, Units::Imperial),
        ("20' × 17'", feet, Units::Imperial),
        ("20 feet by 17 feet", feet, Units::Imperial),
        ("240 in X 204 in", feet, Units::Imperial),
        ("6 m x 5 m", (6.0, 5.0), Units::Metric),
        ("6,5 m x 5.25m", (6.5, 5.25), Units::Metric),
        ("600 x 500 cm", (6.0, 5.0), Units::Metric),
    ];
    for (said, (width, depth), units) in cases {
        let room = read_room(said).expect(said);
        assert!(
            near(room.size.0, width) && near(room.size.1, depth),
            "{said}: {room:?}"
        );
        assert_eq!((room.units, room.ceiling), (units, None), "{said}");
    }
    let tall = read_room("20' 6\" x 17' x 8 ft").expect("three lengths");
    assert!(near(tall.size.0, 20.5 * FOOT) && near(tall.ceiling.expect("said"), 8.0 * FOOT));
    for wrong in [
        "",
        "20 x 17",
        "20 ft",
        "a x b ft",
        "2 ft x 17 ft",
        "1 x 2 x 3 x 4 m",
        "-6 m x 5 m",
    ] {
        assert!(read_room(wrong).is_err(), "{wrong}");
    }
}

fn door(said: &str) -> Result<SaidDoor, Complaint> {
    read_door(said, &read_room("20 ft x 17 ft").expect("a room"), &[])
}

#[test]
fn doors_are_read_in_plain_words() {
    let cases = [
        (
            "3 ft in the left wall, 2 ft from the front",
            RoomWall::Left,
            3.0,
            2.0,
        ),
        (
            "3 ft in the south wall, 2 ft from the left corner",
            RoomWall::Front,
            3.0,
            2.0,
        ),
        (
            "36 in, back, 2 ft from the right",
            RoomWall::Back,
            3.0,
            15.0,
        ),
        (
            "a door of 3' in the middle of the north wall",
            RoomWall::Back,
            3.0,
            8.5,
        ),
        (
            "right, 4 ft, 1 ft from the back",
            RoomWall::Right,
            4.0,
            12.0,
        ),
        // Wide ones are in the middle of a wall unless somebody says otherwise, others near its end.
        ("16 ft x 7 ft in the front wall", RoomWall::Front, 16.0, 2.0),
        ("3 ft wide in the east wall", RoomWall::Right, 3.0, 13.0),
    ];
    for (said, wall, width, from) in cases {
        let door = door(said).unwrap_or_else(|complaint| panic!("{said}: {}", complaint.what));
        assert_eq!(door.wall, wall, "{said}");
        assert!(
            near(door.width, width * FOOT) && near(door.from, from * FOOT),
            "{said}: {door:?}"
        );
    }
    assert!(near(
        door("16 ft x 7 ft in the front wall")
            .expect("a door")
            .height
            .expect("said"),
        7.0 * FOOT
    ));
    for wrong in [
        "3 ft",
        "3 ft in the cellar",
        "25 ft in the front wall",
        "3 ft in the front wall, 18 ft from the left",
        "3 ft in the front wall, 2 ft from the back",
        "3 ft in the front left wall",
        "broad as a barn in the front wall",
    ] {
        assert!(door(wrong).is_err(), "{wrong}");
    }
}

/// Doors for cars go up, unless somebody says otherwise.
#[test]
fn wide_doors_are_overhead_doors() {
    let room = read_room("20 ft x 17 ft").expect("a room");
    let low = read_room("6 m x 5 m x 2 m").expect("a room");
    let door = |said: &str| read_door(said, &room, &[]).expect("a door");
    let cases = [
        (
            "9 ft x 7 ft in the front wall",
            Some(Swing::Up),
            true,
            false,
        ),
        ("8 ft in the front wall", Some(Swing::Up), true, true),
        ("7 ft in the front wall", None, false, false),
        ("9 ft sliding in the front wall", None, false, false),
        (
            "9 ft in the front wall, swings out",
            Some(Swing::Out),
            false,
            false,
        ),
        (
            "3 ft in the left wall, swings in",
            Some(Swing::In),
            false,
            false,
        ),
        (
            "7 ft x 7 ft overhead in the front wall",
            Some(Swing::Up),
            false,
            false,
        ),
        (
            "garage door of 16 ft in the front wall",
            Some(Swing::Up),
            false,
            true,
        ),
        (
            "36 in in the back wall, opens inward",
            Some(Swing::In),
            false,
            false,
        ),
    ];
    for (said, swings, is_swing_guessed, is_height_guessed) in cases {
        let door = door(said);
        assert_eq!(
            (door.swings, door.is_swing_guessed, door.is_height_guessed),
            (swings, is_swing_guessed, is_height_guessed),
            "{said}"
        );
    }
    assert!(near(
        door("8 ft in the front wall").height.expect("7 ft"),
        7.0 * FOOT
    ));
    // As wide as a door for one car, unless its width is said; that it is a guess is told with the others.
    let garage = door("garage door in front");
    assert!(near(garage.width, 9.0 * FOOT) && garage.is_width_guessed);
    assert!(near(garage.height.expect("7 ft"), 7.0 * FOOT));
    let metric = read_room("6 m x 5 m").expect("a room");
    let garage = read_door("garage door in front", &metric, &[]).expect("a door");
    assert!(near(garage.width, 2.4) && garage.swings == Some(Swing::Up));
    let plain = read_door("a door in the left wall", &metric, &[]).expect("a door");
    assert!(near(plain.width, 0.9) && plain.is_width_guessed);
    assert!(!door("9 ft x 7 ft in the front wall").is_width_guessed);
    let in_low = read_door("2.5 m in the front wall", &low, &[]).expect("a door");
    assert!(near(in_low.height.expect("as high as the room"), 2.0));
}

#[test]
fn two_doors_do_not_share_a_wall_s_place() {
    let room = read_room("20 ft x 17 ft").expect("a room");
    let mut doors = Vec::new();
    for _ in 0..3 {
        let door = read_door("3 ft in the front wall", &room, &doors).expect("there is room");
        doors.push(door);
    }
    for (index, one) in doors.iter().enumerate() {
        for other in &doors[index + 1..] {
            let apart = (one.from - other.from).abs();
            assert!(apart > one.width, "{apart}");
        }
    }
    assert!(read_door("19 ft in the front wall", &room, &doors).is_err());
}

#[test]
fn machines_are_called_what_people_call_them() {
    let cases = [
        ("table saw", "table saw", "contractor saw"),
        ("tablesaw", "table saw", "contractor saw"),
        ("Cabinet Saw", "cabinet saw", "cabinet saw"),
        ("planers", "planer", "bench-top planer"),
        ("6 in jointer", "jointer", "jointer 6 in"),
        ("8\" jointer", "jointer", "jointer 8 in"),
        ("bandsaw", "band saw", "band saw 14 in"),
        ("mitre saw", "mitre saw", "miter saw"),
        ("outfeed table", "out-feed table", "out-feed table"),
        ("outfeed tables", "out-feed table", "out-feed table"),
        (
            "contractor table saw",
            "contractor table saw",
            "contractor saw",
        ),
        (
            "Contractor's table saws",
            "contractors table saw",
            "contractor saw",
        ),
        ("miter saws", "miter saw", "miter saw"),
        ("thickness planer", "thickness planer", "bench-top planer"),
        ("drill presses", "drill press", "drill press"),
        ("router tables", "router table", "router table"),
        ("shop vac", "shop vac", "shop vacuum"),
        ("shop-vacs", "shop vac", "shop vacuum"),
        ("work bench", "workbench", "workbench"),
        ("work benches", "workbench", "workbench"),
        // What stands before it is passed over, and a size is no number of machines.
        ("my old table saw", "table saw", "contractor saw"),
        ("10 in cabinet saw", "cabinet saw", "cabinet saw"),
        ("3 hp planer", "planer", "bench-top planer"),
        ("15\" planer", "planer", "floor planer"),
        ("old iron: floor planer", "old iron", "floor planer"),
    ];
    for (said, name, kind) in cases {
        let stations = read_stations(said).unwrap_or_else(|_| panic!("{said}"));
        let [station] = &stations[..] else {
            panic!("{said}: {stations:?}");
        };
        assert_eq!(
            (&station.name[..], station.kind.name),
            (name, kind),
            "{said}"
        );
    }
    let two = read_stations("2 workbenches, workbench, 2 x lathe").expect("five stations");
    let names: Vec<&str> = two.iter().map(|station| &station.name[..]).collect();
    assert_eq!(
        names,
        [
            "workbench",
            "workbench 2",
            "workbench 3",
            "lathe",
            "lathe 2"
        ]
    );
    let wrong =
        read_stations("tabel saw, workbench, planner, 99 lathes").expect_err("three are wrong");
    let hints: Vec<&str> = wrong
        .iter()
        .filter_map(|wrong| wrong.hint.as_deref())
        .collect();
    assert_eq!(hints.len(), 3, "{wrong:?}");
    assert!(
        hints[0].contains("table saw") && hints[1].contains("planer"),
        "{hints:?}"
    );
    // Nothing is offered that shares no more than a common word, or a letter.
    for far in ["CNC", "steam box", "spray gun", "blasting station"] {
        let wrong = read_stations(far).expect_err("there is no such kind");
        let hint = wrong[0].hint.as_deref().expect("a hint");
        assert!(!hint.contains("did you mean"), "{far}: {hint}");
    }
    for (said, kind) in [
        ("glue station", "assembly table"),
        ("finishing corner", "finishing bench"),
        ("sharpening", "sharpening station"),
    ] {
        let taken = &read_stations(said).expect(said)[0];
        assert_eq!((taken.kind.name, &taken.name[..]), (kind, said));
        assert!(taken.is_kind_guessed, "{said}");
    }
    assert!(read_stations(" , ").is_err());
    // What is only a rack or a bench of some sort is asked for.
    for vague in ["drying rack", "garden bench", "table", "saw", "press"] {
        assert!(read_stations(vague).is_err(), "{vague}");
    }
}

#[test]
fn lengths_are_read_as_a_cut_list_has_them() {
    let bare = |unit, decimal_comma| Bare {
        unit,
        decimal_comma,
    };
    let inch = 0.0254;
    let cases = [
        ("30", bare("in", false), 30.0 * inch),
        ("3/4", bare("in", false), 0.75 * inch),
        ("1 1/2", bare("in", false), 1.5 * inch),
        ("1-1/2\"", bare("in", false), 1.5 * inch),
        ("1½", bare("in", false), 1.5 * inch),
        ("5' 6\"", bare("in", false), 66.0 * inch),
        ("5'-6 1/2\"", bare("in", false), 66.5 * inch),
        ("19", bare("mm", false), 0.019),
        ("279,4", bare("mm", true), 0.2794),
        ("1,234", bare("mm", true), 0.001_234),
        ("60 cm", bare("in", false), 0.6),
        ("18mm", bare("in", false), 0.018),
    ];
    for (said, bare, metres) in cases {
        let read = read_length(said, bare);
        assert!(
            read.as_ref().is_ok_and(|read| near(*read, metres)),
            "{said}: {read:?}"
        );
    }
    let either = read_length("1,234", bare("mm", false)).expect_err("a comma may mean either");
    assert!(
        either.contains("1.234") && either.contains("1234"),
        "{either}"
    );
    for wrong in ["", "wide", "0", "-3", "3/0", "1 2 3"] {
        assert!(read_length(wrong, bare("in", false)).is_err(), "{wrong}");
    }
}
