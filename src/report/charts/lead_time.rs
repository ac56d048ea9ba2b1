//! How long orders take from release to done: the share that is done within each time, for each project.

use super::areas::{are_apart, lengthened};
use super::axes::{FigureAxis, LevelAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Curve, Place};
use super::frame::heading;
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::quantity::whole;
use super::style::{BLACK, BODY, Colour, FAINT, MARGIN, SMALL, TEXT, WHITE, stroke};
use super::text::clean;
use super::{Chart, ChartSize, Picture, one};
use crate::experiment::Findings;
use crate::report::figure::{Shown, number, percent, time_unit};
use crate::report::sentence::listed;
use crate::statistics::Histogram;

const MICROS: f64 = 1e6;
/// Of the curves of one project, in widths of the picture: where it is the only one, and where there are more.
const HEIGHT: f64 = 0.36;
const HEIGHT_OF_SEVERAL: f64 = 0.24;
const HEIGHT_OF_PAGE: f64 = 0.42;
const TABLE_ROW: f64 = 20.0;
/// A curve has this many steps at most; with fewer orders each has its own.
const STEPS: u64 = 200;
const STROKE: f64 = 2.0;
/// Room for the shares at the left.
const LEFT: f64 = 56.0;
/// The shares that are marked.
const SHARES: [f64; 6] = [0.0, 0.25, MEDIAN, 0.75, LATE, 1.0];
const MEDIAN: f64 = 0.5;
const LATE: f64 = 0.9;
/// An axis ends where so many orders of every curve are done, if it would be more than so many times as long to the last.
const SHOWN: f64 = 0.995;
const FAR: f64 = 1.5;
/// Names stand beside their curves at one of these shares.
const NAMED_AT: [f64; 10] = [0.7, 0.3, 0.6, 0.4, 0.8, 0.2, 0.92, 0.96, 0.12, 0.05];

/// A project's lead times on every layout, in the order of the layouts.
struct ProjectCurves<'a> {
    project: &'a str,
    curves: Vec<(&'a str, &'a Histogram)>,
}

/// Nothing is drawn where no order is done, or where all orders of a project take the same time on a layout.
pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    let panels = panels(findings);
    match panels.is_empty() {
        true => Vec::new(),
        false => one(chart, size, |canvas| body(chart, findings, &panels, canvas)),
    }
}

fn panels(findings: &Findings) -> Vec<ProjectCurves<'_>> {
    let mut panels: Vec<ProjectCurves> = Vec::new();
    for found in &findings.candidates {
        for project in &found.projects {
            let curve = (found.name.as_str(), &project.lead_times);
            match panels
                .iter_mut()
                .find(|panel| panel.project == project.name)
            {
                Some(panel) => panel.curves.push(curve),
                None => panels.push(ProjectCurves {
                    project: &project.name,
                    curves: vec![curve],
                }),
            }
        }
    }
    let varies = |times: &Histogram| times.minimum() < times.maximum();
    panels.retain(|panel| panel.curves.iter().any(|(_, times)| varies(times)));
    panels
}

fn body(chart: &Chart, findings: &Findings, panels: &[ProjectCurves], canvas: &mut Canvas) -> f64 {
    let mut notes = "Share of orders finished within the time shown (all runs). ●\u{202F}median, ■\u{202F}90 % of the \
                     orders; of two marks in one place the smaller one lies above."
        .to_owned();
    if findings.horizon {
        notes += " Orders that are not finished when a run ends are left out.";
    }
    let height = match (canvas.page, panels.len()) {
        (Some(page), _) => page * HEIGHT_OF_PAGE,
        (None, 1) => canvas.width * HEIGHT,
        (None, _) => canvas.width * HEIGHT_OF_SEVERAL,
    };
    let axes: Vec<(FigureAxis, Shown)> = panels.iter().map(ProjectCurves::axis).collect();
    let cut = panels
        .iter()
        .zip(&axes)
        .filter(|(_, (axis, _))| axis.is_cut());
    let cut: Vec<&str> = cut.map(|(panel, _)| panel.project).collect();
    notes += &match (cut.len(), panels.len()) {
        (0, _) => String::new(),
        (some, all) if some == all => " The axis does not begin at 0.".to_owned(),
        _ => format!(" The axis of {} does not begin at 0.", listed(&cut, "and")),
    };
    if panels.iter().any(|panel| panel.last() < panel.longest()) {
        notes += " Fewer than 1 order in 200 takes longer than the axis shows; the longest is in the table.";
    }
    let mut y = heading(canvas, chart.title, &findings.title, &notes) + 6.0;
    canvas.header_ends(y - 6.0);
    for (panel, (axis, unit)) in panels.iter().zip(axes) {
        if panels.len() > 1 {
            let room = canvas.inner();
            let bold = Font::BODY.bold(true);
            canvas.text(panel.project, (MARGIN, y + BODY / 2.0), room, bold);
            y += BODY + 10.0;
        }
        let area = Area {
            x: MARGIN + LEFT,
            y,
            width: canvas.inner() - LEFT - 30.0,
            height,
        };
        panel.draw(canvas, area, axis, unit);
        y = panel.table(canvas, y + area.height + BELOW + 8.0, unit);
        canvas.may_break(y);
    }
    y
}

