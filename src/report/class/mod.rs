//! The layouts of a class on one page: who walks least, with places that are shared where nothing is shown, and what each
//! layout has to mend.

use minijinja::value::Serde;
use minijinja::{Environment, Error, Value, context};
use serde::Serialize;

use super::charts::scene::font_faces;
use super::charts::{Layout, ReplayedPlan, replayed_plans};
use super::check::{CAUTION, NOT_LOOKED_AT};
use super::decision::builds_fewer;
use super::page::{PageFinding, page_findings};
use super::per_order::per_order;
use super::sentence::{capital, counted, listed};
use super::{about, figure, wrap};
use crate::experiment::{
    CandidateFindings, ClassLayout, ClassStudy, ClassWork, Findings, LITTLE, LayoutFindings,
    OtherShop, RankedBy, RankedStudy, ShopPart,
};
use crate::floor::FindingLevel;
use crate::scenario::printable_name;

/// The page, as HTML with places for what differs.
const PAGE: &str = include_str!("class.html");
const STYLE: &str = include_str!("class.css");

/// So many who have the same layout are named.
const MOST_NAMED: usize = 4;

/// What a page of a class is made from.
pub struct ClassSubject<'a> {
    pub works: &'a [ClassWork],
    pub class: &'a ClassStudy,
    pub by: RankedBy,
    pub ranking: &'a RankedStudy,
    /// By candidate; nothing for one that is not drawn.
    pub layouts: &'a [Option<LayoutFindings>],
    /// Likewise of those that are left out.
    pub left_out: &'a [Option<LayoutFindings>],
    /// Files that could not be read.
    pub unread: &'a [String],
}

/// Why a layout has no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NoRank {
    Given,
    Faults,
    BuildsFewer,
    NobodyGetsAbout,
    NothingDone,
}

impl NoRank {
    fn words(self) -> &'static str {
        match self {
            NoRank::Given => "handed out",
            NoRank::Faults => "mend first",
            NoRank::BuildsFewer => "builds fewer",
            NoRank::NobodyGetsAbout => "no way through",
            NoRank::NothingDone => "nothing done",
        }
    }
}

/// A line of the table, and the plan below it.
#[derive(Debug, Serialize)]
struct ClassRow {
    /// The place, or why there is none.
    place: String,
    has_place: bool,
    name: String,
    whose: String,
    /// Whether one alone has it.
    is_own: bool,
    walking: String,
    time: String,
    faults: usize,
    warnings: usize,
    findings: Vec<PageFinding>,
    svg: Option<String>,
}

/// Whether each candidate is ranked: no fault is found in it, it builds as much as the others, and it was not handed out.
pub fn is_ranked(
    class: &ClassStudy,
    findings: &Findings,
    layouts: &[Option<LayoutFindings>],
) -> Vec<bool> {
    let all = 0..findings.candidates.len();
    all.map(|index| why_not(class, findings, layouts, index).is_none())
        .collect()
}

fn why_not(
    class: &ClassStudy,
    findings: &Findings,
    layouts: &[Option<LayoutFindings>],
    index: usize,
) -> Option<NoRank> {
    let found = &findings.candidates[index];
    let most = findings.candidates.iter().map(CandidateFindings::built);
    let most = most.fold(0.0, f64::max);
    if class.layouts[index].is_given {
        Some(NoRank::Given)
    } else if faults(layouts[index].as_ref()) > 0 {
        Some(NoRank::Faults)
    } else if found.orders_done == 0.0 {
        Some(NoRank::NothingDone)
    } else if builds_fewer(found.built(), most) {
        Some(NoRank::BuildsFewer)
    } else {
        None
    }
}

fn faults(found: Option<&LayoutFindings>) -> usize {
    count(found, FindingLevel::Fault)
}

fn count(found: Option<&LayoutFindings>, level: FindingLevel) -> usize {
    let findings = found.map_or(&[][..], |found| &found.findings);
    findings
        .iter()
        .filter(|finding| finding.level == level)
        .count()
}

/// The ranking in a few lines, as it is told on a terminal of so many columns.
pub fn text(subject: &ClassSubject<'_>, columns: usize) -> String {
    let wrapped = |text: &str| wrap(text, columns, "", "").join("\n");
    let mut text = format!("{}\n\n", wrapped(&about_ranking(subject)));
    for row in rows(subject) {
        let ClassRow { place, walking, .. } = &row;
        let name = match row.is_own {
            true => format!("{}: {}", row.whose, row.name),
            false => row.name.clone(),
        };
        let faults = (row.faults > 0).then(|| counted(row.faults, "fault"));
        let walking = Some(walking.clone()).filter(|walking| !walking.is_empty());
        let says: Vec<String> = walking.into_iter().chain(faults).collect();
        text.push_str(&format!("{place:>14}  {name}: {}\n", says.join(", ")));
    }
    for line in told_besides(subject) {
        text.push_str(&format!("\n{}\n", wrapped(&line)));
    }
    text
}

