//! Draws a layout as a floor plan: walls, doors, what is in the way, stations.

use super::axes::FigureAxis;
use super::canvas::{Area, Canvas, Font};
use super::frame::Sign;
use super::labels::Labels;
use super::layout::Layout;
use super::meaning::{KEPT_FREE, NO_ROOM_TO_FEED, OBSTACLE, ROOM_TO_FEED, STATION, THROWN};
use super::plot::floor_grid;
use super::quantity::{dimension, mark, round_down};
use super::sheet::{Extent, Sheet, wall};
use super::style::{BLACK, EDGE, FAINT, PURPLE, SMALL, TEXT, VERMILLION, WALL, WHITE};
use crate::experiment::Units;
use crate::floor::{Door, Placement, Point, Polygon, Room, outward};
use crate::report::figure::length_unit;
use crate::shop::PlaceId;

/// Walls are at least so thick in the picture.
const THINNEST: f64 = 3.0;
/// Names of doors stand so far from the wall.
const DOOR_NAME: f64 = 9.0;
/// Room to the left of a plan and below it for the marks of the grid and the dimensions, and on all sides for the names
/// of doors.
pub const DIMENSIONS: f64 = 42.0;
pub const AROUND: f64 = 20.0;
/// The outline of what stands there at other times: rolled out, or while the shop is shut.
const ELSEWHEN: [f64; 2] = [2.0, 3.0];
/// An arrow of the feed.
const ARROW: f64 = 12.0;

/// Everything that stands still, without names.
pub fn draw(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    if let Some(room) = &layout.plan.room {
        walls(canvas, sheet, room);
    }
    for area in &layout.keep_free {
        let corners = sheet.points(area.corners());
        canvas.hatched_outline(&corners, KEPT_FREE.fill);
        canvas.closed(&corners, EDGE, 1.0, &[4.0, 3.0]);
    }
    for outline in layout.plan.at_other_times() {
        canvas.closed(&sheet.points(outline.corners()), EDGE, 1.0, &ELSEWHEN);
    }
    if let Some(room) = &layout.plan.room {
        for thing in &room.blocked {
            let corners = sheet.points(thing.outline.corners());
            if thing.heights.hangs() {
                hanging(canvas, &corners);
                continue;
            }
            canvas.hatched_outline(&corners, OBSTACLE.fill);
            canvas.closed(&corners, FAINT, 1.0, &[]);
        }
        for leaf in open_leaves(layout) {
            self::leaf(canvas, &sheet.points(leaf.corners()));
        }
        for panel in &room.panels {
            let along = panel.faces.left() * (panel.width / 2.0);
            let (from, to) = (sheet.at(panel.at - along), sheet.at(panel.at + along));
            self::panel(canvas, from, to);
        }
    }
}

pub fn panel(canvas: &mut Canvas, from: (f64, f64), to: (f64, f64)) {
    canvas.line(from, to, BLACK, 5.0);
}

/// A line over which a piece may be thrown.
pub fn thrown(canvas: &mut Canvas, corners: &[(f64, f64)]) {
    canvas.hatched_outline(corners, THROWN.fill);
    canvas.closed(corners, PURPLE, 1.5, &[2.0, 3.0]);
}

/// Where things stand, as one reads it off a grid: squares of a round size in the reader's units.
pub fn grid(canvas: &mut Canvas, sheet: &Sheet, extent: &Extent, measured: &Extent, units: Units) {
    let around = AROUND / sheet.metre;
    let unit = length_unit(units);
    let across = FigureAxis::along(extent.least.x - around, extent.most.x + around, unit);
    let up = FigureAxis::along(extent.least.y - around, extent.most.y + around, unit);
    let wide = dimension(measured.width(), units);
    let high = dimension(measured.height(), units);
    let names = (format!("{wide} wide"), format!("{high} deep"));
    let room = (DIMENSIONS, DIMENSIONS);
    floor_grid(
        canvas,
        sheet.with_strip(AROUND),
        (across, up),
        room,
        (&names.0, &names.1),
    );
}

pub fn stations(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    let placed = layout.plan.placements.iter().enumerate();
    let mut placed: Vec<(usize, &Placement)> = placed
        .filter_map(|(index, placement)| Some((index, placement.as_ref()?)))
        .collect();
    // What hangs is seen above what stands below it.
    placed.sort_by_key(|(_, placement)| placement.heights.hangs());
    for (index, placement) in placed {
        let id = format!("{}station-{}", sheet.id, index + 1);
        let name = layout.station(index);
        canvas.group("station", (Some(id), name), |canvas| {
            station(canvas, sheet, placement);
        });
    }
}