impl ProjectCurves<'_> {
    /// The longest time of all orders in seconds.
    fn longest(&self) -> f64 {
        let times = self.curves.iter();
        let longest = times.filter_map(|(_, times)| times.maximum()).max();
        longest.unwrap_or(0) as f64 / MICROS
    }

    /// The longest time that is drawn, in seconds: a few very late orders must not press all others together.
    fn last(&self) -> f64 {
        let times = self.curves.iter();
        let shown = times.filter_map(|(_, times)| times.quantile(SHOWN)).max();
        let (shown, longest) = (shown.unwrap_or(0) as f64 / MICROS, self.longest());
        if longest > FAR * shown {
            shown
        } else {
            longest
        }
    }

    fn axis(&self) -> (FigureAxis, Shown) {
        let times = || self.curves.iter().map(|(_, times)| times);
        let least = times()
            .filter_map(|times| times.minimum())
            .min()
            .unwrap_or(0);
        let (least, most) = (least as f64 / MICROS, self.last());
        // Of what an order mostly takes: a few late ones would make small numbers of all others.
        let usual = times().filter_map(|times| times.quantile(MEDIAN)).max();
        let unit = time_unit(usual.unwrap_or(0) as f64 / MICROS);
        (FigureAxis::from(least, most, unit), unit)
    }

    fn draw(&self, canvas: &mut Canvas, area: Area, axis: FigureAxis, unit: Shown) {
        let at = |micros: i64, share: f64| {
            (
                area.x + area.width * axis.share(micros as f64 / MICROS),
                area.y + area.height * (1.0 - share),
            )
        };
        let most = self.last();
        let curves: Vec<Curve> = (self.curves.iter().enumerate())
            .map(|(index, (_, times))| {
                let (colour, dashes) = stroke(index);
                Curve {
                    places: curve(times, most),
                    colour,
                    width: STROKE,
                    dashes,
                }
            })
            .collect();
        let marks = AxisMarks {
            figures: &format!("{} from start to finish", unit.sign),
            left: LEFT,
            ..AxisMarks::default()
        };
        let axes = (axis.clone(), LevelAxis(&SHARES, percent));
        plot(canvas, area, axes, marks, |plot| draw_all(plot, curves));
        // Above all curves.
        let mut marked: Vec<(f64, f64)> = Vec::new();
        for (index, (_, times)) in self.curves.iter().enumerate() {
            let (colour, _) = stroke(index);
            for share in [MEDIAN, LATE] {
                let Some(micros) = times.quantile(share) else {
                    continue;
                };
                let place = at(micros, share);
                let near = |other: &&(f64, f64)| (other.0 - place.0).hypot(other.1 - place.1) < 6.0;
                let below = marked.iter().filter(near).count();
                dot(canvas, place, share, colour, below);
                marked.push(place);
            }
        }
        self.names(canvas, area, at);
        for (name, times) in &self.curves {
            let [orders, median, late, _] = figures(times, unit);
            canvas.describe(&format!(
                "\"{name}\", {}: of {orders} orders, half within {median}, 90 % within {late}.",
                self.project
            ));
        }
    }

    /// Writes beside each curve whose it is, if there is room beside all of them: the table has all names, and one alone
    /// would say nothing of the others.
    fn names(&self, canvas: &mut Canvas, area: Area, at: impl Fn(i64, f64) -> (f64, f64)) {
        let font = Font::BODY.size(SMALL);
        let drawn: Vec<(f64, f64)> = (self.curves.iter())
            .flat_map(|(_, times)| points(times, &at))
            .collect();
        let mut taken: Vec<Area> = Vec::new();
        for (name, times) in &self.curves {
            let wide = font.width(&clean(name)).min(area.width * 0.36);
            let Some(place) = beside_curve(times, wide, (area, &at), (&taken, &drawn)) else {
                return;
            };
            taken.push(place);
        }
        for (index, ((name, _), place)) in self.curves.iter().zip(&taken).enumerate() {
            canvas.wash(&lengthened(*place, (1.0, 0.0)).corners(), WHITE, 0.85);
            let font = font.colour(legible(stroke(index).0));
            let at = (place.x, place.middle().1);
            canvas.text(name, at, place.width + 1.0, font);
        }
    }

    /// Writes below the curves which is whose, and their marked times.
    fn table(&self, canvas: &mut Canvas, top: f64, unit: Shown) -> f64 {
        const LINE: f64 = 46.0;
        const GAP: f64 = 28.0;
        const HEADS: [&str; 4] = ["orders", "● median", "■ 90 % within", "longest"];
        let rows: Vec<[String; 4]> = (self.curves.iter())
            .map(|(_, times)| figures(times, unit))
            .collect();
        let head = Font::BODY.size(SMALL).colour(FAINT).align(Align::Right);
        let font = Font::BODY.colour(TEXT).align(Align::Right);
        let widths = [0, 1, 2, 3].map(|column| {
            let figures = rows.iter().map(|row| font.width(&row[column]));
            figures.fold(head.width(HEADS[column]), f64::max) + GAP
        });
        let mut y = top + TABLE_ROW / 2.0;
        let right = |column: usize, canvas: &Canvas| {
            canvas.right() - widths[column + 1..].iter().sum::<f64>()
        };
        for (column, name) in HEADS.iter().enumerate() {
            let at = (right(column, canvas), y);
            canvas.text(name, at, widths[column], head);
        }
        let left = MARGIN + LINE + 10.0;
        let names = canvas.right() - widths.iter().sum::<f64>() - left;
        for (index, ((name, _), row)) in self.curves.iter().zip(&rows).enumerate() {
            y += TABLE_ROW;
            let (colour, dashes) = stroke(index);
            let line = [(MARGIN, y), (MARGIN + LINE, y)];
            canvas.dashed(&line, colour, STROKE, dashes);
            canvas.text(name, (left, y), names, Font::BODY);
            for (column, figure) in row.iter().enumerate() {
                let at = (right(column, canvas), y);
                canvas.text(figure, at, widths[column], font);
            }
        }
        let line = top + TABLE_ROW;
        canvas.line((MARGIN, line), (canvas.right(), line), BLACK, 0.5);
        y + TABLE_ROW / 2.0 + MARGIN / 2.0
    }
}

