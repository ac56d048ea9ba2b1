//! What each change of the relief experiment brings, best first.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Bar, Interval};
use super::frame::{heading, legend, names_width, orders, played};
use super::meaning::{LESS, MORE, Meaning, UNSHOWN};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::ranking::{LEAD_TIME, Ranked, Ranking, rows, text};
use super::style::{BAND, BODY, GRID, MARGIN, SMALL};
use super::text::wrap;
use super::{ChartSize, Picture, ReliefChart, single};
use crate::experiment::{Relief, ReliefKind, Reliefs};
use crate::report::figure::{number, percent};
use crate::report::relief::{change_in_words, resource_in_words, safely_of_all};
use crate::statistics::Estimate;

const ROW: f64 = 20.0;
/// A name that has no room goes on in further lines.
const LINES: usize = 3;
const LINE: f64 = 14.0;
const BAR: f64 = 13.0;
/// A bar that is seen is at least so wide.
const THINNEST: f64 = 1.0;
/// The share of the picture that names may take.
const NAMES: f64 = 0.4;
const JOINT: &str = ": ";

pub fn draw(chart: &ReliefChart, reliefs: &Reliefs, size: ChartSize) -> Vec<Picture> {
    single((chart.stem, chart.title, chart.about), size, |canvas| {
        body(chart, reliefs, canvas)
    })
}

fn body(chart: &ReliefChart, reliefs: &Reliefs, canvas: &mut Canvas) -> f64 {
    let figure = Ranking::of(reliefs);
    let findings = &reliefs.findings;
    let (rows, left_out) = rows(reliefs, &figure);
    let y = heading(
        canvas,
        chart.title,
        &findings.title,
        &notes(reliefs, &figure, &rows, &left_out),
    );
    if rows.is_empty() {
        let room = canvas.inner();
        let text = "No change that was tried makes a difference that would show.";
        canvas.text(text, (MARGIN, y + BODY), room, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    }
    let (widths, drawn) = laid_out(reliefs, &rows, &figure, canvas.inner());
    let ends = Ends::of(&rows);
    // A bar that is thinner than its edge is not seen.
    let seen = THINNEST * (ends.most - ends.least) / widths.axis;
    let entries = [
        LESS.called(figure.better),
        MORE.called(figure.worse),
        UNSHOWN,
    ];
    let occurs = |meaning: &Meaning| {
        let mut rows = rows.iter();
        rows.any(|row| row.difference.mean.abs() >= seen && row.fill() == meaning.fill)
    };
    let shown: Vec<Meaning> = entries.into_iter().filter(occurs).collect();
    let y = legend(canvas, y, &shown);
    canvas.header_ends(y);
    for row in &drawn {
        row.write(canvas, y, &widths);
    }
    let area = Area {
        x: MARGIN + widths.names,
        y,
        width: widths.axis,
        height: drawn.last().map_or(0.0, |row| row.bottom),
    };
    bars(canvas, area, &drawn, &ends, &figure);
    y + area.height + BELOW + MARGIN / 2.0
}

/// How wide the names of changes, their bars and their figures are.
struct RowWidths {
    names: f64,
    axis: f64,
    figures: f64,
}

/// A change as it is written, from the top of the first one down.
struct DrawnRow<'a> {
    of: &'a Ranked<'a>,
    name: String,
    lines: Vec<String>,
    figure: String,
    top: f64,
    bottom: f64,
}

/// All changes below each other in so much width: a name that goes on below makes its row higher.
fn laid_out<'a>(
    reliefs: &Reliefs,
    rows: &'a [Ranked<'a>],
    figure: &Ranking,
    width: f64,
) -> (RowWidths, Vec<DrawnRow<'a>>) {
    let bold = Font::BODY.bold(true);
    let names: Vec<String> = (rows.iter())
        .map(|row| label(reliefs, row.relief))
        .collect();
    let figures: Vec<String> = rows.iter().map(|row| text(row, figure)).collect();
    let needed = figures.iter().map(|text| bold.size(SMALL).width(text));
    let needed = needed.fold(0.0, f64::max) + 14.0;
    let wide = names_width(names.iter().map(String::as_str), bold, width * NAMES);
    let widths = RowWidths {
        names: wide,
        axis: width - wide - needed,
        figures: needed,
    };
    let mut bottom = 0.0;
    let drawn = rows.iter().zip(names.into_iter().zip(figures));
    let drawn = drawn.map(|(of, (name, figure))| {
        let lines = wrap(&name, BODY, of.may_be_best, wide - 12.0, LINES);
        let top = bottom;
        bottom += ROW + LINE * (lines.len() - 1) as f64;
        DrawnRow {
            of,
            name,
            lines,
            figure,
            top,
            bottom,
        }
    });
    let drawn = drawn.collect();
    (widths, drawn)
}

