//! How long orders take from release to done: the share that is done within each time.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{Axis, INNER, heading};
use super::quantity::{Unit, number, percent, time_unit};
use super::style::{
    BLACK, BODY, Colour, EDGE, FAINT, GRID, MARGIN, SMALL, Stroke, TEXT, WHITE, stroke,
};
use super::{Chart, Picture, one};
use crate::experiment::{CandidateFindings, Findings};
use crate::statistics::Histogram;

const MICROS: f64 = 1e6;
const HEIGHT: f64 = 330.0;
const TABLE_ROW: f64 = 20.0;
/// A curve has this many steps at most; with fewer orders each has its own.
const STEPS: u64 = 200;
const MEDIAN: f64 = 0.5;
const LATE: f64 = 0.9;

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    one(chart, scale, |canvas| body(chart, findings, canvas))
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let notes = "Share of all orders of all replications that are done within a time. ● median, ■ 90 % of the orders.";
    let y = heading(canvas, chart.title, findings, notes) + 6.0;
    let most = findings
        .candidates
        .iter()
        .filter_map(|candidate| candidate.lead_times.maximum())
        .max();
    let Some(most) = most else {
        canvas.text("No order was done.", (MARGIN, y + BODY), INNER, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    };
    let most = most as f64 / MICROS;
    let unit = time_unit(most);
    let area = Area {
        x: MARGIN + 56.0,
        y,
        width: INNER - 56.0 - 30.0,
        height: HEIGHT,
    };
    let axis = Axis::new(area, most, unit);
    let end = axis.draw(canvas);
    for share in [0.0, 0.25, MEDIAN, 0.75, LATE, 1.0] {
        let level = level(area, share);
        canvas.line((area.x, level), (area.x + area.width, level), GRID, 0.75);
        let font = Font::BODY.size(SMALL).colour(FAINT).align(Align::Right);
        canvas.text(&percent(share), (area.x - 8.0, level), 50.0, font);
    }
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let (colour, dashes) = stroke(index);
        let curve = curve(&candidate.lead_times, &axis);
        dashed(canvas, &curve, colour, dashes);
        for share in [MEDIAN, LATE] {
            if let Some(micros) = candidate.lead_times.quantile(share) {
                let at = (axis.at(micros as f64 / MICROS), level(area, share));
                dot(canvas, at, share, colour);
            }
        }
    }
    canvas.line(
        (area.x, y + HEIGHT),
        (area.x + area.width, y + HEIGHT),
        EDGE,
        1.0,
    );
    table(canvas, end + 8.0, findings, unit)
}

fn level(area: Area, share: f64) -> f64 {
    area.y + area.height * (1.0 - share)
}

/// The distribution function from the shortest time on: a step for each order, or a smooth curve through the quantiles
/// of many.
fn curve(times: &Histogram, axis: &Axis) -> Vec<(f64, f64)> {
    let count = times.count().min(STEPS);
    let mut corners = Vec::new();
    let mut before = level(axis.area, 0.0);
    for rank in 1..=count {
        let share = rank as f64 / count as f64;
        let Some(micros) = times.quantile(share) else {
            break;
        };
        let x = axis.at(micros as f64 / MICROS);
        if rank == 1 || times.count() <= STEPS {
            corners.push((x, before));
        }
        before = level(axis.area, share);
        corners.push((x, before));
    }
    if count > 0 {
        corners.push((axis.area.x + axis.area.width, before));
    }
    corners
}

/// Draws a path in dashes: lengths of line and gap in turn.
fn dashed(canvas: &mut Canvas, points: &[(f64, f64)], colour: Colour, dashes: &[f64]) {
    const STROKE: f64 = 2.0;
    if points.is_empty() {
        return;
    }
    if dashes.is_empty() {
        canvas.path(points, colour, STROKE);
        return;
    }
    let (mut turn, mut left) = (0, dashes[0]);
    let mut dash = vec![points[0]];
    for pair in points.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        loop {
            let (dx, dy) = (to.0 - from.0, to.1 - from.1);
            let length = dx.hypot(dy);
            if length <= left {
                left -= length;
                dash.push(to);
                break;
            }
            from = (from.0 + dx / length * left, from.1 + dy / length * left);
            dash.push(from);
            if turn % 2 == 0 {
                canvas.path(&dash, colour, STROKE);
            }
            turn += 1;
            left = dashes[turn % dashes.len()];
            dash = vec![from];
        }
    }
    if turn % 2 == 0 {
        canvas.path(&dash, colour, STROKE);
    }
}

/// A round mark for the median, a square one for the late orders, with a light rim.
fn dot(canvas: &mut Canvas, at: (f64, f64), share: f64, colour: Colour) {
    for (half, colour) in [(6.0, WHITE), (4.5, colour)] {
        if share == MEDIAN {
            canvas.disc(at, half, colour);
        } else {
            let square = Area {
                x: at.0 - half,
                y: at.1 - half,
                width: 2.0 * half,
                height: 2.0 * half,
            };
            canvas.fill(square, colour);
        }
    }
}

/// Writes below the curves which is whose, and their marked times.
fn table(canvas: &mut Canvas, top: f64, findings: &Findings, unit: Unit) -> f64 {
    const COLUMNS: [(f64, &str); 4] = [
        (620.0, "orders"),
        (740.0, "● median"),
        (860.0, "■ 90 % within"),
        (980.0, "longest"),
    ];
    let mut y = top + TABLE_ROW / 2.0;
    let font = Font::BODY.size(SMALL).colour(FAINT).align(Align::Right);
    for (right, name) in COLUMNS {
        canvas.text(name, (right, y), 110.0, font);
    }
    for (index, candidate) in findings.candidates.iter().enumerate() {
        y += TABLE_ROW;
        let (colour, dashes): Stroke = stroke(index);
        dashed(canvas, &[(MARGIN, y), (MARGIN + 46.0, y)], colour, dashes);
        canvas.text(&candidate.name, (MARGIN + 56.0, y), 420.0, Font::BODY);
        let font = Font::BODY.colour(TEXT).align(Align::Right);
        for ((right, _), figure) in COLUMNS.into_iter().zip(figures(candidate, unit)) {
            canvas.text(&figure, (right, y), 110.0, font);
        }
    }
    canvas.line(
        (MARGIN, top + TABLE_ROW),
        (980.0, top + TABLE_ROW),
        BLACK,
        0.5,
    );
    y + TABLE_ROW / 2.0 + MARGIN / 2.0
}

fn figures(candidate: &CandidateFindings, unit: Unit) -> [String; 4] {
    let times = &candidate.lead_times;
    let time = |micros: Option<i64>| match micros {
        Some(micros) => format!(
            "{} {}",
            number(micros as f64 / MICROS * unit.factor),
            unit.name
        ),
        None => "–".to_string(),
    };
    [
        number(times.count() as f64),
        time(times.quantile(MEDIAN)),
        time(times.quantile(LATE)),
        time(times.maximum()),
    ]
}
