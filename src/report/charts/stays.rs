//! Where people spend their working time: circles on the floor, their areas as large as the times.

use super::areas::Disc;
use super::canvas::{Align, Canvas, Font};
use super::floor;
use super::frame::{heading, orders, played, signs_in};
use super::labels::Labels;
use super::layout::Layout;
use super::meaning::WORKING;
use super::panels::{PanelRoom, Panels, in_the_header};
use super::quantity::{round_down, whole};
use super::sheet::Sheet;
use super::style::{BODY, MARGIN, SMALL};
use super::{Chart, ChartSize, Picture, Subject, one};
use crate::floor::{Placement, Point};
use crate::report::about;
use crate::report::figure::time_unit;
use crate::shop::PlaceId;

/// The radius of the longest time at most: in units, and in metres.
const LARGEST: f64 = 34.0;
const REACH: f64 = 0.8;

/// Nothing is drawn without a layout or if nobody worked anywhere.
pub fn draw(chart: &Chart, subject: &Subject, size: ChartSize) -> Vec<Picture> {
    let all = subject.layouts.iter().flat_map(stays);
    let most = all.map(|(.., seconds)| seconds).fold(0.0, f64::max);
    let panels =
        Panels::of(subject, size, Layout::worked_like, PanelRoom::ALONE).filter(|_| most > 0.0);
    let Some(panels) = panels else {
        return Vec::new();
    };
    let circle = Circle {
        most,
        largest: LARGEST.min(REACH * panels.metre),
    };
    one(chart, size, |canvas| {
        let notes = format!(
            "Work of all people at each standing place, without walking and handling, for {}, {}. The area of each circle \
             shows the time.",
            orders(subject.findings),
            played(subject.findings)
        );
        let y = heading(canvas, chart.title, &subject.findings.title, &notes);
        for layout in subject.layouts {
            let longest = stays(layout).into_iter().max_by(|a, b| a.2.total_cmp(&b.2));
            if let Some((station, _, seconds)) = longest {
                let name = layout.stations.get(station).map_or("", |name| name);
                let sentence = format!(
                    "\"{}\": longest at {name}, {}.",
                    layout.name,
                    rounded(seconds)
                );
                canvas.describe(&sentence);
            }
        }
        let y = legend(canvas, y, circle, subject.layouts);
        canvas.header_ends(y);
        panels.draw(
            canvas,
            y,
            subject,
            None,
            (&in_the_header, &|canvas, sheet, layout, labels| {
                circles(canvas, sheet, layout, labels, circle);
            }),
        )
    })
}

fn circles(
    canvas: &mut Canvas,
    sheet: &Sheet,
    layout: &Layout,
    labels: &mut Labels,
    circle: Circle,
) {
    // A plate below a name would bite a piece out of a circle.
    labels.spare();
    let font = Font::BODY.size(SMALL).align(Align::Middle);
    let placements = layout.plan.placements.iter().flatten();
    let bodies = placements.filter_map(Placement::footprint);
    let bodies: Vec<_> = bodies.map(|body| sheet.points(body.corners())).collect();
    let rooms = layout.plan.room.iter();
    let walls: Vec<_> = rooms
        .map(|room| sheet.points(room.outline.corners()))
        .collect();
    let stays = stays(layout);
    let discs = stays.iter();
    let discs: Vec<Disc> = discs
        .map(|(_, at, seconds)| (sheet.at(*at), circle.radius(*seconds)))
        .collect();
    for ((station, _, seconds), &((x, y), radius)) in stays.iter().zip(&discs) {
        let name = layout.stations.get(*station).map_or("", |name| name);
        let words = format!("{name}: {}", rounded(*seconds));
        let id = format!("{}stay-{}", sheet.id, station + 1);
        canvas.group("stay", (Some(id), Some(words)), |canvas| {
            canvas.bubble((x, y), radius, WORKING.fill.colour, 0.6);
        });
        labels.is_drawn(&[(x - radius, y - radius), (x + radius, y + radius)]);
        labels.keep_off(&rim((x, y), radius), true);
    }
    // Over all circles, so that no time lies under one; the largest circles have the least choice.
    let mut order: Vec<usize> = (0..discs.len()).collect();
    order.sort_by(|&one, &other| discs[other].1.total_cmp(&discs[one].1));
    for own in order {
        let seconds = &stays[own].2;
        let (centre, radius) = discs[own];
        let time = rounded(*seconds);
        let size = (font.width(&time) + 2.0, SMALL + 1.0);
        // In the circle if it is large enough, or else beside it, or else as near as can be.
        let has_room = size.0 + 6.0 <= 2.0 * radius;
        let inside = match has_room {
            true => labels.in_disc((centre, radius), size, &bodies),
            false => None,
        };
        // Where an edge would run through it in a small circle, beside it is better.
        let is_small = radius < size.0;
        let beside = match inside.is_none() && (!has_room || is_small) {
            true => labels.beside_disc((&discs, own), size, (&bodies, &walls)),
            false => None,
        };
        let place = (inside.or(beside)).or_else(|| labels.near(centre, size));
        if let Some(at) = place {
            // What runs through a time beside its circle would be taken for a part of it.
            if beside.is_some() {
                canvas.plate(at, size);
            }
            canvas.text(&time, at, size.0, font);
        }
    }
}

