//! Floor plans and what is drawn on them.

use shopstride::experiment::{Findings, Units};
use shopstride::floor::{Door, Panel, Placement, Point, Room, Side};
use shopstride::report::charts::layout::{DrawnStrip, WalkedPath};
use shopstride::report::charts::scene::paint::{Colour, Hatch};
use shopstride::report::charts::scene::{SceneShape, Text};
use shopstride::report::charts::{self, ALL, Layout};
use shopstride::shop::{PlaceId, StationId};

use super::drawing::{Drawing, Measured, is_dashed, stroke};
use super::fixtures::{SMALL, Size, findings};
use super::floors::{finding, layouts, plan, rectangle, station};
use super::subject;

const FOOTPRINT: Colour = (244, 244, 240);
const ROOM_TO_FEED: Colour = (162, 205, 229);
const NO_ROOM_TO_FEED: Colour = (245, 217, 153);
const THROWN: Colour = (240, 215, 229);
const VERMILLION: Colour = (213, 94, 0);
const BLUE: Colour = (0, 114, 178);

pub fn drawn(stem: &str, findings: &Findings, layouts: &[Layout]) -> Vec<Drawing> {
    let chart = ALL.iter().find(|chart| chart.stem == stem).unwrap();
    let pictures = charts::pictures(chart, &subject(findings, None, layouts), 1.0);
    pictures.iter().map(Drawing::of).collect()
}

/// A room of 6 m by 4 m with a bench of 2 m by 1 m at the lower left and a saw of 1 m by 1 m at the upper right.
pub fn layout(name: &str) -> Layout {
    let placements: Vec<Option<Placement>> = vec![
        Some(station((1.5, 1.5), (2.0, 1.0), 0.0)),
        Some(station((4.5, 3.0), (1.0, 1.0), 0.0)),
    ];
    Layout {
        name: name.to_string(),
        plan: plan(Some(room()), placements.into_iter().collect()),
        stations: vec!["bench".to_string(), "saw".to_string()],
        units: vec![1, 1],
        strips: Vec::new(),
        keep_free: Vec::new(),
        throws: Vec::new(),
        findings: Vec::new(),
        near_gaps: Vec::new(),
        paths: Vec::new(),
        worked_s: Vec::new(),
    }
}

fn room() -> Room {
    Room {
        outline: rectangle((3.0, 2.0), (6.0, 4.0)),
        ceiling: None,
        doors: vec![Door {
            name: "door".to_string(),
            between: (Point::new(3.0, 0.0), Point::new(4.0, 0.0)),
            height: None,
            wall: 0.1,
            corridor: None,
            swings_in: true,
            hangs_at_first: false,
            overhead: false,
        }],
        blocked: Vec::new(),
        parks: Vec::new(),
        panels: Vec::new(),
        ways: Vec::new(),
        kept: Vec::new(),
        stock: Vec::new(),
    }
}

pub fn way(from: u32, to: u32, points: &[(f64, f64)], empty: f64, loaded: f64) -> WalkedPath {
    WalkedPath {
        from: PlaceId(from),
        to: PlaceId(to),
        points: points.iter().map(|&(x, y)| Point::new(x, y)).collect(),
        trips_empty: empty,
        trips_loaded: loaded,
    }
}

/// Footprints, without the plates of names, which are smaller.
pub fn footprints(drawing: &Drawing) -> Vec<&SceneShape> {
    let mut shapes = drawing.filled(FOOTPRINT);
    shapes.retain(|shape| shape.width().min(shape.height()) > 30.0);
    shapes
}

#[test]
fn a_plan_is_to_scale_and_its_y_goes_up() {
    let drawing = &drawn("plan", &findings(&SMALL), &[layout("As it grew")])[0];
    let [bench, saw] = footprints(drawing)[..] else {
        panic!("{:?}", drawing.shapes)
    };
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-6;
    assert!(near(bench.width(), 2.0 * bench.height()), "{bench:?}");
    assert!(near(saw.width(), saw.height()) && near(saw.width(), bench.height()));
    let metre = saw.width();
    // From centre to centre it is 3 m to the right and 1.5 m up.
    let centre = |shape: &SceneShape| {
        let (a, b) = (shape.points()[0], shape.points()[2]);
        ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
    };
    let (from, to) = (centre(bench), centre(saw));
    assert!(near(to.0 - from.0, 3.0 * metre) && near(from.1 - to.1, 1.5 * metre));
    drawing.expect("bench", "plan");
    drawing.expect("saw", "plan");
    drawing.expect("door", "plan");
}

