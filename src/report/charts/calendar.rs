//! The weeks of one run of a shop that keeps hours: which evening built what, and where it dried overnight.

use super::canvas::{Area, Canvas, Font};
use super::frame::{Sign, heading, signs_in};
use super::meaning::{BUILT, DRYING, OTHERS_BUILT, SHUT};
use super::style::{EDGE, FAINT, Fill, GRID, MARGIN, SMALL, TEXT};
use super::weeks::{DayPlan, day_plans};
use super::{Chart, ChartSize, Picture, capital};
use crate::experiment::{Findings, Timeline, WorkedOrder, WorkedWeeks};
use crate::report::days::Days;
use crate::report::sentence::listed;

/// Of longer runs the first weeks are drawn.
const WEEKS: usize = 16;

/// Room for the names of the weeks.
const NAMES: f64 = 62.0;

/// The parts of a day's box, from the top down: its date, the open time, what is done in so many lines, and the whole day.
const DATE: f64 = 15.0;
const BAND: f64 = 20.0;
/// Of a day on which the shop is shut, which is not to draw the eye.
const CLOSED: f64 = 8.0;
const LINES: usize = 2;
const LINE: f64 = 12.0;
const STRIP: f64 = 7.0;
const DAY: f64 = DATE + BAND + 3.0 + LINES as f64 * LINE + STRIP;
const GAP: f64 = 6.0;

/// A picture for each run of which there are weeks.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    timelines: &[Timeline],
    size: ChartSize,
) -> Vec<Picture> {
    let pictures = timelines
        .iter()
        .enumerate()
        .filter_map(|(index, timeline)| {
            let weeks = timeline
                .weeks
                .as_ref()
                .filter(|weeks| !weeks.worked.is_empty())?;
            let (stem, title) = chart.stem_and_title(timelines, index);
            Some(Picture::of(stem, (&title, chart.about), size, |canvas| {
                body(&title, findings, (timeline, weeks), canvas)
            }))
        });
    pictures.flatten().collect()
}

fn body(
    title: &str,
    findings: &Findings,
    (timeline, weeks): (&Timeline, &WorkedWeeks),
    canvas: &mut Canvas,
) -> f64 {
    let plans = day_plans(weeks);
    let all = plans.len().div_ceil(7);
    let notes = notes(timeline, weeks, all);
    let y = heading(canvas, title, &findings.title, &notes);
    let y = legend(canvas, y, weeks);
    canvas.header_ends(y);
    let days = Days::new(&weeks.calendar, weeks.starts);
    let wide = (canvas.inner() - NAMES) / 7.0;
    let mut y = y + 2.0;
    for (week, plans) in plans.chunks(7).take(WEEKS).enumerate() {
        let name = format!("week {}", week + 1);
        canvas.text(
            &name,
            (MARGIN, y + DATE + BAND / 2.0),
            NAMES - 6.0,
            Font::BODY.bold(true),
        );
        for (column, plan) in plans.iter().enumerate() {
            let Some(plan) = plan else { continue };
            let area = Area {
                x: MARGIN + NAMES + wide * column as f64,
                y,
                width: wide - GAP,
                height: DAY,
            };
            day(canvas, area, plan, (weeks, days));
        }
        describe(canvas, &name, plans, (weeks, days));
        y += DAY + GAP + 4.0;
        canvas.may_break(y - GAP / 2.0);
    }
    y + MARGIN / 2.0
}

fn notes(timeline: &Timeline, weeks: &WorkedWeeks, all: usize) -> String {
    let mut notes = format!(
        "\"{}\", run {}. A box is a day. Its broad band is the time from opening to closing, with what was worked on; the \
         thin strip below is the whole day from midnight to midnight, with what dried.",
        timeline.candidate, timeline.replication
    );
    if all > WEEKS {
        notes.push_str(&format!(
            " These are the first {WEEKS} of {all} weeks; the others are left out."
        ));
    }
    if weeks.orders.len() > BUILT.len() {
        notes.push_str(&format!(
            " {} more orders share the last colour.",
            weeks.orders.len() - BUILT.len()
        ));
    }
    if weeks.works_after_hours {
        notes.push_str(" Work that goes on after closing is not drawn.");
    }
    notes
}

/// How an order is filled; those beyond the colours that there are share one.
fn fill(order: usize) -> Fill {
    BUILT.get(order).map_or(OTHERS_BUILT.fill, |of| of.fill)
}

/// "box", or "box 2" where several orders are of one project.
fn name(weeks: &WorkedWeeks, order: usize) -> String {
    let WorkedOrder { project, number } = &weeks.orders[order];
    let mut same = weeks
        .orders
        .iter()
        .filter(|other| other.project == *project);
    match same.nth(1) {
        None => project.clone(),
        Some(_) => format!("{project} {number}"),
    }
}

