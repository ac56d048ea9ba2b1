//! What runs together on each circuit at every instant of one run, in A, beside its rating.

use super::canvas::{Area, Canvas, Font};
use super::elements::{Bar, Curve, Label};
use super::frame::{heading, names_width, signs_in};
use super::meaning::{CURRENT, OVER_RATING};
use super::style::{BLACK, BODY, EDGE, FAINT, MARGIN, SMALL, TEXT};
use super::timeline_rows::{RowBase, RowMarks, TimelineRows, greatest_by_column};
use super::{Chart, ChartSize, Picture};
use crate::experiment::{CircuitCurve, CurrentStep, Findings, Timeline};
use crate::report::power::amps;
use crate::report::sentence::{listed, with_the};

const ROW: f64 = 62.0;
/// So much of a row the greatest current or rating of all takes.
const HIGHEST: f64 = 0.8;
/// Room for the names at most.
const NAMES: f64 = 170.0;
/// Room for the greatest current, behind its row.
const FIGURE: f64 = 66.0;
const RATING: [f64; 2] = [6.0, 3.0];

/// A picture for each timeline, with one scale; none where nobody says what is plugged in where.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    timelines: &[Timeline],
    size: ChartSize,
) -> Vec<Picture> {
    let all = || timelines.iter().flat_map(|timeline| &timeline.currents);
    let highest = |curve: &CircuitCurve| f64::max(curve.peak(), curve.rating.unwrap_or(0.0));
    let most = all().map(highest).fold(0.0, f64::max);
    if most <= 0.0 {
        return Vec::new();
    }
    let ends = timelines.iter().map(|timeline| timeline.end_s);
    let end_s = ends.fold(0.0, f64::max);
    let pictures = timelines.iter().enumerate().flat_map(|(index, timeline)| {
        let (stem, title) = chart.stem_and_title(timelines, index);
        Picture::of(stem, (&title, chart.about), size, |canvas| {
            body(&title, findings, timeline, (end_s, most), canvas)
        })
    });
    pictures.collect()
}

fn body(
    title: &str,
    findings: &Findings,
    timeline: &Timeline,
    (end_s, most): (f64, f64),
    canvas: &mut Canvas,
) -> f64 {
    let notes = notes(timeline);
    let y = heading(canvas, title, &findings.title, &notes);
    let fill = |fill| {
        move |canvas: &mut Canvas, area: Area| {
            canvas.hatched(area, fill);
            canvas.outline(area, EDGE, 0.75);
        }
    };
    let (current, over) = (fill(CURRENT.fill), fill(OVER_RATING.fill));
    let room = canvas.inner();
    let y = signs_in(
        canvas,
        (MARGIN, y),
        room,
        &[
            (&current, CURRENT.words),
            (&over, OVER_RATING.words),
            (&rating_sign, "rating of the breaker"),
        ],
    );
    canvas.header_ends(y);
    for curve in &timeline.currents {
        canvas.describe(&described(curve));
    }
    let circuits: Vec<String> = timeline.currents.iter().map(called).collect();
    let rows = TimelineRows {
        timeline,
        end_s,
        high: ROW,
        names: names_width(circuits.iter().map(String::as_str), Font::BODY, NAMES),
        behind: FIGURE,
    };
    let mut y = y;
    for curves in timeline.currents.chunks(rows.on_page(canvas, y, 1)) {
        let mark = |curve: &CircuitCurve, row: &RowBase, marks: &mut RowMarks| {
            row_of(curve, row, (end_s, most), marks);
        };
        y = rows.draw(canvas, y, curves, called, mark);
        canvas.may_break(y);
    }
    y
}

