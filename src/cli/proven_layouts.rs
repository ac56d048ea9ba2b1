//! What a search for placements has found, once it has been written, loaded, checked and played.

use super::Refusal;
use super::present_layout::Present;
use super::said_by_rules::SaidByRules;
use super::scenario::{ScenarioSource, load_source, stuck};
use crate::experiment::{Candidate, Findings, LayoutFindings, Settings, Study, Units, run};
use crate::floor::{FindingLevel, MachineCapacity, Placement, Plan, RuleId, machine_capacities};
use crate::improve::placement::{FoundPlacements, PlacedBest, WallWish, move_order};
use crate::report::check::{Told, stock_sizes};
use crate::report::placements::{PlacementsAnswer, PlayedLayout, ProposedLayout, takes_less};
use crate::scenario::new_shop::unused;
use crate::scenario::{self, AddedLayout, add_layouts};
use crate::shop::StationId;

/// With at most so many stations moved, the first proposal.
const FEW: usize = 2;

/// The text of the scenario with layouts added, which is loaded before anybody hears of it.
pub fn with_layouts(
    source: &ScenarioSource,
    layouts: &[AddedLayout],
    units: Units,
) -> Result<ScenarioSource, Refusal> {
    let text = String::from_utf8_lossy(&source.text);
    let text = add_layouts(&text, layouts, units).ok_or_else(|| {
        Refusal::with_hint(
            format!("{}: no place was found to add layouts to", source.name),
            "write `layouts:` with one layout below the other, each indented",
        )
    })?;
    Ok(ScenarioSource {
        name: format!("{} with what was found", source.name),
        text: text.into_bytes(),
    })
}

/// What was found, after it has been written, loaded, checked and played.
pub struct Proven {
    pub(super) study: Study,
    pub(super) findings: Findings,
    pub(super) now: PlayedLayout,
    pub(super) curve: Vec<PlayedLayout>,
    proposals: Vec<ProposedLayout>,
    no_walking: Option<usize>,
    refused: usize,
    /// What the rules say of the present layout and of each that is proposed, as far as people get about there.
    pub(super) floors: Vec<LayoutFindings>,
}

/// A placement that was found, with the name that its layout has in the trial.
struct TriedLayout<'f> {
    added: AddedLayout,
    best: &'f PlacedBest,
}

impl Proven {
    /// Writes, loads, checks and plays what was found.
    pub fn of(
        source: &ScenarioSource,
        now: &Present<'_>,
        found: &FoundPlacements,
        seed: u64,
    ) -> Result<Proven, Refusal> {
        let (proposed, curve) = (proposed(found), curve_of(found));
        let tried = now.all_tried(&proposed, &curve);
        let mut study = now.trial(source, &tried, seed)?;
        let rules = SaidByRules::of(&study)?;
        let of_now = PlayedLayout {
            candidate: rules
                .index(&now.candidate.name)
                .filter(|_| now.is_walkable()),
            told: match rules.told(&now.candidate.name) {
                Some(told) => told.clone(),
                None => now.told()?,
            },
            moved: Vec::new(),
        };
        let sound = |best: &PlacedBest| {
            let tried = tried.iter().find(|tried| is_as(tried.best, best))?;
            let played = rules.played(&tried.added)?;
            let faults = played.count(FindingLevel::Fault);
            let is_sound = faults <= found.faults_wherever as usize
                && thrown_at(&played).all(|thrown| thrown_at(&of_now).any(|now| now == thrown));
            is_sound.then_some((tried, played))
        };
        let refused = tried.iter().filter(|tried| sound(tried.best).is_none());
        let refused = refused.count();
        let taken_now = now.takes(now.plan);
        let mut proposals: Vec<ProposedLayout> = Vec::new();
        for ToPropose { kind, best, .. } in &proposed {
            if let Some((tried, played)) = sound(best)
                && !proposals.iter().any(|known| known.added == tried.added)
            {
                proposals.push(now.proposal(kind, tried, played, &taken_now));
            }
        }
        let rows = curve
            .iter()
            .filter_map(|best| Some(sound(best)?.1))
            .collect();
        let shown = |name: &str| {
            name == now.candidate.name
                || proposals.iter().any(|proposal| proposal.added.name == name)
        };
        let mut floors = rules.floors;
        floors.retain(|floor| shown(&floor.name));
        let no_walking = of_now.candidate.map(|_| study.candidates.len());
        let nobody_walks = nobody_walks(&study.candidates[0]);
        study.candidates.push(nobody_walks);
        let findings = run(&study, 0, &|_| ()).map_err(|failure| stuck(&failure))?;
        let curve = never_worse(rows, &findings, &of_now);
        Ok(Proven {
            study,
            findings,
            now: of_now,
            curve,
            proposals,
            no_walking,
            refused,
            floors,
        })
    }

