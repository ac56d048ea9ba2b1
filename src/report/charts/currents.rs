//! What runs together on each circuit at every instant of one run, in A, beside its rating.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Area, Canvas, Font};
use super::elements::{Bar, Curve, Label};
use super::frame::{heading, names_width, signs_in};
use super::meaning::{CURRENT, OVER_RATING};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::style::{BLACK, BODY, EDGE, FAINT, MARGIN, SMALL, TEXT};
use super::text::fit_apart;
use super::timeline::{DAYS, openings};
use super::timeline_bars::CLOSING;
use super::{Chart, ChartSize, Picture};
use crate::experiment::{CircuitCurve, CurrentStep, Findings, Timeline};
use crate::report::figure::time_unit;
use crate::report::power::amps;
use crate::report::sentence::{listed, with_the};

const ROW: f64 = 62.0;
/// So much of a row the greatest current or rating of all takes.
const HIGHEST: f64 = 0.8;
/// Room for the names at most.
const NAMES: f64 = 170.0;
/// Room for the greatest current, behind its row.
const FIGURE: f64 = 66.0;
/// Columns for each unit of the picture's width, where it changes too often to draw every change.
const COLUMNS: f64 = 2.0;
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
    let names = names_width(circuits.iter().map(String::as_str), Font::BODY, NAMES);
    let mut y = y;
    for curves in timeline.currents.chunks(rows_on_page(canvas, y)) {
        y = rows(canvas, y, names, (timeline, end_s, most), curves);
        canvas.may_break(y);
    }
    y
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

fn rows_on_page(canvas: &Canvas, top: f64) -> usize {
    const FOOT: f64 = 22.0;
    let Some(page) = canvas.page else {
        return usize::MAX;
    };
    let room = page - top - DAYS - BELOW - MARGIN / 2.0 - FOOT;
    ((room / ROW) as usize).max(1)
}

/// Draws some circuits over one axis; returns where they end.
fn rows(
    canvas: &mut Canvas,
    top: f64,
    names: f64,
    (timeline, end_s, most): (&Timeline, f64, f64),
    curves: &[CircuitCurve],
) -> f64 {
    let days = if timeline.openings.is_empty() {
        0.0
    } else {
        DAYS
    };
    let area = Area {
        x: MARGIN + names,
        y: top + days,
        width: canvas.inner() - names - FIGURE,
        height: ROW * curves.len() as f64,
    };
    let closings = openings(canvas, area, timeline, end_s);
    let written: Vec<String> = curves.iter().map(called).collect();
    let written: Vec<&str> = written.iter().map(String::as_str).collect();
    let written = fit_apart(&written, Font::BODY.shape(), names - 10.0);
    let columns = (area.width * COLUMNS) as usize;
    let (mut bars, mut lines, mut labels) = (Vec::new(), Vec::new(), Vec::new());
    for (row, (curve, name)) in curves.iter().zip(&written).enumerate() {
        let base = row as f64 + 1.0;
        let middle = area.y + ROW * (base - 0.5);
        canvas.text(name, (MARGIN, middle), names - 10.0, Font::BODY);
        let high = |current: f64| HIGHEST * current / most;
        for step in seen(&curve.steps, end_s, columns) {
            let bar = |from: f64, to: f64, fill| Bar {
                corners: [
                    (step.from_s, base - high(to)),
                    (step.to_s, base - high(from)),
                ],
                fill,
                edge: 0.0,
            };
            let carried = curve.rating.map_or(step.amps, |most| most.min(step.amps));
            bars.push(bar(0.0, carried, CURRENT.fill));
            if step.amps > carried {
                bars.push(bar(carried, step.amps, OVER_RATING.fill));
            }
        }
        let mut says = vec![(amps(curve.peak()), true)];
        match curve.rating {
            Some(rating) => {
                let level = base - high(rating);
                lines.push(Curve {
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
            labels.push(Label {
                place: [(end_s, base - 0.5)],
                aside: (6.0, (nth as f64 - 0.5) * (BODY + 1.0)),
                text,
                room: FIGURE - 8.0,
                font: Font::BODY.size(SMALL).bold(bold).colour(colour),
            });
        }
    }
    let unit = time_unit(end_s);
    let figures = match timeline.openings.is_empty() {
        true => format!("{} from the start", unit.sign),
        false => format!("{} of open time from the start", unit.sign),
    };
    let marks = AxisMarks {
        figures: &figures,
        rows: true,
        ..AxisMarks::default()
    };
    lines.extend(closings.iter().map(|&at_s| Curve {
        places: vec![(at_s, 0.0), (at_s, curves.len() as f64)],
        colour: TEXT,
        width: CLOSING,
        dashes: &[],
    }));
    let axes = (FigureAxis::new(end_s, unit), RowAxis(curves.len()));
    plot(canvas, area, axes, marks, |plot| {
        draw_all(plot, bars);
        draw_all(plot, lines);
        draw_all(plot, labels);
    });
    area.y + area.height + BELOW + MARGIN / 2.0
}

/// All steps where they can be told apart; else the greatest current of each of so many columns.
fn seen(steps: &[CurrentStep], end_s: f64, columns: usize) -> Vec<CurrentStep> {
    if steps.len() <= columns || columns == 0 || end_s <= 0.0 {
        return steps.to_vec();
    }
    let wide = end_s / columns as f64;
    let mut greatest = vec![0.0_f64; columns];
    for step in steps {
        let first = ((step.from_s / wide) as usize).min(columns - 1);
        let beyond = ((step.to_s / wide).ceil() as usize).clamp(first + 1, columns);
        for column in &mut greatest[first..beyond] {
            *column = step.amps.max(*column);
        }
    }
    let drawn = greatest.into_iter().enumerate();
    drawn
        .filter(|(_, amps)| *amps > 0.0)
        .map(|(column, amps)| CurrentStep {
            from_s: wide * column as f64,
            to_s: wide * (column + 1) as f64,
            amps,
        })
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
