//! Floor plans and what is drawn on them.

use shopstride::experiment::{Candidate, CandidateFindings, Findings, Units};
use shopstride::floor::{Door, Panel, Placement, Point, Room, Side};
use shopstride::report::charts::layout::{DrawnStrip, WalkedPath};
use shopstride::report::charts::scene::SceneShape;
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::{self, ALL, Layout};
use shopstride::scenario;
use shopstride::shop::{PlaceId, StationId};

use super::drawing::{Drawing, Measured, is_dashed, stroke};
use super::fixtures::{SMALL, Size, findings};
use super::floors::{layouts, plan, rectangle, station};
use super::subject;

const FOOTPRINT: Colour = (240, 240, 240);
const GREEN: Colour = (0, 158, 115);
const VERMILLION: Colour = (213, 94, 0);
const BLUE: Colour = (0, 114, 178);
const PURPLE: Colour = (204, 121, 167);

fn drawn(stem: &str, findings: &Findings, layouts: &[Layout]) -> Vec<Drawing> {
    let chart = ALL.iter().find(|chart| chart.stem == stem).unwrap();
    let pictures = charts::pictures(chart, &subject(findings, None, layouts), 1.0);
    pictures.iter().map(Drawing::of).collect()
}

/// A room of 6 m by 4 m with a bench of 2 m by 1 m at the lower left and a saw of 1 m by 1 m at the upper right.
fn layout(name: &str) -> Layout {
    let placements: Vec<Option<Placement>> = vec![
        Some(station((1.5, 1.5), (2.0, 1.0), 0.0)),
        Some(station((4.5, 3.0), (1.0, 1.0), 0.0)),
    ];
    Layout {
        name: name.to_string(),
        plan: plan(Some(room()), placements.into_iter().collect()),
        stations: vec!["bench".to_string(), "saw".to_string()],
        strips: Vec::new(),
        keep_free: Vec::new(),
        throws: Vec::new(),
        narrow: Vec::new(),
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
        }],
        blocked: Vec::new(),
        panels: Vec::new(),
        ways: Vec::new(),
        stock: Vec::new(),
    }
}

fn way(from: u32, to: u32, points: &[(f64, f64)], empty: f64, loaded: f64) -> WalkedPath {
    WalkedPath {
        from: PlaceId(from),
        to: PlaceId(to),
        points: points.iter().map(|&(x, y)| Point::new(x, y)).collect(),
        trips_empty: empty,
        trips_loaded: loaded,
    }
}

/// Footprints, without the plates of names, which are smaller.
fn footprints(drawing: &Drawing) -> Vec<&SceneShape> {
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
    assert_eq!(drawing.filled(GREEN).len(), 2);
    assert_eq!(drawing.filled(VERMILLION).len(), 2);
    let (whole, dashes) = (drawing.lines(GREEN), drawing.lines(VERMILLION));
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
fn lines_are_as_wide_as_they_were_walked_often() {
    let mut layout = layout("As it grew");
    layout.paths = vec![
        way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 0.0, 20.0),
        way(1, 2, &[(1.0, 2.5), (5.0, 2.5)], 0.0, 4.0),
        // Both directions together are ten.
        way(3, 2, &[(1.0, 3.5), (5.0, 3.5)], 0.0, 7.0),
        way(2, 3, &[(5.0, 3.5), (1.0, 3.5)], 0.0, 3.0),
    ];
    let drawing = &drawn("string", &findings(&SMALL), &[layout])[0];
    let legend = stroke(drawing.lines(VERMILLION)[0]);
    assert_eq!(legend, 3.0);
    let mut widths: Vec<f64> = drawing.lines(VERMILLION)[1..]
        .iter()
        .map(|line| stroke(line))
        .collect();
    widths.sort_by(f64::total_cmp);
    assert_eq!(widths.len(), 3);
    assert!((widths[2] - 2.0 * widths[1]).abs() <= 1e-9, "{widths:?}");
    assert!((widths[2] - 5.0 * widths[0]).abs() <= 1e-9, "{widths:?}");
    drawing.expect("20 trips", "legend");
    drawing.expect("10 trips", "legend");
    drawing.expect("2 trips", "legend");
    assert!(drawing.texts.iter().all(|text| text.text != "empty-handed"));
}