#[test]
fn dimensions_are_those_of_the_room() {
    let mut found = findings(&SMALL);
    let metric = &drawn("plan", &found, &[layout("As it grew")])[0];
    metric.expect("6.00 m", "width");
    metric.expect("4.00 m", "height");
    metric.expect("1 m", "scale bar");
    found.units = Units::Imperial;
    // 6 m are 236.2 in, 4 m are 157.5 in.
    let imperial = &drawn("plan", &found, &[layout("As it grew")])[0];
    imperial.expect("19 ft 8 in", "width");
    imperial.expect("13 ft 1 in", "height");
    imperial.expect("2 ft", "scale bar");
    let mut alone = layout("As it grew");
    alone.plan.room = None;
    let placed = &drawn("plan", &found, &[alone])[0];
    // The bench begins at 0.5 m and the saw ends at 5 m.
    placed.expect("14 ft 9 in", "width");
    placed.expect("no room", "notes");
}

#[test]
fn the_leaf_of_a_door_swings_into_the_room() {
    let drawing = &drawn("plan", &findings(&SMALL), &[layout("As it grew")])[0];
    let metre = footprints(drawing)[1].width();
    let arcs: Vec<_> = drawing
        .lines((120, 120, 120))
        .into_iter()
        .filter(|line| line.points().len() == 17)
        .collect();
    let [arc] = arcs[..] else { panic!("{arcs:?}") };
    assert!((arc.width() - metre).abs() <= 1e-6 && (arc.height() - metre).abs() <= 1e-6);
    // From the latch in the wall up to the end of the open leaf over the hinge.
    let (latch, open) = (arc.points()[0], arc.points()[16]);
    assert!(latch.0 > open.0 && latch.1 > open.1);
}

/// A cabinet over the bench, a duct, and the leaf of an overhead door.
#[test]
fn what_hangs_is_dashed_and_leaves_the_floor_to_others() {
    let mut layout = layout("As it grew");
    let cabinet = station((1.5, 1.8), (1.0, 0.3), 0.0);
    let heights = shopstride::floor::HeightRange {
        bottom: 1.4,
        top: 2.1,
    };
    let stations = layout.plan.placements.iter().copied();
    let hung = Placement { heights, ..cabinet };
    layout.plan.placements = [Some(hung)].into_iter().chain(stations).collect();
    layout.stations.insert(0, "cabinet".to_string());
    layout.units.push(1);
    let bare = &drawn("plan", &findings(&SMALL), &[self::layout("As it grew")])[0];
    assert!(!bare.texts.iter().any(|text| text.text.contains("hangs")));
    let drawing = &drawn("plan", &findings(&SMALL), &[layout.clone()])[0];
    drawing.expect("cabinet", "plan");
    drawing.expect("hangs above the floor", "legend");
    assert_eq!(footprints(drawing).len(), 2, "the cabinet is not filled");
    let metre = footprints(drawing)[1].width();
    let dashed = |drawing: &Drawing, width: f64| {
        let lines = drawing.shapes.iter();
        let wide = lines.filter(|line| (line.width() - width * metre).abs() < 1e-6);
        wide.filter(|line| line.stroke.is_some() && is_dashed(line))
            .count()
    };
    assert_eq!(dashed(drawing, 1.0), 1);
    let room = layout.plan.room.as_mut().expect("it has one");
    let door = &mut room.doors[0];
    (door.swings_in, door.overhead, door.height) = (false, true, Some(2.1));
    let with_leaf = &drawn("plan", &findings(&SMALL), &[layout])[0];
    // The leaf is as wide as the door, and its opening is dashed, too.
    assert_eq!(dashed(with_leaf, 1.0), 3);
}

#[test]
fn strips_that_fit_and_strips_that_do_not_differ_in_black_and_white() {
    let mut layout = layout("As it grew");
    layout.strips = vec![
        DrawnStrip {
            outline: rectangle((4.5, 2.0), (0.5, 1.0)),
            fits: true,
        },
        DrawnStrip {
            outline: rectangle((4.5, 3.7), (0.5, 0.4)),
            fits: false,
        },
    ];
    let drawing = &drawn("plan", &findings(&SMALL), &[layout])[0];
    // Each is drawn once in the plan and once where it is explained.
    assert_eq!(drawing.filled(ROOM_TO_FEED).len(), 2);
    let hatched = drawing.filled(NO_ROOM_TO_FEED);
    assert_eq!(hatched.len(), 2);
    assert!(
        hatched
            .iter()
            .all(|shape| shape.fill.is_some_and(|fill| fill.hatch != Hatch::Plain))
    );
    let (whole, dashes) = (drawing.lines(BLUE), drawing.lines(VERMILLION));
    assert_eq!((whole.len(), dashes.len()), (2, 2));
    assert!(whole.iter().all(|line| !is_dashed(line)));
    assert!(dashes.iter().all(|line| is_dashed(line)));
    assert!(stroke(dashes[0]) > 1.5 * stroke(whole[0]));
}

