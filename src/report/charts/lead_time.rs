//! How long orders take from release to done: the share that is done within each time.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::heading;
use super::plot::{AxisMarks, BELOW, Curve, FigureAxis, LevelAxis, Place, draw as draw_all, plot};
use super::quantity::whole;
use super::style::{BLACK, BODY, Colour, FAINT, MARGIN, SMALL, TEXT, WHITE, stroke};
use super::{Chart, Picture, one};
use crate::experiment::{CandidateFindings, Findings};
use crate::report::figure::percent;
use crate::report::figure::{Shown, number, time_unit};
use crate::statistics::Histogram;

const MICROS: f64 = 1e6;
/// Of the curves, in widths of the picture.
const HEIGHT: f64 = 0.36;
const TABLE_ROW: f64 = 20.0;
/// A curve has this many steps at most; with fewer orders each has its own.
const STEPS: u64 = 200;
const STROKE: f64 = 2.0;
/// Room for the shares at the left.
const LEFT: f64 = 56.0;
/// The shares that are marked.
const SHARES: [f64; 6] = [0.0, 0.25, MEDIAN, 0.75, LATE, 1.0];
const MEDIAN: f64 = 0.5;
const LATE: f64 = 0.9;

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    one(chart, scale, |canvas| body(chart, findings, canvas))
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let mut notes = "Share of all orders of all replications that are done within a time. ●\u{202F}median, ■\u{202F}90 % of the orders; a mark that another would hide stands above or below its place."
        .to_owned();
    let times = || findings.candidates.iter().map(|found| &found.lead_times);
    let range = times().filter_map(Histogram::minimum).min();
    let range = range.zip(times().filter_map(Histogram::maximum).max());
    let Some((least, most)) = range else {
        let y = heading(canvas, chart.title, findings, &notes) + 6.0;
        let room = canvas.inner();
        canvas.text("No order was done.", (MARGIN, y + BODY), room, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    };
    let (least, most) = (least as f64 / MICROS, most as f64 / MICROS);
    let unit = time_unit(most);
    let area = Area {
        x: MARGIN + LEFT,
        y: 0.0,
        width: canvas.inner() - LEFT - 30.0,
        height: canvas.width * HEIGHT,
    };
    let axis = FigureAxis::from(least, most, unit);
    if axis.is_cut() {
        notes += " The axis does not begin at 0.";
    }
    let y = heading(canvas, chart.title, findings, &notes) + 6.0;
    let area = Area { y, ..area };
    let at = |micros: i64| area.x + area.width * axis.share(micros as f64 / MICROS);
    let mut marked: Vec<(f64, f64)> = Vec::new();
    let mut points = Vec::new();
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let (colour, _) = stroke(index);
        for share in [MEDIAN, LATE] {
            if let Some(micros) = candidate.lead_times.quantile(share) {
                let own = (at(micros), area.y + area.height * (1.0 - share));
                let free = staggered(own, &marked);
                marked.push(free);
                points.push((own, free, share, colour));
            }
        }
    }
    let curves = findings
        .candidates
        .iter()
        .enumerate()
        .map(|(index, candidate)| {
            let (colour, dashes) = stroke(index);
            let places = curve(&candidate.lead_times, most);
            Curve {
                places,
                colour,
                width: STROKE,
                dashes,
            }
        });
    let curves: Vec<Curve> = curves.collect();
    let marks = AxisMarks {
        figures: &format!("{} from release to done", unit.sign),
        left: LEFT,
        ..AxisMarks::default()
    };
    plot(
        canvas,
        area,
        (axis, LevelAxis(&SHARES, percent)),
        marks,
        |plot| draw_all(plot, curves),
    );
    // Above all curves.
    for (own, free, share, colour) in points {
        canvas.line(own, free, colour, 1.0);
        dot(canvas, free, share, colour);
    }
    for candidate in &findings.candidates {
        let [orders, median, late, _] = figures(candidate, unit);
        canvas.describe(&format!(
            "\"{}\": of {orders} orders, half within {median}, 90 % within {late}.",
            candidate.name
        ));
    }
    table(canvas, y + area.height + BELOW + 8.0, findings, unit)
}

