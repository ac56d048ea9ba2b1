//! What each change of the relief experiment brings, best first.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Bar, Interval};
use super::frame::{heading, legend, names_width, played};
use super::meaning::{LESS, MORE, Meaning, UNSHOWN};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::style::{BAND, BODY, GRID, MARGIN, SMALL};
use super::text::pair;
use super::{ChartSize, Picture, ReliefChart, single};
use crate::experiment::{Goal, Relief, ReliefKind, Reliefs};
use crate::report::difference::is_shown;
use crate::report::figure::{Shown, number, percent, time_unit};
use crate::report::relief::{change_in_words, resource_in_words, safely_of_all};
use crate::statistics::{Estimate, Paired};

/// So many changes are drawn: the best, and the most harmful of the others.
const ROWS: usize = 25;
const HARMFUL: usize = 4;
const ROW: f64 = 20.0;
const BAR: f64 = 13.0;
/// The share of the picture that names may take.
const NAMES: f64 = 0.4;
/// No row is needed for a change that is certainly smaller than this share of the base.
const NOTICED: f64 = 1e-4;
const JOINT: &str = ": ";
/// A share that is written so is left out.
const NO_PERCENT: &str = "0 %";

pub fn draw(chart: &ReliefChart, reliefs: &Reliefs, size: ChartSize) -> Vec<Picture> {
    single((chart.stem, chart.title, chart.about), size, |canvas| {
        body(chart, reliefs, canvas)
    })
}

/// Which figure is drawn, and how.
struct Ranking {
    what: &'static str,
    unit: Shown,
    /// Of the shop as it is.
    base_unit: Shown,
    better: &'static str,
    worse: &'static str,
    of: fn(&Relief) -> Option<Paired>,
}

impl Ranking {
    fn of(reliefs: &Reliefs) -> Ranking {
        match reliefs.goal {
            Goal::LeadTime => {
                let of = |relief: &Relief| relief.lead_time;
                let largest = largest(reliefs.list.iter().filter_map(of));
                let base = reliefs.list.iter().find_map(of);
                Ranking {
                    what: "lead time",
                    unit: time_unit(largest),
                    base_unit: time_unit(base.map_or(0.0, |base| base.base_mean)),
                    better: "shorter",
                    worse: "longer",
                    of,
                }
            }
            Goal::Throughput => {
                let of = |relief: &Relief| Some(relief.throughput);
                let base = reliefs.list.first().and_then(of);
                let is_fast = base.is_some_and(|base| base.base_mean >= 1.0);
                let (sign, per_unit) = if is_fast {
                    ("/h", 1.0)
                } else {
                    ("/d", 1.0 / 24.0)
                };
                Ranking {
                    what: "throughput, in orders",
                    unit: Shown { per_unit, sign },
                    base_unit: Shown { per_unit, sign },
                    better: "more",
                    worse: "less",
                    of,
                }
            }
        }
    }
}

/// The farthest end of any interval from zero.
fn largest(differences: impl Iterator<Item = Paired>) -> f64 {
    let ends = differences.map(|paired| {
        let half_width = paired.difference.half_width.unwrap_or(0.0);
        paired.difference.mean.abs() + half_width
    });
    ends.fold(0.0, f64::max)
}

/// A change that is drawn.
struct Ranked<'a> {
    relief: &'a Relief,
    difference: Estimate,
    base: f64,
    is_better: bool,
    may_be_best: bool,
}

