//! How many lots wait at each station, at every instant of one run.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Area, Canvas, Font};
use super::elements::{Bar, Curve, Label};
use super::frame::{heading, legend, names_width};
use super::meaning::WAITING_LOTS;
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::style::{BODY, MARGIN, SMALL, TEXT};
use super::text::fit_apart;
use super::timeline::{DAYS, openings};
use super::timeline_bars::CLOSING;
use super::{Chart, ChartSize, Picture};
use crate::experiment::{Findings, Timeline, WaitingLots};
use crate::report::figure::time_unit;

const ROW: f64 = 36.0;
/// So much of a row the longest queue of all takes.
const HIGHEST: f64 = 0.85;
/// Room for the names at most.
const NAMES: f64 = 190.0;
/// Room for how long a queue gets, behind its row.
const FIGURE: f64 = 40.0;
/// A queue of one lot is no pile.
const PILE: u32 = 2;
/// Columns for each unit of the picture's width, where queues change too often to draw every change.
const COLUMNS: f64 = 2.0;

/// A picture for each timeline, over the same time and with the same scale; none where nowhere more than one lot waits.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    timelines: &[Timeline],
    size: ChartSize,
) -> Vec<Picture> {
    let all = timelines.iter().flat_map(|timeline| &timeline.queues);
    let most = all.map(WaitingLots::longest).max().unwrap_or(0);
    if most < PILE {
        return Vec::new();
    }
    let ends = timelines.iter().map(|timeline| timeline.end_s);
    let end_s = ends.fold(0.0, f64::max);
    let pictures = timelines.iter().enumerate().flat_map(|(index, timeline)| {
        let (stem, title) = chart.stem_and_title(timelines, index);
        Picture::of(stem, (&title, chart.about), size, |canvas| {
            body(&title, findings, timeline, (end_s, most), canvas)
        })
    });
    pictures.collect()
}

fn body(
    title: &str,
    findings: &Findings,
    timeline: &Timeline,
    (end_s, most): (f64, u32),
    canvas: &mut Canvas,
) -> f64 {
    let mut notes = format!(
        "\"{}\", run {}: lots that are ready for a station and not yet taken. All rows have one scale; the figure behind a \
         row is its longest queue. A lot that several stations could do waits at each of them.",
        timeline.candidate, timeline.replication
    );
    if !timeline.openings.is_empty() {
        notes.push_str(" An upright line is closing time, with the day that follows it.");
    }
    let y = heading(canvas, title, &findings.title, &notes);
    let mut y = legend(canvas, y, &[WAITING_LOTS]);
    canvas.header_ends(y);
    if timeline.queues.is_empty() {
        let room = canvas.inner();
        canvas.text("Nothing waits.", (MARGIN, y + BODY), room, Font::BODY);
        return y + 2.0 * BODY + MARGIN;
    }
    for queue in &timeline.queues {
        canvas.describe(&format!("{}: at most {}.", queue.station, queue.longest()));
    }
    let stations = timeline.queues.iter().map(|queue| queue.station.as_str());
    let names = names_width(stations, Font::BODY, NAMES);
    for queues in timeline.queues.chunks(rows_on_page(canvas, y)) {
        y = rows(canvas, y, names, (timeline, end_s, most), queues);
        canvas.may_break(y);
    }
    y
}

fn rows_on_page(canvas: &Canvas, top: f64) -> usize {
    const FOOT: f64 = 22.0;
    let Some(page) = canvas.page else {
        return usize::MAX;
    };
    let room = page - top - DAYS - BELOW - MARGIN / 2.0 - FOOT;
    ((room / ROW) as usize).max(2)
}

