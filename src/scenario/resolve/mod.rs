//! From the tree to the study: every candidate is built from its own tree, and all problems are collected.

mod asked_places;
mod bought;
mod brought;
mod catalogue;
mod catching;
mod checks;
mod chips;
mod collecting;
mod crew;
mod cures;
mod deadline;
mod doors;
mod drafts;
mod ducts;
mod electrics;
mod exclusions;
mod fits;
mod gear_counts;
mod gear_spec;
mod geometry;
mod given_stand;
mod heating;
mod heights;
mod idle_people;
mod layouts;
mod lifting;
mod lighting;
mod loudness;
mod misspelt;
mod orders;
mod parked;
mod pieces;
mod places;
mod prices;
mod projects;
mod rolling;
mod room;
mod routes;
mod rules;
mod run;
mod services;
mod sessions;
mod setups;
mod shop;
mod silence;
mod sizes;
mod sound;
mod spec;
mod stands;
mod unplaced;
mod unreachable;
mod unused;
mod upkeep;
mod usual;
mod wiring;
mod work;

use std::sync::Arc;

use super::fields::Fields;
use super::keys;
use super::like;
use super::names::Names;
use super::patch;
use super::problem::{Bytes, LEAVE_ONE_OUT, Problem, Severity, Sink};
use super::reader::{entries, text};
use super::tree::{MapEntry, YamlNode, YamlValue};
use crate::experiment::{Candidate, Settings, Study};
use crate::shop::Shop;

/// Limits of size: far beyond any shop, but low enough that a typing error does not fill the memory.
const MOST_STATIONS: usize = 400;
const MOST_PIECES: u64 = 1_000_000;
/// Lots that are released at the same instant.
const MOST_RELEASED: u64 = 2_000_000;
/// Lots in one replication.
const MOST_LOTS: u64 = 50_000_000;
const MOST_CANDIDATES: usize = 1000;
/// Candidates, times stations cubed: what finding the shortest chains of distances costs.
const MOST_CHAINS: usize = 2_000_000_000;
/// Corners on the floor cubed, times candidates: what finding the shortest ways around them costs, some seconds.
const MOST_AROUND: usize = 20_000_000_000;
/// Values of the file, times the candidates that change it.
const MOST_VALUES: usize = 20_000_000;
const MOST_OPERATIONS: usize = 2000;
/// Steps of all routes, times the stations that can do each.
const MOST_CHOICES: usize = 200_000;

/// These are common to all candidates, so no change may touch them.
const COMMON: [&str; 4] = ["run", "title", "show", "candidates"];

/// The study, if there is no error, and all problems.
pub fn study(tree: &YamlNode, keeps_unwalkable: bool) -> (Option<Study>, Vec<Problem>) {
    let mut sink = Sink::default();
    sink.keeps_unwalkable = keeps_unwalkable;
    sink.imperial = shown_in_feet(tree);
    let (title, about, units) = run::heading(tree, &sink);
    let settings = run::settings(tree, &sink);
    let further: &[MapEntry] = match tree.entry("candidates") {
        Some(entry) => {
            if !matches!(entry.node.value, YamlValue::Map(_)) {
                sink.report(
                    Problem::error(
                        &entry.node.span,
                        format!(
                            "`candidates` is a mapping of names, not {}",
                            entry.node.kind()
                        ),
                    )
                    .hint("write `name: {layout: ..., change: ...}` for each"),
                );
            }
            entries(&entry.node)
        }
        None => &[],
    };
    let layouts = tree.get("layouts").map(entries).unwrap_or_default();
    if layouts.len() + further.len() > MOST_CANDIDATES {
        let mut all = layouts.iter().chain(further);
        let first_beyond = all.nth(MOST_CANDIDATES);
        let what = format!(
            "there are {} candidates; at most {MOST_CANDIDATES} are accepted",
            layouts.len() + further.len()
        );
        sink.report(
            Problem::error(
                first_beyond.map_or(&tree.span, |entry| &entry.key.span),
                what,
            )
            .label("this one is beyond them")
            .hint(
                "each layout is a candidate, and so is each entry of `candidates`: leave some out",
            ),
        );
        return (None, sink.into_problems());
    }
    if tree.size() * further.len() > MOST_VALUES {
        sink.report(
            Problem::error(
                &tree.span,
                format!(
                    "{} changed candidates of a file of this size are too many",
                    further.len()
                ),
            )
            .hint("split the candidates into several files"),
        );
        return (None, sink.into_problems());
    }
    let mut candidates = layouts_of(tree, layouts.len() + further.len(), &settings, &sink);
    let fresh = sink.fresh();
    let mut problems = sink.into_problems();
    for entry in further {
        let sink = fresh.fresh();
        if let Some(layout) = layouts
            .iter()
            .find(|layout| layout.key.text == entry.key.text)
        {
            sink.report(
                Problem::error(
                    &entry.key.span,
                    format!("there is also a layout called `{}`", entry.key.text),
                )
                .also(&layout.key.span, "every layout is a candidate")
                .hint("give the candidate another name"),
            );
        }
        candidates.extend(changed(
            tree,
            entry,
            layouts.len() + further.len(),
            &settings,
            &sink,
        ));
        absorb(&mut problems, sink.into_problems(), &entry.node);
    }
    let refused = problems
        .iter()
        .any(|problem| problem.severity == Severity::Error);
    let is_complete = candidates.len() == layouts.len() + further.len();
    let (played, left_out): (Vec<Drafted>, Vec<Drafted>) =
        (candidates.into_iter()).partition(|drafted| drafted.is_walkable);
    let remain = !played.is_empty();
    let problems = problems.into_iter();
    let problems = problems.map(|problem| problem.settled(remain)).collect();
    let candidates = |drafted: Vec<Drafted>| drafted.into_iter().map(|drafted| drafted.candidate);
    let study = match title {
        // Where a candidate is missing, an error has been reported.
        Some(title) if !refused && is_complete && remain => Some(Study {
            title,
            about,
            units,
            settings,
            candidates: candidates(played).collect(),
            left_out: candidates(left_out).collect(),
        }),
        _ => None,
    };
    (study, problems)
}

