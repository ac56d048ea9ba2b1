//! What is drawn over floors: the ways that were walked, and where people stood.

use shopstride::experiment::{Candidate, CandidateFindings, LayoutFindings};
use shopstride::floor::{Plan, Point};
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::scene::{Outline, SceneShape};
use shopstride::scenario;
use shopstride::shop::StationId;

use super::drawing::{Drawing, Measured, is_dashed, stroke};
use super::fixtures::{SMALL, Size, findings};
use super::on_the_floor::{drawn, footprints, layout, way};

const LOADED: Colour = (213, 94, 0);
const EMPTY: Colour = (0, 114, 178);
const WORKING: Colour = (86, 180, 233);
const WALL: Colour = (70, 70, 70);
const DOT: Colour = (0, 0, 0);

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
    // The legend shows 2, 10 and 20 trips as wide as they are drawn.
    let legend: Vec<f64> = drawing.lines(LOADED)[..3]
        .iter()
        .map(|line| stroke(line))
        .collect();
    assert!((legend[2] - 2.0 * legend[1]).abs() <= 1e-9, "{legend:?}");
    let mut widths: Vec<f64> = drawing.lines(LOADED)[3..]
        .iter()
        .map(|line| stroke(line))
        .collect();
    widths.sort_by(f64::total_cmp);
    assert_eq!(widths.len(), 3);
    assert!((widths[2] - 2.0 * widths[1]).abs() <= 1e-9, "{widths:?}");
    assert!((widths[2] - 5.0 * widths[0]).abs() <= 1e-9, "{widths:?}");
    assert!((widths[2] - legend[2]).abs() <= 1e-9);
    drawing.expect("20 trips", "legend");
    drawing.expect("10 trips", "legend");
    drawing.expect("with a load: 2 trips", "legend");
    let unloaded =
        |text: &&shopstride::report::charts::scene::Text| text.text.contains("empty-handed");
    assert_eq!(drawing.texts.iter().filter(unloaded).count(), 0);
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
        // The first three are the legend's.
        let mut widths: Vec<f64> = lines.skip(3).map(stroke).collect();
        widths.sort_by(f64::total_cmp);
        widths
    };
    let loaded = widths(LOADED);
    assert_eq!(loaded.len(), 3, "{loaded:?}");
    for (width, trips) in loaded.iter().zip([4.0, 22.0, 43.0]) {
        assert!(
            (width - loaded[2] * trips / 43.0).abs() <= 1e-9,
            "{loaded:?}"
        );
    }
    let empty = widths(EMPTY);
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
        shape.fill.is_none() && of_colour
    };
    let after_legend = drawing.shapes.iter().position(|shape| {
        shape.fill.is_none()
            && shape
                .stroke
                .as_ref()
                .is_some_and(|line| line.colour == WALL)
    });
    let shapes = || drawing.shapes.iter().skip(after_legend.unwrap());
    let last_empty = shapes().rposition(|shape| is_line(shape, EMPTY)).unwrap();
    let first_loaded = shapes().position(|shape| is_line(shape, LOADED)).unwrap();
    assert!(last_empty < first_loaded);
}

