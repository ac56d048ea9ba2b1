//! The string diagram: the ways that people walked, on the floor, as wide as they were walked often.
//!
//! A string diagram is a standard tool of work study: International Labour Office, "Introduction to Work Study", where
//! a thread is led around pins on a plan.

use super::canvas::{Area, Canvas};
use super::floor;
use super::frame::{Sign, heading, orders, played, signs_in};
use super::labels::Labels;
use super::lanes::{Band, beside, lanes};
use super::layout::{Layout, WalkedPath};
use super::meaning::{CARRYING, EMPTY_HANDED};
use super::panels::{PanelRoom, Panels, in_the_header};
use super::quantity::whole;
use super::sheet::Sheet;
use super::style::{Colour, MARGIN, WHITE};
use super::{Chart, ChartSize, Picture, Subject, one};
use crate::experiment::{CandidateFindings, Units};
use crate::floor::{Point, Polygon};
use crate::report::figure::{length_unit, number};
use crate::shop::PlaceId;

/// The width of the line with most trips where few ways are drawn and where very many are, and of one with hardly any.
const WIDEST: (f64, f64) = (9.0, 6.0);
const THINNEST: f64 = 0.5;
/// Lines of empty walks are so much thinner for as many trips: they are more, and matter less.
const EMPTY_WIDTH: f64 = 0.5;
/// Lines with less than this share of the trips of the busiest one are left out.
const RARE: f64 = 0.05;
/// So many ways have room beside each other; more make the lines thinner.
const FEW: f64 = 40.0;
/// Between the two lines of one way.
const GAP: f64 = 1.5;
/// The light rim of a line, which shows which of two that cross lies above.
const RIM: f64 = 1.0;

/// Nothing is drawn without a layout or if nobody walked.
pub fn draw(chart: &Chart, subject: &Subject, size: ChartSize) -> Vec<Picture> {
    let Some(panels) = Panels::of(subject, size, Layout::walked_like, PanelRoom::ALONE) else {
        return Vec::new();
    };
    let Some(trip) = TripWidths::of(subject, panels.metre) else {
        return Vec::new();
    };
    one(chart, size, |canvas| {
        let notes = format!(
            "Ways walked for {}, {}. Line width shows the number of trips (both directions, same scale in all layouts). \
             Empty walks are drawn at half width.{}",
            orders(subject.findings),
            played(subject.findings),
            left_out(subject, trip),
        );
        let y = heading(canvas, chart.title, &subject.findings.title, &notes);
        for found in &subject.findings.candidates {
            canvas.describe(&format!(
                "\"{}\": {}.",
                found.name,
                walked(found, subject.findings.units)
            ));
        }
        let y = legend(canvas, y, subject, trip);
        canvas.header_ends(y);
        panels.draw(
            canvas,
            y + 4.0,
            subject,
            Some(walked),
            (&in_the_header, &|canvas, sheet, layout, labels| {
                over_floor(canvas, sheet, layout, labels, trip);
            }),
        )
    })
}

/// The ways that were walked, over what stands there.
pub fn over_floor(
    canvas: &mut Canvas,
    sheet: &Sheet,
    layout: &Layout,
    labels: &mut Labels,
    trip: TripWidths,
) {
    let mut ways = Strings::all(layout);
    ways.sort_by(|a, b| b.trips().total_cmp(&a.trips()));
    let bands: Vec<Band> = ways.iter().map(|way| way.band(sheet, trip)).collect();
    let solids: Vec<Polygon> = layout.plan.obstacles().map(|(_, solid)| solid).collect();
    let lanes = lanes(&bands, &|band, aside| {
        let edges = [-0.5, 0.5].map(|side| aside + side * band.width);
        let mut lines = edges.into_iter().map(|edge| beside(&band.points, edge));
        lines.all(|line| !goes_through(&line, sheet, &solids))
    });
    for (band, &lane) in bands
        .iter()
        .zip(&lanes)
        .filter(|(band, _)| band.width > 0.0)
    {
        labels.keep_off(&beside(&band.points, lane), false);
    }
    // Loads lie above all empty walks.
    for is_loaded in [false, true] {
        for (way, &lane) in ways.iter().zip(&lanes) {
            let (id, words) = way.named(layout, is_loaded);
            let id = format!("{}{id}", sheet.id);
            canvas.group("walk", (Some(id), Some(words)), |canvas| {
                way.draw(canvas, sheet, trip, (is_loaded, lane));
            });
        }
    }
    floor::edges(canvas, sheet, layout);
    floor::standing(canvas, sheet, layout);
}

/// How far is walked, as the tables have it.
pub fn walked(found: &CandidateFindings, units: Units) -> String {
    let walked = length_unit(units).brief(&found.walking);
    format!("{walked} walked")
}

/// All walking between two places.
struct Strings<'a> {
    /// The lower place first.
    ends: (PlaceId, PlaceId),
    empty: OneWay<'a>,
    loaded: OneWay<'a>,
}

/// In one manner.
#[derive(Default)]
struct OneWay<'a> {
    trips: f64,
    /// From the lower place to the higher one.
    points: Vec<&'a Point>,
}

