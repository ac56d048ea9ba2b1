//! Pictures of the findings.
//!
//! A chart is a function of the findings and a row of [`ALL`]. It draws a [`ChartScene`], which is written as SVG, PNG or
//! JSON. All charts have one style and the letters of Inter (SIL Open Font License 1.1, `font/LICENSE`). The same
//! findings give the same bytes.

mod additive;
mod areas;
mod axes;
mod backend;
pub mod bottlenecks;
mod calendar;
mod canvas;
mod cell_format;
mod currents;
mod duct_signs;
mod ducts;
mod elements;
mod files;
mod floor;
mod font_advances;
mod frame;
mod from_to;
mod labels;
mod lanes;
pub mod layout;
mod lead_time;
mod leaders;
mod legs;
mod letter_key;
mod meaning;
mod missing_letters;
mod pages;
mod panels;
mod people;
mod plan;
mod plot;
mod quantity;
mod queues;
mod ranking;
mod relief;
mod replayed;
pub mod scene;
pub mod set_out;
mod shares;
mod sheet;
mod signs;
mod size;
mod stations;
mod stays;
mod string;
mod style;
mod summary;
mod temperature;
pub mod text;
pub mod timeline;
mod timeline_bars;
mod timeline_rows;
mod waits;
mod walking;
mod weeks;
mod written;

pub use files::{ChartFiles, Format, may_write, write, write_floors, write_moves, write_relief};
pub use layout::Layout;
pub use missing_letters::MissingLetters;
pub use replayed::{
    FloorSign, ReplayedPlan, StateSign, floor_signs, replayed_plans, schematic, state_signs,
};
pub use size::{ChartSize, PageShape, SCALES};
pub use written::{ChartSource, signed};

use crate::experiment::{CandidateFindings, Findings, Reliefs, ResourceKind, Timeline, Units};
use crate::report::lines::Line;
use crate::report::tables::briefly_busiest;
use canvas::{Canvas, picture};
use pages::pages;
use scene::ChartScene;

/// Something that can be drawn.
pub struct Chart {
    /// How its files begin.
    pub stem: &'static str,
    pub title: &'static str,
    /// What it shows, in a few words.
    pub about: &'static str,
    draw: fn(&Chart, &Subject, ChartSize) -> Vec<Picture>,
}

impl Chart {
    /// How the file of one of these runs begins, and its heading: with the candidate's name, where there are several.
    fn stem_and_title(&self, timelines: &[Timeline], index: usize) -> (String, String) {
        let candidate = &timelines[index].candidate;
        match timelines.len() {
            1 => (self.stem.to_owned(), self.title.to_owned()),
            _ => (
                format!("{}-{}{}", self.stem, index + 1, slug(candidate)),
                format!("{} – {candidate}", self.title),
            ),
        }
    }
}

/// What charts are drawn from.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    pub findings: &'a Findings,
    /// The answer, what decides first.
    pub answer: &'a [Line],
    /// Of one run on some layouts; all are drawn.
    pub timelines: &'a [Timeline],
    /// Of the candidates that say where things stand, in their order.
    pub layouts: &'a [Layout],
}

/// The floors of a scenario, which can be drawn before anything has been simulated.
#[derive(Clone, Copy)]
pub struct Floors<'a> {
    /// The scenario's.
    pub title: &'a str,
    pub units: Units,
    /// Of the candidates that say where things stand, in their order.
    pub layouts: &'a [Layout],
}

impl<'a> Subject<'a> {
    fn floors(&self) -> Floors<'a> {
        Floors {
            title: &self.findings.title,
            units: self.findings.units,
            layouts: self.layouts,
        }
    }
}

/// A chart that is drawn; some charts have a picture for each candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The name of its files without their ending.
    pub stem: String,
    pub scene: ChartScene,
}