    pub fn answer<'a>(
        &'a self,
        now: &'a Present<'_>,
        found: &'a FoundPlacements,
        seed: u64,
    ) -> PlacementsAnswer<'a> {
        let names = |stations: Vec<StationId>| {
            let names = stations.into_iter();
            names
                .map(|station| now.shop().stations[station].name.clone())
                .collect()
        };
        let at_walls = now
            .wishes
            .enumerate()
            .filter(|(station, wish)| wish.wall == WallWish::AtAny && !now.stays(*station));
        PlacementsAnswer {
            study: &self.study,
            name: &now.candidate.name,
            found,
            seed,
            findings: &self.findings,
            now: &self.now,
            curve: &self.curve,
            proposals: &self.proposals,
            no_walking: self.no_walking,
            kept: names(now.kept.clone()),
            fixed: names(now.fixed.clone()),
            too_tight: names(now.sized.too_tight.clone()),
            together: now
                .groups
                .iter()
                .map(|group| names(group.clone()))
                .collect(),
            at_walls: names(at_walls.map(|(station, _)| station).collect()),
            refused: self.refused,
        }
    }
}

/// What layouts of the curve are called while they are tried; nobody reads it.
const ROW: &str = "in between";

/// Who stands or walks, or what opens, where which saw may throw a piece: no walking is worth another one.
fn thrown_at(layout: &PlayedLayout) -> impl Iterator<Item = (&str, Option<&str>)> {
    let told = layout.told.iter();
    told.filter(|told| told.rule == RuleId::Kickback && told.level != FindingLevel::Note)
        .map(|told| (told.subject.as_str(), told.other.as_deref()))
}

/// A candidate in which nobody walks at all.
fn nobody_walks(candidate: &Candidate) -> Candidate {
    Candidate {
        name: String::new(),
        walks: candidate.walks.without_walking(),
        plan: None,
        paths: None,
        services: None,
        ..candidate.clone()
    }
}

impl Present<'_> {
    /// Every placement once: those to propose under their names, then those of the curve.
    fn all_tried<'f>(
        &self,
        proposed: &[ToPropose<'f>],
        curve: &[&'f PlacedBest],
    ) -> Vec<TriedLayout<'f>> {
        let proposed = proposed
            .iter()
            .map(|proposed| (proposed.name, proposed.best));
        let rows = curve.iter().map(|best| (ROW, *best));
        let mut tried: Vec<TriedLayout<'f>> = Vec::new();
        for (name, best) in proposed.chain(rows) {
            if !tried.iter().any(|known| is_as(known.best, best)) {
                tried.push(self.tried(name, best, &tried));
            }
        }
        tried
    }

    /// The study of the present layout, where it can be played, and of all that was found, each written into the scenario
    /// and loaded.
    fn trial(
        &self,
        source: &ScenarioSource,
        tried: &[TriedLayout<'_>],
        seed: u64,
    ) -> Result<Study, Refusal> {
        let layouts: Vec<AddedLayout> = tried.iter().map(|tried| tried.added.clone()).collect();
        let mut study = match layouts.is_empty() {
            true => self.study.clone(),
            false => {
                let trial = with_layouts(source, &layouts, self.study.units)?;
                load_source(&trial, true, scenario::load)?
            }
        };
        let is_now = |candidate: &Candidate| candidate.name == self.candidate.name;
        study.candidates.retain(|candidate| {
            is_now(candidate) || layouts.iter().any(|layout| layout.name == candidate.name)
        });
        if study.candidates.is_empty() {
            study.candidates.push(self.candidate.clone());
        }
        study.candidates.sort_by_key(|candidate| !is_now(candidate));
        study.left_out.clear();
        study.settings.seed = another_seed(seed);
        Ok(study)
    }

    /// A placement under a name that no layout has yet.
    fn tried<'f>(
        &self,
        kind: &str,
        best: &'f PlacedBest,
        others: &[TriedLayout<'_>],
    ) -> TriedLayout<'f> {
        let candidates = self.study.candidates.iter().chain(&self.study.left_out);
        let known: Vec<&str> = (candidates.map(|candidate| &*candidate.name))
            .chain(others.iter().map(|other| &*other.added.name))
            .collect();
        let name = unused(kind, |name| known.contains(&name));
        let about = format!(
            "{} of \"{}\" moved; found by a search, keep an eye on what no rule knows",
            best.moved, self.candidate.name
        );
        TriedLayout {
            added: self.added(name, about, &best.plan),
            best,
        }
    }

    fn proposal(
        &self,
        kind: &'static str,
        tried: &TriedLayout<'_>,
        played: PlayedLayout,
        taken_now: &[MachineCapacity],
    ) -> ProposedLayout {
        let flow = self.flow_on(&tried.best.plan);
        let steps = flow.map(|flow| {
            move_order(
                &self.site,
                &flow,
                (self.plan, &tried.best.plan),
                &self.groups,
            )
        });
        ProposedLayout {
            added: tried.added.clone(),
            kind,
            played,
            plan: tried.best.plan.clone(),
            before: self.plan.clone(),
            steps: steps.unwrap_or_default(),
            takes_less: takes_less(
                self.shop(),
                taken_now,
                &self.takes(&tried.best.plan),
                stock_sizes(self.study.units),
            ),
        }
    }

    /// What machines take where a plan has them.
    fn takes(&self, plan: &Plan) -> Vec<MachineCapacity> {
        machine_capacities(&self.site, plan, stock_sizes(self.study.units))
    }

    /// What the rules say of the layout that is there now, also where nobody could walk in it.
    fn told(&self) -> Result<Vec<Told>, Refusal> {
        let alone = Study {
            candidates: vec![self.candidate.clone()],
            left_out: Vec::new(),
            ..self.study.clone()
        };
        let told = SaidByRules::of(&alone)?.told.pop();
        Ok(told.map(|(_, told)| told).unwrap_or_default())
    }
}