/// The distribution function from the shortest time on, to so many seconds: a step for each order, or a smooth curve
/// through the quantiles of many.
fn curve(times: &Histogram, most: f64) -> Vec<Place> {
    let count = times.count().min(STEPS);
    let mut corners = Vec::new();
    let mut before = 0.0;
    for rank in 1..=count {
        let share = rank as f64 / count as f64;
        let Some(micros) = times.quantile(share) else {
            break;
        };
        let seconds = micros as f64 / MICROS;
        if rank == 1 || times.count() <= STEPS {
            corners.push((seconds, before));
        }
        before = share;
        corners.push((seconds, before));
    }
    // To the end of the axis, which is a little beyond the last order if it does not begin at 0.
    let shown = corners.iter().take_while(|(seconds, _)| *seconds <= most);
    let shown = shown.count();
    if let Some(&(_, share)) = corners[..shown].last() {
        corners.truncate(shown);
        corners.push((most * 2.0, share));
    }
    corners
}

/// Points of a curve, close to each other, as they lie in the picture.
fn points(times: &Histogram, at: impl Fn(i64, f64) -> (f64, f64)) -> Vec<(f64, f64)> {
    const POINTS: u32 = 400;
    let ranks = 0..=POINTS;
    let marked: Vec<(f64, f64)> = ranks
        .filter_map(|rank| {
            let share = f64::from(rank) / f64::from(POINTS);
            Some(at(times.quantile(share)?, share))
        })
        .collect();
    // Where many orders take about as long, or none a time between, the curve is steep or level.
    const BETWEEN: u32 = 8;
    let pairs = marked.windows(2).flat_map(|ends| {
        let (from, to) = (ends[0], ends[1]);
        (0..BETWEEN).map(move |part| {
            let share = f64::from(part) / f64::from(BETWEEN);
            (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            )
        })
    });
    pairs.collect()
}

