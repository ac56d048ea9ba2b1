//! Who and what does what at which moment of one replication.

use super::canvas::{Area, Canvas, Font};
use super::frame::{Axis, heading, legend, names_width};
use super::quantity::time_unit;
use super::style::{
    BODY, CARRYING, CURING, EDGE, EMPTY, Fill, GRID, HANDLING, IDLE, MARGIN, PUSHING, RESERVED,
    RUNNING, SETTING_UP,
};
use super::{Chart, Picture, one};
use crate::experiment::Findings;

/// One replication as bars over time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    /// The candidate that was played.
    pub candidate: String,
    /// Which replication it is; the first is 1.
    pub replication: u32,
    /// When the replication ends, in seconds from its start.
    pub end_s: f64,
    pub rows: Vec<Row>,
}

/// A station or a person.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub name: String,
    pub kind: Kind,
    /// In any order. Bars that overlap, as of a station with several units, are drawn below each other.
    pub bars: Vec<Bar>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Station,
    Person,
}

/// A stretch of time in seconds from the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    pub from_s: f64,
    pub to_s: f64,
    pub what: Activity,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Activity {
    Walking,
    Carrying,
    Pushing,
    Handling,
    SettingUp,
    Running,
    Curing,
    /// A station that waits for the person or the lot on the way.
    Reserved,
    /// A person at a station who waits for others.
    Waiting,
}

impl Activity {
    /// In the order of the legend.
    pub const ALL: [Activity; 9] = [
        Activity::Running,
        Activity::SettingUp,
        Activity::Curing,
        Activity::Reserved,
        Activity::Walking,
        Activity::Carrying,
        Activity::Pushing,
        Activity::Handling,
        Activity::Waiting,
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
        }
    }
}

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
    let notes = format!(
        "\"{}\", replication {}, from its start to its end. A blank stretch is idle or away.",
        timeline.candidate, timeline.replication
    );
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
    let names = timeline.rows.iter().map(|row| row.name.as_str());
    let names = names_width(names, Font::BODY, NAMES);
    let area = Area {
        x: MARGIN + names,
        y,
        width: canvas.inner() - names - 30.0,
        height: ROW * rows as f64,
    };
    let axis = Axis::new(area, timeline.end_s, time_unit(timeline.end_s));
    let end = axis.draw(canvas);
    let mut middle = y + ROW / 2.0;
    for (title, rows) in groups {
        canvas.text(title, (MARGIN, middle), names - 10.0, Font::BODY.bold(true));
        middle += ROW;
        for row in rows {
            canvas.text(&row.name, (MARGIN, middle), names - 10.0, Font::BODY);
            let base = middle + ROW / 2.0;
            canvas.line((MARGIN, base), (area.x + area.width, base), GRID, 0.5);
            draw_row(canvas, &axis, middle, row);
            middle += ROW;
        }
    }
    end + MARGIN / 2.0
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
