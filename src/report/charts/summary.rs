//! One sheet that says what decides: the answer, the main figures, and the layouts side by side with the ways walked and
//! what does not fit.

use std::ops::RangeInclusive;

use super::canvas::{Align, Area, Canvas, Font, picture};
use super::floor;
use super::frame::{Sign, heading, orders, played, signs_in};
use super::labels::Labels;
use super::layout::Layout;
use super::meaning::{CARRYING, EMPTY_HANDED};
use super::pages::NUMBERED_FOOT;
use super::panels::{About, PanelRoom, Panels};
use super::sheet::Sheet;
use super::signs::{self, sign};
use super::string::{self, TripWidths};
use super::style::{BLACK, BODY, FAINT, GRID, MARGIN, SMALL};
use super::text::wrap;
use super::{Chart, ChartSize, Picture, Subject, bottleneck, nobody_walks, one};
use crate::experiment::CandidateFindings;
use crate::report::days;
use crate::report::figure::{length_unit, time_unit};
use crate::report::lines::{FITS, IN_THE_WAY, Line};
use crate::report::overload::GROWING;
use crate::report::sentence::{counted, listed, small};
use crate::statistics::Estimate;

/// A line of the answer is written in so many rows at most, which is enough for any but the longest names.
const LINES: usize = 9;
const LINE: f64 = 17.0;
const ROW: f64 = 20.0;
/// So many findings of a layout are written out; of the others it is said how many there are.
const FINDINGS: usize = 12;
/// So many layouts are beside each other, and so high.
const ACROSS: usize = 3;
const HIGH: f64 = 0.36;
/// On a page layouts leave room for what is found on them, unless they would become lower than that.
const HIGH_ON_PAGE: RangeInclusive<f64> = 0.31..=0.6;

/// Layouts that have a page of their own are so high at least, or letters would have no room; then all is shown a little
/// smaller.
const HIGH_ALONE: f64 = 0.5;

/// Nothing is drawn where there is nothing to choose from.
pub fn draw(chart: &Chart, subject: &Subject, size: ChartSize) -> Vec<Picture> {
    match subject.findings.candidates.len() {
        0 | 1 => Vec::new(),
        _ => one(chart, size, |canvas| body(chart, subject, size, canvas)),
    }
}

fn body(chart: &Chart, subject: &Subject, size: ChartSize, canvas: &mut Canvas) -> f64 {
    let findings = subject.findings;
    let notes = format!("For {}, {}.", orders(findings), played(findings));
    let y = heading(canvas, chart.title, &findings.title, &notes);
    canvas.header_ends(y);
    let header = y;
    let y = answer(canvas, y, subject);
    canvas.may_break(y - 4.0);
    let y = table(canvas, y, subject);
    canvas.may_break(y + 2.0);
    let FoundPlace { is_before, high } = FoundPlace::of(size, (header, y), subject.layouts);
    let y = match is_before {
        true => {
            let which = ", by their numbers in the plans";
            let y = found(canvas, y + 4.0, subject.layouts, which);
            canvas.may_break(y);
            y
        }
        false => y,
    };
    let room = PanelRoom {
        across: ACROSS,
        highest: (HIGH, high),
    };
    let y = floors(canvas, y + 4.0, subject, (size, room));
    if is_before {
        return y + MARGIN / 2.0;
    }
    canvas.may_break(y - 4.0);
    found(canvas, y, subject.layouts, "") + MARGIN / 2.0
}

/// Where it stands what the signs on the layouts mean, and how high these are, as a share of a page.
#[derive(Clone, Copy)]
struct FoundPlace {
    /// Whether it is on the page of the answer, which has no room for layouts; else it is below them.
    is_before: bool,
    high: f64,
}

impl FoundPlace {
    /// `answered`: where the header and the answer with its table end.
    fn of(size: ChartSize, answered: (f64, f64), layouts: &[Layout]) -> FoundPlace {
        /// The legend, the names of layouts, the floor around them, the scale and the key, and the number of the page.
        const AROUND_THEM: f64 = 165.0;
        let (least, most) = HIGH_ON_PAGE.into_inner();
        let Some(page) = size.height() else {
            return FoundPlace {
                is_before: false,
                high: most,
            };
        };
        let found = picture(("", ""), size, |canvas| found(canvas, 0.0, layouts, ""));
        let height = found.scene.height;
        let (header, answer) = answered;
        let left = |top: f64| (page - top - AROUND_THEM) / page;
        let is_before = left(answer) < least && answer + height + NUMBERED_FOOT <= page;
        let with_found = left(header + height);
        // On a page of their own if it has no room there.
        let high = match is_before || with_found < least {
            true => left(header).max(HIGH_ALONE),
            false => with_found,
        };
        FoundPlace {
            is_before,
            high: high.min(most),
        }
    }
}

