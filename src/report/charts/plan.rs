//! The floor plan of a layout, to scale: one for each candidate, all at one scale.

use super::canvas::{Area, Canvas};
use super::floor::{self, AROUND, DIMENSIONS};
use super::frame::{Sign, heading, signs_in};
use super::labels::{Labels, NumberKey};
use super::layout::Layout;
use super::sheet::{self, Extent, Sheet};
use super::style::{self, BLOCKED_FLOOR, EDGE, KEPT_FREE, MARGIN};
use super::{Chart, Picture, Subject, slug};

/// The height of a plan at most, in widths of the picture.
const HIGHEST: f64 = 0.56;
/// Signs and key stand beside a plan that leaves so much room, otherwise above and below it.
const BESIDE: f64 = 190.0;
const GAP: f64 = 24.0;
/// What is found of a layout, in the words of the legend.
const FITS: &str = "room for the longest piece";
const FITS_NOT: &str = "longest piece: no room";
const THROWN: &str = "a piece may be thrown here";
const NARROW: &str = "way too narrow";

/// Layouts of which nothing is placed have no picture.
pub fn draw(chart: &Chart, subject: &Subject, scale: f64) -> Vec<Picture> {
    let width = style::width(scale);
    let extents: Vec<Option<Extent>> = subject.layouts.iter().map(sheet::shown).collect();
    let room = width - 2.0 * MARGIN - DIMENSIONS - AROUND;
    // One scale for all candidates, so that they can be laid beside each other.
    let metre = extents
        .iter()
        .flatten()
        .map(|extent| (room / extent.width()).min(width * HIGHEST / extent.height()))
        .fold(f64::INFINITY, f64::min);
    let layouts = subject.layouts.iter().zip(&extents).enumerate();
    layouts
        .filter_map(|(index, (layout, extent))| {
            let title = format!("{}: {}", chart.title, layout.name);
            let extent = extent.as_ref()?;
            let stem = format!("{}-{}{}", chart.stem, index + 1, slug(&layout.name));
            Some(Picture::of(stem, (&title, chart.about), scale, |canvas| {
                body(&title, subject, layout, (extent, metre), canvas)
            }))
        })
        .collect()
}

fn body(
    title: &str,
    subject: &Subject,
    layout: &Layout,
    (extent, metre): (&Extent, f64),
    canvas: &mut Canvas,
) -> f64 {
    let units = subject.findings.units;
    let mut notes = "Drawn to scale as the file says, x to the right and y up.".to_owned();
    if layout.plan.room.is_none() {
        notes += " There is no room: the dimensions are those of what is placed.";
    }
    let top = heading(canvas, title, subject.findings, &notes);
    canvas.describe(&described(layout));
    let signs = signs(layout);
    let used = extent.width() * metre + DIMENSIONS + AROUND;
    let beside = canvas.inner() - used - GAP;
    let is_beside = beside >= BESIDE;
    let below = match is_beside || signs.is_empty() {
        true => top,
        false => signs_in(canvas, (MARGIN, top), canvas.inner(), &signs),
    };
    let corner = (MARGIN + DIMENSIONS, below + AROUND);
    let sheet = Sheet::new(extent, corner, metre);
    floor::draw(canvas, &sheet, layout);
    let finding = |what: &str, index: usize, words: &str| {
        (
            Some(format!("{what}-{}", index + 1)),
            Some(words.to_owned()),
        )
    };
    for (index, strip) in layout.strips.iter().enumerate() {
        let corners = sheet.points(strip.outline.corners());
        let (class, words) = match strip.fits {
            true => ("strip", FITS),
            false => ("finding", FITS_NOT),
        };
        canvas.group(class, finding("strip", index, words), |canvas| {
            floor::strip(canvas, &corners, strip.fits);
        });
    }
    for (index, line) in layout.throws.iter().enumerate() {
        let corners = sheet.points(line.corners());
        canvas.group("finding", finding("throw", index, THROWN), |canvas| {
            floor::thrown(canvas, &corners);
        });
    }
    floor::stations(canvas, &sheet, layout);
    floor::feeds(canvas, &sheet, layout);
    floor::standing(canvas, &sheet, layout);
    if let Some(measured) = sheet::measured(layout) {
        floor::dimensions(canvas, &sheet, &measured, units);
    }
    let mut key = NumberKey::default();
    let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
    for (index, point) in layout.narrow.iter().enumerate() {
        let mut at = sheet.at(*point);
        // Often it is where somebody stands, which has to be seen too.
        let mut placements = layout.plan.placements.iter().flatten();
        let hides = placements.any(|placement| {
            let stand = sheet.at(placement.standing());
            (stand.0 - at.0).hypot(stand.1 - at.1) < floor::NARROW + 4.0
        });
        if hides {
            at.0 += 2.0 * floor::NARROW;
        }
        canvas.group("finding", finding("narrow", index, NARROW), |canvas| {
            floor::narrow(canvas, at);
        });
        labels.keep_clear(at, 2.0 * floor::NARROW);
    }
    floor::names(canvas, &sheet, layout, &mut labels);
    let end = below + AROUND + sheet.area.height + DIMENSIONS + 10.0;
    if is_beside {
        let x = MARGIN + used + GAP;
        let y = signs_in(canvas, (x, top + AROUND), beside.min(BESIDE), &signs) + 8.0;
        floor::scale_bar(canvas, (x, y), metre, units);
        return key.draw(canvas, (x, y + 18.0), beside).max(end) + MARGIN / 2.0;
    }
    floor::scale_bar(canvas, (MARGIN + DIMENSIONS, end + 8.0), metre, units);
    let room = canvas.inner();
    key.draw(canvas, (MARGIN, end + 26.0), room) + MARGIN / 2.0
}