impl Picture {
    /// The pages of a chart, or the one picture that it is.
    fn of(
        stem: String,
        (title, about): (&str, &str),
        size: ChartSize,
        draw: impl FnOnce(&mut Canvas) -> f64,
    ) -> Vec<Picture> {
        let drawn = picture((&stem, title), size, |canvas| {
            canvas.describe(&format!("{}.", capital(about)));
            draw(canvas)
        });
        let pages = pages(drawn, size.height()).into_iter();
        pages
            .map(|scene| Picture {
                stem: scene.id.clone(),
                scene,
            })
            .collect()
    }
}

/// How the files of floor plans begin.
const PLAN: &str = "plan";
/// How that of how far is walked is called.
const WALKING: &str = "walking";

/// All charts, in the order in which they are shown.
pub const ALL: &[Chart] = &[
    Chart {
        stem: "summary",
        title: "Which layout?",
        about: "the answer, with the layouts side by side, the ways walked on them and what does not fit",
        draw: summary::draw,
    },
    Chart {
        stem: WALKING,
        title: "How far do people walk?",
        about: "the walking in each layout, empty-handed, carrying and pushing, with the interval",
        draw: |chart, subject, size| walking::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "stations",
        title: "How do stations spend their time?",
        about: "what the open time of each station goes into, with the busiest marked",
        draw: |chart, subject, size| stations::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "people",
        title: "How do people spend their time?",
        about: "what each person's time goes into, with the busiest marked",
        draw: |chart, subject, size| people::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "waits",
        title: "What do orders wait for?",
        about: "what the time from start to finish of each project goes into: worked on, carried, drying, and each kind of waiting",
        draw: |chart, subject, size| waits::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "bottlenecks",
        title: "What holds the work up?",
        about: "for how much of the time each station, person and kind of gear is the bottleneck by the active-period method",
        draw: |chart, subject, size| {
            let shares = bottlenecks::shares(subject.findings);
            bottlenecks::draw(chart, subject.findings, &shares, size)
        },
    },
    Chart {
        stem: "from-to",
        title: "Between which places do people walk?",
        about: "metres and trips from each place to each other, a from–to chart for each layout",
        draw: |chart, subject, size| from_to::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "timeline",
        title: "Who does what, and when?",
        about: "what stations and people do over one run",
        draw: |chart, subject, size| {
            timeline::draw(chart, subject.findings, subject.timelines, size)
        },
    },
    Chart {
        stem: "queues",
        title: "Where does work pile up, and when?",
        about: "how many lots wait at each station at every moment of one run",
        draw: |chart, subject, size| queues::draw(chart, subject.findings, subject.timelines, size),
    },
    Chart {
        stem: "calendar",
        title: "Which day builds what?",
        about: "the weeks of one run in a shop that keeps hours: what each day builds, and what dries overnight",
        draw: |chart, subject, size| {
            calendar::draw(chart, subject.findings, subject.timelines, size)
        },
    },
    Chart {
        stem: "lead-time",
        title: "How long from start to finish?",
        about: "share of the orders finished within a time (lead time), with median and 90 % marked",
        draw: |chart, subject, size| lead_time::draw(chart, subject.findings, size),
    },
    Chart {
        stem: "legs",
        title: "Which trips differ?",
        about: "walking saved and added between each two places, compared with the base",
        draw: |chart, subject, size| legs::draw(chart, subject.findings, size),
    },
    Chart {
        stem: PLAN,
        title: "Does it fit?",
        about: "each layout to scale with its faults and warnings: walls, doors, stations, standing places and room for the work",
        draw: |chart, subject, size| plan::draw(chart, &subject.floors(), size),
    },
    Chart {
        stem: "string",
        title: "Which ways are walked?",
        about: "a string diagram: the ways on the floor plan, as wide as they were walked often",
        draw: string::draw,
    },
    Chart {
        stem: "stays",
        title: "Where do people stand?",
        about: "how long people work at each standing place, as circles on the floor plan",
        draw: stays::draw,
    },
    Chart {
        stem: "ducts",
        title: "Which ducts carry chips?",
        about: "airflow and velocity in each duct on the plan, with what settles and which ports are starved",
        draw: ducts::draw,
    },
    Chart {
        stem: "currents",
        title: "What runs together on each circuit?",
        about: "the current of each circuit over one run, with the rating of its breaker",
        draw: |chart, subject, size| {
            currents::draw(chart, subject.findings, subject.timelines, size)
        },
    },
    Chart {
        stem: "temperature",
        title: "How cold does it get?",
        about: "air, boards and glue through a week of the coldest month",
        draw: |chart, subject, size| temperature::draw(chart, subject.findings, size),
    },
];