/// Below a twentieth of the busiest line's trips a line is left out, and counted.
#[test]
fn rare_ways_are_left_out_and_loads_lie_on_top() {
    let mut layout = layout("As it grew");
    layout.paths = vec![
        way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 0.0, 43.0),
        way(0, 2, &[(1.0, 2.5), (5.0, 2.5)], 0.0, 22.0),
        way(0, 3, &[(1.0, 3.5), (5.0, 3.5)], 0.0, 4.0),
        way(1, 2, &[(1.0, 1.0), (5.0, 1.0)], 43.0, 1.0),
        way(1, 3, &[(1.0, 1.5), (5.0, 1.5)], 2.0, 0.0),
    ];
    let drawing = &drawn("string", &findings(&SMALL), &[layout])[0];
    let widths = |colour: Colour| -> Vec<f64> {
        let lines = drawing.lines(colour).into_iter();
        let mut widths: Vec<f64> = lines.map(stroke).collect();
        widths.retain(|width| *width != 3.0);
        widths.sort_by(f64::total_cmp);
        widths
    };
    let loaded = widths(VERMILLION);
    assert_eq!(loaded.len(), 3, "{loaded:?}");
    for (width, trips) in loaded.iter().zip([4.0, 22.0, 43.0]) {
        assert!(
            (width - loaded[2] * trips / 43.0).abs() <= 1e-9,
            "{loaded:?}"
        );
    }
    let empty = widths(BLUE);
    assert!((2.0 * empty[0] - loaded[2]).abs() <= 1e-9, "{empty:?}");
    drawing.expect(
        "2 lines of fewer than 2.15 trips each are left out",
        "string",
    );
    let is_line = |shape: &SceneShape, colour: Colour| {
        let of_colour = shape
            .stroke
            .as_ref()
            .is_some_and(|line| line.colour == colour);
        shape.fill.is_none() && of_colour && stroke(shape) != 3.0
    };
    let shapes = || drawing.shapes.iter();
    let last_empty = shapes().rposition(|shape| is_line(shape, BLUE)).unwrap();
    let first_loaded = shapes()
        .position(|shape| is_line(shape, VERMILLION))
        .unwrap();
    assert!(last_empty < first_loaded);
}

/// Also without colours: one is a whole line, the other is dashed.
#[test]
fn empty_and_loaded_walks_of_a_leg_lie_side_by_side() {
    let mut layout = layout("As it grew");
    let line = [(1.0, 0.5), (3.0, 0.5), (3.0, 3.0), (5.0, 3.0)];
    let back: Vec<_> = line.iter().rev().copied().collect();
    layout.paths = vec![way(0, 1, &line, 0.0, 12.0), way(1, 0, &back, 11.0, 0.0)];
    let drawing = &drawn("string", &findings(&SMALL), &[layout])[0];
    let (loaded, empty) = (drawing.lines(VERMILLION), drawing.lines(BLUE));
    // The first of each is the legend's.
    assert_eq!((loaded.len(), empty.len()), (2, 2));
    let (loaded, empty) = (loaded[1], empty[1]);
    assert!(is_dashed(empty) && !is_dashed(loaded));
    let apart = (stroke(loaded) + stroke(empty)) / 2.0;
    let points = loaded.points();
    // Between the corners too, since the line is dashed all along.
    let along: Vec<(f64, f64)> = (empty.points().windows(2))
        .flat_map(|edge| {
            let (from, to) = (edge[0], edge[1]);
            let at = move |share: f64| {
                (
                    from.0 + (to.0 - from.0) * share,
                    from.1 + (to.1 - from.1) * share,
                )
            };
            (0..=20).map(move |step| at(f64::from(step) / 20.0))
        })
        .collect();
    for point in &along {
        let edges = points
            .windows(2)
            .map(|edge| distance(*point, edge[0], edge[1]));
        let nearest = edges.fold(f64::INFINITY, f64::min);
        assert!(nearest >= apart, "{nearest} is less than {apart}");
        // The gap is 1.5 units, and around a corner the outer line goes by the diagonal.
        let most = (apart + 1.5) * std::f64::consts::SQRT_2 + 1e-6;
        assert!(nearest <= most, "{nearest} is more than {most}");
    }
    assert!(along.len() > 40);
}

fn distance(point: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let share = ((point.0 - from.0) * dx + (point.1 - from.1) * dy) / (dx * dx + dy * dy);
    let share = share.clamp(0.0, 1.0);
    (point.0 - from.0 - share * dx).hypot(point.1 - from.1 - share * dy)
}