fn station(canvas: &mut Canvas, sheet: &Sheet, placement: &Placement) {
    match placement.footprint() {
        Some(footprint) => {
            let corners = sheet.points(footprint.corners());
            if placement.heights.hangs() {
                return hanging(canvas, &corners);
            }
            canvas.wash(&corners, STATION.fill.colour, 1.0);
            canvas.closed(&corners, TEXT, 1.25, &[]);
        }
        None => cross(canvas, sheet.at(placement.at)),
    }
}

/// The mark of a station of which it is not known how large it is.
fn cross(canvas: &mut Canvas, (x, y): (f64, f64)) {
    const ARM: f64 = 4.0;
    for rise in [-ARM, ARM] {
        canvas.line((x - ARM, y - rise), (x + ARM, y + rise), TEXT, 1.25);
    }
}

/// The outline of an overhead door that is open.
fn leaf(canvas: &mut Canvas, corners: &[(f64, f64)]) {
    canvas.closed(corners, EDGE, 1.0, &[6.0, 3.0]);
}

/// The edges of stations over what has been drawn on them.
pub fn edges(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    for placement in layout.plan.placements.iter().flatten() {
        let Some(footprint) = placement.footprint() else {
            continue;
        };
        let corners = sheet.points(footprint.corners());
        match placement.heights.hangs() {
            true => hanging(canvas, &corners),
            false => canvas.closed(&corners, TEXT, 1.0, &[]),
        }
    }
}

/// The outline of what hangs, and leaves the floor to others.
fn hanging(canvas: &mut Canvas, corners: &[(f64, f64)]) {
    canvas.closed(corners, TEXT, 1.25, &[6.0, 3.0]);
}

