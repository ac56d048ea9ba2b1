//! The floor plan of a layout, to scale: one for each candidate, all at one scale.

use super::canvas::{Area, Canvas, picture};
use super::floor::{self, AROUND, DIMENSIONS};
use super::frame::{Sign, heading, signs_in};
use super::labels::{Labels, LetterKey};
use super::layout::{AlikeLayouts, Layout};
use super::meaning::{KEPT_FREE, NO_ROOM_TO_FEED, OBSTACLE, ROOM_TO_FEED, THROWN};
use super::sheet::{self, Extent, Sheet};
use super::signs::{self, Listed};
use super::style::{EDGE, MARGIN};
use super::{Chart, ChartSize, Floors, Picture, slug};
use crate::report::check::NO_FAULT;

/// The height of a plan at most, in widths of the picture and in heights of a page.
const HIGHEST: (f64, f64) = (0.56, 0.62);
/// In a page a plan leaves room beside it, in widths of the picture; in one that is wider than high at least for signs.
const WIDEST_IN_PAGE: f64 = 0.66;
/// Signs, findings and key stand beside a plan that leaves so much room, otherwise above and below it.
const BESIDE: f64 = 220.0;
/// What is so much higher than a page is rather shown smaller than on two.
const SMALLER: f64 = 1.12;
/// Signs have no more room than this.
const SIGNS: f64 = 330.0;
const GAP: f64 = 24.0;
const FAULT: &str = "fault, as listed";
const WARNING: &str = "warning, as listed";
const NEAR_GAP: &str = "gap to measure again, as listed";

/// Layouts of which nothing is placed have no picture; those that are the same have one together.
pub fn draw(chart: &Chart, floors: &Floors, size: ChartSize) -> Vec<Picture> {
    let width = match size.page {
        Some(page) if page.ratio() > 1.0 => {
            (size.width() * WIDEST_IN_PAGE).min(size.width() - BESIDE - GAP)
        }
        Some(_) => size.width() * WIDEST_IN_PAGE,
        None => size.width(),
    };
    let extents: Vec<Option<Extent>> = floors.layouts.iter().map(sheet::shown).collect();
    let room = width - 2.0 * MARGIN - DIMENSIONS - 2.0 * AROUND;
    // One scale for all layouts, so that they can be laid beside each other.
    let metre = extents
        .iter()
        .flatten()
        .map(|extent| {
            (room / extent.width()).min(size.high(HIGHEST.0, HIGHEST.1) / extent.height())
        })
        .fold(f64::INFINITY, f64::min);
    let layouts = AlikeLayouts::all(floors.layouts, Layout::stands_like).into_iter();
    layouts
        .flat_map(|alike| {
            let title = format!("{} – {}", chart.title, alike.name());
            let Some(extent) = extents[alike.index].as_ref() else {
                return Vec::new();
            };
            let name = slug(&alike.first.name);
            let stem = format!("{}-{}{name}", chart.stem, alike.index + 1);
            Picture::of(stem, (&title, chart.about), size, |canvas| {
                body(&title, floors, alike.first, (extent, metre, size), canvas)
            })
        })
        .collect()
}

