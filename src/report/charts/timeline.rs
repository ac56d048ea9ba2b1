//! Who and what does what at which moment of one replication.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Area, Canvas, Font};
use super::frame::{heading, legend, names_width};
use super::meaning::{
    AWAY, BLOCKED, CARRYING, DRYING, HANDLING, IDLE, LEFT_STANDING, Meaning, PUSHING, RESERVED,
    SERVICED, SETUP, SHIFTING, SOLE, TAKEN, WALKING, WORKING,
};
use super::plot::{AxisMarks, BELOW, plot};
use super::style::{BODY, FAINT, GRID, MARGIN, SMALL, TEXT};
use super::text::fit_apart;
use super::timeline_bars::{CLOSING, Parts, ROW, Scale, Stretch, is_of, strip};
use super::{Chart, ChartSize, Picture, capital};
use crate::experiment::{Activity, Findings, Timeline, TimelineKind, TimelineOpening, TimelineRow};
use crate::report::figure::{number, time_unit};
use crate::shop::WEEKDAYS;

impl Activity {
    /// In the order of the legend.
    pub const ALL: [Activity; 16] = [
        Activity::Running,
        Activity::SettingUp,
        Activity::Curing,
        Activity::Taken,
        Activity::Reserved,
        Activity::Walking,
        Activity::Carrying,
        Activity::Pushing,
        Activity::Handling,
        Activity::Blocked,
        Activity::Serviced,
        Activity::LeftStanding,
        Activity::Waiting,
        Activity::Away,
        Activity::Sole,
        Activity::Shifting,
    ];

    pub fn name(self) -> &'static str {
        self.meaning().words
    }

    pub(super) fn meaning(self) -> Meaning {
        match self {
            Activity::Running => WORKING,
            Activity::SettingUp => SETUP,
            Activity::Curing => DRYING,
            Activity::Taken => TAKEN,
            Activity::Reserved => RESERVED,
            Activity::Walking => WALKING,
            Activity::Carrying => CARRYING,
            Activity::Pushing => PUSHING,
            Activity::Handling => HANDLING,
            Activity::Blocked => BLOCKED,
            Activity::Serviced => SERVICED,
            Activity::LeftStanding => LEFT_STANDING,
            Activity::Away => AWAY,
            Activity::Waiting => IDLE,
            Activity::Sole => SOLE,
            Activity::Shifting => SHIFTING,
        }
    }
}

/// What the row of the momentary bottleneck is called.
const STRIP: &str = "Bottleneck";
/// Room for the names at most.
const NAMES: f64 = 190.0;

/// Room above the bars for the days on which the shop is open.
pub const DAYS: f64 = 16.0;

/// Room behind the bars.
const BEHIND: f64 = 30.0;

/// So many parts of the first order are followed.
const LOTS: usize = 12;
/// Of a run in which one row has more bars than this, which is more than it has pixels, only the beginning is drawn.
const BARS_AT_MOST: usize = 800;
/// The beginning: as long as no row has more bars than this.
const BARS_OF_BEGINNING: usize = 200;

/// A picture for each timeline, all over the same time.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    timelines: &[Timeline],
    size: ChartSize,
) -> Vec<Picture> {
    let whole = timelines
        .iter()
        .map(|timeline| timeline.end_s)
        .fold(0.0, f64::max);
    let end_s = legible_until(timelines).unwrap_or(whole);
    let pictures = timelines.iter().enumerate().flat_map(|(index, timeline)| {
        let (stem, title) = chart.stem_and_title(timelines, index);
        Picture::of(stem, (&title, chart.about), size, |canvas| {
            body(&title, findings, timeline, end_s, canvas)
        })
    });
    pictures.collect()
}

/// Until when bars can be told apart, in seconds, where that is not so until the end.
fn legible_until(timelines: &[Timeline]) -> Option<f64> {
    let rows = || timelines.iter().flat_map(|timeline| &timeline.rows);
    if rows().all(|row| row.bars.len() <= BARS_AT_MOST) {
        return None;
    }
    let crowded = rows().filter_map(|row| {
        let mut begins: Vec<f64> = row.bars.iter().map(|bar| bar.from_s).collect();
        begins.sort_by(f64::total_cmp);
        begins.get(BARS_OF_BEGINNING).copied()
    });
    crowded.filter(|begin| *begin > 0.0).reduce(f64::min)
}

/// The bars that begin before this, cut there.
fn beginning(timeline: &Timeline, end_s: f64) -> Timeline {
    let mut drawn = timeline.clone();
    for row in &mut drawn.rows {
        row.bars.retain(|bar| bar.from_s < end_s);
        for bar in &mut row.bars {
            bar.to_s = bar.to_s.min(end_s);
        }
    }
    drawn.rows.retain(|row| !row.bars.is_empty());
    drawn.spells.retain(|spell| spell.from_s < end_s);
    for spell in &mut drawn.spells {
        spell.to_s = spell.to_s.min(end_s);
    }
    drawn.end_s = timeline.end_s.min(end_s);
    drawn
}

