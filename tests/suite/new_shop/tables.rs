//! Cut lists and times taken, as spreadsheets write them.

use shopstride::experiment::Units;
use shopstride::scenario::Problems;
use shopstride::scenario::new_shop::{
    CutProject, CutRow, ListUnits, Stuff, read_cut_list, read_stations, read_times,
};

const INCH: f64 = 0.0254;

fn list(text: &str) -> Result<CutProject, Problems> {
    read_cut_list(
        "wall-shelf.csv",
        text.as_bytes(),
        ListUnits::all(Units::Imperial),
    )
}

fn rows(text: &str) -> Vec<CutRow> {
    list(text)
        .unwrap_or_else(|problems| panic!("{problems}"))
        .rows
}

fn is(row: &CutRow, part: &str, quantity: u32, inches: [f64; 3], stuff: Stuff) -> bool {
    let same = row.size.iter().zip(inches);
    let mut same = same.map(|(size, inches)| (size - inches * INCH).abs() < 1e-9);
    row.part == part && row.quantity == quantity && row.stuff == stuff && same.all(|same| same)
}

#[test]
fn columns_may_come_in_any_order_and_under_other_names() {
    let plain = rows(
        "part,quantity,length,width,thickness,material\nside,2,30,11,3/4,Baltic birch ply\nrail,1,28 1/2,3,3/4,oak\n",
    );
    let other = rows(
        "\u{feff}Notes,Material,T,W,L,Qty,Name\n\"wide, flat\",Baltic birch ply,3/4,11,\"30\"\"\",2,side\n,oak,3/4\",3,2' 4-1/2\",,rail\n\n,,,,,,\n",
    );
    assert_eq!(plain, other);
    assert_eq!(
        (&plain[0].material[..], &plain[1].material[..]),
        ("Baltic birch ply", "oak")
    );
    assert!(
        is(&plain[0], "side", 2, [30.0, 11.0, 0.75], Stuff::Sheets),
        "{plain:?}"
    );
    assert!(
        is(&plain[1], "rail", 1, [28.5, 3.0, 0.75], Stuff::Boards),
        "{plain:?}"
    );
    assert_eq!(
        list("part,length,width,thickness\na,1,1,1\n")
            .expect("a part")
            .name,
        "wall shelf"
    );
}

/// The list that README has, and the same with a back of 1/4 in.
const IN_INCHES: &str = "side,2,60,11,3/4,birch plywood\nshelf,5,30,11,0.75,birch plywood\nback,1,60,31,1/4,birch plywood\n";
const HEADING: &str = "part,quantity,length,width,thickness,material\n";

fn refused_in(bare: Units, text: &str) -> String {
    match read_cut_list("parts.csv", text.as_bytes(), ListUnits::all(bare)) {
        Ok(project) => panic!("{project:?}"),
        Err(problems) => problems.render(false),
    }
}

#[test]
fn as_what_lengths_without_a_unit_are_read_is_known() {
    let read = |units, text: &str| {
        let list = read_cut_list("a.csv", text.as_bytes(), ListUnits::all(units));
        list.unwrap_or_else(|problems| panic!("{problems}"))
            .bare_lengths
    };
    let beside_inches = "part,length,width,thickness\nside,30 in,11 in,3/4\n";
    assert_eq!(read(Units::Imperial, beside_inches), Some("in"));
    let each = "part,length,width,thickness\nside,2' 6,11 in,3/4\"\n";
    assert_eq!(read(Units::Metric, each), None);
    let in_the_heading = "part,length (in),width (in),thickness (in)\nside,30,11,3/4\n";
    assert_eq!(read(Units::Metric, in_the_heading), None);
    let in_mm = "part,length,width,thickness\nside,1524,280,19\n";
    assert_eq!(read(Units::Metric, in_mm), Some("mm"));
}

/// A list in inches for a room in metres is no bookcase of 60 mm: it is told once, at the first line that shows it, and
/// nothing else of what follows from it.
#[test]
fn a_list_in_inches_is_not_read_as_millimetres() {
    let said = refused_in(Units::Metric, &format!("{HEADING}{IN_INCHES}"));
    for what in [
        "parts.csv:2:14",
        "it looks like inches or cm, and 2 more lines are like it",
        "write `length (in)`, `width (in)`, `thickness (in)` in the heading",
    ] {
        assert!(said.contains(what), "{what} in\n{said}");
    }
    assert_eq!(said.matches("error").count(), 1, "{said}");
    // 2-1/2 is a fraction; 0.75 is too thin beside what may be inches.
    for (line, place) in [
        ("rail,2,30,2 1/2,20,oak\n", "parts.csv:2:11"),
        ("shelf,5,30,11,0.75,oak\n", "parts.csv:2:15"),
    ] {
        let said = refused_in(Units::Metric, &format!("{HEADING}{line}"));
        assert!(said.contains(place), "{place} in\n{said}");
    }
    // With its unit it is what it says, and a strip of veneer is longer than anything is in inches.
    for line in [
        "shelf,5,300,110,0.75 mm,oak\n",
        "edging,4,2400,22,0.8,oak veneer\n",
        "back,1,1500,780,3,hardboard\n",
    ] {
        let text = format!("{HEADING}{line}");
        let read = read_cut_list("a.csv", text.as_bytes(), ListUnits::all(Units::Metric));
        assert!(read.is_ok(), "{line}");
    }
}