/// The lines of the answer, their headings beside them; the first one, which decides, is bold.
fn answer(canvas: &mut Canvas, top: f64, subject: &Subject) -> f64 {
    let lines = subject.answer;
    const GAP: f64 = 16.0;
    let mut y = top;
    let body = Font::BODY.size(BODY + 1.0);
    let head = body.bold(true);
    let headings = lines.iter().map(|line| head.width(line.heading));
    let column = headings.fold(0.0, f64::max) + GAP;
    let room = canvas.inner() - column;
    // What is in the way is listed with the layouts, if any is drawn.
    let is_listed = !subject.layouts.is_empty();
    let told = (lines.iter()).filter(|line| line.heading != IN_THE_WAY || !is_listed);
    let (decisive, others) = decisive(told.collect());
    for (index, line) in decisive.into_iter().enumerate() {
        let font = body.bold(index == 0);
        canvas.describe(&format!("{} {}", line.heading, line.says));
        canvas.text(line.heading, (MARGIN, y + LINE / 2.0), column, head);
        for row in wrap(&line.says, font.size, font.bold, room, LINES) {
            canvas.text(&row, (MARGIN + column, y + LINE / 2.0), room, font);
            y += LINE;
        }
        y += 3.0;
    }
    if !others.is_empty() {
        let others: Vec<String> = others.iter().map(|line| small(line.heading)).collect();
        let more = format!(
            "More of the answer, by shopstride compare: {}.",
            listed(&others, "and")
        );
        canvas.text(
            &more,
            (MARGIN + column, y + LINE / 2.0),
            room,
            Font::BODY.colour(FAINT),
        );
        y += LINE;
    }
    y + 8.0
}

