//! The plan of the set-out sheet: numbered stations, named walls, and how far one corner of each is from two of them.

use super::canvas::{Align, Canvas, Font, picture};
use super::floor;
use super::labels::{Labels, LetterKey};
use super::layout::Layout;
use super::scene::ChartScene;
use super::sheet::{self, Sheet};
use super::size::ChartSize;
use super::style::{BLACK, BLUE, MARGIN, SMALL, TEXT, WHITE};
use crate::experiment::Units;
use crate::floor::{Point, TapedFloor, TapedStation};
use crate::report::tape::exact_tape;

/// Texts are this much larger than on a screen.
const ENLARGED: f64 = 1.35;
/// Room around the plan for the names of walls and doors.
const AROUND: f64 = 34.0;
/// Half the size of a wall's sign.
const SIGN: f64 = 8.0;

/// Scales at which a plan is printed, the largest first: a metre on the floor is so many times as long as on paper.
const METRIC: &[(f64, &str)] = &[
    (10.0, "1 : 10"),
    (20.0, "1 : 20"),
    (25.0, "1 : 25"),
    (33.333_333_333_333_336, "3 : 100"),
    (40.0, "1 : 40"),
    (50.0, "1 : 50"),
    (75.0, "1 : 75"),
    (100.0, "1 : 100"),
    (125.0, "1 : 125"),
    (150.0, "1 : 150"),
    (200.0, "1 : 200"),
];
const IMPERIAL: &[(f64, &str)] = &[
    (12.0, "1 in to the foot"),
    (16.0, "3/4 in to the foot"),
    (24.0, "1/2 in to the foot"),
    (32.0, "3/8 in to the foot"),
    (48.0, "1/4 in to the foot"),
    (64.0, "3/16 in to the foot"),
    (96.0, "1/8 in to the foot"),
    (128.0, "3/32 in to the foot"),
    (192.0, "1/16 in to the foot"),
];

/// A plan to be printed.
pub struct PrintedPlan {
    pub scene: ChartScene,
    /// In millimetres on paper.
    pub width_mm: f64,
    /// In words; nothing where the room is too large for any usual scale.
    pub scale: Option<&'static str>,
}

/// The name of a wall by its index: A to Z, then AA, AB and so on.
pub use super::labels::letters as wall_name;

/// The plan in a width and at most a height of paper, in millimetres; nothing if nothing is placed.
pub fn printed_plan(
    floor: &TapedFloor,
    layout: &Layout,
    units: Units,
    (width_mm, highest_mm): (f64, f64),
) -> Option<PrintedPlan> {
    // Things have the letters that they have on all plans; where stations are so few that these would be those of walls,
    // the ones behind.
    let key = match layout.stations.len() >= floor.walls.len() {
        true => LetterKey::of(std::slice::from_ref(layout)),
        false => LetterKey::behind(floor.walls.len()),
    };
    let layout = unnamed(layout);
    let extent = sheet::shown(&layout)?;
    let size = ChartSize::from(ENLARGED);
    let unit_mm = width_mm / size.width();
    let (wide, high) = (
        (size.width() - 2.0 * (MARGIN + AROUND)) / extent.width(),
        (highest_mm / unit_mm - 2.0 * AROUND) / extent.height(),
    );
    let most = wide.min(high);
    let metre = |scale: f64| 1000.0 / scale / unit_mm;
    let scales = match units {
        Units::Metric => METRIC,
        Units::Imperial => IMPERIAL,
    };
    let usual = scales.iter().find(|(scale, _)| metre(*scale) <= most);
    let metre = usual.map_or(most, |(scale, _)| metre(*scale));
    let left = (size.width() - extent.width() * metre) / 2.0;
    let title = format!("Set out: {}", layout.name);
    let drawn = picture(("set-out", &title), size, |canvas| {
        canvas.describe(
            "The floor with its stations numbered, and the walls from which they are measured.",
        );
        let sheet = Sheet::new(&extent, (left, AROUND), metre);
        body(canvas, &sheet, (floor, &layout), key, units);
        sheet.area.y + sheet.area.height + AROUND
    });
    Some(PrintedPlan {
        scene: drawn.scene,
        width_mm,
        scale: usual.map(|(_, words)| *words),
    })
}

/// The layout without names of stations, which have numbers, and without what is no part of a set-out.
fn unnamed(layout: &Layout) -> Layout {
    let mut layout = layout.clone();
    layout.stations.iter_mut().for_each(String::clear);
    layout.units.fill(1);
    layout.strips.clear();
    layout.throws.clear();
    layout.findings.clear();
    layout.near_gaps.clear();
    layout.paths.clear();
    layout
}

fn body(
    canvas: &mut Canvas,
    sheet: &Sheet,
    (floor, layout): (&TapedFloor, &Layout),
    mut key: LetterKey,
    units: Units,
) {
    floor::draw(canvas, sheet, layout);
    floor::stations(canvas, sheet, layout);
    floor::feeds(canvas, sheet, layout);
    let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
    for index in 0..floor.walls.len() {
        wall_sign(canvas, sheet, &mut labels, floor, index);
    }
    for taped in &floor.stations {
        tapes(canvas, sheet, floor, taped);
    }
    // Which corner is measured is to be seen, whatever has no room beside it.
    for (corner, _) in floor.stations.iter().filter_map(|taped| ends(floor, taped)) {
        labels.keep_clear(sheet.at(corner), 2.0 * DOT);
    }
    for (index, taped) in floor.stations.iter().enumerate() {
        number(canvas, sheet, &mut labels, (taped, index + 1));
    }
    floor::names(canvas, sheet, layout, &mut labels);
    for taped in &floor.stations {
        distances(canvas, sheet, &mut labels, floor, taped, units);
    }
    let y = sheet.area.y + sheet.area.height + AROUND / 2.0;
    key.draw(canvas, (MARGIN, y), canvas.inner());
}