impl<'a> Strings<'a> {
    /// In the order of the layout's paths.
    fn all(layout: &'a Layout) -> Vec<Strings<'a>> {
        let mut ways: Vec<Strings> = Vec::new();
        for path in &layout.paths {
            let ends = (path.from.min(path.to), path.from.max(path.to));
            let known = ways.iter().position(|way| way.ends == ends);
            let index = known.unwrap_or_else(|| {
                ways.push(Strings {
                    ends,
                    empty: OneWay::default(),
                    loaded: OneWay::default(),
                });
                ways.len() - 1
            });
            ways[index].empty.add(path, path.trips_empty);
            ways[index].loaded.add(path, path.trips_loaded);
        }
        ways
    }

    /// An id, and what one of its lines says in words.
    fn named(&self, layout: &Layout, is_loaded: bool) -> (String, String) {
        let (from, to) = (self.ends.0.0 as usize, self.ends.1.0 as usize);
        let name = |place: usize| layout.stations.get(place).map_or("a door", |name| name);
        let (line, manner) = match is_loaded {
            true => (&self.loaded, "with a load"),
            false => (&self.empty, "empty-handed"),
        };
        let id = format!(
            "walk-{}-{}-{}",
            from + 1,
            to + 1,
            if is_loaded { "loaded" } else { "empty" }
        );
        let words = format!(
            "{} – {}: {} {manner}",
            name(from),
            name(to),
            counted(line.trips)
        );
        (id, words)
    }

    fn trips(&self) -> f64 {
        self.empty.trips + self.loaded.trips
    }

    /// The widths of its line with loads, of the one without, and of both side by side.
    fn widths(&self, trip: TripWidths) -> (f64, f64, f64) {
        let loaded = trip.width(self.loaded.trips, true);
        let empty = trip.width(self.empty.trips, false);
        let both = loaded > 0.0 && empty > 0.0;
        (loaded, empty, loaded + empty + if both { GAP } else { 0.0 })
    }

    /// What is kept free for both lines: along the way of the wider one, where loads are led another way.
    fn band(&self, sheet: &Sheet, trip: TripWidths) -> Band {
        let (loaded, empty, width) = self.widths(trip);
        let line = if loaded >= empty {
            &self.loaded
        } else {
            &self.empty
        };
        let points = line.points.iter().map(|point| sheet.at(**point)).collect();
        Band { points, width }
    }

    /// Draws one of its lines, which lie side by side, to the right of the way by `lane`.
    fn draw(
        &self,
        canvas: &mut Canvas,
        sheet: &Sheet,
        trip: TripWidths,
        (loads, lane): (bool, f64),
    ) {
        let (loaded, empty, whole) = self.widths(trip);
        let lines = [
            (&self.loaded, loaded, lane + (loaded - whole) / 2.0, true),
            (&self.empty, empty, lane + (whole - empty) / 2.0, false),
        ];
        let lines = lines
            .into_iter()
            .filter(|(_, width, _, is_loaded)| *width > 0.0 && *is_loaded == loads);
        for (line, width, aside, is_loaded) in lines {
            let points: Vec<(f64, f64)> =
                line.points.iter().map(|point| sheet.at(**point)).collect();
            stroke(canvas, &beside(&points, aside), width, is_loaded);
        }
    }
}

impl<'a> OneWay<'a> {
    fn add(&mut self, path: &'a WalkedPath, trips: f64) {
        if !(trips > 0.0 && trips.is_finite()) {
            return;
        }
        self.trips += trips;
        if self.points.is_empty() {
            self.points = path.points.iter().collect();
            if path.from > path.to {
                self.points.reverse();
            }
        }
    }
}

/// Whole lines for loads, dashes for empty hands.
fn stroke(canvas: &mut Canvas, points: &[(f64, f64)], width: f64, is_loaded: bool) {
    let (colour, dashes): (Colour, &[f64]) = match is_loaded {
        true => (CARRYING.fill.colour, &[]),
        false => (
            EMPTY_HANDED.fill.colour,
            &[4.0 + 0.9 * width, 3.0 + 0.4 * width],
        ),
    };
    if is_loaded {
        canvas.path(points, WHITE, width + 2.0 * RIM);
    }
    canvas.dashed(points, colour, width, dashes);
}

/// How wide lines are.
#[derive(Clone, Copy)]
pub struct TripWidths {
    /// The most trips on one line of any layout, and its width.
    most: f64,
    widest: f64,
}

impl TripWidths {
    /// None if nobody walked.
    pub fn of(subject: &Subject, metre: f64) -> Option<TripWidths> {
        let ways: Vec<Vec<Strings>> = subject.layouts.iter().map(Strings::all).collect();
        let lines = ways.iter().flatten();
        let most = lines
            .map(|way| way.empty.trips.max(way.loaded.trips))
            .fold(0.0, f64::max);
        let often = |ways: &Vec<Strings>| {
            let trips = ways.iter().map(|way| way.empty.trips.max(way.loaded.trips));
            trips.filter(|trips| *trips >= RARE * most).count()
        };
        let many = ways.iter().map(often).max().unwrap_or(0) as f64;
        // Both lines of a way have room between things as far apart as a body needs.
        let bodies = subject.layouts.iter().map(|layout| layout.plan.body_width);
        let body = bodies.fold(f64::INFINITY, f64::min) * metre;
        let widest = (WIDEST.0 * FEW / many.max(FEW)).min((body - GAP) / 2.0);
        let widest = widest.max(WIDEST.1);
        (most > 0.0).then_some(TripWidths { most, widest })
    }

