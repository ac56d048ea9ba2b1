//! What is asked back, told or refused of a cut list, a door, machines and layouts, rather than guessed silently.

use shopstride::experiment::Units;
use shopstride::scenario::new_shop::{
    Complaint, CutProject, ListUnits, NewShop, SaidStation, Wish, lay_out, read_cut_list,
    read_door, read_room, read_stations,
};

use super::{loaded, wish};

const SMALL: &str = "lumber rack, miter saw, table saw, workbench, assembly table";

fn list(units: Units, text: &str) -> Result<CutProject, String> {
    let read = read_cut_list("parts.csv", text.as_bytes(), ListUnits::all(units));
    read.map_err(|problems| problems.render(false))
}

fn refused(units: Units, text: &str) -> String {
    list(units, text).expect_err(text)
}

/// The shop of a list in millimetres.
fn shop_of(text: &str) -> NewShop {
    let mut wish = wish(
        "7 m x 6 m",
        &["2.4 m in the front wall"],
        SMALL,
        "side table",
    );
    wish.projects = vec![list(Units::Metric, text).expect("it is sound")];
    lay_out(&wish).expect("it finds a place")
}

fn says(shop: &NewShop, what: &str) -> bool {
    shop.said.iter().any(|said| said.contains(what))
}

/// What stands below `(mm)` and can only be inches, and the other way around, is asked back with line and column.
#[test]
fn a_heading_with_the_wrong_unit_is_asked_back() {
    let heading = |unit: &str| format!("part,length ({unit}),width ({unit}),thickness ({unit})\n");
    for (unit, line, place, what) in [
        (
            "mm",
            "side,30,11,3/4\n",
            "parts.csv:2:12",
            "it looks like inches or metres",
        ),
        (
            "mm",
            "side,30,11,0.75\n",
            "parts.csv:2:12",
            "it looks like inches or metres",
        ),
        (
            "in",
            "side,1524,280,19\n",
            "parts.csv:2:6",
            "it looks like mm",
        ),
    ] {
        for units in [Units::Metric, Units::Imperial] {
            let said = refused(units, &format!("{}{line}", heading(unit)));
            for part in [
                place,
                what,
                "by its heading this is in",
                "write the unit that is meant",
            ] {
                assert!(said.contains(part), "{part} in\n{said}");
            }
        }
    }
    let sound = [
        ("mm", "side,762,280,19\n"),
        ("in", "side,30,11,3/4\n"),
        ("mm", "side,30 in,11 in,3/4 in\n"),
    ];
    for (unit, line) in sound {
        let text = format!("{}{line}", heading(unit));
        assert!(list(Units::Metric, &text).is_ok(), "{text}");
    }
}

/// 1.829 beside 286 is no part of 2 mm: metres and millimetres in one list.
#[test]
fn metres_beside_millimetres_are_asked_back() {
    let text = "part,length,width,thickness\nshelf,762,280,19\nside,1.829,286,19\n";
    let said = refused(Units::Metric, text);
    assert!(
        said.contains("parts.csv:3:6") && said.contains("is read as 1.8 mm"),
        "{said}"
    );
}

/// Where one heading says cm, the others are likely in cm as well.
#[test]
fn headings_without_a_unit_are_offered_that_of_another() {
    let said = refused(
        Units::Metric,
        "part,length (cm),width,thickness\nside,152.4,27.9,1.9\n",
    );
    assert!(
        said.contains("write `width (cm)`, `thickness (cm)` in the heading"),
        "{said}"
    );
    assert!(!said.contains("(in)"), "{said}");
}

#[test]
fn a_list_that_is_called_like_a_unit_is_no_unit_of_walking() {
    for (file, name) in [
        ("mm.csv", "project in mm"),
        ("in.csv", "project in in"),
        ("bench.csv", "bench"),
    ] {
        let text = "Part name,length,width,thickness\nside,762,280,19\n";
        let read = read_cut_list(file, text.as_bytes(), ListUnits::all(Units::Metric));
        assert_eq!(read.expect("sound").name, name);
    }
}

#[test]
fn a_board_that_is_wider_than_long_is_asked_back() {
    let swapped = shop_of("part,length,width,thickness\nside,280,762,19\nrail,600,60,20\n");
    assert!(
        says(
            &swapped,
            "wider than long: side. Along the length runs the grain"
        ),
        "{:?}",
        swapped.said
    );
    let sound = shop_of("part,length,width,thickness\nside,762,280,19\n");
    assert!(!says(&sound, "wider than long"), "{:?}", sound.said);
}

/// 3000 mm and 38 mm to spare come from a board of 3.3 m in steps of 30 cm, where boards have 2.4 m; 100 and 9.5 mm from
/// one of 180 mm, and 40 and 4.8 mm from one of 52 mm.
#[test]
fn a_part_longer_than_boards_is_told() {
    let long = shop_of("part,length,width,thickness\nbeam,3000,100,40\n");
    let told = "1 board of 3.3 m × 180 mm × 52 mm for board (at least 1 by area), longer than the 2.4 m that boards have \
                here (`--longest`), since a part is";
    assert!(says(&long, told), "{:?}", long.said);
    let short = shop_of("part,length,width,thickness\nbeam,2000,100,40\n");
    assert!(
        says(
            &short,
            "1 board of 2.4 m × 180 mm × 52 mm for board (at least 1 by area)."
        ),
        "{:?}",
        short.said
    );
}