#[test]
fn a_list_in_millimetres_is_not_read_as_inches() {
    // 1524 in would be 39 m, 18 in of plywood no sheet, and 45 mm of a short leg is no post of 45 in.
    for (line, place) in [
        ("side,2,1524,280,19,birch plywood\n", "parts.csv:2:8"),
        ("shelf,2,200,110,18,birch plywood\n", "parts.csv:2:17"),
        ("leg,4,120,45,45,oak\n", "parts.csv:2:14"),
    ] {
        let said = refused_in(Units::Imperial, &format!("{HEADING}{line}"));
        for what in [place, "it looks like mm", "`thickness (mm)`"] {
            assert!(said.contains(what), "{what} in\n{said}");
        }
    }
    let posts = format!("{HEADING}post,4,96,5 1/2,5 1/2,oak\n");
    assert!(list(&posts).is_ok());
}

/// The file is in metric units then, and the list as the room is.
#[test]
fn a_list_is_read_as_the_room_is_whatever_the_file_is_written_in() {
    let text = format!("{HEADING}{IN_INCHES}");
    let units = ListUnits {
        bare: Units::Imperial,
        sold: Units::Metric,
    };
    let rows = read_cut_list("a.csv", text.as_bytes(), units)
        .expect("a list")
        .rows;
    assert!(
        is(&rows[0], "side", 2, [60.0, 11.0, 0.75], Stuff::Sheets),
        "{rows:?}"
    );
}

#[test]
fn units_stand_in_cells_or_in_headings() {
    let metric = rows("part;qty;length (mm);width [cm];thickness\r\nside;2;762;27,94;19,05 mm\r\n");
    assert!(
        is(&metric[0], "side", 2, [30.0, 11.0, 0.75], Stuff::Boards),
        "{metric:?}"
    );
    let tabs = rows("part\tqty\tlength\twidth\tthickness\nside\t2\t2.5 ft\t11\t0.75\n");
    assert!(
        is(&tabs[0], "side", 2, [30.0, 11.0, 0.75], Stuff::Boards),
        "{tabs:?}"
    );
}

#[test]
fn lines_of_one_part_are_added_and_others_of_its_name_numbered() {
    let rows = rows(
        "part,qty,length,width,thickness\nshelf,2,30,11,3/4\nshelf,3,30,11,3/4\nshelf,1,28,11,3/4\n",
    );
    assert_eq!(rows.len(), 2);
    assert_eq!((&rows[0].part[..], rows[0].quantity), ("shelf", 5));
    assert_eq!((&rows[1].part[..], rows[1].quantity), ("shelf 2", 1));
}

fn told(text: &str) -> String {
    match list(text) {
        Ok(project) => panic!("{project:?}"),
        Err(problems) => problems.render(false),
    }
}

#[test]
fn all_that_is_wrong_is_told_at_once_with_line_and_column() {
    let said = told(
        "part,qty,length,width,thickness,material\nside,two,30,11,3/4,ply\n,1,30,11,3/4,\nshelf,1,long,,0,oak\nback,1,100,60,1/4,mdf\n",
    );
    for (place, what) in [
        ("wall-shelf.csv:2:6", "`two` is no number of pieces"),
        ("wall-shelf.csv:3:1", "this line does not name its part"),
        ("wall-shelf.csv:4:9", "`long` is no length of a part"),
        ("wall-shelf.csv:4:1", "this line has no width"),
        ("wall-shelf.csv:4:15", "`0` is no thickness of a part"),
        ("wall-shelf.csv:5:1", "no sheet is as large as this part"),
    ] {
        assert!(said.contains(place), "{place} in\n{said}");
        assert!(said.contains(what), "{what} in\n{said}");
    }
    assert_eq!(said.matches("error").count(), 6, "{said}");
}

#[test]
fn tables_that_are_none_are_told() {
    assert!(told("").contains("the table is empty"));
    assert!(told("part,length,width,thickness\n").contains("no part follows"));
    let missing = told("part,lenght,width,thickness\nside,30,11,3/4\n");
    assert!(
        missing.contains("no column is called `length`") && missing.contains("is it `lenght`?"),
        "{missing}"
    );
    assert!(
        told("part,length,length,width,thickness\nside,30,30,11,3/4\n")
            .contains("two columns for length")
    );
    let latin = read_cut_list(
        "p.csv",
        b"part,length,width,thickness\nr\xfcckwand,30,11,3/4\n",
        ListUnits::all(Units::Imperial),
    );
    assert!(latin.expect_err("no UTF-8").render(false).contains("UTF-8"));
}

#[test]
fn times_are_kept_for_each_operation_at_its_station() {
    let stations = read_stations("table saw, planer, lumber rack").expect("stations");
    let read = |text: &str| read_times("watch.csv", text.as_bytes(), &stations);
    let taken = read(
        "Station,Operation,Time\ntable saw,rip,42\nplaner,plane,1:30\nTable Saw,Rip,40.5 s\nplaner,plane,2 min\n",
    );
    let taken = taken.expect("times");
    let listed: Vec<(usize, &str, &[f64])> = taken
        .iter()
        .map(|taken| (taken.station, taken.operation, &taken.seconds[..]))
        .collect();
    assert_eq!(
        listed,
        [
            (0, "rip", &[42.0, 40.5][..]),
            (1, "plane", &[90.0, 120.0][..])
        ]
    );
    let wrong = read(
        "operation,station,seconds\nrip,tabel saw,42\nripp,table saw,42\nplane,planer,soon\nfetch,lumber rack,3\nrip,table saw\n",
    );
    let said = wrong.expect_err("all are wrong").render(false);
    for what in [
        "did you mean `table saw`?",
        "did you mean `rip`?",
        "`soon` is no time",
        "nothing is done there",
        "this line is not complete",
    ] {
        assert!(said.contains(what), "{what} in\n{said}");
    }
}