/// The page as HTML that needs nothing beside it. The same subject gives the same bytes.
///
/// # Errors
/// If the page that comes with the program is wrong.
pub fn html(subject: &ClassSubject<'_>) -> Result<String, Error> {
    let study = &subject.class.study;
    let layouts: Vec<Option<Layout>> = drawn(subject)
        .map(|found| {
            let found = found.filter(|found| found.plan.places_something())?;
            Some(Layout::of(found, study.units))
        })
        .collect();
    let known: Vec<Layout> = layouts.iter().flatten().cloned().collect();
    let mut plans = replayed_plans(&known, Some(study.units)).into_iter();
    let plans: Vec<Option<ReplayedPlan>> = layouts
        .iter()
        .map(|layout| layout.as_ref().and_then(|_| plans.next().flatten()))
        .collect();
    let scenes = plans.iter().flatten().map(|plan| &plan.scene);
    let style = format!("{}\n{STYLE}", font_faces(scenes));
    let rows = rows_with(subject, &plans);
    let mut pages = Environment::new();
    // What ends so is escaped.
    pages.add_template("class.html", PAGE)?;
    pages.get_template("class.html")?.render(context! {
        style => Value::from_safe_string(style),
        title => printable_name(&study.title),
        about => about_ranking(subject),
        unit => unit(subject),
        has_times => rows.iter().any(|row| !row.time.is_empty()),
        rows => Value::from(Serde(&rows)),
        besides => told_besides(subject),
        caution => format!("{NOT_LOOKED_AT} {CAUTION}"),
    })
}

/// What was found of the floor of each layout, those that are left out last.
fn drawn<'a>(subject: &ClassSubject<'a>) -> impl Iterator<Item = Option<&'a LayoutFindings>> {
    let all = subject.layouts.iter().chain(subject.left_out);
    all.map(Option::as_ref)
}

/// How the ranking is to be read.
fn about_ranking(subject: &ClassSubject<'_>) -> String {
    let RankedStudy { findings, places } = subject.ranking;
    let ranked = places.iter().flatten().count();
    let by = match subject.by {
        RankedBy::Walking => "walking",
        RankedBy::LeadTime => "time from start to finish",
    };
    let played = match findings.varies {
        true => format!(
            "each played {} times with the same luck",
            figure::grouped(&findings.replications.to_string())
        ),
        false => "each played once, since nothing in it is left to luck".to_owned(),
    };
    let little = about::share(LITTLE);
    format!(
        "{} ranked by {by}, from {}, {played}. Layouts share a place where no difference of {little} is shown between them. \
         Those with faults have no place until these are mended.",
        capital(&counted(ranked, "layout")),
        counted(subject.works.len(), "file"),
    )
}

/// What walking is told of, such as "per bookcase".
fn unit(subject: &ClassSubject<'_>) -> String {
    let first = subject.ranking.findings.candidates.first();
    first.map_or_else(String::new, |found| per_order(found).unit)
}

/// Those with places first, in their order; then the others as they come.
fn rows(subject: &ClassSubject<'_>) -> Vec<ClassRow> {
    rows_with(subject, &[])
}

fn rows_with(subject: &ClassSubject<'_>, plans: &[Option<ReplayedPlan>]) -> Vec<ClassRow> {
    let svg = |index: usize| {
        let plan = plans.get(index).and_then(Option::as_ref);
        plan.map(|plan| plan.scene.svg_in_page())
    };
    let RankedStudy { findings, places } = subject.ranking;
    let mut order: Vec<usize> = (0..places.len()).collect();
    // By means within a place, so that it reads as a list; a place that is shared says that this means nothing.
    let of = |index: usize| {
        let found = &findings.candidates[index];
        match (subject.by, &found.lead_time) {
            (RankedBy::LeadTime, Some(time)) => time.mean,
            _ => found.walking.mean,
        }
    };
    order.sort_by(|&a, &b| {
        // What was handed out stands behind those with places, and before those that are to be mended.
        let place = |index: usize| {
            let is_given = subject.class.layouts[index].is_given;
            (places[index].unwrap_or(usize::MAX), !is_given)
        };
        place(a).cmp(&place(b)).then(of(a).total_cmp(&of(b)))
    });
    let played = order.into_iter().map(|index| {
        let found = &findings.candidates[index];
        let layout = &subject.class.layouts[index];
        let place = match places[index] {
            Some(place) => Ok(place),
            None => Err(why_not(subject.class, findings, subject.layouts, index)
                .unwrap_or(NoRank::NothingDone)),
        };
        ClassRow {
            walking: walking(subject, found),
            time: time(found),
            ..row(
                subject,
                layout,
                place,
                subject.layouts[index].as_ref(),
                svg(index),
            )
        }
    });
    let left_out = subject
        .class
        .left_out
        .iter()
        .zip(subject.left_out)
        .enumerate();
    let left_out = left_out.map(|(nth, ((layout, _), found))| {
        let place = Err(NoRank::NobodyGetsAbout);
        row(
            subject,
            layout,
            place,
            found.as_ref(),
            svg(places.len() + nth),
        )
    });
    played.chain(left_out).collect()
}

