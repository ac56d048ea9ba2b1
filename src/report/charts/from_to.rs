//! How far and how often people walk from each place to each other: one matrix for each layout.

use std::collections::BTreeMap;

use super::canvas::{Align, Area, Canvas, Font};
use super::cell_format::CellFormat;
use super::elements::{Bar, Label};
use super::frame::{heading, names_width, orders, played};
use super::plot::{draw as draw_all, matrix};
use super::style::{BODY, EDGE, FAINT, Fill, MARGIN, WHITE, ink};
use super::text::{clean, fit_apart, wrap};
use super::{Chart, ChartSize, Picture, nobody_walks, slug};
use crate::experiment::{CandidateFindings, Findings};
use crate::report::figure::length_unit;

/// So wide a cell must be for its figure; places that do not find room are put together.
const CELL: f64 = 23.5;
/// Room for the names of the rows at most.
const NAMES: f64 = 190.0;
/// Room for the names of the columns at most.
const HEAD: f64 = 190.0;
/// Cells that are so wide are wide enough: what is left of the picture is for names.
const WIDE: f64 = 60.0;
const SUMS: f64 = 52.0;
/// Metres above, trips below.
const ROW: f64 = 28.0;
/// How far the two figures of a cell lie from its middle.
const ASIDE: f64 = 6.0;
/// A line of a column's name.
const LINE: f64 = 15.0;

pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    if nobody_walks(findings) {
        return Vec::new();
    }
    let room = size.width() - 2.0 * MARGIN - NAMES - SUMS;
    let places = (room / CELL) as usize;
    let tables: Vec<FromTo> = (findings.candidates.iter())
        .map(|candidate| FromTo::of(candidate, places))
        .collect();
    // One scale of shades and one number of decimals for all layouts, so that they can be laid beside each other.
    let unit = length_unit(findings.units);
    let formats = [
        CellFormat::metres(&all_of(&tables, |table| &table.metres), unit),
        CellFormat::trips(&all_of(&tables, |table| &table.trips)),
    ];
    let tables: Vec<(FromTo, ShownFigures)> = tables
        .into_iter()
        .map(|table| {
            let shown = ShownFigures::of(&table, formats);
            (table, shown)
        })
        .collect();
    let mut darkest = Darkest::default();
    for (table, shown) in &tables {
        darkest.look_at(table, shown);
    }
    let mut pictures = Vec::new();
    for (index, (candidate, (table, shown))) in findings.candidates.iter().zip(&tables).enumerate()
    {
        // Layouts on which the same is walked have one picture.
        if tables[..index].iter().any(|(other, _)| other == table) {
            continue;
        }
        let alike = findings.candidates.iter().zip(&tables);
        let names: Vec<&str> = alike
            .filter(|(_, (other, _))| other == table)
            .map(|(found, _)| found.name.as_str())
            .collect();
        let title = format!("{} – {}", chart.title, names.join(" · "));
        let stem = format!("{}-{}{}", chart.stem, index + 1, slug(&candidate.name));
        pictures.extend(Picture::of(stem, (&title, chart.about), size, |canvas| {
            body(&title, findings, (table, shown), &darkest, canvas)
        }));
    }
    pictures
}

/// Metres and trips from place to place.
#[derive(PartialEq)]
struct FromTo {
    places: Vec<String>,
    /// How many of the places are single ones; one may be all others together.
    single: usize,
    metres: Vec<Vec<f64>>,
    trips: Vec<Vec<f64>>,
}

impl FromTo {
    /// A table of so many places at most.
    fn of(candidate: &CandidateFindings, most: usize) -> FromTo {
        let mut walked: BTreeMap<&str, f64> = BTreeMap::new();
        let mut order: Vec<&str> = Vec::new();
        let stations = candidate
            .stations
            .iter()
            .map(|station| station.name.as_str());
        let legs = || candidate.legs.iter().filter(|leg| leg.metres > 0.0);
        for leg in legs() {
            for end in [&leg.from, &leg.to] {
                *walked.entry(end).or_default() += leg.metres;
            }
        }
        let ends = legs().flat_map(|leg| [leg.from.as_str(), leg.to.as_str()]);
        for place in stations.chain(ends) {
            if walked.contains_key(place) && !order.contains(&place) {
                order.push(place);
            }
        }
        let kept = keep(&order, &walked, most);
        let rest = order.len() - kept.len();
        let mut places: Vec<String> = kept.iter().map(|place| place.to_string()).collect();
        if rest > 0 {
            places.push(format!("{rest} other places"));
        }
        let mut metres = vec![vec![0.0; places.len()]; places.len()];
        let mut trips = metres.clone();
        let index = |place: &str| {
            kept.iter()
                .position(|kept| *kept == place)
                .unwrap_or(kept.len())
        };
        for leg in legs() {
            let (from, to) = (index(&leg.from), index(&leg.to));
            metres[from][to] += leg.metres;
            trips[from][to] += leg.trips;
        }
        FromTo {
            single: kept.len(),
            places,
            metres,
            trips,
        }
    }
}

