//! Pictures of the findings.
//!
//! A chart is a function of the findings and a row of [`ALL`]. It draws a [`ChartScene`], which is written as SVG, PNG or
//! JSON. All charts have one style and the letters of Inter (SIL Open Font License 1.1, `font/LICENSE`). The same
//! findings give the same bytes.

mod backend;
pub mod bottlenecks;
mod canvas;
mod files;
mod floor;
mod font_advances;
mod frame;
mod from_to;
mod labels;
pub mod layout;
mod lead_time;
mod legs;
mod panels;
mod people;
mod plan;
mod plot;
mod quantity;
mod relief;
pub mod scene;
mod shares;
mod sheet;
mod stations;
mod stays;
mod string;
mod style;
pub mod text;
pub mod timeline;
mod waits;
mod walking;
mod written;

pub use files::{Format, SCALES, may_write, write, write_relief};
pub use layout::Layout;

use crate::experiment::{CandidateFindings, Findings, Reliefs, ResourceKind, Timeline};
use canvas::{Canvas, picture};
use scene::ChartScene;

/// Something that can be drawn.
pub struct Chart {
    /// How its files begin.
    pub stem: &'static str,
    pub title: &'static str,
    /// What it shows, in a few words.
    pub about: &'static str,
    draw: fn(&Chart, &Subject, f64) -> Vec<Picture>,
}

/// What charts are drawn from.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    pub findings: &'a Findings,
    pub timeline: Option<&'a Timeline>,
    /// Of the candidates that say where things stand, in their order.
    pub layouts: &'a [Layout],
}

/// A chart that is drawn; some charts have a picture for each candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The name of its files without their ending.
    pub stem: String,
    pub scene: ChartScene,
}

impl Picture {
    fn of(
        stem: String,
        (title, about): (&str, &str),
        scale: f64,
        draw: impl FnOnce(&mut Canvas) -> f64,
    ) -> Picture {
        let scene = picture((&stem, title), scale, |canvas| {
            canvas.describe(&format!("{}.", capital(about)));
            draw(canvas)
        });
        Picture { stem, scene }
    }
}

/// All charts, in the order in which they are shown.
pub const ALL: &[Chart] = &[
    Chart {
        stem: "walking",
        title: "Walking",
        about: "metres walked on each candidate, empty-handed, carrying and pushing, with the interval",
        draw: |chart, subject, scale| walking::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "stations",
        title: "Station time",
        about: "what the open time of each station goes into, with the bottleneck marked",
        draw: |chart, subject, scale| stations::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "people",
        title: "Person time",
        about: "what each person's time goes into, with the bottleneck marked",
        draw: |chart, subject, scale| people::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "waits",
        title: "What orders wait for",
        about: "what the lead time of each project goes into: worked, carried, curing, and each kind of waiting",
        draw: |chart, subject, scale| waits::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "bottlenecks",
        title: "Bottlenecks",
        about: "for how much of the time each station, person and kind of gear is the bottleneck by the active-period method",
        draw: |chart, subject, scale| {
            let shares = bottlenecks::shares(subject.findings);
            bottlenecks::draw(chart, subject.findings, &shares, scale)
        },
    },
    Chart {
        stem: "from-to",
        title: "From–to",
        about: "metres walked from each place to each other, a matrix for each candidate",
        draw: |chart, subject, scale| from_to::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "timeline",
        title: "Timeline",
        about: "what stations and people do over one replication",
        draw: |chart, subject, scale| {
            timeline::draw(chart, subject.findings, subject.timeline, scale)
        },
    },
    Chart {
        stem: "lead-time",
        title: "Lead time",
        about: "share of the orders that are done within a time, with median and 90 % marked",
        draw: |chart, subject, scale| lead_time::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "legs",
        title: "Legs that differ",
        about: "walking saved and added leg by leg against the base",
        draw: |chart, subject, scale| legs::draw(chart, subject.findings, scale),
    },
    Chart {
        stem: "plan",
        title: "Floor plan",
        about: "each layout to scale: walls, doors, stations, standing places and room for the work",
        draw: plan::draw,
    },
    Chart {
        stem: "string",
        title: "String diagram",
        about: "the ways that people walked on the floor plan, as wide as they were walked often",
        draw: string::draw,
    },
    Chart {
        stem: "stays",
        title: "Where the work is done",
        about: "how long people work at each standing place, as circles on the floor plan",
        draw: stays::draw,
    },
];

