//! One proposal: what it brings, the moves in their order, and the layout to paste.

use super::takes_less::{self, TakesLess};
use super::walls::{from_walls, in_words};
use super::{PlacementsAnswer, PlayedLayout};
use crate::experiment::Units;
use crate::floor::Plan;
use crate::improve::placement::MoveStep;
use crate::report::about;
use crate::report::check::{FoundChanges, Told, in_short};
use crate::report::difference::{interval_in_words, is_shown};
use crate::report::sentence::{capital, counted, listed};
use crate::report::wrap;
use crate::scenario::{AddedLayout, layout_yaml};
use crate::shop::Shop;

/// A layout that is proposed.
pub struct ProposedLayout {
    /// As it is written into a scenario.
    pub added: AddedLayout,
    /// In what it differs from the other proposals.
    pub kind: &'static str,
    pub played: PlayedLayout,
    pub plan: Plan,
    pub before: Plan,
    pub steps: Vec<MoveStep>,
    /// Machines that boards or sheets as they are sold no longer pass.
    pub takes_less: Vec<TakesLess>,
}

impl PlacementsAnswer<'_> {
    /// A proposal as a text of so many columns.
    pub(super) fn proposal_text(
        &self,
        nth: usize,
        proposal: &ProposedLayout,
        columns: usize,
    ) -> String {
        let units = self.study.units;
        let mut paragraphs = vec![format!(
            "{}. \"{}\": {}. {}",
            nth + 1,
            proposal.added.name,
            proposal.kind,
            self.saves(proposal)
        )];
        let changes = FoundChanges::between(&self.now.told, &proposal.played.told, units);
        paragraphs.extend(listed_findings("Gone", &changes.gone, units));
        paragraphs.extend(listed_findings("New", &changes.new, units));
        paragraphs.extend(takes_less::sentence(&proposal.takes_less, units));
        let mut text = String::new();
        for (nth, paragraph) in paragraphs.iter().enumerate() {
            let first = if nth == 0 { "" } else { "   " };
            text.push_str(&wrap(paragraph, columns, first, "   ").join("\n"));
            text.push('\n');
        }
        text.push_str("   Moves, by the nearest corner of each:\n");
        text.push_str(&self.moves(proposal, columns));
        text.push_str("   To paste below `layouts:`\n");
        text.push_str(&layout_yaml(&proposal.added, units, 2));
        text
    }

    fn saves(&self, proposal: &ProposedLayout) -> String {
        let unit = self.unit();
        let Some(walked) = self.walked_m(&proposal.played) else {
            return String::new();
        };
        let moved = counted(proposal.played.moved.len(), "station");
        let Some(compared) = self.against_now(proposal.played.candidate) else {
            return format!("{} walked with {moved} moved.", unit.with_unit(walked));
        };
        let walking = &compared.walking;
        let saved = -walking.difference.mean;
        let interval = interval_in_words(
            &walking.difference.negated(),
            unit,
            self.findings.confidence,
        );
        let interval = interval.map_or_else(String::new, |interval| format!(", {interval}"));
        let shown = match is_shown(&walking.difference) {
            true => "",
            false => " (no difference shown)",
        };
        let sooner = compared
            .lead_time
            .filter(|paired| is_shown(&paired.difference) && paired.difference.mean.abs() >= 1.0)
            .map(|paired| paired.difference.mean);
        let sooner = sooner.map_or_else(String::new, |seconds| {
            let which = if seconds < 0.0 { "sooner" } else { "later" };
            format!(" Orders are done {} {which}.", about::time(seconds.abs()))
        });
        let walked = unit.with_unit(walked);
        match saved < 0.0 {
            true => format!(
                "With {moved} moved people walk {walked}, {} more than now{shown}.{sooner}",
                unit.with_unit(-saved)
            ),
            false => format!(
                "With {moved} moved people walk {walked}; that saves {}{interval}{shown}.{sooner}",
                unit.with_unit(saved)
            ),
        }
    }

    fn moves(&self, proposal: &ProposedLayout, columns: usize) -> String {
        let mut text = String::new();
        for (nth, step) in proposal.steps.iter().enumerate() {
            let stations = step.stations.iter();
            let moves: Vec<String> = stations
                .map(|&station| {
                    one_move(
                        proposal,
                        &self.study.candidates[0].shop,
                        station,
                        self.study.units,
                    )
                })
                .collect();
            let together = match step.stations.len() {
                1 => "",
                _ if step.is_one_group => "together, as they stand: ",
                _ => "together, since nobody can work between these moves: ",
            };
            let units = self.study.units;
            let brings = match step.saves_m {
                saves if !saves.is_finite() => String::new(),
                saves if saves < 0.0 => {
                    format!("; until the next move {} more", about::length(units, saves))
                }
                saves => format!("; saves {}", about::length(units, saves)),
            };
            let said = format!("{}) {together}{}{brings}", nth + 1, listed(&moves, "and"));
            text.push_str(&wrap(&said, columns, "   ", "      ").join("\n"));
            text.push('\n');
        }
        text
    }
}

/// Where a station goes and how it is turned.
fn one_move(
    proposal: &ProposedLayout,
    shop: &Shop,
    station: crate::shop::StationId,
    units: Units,
) -> String {
    let name = &shop.stations[station].name;
    let from = from_walls(&proposal.plan, station);
    let place = from.map_or_else(
        || "elsewhere".to_owned(),
        |from| format!("to {}", in_words(&from, units)),
    );
    let turn = |plan: &Plan| plan.placements[station].as_ref().map(|placed| placed.turn);
    let turned = turn(&proposal.before).zip(turn(&proposal.plan));
    let turned = turned.map(|(was, is)| (is - was).rem_euclid(360.0).round() as i64);
    let turned = match turned {
        None | Some(0 | 360) => "",
        Some(90) => ", a quarter turn to the left",
        Some(180) => ", half a turn",
        Some(270) => ", a quarter turn to the right",
        Some(_) => ", turned",
    };
    format!("{name} {place}{turned}")
}

/// The findings that changed, in a few words each.
fn listed_findings(heading: &str, findings: &[&Told], units: Units) -> Option<String> {
    let said: Vec<String> = findings.iter().map(|told| in_short(told, units)).collect();
    (!said.is_empty()).then(|| {
        format!(
            "{} {}: {}.",
            capital(heading),
            counted(said.len(), "finding"),
            said.join("; ")
        )
    })
}
