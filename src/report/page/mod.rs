//! A page that shows what was found: the answer, one run replayed on two plans, what does not fit, and the charts with
//! the figures behind them. It is one file that needs nothing beside it.
//!
//! Its scripts, the files ending in `.js` beside this one, share one scope and know nothing of the shop: what they show
//! is in the data of the page, and all they work out is how far along its way somebody is at a moment.

mod clock;
mod lots;
mod places;
mod policy;
mod replay;
mod sections;
mod states;
mod tables;
mod ways;

pub use places::{PageFinding, page_findings, shown_layout};
pub use policy::served_policy;
pub use replay::{Replay, RunFigures};

use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, Value as Filled, context};
use serde_json::{Value, json};

use super::charts::scene::{ChartScene, font_faces};
use super::charts::{Layout, ReplayedPlan, Subject, replayed_plans, schematic};
use super::check::{CAUTION, NOT_LOOKED_AT};
use super::figure::length_unit;
use super::lines::Line;
use super::{data, what_is_certain};
use crate::experiment::{Failure, LayoutFindings, Study};
use crate::scenario::{printable_json, printable_name};
use clock::Clock;
use places::PageFloor;
use replay::play_replay;
use sections::{Section, WrittenLine, is_of_checks, sections};
use states::States;

/// The page, as HTML with places for what differs.
const PAGE: &str = include_str!("page.html");
/// How the pages of this program look.
pub const STYLE: &str = include_str!("page.css");

/// The scripts in the order in which they need each other.
const SCRIPTS: [&str; 10] = [
    include_str!("data.js"),
    include_str!("clock.js"),
    include_str!("tracks.js"),
    include_str!("parts.js"),
    include_str!("counters.js"),
    include_str!("plan.js"),
    include_str!("findings.js"),
    include_str!("player.js"),
    include_str!("guess.js"),
    include_str!("start.js"),
];

/// A run of more phases than this is not replayed: the page would become too large to be handed on.
const MOST_PHASES: usize = 60_000;

/// What a page is made from.
pub struct PageSubject<'a> {
    pub study: &'a Study,
    /// With the answer, what decides first.
    pub charts: Subject<'a>,
    /// By candidate; nothing for one that is not drawn.
    pub layouts: &'a [Option<LayoutFindings>],
    /// The candidates that are replayed beside each other.
    pub shown: &'a [usize],
    /// Which run is replayed; the first is 0.
    pub replication: u32,
}

/// Why a page could not be made.
#[derive(Debug)]
pub enum NoPage {
    /// A run that is replayed cannot go on.
    Stuck(Failure),
    /// What is wrong with the page that comes with the program.
    Template(minijinja::Error),
}

impl From<minijinja::Error> for NoPage {
    fn from(error: minijinja::Error) -> NoPage {
        NoPage::Template(error)
    }
}

/// The page as HTML. The same subject gives the same bytes.
///
/// # Errors
/// If a run gets stuck, or if the page that comes with the program is wrong.
pub fn html(subject: &PageSubject<'_>) -> Result<String, NoPage> {
    let states = States::new();
    let findings = subject.charts.findings;
    let layouts: Vec<Layout> = subject
        .shown
        .iter()
        .map(|&index| layout(subject, index))
        .collect();
    let is_plan =
        |&index: &usize| shown_layout(subject.layouts[index].as_ref(), findings.units).is_some();
    let units = subject.shown.iter().all(is_plan).then_some(findings.units);
    let plans: Vec<ReplayedPlan> = replayed_plans(&layouts, units)
        .into_iter()
        .flatten()
        .collect();
    let mut replays = Vec::new();
    for (&index, layout) in subject.shown.iter().zip(&layouts) {
        let shown = (&layout.plan, &states);
        let replay = play_replay(subject.study, index, subject.replication, shown);
        replays.push(replay.map_err(NoPage::Stuck)?);
    }
    let phases: usize = replays.iter().map(Replay::phases).sum();
    let is_replayed = phases <= MOST_PHASES;
    let floors = subject.shown.iter().zip(&layouts).zip(&plans);
    let floors: Vec<PageFloor> = floors
        .map(|((&index, layout), drawn)| {
            let found = subject.layouts[index].as_ref();
            PageFloor::new(&layout.plan, drawn, found, findings.units)
        })
        .collect();
    let document = data::json(findings);
    let sections = sections(&subject.charts, &document);
    let page_data = page_data(subject, (&replays, is_replayed), &floors, &states, document);
    let script = joined_scripts();
    let scenes = plans.iter().map(|plan| &plan.scene);
    let scenes = scenes.chain(sections.iter().flat_map(Section::scenes));
    let style = format!("{}\n{STYLE}", font_faces(scenes));
    let answer = subject.charts.answer;
    let written: Vec<_> = sections
        .iter()
        .filter_map(|section| section.written(answer))
        .collect();
    let mut pages = Environment::new();
    pages.set_auto_escape_callback(|_| AutoEscape::Html);
    pages.add_template("page.html", PAGE)?;
    let page = pages.get_template("page.html")?;
    let text = page.render(context! {
        policy => policy::policy(&script, &style),
        style => Filled::from_safe_string(style),
        script => Filled::from_safe_string(script),
        data => Filled::from_safe_string(in_script(&page_data)),
        patterns => Filled::from_safe_string(states.patterns()),
        states => in_page(states.shown(replays.iter().flat_map(Replay::states))),
        title => printable_name(&findings.title),
        headline => in_page(headline(answer)),
        checks => in_page(lines(answer, is_of_checks)),
        sides => sides(&replays, &plans, &floors),
        is_replayed,
        replication => subject.replication + 1,
        sections => in_page(written),
        certain => what_is_certain(findings),
        caution => format!("{NOT_LOOKED_AT} {CAUTION}"),
    })?;
    Ok(text)
}