/// Draws a chart with texts and strokes `scale` times as large; the picture grows less, so that they can be read from
/// farther away.
///
/// Without a timeline, a second candidate or a layout, the charts of these have no picture.
pub fn pictures(chart: &Chart, subject: &Subject, scale: f64) -> Vec<Picture> {
    (chart.draw)(chart, subject, scale)
}

/// Something that can be drawn of the relief experiment.
pub struct ReliefChart {
    pub stem: &'static str,
    pub title: &'static str,
    pub about: &'static str,
    draw: fn(&ReliefChart, &Reliefs, f64) -> Vec<Picture>,
}

/// All charts of the relief experiment itself.
pub const RELIEF: &[ReliefChart] = &[ReliefChart {
    stem: "relief",
    title: "What would help most",
    about: "what each change brings, with the interval, best first",
    draw: relief::draw,
}];

/// Which of [`ALL`] belong to the same question, and are drawn beside those of [`RELIEF`].
const BESIDE_RELIEF: [&str; 3] = ["stations", "people", "bottlenecks"];

/// Draws everything that belongs to the relief experiment, enlarged as by [`pictures`].
pub fn relief_pictures(reliefs: &Reliefs, scale: f64) -> Vec<Picture> {
    let subject = Subject {
        findings: &reliefs.findings,
        timeline: None,
        layouts: &[],
    };
    let own = (RELIEF.iter()).flat_map(|chart| (chart.draw)(chart, reliefs, scale));
    let beside = (ALL.iter())
        .filter(|chart| BESIDE_RELIEF.contains(&chart.stem))
        .flat_map(|chart| pictures(chart, &subject, scale));
    own.chain(beside).collect()
}

/// A chart of a single picture.
fn one(chart: &Chart, scale: f64, draw: impl FnOnce(&mut Canvas) -> f64) -> Vec<Picture> {
    single((chart.stem, chart.title, chart.about), scale, draw)
}

/// A single picture, with the stem of its files and its title.
fn single(
    (stem, title, about): (&str, &str, &str),
    scale: f64,
    draw: impl FnOnce(&mut Canvas) -> f64,
) -> Vec<Picture> {
    vec![Picture::of(stem.to_owned(), (title, about), scale, draw)]
}

/// What holds a candidate up, in words.
fn bottleneck(candidate: &CandidateFindings) -> Option<String> {
    let resource = candidate.bottleneck.as_ref()?;
    Some(format!(
        "{}, {}: {}",
        resource.kind.name(),
        crate::report::figure::percent(resource.utilisation),
        resource.name
    ))
}

fn is_bottleneck(candidate: &CandidateFindings, kind: ResourceKind, name: &str) -> bool {
    candidate
        .bottleneck
        .as_ref()
        .is_some_and(|resource| resource.kind == kind && resource.name == name)
}

/// With a capital at the beginning.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A name as the end of a file's name: a hyphen, and letters that every file system takes. Empty if none is left.
fn slug(name: &str) -> String {
    const LONGEST: usize = 32;
    let letters = name.to_lowercase();
    let words = letters.split(|letter: char| !letter.is_ascii_alphanumeric());
    let mut slug = String::new();
    for word in words.filter(|word| !word.is_empty()) {
        if slug.len() + word.len() >= LONGEST {
            break;
        }
        slug.push('-');
        slug.push_str(word);
    }
    slug
}