/// The current of one circuit, its rating, and the most at one time.
fn row_of(curve: &CircuitCurve, row: &RowBase, (end_s, most): (f64, f64), marks: &mut RowMarks) {
    let high = |current: f64| HIGHEST * current / most;
    for step in seen(&curve.steps, end_s, row.columns) {
        let bar = |from: f64, to: f64, fill| Bar {
            corners: [
                (step.from_s, row.base - high(to)),
                (step.to_s, row.base - high(from)),
            ],
            fill,
            edge: 0.0,
        };
        let carried = curve.rating.map_or(step.amps, |most| most.min(step.amps));
        marks.bars.push(bar(0.0, carried, CURRENT.fill));
        if step.amps > carried {
            marks.bars.push(bar(carried, step.amps, OVER_RATING.fill));
        }
    }
    let mut says = vec![(amps(curve.peak()), true)];
    match curve.rating {
        Some(rating) => {
            let level = row.base - high(rating);
            marks.lines.push(Curve {
                places: vec![(0.0, level), (end_s, level)],
                colour: BLACK,
                width: 1.5,
                dashes: &RATING,
            });
            says.push((format!("of {}", amps(rating)), false));
        }
        None => says.push(("not rated".to_owned(), false)),
    }
    for (nth, (text, bold)) in says.into_iter().enumerate() {
        let colour = if bold { TEXT } else { FAINT };
        marks.labels.push(Label {
            place: [(end_s, row.base - 0.5)],
            aside: (6.0, (nth as f64 - 0.5) * (BODY + 1.0)),
            text,
            room: FIGURE - 8.0,
            font: Font::BODY.size(SMALL).bold(bold).colour(colour),
        });
    }
}

fn notes(timeline: &Timeline) -> String {
    let mut notes = format!(
        "\"{}\", run {}: the running amps of what is on together, idling included. All rows have one scale; the figure \
         behind a row is the most at one time.",
        timeline.candidate, timeline.replication
    );
    for curve in &timeline.currents {
        if curve.starting_amps > 0.0 {
            let names: Vec<String> = curve.starting.iter().map(|name| with_the(name)).collect();
            notes.push_str(&format!(
                " On circuit {} {} may start at any time, which adds {}.",
                curve.name,
                listed(&names, "and"),
                amps(curve.starting_amps)
            ));
        }
    }
    if !timeline.openings.is_empty() {
        notes.push_str(" An upright line is closing time, with the day that follows it.");
    }
    notes.push_str(
        " Estimate for planning only: what to do about a circuit is an electrician's work.",
    );
    notes
}

fn called(curve: &CircuitCurve) -> String {
    format!("circuit {}", curve.name)
}

fn described(curve: &CircuitCurve) -> String {
    let against = match curve.rating {
        Some(rating) => format!(" of {}", amps(rating)),
        None => String::new(),
    };
    format!(
        "Circuit {}: at most {}{against}.",
        curve.name,
        amps(curve.peak())
    )
}

fn rating_sign(canvas: &mut Canvas, area: Area) {
    let (_, y) = area.middle();
    let ends = [(area.x, y), (area.x + area.width, y)];
    canvas.dashed(&ends, BLACK, 1.5, &RATING);
}

/// All steps where they can be told apart; else the greatest current of each of so many columns.
fn seen(steps: &[CurrentStep], end_s: f64, columns: usize) -> Vec<CurrentStep> {
    if steps.len() <= columns || columns == 0 || end_s <= 0.0 {
        return steps.to_vec();
    }
    let all = steps.iter().map(|step| (step.from_s, step.to_s, step.amps));
    let greatest = greatest_by_column(all, end_s, columns).into_iter();
    greatest
        .map(|(from_s, to_s, amps)| CurrentStep { from_s, to_s, amps })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(from_s: f64, to_s: f64, amps: f64) -> CurrentStep {
        CurrentStep { from_s, to_s, amps }
    }

    /// In two columns of 25 s the greatest currents are 29 A and, from 40 to 50 s, 14 A.
    #[test]
    fn where_it_changes_too_often_each_column_has_its_greatest_current() {
        let steps = [
            step(0.0, 10.0, 15.0),
            step(10.0, 12.0, 29.0),
            step(40.0, 50.0, 14.0),
        ];
        let columns = [step(0.0, 25.0, 29.0), step(25.0, 50.0, 14.0)];
        assert_eq!(seen(&steps, 50.0, 2), columns);
        assert_eq!(seen(&steps, 50.0, 3), steps);
    }
}
