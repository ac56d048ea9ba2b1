//! Who and what does what at which moment of one replication.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{heading, legend, names_width};
use super::plot::{
    AxisMarks, BELOW, Bar, FigureAxis, Label, Plot, RowAxis, draw as draw_all, plot,
};
use super::style::{
    BLACK, BODY, CARRYING, CURING, EMPTY, Fill, GRID, HANDLING, Hatch, IDLE, MARGIN, PUSHING,
    RESERVED, RUNNING, SETTING_UP, SHIFTING, SMALL, SOLE, UNSHOWN, ink,
};
use super::text::{clean, fit_apart};
use super::{Chart, Picture, one};
use crate::experiment::{
    Activity, Findings, ResourceKind, Timeline, TimelineBar, TimelineKind, TimelineRow,
};
use crate::report::figure::{number, time_unit};

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
const UNDERLINE: Fill = Fill {
    colour: BLACK,
    hatch: Hatch::Plain,
};
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

    let of = |kind: TimelineKind| timeline.rows.iter().filter(move |row| row.kind == kind);
    let groups = [
        ("Stations", of(TimelineKind::Station).collect::<Vec<_>>()),
        ("People", of(TimelineKind::Person).collect()),
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
    let (first, mut middle) = (usize::from(!strip.is_empty()), y + ROW / 2.0);
    if !strip.is_empty() {
        canvas.text(STRIP, (MARGIN, middle), names - 10.0, Font::BODY.bold(true));
        middle += ROW;
    }
    let unit = time_unit(timeline.end_s);
    let scale = Scale::of(timeline.end_s, area.width);
    let mut parts = Parts::default();
    parts.strip(&strip, scale);
    let mut at = first;
    for (title, rows) in groups {
        canvas.text(title, (MARGIN, middle), names - 10.0, Font::BODY.bold(true));
        middle += ROW;
        at += 1;
        let written: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
        let written = fit_apart(&written, Font::BODY.shape(), names - 10.0);
        for (row, name) in rows.into_iter().zip(&written) {
            canvas.text(name, (MARGIN, middle), names - 10.0, Font::BODY);
            let base = middle + ROW / 2.0;
            canvas.line((MARGIN, base), (area.x, base), GRID, 0.5);
            parts.row(row, at, scale);
            parts.underline(strip.iter().filter(|stretch| stretch.is_of(row)), at, scale);
            middle += ROW;
            at += 1;
        }
    }
    canvas.describe(&format!(
        "{} stations and people over {} {}.",
        at - first,
        number(timeline.end_s / unit.per_unit),
        unit.sign
    ));
    let marks = AxisMarks {
        figures: &format!("{} from the start", unit.sign),
        rows: true,
        ..AxisMarks::default()
    };
    let axis = FigureAxis::new(timeline.end_s, unit);
    plot(canvas, area, (axis, RowAxis(rows)), marks, |plot| {
        parts.draw(plot)
    });
    y + area.height + BELOW + MARGIN / 2.0
}

/// What is too short to be seen.
#[derive(Clone, Copy)]
struct Scale {
    /// Seconds in a unit of the picture.
    unit_s: f64,
    /// The shortest bar that is drawn, in seconds.
    least_s: f64,
}

impl Scale {
    fn of(end_s: f64, width: f64) -> Scale {
        let unit_s = if end_s > 0.0 { end_s / width } else { 1.0 };
        Scale {
            unit_s,
            least_s: LEAST * unit_s,
        }
    }

    /// Where a bar is drawn that begins beyond what has been drawn before it; nowhere if it would not be seen there.
    fn seen(self, (from_s, to_s): (f64, f64), drawn_s: f64) -> Option<(f64, f64)> {
        let (left, right) = (from_s.max(drawn_s), to_s.max(from_s + self.least_s));
        (right - left >= self.least_s / 2.0).then_some((left, right))
    }
}

/// A stretch of time over which one resource is the momentary bottleneck, in parts that follow each other.
struct Stretch<'a> {
    name: &'a str,
    kind: ResourceKind,
    parts: Vec<TimelineBar>,
}

impl Stretch<'_> {
    fn begins_s(&self) -> f64 {
        self.parts.first().map_or(0.0, |part| part.from_s)
    }

    fn ends_s(&self) -> f64 {
        self.parts.last().map_or(0.0, |part| part.to_s)
    }

    fn is_of(&self, row: &TimelineRow) -> bool {
        let is_kind = match row.kind {
            TimelineKind::Station => self.kind == ResourceKind::Station,
            TimelineKind::Person => self.kind == ResourceKind::Person,
            TimelineKind::Bottleneck(_) => false,
        };
        is_kind && self.name == row.name
    }
}

