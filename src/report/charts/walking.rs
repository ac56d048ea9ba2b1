//! How far is walked on each candidate.

use super::canvas::{Area, Canvas, Font};
use super::frame::{Axis, heading, legend, names_width, played, whisker};
use super::quantity::{estimate, length_unit, percent};
use super::style::{BODY, CARRYING, EDGE, EMPTY, MARGIN, PUSHING};
use super::text::wrap;
use super::{Chart, Picture, one};
use crate::experiment::{Findings, Walked};

const ROW: f64 = 46.0;
const BAR: f64 = 24.0;
/// Room for the names at most; longer ones have two lines.
const NAMES: f64 = 190.0;

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    one(chart, scale, |canvas| body(chart, findings, canvas))
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let level = percent(findings.confidence);
    let interval = findings
        .candidates
        .iter()
        .any(|candidate| candidate.walking.half_width.is_some());
    let notes = if interval {
        format!(
            "{}. The whisker is the {level} interval of the total; it covers chance only.",
            capital(&played(findings))
        )
    } else {
        format!("{}, so without an interval.", capital(&played(findings)))
    };
    let y = heading(canvas, chart.title, findings, &notes);
    let manners = [
        (EMPTY, "empty-handed"),
        (CARRYING, "carrying"),
        (PUSHING, "pushing a cart"),
    ];
    let of = |walked: Walked| [walked.empty, walked.carrying, walked.pushing];
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
        .map(|candidate| estimate(&candidate.walking, unit))
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
    let axis = Axis::new(area, most, unit);
    let end = axis.draw(canvas);
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let middle = y + ROW * (index as f64 + 0.5);
        name(canvas, &candidate.name, middle, names - 12.0);
        let mut before = 0.0;
        for (metres, (fill, _)) in of(candidate.walked).into_iter().zip(manners) {
            let bar = Area {
                x: axis.at(before),
                y: middle - BAR / 2.0,
                width: axis.at(before + metres) - axis.at(before),
                height: BAR,
            };
            canvas.hatched(bar, fill);
            if bar.width > 0.0 {
                canvas.outline(bar, EDGE, 0.75);
            }
            before += metres;
        }
        let mut right = axis.at(before);
        if let (Some(low), Some(high)) = (candidate.walking.low(), candidate.walking.high()) {
            whisker(canvas, (axis.at(low), axis.at(high)), middle, 6.0);
            right = right.max(axis.at(high));
        }
        let at = (right + 10.0, middle);
        canvas.text(&figures[index], at, canvas.right() - at.0, font);
    }
    end + MARGIN / 2.0
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

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