/// Also without colours: one is a whole line, the other is dashed.
#[test]
fn empty_and_loaded_walks_of_a_leg_lie_side_by_side() {
    let mut layout = layout("As it grew");
    let line = [(1.0, 0.5), (3.0, 0.5), (3.0, 3.0), (5.0, 3.0)];
    let back: Vec<_> = line.iter().rev().copied().collect();
    layout.paths = vec![way(0, 1, &line, 0.0, 12.0), way(1, 0, &back, 11.0, 0.0)];
    // One stands at both ends.
    for (station, (x, y)) in [line[0], line[3]].into_iter().enumerate() {
        let placement = layout.plan.placements[StationId(station as u32)].as_mut();
        let placement = placement.unwrap();
        placement.stand = Point::new(x, y) - placement.at;
    }
    let drawing = &drawn("string", &findings(&SMALL), &[layout])[0];
    let (loaded, empty) = (drawing.lines(LOADED), drawing.lines(EMPTY));
    // The first of each are the legend's: 1, 6 and 12 trips.
    assert_eq!((loaded.len(), empty.len()), (4, 4));
    let (loaded, empty) = (loaded[3], empty[3]);
    assert!(is_dashed(empty) && !is_dashed(loaded));
    let apart = (stroke(loaded) + stroke(empty)) / 2.0;
    let points = loaded.points();
    // Both lead from dot to dot.
    let dots: Vec<(f64, f64)> = (drawing.filled(DOT).into_iter())
        .filter_map(|shape| match shape.outline {
            Outline::Circle { centre, .. } => Some(centre),
            _ => None,
        })
        .collect();
    assert_eq!(dots.len(), 2);
    for line in [loaded, empty] {
        let line = line.points();
        for end in [line[0], line[line.len() - 1]] {
            let far = dots.iter().map(|dot| (dot.0 - end.0).hypot(dot.1 - end.1));
            assert!(far.fold(f64::INFINITY, f64::min) < 1e-6, "{end:?} {dots:?}");
        }
    }
    // In between, also between the corners, since the line is dashed all along.
    let corners = empty.points();
    let along: Vec<(f64, f64)> = (corners[1..corners.len() - 1].windows(2))
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
fn circles_are_as_large_as_the_times() {
    let mut layout = layout("As it grew");
    layout.worked_s = vec![3_600.0, 900.0];
    let drawing = &drawn("stays", &findings(&SMALL), &[layout])[0];
    let circles = drawing.filled(WORKING);
    // Three are the legend's; a quarter of the time is half as wide.
    assert_eq!(circles.len(), 5);
    let (bench, saw) = (circles[3], circles[4]);
    assert!(
        (bench.width() - 2.0 * saw.width()).abs() <= 1e-6,
        "{bench:?} {saw:?}"
    );
}

/// A rack keeps nobody: only what the crew does at a station counts.
#[test]
fn nobody_stays_where_nobody_works() {
    let file = format!("{}/scenarios/garage.yaml", env!("CARGO_MANIFEST_DIR"));
    let loaded = scenario::load("garage", &std::fs::read(file).unwrap());
    let study = loaded.unwrap_or_else(|_| panic!("it is sound")).study;
    let candidate = (study.candidates.iter())
        .find(|candidate| candidate.plan.as_ref().is_some_and(Plan::places_something))
        .unwrap();
    let mut found = nothing_found(candidate);
    found.stations[0].running = 7_200.0;
    found.crew[0].working_at[1] = 60.0;
    found.crew[0].working = 60.0;
    let layout = LayoutFindings::of(candidate, &candidate.site().unwrap(), &found, &[]).unwrap();
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

/// Layouts that differ in a name alone are drawn once, under both names.
#[test]
fn what_is_alike_is_drawn_once() {
    let mut first = layout("As it grew");
    first.paths = vec![way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 3.0, 3.0)];
    first.worked_s = vec![3_600.0, 60.0];
    let mut second = first.clone();
    second.name = "Working order".to_owned();
    let found = findings(&SMALL);
    let alike = [first.clone(), second.clone()];
    for stem in ["plan", "string", "stays"] {
        let pictures = drawn(stem, &found, &alike);
        assert_eq!(pictures.len(), 1, "{stem}");
        assert_eq!(footprints(&pictures[0]).len(), 2, "{stem}");
        pictures[0].expect("As it grew · Working order", stem);
    }
    // A second unit, another number of trips or another time is a difference.
    second.units[1] = 2;
    let pictures = drawn("plan", &found, &[first.clone(), second.clone()]);
    assert_eq!(pictures.len(), 2);
    pictures[1].expect("saw ×2", "plan");
    second.units[1] = 1;
    second.paths[0].trips_empty = 4.0;
    let both = [first, second];
    assert_eq!(footprints(&drawn("string", &found, &both)[0]).len(), 4);
    assert_eq!(footprints(&drawn("stays", &found, &both)[0]).len(), 2);
}
