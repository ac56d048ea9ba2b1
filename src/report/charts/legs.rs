//! On which legs a candidate saves or adds walking against the base.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{heading, legend, names_width, played};
use super::plot::{AxisMarks, BELOW, Bar, FigureAxis, Label, RowAxis, draw as draw_all, plot};
use super::style::{ADDED, BODY, FAINT, GRID, MARGIN, SAVED, SMALL};
use super::text::{clean, pair, pairs_apart};
use super::{Chart, Picture, one};
use crate::experiment::{CandidateFindings, Comparison, Findings, Leg};
use crate::report::figure::{Shown, length_unit, number};

/// So many legs are shown of each comparison.
const LEGS: usize = 15;
const ROW: f64 = 20.0;
const BAR: f64 = 13.0;
const GAP: f64 = 30.0;
/// Two panels are beside each other only if each is at least so wide.
const NARROWEST: f64 = 380.0;
/// Room for a figure beside a bar.
const FIGURE: f64 = 80.0;

/// The share of a panel that names may take.
const NAMES: f64 = 0.45;
const JOINT: &str = " – ";
const LABEL: Font = Font {
    size: SMALL + 0.5,
    ..Font::BODY
};

/// Nothing is drawn without a second candidate.
pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    match findings.comparisons.is_empty() {
        true => Vec::new(),
        false => one(chart, scale, |canvas| body(chart, findings, canvas)),
    }
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let unit = length_unit(findings.units);
    let notes = format!(
        "Difference to the base in {}, {}; both directions of a leg together. At most {LEGS} legs with the largest \
         differences.{}",
        unit.sign,
        played(findings),
        match findings.comparisons.len() {
            1 => "",
            _ =>
                " All panels have one scale, so that they can be compared; short bars are small differences.",
        }
    );
    let panels: Vec<LegPanel> = findings
        .comparisons
        .iter()
        .filter_map(|comparison| LegPanel::of(findings, comparison))
        .collect();
    // All panels have one scale, so that their bars can be compared.
    let differences = || {
        panels
            .iter()
            .flat_map(|panel| &panel.legs)
            .map(|leg| leg.difference)
    };
    let sides = LargestDifferences {
        saved: -differences().fold(0.0, f64::min),
        added: differences().fold(0.0, f64::max),
    };
    let entries = [
        (sides.saved, SAVED, "saved against the base"),
        (sides.added, ADDED, "added against the base"),
    ];
    let shown: Vec<_> = (entries.iter())
        .filter(|(most, ..)| *most > 0.0)
        .map(|(_, fill, name)| (*fill, *name))
        .collect();
    let y = heading(canvas, chart.title, findings, &notes);
    let mut top = if shown.is_empty() {
        y
    } else {
        legend(canvas, y, &shown)
    };
    let inner = canvas.inner();
    let fitting = ((inner + GAP) / (NARROWEST + GAP)) as usize;
    let across = panels.len().min(2).min(fitting).max(1);
    // Names that would be cut have more room in panels below each other.
    let narrow = (inner - GAP) / 2.0;
    let is_cut = panels.iter().any(|panel| panel.is_cut(narrow));
    let across = if is_cut { 1 } else { across };
    let width = (inner - GAP * (across - 1) as f64) / across as f64;
    let columns = Columns::of(&panels, width, sides, unit);
    for band in panels.chunks(across) {
        let ends = band.iter().enumerate().map(|(index, panel)| {
            let area = Area {
                x: MARGIN + (width + GAP) * index as f64,
                y: top,
                width,
                height: 0.0,
            };
            panel.draw(canvas, area, &columns, unit)
        });
        top = ends.fold(top, f64::max) + 12.0;
    }
    top
}

/// The largest differences to either side of zero, in metres; not negative.
#[derive(Clone, Copy)]
struct LargestDifferences {
    saved: f64,
    added: f64,
}

/// Where the parts of every panel lie, from its left.
struct Columns {
    /// Room for the names of the legs.
    names: f64,
    /// Where the bars may begin, and how wide all of them are.
    begin: f64,
    wide: f64,
    axis: FigureAxis,
}

impl Columns {
    fn of(panels: &[LegPanel], width: f64, sides: LargestDifferences, unit: Shown) -> Columns {
        let labels: Vec<String> = (panels.iter())
            .flat_map(|panel| panel.labels(width))
            .collect();
        let names = names_width(labels.iter().map(String::as_str), LABEL, width * NAMES);
        let room = |most: f64| if most > 0.0 { FIGURE } else { 8.0 };
        let (before, after) = (room(sides.saved), room(sides.added));
        Columns {
            names,
            begin: names + before,
            wide: width - names - before - after,
            axis: FigureAxis::around_zero((-sides.saved, sides.added), unit),
        }
    }

    /// Where a difference lies.
    fn at(&self, metres: f64) -> f64 {
        self.begin + self.wide * self.axis.share(metres)
    }
}

/// A comparison of two candidates.
struct LegPanel<'a> {
    base: &'a str,
    other: &'a str,
    /// The largest first.
    legs: Vec<LegDifference<'a>>,
}

/// Metres of the other candidate minus the base's, between two places in either direction.
struct LegDifference<'a> {
    ends: (&'a str, &'a str),
    difference: f64,
}