/// Draws a chart, at a scale alone or in pages too.
///
/// Without a timeline, a second candidate or a layout, the charts of these have no picture.
pub fn pictures(chart: &Chart, subject: &Subject, size: impl Into<ChartSize>) -> Vec<Picture> {
    (chart.draw)(chart, subject, size.into())
}

/// Draws the plan of every floor, with its faults and warnings: the same pictures as those among [`ALL`].
pub fn floor_pictures(floors: &Floors, size: impl Into<ChartSize>) -> Vec<Picture> {
    let size = size.into();
    let plans = ALL.iter().filter(|chart| chart.stem == PLAN);
    plans
        .flat_map(|chart| plan::draw(chart, floors, size))
        .collect()
}

/// Something that can be drawn of the relief experiment.
pub struct ReliefChart {
    pub stem: &'static str,
    pub title: &'static str,
    pub about: &'static str,
    draw: fn(&ReliefChart, &Reliefs, ChartSize) -> Vec<Picture>,
}

/// All charts of the relief experiment itself.
pub const RELIEF: &[ReliefChart] = &[ReliefChart {
    stem: "relief",
    title: "What would help most?",
    about: "what each change brings, with the interval, best first",
    draw: relief::draw,
}];

/// Which of [`ALL`] belong to the same question, and are drawn beside those of [`RELIEF`].
const BESIDE_RELIEF: [&str; 3] = ["stations", "people", "bottlenecks"];

/// Draws everything that belongs to the relief experiment, enlarged as by [`pictures`].
pub fn relief_pictures(reliefs: &Reliefs, size: impl Into<ChartSize>) -> Vec<Picture> {
    let size = size.into();
    let subject = Subject {
        findings: &reliefs.findings,
        answer: &[],
        timelines: &[],
        layouts: &[],
    };
    let own = (RELIEF.iter()).flat_map(|chart| (chart.draw)(chart, reliefs, size));
    let beside = (ALL.iter())
        .filter(|chart| BESIDE_RELIEF.contains(&chart.stem))
        .flat_map(|chart| pictures(chart, &subject, size));
    own.chain(beside).collect()
}

/// Draws how far is walked with more and more stations moved, and the plans before and after.
pub fn move_pictures(
    findings: &Findings,
    floors: &Floors,
    size: impl Into<ChartSize>,
) -> Vec<Picture> {
    let size = size.into();
    let subject = Subject {
        findings,
        answer: &[],
        timelines: &[],
        layouts: &[],
    };
    let walking = ALL.iter().filter(|chart| chart.stem == WALKING);
    let walking = walking.flat_map(|chart| pictures(chart, &subject, size));
    walking.chain(floor_pictures(floors, size)).collect()
}

/// Whether a chart of walking would say nothing.
fn nobody_walks(findings: &Findings) -> bool {
    let mut candidates = findings.candidates.iter();
    candidates.all(|found| found.walking.mean == 0.0)
}

/// A chart of a single picture.
fn one(chart: &Chart, size: ChartSize, draw: impl FnOnce(&mut Canvas) -> f64) -> Vec<Picture> {
    single((chart.stem, chart.title, chart.about), size, draw)
}

/// A single picture, with the stem of its files and its title.
fn single(
    (stem, title, about): (&str, &str, &str),
    size: ChartSize,
    draw: impl FnOnce(&mut Canvas) -> f64,
) -> Vec<Picture> {
    Picture::of(stem.to_owned(), (title, about), size, draw)
}

/// What is busiest, as the table of an answer has it.
fn bottleneck(candidate: &CandidateFindings) -> Option<String> {
    // There is no narrow column here.
    let busiest = || briefly_busiest(candidate).replace('\u{a0}', " ");
    candidate.bottleneck.is_some().then(busiest)
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