/// The lines of an answer that decide, as many as a sheet has room for and every one about a fault, and the others.
fn decisive<'a>(lines: Vec<&'a Line>) -> (Vec<&'a Line>, Vec<&'a Line>) {
    const MOST: usize = 5;
    const FIRST: [&str; 6] = [
        "Worth it?",
        "Left out",
        FITS,
        "Would help",
        "First move",
        "Busiest",
    ];
    let rank = |line: &Line| {
        let known = FIRST.iter().position(|heading| *heading == line.heading);
        known.unwrap_or(FIRST.len())
    };
    let mut order: Vec<usize> = (0..lines.len()).collect();
    order.sort_by_key(|&index| (!lines[index].is_fault, rank(lines[index])));
    let faults = lines.iter().filter(|line| line.is_fault).count();
    order.truncate(faults.max(MOST));
    let (told, others): (Vec<_>, Vec<_>) =
        (lines.into_iter().enumerate()).partition(|(index, _)| order.contains(index));
    let lines = |of: Vec<(usize, &'a Line)>| of.into_iter().map(|(_, line)| line).collect();
    (lines(told), lines(others))
}

/// The layouts that say where things stand.
fn floors(
    canvas: &mut Canvas,
    top: f64,
    subject: &Subject,
    (size, room): (ChartSize, PanelRoom),
) -> f64 {
    let Some(panels) = Panels::of(subject, size, Layout::walked_like, room) else {
        return top;
    };
    let panels = panels.with_signs();
    let trip = TripWidths::of(subject, panels.metre);
    let legend =
        |canvas: &mut Canvas, y: f64| legend(canvas, y, subject.layouts, trip.is_some()) + 2.0;
    let ways = |canvas: &mut Canvas, sheet: &Sheet, layout: &Layout, labels: &mut Labels| {
        if let Some(trip) = trip {
            string::over_floor(canvas, sheet, layout, labels, trip);
        }
    };
    let about = Some(string::walked as About);
    panels.draw(canvas, top, subject, about, (&legend, &ways))
}

fn legend(canvas: &mut Canvas, top: f64, layouts: &[Layout], are_walked: bool) -> f64 {
    let line = |is_loaded: bool| {
        move |canvas: &mut Canvas, area: Area| {
            let y = area.y + area.height / 2.0;
            let ends = [(area.x, y), (area.x + area.width, y)];
            match is_loaded {
                true => canvas.path(&ends, CARRYING.fill.colour, 5.0),
                false => canvas.dashed(&ends, EMPTY_HANDED.fill.colour, 2.5, &[6.0, 4.0]),
            }
        }
    };
    let mark = |number: usize, is_fault: bool| {
        move |canvas: &mut Canvas, area: Area| {
            sign(canvas, area.middle(), number, is_fault);
        }
    };
    let has = |is_fault: bool| {
        let mut all = layouts.iter().flat_map(|layout| &layout.findings);
        all.any(|finding| finding.is_fault == is_fault)
    };
    let (loaded, empty, fault, warning) = (line(true), line(false), mark(1, true), mark(2, false));
    let signs: [(bool, Sign, &str); 4] = [
        (are_walked, &loaded, "walked with a load; wider: more often"),
        (are_walked, &empty, "walked empty-handed"),
        (has(true), &fault, "fault"),
        (has(false), &warning, "warning"),
    ];
    let mut shown: Vec<(Sign, &str)> = (signs.into_iter())
        .filter(|(occurs, ..)| *occurs)
        .map(|(_, draw, words)| (draw, words))
        .collect();
    shown.extend(floor::explained(layouts));
    let room = canvas.inner();
    match shown.is_empty() {
        true => top,
        false => signs_in(canvas, (MARGIN, top), room, &shown),
    }
}

/// What the names of projects begin with in the table of figures, and how far they are indented there.
const BELOW: char = '\u{2003}';
const INDENT: f64 = 14.0;
/// A long name goes on below.
const NAME_LINES: usize = 3;
const NAME_LINE: f64 = BODY + 3.0;

/// Columns of the table of figures.
const LEAD_TIME: usize = 1;
const BUSIEST: usize = 2;

/// The main figures of every layout.
fn table(canvas: &mut Canvas, top: f64, subject: &Subject) -> f64 {
    const GAP: f64 = 24.0;
    const NAMES: f64 = 0.2;
    let keeps_hours = (subject.findings.candidates.iter()).any(|found| found.hours.is_some());
    let finish = if keeps_hours {
        "done"
    } else {
        "start to finish"
    };
    let heads = ["walked", finish, "busiest", "check"];
    let rows: Vec<(String, [String; 4])> = (subject.findings.candidates.iter())
        .flat_map(|found| rows(found, subject))
        .collect();
    let head = Font::BODY.size(SMALL).colour(FAINT).align(Align::Right);
    let font = Font::BODY.align(Align::Right);
    let inner = canvas.inner();
    let width = |column: &usize| {
        let figures = rows.iter().map(|(_, row)| font.width(&row[*column]));
        figures.fold(head.width(heads[*column]), f64::max) + GAP
    };
    let mut columns: Vec<usize> = (0..heads.len())
        .filter(|&column| rows.iter().any(|(_, row)| !row[column].is_empty()))
        .collect();
    // The names need some room; what other charts say as well goes first.
    for column in [BUSIEST, LEAD_TIME] {
        if columns.iter().map(width).sum::<f64>() > inner * (1.0 - NAMES) {
            columns.retain(|shown| *shown != column);
        }
    }
    let widths: Vec<f64> = columns.iter().map(width).collect();
    let names = (inner - widths.iter().sum::<f64>()).max(0.0);
    let mut y = top + ROW / 2.0;
    let mut right = MARGIN + names;
    let rights: Vec<f64> = widths
        .iter()
        .map(|width| {
            right += width;
            right.min(canvas.right())
        })
        .collect();
    for ((&column, &right), width) in columns.iter().zip(&rights).zip(&widths) {
        canvas.text(heads[column], (right, y), width - 6.0, head);
    }
    canvas.line((MARGIN, top + ROW), (canvas.right(), top + ROW), BLACK, 0.5);
    for (name, row) in &rows {
        y += ROW;
        // Projects stand below their layout.
        let indent = if name.starts_with(BELOW) { INDENT } else { 0.0 };
        let room = names - 6.0 - indent;
        let lines = wrap(name.trim(), BODY, false, room, NAME_LINES);
        for (nth, line) in lines.iter().enumerate() {
            let at = (MARGIN + indent, y + NAME_LINE * nth as f64);
            canvas.text(line, at, room, Font::BODY);
        }
        for ((&column, &right), width) in columns.iter().zip(&rights).zip(&widths) {
            canvas.text(&row[column], (right, y), width - 6.0, font);
        }
        y += NAME_LINE * (lines.len() - 1) as f64;
        let base = y + ROW / 2.0;
        canvas.line((MARGIN, base), (canvas.right(), base), GRID, 0.5);
        let told: Vec<&str> = (row.iter().map(String::as_str))
            .filter(|figure| !figure.is_empty())
            .collect();
        canvas.describe(&format!("\"{}\": {}.", name.trim(), told.join(", ")));
    }
    y + ROW / 2.0 + 8.0
}

/// The row of a layout, and below it one for each project, where there are several.
fn rows(found: &CandidateFindings, subject: &Subject) -> Vec<(String, [String; 4])> {
    let mut rows = vec![(found.name.clone(), figures(found, subject))];
    if subject.findings.has_several_projects() {
        rows.extend(found.projects.iter().map(|project| {
            let lead_time = match found.overload {
                Some(_) => GROWING.to_owned(),
                None => days::briefly(found, Some(project))
                    .unwrap_or_else(|| start_to_finish(project.lead_time.as_ref())),
            };
            let row = [String::new(), lead_time, String::new(), String::new()];
            (format!("{BELOW}{}", project.name), row)
        }));
    }
    rows
}

fn start_to_finish(lead_time: Option<&Estimate>) -> String {
    lead_time.map_or_else(
        || "none done".to_owned(),
        |estimate| time_unit(estimate.mean).brief(estimate),
    )
}

fn figures(found: &CandidateFindings, subject: &Subject) -> [String; 4] {
    let walked = match nobody_walks(subject.findings) {
        true => String::new(),
        false => length_unit(subject.findings.units).brief(&found.walking),
    };
    let lead_time = match subject.findings.has_several_projects() {
        true => days::briefly(found, None)
            .filter(|_| found.overload.is_none())
            .unwrap_or_default(),
        false if found.overload.is_some() => GROWING.to_owned(),
        false => {
            days::briefly(found, None).unwrap_or_else(|| start_to_finish(found.lead_time.as_ref()))
        }
    };
    let mut layouts = subject.layouts.iter();
    let layout = layouts.find(|layout| layout.name == found.name);
    let check = layout.map_or_else(String::new, |layout| {
        let of = |is_fault: bool| {
            let findings = layout.findings.iter();
            findings
                .filter(|finding| finding.is_fault == is_fault)
                .count()
        };
        format!(
            "{}, {}",
            counted(of(true), "fault"),
            counted(of(false), "warning")
        )
    });
    [
        walked,
        lead_time,
        bottleneck(found).unwrap_or_default(),
        check,
    ]
}

/// What the signs on the plans mean: the faults of each layout, then its warnings. `which` is added to their headings.
fn found(canvas: &mut Canvas, top: f64, layouts: &[Layout], which: &str) -> f64 {
    let mut y = top;
    let room = canvas.inner();
    let mut told: Vec<&Layout> = Vec::new();
    for layout in layouts {
        let untold = layout.findings.len().saturating_sub(FINDINGS);
        let all = layout.findings.iter().map(signs::Listed::Finding);
        let shown: Vec<_> = all.take(FINDINGS).collect();
        let is_told = told.iter().any(|other| other.findings == layout.findings);
        if shown.is_empty() || is_told {
            continue;
        }
        told.push(layout);
        let has = |is_fault: bool| {
            let mut all = layout.findings.iter();
            all.any(|finding| finding.is_fault == is_fault)
        };
        let what = match (has(true), has(false)) {
            (true, true) => "Faults and warnings",
            (true, false) => "Faults",
            (false, _) => "Warnings",
        };
        let alike = layouts
            .iter()
            .filter(|other| other.findings == layout.findings);
        let names: Vec<String> = alike.map(|other| format!("\"{}\"", other.name)).collect();
        let title = format!("{what} of {}{which}", listed(&names, "and"));
        canvas.text(
            &title,
            (MARGIN, y + BODY / 2.0),
            room,
            Font::BODY.bold(true),
        );
        y = signs::list(
            canvas,
            (MARGIN, y + BODY + 6.0),
            room,
            f64::INFINITY,
            &shown,
        ) + 6.0;
        if untold > 0 {
            let more = format!("{untold} more: see shopstride check.");
            canvas.text(&more, (MARGIN, y + BODY / 2.0), room, Font::BODY);
            y += BODY + 6.0;
        }
        canvas.may_break(y - 2.0);
    }
    y
}