/// What has to be explained wherever floors are drawn, as far as one of these has it.
pub fn explained(layouts: &[Layout]) -> Vec<(Sign<'static>, &'static str)> {
    let any = |of: fn(&Layout) -> bool| layouts.iter().any(of);
    let signs: [(bool, Sign<'static>, &str); 3] = [
        (any(has_hanging), &hanging_sign, "hangs above the floor"),
        (
            any(|layout| open_leaves(layout).next().is_some()),
            &leaf_sign,
            "overhead door when open",
        ),
        (any(has_unsized), &unsized_sign, "station without a size"),
    ];
    let signs = signs.into_iter().filter(|(occurs, ..)| *occurs);
    signs.map(|(_, sign, words)| (sign, words)).collect()
}

fn hanging_sign(canvas: &mut Canvas, area: Area) {
    hanging(canvas, &area.corners());
}

fn leaf_sign(canvas: &mut Canvas, area: Area) {
    leaf(canvas, &area.corners());
}

fn unsized_sign(canvas: &mut Canvas, area: Area) {
    cross(canvas, area.middle());
}

/// Whether anything hangs.
fn has_hanging(layout: &Layout) -> bool {
    let mut placements = layout.plan.placements.iter().flatten();
    let mut things = layout.plan.room.iter().flat_map(|room| &room.blocked);
    placements.any(|placement| placement.heights.hangs())
        || things.any(|thing| thing.heights.hangs())
}

/// Whether it is not known of a station how large it is.
fn has_unsized(layout: &Layout) -> bool {
    let mut placements = layout.plan.placements.iter().flatten();
    placements.any(|placement| placement.footprint().is_none())
}

/// What lies below overhead doors while they are open.
fn open_leaves(layout: &Layout) -> impl Iterator<Item = Polygon> {
    let room = layout.plan.room.as_ref();
    let doors = room
        .into_iter()
        .flat_map(|room| room.doors.iter().map(move |door| (room, door)));
    doors.filter_map(|(room, door)| {
        let depth = door.height.filter(|_| door.overhead)?;
        let into = room.outward(door) * -depth;
        let (from, to) = door.between;
        Polygon::new(&[from, to, to + into, from + into]).ok()
    })
}

/// The names of everything.
pub fn names(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout, labels: &mut Labels) {
    let rooms = layout.plan.room.iter();
    for door in rooms.flat_map(|room| &room.doors) {
        let (hinge, latch) = door.between;
        labels.keep_off(&sheet.points(&[hinge, latch]), false);
    }
    for placement in layout.plan.placements.iter().flatten() {
        labels.keep_clear(sheet.at(placement.standing()), 8.0);
        if let Some(footprint) = placement.footprint() {
            let corners = sheet.points(footprint.corners());
            labels.keep_off(&corners, true);
            labels.is_drawn(&corners);
        }
    }
    for (station, placement) in layout.plan.placements.iter().enumerate() {
        let (Some(placement), Some(name)) = (placement, layout.station(station)) else {
            continue;
        };
        match placement.footprint() {
            Some(footprint) => {
                let corners = sheet.points(footprint.corners());
                labels.inside(canvas, &corners, &name, (STATION.fill.colour, 0.75));
            }
            None => {
                let (x, y) = sheet.at(placement.at);
                let half = Font::BODY.size(SMALL).width(&name) / 2.0;
                let shifts = [0.0, -half, half].into_iter();
                let around = shifts.flat_map(|right| [(right, -12.0), (right, 12.0)]);
                let level = [(half + 12.0, 0.0), (-half - 12.0, 0.0), (0.0, -24.0)];
                let places = around
                    .chain(level)
                    .map(|(right, down)| (x + right, y + down));
                let places: Vec<(f64, f64)> = places.collect();
                labels.at(canvas, &places, &name, false);
            }
        }
    }
    if let Some(room) = &layout.plan.room {
        for thing in &room.blocked {
            let corners = sheet.points(thing.outline.corners());
            labels.inside(canvas, &corners, &thing.name, (WHITE, 1.0));
        }
        let thick = (wall(room) * sheet.metre).max(THINNEST) + DOOR_NAME;
        for panel in &room.panels {
            let (x, y) = sheet.at(panel.at);
            let into = panel.faces;
            let beside = |far: f64| (x + into.x * far, y - into.y * far);
            let places = [beside(-thick), beside(DOOR_NAME + 4.0)];
            labels.at(canvas, &places, &panel.name, into.x.abs() > into.y.abs());
        }
        for door in &room.doors {
            let out = room.outward(door);
            let (x, y) = sheet.at(door.middle());
            let at = (x + out.x * thick, y - out.y * thick);
            labels.at(canvas, &[at], &door.name, out.x.abs() > out.y.abs());
        }
    }
}

/// Walls outside of the outline, with an opening at each door.
fn walls(canvas: &mut Canvas, sheet: &Sheet, room: &Room) {
    let thick = (wall(room) * sheet.metre).max(THINNEST);
    let middle = outward_by(&room.outline, thick / 2.0 / sheet.metre);
    canvas.closed(&sheet.points(&middle), WALL, thick, &[]);
    for door in &room.doors {
        opening(canvas, sheet, room, door, thick);
    }
}

/// The corners of an outline so many metres farther out; corners run counter-clockwise.
fn outward_by(outline: &Polygon, metres: f64) -> Vec<Point> {
    let corners = outline.corners();
    let count = corners.len();
    (0..count)
        .map(|index| {
            let corner = corners[index];
            let before = outward((corners[(index + count - 1) % count], corner));
            let after = outward((corner, corners[(index + 1) % count]));
            let sum = before + after;
            // As far from both edges; not farther than twice as much at a sharp corner.
            let square = (sum.x * sum.x + sum.y * sum.y).max(1.0);
            corner + sum * (2.0 * metres / square)
        })
        .collect()
}

fn opening(canvas: &mut Canvas, sheet: &Sheet, room: &Room, door: &Door, thick: f64) {
    const STEPS: u32 = 16;
    let (hinge, latch) = door.between;
    let out = room.outward(door);
    let beyond = |(x, y): (f64, f64)| (x + out.x * (thick + 0.5), y - out.y * (thick + 0.5));
    let (from, to) = (sheet.at(hinge), sheet.at(latch));
    canvas.wash(&[from, to, beyond(to), beyond(from)], WHITE, 1.0);
    for jamb in [from, to] {
        canvas.line(jamb, beyond(jamb), WALL, 1.0);
    }
    if door.swings_in {
        let width = door.width();
        let along = (latch - hinge) * (1.0 / width.max(1e-9));
        let arc: Vec<Point> = (0..=STEPS)
            .map(|step| {
                let angle = f64::from(step) / f64::from(STEPS) * std::f64::consts::FRAC_PI_2;
                let (sin, cos) = (libm::sin(angle), libm::cos(angle));
                hinge + along * (width * cos) - out * (width * sin)
            })
            .collect();
        canvas.path(&sheet.points(&arc), EDGE, 0.75);
        canvas.line(from, sheet.at(hinge - out * width), TEXT, 2.0);
    } else {
        let half = |(x, y): (f64, f64)| (x + out.x * thick / 2.0, y - out.y * thick / 2.0);
        canvas.dashed(&[half(from), half(to)], EDGE, 1.0, &[4.0, 3.0]);
    }
}

/// Where one stands, with a line to what one stands at.
pub fn standing(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    let places = (0..layout.plan.places() as u32).map(PlaceId);
    for placement in places.filter_map(|place| layout.plan.placement_at(place)) {
        let at = placement.standing();
        let nearest = placement
            .footprint()
            .and_then(|footprint| nearest_edge(&footprint, at));
        if let Some(edge) = nearest {
            canvas.line(sheet.at(at), sheet.at(edge), BLACK, 0.75);
        }
        stand(canvas, sheet.at(at));
    }
}

/// The point of an outline's edges that is nearest; nothing if the point lies inside.
fn nearest_edge(outline: &Polygon, point: Point) -> Option<Point> {
    if outline.contains(point) {
        return None;
    }
    let feet = outline.edges().map(|(from, to)| {
        let along = to - from;
        let square = (along.x * along.x + along.y * along.y).max(f64::MIN_POSITIVE);
        let share = ((point.x - from.x) * along.x + (point.y - from.y) * along.y) / square;
        from + along * share.clamp(0.0, 1.0)
    });
    feet.min_by(|a, b| a.distance(point).total_cmp(&b.distance(point)))
}

pub fn stand(canvas: &mut Canvas, at: (f64, f64)) {
    canvas.disc(at, 4.0, WHITE);
    canvas.disc(at, 2.75, BLACK);
}

/// Where the work goes in and comes out.
pub fn feeds(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    for (from, to) in feed_arrows(sheet, layout) {
        arrow(canvas, from, to);
    }
}

/// The arrows before and behind everything that has a feed, each from where to where.
pub fn feed_arrows(sheet: &Sheet, layout: &Layout) -> Vec<((f64, f64), (f64, f64))> {
    let placements = layout.plan.placements.iter().flatten();
    let arrows = placements.filter_map(|placement| {
        let feed = placement.feed?;
        let along = feed.direction();
        let half = (along.x * placement.size.0 + along.y * placement.size.1).abs() / 2.0;
        let way = placement.turned(along);
        let way = (way.x, -way.y);
        let edge = |side: f64| sheet.at(placement.on_floor(along * (side * half)));
        let shift = |(x, y): (f64, f64), by: f64| (x + way.0 * by, y + way.1 * by);
        let (before, behind) = (edge(-1.0), edge(1.0));
        Some([
            (shift(before, -ARROW - 1.0), shift(before, -1.0)),
            (shift(behind, 1.0), shift(behind, 1.0 + ARROW)),
        ])
    });
    arrows.flatten().collect()
}

pub fn arrow(canvas: &mut Canvas, from: (f64, f64), to: (f64, f64)) {
    const HEAD: f64 = 6.0;
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx.hypot(dy).max(1e-9);
    let (dx, dy) = (dx / length, dy / length);
    let neck = (to.0 - dx * HEAD, to.1 - dy * HEAD);
    let side = (-dy * HEAD * 0.55, dx * HEAD * 0.55);
    // A light rim keeps it apart from walls.
    canvas.line(from, to, WHITE, 4.5);
    canvas.line(from, neck, BLACK, 1.5);
    let head = [
        to,
        (neck.0 + side.0, neck.1 + side.1),
        (neck.0 - side.0, neck.1 - side.1),
    ];
    canvas.wash(&head, BLACK, 1.0);
}

/// A strip: whole lines where it fits, a hatch and thick dashes where it does not. What is hatched below one that fits
/// shows through.
pub fn strip(canvas: &mut Canvas, corners: &[(f64, f64)], fits: bool) {
    match fits {
        true => {
            canvas.wash(corners, ROOM_TO_FEED.fill.colour, 0.7);
            canvas.closed(corners, super::style::BLUE, 1.0, &[]);
        }
        false => {
            canvas.hatched_outline(corners, NO_ROOM_TO_FEED.fill);
            canvas.closed(corners, VERMILLION, 2.0, &[7.0, 4.0]);
        }
    }
}

/// A bar of a round length with its figure, in an area to the right of a point; returns how wide it is.
pub fn scale_bar(canvas: &mut Canvas, (x, y): (f64, f64), metre: f64, units: Units) -> f64 {
    const LONGEST: f64 = 150.0;
    let unit = length_unit(units);
    let length = round_down(LONGEST / metre / unit.per_unit);
    let wide = length * unit.per_unit * metre;
    for (half, colour) in [(0.0, TEXT), (0.5, WHITE)] {
        let part = Area {
            x: x + wide * half,
            y: y - 2.5,
            width: wide / 2.0,
            height: 5.0,
        };
        canvas.fill(part, colour);
        canvas.outline(part, TEXT, 0.75);
    }
    let figure = format!("{} {}", mark(length, length), unit.sign);
    let used = canvas.text(&figure, (x + wide + 8.0, y), 120.0, Font::BODY.size(SMALL));
    wide + 8.0 + used
}