/// The layout on which a candidate is shown: places in rows where it only says how far it is.
fn layout(subject: &PageSubject<'_>, index: usize) -> Layout {
    let units = subject.charts.findings.units;
    let candidate = &subject.study.candidates[index];
    shown_layout(subject.layouts[index].as_ref(), units)
        .unwrap_or_else(|| schematic(&candidate.name, &candidate.shop))
}

fn page_data(
    subject: &PageSubject<'_>,
    (replays, is_replayed): (&[Replay], bool),
    floors: &[PageFloor],
    states: &States,
    document: Value,
) -> Value {
    let findings = subject.charts.findings;
    let unit = length_unit(findings.units);
    let candidate = &subject.study.candidates[subject.shown[0]];
    json!({
        "length": {"per_unit": unit.per_unit, "sign": unit.sign},
        "clock": Clock::of(replays, candidate, &subject.study.settings),
        "states": states.all(),
        "floors": floors,
        "replays": if is_replayed { json!(replays) } else { json!([]) },
        "findings": document,
    })
}

/// JSON within a script: nothing in it may end that.
pub fn in_script(data: &Value) -> String {
    let text = data.to_string();
    printable_json(&text)
        .replace('<', "\\u003c")
        .replace('>', "\\u003e")
}

/// All scripts as one, with a scope of their own.
fn joined_scripts() -> String {
    format!("(() => {{\n\"use strict\";\n{}}})();\n", SCRIPTS.concat())
}

/// What decides, in a sentence or two.
fn headline(answer: &[Line]) -> Option<WrittenLine<'_>> {
    answer.first().map(WrittenLine::of)
}

fn lines(answer: &[Line], of: fn(&Line) -> bool) -> Vec<WrittenLine<'_>> {
    let lines = answer.iter().skip(1).filter(|line| of(line));
    lines.map(WrittenLine::of).collect()
}

/// What is beside each other: the plans with their names and findings.
fn sides(replays: &[Replay], plans: &[ReplayedPlan], floors: &[PageFloor]) -> Vec<Filled> {
    let sides = replays.iter().zip(plans).zip(floors).enumerate();
    let sides = sides.map(|(index, ((replay, plan), floor))| {
        let ChartScene { width, height, .. } = plan.scene;
        let findings: &[PageFinding] = &floor.findings;
        let people: Vec<_> = (replay.people.iter())
            .map(|person| printable_name(&person.name))
            .collect();
        context! {
            number => index + 1,
            name => printable_name(&replay.candidate),
            svg => Filled::from_safe_string(plan.scene.svg_in_page()),
            shape => format!("{width} / {height}"),
            to_scale => floor.to_scale,
            is_checked => floor.is_checked,
            findings => in_page(findings),
            people => in_page(people),
        }
    });
    sides.collect()
}

/// What the template takes.
fn in_page<T: serde::Serialize>(value: T) -> Filled {
    Filled::from(Serde(value))
}
