//! The charts of a page by what one asks, each with the figures behind it.

use serde::Serialize;
use serde_json::{Value, json};

use super::tables::{PageTable, behind};
use crate::experiment::Timeline;
use crate::report::charts::scene::ChartScene;
use crate::report::charts::{ALL, Picture, Subject, pictures};
use crate::report::lines::{FITS, IN_THE_WAY, Line};

/// A question with the charts that answer it. What is not named is on the plans of the page itself.
const QUESTIONS: [(&str, &str, &[&str]); 3] = [
    (
        "walk",
        "How far do people walk?",
        &["walking", "string", "from-to", "legs", "stays"],
    ),
    (
        "wait",
        "What does the work wait for?",
        &["waits", "lead-time", "calendar", "timeline"],
    ),
    (
        "help",
        "What would help?",
        &["bottlenecks", "stations", "people"],
    ),
];

/// The question that the rest of the answer belongs to.
const HELP: &str = "help";

/// The charts of one question.
pub struct Section {
    id: &'static str,
    title: &'static str,
    figures: Vec<ChartFigure>,
}

struct ChartFigure {
    title: &'static str,
    pictures: Vec<Picture>,
    tables: Vec<PageTable>,
}

/// A section as the page has it.
#[derive(Debug, Serialize)]
pub struct WrittenSection<'a> {
    id: &'static str,
    title: &'static str,
    lines: Vec<WrittenLine<'a>>,
    figures: Vec<WrittenFigure<'a>>,
}

/// A line of the answer.
#[derive(Debug, Serialize)]
pub struct WrittenLine<'a> {
    pub heading: &'a str,
    pub says: &'a str,
}

#[derive(Debug, Serialize)]
struct WrittenFigure<'a> {
    title: &'a str,
    svgs: Vec<String>,
    tables: &'a [PageTable],
}

/// Whether a line of the answer says what does not fit.
pub fn is_of_checks(line: &Line) -> bool {
    line.is_fault || [FITS, IN_THE_WAY, "Room to feed"].contains(&line.heading)
}

/// All charts of a page, with tables of the JSON.
pub fn sections(subject: &Subject, document: &Value) -> Vec<Section> {
    let mut document = document.clone();
    document["timelines"] = subject.timelines.iter().map(timeline).collect();
    let sections = QUESTIONS.iter().map(|&(id, title, stems)| {
        let charts = stems
            .iter()
            .filter_map(|stem| ALL.iter().find(|chart| chart.stem == *stem));
        let figures = charts.map(|chart| ChartFigure {
            title: chart.title,
            pictures: pictures(chart, subject, 1.0),
            tables: behind(chart.stem, &document, subject.findings.units),
        });
        Section {
            id,
            title,
            figures: figures
                .filter(|figure| !figure.pictures.is_empty())
                .collect(),
        }
    });
    sections.collect()
}

impl Section {
    pub fn scenes(&self) -> impl Iterator<Item = &ChartScene> + Clone {
        let pictures = self.figures.iter().flat_map(|figure| &figure.pictures);
        pictures.map(|picture| &picture.scene)
    }

    /// With the lines of the answer that belong to it; nothing if there is nothing to show.
    pub fn written<'a>(&'a self, answer: &'a [Line]) -> Option<WrittenSection<'a>> {
        let lines = answer.iter().skip(1);
        let lines = lines.filter(|line| self.id == HELP && !is_of_checks(line));
        let figures = self.figures.iter().map(|figure| WrittenFigure {
            title: figure.title,
            svgs: figure
                .pictures
                .iter()
                .map(|picture| picture.scene.svg_in_page())
                .collect(),
            tables: &figure.tables,
        });
        let written = WrittenSection {
            id: self.id,
            title: self.title,
            lines: lines.map(WrittenLine::of).collect(),
            figures: figures.collect(),
        };
        (!written.figures.is_empty() || !written.lines.is_empty()).then_some(written)
    }
}

impl<'a> WrittenLine<'a> {
    pub fn of(line: &'a Line) -> WrittenLine<'a> {
        WrittenLine {
            heading: line.heading,
            says: &line.says,
        }
    }
}

/// The bars of a run as data.
fn timeline(timeline: &Timeline) -> Value {
    let rows = timeline.rows.iter().map(|row| {
        let bars = row.bars.iter().map(
            |bar| json!({"activity": bar.what.name(), "from_s": bar.from_s, "to_s": bar.to_s}),
        );
        json!({"name": row.name, "bars": bars.collect::<Vec<Value>>()})
    });
    json!({"name": timeline.candidate, "rows": rows.collect::<Vec<Value>>()})
}