fn row(
    subject: &ClassSubject<'_>,
    layout: &ClassLayout,
    place: Result<usize, NoRank>,
    found: Option<&LayoutFindings>,
    svg: Option<String>,
) -> ClassRow {
    let works: Vec<String> = layout
        .works
        .iter()
        .map(|&work| printable_name(&subject.works[work].whose).into_owned())
        .collect();
    ClassRow {
        place: match place {
            Ok(place) => place.to_string(),
            Err(why) => why.words().to_owned(),
        },
        has_place: place.is_ok(),
        name: printable_name(&layout.name).into_owned(),
        is_own: works.len() == 1 && !layout.is_given,
        whose: match (works.len(), subject.works.len()) {
            (many, all) if many == all && many > 1 => "all".to_owned(),
            (many, all) if many > MOST_NAMED => format!("{many} of {all}"),
            _ => listed(&works, "and"),
        },
        walking: String::new(),
        time: String::new(),
        faults: faults(found),
        warnings: count(found, FindingLevel::Warning),
        findings: found.map_or_else(Vec::new, |found| {
            page_findings(found, subject.class.study.units)
        }),
        svg,
    }
}

fn walking(subject: &ClassSubject<'_>, found: &CandidateFindings) -> String {
    let units = subject.class.study.units;
    about::length(units, found.walking.mean / per_order(found).orders)
}

/// From start to finish, where that is one time.
fn time(found: &CandidateFindings) -> String {
    let is_one = !found.builds_several_projects() && found.overload.is_none();
    let time = found.lead_time.filter(|_| is_one);
    time.map_or_else(String::new, |time| about::time(time.mean))
}

/// Works that have no layout of their own, those of another shop, and files that could not be read.
fn told_besides(subject: &ClassSubject<'_>) -> Vec<String> {
    let class = subject.class;
    let mut told = Vec::new();
    let has_own = |work: usize| {
        let left_out = class.left_out.iter().map(|(layout, _)| layout);
        let mut own = class.layouts.iter().chain(left_out);
        own.any(|layout| !layout.is_given && layout.works.contains(&work))
    };
    let is_other = |work: usize| class.others.iter().any(|other| other.work == work);
    let whose = |work: usize| printable_name(&subject.works[work].whose).into_owned();
    let without: Vec<String> = (0..subject.works.len())
        .filter(|&work| !has_own(work) && !is_other(work))
        .map(whose)
        .collect();
    if !without.is_empty() {
        told.push(format!(
            "Only what everybody started from: {}.",
            listed(&without, "and")
        ));
    }
    for OtherShop { work, differs } in &class.others {
        let parts: Vec<&str> = differs.iter().copied().map(part_words).collect();
        told.push(format!(
            "Not ranked: {}, where {} not as in the others, so that figures cannot be compared.",
            whose(*work),
            match &parts[..] {
                [only] => format!("{only} are"),
                all => format!("{} are", listed(all, "and")),
            }
        ));
    }
    if !subject.unread.is_empty() {
        let names: Vec<String> = subject
            .unread
            .iter()
            .map(|name| printable_name(name).into_owned())
            .collect();
        told.push(format!(
            "Not read, since something is wrong in them: {}. `shopstride check` says what.",
            listed(&names, "and")
        ));
    }
    told
}

fn part_words(part: ShopPart) -> &'static str {
    match part {
        ShopPart::Room => "room and doors",
        ShopPart::Stations => "stations or their sizes",
        ShopPart::Work => "projects or operations",
        ShopPart::People => "people or how they carry",
        ShopPart::Orders => "orders",
        ShopPart::Hours => "hours or heat",
        ShopPart::Rules => "rules",
        ShopPart::Run => "the times of the run",
    }
}
