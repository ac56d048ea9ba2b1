//! How warm air and boards are through a week of the coldest month.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{heading, signs_in};
use super::quantity::{mark, marks};
use super::scene::paint::Colour;
use super::style::{BAND, BLACK, BLUE, EDGE, FAINT, GRID, MARGIN, SMALL, TEXT, VERMILLION};
use super::{Chart, ChartSize, Picture, capital, slug};
use crate::experiment::{
    CandidateFindings, Findings, GLUE_WANTS, HeatCourse, HeatFindings, HeatPlace, Units,
};
use crate::report::measures::temperature;
use crate::shop::WEEKDAYS;
use crate::units::customary::fahrenheit;

const DAYS: usize = 7;
const DAY: f64 = 86_400.0;
/// Room for the marks at the left, and for the names of the days below.
const LEFT: f64 = 44.0;
const BELOW: f64 = 22.0;
/// Room for what lines are called, behind them.
const NAMES: f64 = 92.0;
/// In widths of the picture and heights of a page.
const HIGH: (f64, f64) = (0.42, 0.5);
const MASS: [f64; 2] = [7.0, 3.0];
const OUTSIDE: [f64; 2] = [2.0, 3.0];

/// A picture for each candidate with a week of its own; those of which it is the same have one together. None where
/// nobody says how cold it is outdoors, or the shop is never shut.
pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    let weeks = findings.candidates.iter().enumerate();
    let weeks = weeks.filter_map(|(index, found)| {
        let heat = found.heat.as_ref()?;
        Some((index, found, heat, heat.course.as_ref()?))
    });
    let mut shown: Vec<(usize, Vec<&CandidateFindings>, &HeatFindings, &HeatCourse)> = Vec::new();
    for (index, found, heat, course) in weeks {
        match shown.iter_mut().find(|week| week.3 == course) {
            Some(week) => week.1.push(found),
            None => shown.push((index, vec![found], heat, course)),
        }
    }
    let is_one = shown.len() == 1;
    let pictures = shown.into_iter().flat_map(|(index, found, heat, course)| {
        let (stem, title) = match is_one {
            true => (chart.stem.to_owned(), chart.title.to_owned()),
            false => {
                let names: Vec<&str> = found.iter().map(|found| found.name.as_str()).collect();
                (
                    format!("{}-{}{}", chart.stem, index + 1, slug(&found[0].name)),
                    format!("{} – {}", chart.title, names.join(" · ")),
                )
            }
        };
        Picture::of(stem, (&title, chart.about), size, |canvas| {
            body(&title, findings, (heat, course), size, canvas)
        })
    });
    pictures.collect()
}

fn body(
    title: &str,
    findings: &Findings,
    (heat, course): (&HeatFindings, &HeatCourse),
    size: ChartSize,
    canvas: &mut Canvas,
) -> f64 {
    let units = findings.units;
    let outside = heat.coldest().map_or(heat.open, |month| month.outside);
    let month = heat.coldest().map_or("", |month| month.month);
    let notes = format!(
        "A week like the one before with {} outdoors ({month}): warmed up to {} for each opening where the heaters bring \
         that about, and left to fall to {} at closing. Grey is while the shop is open. Estimates: what stands in the shop \
         is a guess, and one evening's thermometer sets it right.",
        temperature(units, outside),
        temperature(units, heat.open),
        temperature(units, heat.shut)
    );
    let y = heading(canvas, title, &findings.title, &notes);
    let room = canvas.inner();
    let y = signs_in(
        canvas,
        (MARGIN, y),
        room,
        &[
            (
                &|canvas, area| line_sign(canvas, area, VERMILLION, &[]),
                "air",
            ),
            (
                &|canvas, area| line_sign(canvas, area, BLUE, &MASS),
                "boards, glue and iron",
            ),
            (
                &|canvas, area| line_sign(canvas, area, EDGE, &OUTSIDE),
                "outdoors",
            ),
        ],
    );
    canvas.header_ends(y);
    canvas.describe(&described(course, units));
    let area = Area {
        x: MARGIN + LEFT,
        y: y + 6.0,
        width: canvas.inner() - LEFT - NAMES,
        height: size.high(HIGH.0, HIGH.1),
    };
    Week {
        area,
        units,
        ends: ends(heat, course, outside, units),
    }
    .draw(canvas, (heat, course), outside);
    area.y + area.height + BELOW + MARGIN
}

fn line_sign(canvas: &mut Canvas, area: Area, colour: Colour, dashes: &[f64]) {
    let (_, y) = area.middle();
    let ends = [(area.x, y), (area.x + area.width, y)];
    canvas.dashed(&ends, colour, 2.0, dashes);
}

fn described(course: &HeatCourse, units: Units) -> String {
    let air = course.places.iter().map(|place| place.air);
    let mass = course.places.iter().map(|place| place.mass);
    let between = |least: f64, most: f64| {
        format!(
            "between {} and {}",
            temperature(units, least),
            temperature(units, most)
        )
    };
    format!(
        "Air {}, boards, glue and iron {}.",
        between(
            air.clone().fold(f64::INFINITY, f64::min),
            air.fold(f64::NEG_INFINITY, f64::max)
        ),
        between(
            mass.clone().fold(f64::INFINITY, f64::min),
            mass.fold(f64::NEG_INFINITY, f64::max)
        )
    )
}

