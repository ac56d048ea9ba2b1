//! Who and what does what at which moment of one replication.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{Axis, heading, legend, names_width};
use super::quantity::time_unit;
use super::style::{
    BLACK, BODY, CARRYING, CURING, EDGE, EMPTY, Fill, GRID, HANDLING, Hatch, IDLE, MARGIN, PUSHING,
    RESERVED, RUNNING, SETTING_UP, SHIFTING, SMALL, SOLE, WHITE, ink,
};
use super::text::{clean, fit_apart};
use super::{Chart, Picture, one};
use crate::experiment::{
    Activity, Findings, ResourceKind, Timeline, TimelineBar as Bar, TimelineKind as Kind,
    TimelineRow as Row,
};

impl Activity {
    /// In the order of the legend.
    pub const ALL: [Activity; 11] = [
        Activity::Running,
        Activity::SettingUp,
        Activity::Curing,
        Activity::Reserved,
        Activity::Walking,
        Activity::Carrying,
        Activity::Pushing,
        Activity::Handling,
        Activity::Waiting,
        Activity::Sole,
        Activity::Shifting,
    ];

    pub fn name(self) -> &'static str {
        self.look().1
    }

    fn look(self) -> (Fill, &'static str) {
        match self {
            Activity::Running => (RUNNING, "running or working"),
            Activity::SettingUp => (SETTING_UP, "setting up"),
            Activity::Curing => (CURING, "curing"),
            Activity::Reserved => (RESERVED, "reserved"),
            Activity::Walking => (EMPTY, "walking"),
            Activity::Carrying => (CARRYING, "carrying"),
            Activity::Pushing => (PUSHING, "pushing"),
            Activity::Handling => (HANDLING, "handling"),
            Activity::Waiting => (IDLE, "waiting"),
            Activity::Sole => (SOLE, "bottleneck alone"),
            Activity::Shifting => (SHIFTING, "shared while it shifts"),
        }
    }
}

/// What the row of the momentary bottleneck is called.
const STRIP: &str = "Bottleneck";
/// How thick the line is below the bar of what holds everything up.
const MARK: f64 = 2.5;
const ROW: f64 = 22.0;
const BAR: f64 = 16.0;
/// Room for the names at most.
const NAMES: f64 = 190.0;
/// More units than these of one station share the lowest lane.
const LANES: usize = 4;
/// A bar is drawn at least this wide, and one that would not reach beyond the last one is left out.
const LEAST: f64 = 0.25;

/// Nothing is drawn without a timeline.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    timeline: Option<&Timeline>,
    scale: f64,
) -> Vec<Picture> {
    timeline.map_or_else(Vec::new, |timeline| {
        one(chart, scale, |canvas| {
            body(chart, findings, timeline, canvas)
        })
    })
}