/// The momentary bottlenecks in the order of time.
fn strip(timeline: &Timeline) -> Vec<Stretch<'_>> {
    let mut parts: Vec<(&TimelineRow, ResourceKind, TimelineBar)> = Vec::new();
    for row in &timeline.rows {
        if let TimelineKind::Bottleneck(kind) = row.kind {
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

/// What is drawn in the rows, from the lowest to the topmost.
#[derive(Default)]
struct Parts {
    bars: Vec<Bar>,
    /// Below names on bars.
    plates: Vec<Bar>,
    names: Vec<Label>,
}

impl Parts {
    fn draw<'a>(self, plot: &mut Plot<'a, RowAxis>) {
        draw_all(plot, self.bars);
        draw_all(plot, self.plates);
        draw_all(plot, self.names);
    }

    /// A bar between two heights in a row, with an edge if it is wide enough for one.
    fn bar(
        &mut self,
        (left, right): (f64, f64),
        (top, bottom): (f64, f64),
        fill: Fill,
        scale: Scale,
    ) {
        let edge = if (right - left) / scale.unit_s >= 3.0 {
            0.5
        } else {
            0.0
        };
        self.bars.push(Bar {
            corners: [(left, top), (right, bottom)],
            fill,
            edge,
        });
    }

    /// The momentary bottlenecks in the first row, with their names where there is room.
    fn strip(&mut self, strip: &[Stretch], scale: Scale) {
        let mut drawn = f64::NEG_INFINITY;
        let font = Font::BODY.size(SMALL).align(Align::Middle);
        let (top, bottom) = in_row(0.0, BAR);
        for stretch in strip {
            let mut whole: Option<(f64, f64)> = None;
            let mut alone: Option<(f64, f64)> = None;
            let before = drawn;
            for part in &stretch.parts {
                let Some((left, right)) = scale.seen((part.from_s, part.to_s), drawn) else {
                    continue;
                };
                drawn = right;
                let corners = [(left, top), (right, bottom)];
                self.bars.push(Bar {
                    corners,
                    fill: part.what.look().0,
                    edge: 0.0,
                });
                let is_wider = alone.is_none_or(|widest| right - left > widest.1 - widest.0);
                if part.what == Activity::Sole && is_wider {
                    alone = Some((left, right));
                }
                whole = Some((whole.map_or(left, |whole| whole.0), right));
            }
            let Some((left, right)) = whole else { continue };
            // Two dark ones beside each other would look like one.
            if (right - left) / scale.unit_s >= 3.0 && left - before < scale.least_s {
                let corners = [(left, top), (left + 0.75 * scale.unit_s, bottom)];
                self.bars.push(Bar {
                    corners,
                    fill: UNSHOWN,
                    edge: 0.0,
                });
            }
            let name = clean(stretch.name);
            let needed = font.width(&name) + 6.0;
            // The name is of what holds everything up alone, if it ever does.
            let (fill, named) = match alone {
                Some(alone) => (SOLE, alone),
                None => (SHIFTING, (left, right)),
            };
            let room = (named.1 - named.0) / scale.unit_s;
            if !name.is_empty() && needed + 4.0 <= room {
                let centre = (named.0 + named.1) / 2.0;
                let half = needed * scale.unit_s / 2.0;
                let (top, bottom) = in_row(0.0, BAR - 3.0);
                if fill.hatch != Hatch::Plain {
                    let corners = [(centre - half, top), (centre + half, bottom)];
                    let fill = Fill {
                        colour: fill.plate(),
                        hatch: Hatch::Plain,
                    };
                    self.plates.push(Bar {
                        corners,
                        fill,
                        edge: 0.0,
                    });
                }
                self.names.push(Label {
                    place: [(centre, 0.5)],
                    aside: (0.0, 0.0),
                    text: name,
                    room: needed,
                    font: font.colour(ink(fill.plate())),
                });
            }
        }
    }

    /// The bars of a row, those of several units below each other.
    fn row(&mut self, row: &TimelineRow, at: usize, scale: Scale) {
        let lanes = lanes(&row.bars);
        let (top, bottom) = in_row(at as f64, BAR);
        let height = (bottom - top) / lanes.len().max(1) as f64;
        for (index, lane) in lanes.iter().enumerate() {
            let top = top + height * index as f64;
            let mut drawn = f64::NEG_INFINITY;
            for bar in lane {
                if let Some((left, right)) = scale.seen((bar.from_s, bar.to_s), drawn) {
                    drawn = right;
                    self.bar((left, right), (top, top + height), bar.what.look().0, scale);
                }
            }
        }
    }

    /// A line above the base of a row for each stretch; those too near to be told apart are one line.
    fn underline<'a>(
        &mut self,
        stretches: impl Iterator<Item = &'a Stretch<'a>>,
        at: usize,
        scale: Scale,
    ) {
        let mut lines: Vec<(f64, f64)> = Vec::new();
        for stretch in stretches {
            let begin = stretch.begins_s();
            let end = stretch.ends_s().max(begin + scale.least_s);
            match lines.last_mut() {
                Some(last) if begin - last.1 < scale.least_s => last.1 = last.1.max(end),
                _ => lines.push((begin, end)),
            }
        }
        let base = at as f64 + 1.0;
        self.bars.extend(lines.into_iter().map(|(begin, end)| Bar {
            corners: [(begin, base - MARK / ROW), (end, base)],
            fill: UNDERLINE,
            edge: 0.0,
        }));
    }
}

/// Where something of so many units lies in the middle of a row.
fn in_row(row: f64, high: f64) -> (f64, f64) {
    let half = high / ROW / 2.0;
    (row + 0.5 - half, row + 0.5 + half)
}

/// Bars by their beginning, each in the first lane that is free then.
fn lanes(bars: &[TimelineBar]) -> Vec<Vec<TimelineBar>> {
    let mut bars: Vec<TimelineBar> = bars
        .iter()
        .copied()
        .filter(|bar| bar.to_s > bar.from_s)
        .collect();
    bars.sort_by(|a, b| {
        a.from_s
            .total_cmp(&b.from_s)
            .then(a.to_s.total_cmp(&b.to_s))
    });
    let mut lanes: Vec<Vec<TimelineBar>> = Vec::new();
    for bar in bars {
        let free = |lane: &Vec<TimelineBar>| lane.last().is_none_or(|last| last.to_s <= bar.from_s);
        match lanes.iter().position(free) {
            Some(lane) => lanes[lane].push(bar),
            None if lanes.len() < LANES => lanes.push(vec![bar]),
            None => lanes[LANES - 1].push(bar),
        }
    }
    lanes
}