#[test]
fn layouts_beside_each_other_have_one_scale() {
    let mut small = layout("Working order");
    small.plan.room = None;
    small.paths = vec![way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 3.0, 3.0)];
    let both = [layout("As it grew"), small];
    let found = findings(&SMALL);
    let beside = &drawn("string", &found, &both)[0];
    let widths = |drawing: &Drawing| -> Vec<f64> {
        footprints(drawing)
            .iter()
            .map(|shape| shape.width())
            .collect()
    };
    let beside = widths(beside);
    assert_eq!(beside.len(), 4);
    assert!((beside[0] - beside[2]).abs() <= 1e-6 && (beside[1] - beside[3]).abs() <= 1e-6);
    let plans = drawn("plan", &found, &both);
    let (first, second) = (widths(&plans[0]), widths(&plans[1]));
    assert!((first[0] - second[0]).abs() <= 1e-6, "{first:?} {second:?}");
}

#[test]
fn a_panel_has_its_name_and_what_is_wrong_is_drawn() {
    let mut layout = layout("As it grew");
    let found = findings(&SMALL);
    let before = &drawn("plan", &found, &[layout.clone()])[0];
    assert!(before.texts.iter().all(|text| text.text != "!"));
    layout.plan.room.as_mut().unwrap().panels = vec![Panel {
        name: "breakers".to_string(),
        at: Point::new(0.0, 3.0),
        faces: Point::new(1.0, 0.0),
        width: 0.4,
    }];
    layout.narrow = vec![Point::new(3.0, 2.5)];
    layout.throws = vec![rectangle((3.0, 3.0), (2.0, 1.0))];
    layout.strips = vec![DrawnStrip {
        outline: rectangle((4.5, 3.7), (0.5, 0.4)),
        fits: false,
    }];
    let drawing = &drawn("plan", &found, &[layout])[0];
    for words in [
        "breakers",
        "electrical panel",
        "way too narrow",
        "a piece may be thrown here",
        "longest piece: no room",
    ] {
        drawing.expect(words, "plan");
    }
    let signs = drawing.texts.iter().filter(|text| text.text == "!");
    assert_eq!(signs.count(), 2, "in the plan and in the legend");
    let thrown = drawing.filled(PURPLE);
    let metre = footprints(drawing)[1].width();
    let is_to_scale = |shape: &&SceneShape| (shape.width() - 2.0 * metre).abs() <= 1e-6;
    assert!(thrown.iter().any(is_to_scale), "{thrown:?}");
}

/// A page finds stations, walks, stays and findings by their classes and ids, and says their titles.
#[test]
fn what_a_page_looks_for_has_a_group() {
    let mut layout = layout("As it grew");
    layout.narrow = vec![Point::new(3.0, 2.5)];
    layout.throws = vec![rectangle((3.0, 3.0), (2.0, 1.0))];
    let fits = |fits| DrawnStrip {
        outline: rectangle((4.5, 3.7), (0.5, 0.4)),
        fits,
    };
    layout.strips = vec![fits(false), fits(true)];
    layout.paths = vec![
        way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 6.0, 20.0),
        way(1, 0, &[(5.0, 0.5), (1.0, 0.5)], 5.0, 0.0),
    ];
    layout.worked_s = vec![3_600.0, 0.0];
    let found = findings(&SMALL);
    let titles = |drawing: &Drawing, class: &str| -> Vec<(String, String)> {
        let groups = drawing.groups(class).into_iter();
        let named = groups.map(|group| (group.id.clone().unwrap(), group.title.clone().unwrap()));
        named.collect()
    };
    let pair = |id: &str, title: &str| (id.to_owned(), title.to_owned());
    let plan = &drawn("plan", &found, &[layout.clone()])[0];
    assert_eq!(
        titles(plan, "station"),
        [pair("station-1", "bench"), pair("station-2", "saw")]
    );
    assert_eq!(
        titles(plan, "finding"),
        [
            pair("strip-1", "longest piece: no room"),
            pair("throw-1", "a piece may be thrown here"),
            pair("narrow-1", "way too narrow"),
        ]
    );
    assert_eq!(titles(plan, "strip").len(), 1);
    let string = &drawn("string", &found, &[layout.clone(), layout.clone()])[0];
    assert_eq!(
        titles(string, "walk"),
        [
            pair(
                "layout-1-walk-1-2-empty",
                "bench – saw: 11 trips empty-handed"
            ),
            pair(
                "layout-1-walk-1-2-loaded",
                "bench – saw: 20 trips with a load"
            ),
            pair(
                "layout-2-walk-1-2-empty",
                "bench – saw: 11 trips empty-handed"
            ),
            pair(
                "layout-2-walk-1-2-loaded",
                "bench – saw: 20 trips with a load"
            ),
        ]
    );
    let stays = &drawn("stays", &found, &[layout])[0];
    assert_eq!(
        titles(stays, "stay"),
        [pair("layout-1-stay-1", "bench: 60.0 min")]
    );
}