/// Points on a circle, so many that the lines between them are hardly inside of it.
fn rim((x, y): (f64, f64), radius: f64) -> Vec<(f64, f64)> {
    const POINTS: u32 = 24;
    let at = |point: u32| {
        let angle = std::f64::consts::TAU * f64::from(point) / f64::from(POINTS);
        (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
    };
    (0..POINTS).map(at).collect()
}

/// Stations by their index, where one stands at them and the seconds worked there.
fn stays(layout: &Layout) -> Vec<(usize, Point, f64)> {
    let worked = layout.worked_s.iter().enumerate();
    worked
        .filter(|(_, seconds)| **seconds > 0.0 && seconds.is_finite())
        .filter_map(|(station, seconds)| {
            let known = station < layout.plan.placements.len();
            let at = known.then(|| layout.plan.standing(PlaceId(station as u32)))?;
            Some((station, at?, *seconds))
        })
        .collect()
}

/// A time that is short enough for a circle: whole hours from ten on, quarters below, else whole minutes or seconds.
fn rounded(seconds: f64) -> String {
    let minutes = (seconds / 60.0).round();
    match seconds {
        s if s < 60.0 => format!("{} s", whole(s)),
        _ if minutes < 60.0 => format!("{} min", whole(minutes)),
        s if s < 36_000.0 => about::quarter_hours(s),
        s => format!("{} h", whole(s / 3_600.0)),
    }
}

/// How large circles are.
#[derive(Clone, Copy)]
struct Circle {
    /// The longest time in seconds, and the radius of its circle.
    most: f64,
    largest: f64,
}

impl Circle {
    fn radius(self, seconds: f64) -> f64 {
        self.largest * (seconds / self.most).sqrt()
    }
}

/// Three times and their circles, beside each other, and what else is drawn of a floor; returns where they end.
fn legend(canvas: &mut Canvas, top: f64, circle: Circle, layouts: &[Layout]) -> f64 {
    let unit = time_unit(circle.most);
    let longest = round_down(circle.most / unit.per_unit);
    let middle = top + circle.radius(longest * unit.per_unit);
    let mut x = MARGIN;
    for share in [1.0, 0.2, 0.05] {
        let time = longest * share * unit.per_unit;
        let radius = circle.radius(time);
        canvas.bubble((x + radius, middle), radius, WORKING.fill.colour, 0.6);
        x += 2.0 * radius + 8.0;
        x += canvas.text(&rounded(time), (x, middle), 100.0, Font::BODY) + 24.0;
    }
    let others = floor::explained(layouts);
    let beside = canvas.right() - x;
    let end = match others.is_empty() {
        true => top,
        false => signs_in(canvas, (x, middle - BODY / 2.0), beside, &others),
    };
    end.max(2.0 * middle - top + 12.0)
}