/// A candidate, and whether it can be played as it is drawn.
struct Drafted {
    candidate: Candidate,
    is_walkable: bool,
}

fn shown_in_feet(tree: &YamlNode) -> bool {
    let show = tree.get("show").map(|node| &node.value);
    show.is_some_and(|value| *value == YamlValue::Scalar("imperial".to_owned()))
}

/// Adds the errors that only the changed scenario has. A warning stays only if the changed scenario gives it as well,
/// since a station that is unused as the file stands may be used with the change. Warnings about the change itself are
/// added: a name misspelt there would otherwise have no effect and go unnoticed.
fn absorb(problems: &mut Vec<Problem>, found: Vec<Problem>, change: &YamlNode) {
    let same = |a: &Problem, b: &Problem| a.span == b.span && a.what == b.what;
    let complete = !found
        .iter()
        .any(|problem| problem.severity == Severity::Error);
    if complete {
        problems.retain(|old| {
            old.severity == Severity::Error || found.iter().any(|new| same(old, new))
        });
    }
    for problem in found {
        let matters = !problem.severity.is_warning() || change.holds(&problem.span);
        if matters && !problems.iter().any(|old| same(old, &problem)) {
            problems.push(problem);
        }
    }
}

/// The candidates that the layouts are.
fn layouts_of(tree: &YamlNode, all: usize, settings: &Settings, sink: &Sink) -> Vec<Drafted> {
    let top = top_of(tree);
    let built = shop::build(tree, &top, settings, sink);
    let mut candidates = Vec::new();
    if built
        .as_ref()
        .is_some_and(|built| !affordable(built, all, &top, sink))
    {
        return candidates;
    }
    let Some(entry) = tree.entry("layouts") else {
        return candidates;
    };
    let YamlValue::Map(layouts) = &entry.node.value else {
        sink.report(
            Problem::error(
                &entry.key.span,
                format!("`layouts` is a mapping of names, not {}", entry.node.kind()),
            )
            .hint("write `name: {distances: ...}` for each"),
        );
        return candidates;
    };
    if layouts.is_empty() {
        sink.report(
            Problem::error(&entry.key.span, "there is no layout")
                .hint("write for example `one spot: {distances: 0}`"),
        );
    }
    for index in 0..layouts.len() {
        let Some(layout) = like::whole(layouts, index, sink) else {
            continue;
        };
        candidates.extend(candidate(
            &layout.key.text,
            &layout,
            built.as_ref(),
            settings,
            sink,
        ));
    }
    candidates
}

/// Whether this many candidates of the shop can be built in reasonable time and memory.
fn affordable(built: &shop::Built, all: usize, at: &Bytes, sink: &Sink) -> bool {
    let stations = built.used.len();
    if built.choices * all > MOST_CHOICES {
        sink.report(
            Problem::error(
                at,
                format!("the routes of all {all} candidates are too long"),
            )
            .hint(format!(
                "at most {MOST_CHOICES} steps, times the stations that can do each, are accepted"
            )),
        );
        return false;
    }
    if stations.pow(3) * all > MOST_CHAINS {
        sink.report(
            Problem::error(
                at,
                format!("{stations} stations are too many for {all} candidates"),
            )
            .hint("split the candidates into several files"),
        );
        return false;
    }
    let corners = built.corners();
    if corners.saturating_pow(3).saturating_mul(all) > MOST_AROUND {
        sink.report(
            Problem::error(
                at,
                format!("{corners} corners on the floor are too many for {all} candidates"),
            )
            .hint("leave out what nobody walks around, or split the candidates into several files"),
        );
        return false;
    }
    true
}