/// What there is, and what was found, in a sentence.
fn described(layout: &Layout) -> String {
    let placed = layout.plan.placements.iter().flatten().count();
    let missing = layout.strips.iter().filter(|strip| !strip.fits).count();
    let found = [
        (missing, FITS_NOT),
        (layout.throws.len(), THROWN),
        (layout.narrow.len(), NARROW),
    ];
    let found = found.iter().filter(|(count, _)| *count > 0);
    let found: Vec<String> = found
        .map(|(count, words)| format!("{words} (×{count})"))
        .collect();
    match found.is_empty() {
        true => format!("{placed} stations; no fault is marked."),
        false => format!("{placed} stations. Marked: {}.", found.join(", ")),
    }
}

/// What has to be explained.
fn signs(layout: &Layout) -> Vec<(Sign<'static>, &'static str)> {
    let strips = |fits: bool| layout.strips.iter().any(|strip| strip.fits == fits);
    let panels = layout.plan.room.iter().flat_map(|room| &room.panels);
    let signs: [(bool, Sign<'static>, &str); 9] = [
        (true, &stand, "standing place"),
        (floor::has_feeds(layout), &feed, "feed direction"),
        (strips(true), &fitting, FITS),
        (strips(false), &missing, FITS_NOT),
        (
            floor::in_the_way(layout).next().is_some(),
            &blocked,
            "in the way",
        ),
        (panels.count() > 0, &panel, "electrical panel"),
        (!layout.keep_free.is_empty(), &kept_free, "to be kept free"),
        (!layout.throws.is_empty(), &thrown, THROWN),
        (!layout.narrow.is_empty(), &narrow, NARROW),
    ];
    let signs = signs.into_iter().filter(|(occurs, ..)| *occurs);
    signs.map(|(_, sign, name)| (sign, name)).collect()
}

fn stand(canvas: &mut Canvas, area: Area) {
    floor::stand(
        canvas,
        (area.x + area.width / 2.0, area.y + area.height / 2.0),
    );
}

fn feed(canvas: &mut Canvas, area: Area) {
    let middle = area.y + area.height / 2.0;
    floor::arrow(
        canvas,
        (area.x + 3.0, middle),
        (area.x + area.width - 3.0, middle),
    );
}

fn fitting(canvas: &mut Canvas, area: Area) {
    floor::strip(canvas, &corners(area), true);
}

fn missing(canvas: &mut Canvas, area: Area) {
    floor::strip(canvas, &corners(area), false);
}

fn panel(canvas: &mut Canvas, area: Area) {
    let middle = area.y + area.height / 2.0;
    floor::panel(canvas, (area.x, middle), (area.x + area.width, middle));
}

fn thrown(canvas: &mut Canvas, area: Area) {
    floor::thrown(canvas, &corners(area));
}

fn narrow(canvas: &mut Canvas, area: Area) {
    floor::narrow(
        canvas,
        (area.x + area.width / 2.0, area.y + area.height / 2.0),
    );
}

fn blocked(canvas: &mut Canvas, area: Area) {
    canvas.hatched(area, BLOCKED_FLOOR);
    canvas.outline(area, EDGE, 0.75);
}

fn kept_free(canvas: &mut Canvas, area: Area) {
    canvas.hatched(area, KEPT_FREE);
    canvas.closed(&corners(area), EDGE, 1.0, &[4.0, 3.0]);
}

fn corners(area: Area) -> [(f64, f64); 4] {
    let (right, bottom) = (area.x + area.width, area.y + area.height);
    [
        (area.x, area.y),
        (right, area.y),
        (right, bottom),
        (area.x, bottom),
    ]
}