#[test]
fn so_many_layouts_are_written_as_are_asked_for() {
    // Of these no third layout is found.
    const EIGHT: &str =
        "lumber rack, miter saw, table saw, jointer, planer, workbench, assembly table, sheet rack";
    let asked = |layouts: Option<usize>| {
        let wish = Wish {
            layouts,
            ..wish(
                "24 ft x 20 ft",
                &["9 ft in the front wall"],
                EIGHT,
                "side table",
            )
        };
        lay_out(&wish).expect("it finds a place")
    };
    let shops = [1, 2, 3].map(|layouts| (layouts, asked(Some(layouts))));
    for (layouts, shop) in &shops {
        let layouts = *layouts;
        assert_eq!(loaded(shop).candidates.len(), shop.layouts);
        assert!(shop.layouts <= layouts, "{layouts}");
        let is_told = says(
            shop,
            &format!("of the {layouts} layouts that are asked for"),
        );
        assert_eq!(shop.layouts < layouts, is_told, "{:?}", shop.said);
        let is_shown = shop.text.contains("# One more layout");
        assert!(!is_shown || layouts < 3, "{layouts}");
    }
    assert_eq!(shops.each_ref().map(|(_, shop)| shop.layouts), [1, 2, 2]);
    assert_eq!(asked(None).text, shops[1].1.text);
}

/// Horses are written as folded away, so that the floor that they take open is told.
#[test]
fn what_is_folded_away_is_told_with_its_size_when_open() {
    let wish = wish(
        "24 ft x 20 ft",
        &["9 ft in the front wall"],
        "lumber rack, sheet rack, table saw, workbench",
        "bookcase",
    );
    let shop = lay_out(&wish).expect("it finds a place");
    assert!(shop.text.contains("size: [0, 0]"), "{}", shop.text);
    for text in [&shop.text, &shop.said.join("\n")] {
        assert!(
            text.contains("nothing checks the 60 by 108 in that they take open"),
            "{text}"
        );
    }
}

#[test]
fn furniture_for_finishing_is_known_and_a_stove_is_no_station() {
    let shelf = read_stations("finishing shelf").expect("known");
    let of = |station: &SaidStation| (station.name.clone(), station.kind.name);
    assert_eq!(
        of(&shelf[0]),
        ("finishing shelf".to_owned(), "finishing bench")
    );
    assert!(shelf[0].is_kind_guessed);
    for (said, nearest) in [
        ("wood stove", "as `blocked` of the room"),
        ("water heater", "as `blocked` of the room"),
        ("drying rack", "the nearest kind is `finishing bench`"),
    ] {
        let complaints = read_stations(said).expect_err(said);
        let [
            Complaint {
                hint: Some(hint), ..
            },
        ] = &complaints[..]
        else {
            panic!("{complaints:?}");
        };
        assert!(hint.contains(nearest), "{hint}");
    }
}

/// In a room in centimetres 240 is no door of 240 m, and a wall of 1 m has a door within it.
#[test]
fn a_door_is_read_in_the_unit_of_the_room() {
    let room = read_room("660 cm x 600 cm").expect("a room");
    let door = read_door("240 x 210 in the front wall", &room, &[]).expect("a door");
    assert!((door.width - 2.4).abs() < 1e-9 && (door.height.expect("said") - 2.1).abs() < 1e-9);
    let wide = read_door("900 in the front wall", &room, &[]).expect_err("too wide");
    assert!(
        wide.what.ends_with("is 9 m wide, and its wall 6.6 m"),
        "{wide:?}"
    );
    let small = lay_out(&wish("1 m x 1 m", &[], SMALL, "side table")).expect_err("too small");
    assert!(
        small.what.starts_with("nothing of this finds a place"),
        "{small:?}"
    );
}

/// What nobody is asked for stands in comments that work: when the shop is open, and what keeps dust off a wet finish.
#[test]
fn what_is_not_asked_for_is_shown_in_comments() {
    let with = format!("{SMALL}, finishing bench");
    let shop = lay_out(&wish(
        "24 ft x 20 ft",
        &["9 ft in the front wall"],
        &with,
        "side table",
    ))
    .expect("a place");
    assert!(
        says(&shop, "as if the shop never shut") && says(&shop, "dust from a finish"),
        "{:?}",
        shop.said
    );
    assert!(loaded(&shop).candidates[0].shop.calendar.is_always_open());
    let open = NewShop {
        text: shop
            .text
            .replace("#sessions:", "sessions:")
            .replace("#  - {days", "  - {days"),
        ..shop.clone()
    };
    assert!(!loaded(&open).candidates[0].shop.calendar.is_always_open());
    let said = shop
        .text
        .lines()
        .find(|line| line.contains("tacky: 2 h"))
        .expect("a comment");
    let keys = said.split("under operations, ").nth(1).expect("keys");
    let glue = shop
        .text
        .lines()
        .find(|line| line.starts_with("operations: {"));
    let with_keys = match glue {
        Some(glue) => shop
            .text
            .replace(glue, &glue.replacen('{', &format!("{{{keys}, "), 1)),
        None => shop
            .text
            .replace("projects:", &format!("operations: {{{keys}}}\nprojects:")),
    };
    let text = with_keys;
    loaded(&NewShop { text, ..shop });
}