/// Rows under a heading.
type RowGroup<'a> = (&'static str, Vec<&'a TimelineRow>);

/// The rows that are drawn, and how many parts are not.
fn groups(timeline: &Timeline) -> (Vec<RowGroup<'_>>, usize) {
    let of = |kind: TimelineKind| -> Vec<&TimelineRow> {
        timeline
            .rows
            .iter()
            .filter(|row| row.kind == kind)
            .collect()
    };
    let mut lots = of(TimelineKind::Lot);
    let more = lots.len().saturating_sub(LOTS);
    lots.truncate(LOTS);
    let groups = [
        ("Stations", of(TimelineKind::Station)),
        ("Set aside, from", of(TimelineKind::SetAside)),
        ("Gear", of(TimelineKind::Gear)),
        ("People", of(TimelineKind::Person)),
        ("First order\u{2019}s parts", lots),
    ];
    let drawn = groups.into_iter().filter(|group| !group.1.is_empty());
    (drawn.collect(), more)
}

fn body(
    title: &str,
    findings: &Findings,
    timeline: &Timeline,
    end_s: f64,
    canvas: &mut Canvas,
) -> f64 {
    let drawn;
    let (timeline, shown) = if timeline.end_s > end_s {
        let unit = time_unit(end_s);
        let (first, whole) = (unit.with_unit(end_s), unit.with_unit(timeline.end_s));
        drawn = beginning(timeline, end_s);
        (&drawn, format!("the first {first} of {whole}"))
    } else {
        (timeline, "from its start to its end".to_owned())
    };
    let (groups, more) = groups(timeline);
    let mut notes = format!(
        "\"{}\", run {}, {shown}. Where a row is blank, nothing happens.",
        timeline.candidate, timeline.replication
    );
    let strip = strip(timeline);
    if !strip.is_empty() {
        notes.push_str(
            " The first row names the bottleneck by the active-period method: at each moment it is whatever has the \
             longest unbroken busy spell around it. This is an indication, not proof.",
        );
        let mut rows = timeline.rows.iter();
        if rows.any(|row| timeline.spells.iter().any(|spell| is_of(spell, row))) {
            notes.push_str(
                " A black line below a bar is such a spell; two have one while the bottleneck is shared.",
            );
        }
    }
    if more > 0 {
        notes.push_str(&format!(" {more} more parts are not drawn."));
    }
    if !timeline.openings.is_empty() {
        notes.push_str(
            " An upright line is closing time, with the day that follows it; what goes on while the shop is shut, such \
             as drying, takes no width.",
        );
    }
    let y = heading(canvas, title, &findings.title, &notes);
    let drawn = || {
        let rows = groups.iter().flat_map(|(_, rows)| rows.iter().copied());
        let bottleneck = |row: &&TimelineRow| matches!(row.kind, TimelineKind::Bottleneck(_));
        rows.chain(timeline.rows.iter().filter(bottleneck))
    };
    let shown: Vec<_> = Activity::ALL
        .into_iter()
        .filter(|what| {
            let mut bars = drawn().flat_map(|row| &row.bars);
            bars.any(|bar| bar.what == *what)
        })
        .map(Activity::meaning)
        .collect();
    if shown.is_empty() {
        let room = canvas.inner();
        canvas.text("Nothing happened.", (MARGIN, y + BODY), room, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    }
    let y = legend(canvas, y, &shown);
    canvas.header_ends(y);
    let listed = groups.iter().flat_map(|group| &group.1);
    let names = listed.map(|row| row.name.as_str());
    let names = names
        .chain(groups.iter().map(|group| group.0))
        .chain([STRIP]);
    let names = names_width(names, Font::BODY.bold(true), NAMES);
    let lines = lines(&groups, names - 10.0);
    let unit = time_unit(end_s);
    canvas.describe(&format!(
        "{} rows over {} {}.",
        lines.len(),
        number(timeline.end_s / unit.per_unit),
        unit.sign
    ));
    let mut y = y;
    for lines in divided(&lines, lines_on_page(canvas, y, !strip.is_empty())) {
        y = part(canvas, y, names, (timeline, &strip, end_s), lines);
        canvas.may_break(y);
    }
    y
}

/// A line of the chart: the heading of a group, or a row and its name as it is written.
enum ChartLine<'a> {
    Heading(&'static str),
    Row(&'a TimelineRow, String),
}

fn lines<'a>(groups: &[RowGroup<'a>], room: f64) -> Vec<ChartLine<'a>> {
    let of_group = |(heading, rows): &RowGroup<'a>| {
        let names: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
        let names = fit_apart(&names, Font::BODY.shape(), room);
        let rows = rows.iter().zip(names);
        let rows = rows.map(|(row, name)| ChartLine::Row(row, name));
        std::iter::once(ChartLine::Heading(heading))
            .chain(rows)
            .collect::<Vec<_>>()
    };
    groups.iter().flat_map(of_group).collect()
}

