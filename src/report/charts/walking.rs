//! How far is walked on each candidate.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Area, Canvas, Font};
use super::elements::{Bar, Interval, Label};
use super::frame::{heading, legend, names_width, orders, played};
use super::meaning::{CARRYING, EMPTY_HANDED, PUSHING};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::style::{BODY, MARGIN};
use super::text::wrap;
use super::{Chart, ChartSize, Picture, nobody_walks, one};
use crate::experiment::{Findings, WalkedMetres};
use crate::report::figure::length_unit;
use crate::report::figure::percent;

const ROW: f64 = 46.0;
const BAR: f64 = 24.0;
/// Room for the names at most; longer ones have two lines.
const NAMES: f64 = 190.0;

pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    match nobody_walks(findings) {
        true => Vec::new(),
        false => one(chart, size, |canvas| body(chart, findings, canvas)),
    }
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let level = percent(findings.confidence);
    let interval = findings
        .candidates
        .iter()
        .any(|candidate| candidate.walking.half_width.is_some());
    let orders = orders(findings);
    let played = played(findings);
    let notes = if interval {
        format!(
            "All walking for {orders}, {played}. The whisker is the {level} interval of the total; it covers chance only."
        )
    } else {
        format!("All walking for {orders}, {played}, without an interval.")
    };
    let y = heading(canvas, chart.title, &findings.title, &notes);
    let manners = [EMPTY_HANDED, CARRYING, PUSHING];
    let of = |walked: WalkedMetres| [walked.empty, walked.carrying, walked.pushing];
    let walked = |index: usize| {
        let mut walked = findings.candidates.iter().map(|found| of(found.walked));
        walked.any(|metres| metres[index] > 0.0)
    };
    let shown: Vec<_> = (0..3)
        .filter(|index| walked(*index))
        .map(|index| manners[index])
        .collect();
    let y = legend(canvas, y, &shown);

    let unit = length_unit(findings.units);
    let most = findings
        .candidates
        .iter()
        .map(|candidate| {
            candidate
                .walking
                .high()
                .unwrap_or(0.0)
                .max(candidate.walked.total())
        })
        .fold(0.0, f64::max);
    let names = findings
        .candidates
        .iter()
        .map(|candidate| candidate.name.as_str());
    let names = names_width(names, Font::BODY, NAMES);
    let font = Font::BODY.bold(true);
    let figures: Vec<String> = findings
        .candidates
        .iter()
        .map(|candidate| unit.brief(&candidate.walking))
        .collect();
    let room = figures
        .iter()
        .map(|figures| font.width(figures) + 20.0)
        .fold(0.0, f64::max);
    let area = Area {
        x: MARGIN + names,
        y,
        width: canvas.inner() - names - room,
        height: ROW * findings.candidates.len() as f64,
    };
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let middle = y + ROW * (index as f64 + 0.5);
        name(canvas, &candidate.name, middle, names - 12.0);
        canvas.describe(&format!("\"{}\": {}.", candidate.name, figures[index]));
    }
    let right = canvas.right();
    let axis = FigureAxis::new(most, unit);
    let reach = |value: f64| area.x + area.width * axis.share(value);
    let bars = findings
        .candidates
        .iter()
        .enumerate()
        .flat_map(|(row, candidate)| {
            let mut before = 0.0;
            let parts = of(candidate.walked).into_iter().zip(manners);
            parts.map(move |(metres, meaning)| {
                let from = before;
                before += metres;
                Bar::level((from, before), row, BAR / ROW, meaning.fill)
            })
        });
    let intervals = findings
        .candidates
        .iter()
        .enumerate()
        .filter_map(|(row, candidate)| {
            let (low, high) = (candidate.walking.low()?, candidate.walking.high()?);
            let middle = row as f64 + 0.5;
            Some(Interval {
                ends: [(low, middle), (high, middle)],
                half: 6.0,
            })
        });
    let labels =
        findings
            .candidates
            .iter()
            .zip(figures)
            .enumerate()
            .map(|(row, (candidate, text))| {
                let end = candidate
                    .walked
                    .total()
                    .max(candidate.walking.high().unwrap_or(0.0));
                let room = right - reach(end) - 10.0;
                Label {
                    place: [(end, row as f64 + 0.5)],
                    aside: (10.0, 0.0),
                    text,
                    room,
                    font,
                }
            });
    let (bars, intervals): (Vec<Bar>, Vec<Interval>) = (bars.collect(), intervals.collect());
    let labels: Vec<Label> = labels.collect();
    let rows = RowAxis(findings.candidates.len());
    let marks = AxisMarks {
        figures: &format!("{} walked, {orders}", unit.sign),
        ..AxisMarks::default()
    };
    plot(canvas, area, (axis, rows), marks, |plot| {
        draw_all(plot, bars);
        draw_all(plot, intervals);
        draw_all(plot, labels);
    });
    y + area.height + BELOW + MARGIN / 2.0
}

/// A name of one or two lines at the left.
fn name(canvas: &mut Canvas, name: &str, middle: f64, room: f64) {
    let lines = wrap(name, BODY, false, room, 2);
    let first = middle - (lines.len() - 1) as f64 * (BODY + 3.0) / 2.0;
    for (index, line) in lines.iter().enumerate() {
        let y = first + index as f64 * (BODY + 3.0);
        canvas.text(line, (MARGIN, y), room, Font::BODY);
    }
}