/// The distribution function from the shortest time on, to so many seconds: a step for each order, or a smooth curve
/// through the quantiles of many.
fn curve(times: &Histogram, most: f64) -> Vec<Place> {
    let count = times.count().min(STEPS);
    let mut corners = Vec::new();
    let mut before = 0.0;
    for rank in 1..=count {
        let share = rank as f64 / count as f64;
        let Some(micros) = times.quantile(share) else {
            break;
        };
        let seconds = micros as f64 / MICROS;
        if rank == 1 || times.count() <= STEPS {
            corners.push((seconds, before));
        }
        before = share;
        corners.push((seconds, before));
    }
    if count > 0 {
        // To the end of the axis, which is a little beyond the last order if it does not begin at 0.
        corners.push((most * 2.0, before));
    }
    corners
}

/// A place for a mark, as near above or below its own as no other hides it.
fn staggered(at: (f64, f64), marked: &[(f64, f64)]) -> (f64, f64) {
    const APART: f64 = 12.0;
    let steps = (0..=marked.len()).flat_map(|step| [-(step as f64), step as f64]);
    let places = steps.map(|step| (at.0, at.1 + APART * step));
    let is_free = |place: &(f64, f64)| {
        let mut marked = marked.iter();
        marked.all(|other| {
            (other.0 - place.0).abs() >= APART || (other.1 - place.1).abs() >= APART - 1e-6
        })
    };
    places.into_iter().find(is_free).unwrap_or(at)
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
fn table(canvas: &mut Canvas, top: f64, findings: &Findings, unit: Shown) -> f64 {
    const LINE: f64 = 46.0;
    const GAP: f64 = 28.0;
    const HEADS: [&str; 4] = ["orders", "● median", "■ 90 % within", "longest"];
    let rows: Vec<[String; 4]> = (findings.candidates.iter())
        .map(|candidate| figures(candidate, unit))
        .collect();
    let head = Font::BODY.size(SMALL).colour(FAINT).align(Align::Right);
    let font = Font::BODY.colour(TEXT).align(Align::Right);
    let widths = [0, 1, 2, 3].map(|column| {
        let figures = rows.iter().map(|row| font.width(&row[column]));
        figures.fold(head.width(HEADS[column]), f64::max) + GAP
    });
    let mut y = top + TABLE_ROW / 2.0;
    let right =
        |column: usize, canvas: &Canvas| canvas.right() - widths[column + 1..].iter().sum::<f64>();
    for (column, name) in HEADS.iter().enumerate() {
        let at = (right(column, canvas), y);
        canvas.text(name, at, widths[column], head);
    }
    let left = MARGIN + LINE + 10.0;
    let names = canvas.right() - widths.iter().sum::<f64>() - left;
    for (index, (candidate, row)) in findings.candidates.iter().zip(&rows).enumerate() {
        y += TABLE_ROW;
        let (colour, dashes) = stroke(index);
        let line = [(MARGIN, y), (MARGIN + LINE, y)];
        canvas.dashed(&line, colour, STROKE, dashes);
        canvas.text(&candidate.name, (left, y), names, Font::BODY);
        for (column, figure) in row.iter().enumerate() {
            let at = (right(column, canvas), y);
            canvas.text(figure, at, widths[column], font);
        }
    }
    let line = top + TABLE_ROW;
    canvas.line((MARGIN, line), (canvas.right(), line), BLACK, 0.5);
    y + TABLE_ROW / 2.0 + MARGIN / 2.0
}

fn figures(candidate: &CandidateFindings, unit: Shown) -> [String; 4] {
    let times = &candidate.lead_times;
    let time = |micros: Option<i64>| match micros {
        Some(micros) => format!(
            "{} {}",
            number(micros as f64 / MICROS / unit.per_unit),
            unit.sign
        ),
        None => "–".to_string(),
    };
    [
        whole(times.count() as f64),
        time(times.quantile(MEDIAN)),
        time(times.quantile(LATE)),
        time(times.maximum()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_mark_hides_another() {
        let mut marked = Vec::new();
        for _ in 0..4 {
            marked.push(staggered((100.0, 50.0), &marked));
        }
        assert_eq!(
            marked,
            [(100.0, 50.0), (100.0, 38.0), (100.0, 62.0), (100.0, 26.0)]
        );
        assert_eq!(staggered((130.0, 50.0), &marked), (130.0, 50.0));
    }
}