/// How many lines have room on a page below the heading, with the days and the bottlenecks above them and the axis below.
fn lines_on_page(canvas: &Canvas, top: f64, has_strip: bool) -> usize {
    const FOOT: f64 = 22.0;
    let Some(page) = canvas.page else {
        return usize::MAX;
    };
    let room = page - top - DAYS - BELOW - MARGIN / 2.0 - FOOT;
    let lines = (room / ROW) as usize;
    lines.saturating_sub(usize::from(has_strip)).max(4)
}

/// The lines in parts of at most so many, of which none ends with a heading.
fn divided<'l, 'a>(lines: &'l [ChartLine<'a>], most: usize) -> Vec<&'l [ChartLine<'a>]> {
    let mut parts = Vec::new();
    let mut rest = lines;
    while rest.len() > most {
        let is_heading = matches!(rest[most - 1], ChartLine::Heading(_));
        let (part, left) = rest.split_at(if is_heading { most - 1 } else { most });
        parts.push(part);
        rest = left;
    }
    parts.push(rest);
    parts
}

/// Draws some lines over one axis, below the momentary bottlenecks; returns where they end.
fn part(
    canvas: &mut Canvas,
    top: f64,
    names: f64,
    (timeline, strip, end_s): (&Timeline, &[Stretch], f64),
    lines: &[ChartLine],
) -> f64 {
    let first = usize::from(!strip.is_empty());
    let y = match timeline.openings.is_empty() {
        true => top,
        false => top + DAYS,
    };
    let area = Area {
        x: MARGIN + names,
        y,
        width: canvas.inner() - names - BEHIND,
        height: ROW * (lines.len() + first) as f64,
    };
    let scale = Scale::of(end_s, area.width);
    let closings = openings(canvas, area, timeline, end_s);
    let mut parts = Parts::new(closings, lines.len() + first);
    let (room, bold) = (names - 10.0, Font::BODY.bold(true));
    let middle = |line: usize| y + ROW * (line as f64 + 0.5);
    if first > 0 {
        canvas.text(STRIP, (MARGIN, middle(0)), room, bold);
        parts.strip(strip, scale);
    }
    for (line, at) in lines.iter().zip(first..) {
        match line {
            ChartLine::Heading(title) => {
                canvas.text(title, (MARGIN, middle(at)), room, bold);
            }
            ChartLine::Row(row, name) => {
                canvas.text(name, (MARGIN, middle(at)), room, Font::BODY);
                let base = middle(at) + ROW / 2.0;
                canvas.line((MARGIN, base), (area.x, base), GRID, 0.5);
                parts.row(row, at, scale);
                let spells = timeline.spells.iter();
                parts.underline(spells.filter(|spell| is_of(spell, row)), at, scale);
            }
        }
    }
    let unit = time_unit(end_s);
    let marks = AxisMarks {
        figures: &match timeline.openings.is_empty() {
            true => format!("{} from the start", unit.sign),
            false => format!("{} of open time from the start", unit.sign),
        },
        rows: true,
        ..AxisMarks::default()
    };
    let axes = (FigureAxis::new(end_s, unit), RowAxis(lines.len() + first));
    plot(canvas, area, axes, marks, |plot| parts.draw(plot));
    y + area.height + BELOW + MARGIN / 2.0
}

/// Marks each closing time above the rows, with the days on which the shop is open as far as they have room, the last one
/// behind the bars if it has hardly begun; returns the closing times in seconds, through which lines are to be drawn.
pub fn openings(canvas: &mut Canvas, area: Area, timeline: &Timeline, end_s: f64) -> Vec<f64> {
    // Closer than this, lines are a grey area that says nothing.
    const APART: f64 = 3.0;
    let font = Font::BODY.size(SMALL).colour(FAINT);
    let at = |seconds: f64| area.x + area.width * (seconds / end_s).clamp(0.0, 1.0);
    let begins: Vec<_> = (timeline.openings.iter())
        .filter(|opening| opening.from_s < end_s)
        .collect();
    let is_near = |two: &[&TimelineOpening]| at(two[1].from_s) - at(two[0].from_s) < APART;
    if begins.windows(2).any(is_near) {
        return Vec::new();
    }
    let mut free = area.x;
    let mut closings = Vec::new();
    for opening in begins {
        let x = at(opening.from_s);
        if x > area.x {
            canvas.line((x, area.y - DAYS + 2.0), (x, area.y), TEXT, CLOSING);
            closings.push(opening.from_s);
        }
        let day = capital(WEEKDAYS[opening.weekday as usize % WEEKDAYS.len()]);
        let wide = font.width(&day);
        if x + 3.0 >= free && x + 3.0 + wide <= area.x + area.width + BEHIND {
            canvas.text(&day, (x + 3.0, area.y - DAYS / 2.0), wide + 1.0, font);
            free = x + wide + 9.0;
        }
    }
    closings
}