impl<'a> LegPanel<'a> {
    fn of(findings: &'a Findings, comparison: &Comparison) -> Option<LegPanel<'a>> {
        let base = findings.candidates.get(comparison.base)?;
        let other = findings.candidates.get(comparison.other)?;
        Some(LegPanel {
            base: &base.name,
            other: &other.name,
            legs: differences(base, other),
        })
    }

    /// Whether some label has no room in a panel of this width.
    fn is_cut(&self, width: f64) -> bool {
        let room = width * NAMES - 20.0;
        let wide = |leg: &LegDifference| {
            LABEL.width(&clean(&format!("{}{JOINT}{}", leg.ends.0, leg.ends.1)))
        };
        self.legs.iter().any(|leg| wide(leg) > room)
    }

    fn labels(&self, width: f64) -> Vec<String> {
        let room = width * NAMES - 20.0;
        let ends: Vec<_> = self.legs.iter().map(|leg| leg.ends).collect();
        pairs_apart(&ends, JOINT, LABEL.shape(), &|_| room)
    }

    /// Draws it into a width and returns where it ends.
    fn draw(&self, canvas: &mut Canvas, area: Area, columns: &Columns, unit: Shown) -> f64 {
        let Area { x, y, width, .. } = area;
        let heading = Font::BODY.bold(true);
        let quotes = heading.width("\"\"");
        let room = width - quotes;
        let against = "\" against \"";
        let title = pair(self.other, self.base, against, heading.shape(), room);
        let title = format!("\"{title}\"");
        canvas.text(&title, (x, y + BODY / 2.0), width, heading);
        let top = y + BODY + 6.0;
        if self.legs.is_empty() {
            let font = Font::BODY.colour(FAINT);
            canvas.text("No leg differs.", (x, top + ROW / 2.0), width, font);
            return top + ROW;
        }
        // A name may go on as far as nothing is drawn in its row.
        let free = |index: usize| {
            let saved = self.legs[index].difference.min(0.0);
            let figure = if saved < 0.0 { FIGURE } else { 0.0 };
            (columns.at(saved) - figure - 8.0).max(columns.names - 8.0)
        };
        let ends: Vec<_> = self.legs.iter().map(|leg| leg.ends).collect();
        let labels = pairs_apart(&ends, JOINT, LABEL.shape(), &free);
        for (index, label) in labels.iter().enumerate() {
            let base = top + ROW * (index + 1) as f64;
            canvas.text(label, (x, base - ROW / 2.0), free(index), LABEL);
            canvas.line((x, base), (x + width, base), GRID, 0.5);
        }
        let (mut bars, mut figures) = (Vec::new(), Vec::new());
        for (row, leg) in self.legs.iter().enumerate() {
            let saved = leg.difference < 0.0;
            let fill = if saved { SAVED } else { ADDED };
            bars.push(Bar {
                edge: 0.0,
                ..Bar::level((0.0, leg.difference), row, BAR / ROW, fill)
            });
            let font = Font::BODY.size(SMALL);
            let (sign, aside, font) = match saved {
                true => ("−", -6.0, font.align(Align::Right)),
                false => ("+", 6.0, font),
            };
            figures.push(Label {
                place: [(leg.difference, row as f64 + 0.5)],
                aside: (aside, 0.0),
                text: format!("{sign}{}", number(leg.difference.abs() / unit.per_unit)),
                room: FIGURE - 8.0,
                font,
            });
        }
        canvas.describe(&self.described(unit));
        let area = Area {
            x: x + columns.begin,
            y: top,
            width: columns.wide,
            height: ROW * self.legs.len() as f64,
        };
        let marks = AxisMarks {
            figures: &format!("{} walked, less or more than on the base", unit.sign),
            ..AxisMarks::default()
        };
        let axes = (columns.axis.clone(), RowAxis(self.legs.len()));
        plot(canvas, area, axes, marks, |plot| {
            draw_all(plot, bars);
            draw_all(plot, figures);
        });
        area.y + area.height + BELOW
    }

    /// Its largest difference in a sentence.
    fn described(&self, unit: Shown) -> String {
        self.legs.first().map_or_else(String::new, |leg| {
            let more = if leg.difference < 0.0 { "less" } else { "more" };
            let figure = number(leg.difference.abs() / unit.per_unit);
            let (from, to) = leg.ends;
            format!(
                "On \"{}\" {figure} {} {more} is walked between {from} and {to} than on \"{}\".",
                self.other, unit.sign, self.base
            )
        })
    }
}

/// The legs that differ, largest difference first and otherwise in their order.
fn differences<'a>(
    base: &'a CandidateFindings,
    other: &'a CandidateFindings,
) -> Vec<LegDifference<'a>> {
    let mut sums: Vec<LegDifference> = Vec::new();
    let mut add = |leg: &'a Leg, sign: f64| {
        let ends = (leg.from.as_str(), leg.to.as_str());
        let turned = (ends.1, ends.0);
        let found = sums
            .iter_mut()
            .find(|sum| sum.ends == ends || sum.ends == turned);
        match found {
            Some(sum) => sum.difference += sign * leg.metres,
            None => sums.push(LegDifference {
                ends,
                difference: sign * leg.metres,
            }),
        }
    };
    base.legs.iter().for_each(|leg| add(leg, -1.0));
    other.legs.iter().for_each(|leg| add(leg, 1.0));
    // Less than a millimetre comes of rounding, not of the layout.
    sums.retain(|sum| sum.difference.abs() >= 1e-3);
    sums.sort_by(|a, b| b.difference.abs().total_cmp(&a.difference.abs()));
    sums.truncate(LEGS);
    sums
}