/// A round mark for the median, a square one for the late orders, with a light rim; smaller over others.
fn dot(canvas: &mut Canvas, at: (f64, f64), share: f64, colour: Colour, over: usize) {
    let half = (4.5 - 1.25 * over as f64).max(1.5);
    let rim = if over == 0 { 1.5 } else { 0.75 };
    for (half, colour) in [(half + rim, WHITE), (half, colour)] {
        if share == MEDIAN {
            canvas.disc(at, half, colour);
        } else {
            let square = Area {
                x: at.0 - half,
                y: at.1 - half,
                width: 2.0 * half,
                height: 2.0 * half,
            };
            canvas.fill(square, colour);
        }
    }
}

/// A colour dark enough for a text on white.
fn legible((red, green, blue): Colour) -> Colour {
    let darker = |part: u8| (f64::from(part) * 0.62).round() as u8;
    (darker(red), darker(green), darker(blue))
}

/// Where a name so wide stands beside a curve: on no other name, where it hides least of the curves, and where none lies
/// between it and its own.
fn beside_curve(
    times: &Histogram,
    wide: f64,
    (area, at): (Area, &dyn Fn(i64, f64) -> (f64, f64)),
    (taken, drawn): (&[Area], &[(f64, f64)]),
) -> Option<Area> {
    /// So many points of curves may be hidden.
    const HIDDEN: usize = 8;
    /// Points nearer than this are the curve's own.
    const ALIKE: f64 = 3.0;
    let places = NAMED_AT.iter().flat_map(|&share| {
        let beside = times.quantile(share).map(|micros| {
            let (x, y) = at(micros, share);
            let (right, left) = (x + 8.0, x - 8.0 - wide);
            // A curve rises: below it to the right and above it to the left there is room.
            let aside = SMALL / 2.0 + 4.0;
            let places = [(right, 0.0), (left, 0.0), (right, aside), (left, -aside)];
            places.map(|(left, down)| {
                let area = Area {
                    x: left,
                    y: y + down - SMALL / 2.0 - 1.0,
                    width: wide,
                    height: SMALL + 2.0,
                };
                (area, x)
            })
        });
        beside.into_iter().flatten()
    });
    let inside = |place: &Area| {
        place.x >= area.x
            && place.y >= area.y
            && place.x + wide <= area.x + area.width
            && place.y + place.height <= area.y + area.height
    };
    let is_free = |place: &Area| {
        let place = lengthened(*place, (4.0, 0.0));
        taken.iter().all(|other| are_apart(place, *other))
    };
    let hides = |(place, own): &(Area, f64)| {
        let across = match place.x > *own {
            true => own + ALIKE..=place.x + wide,
            false => place.x..=own - ALIKE,
        };
        let within = |(x, y): &&(f64, f64)| {
            across.contains(x) && (place.y..=place.y + place.height).contains(y)
        };
        drawn.iter().filter(within).count()
    };
    let free = places.filter(|(place, _)| inside(place) && is_free(place));
    let best = free.min_by_key(hides);
    best.filter(|place| hides(place) <= HIDDEN)
        .map(|(place, _)| place)
}

/// How many orders there are, and their marked times.
fn figures(times: &Histogram, unit: Shown) -> [String; 4] {
    let time = |micros: Option<i64>| match micros {
        Some(micros) => format!(
            "{} {}",
            number(micros as f64 / MICROS / unit.per_unit),
            unit.sign
        ),
        None => "–".to_string(),
    };
    [
        whole(times.count() as f64),
        time(times.quantile(MEDIAN)),
        time(times.quantile(LATE)),
        time(times.maximum()),
    ]
}
