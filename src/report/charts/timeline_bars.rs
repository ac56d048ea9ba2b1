//! The bars of a timeline: what stations, gear, people and lots do, and the momentary bottleneck of every instant.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Font};
use super::elements::{Bar, Curve, Label};
use super::plot::{Plot, draw as draw_all};
use super::style::{BLACK, Fill, SMALL, TEXT, WHITE, ink};
use super::text::clean;
use crate::experiment::{
    Activity, BottleneckSpell, ResourceKind, Timeline, TimelineBar, TimelineKind, TimelineRow,
};

/// How thick the line is below the bar of what holds everything up.
const MARK: f64 = 2.5;
const UNDERLINE: Fill = Fill::plain(BLACK);
pub const ROW: f64 = 22.0;
const BAR: f64 = 16.0;
/// More units than these of one station share the lowest lane.
const LANES: usize = 4;
/// A bar is drawn at least this wide, and one that would not reach beyond the last one is left out.
const LEAST: f64 = 0.25;

/// What is too short to be seen.
#[derive(Clone, Copy)]
pub struct Scale {
    /// Seconds in a unit of the picture.
    unit_s: f64,
    /// The shortest bar that is drawn, in seconds.
    least_s: f64,
}

impl Scale {
    pub fn of(end_s: f64, width: f64) -> Scale {
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
pub struct Stretch<'a> {
    name: &'a str,
    kind: ResourceKind,
    parts: Vec<TimelineBar>,
}

impl Stretch<'_> {
    fn ends_s(&self) -> f64 {
        self.parts.last().map_or(0.0, |part| part.to_s)
    }
}

/// Whether a busy spell is that of a row.
pub fn is_of(spell: &BottleneckSpell, row: &TimelineRow) -> bool {
    let is_kind = match row.kind {
        TimelineKind::Station => spell.kind == ResourceKind::Station,
        TimelineKind::Person => spell.kind == ResourceKind::Person,
        TimelineKind::Gear => spell.kind == ResourceKind::Gear,
        TimelineKind::SetAside | TimelineKind::Lot | TimelineKind::Bottleneck(_) => false,
    };
    is_kind && spell.name == row.name
}

/// The momentary bottlenecks in the order of time.
pub fn strip(timeline: &Timeline) -> Vec<Stretch<'_>> {
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

/// Stretches of one resource with hardly anything between them, which have one name.
struct NamedStretch<'a> {
    stretch: &'a Stretch<'a>,
    ends: (f64, f64),
    /// What of it is drawn in one piece in one filling, in the order of time.
    pieces: Vec<(f64, f64, Activity)>,
}

/// Stretches of one resource nearer than so many units have one name.
const NEAR: f64 = 8.0;

/// How wide the line of a closing time is.
pub const CLOSING: f64 = 0.6;

/// What is drawn in the rows, from the lowest to the topmost.
pub struct Parts {
    bars: Vec<Bar>,
    /// Closing times, in seconds, and how far down their lines reach.
    closings: Vec<f64>,
    rows: usize,
    /// Below names on bars.
    plates: Vec<Bar>,
    names: Vec<Label>,
}

impl Parts {
    /// Nothing yet but lines at closing times through so many rows.
    pub fn new(closings: Vec<f64>, rows: usize) -> Parts {
        Parts {
            bars: Vec::new(),
            closings,
            rows,
            plates: Vec::new(),
            names: Vec::new(),
        }
    }