/// Who does not see a picture is told what it says.
#[test]
fn a_picture_says_what_is_in_it() {
    let mut layout = layout("As it grew");
    layout.narrow = vec![Point::new(3.0, 2.5)];
    layout.worked_s = vec![3_600.0, 900.0];
    let found = findings(&SMALL);
    let said = |stem: &str| {
        let drawing = &drawn(stem, &found, std::slice::from_ref(&layout))[0];
        drawing.scene.description.clone()
    };
    assert!(
        said("plan").ends_with("2 stations. Marked: way too narrow (×1)."),
        "{}",
        said("plan")
    );
    assert!(
        said("stays").ends_with("longest at bench, 60.0 min."),
        "{}",
        said("stays")
    );
    let walking = said("walking");
    let metres = found.candidates[0].walking.mean;
    assert!(
        walking.contains(&format!("\"As it grew\": {metres:.0} ±")),
        "{walking}"
    );
    for chart in ALL {
        for picture in charts::pictures(chart, &subject(&found, None, &[layout.clone()]), 1.0) {
            let description = picture.scene.description;
            assert!(
                description.len() > chart.about.len() + 10,
                "{}: {description}",
                chart.stem
            );
        }
    }
}

/// A rack keeps nobody: only what the crew does at a station counts.
#[test]
fn nobody_stays_where_nobody_works() {
    let file = format!("{}/scenarios/garage.yaml", env!("CARGO_MANIFEST_DIR"));
    let loaded = scenario::load("garage", &std::fs::read(file).unwrap());
    let study = loaded.unwrap_or_else(|_| panic!("it is sound")).study;
    let candidate = (study.candidates.iter())
        .find(|candidate| Layout::of(candidate, &nothing_found(candidate)).is_some())
        .unwrap();
    let mut found = nothing_found(candidate);
    found.stations[0].running = 7_200.0;
    found.crew[0].working_at[1] = 60.0;
    found.crew[0].working = 60.0;
    let layout = Layout::of(candidate, &found).unwrap();
    assert_eq!(layout.worked_s[..2], [0.0, 60.0]);
}

/// As many stations as the candidate has, at which nothing happens.
fn nothing_found(candidate: &Candidate) -> CandidateFindings {
    let stations = candidate.shop.stations.len();
    let size = Size { stations, ..SMALL };
    let mut found = findings(&size).candidates.swap_remove(0);
    for station in &mut found.stations {
        (station.running, station.setup) = (0.0, 0.0);
    }
    for person in &mut found.crew {
        person.working_at = vec![0.0; stations];
    }
    found.legs.clear();
    found
}

#[test]
fn circles_are_as_large_as_the_times() {
    let mut layout = layout("As it grew");
    layout.worked_s = vec![3_600.0, 900.0];
    let drawing = &drawn("stays", &findings(&SMALL), &[layout])[0];
    let circles = drawing.filled(PURPLE);
    // Three are the legend's; a quarter of the time is half as wide.
    assert_eq!(circles.len(), 5);
    let (bench, saw) = (circles[3], circles[4]);
    assert!(
        (bench.width() - 2.0 * saw.width()).abs() <= 1e-6,
        "{bench:?} {saw:?}"
    );
}

#[test]
fn a_name_without_room_is_a_number_with_a_key() {
    let mut layout = layout("As it grew");
    let size = &mut layout.plan.placements[StationId(1)].as_mut().unwrap().size;
    *size = (0.3, 0.3);
    let long = "saw with an outfeed table that nobody ever folds away and a name as long as it";
    layout.stations[1] = long.to_string();
    let drawing = &drawn("plan", &findings(&SMALL), &[layout])[0];
    drawing.expect("bench", "it fits");
    let numbers = drawing.texts.iter().filter(|text| text.text == "1");
    assert_eq!(numbers.count(), 2, "in the plan and in the key");
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
