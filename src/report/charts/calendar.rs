//! The weeks of one run of a shop that keeps hours: which evening built what, and where it dried overnight.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{Sign, heading, signs_in};
use super::meaning::{BUILT, DRYING, OTHERS_BUILT, SHUT};
use super::style::{BLACK, EDGE, FAINT, Fill, GRID, MARGIN, SMALL, TEXT, WHITE};
use super::text::wrap;
use super::weeks::{DayPlan, day_plans};
use super::{Chart, ChartSize, Picture, capital};
use crate::experiment::{Findings, Timeline, WorkedOrder, WorkedWeeks};
use crate::report::days::Days;
use crate::report::sentence::listed;

/// Of longer runs the first weeks are drawn.
const WEEKS: usize = 16;

/// Room for the names of the weeks.
const NAMES: f64 = 62.0;

/// The parts of a day's box, from the top down: its date, the open time, what is done in at most so many lines, and the
/// whole day.
const DATE: f64 = 15.0;
const BAND: f64 = 20.0;
/// Of a day on which the shop is shut, which is not to draw the eye.
const CLOSED: f64 = 8.0;
/// Each day is as high as the one with most lines needs.
const LINES: usize = 6;
const LINE: f64 = 12.0;
const STRIP: f64 = 7.0;
const GAP: f64 = 6.0;
/// What was worked on for a moment only is still to be seen.
const LEAST: f64 = 2.0;
/// The mark of an order that is done, and the words beside it where they have room.
const TICK: f64 = 9.0;
const DONE: &str = "done";

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
    // All days are as high as the one that needs most lines.
    let lines = |plan: &DayPlan| written(&done(weeks, plan, LINES), wide - GAP).len();
    let lines = plans.iter().flatten().map(lines).max().unwrap_or(0);
    let high = DATE + BAND + 3.0 + lines as f64 * LINE + 2.0 + STRIP;
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
                height: high,
            };
            day(canvas, area, plan, (weeks, days));
        }
        describe(canvas, &name, plans, (weeks, days));
        y += high + GAP + 4.0;
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

/// How an order is filled; those beyond the colours that there are share one. The only one needs no hatch.
fn fill(weeks: &WorkedWeeks, order: usize) -> Fill {
    match weeks.orders.len() {
        1 => Fill::plain(BUILT[0].fill.colour),
        _ => BUILT.get(order).map_or(OTHERS_BUILT.fill, |of| of.fill),
    }
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
        .map(|order| (fill(weeks, order), name(weeks, order)))
        .collect();
    if weeks.orders.len() > BUILT.len() {
        entries.push((OTHERS_BUILT.fill, OTHERS_BUILT.words.to_owned()));
    }
    if !weeks.dried.is_empty() {
        entries.push((DRYING.fill, DRYING.words.to_owned()));
    }
    let open = "open, nothing worked on";
    entries.push((Fill::plain(WHITE), open.to_owned()));
    entries.push((SHUT.fill, SHUT.words.to_owned()));
    let boxes: Vec<_> = (entries.iter())
        .map(|&(fill, _)| {
            move |canvas: &mut Canvas, area: Area| {
                canvas.hatched(area, fill);
                canvas.outline(area, EDGE, 0.75);
            }
        })
        .collect();
    let mut signs: Vec<(Sign, &str)> = (boxes.iter().zip(&entries))
        .map(|(draw, (_, words))| (draw as Sign, words.as_str()))
        .collect();
    if !weeks.done.is_empty() {
        signs.push((&ticked, "the day on which an order is done"));
    }
    let room = canvas.inner();
    signs_in(canvas, (MARGIN, top), room, &signs)
}

fn ticked(canvas: &mut Canvas, area: Area) {
    tick(canvas, area.middle());
}

fn tick(canvas: &mut Canvas, (x, y): (f64, f64)) {
    let half = TICK / 2.0;
    let stroke = [
        (x - half, y),
        (x - half / 3.0, y + half * 0.8),
        (x + half, y - half * 0.8),
    ];
    canvas.path(&stroke, BLACK, 2.0);
}