/// The name of a wall in a circle, outside of it.
fn wall_sign(
    canvas: &mut Canvas,
    sheet: &Sheet,
    labels: &mut Labels,
    floor: &TapedFloor,
    index: usize,
) {
    let (wall, name) = (&floor.walls[index], wall_name(index));
    let length = wall.length();
    let out = (wall.to - wall.from).left() * (-1.0 / length);
    // Doors and panels have their names in their middles.
    let named = floor.doors.iter().chain(&floor.panels).flatten();
    let named = named.filter(|opening| opening.wall == index);
    let named: Vec<f64> = named
        .map(|opening| (opening.from + opening.to) / 2.0 / length)
        .collect();
    let away = |share: f64| {
        let near = named.iter().map(|other| (share - other).abs());
        near.fold(f64::INFINITY, f64::min)
    };
    let mut shares = [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92];
    // Those first that are a quarter of the wall away from any.
    shares.sort_by_key(|&share| away(share) < 0.25);
    let places = shares.map(|share| {
        let (x, y) = sheet.at(wall.from + (wall.to - wall.from) * share);
        let far = AROUND / 2.0 + 2.0;
        (x + out.x * far, y - out.y * far)
    });
    let Some(at) = labels.take(&places, (2.0 * SIGN + 2.0, 2.0 * SIGN + 2.0)) else {
        return;
    };
    canvas.disc(at, SIGN, BLACK);
    canvas.disc(at, SIGN - 1.0, WHITE);
    let font = Font::BODY.size(SMALL).bold(true).align(Align::Middle);
    canvas.text(&name, at, 2.0 * SIGN, font);
}

/// Where one measures from, and to which corner.
fn ends(floor: &TapedFloor, taped: &TapedStation) -> Option<(Point, [(Point, f64); 2])> {
    let corner = taped.set_out.corners.first()?;
    let [one, other] = taped.set_out.walls;
    let foot = |wall: usize, distance: f64| (floor.walls[wall].foot(corner.at), distance);
    let [a, b] = corner.distances;
    Some((corner.at, [foot(one, a), foot(other, b)]))
}

/// Half the width of the dot at the corner that is measured first, with its rim.
const DOT: f64 = 3.2;

/// Lines from two walls to the corner of a station that is measured first, with a dot there.
fn tapes(canvas: &mut Canvas, sheet: &Sheet, floor: &TapedFloor, taped: &TapedStation) {
    let Some((corner, feet)) = ends(floor, taped) else {
        return;
    };
    let at = sheet.at(corner);
    for (foot, _) in feet {
        canvas.dashed(&[at, sheet.at(foot)], BLUE, 0.9, &[3.0, 2.0]);
    }
    canvas.disc(at, DOT, WHITE);
    canvas.disc(at, DOT - 0.8, BLUE);
}

/// The number of a station in its middle, whether there is room for it or not.
fn number(
    canvas: &mut Canvas,
    sheet: &Sheet,
    labels: &mut Labels,
    (taped, number): (&TapedStation, usize),
) {
    let corners = taped.set_out.corners.iter();
    let sum = corners.fold(Point::ORIGIN, |sum, place| sum + place.at);
    let middle = sum * (1.0 / taped.set_out.corners.len().max(1) as f64);
    let (x, mut y) = sheet.at(middle);
    if taped.diagonal.is_none() {
        // Beside the mark of what covers nothing.
        y -= 10.0;
    }
    let font = Font::BODY.bold(true).align(Align::Middle);
    canvas.text(&number.to_string(), (x, y), 40.0, font);
    labels.keep_clear((x, y), 12.0);
}

/// The two distances beside their lines, where there is room.
fn distances(
    canvas: &mut Canvas,
    sheet: &Sheet,
    labels: &mut Labels,
    floor: &TapedFloor,
    taped: &TapedStation,
    units: Units,
) {
    let Some((corner, feet)) = ends(floor, taped) else {
        return;
    };
    let font = Font::BODY.size(9.0).colour(TEXT).align(Align::Middle);
    let (x, y) = sheet.at(corner);
    for (foot, distance) in feet {
        let (to_x, to_y) = sheet.at(foot);
        let text = exact_tape(units, distance);
        let size = (font.width(&text) + 3.0, 10.0);
        let (dx, dy) = (to_x - x, to_y - y);
        // What is shorter than its figure can do without it: the table has it.
        if dx.hypot(dy) < 12.0 {
            continue;
        }
        let places: Vec<(f64, f64)> = [0.5, 0.35, 0.65, 0.8, 0.2]
            .into_iter()
            .map(|share| (x + dx * share, y + dy * share))
            .collect();
        let Some(at) = labels.take(&places, size) else {
            continue;
        };
        let (half_x, half_y) = (size.0 / 2.0, size.1 / 2.0);
        let plate = [
            (at.0 - half_x, at.1 - half_y),
            (at.0 + half_x, at.1 - half_y),
            (at.0 + half_x, at.1 + half_y),
            (at.0 - half_x, at.1 + half_y),
        ];
        canvas.wash(&plate, WHITE, 0.85);
        canvas.text(&text, at, size.0, font);
    }
}