    pub fn draw(self, plot: &mut Plot<FigureAxis, RowAxis>) {
        draw_all(plot, self.bars);
        let lines = self.closings.iter().map(|&at_s| Curve {
            places: vec![(at_s, 0.0), (at_s, self.rows as f64)],
            colour: TEXT,
            width: CLOSING,
            dashes: &[],
        });
        draw_all(plot, lines.collect::<Vec<_>>());
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
    pub fn strip(&mut self, strip: &[Stretch], scale: Scale) {
        let mut drawn = f64::NEG_INFINITY;
        let (top, bottom) = in_row(0.0, BAR);
        let mut named: Option<NamedStretch> = None;
        for stretch in strip {
            let begins = drawn;
            let mut pieces: Vec<(f64, f64, Activity)> = Vec::new();
            for part in &stretch.parts {
                let Some((left, right)) = scale.seen((part.from_s, part.to_s), drawn) else {
                    continue;
                };
                drawn = right;
                let corners = [(left, top), (right, bottom)];
                self.bars.push(Bar {
                    corners,
                    fill: part.what.meaning().fill,
                    edge: 0.0,
                });
                match pieces.last_mut() {
                    Some(last) if last.2 == part.what && last.1 == left => last.1 = right,
                    _ => pieces.push((left, right, part.what)),
                }
            }
            let (Some(&(left, ..)), Some(&(_, right, _))) = (pieces.first(), pieces.last()) else {
                continue;
            };
            let is_next = named.as_ref().is_some_and(|named| {
                let near = left - named.ends.1 < NEAR * scale.unit_s;
                named.stretch.name == stretch.name && named.stretch.kind == stretch.kind && near
            });
            match named.as_mut().filter(|_| is_next) {
                Some(named) => {
                    named.ends.1 = right;
                    named.pieces.extend(pieces);
                }
                None => {
                    self.name(named.take(), scale);
                    // Two dark ones beside each other would look like one.
                    if (right - left) / scale.unit_s >= 3.0 && left - begins < scale.least_s {
                        let corners = [(left, top), (left + 0.75 * scale.unit_s, bottom)];
                        self.bars.push(Bar {
                            corners,
                            fill: Fill::plain(WHITE),
                            edge: 0.0,
                        });
                    }
                    named = Some(NamedStretch {
                        stretch,
                        ends: (left, right),
                        pieces,
                    });
                }
            }
        }
        self.name(named, scale);
    }

    /// Writes what a stretch of the first row is called, if there is room: in its longest piece of one filling, or else
    /// in the middle of all of it, on a light plate that is taken for no bar.
    fn name(&mut self, named: Option<NamedStretch>, scale: Scale) {
        let Some(NamedStretch {
            stretch,
            ends,
            pieces,
        }) = named
        else {
            return;
        };
        let font = Font::BODY.size(SMALL).align(Align::Middle);
        let name = clean(stretch.name);
        let needed = font.width(&name) + 6.0;
        let has_room = |from: f64, to: f64| needed + 4.0 <= (to - from) / scale.unit_s;
        if name.is_empty() || !has_room(ends.0, ends.1) {
            return;
        }
        let is_undivided = |from: f64, to: f64| {
            let mut closings = self.closings.iter();
            !closings.any(|closing| (from..=to).contains(closing))
        };
        let half = needed * scale.unit_s / 2.0;
        let middle = |from: f64, to: f64| (from + to) / 2.0;
        let whole = pieces.into_iter().filter(|&(from, to, _)| {
            let centre = middle(from, to);
            has_room(from, to) && is_undivided(centre - half, centre + half)
        });
        // Where the bottleneck is shared, its name stands only if it is nowhere the only one.
        let rank = |&(from, to, what): &(f64, f64, Activity)| (what == Activity::Sole, to - from);
        let longest = whole.max_by(|one, other| {
            let ((sole, long), (other_sole, other_long)) = (rank(one), rank(other));
            sole.cmp(&other_sole).then(long.total_cmp(&other_long))
        });
        let (centre, below) = match longest {
            Some((from, to, what)) => (middle(from, to), what.meaning().fill),
            None => (middle(ends.0, ends.1), Fill::plain(WHITE)),
        };
        let plate = below.plate();
        // Nothing is kept off a name on a bar that is plain.
        if longest.is_none() || plate != below.colour {
            let (top, bottom) = in_row(0.0, BAR - 3.0);
            self.plates.push(Bar {
                corners: [(centre - half, top), (centre + half, bottom)],
                fill: Fill::plain(plate),
                edge: 0.0,
            });
        }
        self.names.push(Label {
            place: [(centre, 0.5)],
            aside: (0.0, 0.0),
            text: name,
            room: needed,
            font: font.colour(ink(plate)),
        });
    }

    /// The bars of a row, those of several units below each other.
    pub fn row(&mut self, row: &TimelineRow, at: usize, scale: Scale) {
        let lanes = lanes(&row.bars);
        let (top, bottom) = in_row(at as f64, BAR);
        let height = (bottom - top) / lanes.len().max(1) as f64;
        for (index, lane) in lanes.iter().enumerate() {
            let top = top + height * index as f64;
            let mut drawn = f64::NEG_INFINITY;
            for bar in lane {
                if let Some((left, right)) = scale.seen((bar.from_s, bar.to_s), drawn) {
                    drawn = right;
                    self.bar(
                        (left, right),
                        (top, top + height),
                        bar.what.meaning().fill,
                        scale,
                    );
                }
            }
        }
    }

    /// A line above the base of a row for each busy spell; those too near to be told apart are one line.
    pub fn underline<'a>(
        &mut self,
        spells: impl Iterator<Item = &'a BottleneckSpell>,
        at: usize,
        scale: Scale,
    ) {
        let mut lines: Vec<(f64, f64)> = Vec::new();
        for spell in spells {
            let begin = spell.from_s;
            let end = spell.to_s.max(begin + scale.least_s);
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