fn body(
    title: &str,
    floors: &Floors,
    layout: &Layout,
    (extent, metre, size): (&Extent, f64, ChartSize),
    canvas: &mut Canvas,
) -> f64 {
    let units = floors.units;
    let mut notes = "To scale, x to the right and y up.".to_owned();
    if layout.plan.room.is_none() {
        notes += " There is no room: the dimensions are those of what is placed.";
    }
    if layout.plan.at_other_times().next().is_some() {
        notes +=
            " Dotted is what stands there at times: rolled out, or parked while the shop is shut.";
    }
    let are_found = layout.findings.iter().any(|finding| finding.at.is_some());
    if are_found {
        notes += " Numbers are those of shopstride check; below a number stands how wide a narrow passage is, where there is room.";
    }
    let top = heading(canvas, title, floors.title, &notes);
    canvas.header_ends(top);
    canvas.describe(&described(layout));
    let explained = explained(layout);
    let used = extent.width() * metre + DIMENSIONS + 2.0 * AROUND;
    let beside = canvas.inner() - used - GAP;
    let is_beside = beside >= BESIDE;
    let below = match is_beside || explained.is_empty() {
        true => top,
        false => signs_in(canvas, (MARGIN, top), canvas.inner(), &explained),
    };
    let corner = (MARGIN + DIMENSIONS + AROUND, below + AROUND);
    let sheet = Sheet::new(extent, corner, metre);
    if let Some(measured) = sheet::measured(layout) {
        floor::grid(canvas, &sheet, extent, &measured, units);
    }
    floor::draw(canvas, &sheet, layout);
    zones(canvas, &sheet, layout);
    floor::stations(canvas, &sheet, layout);
    floor::feeds(canvas, &sheet, layout);
    floor::standing(canvas, &sheet, layout);
    let mut key = LetterKey::of(floors.layouts);
    let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
    for (from, to) in floor::feed_arrows(&sheet, layout) {
        labels.keep_off(&[from, to], false);
    }
    for zone in layout.zones() {
        labels.leave_seen(sheet.points(zone.corners()));
    }
    floor::names(canvas, &sheet, layout, &mut labels);
    signs::on_floor(canvas, &sheet, layout, &mut labels, |_| true);
    signs::gaps_on_floor(canvas, &sheet, layout, &mut labels);
    let mut end = sheet.area.y + sheet.area.height + AROUND + DIMENSIONS;
    let (mut x, mut room, y) = match is_beside {
        true => {
            let x = MARGIN + used + GAP;
            (
                x,
                beside,
                signs_in(canvas, (x, top + AROUND), beside.min(SIGNS), &explained) + 8.0,
            )
        }
        false => {
            canvas.may_break(end + 2.0);
            (MARGIN, canvas.inner(), end + 12.0)
        }
    };
    floor::scale_bar(canvas, (x, y), metre, units);
    let y = key.draw(canvas, (x, y + 16.0), room);
    let findings = layout.findings.iter().map(Listed::Finding);
    let gaps = layout.near_gaps.iter().map(Listed::NearGap);
    let listed: Vec<Listed> = findings.chain(gaps).collect();
    let mut y = y;
    if layout.findings.is_empty() && layout.plan.room.is_some() {
        let font = super::canvas::Font::BODY;
        let lines = super::text::wrap(&super::capital(NO_FAULT), font.size, false, room, 3);
        for (nth, line) in lines.iter().enumerate() {
            canvas.text(line, (x, y + 14.0 + 15.0 * nth as f64), room, font);
        }
        y += 14.0 + 15.0 * lines.len() as f64;
    }
    if !listed.is_empty() {
        let height = |room: f64| {
            let list =
                |canvas: &mut Canvas| signs::list(canvas, (0.0, 0.0), room, f64::INFINITY, &listed);
            picture(("", ""), size, list).scene.height
        };
        let page = canvas.page.filter(|_| is_beside);
        let is_too_long = page.is_some_and(|page| y + 6.0 + height(room) > SMALLER * page);
        if is_too_long {
            // What has no room beside the plan follows on a page of its own, beside a small one of what it is about.
            let below = y.max(end);
            canvas.may_break(below + 2.0);
            (x, y, room) = (MARGIN, below + 4.0, canvas.inner());
            if are_found && let Some(small) = SmallPlan::beside_list(canvas, extent) {
                let top = y;
                end = small.draw(canvas, top, (extent, layout), &mut key);
                x += small.width + GAP;
                room -= small.width + GAP;
            }
        }
        y = signs::list(canvas, (x, y + 6.0), room, f64::INFINITY, &listed);
    }
    y.max(end) + MARGIN / 2.0
}

/// Where the signs of a list stand, for a page on which the plan itself has no room.
struct SmallPlan {
    width: f64,
    metre: f64,
}

impl SmallPlan {
    /// As wide as a list that can be read leaves it, and lower than the page; none if that would be too small.
    fn beside_list(canvas: &Canvas, extent: &Extent) -> Option<SmallPlan> {
        const LIST: f64 = 300.0;
        const NARROWEST: f64 = 150.0;
        const HIGHEST: f64 = 0.5;
        let width = canvas.inner() - LIST - GAP;
        let wide = (width - 2.0 * AROUND) / extent.width();
        let metre = wide.min(canvas.page? * HIGHEST / extent.height());
        (width >= NARROWEST).then_some(SmallPlan { width, metre })
    }

    /// Draws the stations with their names and the signs, and below them the key; returns where that ends.
    fn draw(
        &self,
        canvas: &mut Canvas,
        top: f64,
        (extent, layout): (&Extent, &Layout),
        key: &mut LetterKey,
    ) -> f64 {
        let mut sheet = Sheet::new(extent, (MARGIN + AROUND, top + AROUND), self.metre);
        sheet.id = "listed-".to_owned();
        floor::draw(canvas, &sheet, layout);
        floor::stations(canvas, &sheet, layout);
        let mut labels = Labels::new(key, sheet.with_strip(AROUND));
        floor::names(canvas, &sheet, layout, &mut labels);
        signs::on_floor(canvas, &sheet, layout, &mut labels, |_| false);
        let end = sheet.area.y + sheet.area.height + AROUND;
        key.draw(canvas, (MARGIN, end + 4.0), self.width)
    }
}

