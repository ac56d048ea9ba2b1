//! Layouts made by hand, as large as the findings that they belong to.

use shopstride::experiment::Findings;
use shopstride::floor::{Door, Going, Panel, Placement, Plan, Point, Polygon, Room, Side, Thing};
use shopstride::report::charts::Layout;
use shopstride::report::charts::layout::{DrawnFinding, DrawnStrip, WalkedPath};
use shopstride::shop::{PlaceId, StationId, Table};

/// A layout for each candidate. The last one of several has no room.
pub fn layouts(findings: &Findings) -> Vec<Layout> {
    let last = findings.candidates.len() - 1;
    let candidates = findings.candidates.iter().enumerate();
    candidates
        .map(|(index, found)| {
            let names: Vec<String> = (found.stations.iter())
                .map(|station| station.name.clone())
                .collect();
            let placements = (0..names.len()).map(|at| Some(placement(at, names.len(), index)));
            let plan = plan(
                (index != last || last < 2).then(|| room(names.len())),
                placements.collect(),
            );
            let place = |name: &String| names.iter().position(|known| known == name);
            let paths = found.legs.iter().filter_map(|leg| {
                let (from, to) = (place(&leg.from)?, place(&leg.to)?);
                let ends = (PlaceId(from as u32), PlaceId(to as u32));
                WalkedPath::straight(&plan, ends, leg.manner, leg.trips)
            });
            let strips = plan.placements.iter().flatten().flat_map(strips);
            Layout {
                name: found.name.clone(),
                paths: paths.collect(),
                strips: strips.collect(),
                keep_free: vec![rectangle((1.0, 0.5), (1.0, 1.0))],
                throws: vec![rectangle((2.5, 1.5), (3.0, 1.0))],
                findings: vec![
                    finding(1, true, Some((3.3, 2.4)), None),
                    finding(2, false, Some((5.4, 3.4)), Some("61.5 cm")),
                    finding(3, false, None, None),
                ],
                near_gaps: Vec::new(),
                units: found.stations.iter().map(|station| station.count).collect(),
                worked_s: (found.stations.iter().map(|station| station.running)).collect(),
                stations: names,
                plan,
            }
        })
        .collect()
}

/// A fault or a warning at a place, or at none, with the width of a gap.
pub fn finding(
    number: usize,
    is_fault: bool,
    at: Option<(f64, f64)>,
    gap: Option<&str>,
) -> DrawnFinding {
    DrawnFinding {
        number,
        is_fault,
        at: at.map(|(x, y)| Point::new(x, y)),
        gap: gap.map(str::to_owned),
        words: format!(
            "something is the matter here, and this sentence says so for the {number}. time"
        ),
        short: format!("something is the matter here, the {number}. time"),
    }
}

pub fn plan(room: Option<Room>, placements: Table<StationId, Option<Placement>>) -> Plan {
    Plan {
        room,
        placements,
        work_stands: Vec::new(),
        rolled_out: Vec::new(),
        going: Going::Straight,
        body_width: 0.5,
        cart_width: 0.5,
        head_room: 2.0,
    }
}

pub fn rectangle((x, y): (f64, f64), size: (f64, f64)) -> Polygon {
    Polygon::rectangle(Point::new(x, y), size, 0.0).unwrap()
}

pub fn station(at: (f64, f64), size: (f64, f64), turn: f64) -> Placement {
    Placement::new(Point::new(at.0, at.1), turn, size)
}

/// Stations in rows, some turned, some fed through, every seventh without a size.
fn placement(index: usize, count: usize, candidate: usize) -> Placement {
    let columns = columns(count);
    let at = index * [1, 7, 11, 13, 17, 19][candidate % 6] % count;
    let (column, row) = (at % columns, at / columns);
    let size = [(1.6, 0.8), (1.0, 1.1), (0.5, 1.5), (1.9, 0.4)][index % 4];
    let turn = [0.0, 90.0, 0.0, 180.0, 30.0][(index + candidate) % 5];
    let place = (1.3 + 2.1 * column as f64, 1.4 + 2.0 * row as f64);
    Placement {
        feed: (index % 3 == 1).then_some(Side::PlusX),
        ..station(place, if index % 7 == 6 { (0.0, 0.0) } else { size }, turn)
    }
}

fn columns(count: usize) -> usize {
    if count > 9 { 6 } else { 3 }
}

fn extent(count: usize) -> (f64, f64) {
    let columns = columns(count);
    (
        2.1 * columns as f64 + 0.6,
        2.0 * count.div_ceil(columns) as f64 + 0.8,
    )
}

/// An L-shaped room with a gate, two doors, a post, a stair and an electrical panel.
pub fn room(count: usize) -> Room {
    let (x, y) = extent(count);
    let corners = [
        (0.0, 0.0),
        (x, 0.0),
        (x, y),
        (x / 2.0, y),
        (x / 2.0, y + 1.5),
        (0.0, y + 1.5),
    ];
    let door = |name: &str, from: (f64, f64), to: (f64, f64), swings_in| Door {
        name: name.to_string(),
        between: (Point::new(from.0, from.1), Point::new(to.0, to.1)),
        height: Some(2.0),
        wall: 0.15,
        corridor: None,
        swings_in,
        hangs_at_first: false,
        overhead: false,
    };
    let thing = |name: &str, at: (f64, f64), size: (f64, f64)| Thing {
        name: name.to_string(),
        outline: rectangle(at, size),
        heights: Default::default(),
    };
    Room {
        outline: Polygon::new(&corners.map(|(x, y)| Point::new(x, y))).unwrap(),
        ceiling: None,
        doors: vec![
            door("roll-up gate", (x - 3.0, 0.0), (x - 0.6, 0.0), false),
            door("house door", (0.0, y + 0.3), (0.0, y + 1.2), true),
            door(
                "a door with quite a long name to the garden",
                (x, 2.0),
                (x, 2.8),
                true,
            ),
        ],
        parks: Vec::new(),
        blocked: vec![
            thing("post", (x / 2.0, y / 2.0), (0.15, 0.15)),
            thing("stair to the first floor", (x / 4.0, y + 1.0), (2.0, 0.9)),
        ],
        panels: vec![Panel {
            name: "panel".to_string(),
            at: Point::new(1.0, 0.0),
            faces: Point::new(0.0, 1.0),
            width: 0.4,
        }],
        ways: Vec::new(),
        kept: Vec::new(),
        stock: Vec::new(),
    }
}

/// Before and behind a station that the work is fed through; behind it there is not enough room.
fn strips(placement: &Placement) -> Vec<DrawnStrip> {
    let Some(feed) = placement.feed else {
        return Vec::new();
    };
    let (along, across) = (feed.direction(), feed.direction().left());
    let strip = |from: f64, to: f64, fits| {
        let corners = [(from, -0.2), (to, -0.2), (to, 0.2), (from, 0.2)];
        let corners = corners.map(|(x, y)| placement.on_floor(along * x + across * y));
        DrawnStrip {
            outline: Polygon::new(&corners).unwrap(),
            fits,
        }
    };
    vec![strip(-1.5, -0.5, true), strip(0.5, 1.5, false)]
}