/// A temperature as a number in the reader's degrees.
fn degrees(units: Units, celsius: f64) -> f64 {
    match units {
        Units::Imperial => fahrenheit(celsius),
        Units::Metric => celsius,
    }
}

/// The least and the greatest that is drawn, in the reader's degrees, with a little room.
fn ends(heat: &HeatFindings, course: &HeatCourse, outside: f64, units: Units) -> (f64, f64) {
    let places = course.places.iter();
    let all = places.flat_map(|place| [place.air, place.mass]);
    let all = all.chain([outside, heat.open, heat.shut, GLUE_WANTS]);
    let all = all.map(|celsius| degrees(units, celsius));
    let (least, most) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), at| {
        (least.min(at), most.max(at))
    });
    let room = 0.05 * (most - least).max(1.0);
    (least - room, most + room)
}

struct Week {
    area: Area,
    units: Units,
    ends: (f64, f64),
}

impl Week {
    fn x(&self, at_s: f64) -> f64 {
        let share = (at_s / (DAYS as f64 * DAY)).clamp(0.0, 1.0);
        self.area.x + self.area.width * share
    }

    /// Of a temperature in the reader's degrees.
    fn y(&self, degrees: f64) -> f64 {
        let (least, most) = self.ends;
        self.area.y + self.area.height * (most - degrees) / (most - least)
    }

    fn draw(
        &self,
        canvas: &mut Canvas,
        (heat, course): (&HeatFindings, &HeatCourse),
        outside: f64,
    ) {
        self.mesh(canvas, course);
        let line = |canvas: &mut Canvas, of: fn(&HeatPlace) -> f64, colour, dashes: &[f64]| {
            let places = course.places.iter();
            let points =
                places.map(|place| (self.x(place.at_s), self.y(degrees(self.units, of(place)))));
            let points: Vec<(f64, f64)> = points.collect();
            canvas.dashed(&points, colour, 2.0, dashes);
        };
        let level = |canvas: &mut Canvas, celsius: f64, colour, width, dashes: &[f64]| {
            let y = self.y(degrees(self.units, celsius));
            let ends = [(self.area.x, y), (self.area.x + self.area.width, y)];
            canvas.dashed(&ends, colour, width, dashes);
            y
        };
        let outdoors = level(canvas, outside, EDGE, 2.0, &OUTSIDE);
        let glue = level(canvas, GLUE_WANTS, BLACK, 1.0, &[]);
        line(canvas, |place| place.mass, BLUE, &MASS);
        line(canvas, |place| place.air, VERMILLION, &[]);
        let x = self.area.x + self.area.width + 6.0;
        let font = Font::BODY.size(SMALL).colour(FAINT);
        let mut names = vec![
            (glue, "most glue wants".to_owned()),
            (
                glue + SMALL + 1.0,
                format!("{} or more", temperature(self.units, GLUE_WANTS)),
            ),
            (outdoors, "outdoors".to_owned()),
        ];
        for (celsius, name) in [(heat.open, "thermostat"), (heat.shut, "while shut")] {
            names.push((self.y(degrees(self.units, celsius)), name.to_owned()));
        }
        // Those of the more important first; what would lie on another is left out.
        let mut taken: Vec<f64> = Vec::new();
        for (y, name) in names {
            if taken.iter().all(|other| (y - other).abs() >= SMALL) {
                canvas.text(&name, (x, y), NAMES - 8.0, font);
                taken.push(y);
            }
        }
    }

    fn mesh(&self, canvas: &mut Canvas, course: &HeatCourse) {
        let area = self.area;
        for &(opens, closes) in &course.sessions {
            let (from, to) = (self.x(opens), self.x(closes));
            canvas.fill(
                Area {
                    x: from,
                    width: to - from,
                    ..area
                },
                BAND,
            );
        }
        let font = Font::BODY.size(SMALL).colour(FAINT);
        let wanted = (area.height / 45.0) as usize;
        let (levels, step) = marks(self.ends.0, self.ends.1, wanted.max(2));
        let sign = match self.units {
            Units::Imperial => "°F",
            Units::Metric => "°C",
        };
        for level in levels {
            let y = self.y(level);
            canvas.line((area.x, y), (area.x + area.width, y), GRID, 0.75);
            let text = format!("{} {sign}", mark(level, step));
            canvas.text(
                &text,
                (area.x - 6.0, y),
                LEFT - 6.0,
                font.align(Align::Right),
            );
        }
        for day in 0..=DAYS {
            let x = self.x(DAY * day as f64);
            canvas.line((x, area.y), (x, area.y + area.height), GRID, 0.75);
            if day < DAYS {
                let name = WEEKDAYS[(course.weekday as usize + day) % WEEKDAYS.len()];
                let middle = (x + self.x(DAY * (day + 1) as f64)) / 2.0;
                canvas.text(
                    &capital(name),
                    (middle, area.y + area.height + BELOW / 2.0),
                    area.width / DAYS as f64,
                    font.colour(TEXT).align(Align::Middle),
                );
            }
        }
        canvas.outline(area, EDGE, 0.75);
    }
}