fn legend(canvas: &mut Canvas, top: f64, weeks: &WorkedWeeks) -> f64 {
    let named = weeks.orders.len().min(BUILT.len());
    let mut entries: Vec<(Fill, String)> = (0..named)
        .map(|order| (fill(order), name(weeks, order)))
        .collect();
    if weeks.orders.len() > BUILT.len() {
        entries.push((OTHERS_BUILT.fill, OTHERS_BUILT.words.to_owned()));
    }
    if !weeks.dried.is_empty() {
        entries.push((DRYING.fill, DRYING.words.to_owned()));
    }
    entries.push((SHUT.fill, SHUT.words.to_owned()));
    let boxes: Vec<_> = (entries.iter())
        .map(|&(fill, _)| {
            move |canvas: &mut Canvas, area: Area| {
                canvas.hatched(area, fill);
                canvas.outline(area, EDGE, 0.75);
            }
        })
        .collect();
    let signs: Vec<(Sign, &str)> = (boxes.iter().zip(&entries))
        .map(|(draw, (_, words))| (draw as Sign, words.as_str()))
        .collect();
    let room = canvas.inner();
    signs_in(canvas, (MARGIN, top), room, &signs)
}

fn day(canvas: &mut Canvas, area: Area, plan: &DayPlan, (weeks, days): (&WorkedWeeks, Days<'_>)) {
    let is_open = plan.open_s > 0.0;
    let colour = if is_open { TEXT } else { FAINT };
    let font = Font::BODY.size(SMALL).colour(colour);
    let at = (area.x, area.y + DATE / 2.0);
    canvas.text(&days.short_date(plan.begins), at, area.width, font);
    let band = Area {
        y: area.y + DATE,
        height: BAND,
        ..area
    };
    match is_open {
        false => {
            let thin = Area {
                y: band.y + (BAND - CLOSED) / 2.0,
                height: CLOSED,
                ..band
            };
            canvas.hatched(thin, SHUT.fill);
        }
        true => {
            worked(canvas, band, plan);
            canvas.outline(band, EDGE, 0.5);
        }
    }
    let lines = done(weeks, plan, LINES);
    for (nth, line) in lines.iter().enumerate() {
        let middle = band.y + BAND + 3.0 + LINE * (nth as f64 + 0.5);
        canvas.text(line, (area.x, middle), area.width, Font::BODY.size(SMALL));
    }
    let strip = Area {
        y: area.y + DAY - STRIP,
        height: STRIP,
        ..area
    };
    for &(from, to) in &plan.dried {
        let part = Area {
            x: strip.x + strip.width * from,
            width: strip.width * (to - from),
            ..strip
        };
        canvas.hatched(part, DRYING.fill);
    }
    canvas.outline(strip, GRID, 0.5);
}

/// What was worked on from opening to closing, several things at a time below each other.
fn worked(canvas: &mut Canvas, band: Area, plan: &DayPlan) {
    let lanes = plan.worked.iter().map(|part| part.lane + 1).max();
    let height = BAND / lanes.unwrap_or(1) as f64;
    for part in &plan.worked {
        let area = Area {
            x: band.x + band.width * part.from_s / plan.open_s,
            y: band.y + height * part.lane as f64,
            width: band.width * (part.to_s - part.from_s) / plan.open_s,
            height,
        };
        canvas.hatched(area, fill(part.order));
    }
}

/// What was done on a day in at most so many lines, an order in each: "box: glue, sand".
fn done(weeks: &WorkedWeeks, plan: &DayPlan, most: usize) -> Vec<String> {
    let mut orders: Vec<(usize, Vec<&str>)> = Vec::new();
    for part in &plan.worked {
        let place = orders.iter().position(|(order, _)| *order == part.order);
        let place = place.unwrap_or_else(|| {
            orders.push((part.order, Vec::new()));
            orders.len() - 1
        });
        let operations = &mut orders[place].1;
        if !operations.contains(&&*part.operation) {
            operations.push(&part.operation);
        }
    }
    let more = orders.len().saturating_sub(most);
    let shown = if more > 0 { most - 1 } else { most };
    let mut lines: Vec<String> = (orders.iter().take(shown))
        .map(|(order, operations)| {
            // Who builds one thing knows what it is.
            match weeks.orders.len() {
                1 => operations.join(", "),
                _ => format!("{}: {}", name(weeks, *order), operations.join(", ")),
            }
        })
        .collect();
    if more > 0 {
        lines.push(format!("and {} more orders", more + 1));
    }
    lines
}

/// A week in words, for those who do not see it.
fn describe(
    canvas: &mut Canvas,
    week: &str,
    plans: &[Option<DayPlan>],
    (weeks, days): (&WorkedWeeks, Days<'_>),
) {
    let of_day = |plan: &DayPlan| {
        let date = days.short_date(plan.begins);
        let done = done(weeks, plan, usize::MAX);
        let dries = match plan.dried.is_empty() {
            true => "",
            false => ", and something dries",
        };
        match (plan.open_s > 0.0, done.is_empty()) {
            (_, false) => Some(format!("{date} {}{dries}", listed(&done, "and"))),
            (true, true) => Some(format!("{date} nothing is worked on{dries}")),
            (false, true) if !dries.is_empty() => Some(format!("{date} shut{dries}")),
            (false, true) => None,
        }
    };
    let told: Vec<String> = plans.iter().flatten().filter_map(of_day).collect();
    if !told.is_empty() {
        let week = capital(week);
        canvas.describe(&format!("{week}: {}.", told.join("; ")));
    }
}