/// The figures of all tables.
fn all_of(tables: &[FromTo], figures: fn(&FromTo) -> &Vec<Vec<f64>>) -> Vec<f64> {
    let cells = tables
        .iter()
        .flat_map(|table| figures(table).iter().flatten());
    cells.copied().collect()
}

/// What stands in a picture: cells, the sums of rows behind them and those of columns below.
struct ShownFigures {
    metres: Vec<Vec<String>>,
    trips: Vec<Vec<String>>,
}

impl ShownFigures {
    fn of(table: &FromTo, [metres, trips]: [CellFormat; 2]) -> ShownFigures {
        ShownFigures {
            metres: metres.written(&table.metres),
            trips: trips.written(&table.trips),
        }
    }
}

/// The most between two single places of any layout, as it is and as it is shown.
#[derive(Default)]
struct Darkest {
    metres: f64,
    shown: String,
}

impl Darkest {
    fn look_at(&mut self, table: &FromTo, shown: &ShownFigures) {
        for row in 0..table.single {
            for column in 0..table.single {
                if table.metres[row][column] > self.metres {
                    self.metres = table.metres[row][column];
                    self.shown.clone_from(&shown.metres[row][column]);
                }
            }
        }
    }
}

/// The places with most walking, in their order.
fn keep<'a>(order: &[&'a str], walked: &BTreeMap<&str, f64>, most: usize) -> Vec<&'a str> {
    if order.len() <= most {
        return order.to_vec();
    }
    let mut by_walking: Vec<usize> = (0..order.len()).collect();
    by_walking.sort_by(|&a, &b| {
        walked[order[b]]
            .total_cmp(&walked[order[a]])
            .then(a.cmp(&b))
    });
    by_walking.truncate(most.saturating_sub(1));
    by_walking.sort_unstable();
    by_walking.into_iter().map(|index| order[index]).collect()
}

fn body(
    title: &str,
    findings: &Findings,
    (table, shown): (&FromTo, &ShownFigures),
    darkest: &Darkest,
    canvas: &mut Canvas,
) -> f64 {
    let unit = length_unit(findings.units);
    let long = match unit.sign {
        "ft" => "Feet",
        _ => "Metres",
    };
    let mut notes = format!(
        "{long} walked and, below them, trips (×) for {}, {}; rows from, columns to. Figures are rounded so that they add up.",
        orders(findings),
        played(findings)
    );
    if darkest.metres > 0.0 {
        notes += &format!(
            " The darkest cell of all layouts is {} {}.",
            darkest.shown, unit.sign
        );
    }
    let top = heading(canvas, title, &findings.title, &notes);
    if table.places.is_empty() {
        let room = canvas.inner();
        canvas.text("Nobody walked.", (MARGIN, top + BODY), room, Font::BODY);
        return top + 2.0 * BODY + MARGIN;
    }
    let mut most_walked: Option<(usize, usize, f64)> = None;
    for (row, metres) in table.metres.iter().enumerate() {
        for (column, &metres) in metres.iter().enumerate() {
            if most_walked.is_none_or(|most| metres > most.2) {
                most_walked = Some((row, column, metres));
            }
        }
    }
    if let Some((from, to, _)) = most_walked {
        canvas.describe(&format!(
            "Most is walked from {} to {}: {} {}.",
            table.places[from], table.places[to], shown.metres[from][to], unit.sign
        ));
    }
    let count = table.places.len();
    let places = || table.places.iter().map(String::as_str);
    let most_names = (canvas.inner() - SUMS - WIDE * count as f64).max(NAMES);
    let names = names_width(places(), Font::BODY, most_names);
    let listed: Vec<&str> = places().collect();
    let written = fit_apart(&listed, Font::BODY.shape(), names - 8.0);
    let cell = (canvas.inner() - names - SUMS) / count as f64;
    let level = level_heads(&table.places, cell);
    let head = match &level {
        Some(heads) => {
            let lines = heads.iter().map(Vec::len).max().unwrap_or(1);
            LINE * lines as f64 + 8.0
        }
        None => names_width(places(), Font::BODY, HEAD),
    };
    let upright = fit_apart(&listed, Font::BODY.shape(), head - 12.0);
    let (left, first) = (MARGIN + names, top + head);
    let figures = Font::BODY.size((cell * 0.34).clamp(8.0, 11.0));
    for (index, place) in written.iter().enumerate() {
        let x = left + cell * (index as f64 + 0.5);
        match &level {
            Some(heads) => {
                let name = Font::BODY.align(Align::Middle);
                for (above, line) in heads[index].iter().rev().enumerate() {
                    let y = first - 4.0 - LINE * (above as f64 + 0.5);
                    canvas.text(line, (x, y), cell, name);
                }
            }
            None => {
                let name = &upright[index];
                canvas.text_upward(name, (x, first - 6.0), head - 12.0, Font::BODY);
            }
        }
        let y = first + ROW * (index as f64 + 0.5);
        let name = Font::BODY.align(Align::Right);
        canvas.text(place, (left - 8.0, y), names - 8.0, name);
    }
    let whole = Area {
        x: left,
        y: first,
        width: cell * count as f64,
        height: ROW * count as f64,
    };
    cells(canvas, (table, shown), whole, (cell, figures, darkest));
    canvas.outline(whole, EDGE, 1.0);
    sums(canvas, shown, whole, (cell, figures));
    whole.y + whole.height + ROW + MARGIN
}