fn day(canvas: &mut Canvas, area: Area, plan: &DayPlan, (weeks, days): (&WorkedWeeks, Days<'_>)) {
    let is_open = plan.open_s > 0.0;
    let colour = if is_open { TEXT } else { FAINT };
    let font = Font::BODY.size(SMALL).colour(colour);
    let at = (area.x, area.y + DATE / 2.0);
    let date = canvas.text(&days.short_date(plan.begins), at, area.width, font);
    if !plan.done.is_empty() {
        done_here(canvas, area, date);
    }
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
            worked(canvas, band, plan, weeks);
            canvas.outline(band, EDGE, 0.5);
        }
    }
    let lines = written(&done(weeks, plan, LINES), area.width);
    for (nth, line) in lines.iter().enumerate() {
        let middle = band.y + BAND + 3.0 + LINE * (nth as f64 + 0.5);
        canvas.text(line, (area.x, middle), area.width, Font::BODY.size(SMALL));
    }
    let strip = Area {
        y: area.y + area.height - STRIP,
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

/// The mark of a day on which an order is done, to the right of its date, with the word where there is room for it.
fn done_here(canvas: &mut Canvas, area: Area, date: f64) {
    let font = Font::BODY.size(SMALL).bold(true).align(Align::Right);
    let (right, y) = (area.x + area.width, area.y + DATE / 2.0);
    let word = font.width(DONE);
    let has_room = date + word + TICK + 10.0 <= area.width;
    let beside = match has_room {
        true => canvas.text(DONE, (right, y), word + 1.0, font) + 4.0,
        false => 0.0,
    };
    tick(canvas, (right - beside - TICK / 2.0 - 1.0, y));
}

/// What was worked on from opening to closing, several things at a time below each other.
fn worked(canvas: &mut Canvas, band: Area, plan: &DayPlan, weeks: &WorkedWeeks) {
    let lanes = plan.worked.iter().map(|part| part.lane + 1).max();
    let height = BAND / lanes.unwrap_or(1) as f64;
    for part in &plan.worked {
        let wide = band.width * (part.to_s - part.from_s) / plan.open_s;
        let width = wide.max(LEAST);
        let left = band.width * part.from_s / plan.open_s;
        let area = Area {
            x: band.x + left.min(band.width - width),
            y: band.y + height * part.lane as f64,
            width,
            height,
        };
        canvas.hatched(area, fill(weeks, part.order));
    }
}

/// What was done as it is written in the lines of a day, those that are left over for the first that is long.
fn written(done: &[String], width: f64) -> Vec<String> {
    let mut free = LINES.saturating_sub(done.len());
    let lines = done.iter().flat_map(|line| {
        let lines = wrap(line, SMALL, false, width, 1 + free);
        free -= lines.len() - 1;
        lines
    });
    lines.collect()
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
        let finished: Vec<String> = plan.done.iter().map(|&order| name(weeks, order)).collect();
        let ends = match finished.is_empty() {
            true => String::new(),
            false => format!(", with which {} {DONE}", are(&finished)),
        };
        match (plan.open_s > 0.0, done.is_empty()) {
            (_, false) => Some(format!("{date} {}{dries}{ends}", listed(&done, "and"))),
            (true, true) => Some(format!("{date} nothing is worked on{dries}{ends}")),
            (false, true) if !(dries.is_empty() && ends.is_empty()) => {
                Some(format!("{date} shut{dries}{ends}"))
            }
            (false, true) => None,
        }
    };
    let told: Vec<String> = plans.iter().flatten().filter_map(of_day).collect();
    if !told.is_empty() {
        let week = capital(week);
        canvas.describe(&format!("{week}: {}.", told.join("; ")));
    }
}

/// "box is", "box 1 and box 2 are".
fn are(names: &[String]) -> String {
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", listed(names, "and"))
}
