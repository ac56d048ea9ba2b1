//! How many lots wait at each station, at every instant of one run.

use super::canvas::{Canvas, Font};
use super::elements::{Bar, Label};
use super::frame::{heading, legend, names_width};
use super::meaning::WAITING_LOTS;
use super::style::{BODY, MARGIN, SMALL};
use super::timeline_rows::{LevelStretch, RowBase, RowMarks, TimelineRows, greatest_by_column};
use super::{Chart, ChartSize, Picture};
use crate::experiment::{Findings, Timeline, WaitingLots};

const ROW: f64 = 36.0;
/// So much of a row the longest queue of all takes.
const HIGHEST: f64 = 0.85;
/// Room for the names at most.
const NAMES: f64 = 190.0;
/// Room for how long a queue gets, behind its row.
const FIGURE: f64 = 40.0;
/// A queue of one lot is no pile.
const PILE: u32 = 2;

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
    let rows = TimelineRows {
        timeline,
        end_s,
        high: ROW,
        names: names_width(stations, Font::BODY, NAMES),
        behind: FIGURE,
    };
    for queues in timeline.queues.chunks(rows.on_page(canvas, y, 2)) {
        let mark = |queue: &WaitingLots, row: &RowBase, marks: &mut RowMarks| {
            let high = |level: u32| HIGHEST * f64::from(level) / f64::from(most);
            let steps = seen(&steps(queue, timeline.end_s), end_s, row.columns);
            marks
                .bars
                .extend(steps.into_iter().map(|(from, to, level)| Bar {
                    corners: [(from, row.base - high(level)), (to, row.base)],
                    fill: WAITING_LOTS.fill,
                    edge: 0.0,
                }));
            marks.labels.push(Label {
                place: [(end_s, row.base - 0.5)],
                aside: (6.0, 0.0),
                text: queue.longest().to_string(),
                room: FIGURE - 8.0,
                font: Font::BODY.size(SMALL),
            });
        };
        y = rows.draw(canvas, y, queues, |queue| queue.station.clone(), mark);
        canvas.may_break(y);
    }
    y
}

/// A stretch of time in seconds in which so many lots wait.
type QueueStretch = LevelStretch<u32>;

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
    let mut seen: Vec<QueueStretch> = Vec::new();
    for (from, to, level) in greatest_by_column(steps.iter().copied(), end_s, columns) {
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