fn body(chart: &Chart, findings: &Findings, timeline: &Timeline, canvas: &mut Canvas) -> f64 {
    let mut notes = format!(
        "\"{}\", replication {}, from its start to its end. A blank stretch is idle.",
        timeline.candidate, timeline.replication
    );
    let strip = strip(timeline);
    if !strip.is_empty() {
        notes.push_str(
            " The first row names the bottleneck of each moment by the active-period method: what is active longest \
             without a break, before and after. It is an indication, no proof.",
        );
        let mut rows = timeline.rows.iter();
        if rows.any(|row| strip.iter().any(|stretch| stretch.is_of(row))) {
            notes.push_str(" A black line below a bar says the same.");
        }
    }
    let y = heading(canvas, chart.title, findings, &notes);
    let shown: Vec<_> = Activity::ALL
        .into_iter()
        .filter(|what| {
            let bars = timeline.rows.iter().flat_map(|row| &row.bars);
            bars.into_iter().any(|bar| bar.what == *what)
        })
        .map(Activity::look)
        .collect();
    if shown.is_empty() {
        let room = canvas.inner();
        canvas.text("Nothing happened.", (MARGIN, y + BODY), room, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    }
    let y = legend(canvas, y, &shown);

    let of = |kind: Kind| timeline.rows.iter().filter(move |row| row.kind == kind);
    let groups = [
        ("Stations", of(Kind::Station).collect::<Vec<_>>()),
        ("People", of(Kind::Person).collect()),
    ];
    let groups: Vec<_> = groups
        .into_iter()
        .filter(|group| !group.1.is_empty())
        .collect();
    let rows: usize = groups.iter().map(|group| group.1.len() + 1).sum();
    let rows = rows + usize::from(!strip.is_empty());
    let listed = groups.iter().flat_map(|group| &group.1);
    let names = listed.map(|row| row.name.as_str()).chain([STRIP]);
    let names = names_width(names, Font::BODY.bold(true), NAMES);
    let area = Area {
        x: MARGIN + names,
        y,
        width: canvas.inner() - names - 30.0,
        height: ROW * rows as f64,
    };
    let axis = Axis::new(area, timeline.end_s, time_unit(timeline.end_s));
    let end = axis.draw(canvas);
    let mut middle = y + ROW / 2.0;
    if !strip.is_empty() {
        canvas.text(STRIP, (MARGIN, middle), names - 10.0, Font::BODY.bold(true));
        draw_strip(canvas, &axis, middle, &strip);
        middle += ROW;
    }
    for (title, rows) in groups {
        canvas.text(title, (MARGIN, middle), names - 10.0, Font::BODY.bold(true));
        middle += ROW;
        let written: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
        let written = fit_apart(&written, Font::BODY.shape(), names - 10.0);
        for (row, name) in rows.into_iter().zip(&written) {
            canvas.text(name, (MARGIN, middle), names - 10.0, Font::BODY);
            let base = middle + ROW / 2.0;
            canvas.line((MARGIN, base), (area.x + area.width, base), GRID, 0.5);
            draw_row(canvas, &axis, middle, row);
            let own = strip.iter().filter(|stretch| stretch.is_of(row));
            underline(canvas, &axis, base, own);
            middle += ROW;
        }
    }
    end + MARGIN / 2.0
}

/// A stretch of time over which one resource is the momentary bottleneck, in parts that follow each other.
struct Stretch<'a> {
    name: &'a str,
    kind: ResourceKind,
    parts: Vec<Bar>,
}

impl Stretch<'_> {
    fn begins_s(&self) -> f64 {
        self.parts.first().map_or(0.0, |part| part.from_s)
    }

    fn ends_s(&self) -> f64 {
        self.parts.last().map_or(0.0, |part| part.to_s)
    }

    fn is_of(&self, row: &Row) -> bool {
        let is_kind = match row.kind {
            Kind::Station => self.kind == ResourceKind::Station,
            Kind::Person => self.kind == ResourceKind::Person,
            Kind::Bottleneck(_) => false,
        };
        is_kind && self.name == row.name
    }
}

/// The momentary bottlenecks in the order of time.
fn strip(timeline: &Timeline) -> Vec<Stretch<'_>> {
    let mut parts: Vec<(&Row, ResourceKind, Bar)> = Vec::new();
    for row in &timeline.rows {
        if let Kind::Bottleneck(kind) = row.kind {
            parts.extend(row.bars.iter().map(|bar| (row, kind, *bar)));
        }
    }
    parts.sort_by(|a, b| a.2.from_s.total_cmp(&b.2.from_s));
    let mut strip: Vec<Stretch> = Vec::new();
    for (row, kind, bar) in parts {
        match strip.last_mut() {
            Some(last)
                if last.name == row.name && last.kind == kind && last.ends_s() == bar.from_s =>
            {
                last.parts.push(bar);
            }
            _ => strip.push(Stretch {
                name: &row.name,
                kind,
                parts: vec![bar],
            }),
        }
    }
    strip
}