    /// The numbers of trips whose widths the legend shows: whole ones, unless nobody goes anywhere once.
    fn samples(self) -> Vec<f64> {
        if self.most < 1.0 {
            return vec![self.most];
        }
        let shares = [0.1, 0.5, 1.0].into_iter();
        let mut trips: Vec<f64> = shares
            .map(|share| (share * self.most).round().clamp(1.0, self.most.floor()))
            .collect();
        trips.dedup();
        trips
    }

    /// Whether a line is drawn.
    fn counts(self, trips: f64) -> bool {
        trips > 0.0 && trips >= RARE * self.most
    }

    /// In proportion to the trips; 0 if it is not drawn.
    fn width(self, trips: f64, is_loaded: bool) -> f64 {
        let share = if is_loaded { 1.0 } else { EMPTY_WIDTH };
        match self.counts(trips) {
            true => (trips / self.most * self.widest * share).max(THINNEST * share),
            false => 0.0,
        }
    }
}

/// Whether a line is drawn within something that people walk around.
fn goes_through(line: &[(f64, f64)], sheet: &Sheet, solids: &[Polygon]) -> bool {
    /// An edge that is drawn so wide hides what lies no deeper.
    const EDGE: f64 = 1.0;
    line.windows(2).any(|ends| {
        let line = (sheet.floor(ends[0]), sheet.floor(ends[1]));
        let mut solids = solids.iter();
        solids.any(|solid| solid.holds_some_of(line, EDGE / sheet.metre))
    })
}

/// What is not drawn, in a sentence.
fn left_out(subject: &Subject, trip: TripWidths) -> String {
    let ways: Vec<Strings> = subject.layouts.iter().flat_map(Strings::all).collect();
    let lines = ways
        .iter()
        .flat_map(|way| [way.empty.trips, way.loaded.trips]);
    let rare = lines.filter(|trips| *trips > 0.0 && !trip.counts(*trips));
    let least = number(RARE * trip.most);
    let least = match least.contains('.') {
        true => least.trim_end_matches('0').trim_end_matches('.'),
        false => &least,
    };
    match rare.count() {
        0 => String::new(),
        1 => format!(" One line of fewer than {least} trips is left out."),
        many => format!(" {many} lines of fewer than {least} trips each are left out."),
    }
}

/// "1 trip", "7 trips", and parts of a trip as they are.
fn counted(trips: f64) -> String {
    match trips {
        1.0 => "1 trip".to_owned(),
        trips if trips.fract() == 0.0 => format!("{} trips", whole(trips)),
        part => format!("{} trips", number(part)),
    }
}

/// What the two lines are, and how many trips some widths are.
fn legend(canvas: &mut Canvas, top: f64, subject: &Subject, trip: TripWidths) -> f64 {
    let ways: Vec<Strings> = subject.layouts.iter().flat_map(Strings::all).collect();
    let line = |trips: f64, is_loaded: bool| {
        move |canvas: &mut Canvas, area: Area| {
            let y = area.y + area.height / 2.0;
            let line = [(area.x, y), (area.x + area.width, y)];
            stroke(canvas, &line, trip.width(trips, is_loaded), is_loaded);
        }
    };
    let has = |is_loaded: bool| {
        let trips = |way: &Strings| {
            if is_loaded {
                way.loaded.trips
            } else {
                way.empty.trips
            }
        };
        ways.iter().any(|way| trips(way) > 0.0)
    };
    // Each width as it is drawn: with a load, and at half of it without.
    let mut lines = Vec::new();
    for (is_loaded, words) in [(true, "with a load"), (false, "empty-handed")] {
        for (index, trips) in trip
            .samples()
            .into_iter()
            .enumerate()
            .filter(|_| has(is_loaded))
        {
            let words = match index {
                0 => format!("{words}: {}", counted(trips)),
                _ => counted(trips),
            };
            lines.push((line(trips, is_loaded), words));
        }
    }
    let mut signs: Vec<(Sign, &str)> = (lines.iter())
        .map(|(draw, words)| (draw as Sign, words.as_str()))
        .collect();
    signs.extend(floor::explained(subject.layouts));
    let room = canvas.inner();
    signs_in(canvas, (MARGIN, top), room, &signs)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_legend_counts_whole_trips() {
        let samples = |most| TripWidths { most, widest: 9.0 }.samples();
        assert_eq!(samples(14.25), [1.0, 7.0, 14.0]);
        assert_eq!(samples(1.9), [1.0]);
        assert_eq!(samples(0.4), [0.4]);
        assert_eq!(
            [1.0, 14.0, 0.4].map(counted),
            ["1 trip", "14 trips", "0.400 trips"]
        );
    }
}