/// A seed that neither the search nor the checks have used.
fn another_seed(seed: u64) -> u64 {
    let used = [seed, Settings::default().seed];
    (1..).find(|other| !used.contains(other)).unwrap_or(seed)
}

fn is_as(one: &PlacedBest, other: &PlacedBest) -> bool {
    let placements = |best: &PlacedBest| -> Vec<Option<Placement>> {
        best.plan.placements.iter().copied().collect()
    };
    placements(one) == placements(other)
}

/// The best of each number of moves, as far as more of them are worth it.
fn curve_of(found: &FoundPlacements) -> Vec<&PlacedBest> {
    let mut curve: Vec<&PlacedBest> = Vec::new();
    for best in found.few.iter().flatten() {
        let is_better = match curve.last() {
            Some(last) => {
                let saved = last.score.metres - best.score.metres;
                let more = best.moved.saturating_sub(last.moved) as f64;
                saved > 0.0 && saved >= found.worth_m * more
            }
            None => found.is_worth(best),
        };
        if is_better {
            curve.push(best);
        }
    }
    curve
}

/// A placement to propose.
struct ToPropose<'f> {
    /// What its layout is called.
    name: &'static str,
    /// In what it differs from the other proposals.
    kind: &'static str,
    best: &'f PlacedBest,
}

/// The proposals, different in kind, as far as they bring something.
fn proposed(found: &FoundPlacements) -> Vec<ToPropose<'_>> {
    let few = found.few.get(FEW.min(found.few.len()).wrapping_sub(1));
    let few = few.and_then(Option::as_ref);
    let name = few.map_or("", |best| {
        if best.moved == 1 {
            "one moved"
        } else {
            "two moved"
        }
    });
    let all = [
        (name, "the most that so few moves bring", few),
        (
            "best places",
            "the least walking of all that were tried, where a warning counts as some",
            found.best.as_ref(),
        ),
        (
            "fewest warnings",
            "the fewest warnings, then the least walking",
            found.tidiest.as_ref(),
        ),
        (
            "other places",
            "most of it elsewhere, and hardly longer ways",
            found.different.as_ref(),
        ),
    ];
    let all = all.into_iter().filter_map(|(name, kind, best)| {
        let best = best.filter(|best| found.is_worth(best))?;
        Some(ToPropose { name, kind, best })
    });
    all.collect()
}

/// The rows in which people walk less than in all before, as they were played.
fn never_worse(
    rows: Vec<PlayedLayout>,
    findings: &Findings,
    now: &PlayedLayout,
) -> Vec<PlayedLayout> {
    let walked = |layout: &PlayedLayout| {
        let found = layout.candidate.map(|index| &findings.candidates[index]);
        found.map_or(f64::INFINITY, |found| found.walking.mean)
    };
    let has_fault = now.count(FindingLevel::Fault) > 0;
    let mut least = if has_fault {
        f64::INFINITY
    } else {
        walked(now)
    };
    let mut kept = Vec::new();
    for row in rows {
        if walked(&row) < least {
            least = walked(&row);
            kept.push(row);
        }
    }
    kept
}