#[test]
fn the_feed_goes_in_on_one_side_and_out_on_the_other() {
    let mut layout = layout("As it grew");
    let saw = layout.plan.placements[StationId(1)].as_mut().unwrap();
    saw.feed = Some(Side::PlusX);
    let drawing = &drawn("plan", &findings(&SMALL), &[layout])[0];
    let heads: Vec<_> = drawing
        .filled((0, 0, 0))
        .into_iter()
        .filter(|shape| shape.points().len() == 3)
        .collect();
    // One of them explains the others.
    assert_eq!(heads.len(), 3);
    let saw = footprints(drawing)[1];
    let left = saw.bounds().x;
    let tips: Vec<f64> = heads.iter().map(|head| head.points()[0].0).collect();
    assert!(tips.iter().any(|tip| (left - tip).abs() < 2.0), "{tips:?}");
    assert!(tips.iter().any(|tip| *tip > left + saw.width()), "{tips:?}");
    drawing.expect("feed direction", "legend");
}

#[test]
fn a_panel_has_its_name_and_what_is_wrong_is_drawn() {
    let mut layout = layout("As it grew");
    let found = findings(&SMALL);
    let before = &drawn("plan", &found, &[layout.clone()])[0];
    before.expect("No fault found by these rules", "plan");
    layout.plan.room.as_mut().unwrap().panels = vec![Panel {
        name: "breakers".to_string(),
        at: Point::new(0.0, 3.0),
        faces: Point::new(1.0, 0.0),
        width: 0.4,
    }];
    layout.findings = vec![
        finding(1, true, Some((3.0, 2.5)), Some("61.5 cm")),
        finding(2, false, None, None),
    ];
    layout.throws = vec![rectangle((3.0, 3.0), (2.0, 1.0))];
    layout.strips = vec![DrawnStrip {
        outline: rectangle((4.5, 3.7), (0.5, 0.4)),
        fits: false,
    }];
    let drawing = &drawn("plan", &found, &[layout])[0];
    for words in [
        "breakers",
        "electrical panel",
        "a piece may be thrown here",
        "no room for the longest piece",
        "fault, as listed",
        "warning, as listed",
        "Something is the matter here",
    ] {
        drawing.expect(words, "plan");
    }
    let signs = |number: &str| {
        drawing
            .texts
            .iter()
            .filter(|text| text.text == number && text.bold)
            .count()
    };
    assert_eq!(
        signs("1"),
        3,
        "in the plan, in the legend and before its sentence"
    );
    assert_eq!(
        signs("2"),
        2,
        "in the legend and before its sentence: it has no place"
    );
    // The width of the gap stands below its number.
    let text = |words: &str| {
        drawing
            .texts
            .iter()
            .find(|text| text.text == words)
            .unwrap()
    };
    let gap = text("61.5 cm").at;
    let above =
        |text: &&Text| text.text == "1" && (text.at.0 - gap.0).abs() < 1.0 && text.at.1 < gap.1;
    assert_eq!(drawing.texts.iter().filter(above).count(), 1);
    let thrown = drawing.filled(THROWN);
    let metre = footprints(drawing)[1].width();
    let is_to_scale = |shape: &&SceneShape| (shape.width() - 2.0 * metre).abs() <= 1e-6;
    assert!(thrown.iter().any(is_to_scale), "{thrown:?}");
}