/// One layout with the shop.
fn candidate(
    name: &str,
    layout: &MapEntry,
    built: Option<&shop::Built>,
    settings: &Settings,
    sink: &Sink,
) -> Option<Drafted> {
    let fields = Fields::open(&layout.node, &layout.key.span, &keys::LAYOUT, sink)?;
    let built = built?;
    let laid = layouts::lay(&layout.key, &fields, built);
    let plan = laid.as_ref().and_then(|laid| laid.plan.as_ref());
    let services = services::plan(&fields, built, plan);
    let laid = laid?;
    let shop = built.shop.as_ref()?;
    checks::candidate(built, shop, &laid.walks, settings, sink);
    let shop = match laid.shared_floor.is_empty() {
        true => shop.clone(),
        false => Arc::new(Shop {
            shared_floor: laid.shared_floor,
            ..(**shop).clone()
        }),
    };
    let candidate = Candidate {
        name: name.to_owned(),
        layout: layout.key.text.clone(),
        shop,
        walks: laid.walks,
        plan: laid.plan,
        paths: laid.paths,
        limits: built.limits.clone(),
        services: services.map(Arc::new),
    };
    Some(Drafted {
        candidate,
        is_walkable: laid.is_walkable,
    })
}

/// A further candidate: a layout of the changed scenario.
fn changed(
    tree: &YamlNode,
    entry: &MapEntry,
    all: usize,
    settings: &Settings,
    sink: &Sink,
) -> Option<Drafted> {
    let fields = Fields::open(&entry.node, &entry.key.span, &keys::CANDIDATE, sink)?;
    let patched = match fields.entry("change") {
        Some(change) => {
            if !matches!(change.node.value, YamlValue::Map(_)) {
                sink.report(
                    Problem::error(
                        &change.node.span,
                        format!("a change is a mapping, not {}", change.node.kind()),
                    )
                    .hint("write for example `change: {stations: {saw: {count: 2}}}`"),
                );
                return None;
            }
            let mut allowed = true;
            for touched in entries(&change.node) {
                if COMMON.contains(&&*touched.key.text) {
                    sink.report(
                        Problem::error(
                            &touched.key.span,
                            format!("a candidate cannot change `{}`", touched.key.text),
                        )
                        .hint("it is common to all candidates, so that they can be compared"),
                    );
                    allowed = false;
                }
            }
            if !allowed | misspelt::misspells_a_station(tree, &change.node, sink) {
                return None;
            }
            patch::merge(tree, &change.node)
        }
        None => tree.clone(),
    };
    let layout = fields.get("layout")?;
    let name = text(layout, "the name of a layout", sink)?;
    let layouts = patched.get("layouts").map(entries).unwrap_or_default();
    let names = Names::of("layout", layouts.iter().map(|layout| &layout.key));
    let index = names.find_text(name, &layout.span, sink)?;
    let top = top_of(tree);
    // The problems of the changed scenario live as long as its tree.
    let inner = sink.fresh();
    let built = shop::build(&patched, &top, settings, &inner)
        .filter(|built| affordable(built, all, &entry.key.span, &inner));
    let candidate = like::whole(layouts, index, &inner)
        .and_then(|layout| candidate(&entry.key.text, &layout, built.as_ref(), settings, &inner));
    drop(built);
    for mut problem in inner.into_problems() {
        if problem.label.is_empty() && problem.severity != Severity::Warning {
            problem.label = format!("with the change of candidate `{}`", entry.key.text);
        }
        let removal = removal(&problem, &entry.node, &patched);
        sink.report(problem.maybe_hint(removal));
    }
    candidate
}

/// How a change takes away what excludes something that it gives.
fn removal(problem: &Problem, change: &YamlNode, patched: &YamlNode) -> Option<String> {
    let (other, _) = problem.also.as_ref()?;
    if problem.hint.as_deref() != Some(LEAVE_ONE_OUT) {
        return None;
    }
    let kept = match [&problem.span, other].map(|span| change.holds(span)) {
        [true, false] => other,
        [false, true] => &problem.span,
        _ => return None,
    };
    let key = patched.key_at(kept)?;
    Some(format!(
        "a change keeps what it does not name: write `{key}: null` beside it to take that away"
    ))
}

/// What messages about the whole file point at.
fn top_of(tree: &YamlNode) -> Bytes {
    match &tree.value {
        YamlValue::Map(entries) => entries
            .first()
            .map_or(tree.span.clone(), |entry| entry.key.span.clone()),
        _ => tree.span.clone(),
    }
}