/// Draws the momentary bottlenecks, with their names where there is room.
fn draw_strip(canvas: &mut Canvas, axis: &Axis, middle: f64, strip: &[Stretch]) {
    let mut drawn = f64::NEG_INFINITY;
    let font = Font::BODY.size(SMALL).align(Align::Middle);
    for stretch in strip {
        let mut whole: Option<Area> = None;
        let mut alone: Option<Area> = None;
        let before = drawn;
        for part in &stretch.parts {
            let left = axis.at(part.from_s).max(drawn);
            let right = axis.at(part.to_s).max(axis.at(part.from_s) + LEAST);
            if right - left < LEAST / 2.0 {
                continue;
            }
            drawn = right;
            let area = Area {
                x: left,
                y: middle - BAR / 2.0,
                width: right - left,
                height: BAR,
            };
            canvas.hatched(area, part.what.look().0);
            let is_wider = alone.is_none_or(|widest| area.width > widest.width);
            if part.what == Activity::Sole && is_wider {
                alone = Some(area);
            }
            let begin = whole.map_or(left, |whole| whole.x);
            whole = Some(Area {
                x: begin,
                width: right - begin,
                ..area
            });
        }
        let Some(area) = whole else { continue };
        if area.width >= 3.0 {
            canvas.outline(area, EDGE, 0.5);
            // Two dark ones beside each other would look like one.
            let (left, bottom) = (area.x, area.y + area.height);
            if left - before < LEAST {
                canvas.line((left, area.y), (left, bottom), WHITE, 1.5);
            }
        }
        let name = clean(stretch.name);
        let needed = font.width(&name) + 6.0;
        // The name is of what holds everything up alone, if it ever does.
        let (fill, named) = match alone {
            Some(alone) => (SOLE, alone),
            None => (SHIFTING, area),
        };
        if !name.is_empty() && needed + 4.0 <= named.width {
            let centre = named.x + named.width / 2.0;
            let plate = Area {
                x: centre - needed / 2.0,
                y: named.y + 1.5,
                width: needed,
                height: BAR - 3.0,
            };
            if fill.hatch != Hatch::Plain {
                canvas.fill(plate, fill.plate());
            }
            let font = font.colour(ink(fill.plate()));
            canvas.text(&name, (centre, middle), needed, font);
        }
    }
}

fn draw_row(canvas: &mut Canvas, axis: &Axis, middle: f64, row: &Row) {
    let lanes = lanes(&row.bars);
    let height = BAR / lanes.len().max(1) as f64;
    for (index, lane) in lanes.iter().enumerate() {
        let y = middle - BAR / 2.0 + height * index as f64;
        let mut drawn = f64::NEG_INFINITY;
        for bar in lane {
            let left = axis.at(bar.from_s).max(drawn);
            let right = axis.at(bar.to_s).max(axis.at(bar.from_s) + LEAST);
            if right - left < LEAST / 2.0 {
                continue;
            }
            drawn = right;
            let area = Area {
                x: left,
                y,
                width: right - left,
                height,
            };
            canvas.hatched(area, bar.what.look().0);
            if area.width >= 3.0 {
                canvas.outline(area, EDGE, 0.5);
            }
        }
    }
}

/// Draws a line above the base of a row for each stretch; those too near to be told apart are one line.
fn underline<'a>(
    canvas: &mut Canvas,
    axis: &Axis,
    base: f64,
    stretches: impl Iterator<Item = &'a Stretch<'a>>,
) {
    let mut lines: Vec<(f64, f64)> = Vec::new();
    for stretch in stretches {
        let begin = axis.at(stretch.begins_s());
        let end = axis.at(stretch.ends_s()).max(begin + LEAST);
        match lines.last_mut() {
            Some(last) if begin - last.1 < LEAST => last.1 = last.1.max(end),
            _ => lines.push((begin, end)),
        }
    }
    for (begin, end) in lines {
        let line = Area {
            x: begin,
            y: base - MARK,
            width: end - begin,
            height: MARK,
        };
        canvas.fill(line, BLACK);
    }
}

/// Bars by their beginning, each in the first lane that is free then.
fn lanes(bars: &[Bar]) -> Vec<Vec<Bar>> {
    let mut bars: Vec<Bar> = bars
        .iter()
        .copied()
        .filter(|bar| bar.to_s > bar.from_s)
        .collect();
    bars.sort_by(|a, b| {
        a.from_s
            .total_cmp(&b.from_s)
            .then(a.to_s.total_cmp(&b.to_s))
    });
    let mut lanes: Vec<Vec<Bar>> = Vec::new();
    for bar in bars {
        let free = |lane: &Vec<Bar>| lane.last().is_none_or(|last| last.to_s <= bar.from_s);
        match lanes.iter().position(free) {
            Some(lane) => lanes[lane].push(bar),
            None if lanes.len() < LANES => lanes.push(vec![bar]),
            None => lanes[LANES - 1].push(bar),
        }
    }
    lanes
}