/// One reads off the grid where things stand: the same steps in both directions, in the reader's units.
#[test]
fn a_plan_has_a_grid_with_marks() {
    let mut found = findings(&SMALL);
    let metric = &drawn("plan", &found, &[layout("As it grew")])[0];
    let metre = footprints(metric)[1].width();
    let mark = |drawing: &Drawing, words: &str| -> Vec<(f64, f64)> {
        let texts = drawing
            .texts
            .iter()
            .filter(|text| text.text == words && !text.bold);
        texts.map(|text| text.at).collect()
    };
    // One and three metres stand below the plan and at its left; from the one to the other it is two metres.
    let (one, three) = (mark(metric, "1.0"), mark(metric, "3.0"));
    assert_eq!((one.len(), three.len()), (2, 2));
    let level = |marks: &[(f64, f64)]| marks.iter().map(|at| at.0).fold(0.0, f64::max);
    let upright = |marks: &[(f64, f64)]| marks.iter().map(|at| at.1).fold(f64::INFINITY, f64::min);
    assert!((level(&three) - level(&one) - 2.0 * metre).abs() <= 0.01);
    assert!((upright(&one) - upright(&three) - 2.0 * metre).abs() <= 0.01);
    // The bench begins half a metre from the wall.
    let bench = footprints(metric)[0].bounds();
    assert!((level(&one) - bench.x - 0.5 * metre).abs() <= 0.01);
    found.units = Units::Imperial;
    let imperial = &drawn("plan", &found, &[layout("As it grew")])[0];
    let (two, six) = (mark(imperial, "2"), mark(imperial, "6"));
    assert!((level(&six) - level(&two) - 4.0 * 0.3048 * metre).abs() <= 0.01);
}

/// Every standing place has a line to its station.
#[test]
fn one_sees_at_what_one_stands() {
    let drawing = &drawn("plan", &findings(&SMALL), &[layout("As it grew")])[0];
    let metre = footprints(drawing)[1].width();
    for footprint in footprints(drawing) {
        let area = footprint.bounds();
        // The default standing place is 12 inches off the lower edge.
        let foot = (area.x + area.width / 2.0, area.y + area.height);
        let is_line = |line: &&SceneShape| {
            let points = line.points();
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-6;
            points.len() == 2
                && near(points[1].0, foot.0)
                && near(points[1].1, foot.1)
                && near(points[0].1, foot.1 + 0.3048 * metre)
        };
        assert_eq!(
            drawing
                .lines((0, 0, 0))
                .iter()
                .copied()
                .filter(|line| is_line(line))
                .count(),
            1
        );
    }
}

#[test]
fn a_name_without_room_is_a_letter_with_a_key() {
    let mut layout = layout("As it grew");
    let size = &mut layout.plan.placements[StationId(1)].as_mut().unwrap().size;
    *size = (0.3, 0.3);
    let long = "saw with an outfeed table that nobody ever folds away and a name as long as it";
    layout.stations[1] = long.to_string();
    let drawing = &drawn("plan", &findings(&SMALL), &[layout])[0];
    drawing.expect("bench", "it fits");
    let letters = drawing.texts.iter().filter(|text| text.text == "B");
    assert_eq!(
        letters.count(),
        2,
        "the second of the file, in the plan and in the key"
    );
    drawing.expect("saw with an outfeed table", "key");
}

#[test]
fn few_stations_and_odd_layouts_are_drawn() {
    let found = findings(&Size {
        stations: 3,
        ..SMALL
    });
    let three = layouts(&found);
    let mut empty = layout("As it grew");
    empty.plan.placements = Vec::<Option<Placement>>::new().into_iter().collect();
    let mut nothing = empty.clone();
    nothing.plan.room = None;
    for nothing in [&empty, &nothing] {
        assert!(drawn("plan", &found, std::slice::from_ref(nothing)).is_empty());
    }
    let mut point = layout("As it grew");
    point.plan.room = None;
    point.plan.placements = vec![Some(station((2.0, 2.0), (0.0, 0.0), 0.0))]
        .into_iter()
        .collect();
    let mut far = layout("As it grew");
    far.plan.room = None;
    far.plan.placements = vec![
        Some(station((1e6, -1e6), (1.0, 1.0), 12.0)),
        Some(station((-1e6, 0.0), (1.0, 1.0), 0.0)),
    ]
    .into_iter()
    .collect();
    let mut stacked = layout("As it grew");
    stacked.plan.placements = (0..2)
        .map(|_| Some(station((2.0, 2.0), (0.6, 0.6), 0.0)))
        .collect();
    stacked.paths = vec![
        way(0, 0, &[(1.0, 1.0), (1.0, 1.0)], 2.0, 0.0),
        way(0, 1, &[], 2.0, 0.0),
        way(1, 0, &[(1.0, 1.0), (2.0, 1.0), (1.0, 1.0)], f64::NAN, 5.0),
    ];
    let named = [empty, point, far, stacked].map(|layout| vec![layout]);
    for (index, layouts) in named.into_iter().chain([three, vec![nothing]]).enumerate() {
        for chart in ALL {
            for scale in super::SCALES {
                for picture in charts::pictures(chart, &subject(&found, None, &layouts), scale) {
                    let about = format!("{index}/{} at {scale}", picture.stem);
                    Drawing::of(&picture).check(&about);
                }
            }
        }
    }
}