/// What is walked from each place to each other, darker where it is more.
fn cells(
    canvas: &mut Canvas,
    (table, shown): (&FromTo, &ShownFigures),
    whole: Area,
    (cell, figures, darkest): (f64, Font, &Darkest),
) {
    let (mut shades, mut labels) = (Vec::new(), Vec::new());
    for (row, metres) in table.metres.iter().enumerate() {
        for (column, &metres) in metres
            .iter()
            .enumerate()
            .filter(|(_, metres)| **metres > 0.0)
        {
            let share = match darkest.metres {
                most if most > 0.0 => metres / most,
                _ => 0.0,
            };
            let single = row < table.single && column < table.single;
            let colour = if single { shade(share) } else { WHITE };
            let (x, y) = (column as f64, row as f64);
            shades.push(Bar {
                corners: [(x, y), (x + 1.0, y + 1.0)],
                fill: Fill::plain(colour),
                edge: 0.0,
            });
            let label = |text: String, aside: f64, font: Font| Label {
                place: [(x + 0.5, y + 0.5)],
                aside: (0.0, aside),
                text,
                room: cell - 2.0,
                font: font.colour(ink(colour)).align(Align::Middle),
            };
            labels.push(label(shown.metres[row][column].clone(), -ASIDE, figures));
            let trips = shown.trips[row][column].clone();
            labels.push(label(trips, ASIDE, figures.size(figures.size * 0.85)));
        }
    }
    let count = table.places.len();
    matrix(canvas, whole, (count, count), |plot| {
        draw_all(plot, shades);
        draw_all(plot, labels);
    });
}

/// The names of the columns in lines that read level, if all of them have room over their cells.
fn level_heads(places: &[String], cell: f64) -> Option<Vec<Vec<String>>> {
    let heads = places.iter().map(|place| {
        let lines = wrap(place, BODY, false, cell - 8.0, 2);
        (lines.join(" ") == clean(place)).then_some(lines)
    });
    heads.collect()
}

/// Writes what each row and each column comes to, and all of them, which is the figure that other charts and the answer
/// say.
fn sums(canvas: &mut Canvas, shown: &ShownFigures, whole: Area, (cell, font): (f64, Font)) {
    let (right, bottom) = (whole.x + whole.width, whole.y + whole.height);
    for (figures, aside, font) in [
        (&shown.metres, -ASIDE, font.bold(true)),
        (
            &shown.trips,
            ASIDE,
            font.size(font.size * 0.85).colour(FAINT),
        ),
    ] {
        let Some((below, rows)) = figures.split_last() else {
            continue;
        };
        for (index, row) in rows.iter().enumerate() {
            let middle = whole.y + ROW * (index as f64 + 0.5) + aside;
            canvas.text(&row[rows.len()], (right + 6.0, middle), SUMS - 6.0, font);
            let x = whole.x + cell * (index as f64 + 0.5);
            let at = (x, bottom + ROW / 2.0 + aside);
            canvas.text(&below[index], at, cell, font.align(Align::Middle));
        }
        let at = (right + 6.0, bottom + ROW / 2.0 + aside);
        canvas.text(&below[rows.len()], at, SUMS - 6.0, font);
    }
    let name = Font::BODY.bold(true).align(Align::Right);
    canvas.text("all", (whole.x - 8.0, bottom + ROW / 2.0), 60.0, name);
    let name = Font::BODY.bold(true);
    canvas.text("all", (right + 6.0, whole.y - 12.0), SUMS, name);
}

/// From nearly white to dark blue; the lightness falls evenly, so it reads in black and white too.
fn shade(share: f64) -> (u8, u8, u8) {
    let mix =
        |light: f64, dark: f64| (light + (dark - light) * share.clamp(0.0, 1.0)).round() as u8;
    (mix(232.0, 0.0), mix(241.0, 62.0), mix(250.0, 118.0))
}
