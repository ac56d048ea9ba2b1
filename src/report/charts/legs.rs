//! Between which places a layout saves or adds walking, compared with the base.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Bar, Label};
use super::frame::{heading, legend, names_width, orders, played};
use super::meaning::{LESS, MORE};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::quantity::{decimals, whole};
use super::style::{BODY, FAINT, GRID, MARGIN, SMALL};
use super::text::{clean, pair, pairs_apart};
use super::{Chart, ChartSize, Picture, nobody_walks, one};
use crate::experiment::{CandidateFindings, Comparison, Findings, Leg};
use crate::report::figure::{Shown, fixed, length_unit, number};
use crate::report::sentence::listed;

/// So many trips are shown of each comparison.
const LEGS: usize = 15;
/// Differences below this share of the longest are left out.
const LEAST: f64 = 0.01;
const ROW: f64 = 20.0;
const BAR: f64 = 13.0;
const GAP: f64 = 30.0;
/// Two panels are beside each other only if each is at least so wide.
const NARROWEST: f64 = 380.0;
/// Room around a figure beside a bar.
const ASIDE: f64 = 14.0;

/// The share of a panel that names may take.
const NAMES: f64 = 0.45;
const JOINT: &str = " – ";
const LABEL: Font = Font {
    size: SMALL + 0.5,
    ..Font::BODY
};

