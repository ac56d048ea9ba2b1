//! Where people spend their working time: circles on the floor, their areas as large as the times.

use super::canvas::{Canvas, Font};
use super::frame::{heading, played};
use super::labels::Labels;
use super::layout::Layout;
use super::panels::Panels;
use super::quantity::round_down;
use super::sheet::Sheet;
use super::style::{self, MARGIN, STAYED};
use super::{Chart, Picture, Subject, one};
use crate::floor::Point;
use crate::report::figure::{number, time_unit};
use crate::shop::PlaceId;

/// The radius of the longest time at most: in units, and in metres.
const LARGEST: f64 = 34.0;
const REACH: f64 = 0.8;

/// Nothing is drawn without a layout or if nobody worked anywhere.
pub fn draw(chart: &Chart, subject: &Subject, scale: f64) -> Vec<Picture> {
    let all = subject.layouts.iter().flat_map(stays);
    let most = all.map(|(.., seconds)| seconds).fold(0.0, f64::max);
    let panels = Panels::of(subject, style::width(scale)).filter(|_| most > 0.0);
    let Some(panels) = panels else {
        return Vec::new();
    };
    let circle = Circle {
        most,
        largest: LARGEST.min(REACH * panels.metre),
    };
    one(chart, scale, |canvas| {
        let notes = format!(
            "Setup, run and tear-down of all people at each standing place, {}. The area of a circle is the time.",
            played(subject.findings)
        );
        let y = heading(canvas, chart.title, subject.findings, &notes);
        let unit = time_unit(most);
        for layout in subject.layouts {
            let longest = stays(layout).into_iter().max_by(|a, b| a.2.total_cmp(&b.2));
            if let Some((station, _, seconds)) = longest {
                let name = layout.stations.get(station).map_or("", |name| name);
                let time = number(seconds / unit.per_unit);
                let sentence = format!(
                    "\"{}\": longest at {name}, {time} {}.",
                    layout.name, unit.sign
                );
                canvas.describe(&sentence);
            }
        }
        let y = legend(canvas, y, circle);
        panels.draw(
            canvas,
            y,
            subject,
            None,
            &|canvas, sheet, layout, labels| {
                circles(canvas, sheet, layout, labels, circle);
            },
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
    let unit = time_unit(circle.most);
    for (station, at, seconds) in stays(layout) {
        let ((x, y), radius) = (sheet.at(at), circle.radius(seconds));
        let name = layout.stations.get(station).map_or("", |name| name);
        let words = format!("{name}: {} {}", number(seconds / unit.per_unit), unit.sign);
        let id = format!("{}stay-{}", sheet.id, station + 1);
        canvas.group("stay", (Some(id), Some(words)), |canvas| {
            canvas.bubble((x, y), radius, STAYED, 0.4);
        });
        labels.is_drawn(&[(x - radius, y - radius), (x + radius, y + radius)]);
    }
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

/// Three times and their circles, beside each other; returns where they end.
fn legend(canvas: &mut Canvas, top: f64, circle: Circle) -> f64 {
    let unit = time_unit(circle.most);
    let longest = round_down(circle.most / unit.per_unit);
    let middle = top + circle.radius(longest * unit.per_unit);
    let mut x = MARGIN;
    for share in [1.0, 0.2, 0.05] {
        let time = longest * share;
        let radius = circle.radius(time * unit.per_unit);
        canvas.bubble((x + radius, middle), radius, STAYED, 0.4);
        x += 2.0 * radius + 8.0;
        let text = format!("{} {}", number(time), unit.sign);
        x += canvas.text(&text, (x, middle), 100.0, Font::BODY) + 24.0;
    }
    2.0 * middle - top + 12.0
}