/// Draws some queues over one axis; returns where they end.
fn rows(
    canvas: &mut Canvas,
    top: f64,
    names: f64,
    (timeline, end_s, most): (&Timeline, f64, u32),
    queues: &[WaitingLots],
) -> f64 {
    let days = if timeline.openings.is_empty() {
        0.0
    } else {
        DAYS
    };
    let area = Area {
        x: MARGIN + names,
        y: top + days,
        width: canvas.inner() - names - FIGURE,
        height: ROW * queues.len() as f64,
    };
    let closings = openings(canvas, area, timeline, end_s);
    let written: Vec<&str> = queues.iter().map(|queue| queue.station.as_str()).collect();
    let written = fit_apart(&written, Font::BODY.shape(), names - 10.0);
    let columns = (area.width * COLUMNS) as usize;
    let (mut bars, mut labels) = (Vec::new(), Vec::new());
    for (row, (queue, name)) in queues.iter().zip(&written).enumerate() {
        let base = row as f64 + 1.0;
        let middle = area.y + ROW * (base - 0.5);
        canvas.text(name, (MARGIN, middle), names - 10.0, Font::BODY);
        let high = |level: u32| HIGHEST * f64::from(level) / f64::from(most);
        let steps = seen(&steps(queue, timeline.end_s), end_s, columns);
        bars.extend(steps.into_iter().map(|(from, to, level)| Bar {
            corners: [(from, base - high(level)), (to, base)],
            fill: WAITING_LOTS.fill,
            edge: 0.0,
        }));
        labels.push(Label {
            place: [(end_s, base - 0.5)],
            aside: (6.0, 0.0),
            text: queue.longest().to_string(),
            room: FIGURE - 8.0,
            font: Font::BODY.size(SMALL),
        });
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
    let lines = closings.iter().map(|&at_s| Curve {
        places: vec![(at_s, 0.0), (at_s, queues.len() as f64)],
        colour: TEXT,
        width: CLOSING,
        dashes: &[],
    });
    let lines: Vec<Curve> = lines.collect();
    let axes = (FigureAxis::new(end_s, unit), RowAxis(queues.len()));
    plot(canvas, area, axes, marks, |plot| {
        draw_all(plot, bars);
        draw_all(plot, lines);
        draw_all(plot, labels);
    });
    area.y + area.height + BELOW + MARGIN / 2.0
}

/// A stretch of time in seconds in which so many lots wait.
type QueueStretch = (f64, f64, u32);

/// The stretches in which some wait, up to the end of the run.
fn steps(queue: &WaitingLots, end_s: f64) -> Vec<QueueStretch> {
    let ends = queue.levels.iter().skip(1).map(|(from, _)| *from);
    let ends = ends.chain([end_s]);
    let steps = (queue.levels.iter().zip(ends)).map(|(&(from, level), to)| (from, to, level));
    steps
        .filter(|(from, to, level)| *level > 0 && to > from)
        .collect()
}

/// All of them where they can be told apart; else the longest queue of each of so many columns.
fn seen(steps: &[QueueStretch], end_s: f64, columns: usize) -> Vec<QueueStretch> {
    if steps.len() <= columns || columns == 0 || end_s <= 0.0 {
        return steps.to_vec();
    }
    let wide = end_s / columns as f64;
    let mut longest = vec![0; columns];
    for &(from, to, level) in steps {
        let first = ((from / wide) as usize).min(columns - 1);
        let beyond = ((to / wide).ceil() as usize).clamp(first + 1, columns);
        for column in &mut longest[first..beyond] {
            *column = level.max(*column);
        }
    }
    let mut seen: Vec<QueueStretch> = Vec::new();
    for (column, level) in longest
        .into_iter()
        .enumerate()
        .filter(|(_, level)| *level > 0)
    {
        let (from, to) = (wide * column as f64, wide * (column + 1) as f64);
        match seen.last_mut() {
            Some(last) if last.2 == level && last.1 == from => last.1 = to,
            _ => seen.push((from, to, level)),
        }
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn queue(levels: &[(f64, u32)]) -> WaitingLots {
        WaitingLots {
            station: "bench".to_owned(),
            levels: levels.to_vec(),
        }
    }

    #[test]
    fn a_queue_is_drawn_where_something_waits_and_to_the_end() {
        let queue = queue(&[(10.0, 1), (20.0, 3), (30.0, 0), (40.0, 2)]);
        let expected = [(10.0, 20.0, 1), (20.0, 30.0, 3), (40.0, 50.0, 2)];
        assert_eq!(steps(&queue, 50.0), expected);
        assert_eq!(seen(&expected, 50.0, 3), expected);
    }

    /// In two columns of 25 s the longest queues are 3 and, from 25 to 30 s, 3 again.
    #[test]
    fn where_it_changes_too_often_each_column_has_its_longest_queue() {
        let queue = queue(&[(10.0, 1), (20.0, 3), (30.0, 0), (40.0, 2)]);
        let all = steps(&queue, 50.0);
        assert_eq!(seen(&all, 50.0, 2), [(0.0, 50.0, 3)]);
        let late = [(0.0, 1.0, 1), (1.0, 2.0, 2), (40.0, 50.0, 1)];
        assert_eq!(seen(&late, 50.0, 2), [(0.0, 25.0, 2), (25.0, 50.0, 1)]);
    }
}