/// Nothing is drawn without a second candidate.
pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    match findings.comparisons.is_empty() || nobody_walks(findings) {
        true => Vec::new(),
        false => one(chart, size, |canvas| body(chart, findings, canvas)),
    }
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let unit = length_unit(findings.units);
    let long = match unit.sign {
        "ft" => "feet",
        _ => "metres",
    };
    let mut notes = format!(
        "Difference from the base, in {long} for {}, {}; both directions together. There is an interval only \
         for all walking together.",
        orders(findings),
        played(findings),
    );
    let (panels, left_out) = panels(findings);
    if left_out > 0 {
        let least = whole(LEAST * 100.0);
        notes += &format!(" Differences below {least} % of the largest are left out");
        let is_full = panels.iter().any(|panel| panel.legs.len() == LEGS);
        notes += &match is_full {
            true => format!(", and all but {LEGS} of each layout."),
            false => ".".to_owned(),
        };
    }
    if panels.len() > 1 {
        notes += " All panels have one scale.";
    }
    if panels
        .iter()
        .any(|panel| !panel.legs.is_empty() && panel.moves_nothing)
    {
        notes += " Where nothing stands elsewhere, trips differ because work is done in another order, by somebody else \
                  or with more at a time.";
    }
    let unlike: Vec<String> = (panels.iter())
        .filter(|panel| panel.legs.is_empty())
        .map(|panel| format!("\"{}\"", panel.other))
        .collect();
    if !unlike.is_empty() && unlike.len() < panels.len() {
        notes += &format!(" No trip differs in {}.", listed(&unlike, "or"));
    }
    let all_alike = unlike.len() == panels.len();
    let panels: Vec<LegPanel> = (panels.into_iter())
        .filter(|panel| all_alike || !panel.legs.is_empty())
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
        (sides.saved, LESS.called("less than in the base")),
        (sides.added, MORE.called("more than in the base")),
    ];
    let shown: Vec<_> = (entries.iter())
        .filter(|(most, _)| *most > 0.0)
        .map(|(_, meaning)| *meaning)
        .collect();
    let y = heading(canvas, chart.title, &findings.title, &notes);
    let mut top = if shown.is_empty() {
        y
    } else {
        legend(canvas, y, &shown)
    };
    canvas.header_ends(top);
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
        canvas.may_break(top);
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
    figures: LegFigures,
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
        let figures = LegFigures::of(sides, unit);
        let room = |most: f64| if most > 0.0 { figures.room } else { 8.0 };
        let (before, after) = (room(sides.saved), room(sides.added));
        Columns {
            names,
            figures,
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

/// How differences are written: with one number of digits, so that they can be compared.
#[derive(Clone, Copy)]
struct LegFigures {
    digits: usize,
    unit: Shown,
    /// For the longest of them beside a bar.
    room: f64,
}

impl LegFigures {
    const FONT: Font = Font {
        size: SMALL,
        ..Font::BODY
    };

    fn of(sides: LargestDifferences, unit: Shown) -> LegFigures {
        let largest = sides.saved.max(sides.added) / unit.per_unit;
        let digits = decimals(largest);
        let figures = LegFigures {
            digits,
            unit,
            room: 0.0,
        };
        let wide = |metres: f64| LegFigures::FONT.width(&figures.written(metres));
        LegFigures {
            room: wide(-sides.saved).max(wide(sides.added)) + ASIDE,
            ..figures
        }
    }

    /// With its sign.
    fn written(&self, metres: f64) -> String {
        let sign = if metres < 0.0 { "−" } else { "+" };
        let figure = fixed(metres.abs() / self.unit.per_unit, self.digits);
        format!("{sign}{figure} {}", self.unit.sign)
    }
}

/// A comparison of two candidates.
struct LegPanel<'a> {
    base: &'a str,
    other: &'a str,
    /// Whether no place is farther from any other than in the base, on the trips of both.
    moves_nothing: bool,
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
            moves_nothing: moves_nothing(base, other),
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
        let against = "\" compared with \"";
        let title = pair(self.other, self.base, against, heading.shape(), room);
        let title = format!("\"{title}\"");
        canvas.text(&title, (x, y + BODY / 2.0), width, heading);
        let top = y + BODY + 6.0;
        if self.legs.is_empty() {
            let font = Font::BODY.colour(FAINT);
            canvas.text("No trip differs.", (x, top + ROW / 2.0), width, font);
            return top + ROW;
        }
        // A name may go on as far as nothing is drawn in its row.
        let free = |index: usize| {
            let saved = self.legs[index].difference.min(0.0);
            let figure = if saved < 0.0 {
                columns.figures.room
            } else {
                0.0
            };
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
            let fill = if saved { LESS.fill } else { MORE.fill };
            bars.push(Bar {
                edge: 0.0,
                ..Bar::level((0.0, leg.difference), row, BAR / ROW, fill)
            });
            let (aside, font) = match saved {
                true => (-6.0, LegFigures::FONT.align(Align::Right)),
                false => (6.0, LegFigures::FONT),
            };
            figures.push(Label {
                place: [(leg.difference, row as f64 + 0.5)],
                aside: (aside, 0.0),
                text: columns.figures.written(leg.difference),
                room: columns.figures.room - 8.0,
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
            figures: &format!("{} walked, compared with the base", unit.sign),
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

/// All comparisons, without what is too short to be seen beside the longest, and how many differences are left out.
fn panels(findings: &Findings) -> (Vec<LegPanel<'_>>, usize) {
    let comparisons = findings.comparisons.iter();
    let mut panels: Vec<LegPanel> = comparisons
        .filter_map(|comparison| LegPanel::of(findings, comparison))
        .collect();
    let all = panels.iter().flat_map(|panel| &panel.legs);
    let longest = all.map(|leg| leg.difference.abs()).fold(0.0, f64::max);
    let count = |panels: &[LegPanel]| panels.iter().map(|panel| panel.legs.len()).sum::<usize>();
    let before = count(&panels);
    for panel in &mut panels {
        panel
            .legs
            .retain(|leg| leg.difference.abs() >= LEAST * longest);
        panel.legs.truncate(LEGS);
    }
    let left = before - count(&panels);
    (panels, left)
}

/// Whether every trip that both have is as long in both.
fn moves_nothing(base: &CandidateFindings, other: &CandidateFindings) -> bool {
    const SAME_M: f64 = 1e-6;
    let length = |leg: &Leg| (leg.trips > 0.0).then(|| leg.metres / leg.trips);
    other.legs.iter().all(|leg| {
        let same = |known: &&Leg| known.places == leg.places && known.manner == leg.manner;
        let known = base.legs.iter().find(same);
        let lengths = known.and_then(|known| Some((length(known)?, length(leg)?)));
        lengths.is_none_or(|(one, another)| (one - another).abs() <= SAME_M)
    })
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
    sums
}