/// The floor that the work needs, and that which is dangerous.
pub fn zones(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout) {
    let zone = |what: &str, index: usize, words: &str| {
        (
            Some(format!("{what}-{}", index + 1)),
            Some(words.to_owned()),
        )
    };
    let strip = |canvas: &mut Canvas, fits: bool| {
        for (index, strip) in layout.strips.iter().enumerate() {
            if strip.fits != fits {
                continue;
            }
            let corners = sheet.points(strip.outline.corners());
            let (class, meaning) = match fits {
                true => ("strip", ROOM_TO_FEED),
                false => ("finding", NO_ROOM_TO_FEED),
            };
            canvas.group(class, zone("strip", index, meaning.words), |canvas| {
                floor::strip(canvas, &corners, fits);
            });
        }
    };
    strip(canvas, false);
    for (index, line) in layout.throws.iter().enumerate() {
        let corners = sheet.points(line.corners());
        canvas.group("finding", zone("throw", index, THROWN.words), |canvas| {
            floor::thrown(canvas, &corners);
        });
    }
    // What fits is see-through, so that a hatch below it stays visible.
    strip(canvas, true);
}

/// What there is, and what was found, in sentences.
pub fn described(layout: &Layout) -> String {
    let placed = layout.plan.placements.iter().flatten().count();
    let found = layout.findings.iter().map(|finding| {
        let level = if finding.is_fault { "Fault" } else { "Warning" };
        format!(" {level} {}: {}.", finding.number, finding.words)
    });
    let gaps = layout.near_gaps.iter();
    let gaps = gaps.map(|gap| format!(" Measure again: {}.", gap.words));
    let (found, gaps): (String, String) = (found.collect(), gaps.collect());
    match found.is_empty() {
        true => format!("{placed} stations; no fault is marked.{gaps}"),
        false => format!("{placed} stations.{found}{gaps}"),
    }
}

/// What has to be explained.
fn explained(layout: &Layout) -> Vec<(Sign<'static>, &'static str)> {
    let strips = |fits: bool| layout.strips.iter().any(|strip| strip.fits == fits);
    let panels = layout.plan.room.iter().flat_map(|room| &room.panels);
    let mut placed = layout.plan.placements.iter().flatten();
    let has_feeds = placed.any(|placed| placed.feed.is_some());
    let mut things = layout.plan.room.iter().flat_map(|room| &room.blocked);
    let is_something_in_the_way = things.any(|thing| !thing.heights.hangs());
    let found = |is_fault: bool| {
        let mut findings = layout.findings.iter();
        findings.any(|finding| finding.is_fault == is_fault)
    };
    let signs: [(bool, Sign<'static>, &str); 11] = [
        (true, &stand, "where one stands"),
        (has_feeds, &feed, "feed direction"),
        (strips(true), &fitting, ROOM_TO_FEED.words),
        (strips(false), &missing, NO_ROOM_TO_FEED.words),
        (is_something_in_the_way, &blocked, OBSTACLE.words),
        (panels.count() > 0, &panel, "electrical panel"),
        (!layout.keep_free.is_empty(), &kept_free, KEPT_FREE.words),
        (!layout.throws.is_empty(), &thrown, THROWN.words),
        (found(true), &fault, FAULT),
        (found(false), &warning, WARNING),
        (!layout.near_gaps.is_empty(), &near_gap, NEAR_GAP),
    ];
    let signs = signs.into_iter().filter(|(occurs, ..)| *occurs);
    let mut explained: Vec<_> = signs.map(|(_, sign, name)| (sign, name)).collect();
    explained.extend(floor::explained(std::slice::from_ref(layout)));
    explained
}

fn stand(canvas: &mut Canvas, area: Area) {
    floor::stand(canvas, area.middle());
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
    floor::strip(canvas, &area.corners(), true);
}

fn missing(canvas: &mut Canvas, area: Area) {
    floor::strip(canvas, &area.corners(), false);
}

fn panel(canvas: &mut Canvas, area: Area) {
    let middle = area.y + area.height / 2.0;
    floor::panel(canvas, (area.x, middle), (area.x + area.width, middle));
}

fn thrown(canvas: &mut Canvas, area: Area) {
    floor::thrown(canvas, &area.corners());
}

fn fault(canvas: &mut Canvas, area: Area) {
    signs::sign(canvas, area.middle(), 1, true);
}

fn warning(canvas: &mut Canvas, area: Area) {
    signs::sign(canvas, area.middle(), 2, false);
}

fn near_gap(canvas: &mut Canvas, area: Area) {
    signs::gap_sign(canvas, area.middle());
}

fn blocked(canvas: &mut Canvas, area: Area) {
    canvas.hatched(area, OBSTACLE.fill);
    canvas.outline(area, EDGE, 0.75);
}

fn kept_free(canvas: &mut Canvas, area: Area) {
    canvas.hatched(area, KEPT_FREE.fill);
    canvas.closed(&area.corners(), EDGE, 1.0, &[4.0, 3.0]);
}
