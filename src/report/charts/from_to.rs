//! How many metres are walked from each place to each other: one matrix for each candidate.

use std::collections::BTreeMap;

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{heading, names_width, played};
use super::quantity::short;
use super::style::{self, BODY, EDGE, GRID, MARGIN, WHITE, ink};
use super::text::{clean, fit_apart, wrap};
use super::{Chart, Picture, slug};
use crate::experiment::{CandidateFindings, Findings};
use crate::report::figure::{length_unit, number};

/// So wide a cell must be for its figure; places that do not find room are put together.
const CELL: f64 = 23.5;
/// Room for the names of the rows at most.
const NAMES: f64 = 190.0;
/// Room for the names of the columns at most.
const HEAD: f64 = 190.0;
/// Cells that are so wide are wide enough: what is left of the picture is for names.
const WIDE: f64 = 60.0;
const SUMS: f64 = 52.0;
const ROW: f64 = 20.0;
/// A line of a column's name.
const LINE: f64 = 15.0;

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    let room = style::width(scale) - 2.0 * MARGIN - NAMES - SUMS;
    let places = (room / CELL) as usize;
    let tables: Vec<FromTo> = (findings.candidates.iter())
        .map(|candidate| FromTo::of(candidate, places))
        .collect();
    // One scale of shades for all candidates, so that they can be laid beside each other.
    let most = tables.iter().map(FromTo::most).fold(0.0, f64::max);
    findings
        .candidates
        .iter()
        .zip(&tables)
        .enumerate()
        .map(|(index, (candidate, table))| {
            let title = format!("{}: {}", chart.title, candidate.name);
            let stem = format!("{}-{}{}", chart.stem, index + 1, slug(&candidate.name));
            Picture::of(stem, (&title, chart.about), scale, |canvas| {
                body(&title, findings, table, most, canvas)
            })
        })
        .collect()
}

/// Metres from place to place.
struct FromTo {
    places: Vec<String>,
    /// How many of the places are single ones; one may be all others together.
    single: usize,
    metres: Vec<Vec<f64>>,
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
        let index = |place: &str| {
            kept.iter()
                .position(|kept| *kept == place)
                .unwrap_or(kept.len())
        };
        for leg in legs() {
            metres[index(&leg.from)][index(&leg.to)] += leg.metres;
        }
        FromTo {
            single: kept.len(),
            places,
            metres,
        }
    }

    /// The most between two single places.
    fn most(&self) -> f64 {
        let rows = self.metres.iter().take(self.single);
        let metres = rows.flat_map(|row| row.iter().take(self.single));
        metres.copied().fold(0.0, f64::max)
    }

    fn sum_from(&self, row: usize) -> f64 {
        self.metres[row].iter().sum()
    }

    fn sum_to(&self, column: usize) -> f64 {
        self.metres.iter().map(|row| row[column]).sum()
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

fn body(title: &str, findings: &Findings, table: &FromTo, most: f64, canvas: &mut Canvas) -> f64 {
    let unit = length_unit(findings.units);
    let long = match unit.sign {
        "ft" => "Feet",
        _ => "Metres",
    };
    let mut notes = format!(
        "{long} walked, {}; rows from, columns to.",
        played(findings)
    );
    if most > 0.0 {
        let most = number(most / unit.per_unit);
        notes += &format!(
            " The darkest cell of all candidates is {most} {}.",
            unit.sign
        );
    }
    let top = heading(canvas, title, findings, &notes);
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
    if let Some((from, to, metres)) = most_walked {
        canvas.describe(&format!(
            "Most is walked from {} to {}: {} {}.",
            table.places[from],
            table.places[to],
            number(metres / unit.per_unit),
            unit.sign
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
    for (row, metres) in table.metres.iter().enumerate() {
        for (column, &metres) in metres.iter().enumerate() {
            let area = Area {
                x: left + cell * column as f64,
                y: first + ROW * row as f64,
                width: cell,
                height: ROW,
            };
            let share = if most > 0.0 { metres / most } else { 0.0 };
            let single = row < table.single && column < table.single;
            if metres > 0.0 && single {
                canvas.fill(area, shade(share));
            }
            canvas.outline(area, GRID, 0.5);
            if metres > 0.0 {
                let colour = ink(if single { shade(share) } else { WHITE });
                let font = figures.colour(colour).align(Align::Middle);
                let at = (area.x + cell / 2.0, area.y + ROW / 2.0);
                canvas.text(&short(metres / unit.per_unit), at, cell - 2.0, font);
            }
        }
    }
    let (right, bottom) = (left + cell * count as f64, first + ROW * count as f64);
    let whole = Area {
        x: left,
        y: first,
        width: right - left,
        height: bottom - first,
    };
    canvas.outline(whole, EDGE, 1.0);
    sums(canvas, table, whole, cell, figures, unit.per_unit);
    bottom + ROW + MARGIN
}

/// The names of the columns in lines that read level, if all of them have room over their cells.
fn level_heads(places: &[String], cell: f64) -> Option<Vec<Vec<String>>> {
    let heads = places.iter().map(|place| {
        let lines = wrap(place, BODY, false, cell - 8.0, 2);
        (lines.join(" ") == clean(place)).then_some(lines)
    });
    heads.collect()
}

/// Writes what each row and each column comes to, and all of them.
fn sums(canvas: &mut Canvas, table: &FromTo, whole: Area, cell: f64, font: Font, per_unit: f64) {
    let (right, bottom) = (whole.x + whole.width, whole.y + whole.height);
    let font = font.bold(true);
    for index in 0..table.places.len() {
        let y = whole.y + ROW * (index as f64 + 0.5);
        let text = short(table.sum_from(index) / per_unit);
        canvas.text(&text, (right + 6.0, y), SUMS - 6.0, font);
        let text = short(table.sum_to(index) / per_unit);
        let x = whole.x + cell * (index as f64 + 0.5);
        let at = (x, bottom + ROW / 2.0);
        canvas.text(&text, at, cell, font.align(Align::Middle));
    }
    let all = table.metres.iter().flatten().sum::<f64>() / per_unit;
    let text = match number(all) {
        text if font.width(&text) <= SUMS - 6.0 => text,
        _ => short(all),
    };
    let at = (right + 6.0, bottom + ROW / 2.0);
    canvas.text(&text, at, SUMS - 6.0, font);
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