/// The changes that are drawn, and what is to be said of the others.
fn rows<'a>(reliefs: &'a Reliefs, figure: &Ranking) -> (Vec<Ranked<'a>>, Vec<String>) {
    let (mut unmeasured, mut without_effect) = (0, 0);
    let mut rows = Vec::new();
    for (index, relief) in reliefs.list.iter().enumerate() {
        let Some(paired) = (figure.of)(relief) else {
            unmeasured += 1;
            continue;
        };
        if largest([paired].into_iter()) <= NOTICED * paired.base_mean.abs() {
            without_effect += 1;
            continue;
        }
        let towards = relief.towards(reliefs.goal);
        rows.push(Ranked {
            relief,
            difference: paired.difference,
            base: paired.base_mean,
            is_better: towards.is_some_and(|towards| towards.mean < 0.0),
            may_be_best: reliefs.in_question.contains(&index),
        });
    }
    let mut left_out = Vec::new();
    if without_effect > 0 {
        left_out.push(format!(
            "{without_effect} with a change of less than {} %",
            NOTICED * 100.0
        ));
    }
    if unmeasured > 0 {
        left_out.push(format!("{unmeasured} with which no order is done"));
    }
    if rows.len() > ROWS {
        // What makes it worse is a lesson too.
        let is_harmful = |row: &Ranked| !row.is_better && is_shown(&row.difference);
        let harmful = (rows[ROWS - HARMFUL..].iter().rev())
            .take_while(|row| is_harmful(row))
            .take(HARMFUL)
            .count();
        let rest: Vec<Ranked> = rows.drain(ROWS - harmful..rows.len() - harmful).collect();
        let means = || {
            rest.iter()
                .map(|row| row.difference.mean / figure.unit.per_unit)
        };
        let (least, most) = (
            means().fold(f64::INFINITY, f64::min),
            means().fold(f64::NEG_INFINITY, f64::max),
        );
        let worse = rest.iter().filter(|row| is_harmful(row)).count();
        let range = match rest.len() {
            1 => signed(most),
            _ => format!("{} to {}", signed(least), signed(most)),
        };
        let shown = match worse {
            0 => String::new(),
            worse => format!("; {worse} shown to be {}", figure.worse),
        };
        let (count, unit) = (rest.len(), figure.unit.sign);
        left_out.push(format!("{count} between these ({range} {unit}{shown})"));
    }
    (rows, left_out)
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
    // Less is what helps; of throughput it is more.
    let look = |row: &Ranked| match (is_shown(&row.difference), row.is_better) {
        (false, _) => UNSHOWN.fill,
        (true, true) => LESS.fill,
        (true, false) => MORE.fill,
    };
    let entries = [
        LESS.called(figure.better),
        MORE.called(figure.worse),
        UNSHOWN,
    ];
    let shown: Vec<Meaning> = (entries.into_iter())
        .filter(|meaning| rows.iter().any(|row| look(row) == meaning.fill))
        .collect();
    let y = legend(canvas, y, &shown);
    canvas.header_ends(y);

    let names: Vec<String> = (rows.iter())
        .map(|row| label(reliefs, row.relief, Font::BODY, f64::INFINITY))
        .collect();
    let bold = Font::BODY.bold(true);
    let names = names_width(
        names.iter().map(String::as_str),
        bold,
        canvas.inner() * NAMES,
    );
    let figures: Vec<String> = rows.iter().map(|row| text(row, &figure)).collect();
    let small = Font::BODY.size(SMALL);
    let room = (figures.iter())
        .map(|figures| small.bold(true).width(figures) + 14.0)
        .fold(0.0, f64::max);
    let area = Area {
        x: MARGIN + names,
        y,
        width: canvas.inner() - names - room,
        height: ROW * rows.len() as f64,
    };
    for (index, row) in rows.iter().enumerate() {
        let band = Area {
            x: MARGIN - 6.0,
            y: y + ROW * index as f64,
            width: canvas.inner() + 12.0,
            height: ROW,
        };
        if row.may_be_best {
            canvas.fill(band, BAND);
        }
        let base = band.y + ROW;
        canvas.line((MARGIN, base), (canvas.right(), base), GRID, 0.5);
    }
    let ends = rows.iter().flat_map(|row| {
        let of = &row.difference;
        [
            of.mean,
            of.low().unwrap_or(of.mean),
            of.high().unwrap_or(of.mean),
        ]
    });
    let (least, most) = ends.fold((0.0, 0.0), |(least, most): (f64, f64), end| {
        (least.min(end), most.max(end))
    });
    for (index, row) in rows.iter().enumerate() {
        let middle = y + ROW * (index as f64 + 0.5);
        let font = Font::BODY.bold(row.may_be_best);
        let label = label(reliefs, row.relief, font, names - 12.0);
        canvas.text(&label, (MARGIN, middle), names - 12.0, font);
        let font = small.bold(row.may_be_best).align(Align::Right);
        canvas.text(&figures[index], (canvas.right(), middle), room, font);
        canvas.describe(&format!(
            "{}: {}.",
            self::label(reliefs, row.relief, font, f64::INFINITY),
            figures[index]
        ));
    }
    let bars = rows
        .iter()
        .enumerate()
        .map(|(index, row)| Bar::level((0.0, row.difference.mean), index, BAR / ROW, look(row)));
    let intervals = rows.iter().enumerate().filter_map(|(index, row)| {
        let (low, high) = (row.difference.low()?, row.difference.high()?);
        let middle = index as f64 + 0.5;
        Some(Interval {
            ends: [(low, middle), (high, middle)],
            half: BAR / 4.0,
        })
    });
    let (bars, intervals): (Vec<Bar>, Vec<Interval>) = (bars.collect(), intervals.collect());
    let axis = FigureAxis::around_zero((least, most), figure.unit);
    let marks = AxisMarks {
        figures: &format!("change of {}, {}", figure.what, figure.unit.sign),
        ..AxisMarks::default()
    };
    plot(canvas, area, (axis, RowAxis(rows.len())), marks, |plot| {
        draw_all(plot, bars);
        draw_all(plot, intervals);
    });
    y + area.height + BELOW + MARGIN / 2.0
}

/// What is changed and how, cut to the room. Of rules and distances the change alone says both.
fn label(reliefs: &Reliefs, relief: &Relief, font: Font, room: f64) -> String {
    let trial = &relief.trial;
    let change = change_in_words(trial);
    let crew = &reliefs.findings.candidates[0].crew;
    match trial.edit.kind() {
        ReliefKind::Rule | ReliefKind::Layout => change,
        _ => {
            let what = resource_in_words(trial, crew);
            // Where there is no room for that, fewer words are better than cut ones.
            let is_wide = font.width(&format!("{what}{JOINT}{change}")) > room;
            let change = match is_wide {
                true => change.replace(", mostly drying", ", drying"),
                false => change,
            };
            pair(what, &change, JOINT, font.shape(), room)
        }
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

/// The difference in the figure's unit and as a share of the base.
fn text(row: &Ranked, figure: &Ranking) -> String {
    let mean = row.difference.mean;
    let difference = signed(mean / figure.unit.per_unit);
    let absolute = format!("{difference} {}", figure.unit.sign);
    let fewer = match row.relief.is_at_a_cost() {
        true => ", fewer done",
        false => "",
    };
    // Of nothing, or of next to nothing, a share says nothing.
    let share = (mean / row.base).abs();
    let in_percent = percent(share);
    if share.is_nan() || share >= 10.0 || in_percent == NO_PERCENT {
        return format!("{absolute}{fewer}");
    }
    let sign = if mean < 0.0 { "−" } else { "+" };
    format!("{absolute} ({sign}{in_percent}){fewer}")
}

fn signed(value: f64) -> String {
    let sign = if value < 0.0 { "−" } else { "+" };
    format!("{sign}{}", number(value.abs()))
}