impl DrawnRow<'_> {
    fn write(&self, canvas: &mut Canvas, y: f64, widths: &RowWidths) {
        let band = Area {
            x: MARGIN - 6.0,
            y: y + self.top,
            width: canvas.inner() + 12.0,
            height: self.bottom - self.top,
        };
        if self.of.may_be_best {
            canvas.fill(band, BAND);
        }
        let base = y + self.bottom;
        canvas.line((MARGIN, base), (canvas.right(), base), GRID, 0.5);
        let font = Font::BODY.bold(self.of.may_be_best);
        for (nth, line) in self.lines.iter().enumerate() {
            let middle = band.y + ROW / 2.0 + LINE * nth as f64;
            canvas.text(line, (MARGIN, middle), widths.names - 12.0, font);
        }
        let at = (canvas.right(), band.middle().1);
        let font = font.size(SMALL).align(Align::Right);
        canvas.text(&self.figure, at, widths.figures, font);
        canvas.describe(&format!("{}: {}.", self.name, self.figure));
    }
}

/// Bars and whiskers of the rows, over one axis.
fn bars(canvas: &mut Canvas, area: Area, rows: &[DrawnRow], ends: &Ends, figure: &Ranking) {
    // How far down the middle of a row lies, as a share of all.
    let down = |row: &DrawnRow| (row.top + row.bottom) / 2.0 / area.height;
    let half = BAR / 2.0 / area.height;
    let bars = rows.iter().map(|row| Bar {
        corners: [
            (0.0, down(row) - half),
            (row.of.difference.mean, down(row) + half),
        ],
        fill: row.of.fill(),
        edge: 0.75,
    });
    let intervals = rows.iter().filter_map(|row| {
        let (low, high) = (row.of.difference.low()?, row.of.difference.high()?);
        Some(Interval {
            ends: [(low, down(row)), (high, down(row))],
            half: BAR / 4.0,
        })
    });
    let (bars, intervals): (Vec<Bar>, Vec<Interval>) = (bars.collect(), intervals.collect());
    let axis = FigureAxis::around_zero((ends.least, ends.most), figure.unit);
    let marks = AxisMarks {
        figures: &format!("change of {}, {}", figure.what, figure.unit.sign),
        ..AxisMarks::default()
    };
    plot(canvas, area, (axis, RowAxis(1)), marks, |plot| {
        draw_all(plot, bars);
        draw_all(plot, intervals);
    });
}

/// Both ends of the axis: of all bars and whiskers, and zero.
struct Ends {
    least: f64,
    most: f64,
}

impl Ends {
    fn of(rows: &[Ranked]) -> Ends {
        let ends = rows.iter().flat_map(|row| {
            let Estimate { mean, .. } = row.difference;
            let (low, high) = (row.difference.low(), row.difference.high());
            [mean, low.unwrap_or(mean), high.unwrap_or(mean)]
        });
        ends.fold(
            Ends {
                least: 0.0,
                most: 0.0,
            },
            |ends, end| Ends {
                least: ends.least.min(end),
                most: ends.most.max(end),
            },
        )
    }
}

/// What is changed and how. Of rules and distances the change alone says both.
fn label(reliefs: &Reliefs, relief: &Relief) -> String {
    let trial = &relief.trial;
    let change = change_in_words(trial);
    let crew = &reliefs.findings.candidates[0].crew;
    match trial.edit.kind() {
        ReliefKind::Rule | ReliefKind::Layout => change,
        _ => format!("{}{JOINT}{change}", resource_in_words(trial, crew)),
    }
}

fn notes(reliefs: &Reliefs, figure: &Ranking, rows: &[Ranked], left_out: &[String]) -> String {
    let findings = &reliefs.findings;
    let name = findings.candidates.first().map_or("", |found| &found.name);
    let base = match rows.first() {
        Some(row) => format!(
            ", which is {} {}",
            number(row.base / figure.base_unit.per_unit),
            figure.base_unit.sign
        ),
        None => String::new(),
    };
    let is_at_a_cost = rows.iter().any(|row| row.relief.is_at_a_cost());
    let mut sentences = vec![format!(
        "\"{name}\": change of {}{base}, compared with the shop as it is, {}.",
        figure.what,
        played(findings)
    )];
    if findings.has_several_projects() && figure.what == LEAD_TIME {
        sentences.push(format!(
            "It is the mean over {}: that of each may change by more or by less.",
            orders(findings)
        ));
    }
    if rows.iter().any(|row| row.difference.half_width.is_some()) {
        sentences.push(format!(
            "The whisker is the {} interval; it covers chance only.",
            percent(findings.confidence)
        ));
    }
    if rows.iter().any(|row| row.may_be_best) {
        sentences.push("Bold on grey: may be the best change.".to_owned());
    }
    if is_at_a_cost {
        let fewer =
            "Fewer done: some project is finished less, so it counts as no help and ranks last.";
        sentences.push(fewer.to_owned());
    }
    if !left_out.is_empty() {
        sentences.push(format!("Not drawn: {}.", left_out.join(", ")));
    }
    let trials = rows.iter().map(|row| &row.relief.trial);
    sentences.extend(safely_of_all(trials).map(str::to_owned));
    sentences.join(" ")
}
