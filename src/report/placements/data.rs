//! The answer as data: lengths in metres, times in seconds.

use serde_json::{Value, json};

use super::walls::from_walls;
use super::{PlacementsAnswer, PlayedLayout, ProposedLayout};
use crate::floor::FindingLevel;
use crate::report::check::{FoundChanges, Told, level_name, written};
use crate::scenario::layout_yaml;
use crate::shop::StationId;
use crate::statistics::Estimate;

impl PlacementsAnswer<'_> {
    /// Every figure.
    pub fn json(&self) -> Value {
        let curve = self.curve.iter().map(|layout| self.layout_json(layout));
        let proposals = self
            .proposals
            .iter()
            .map(|proposal| self.proposal_json(proposal));
        json!({
            "scenario": self.study.title,
            "layout": self.name,
            "seed": self.seed,
            "rounds": self.found.rounds,
            "placements_tried": self.found.tried,
            "played_with_seed": self.findings.seed,
            "replications": self.findings.replications,
            "confidence": self.findings.confidence,
            "varies": self.findings.varies,
            "now": self.layout_json(self.now),
            "curve": curve.collect::<Vec<Value>>(),
            "no_walking": self.saves_json(self.no_walking),
            "not_moved": self.kept,
            "fixed": self.fixed,
            "size_unknown": self.too_tight,
            "moved_together": self.together,
            "least_saving_m": self.found.worth_m,
            "kept_at_walls": self.at_walls,
            "warning_counts_as_m": self.found.warning_m,
            "refused": self.refused,
            "proposals": proposals.collect::<Vec<Value>>(),
        })
    }

    fn layout_json(&self, layout: &PlayedLayout) -> Value {
        let found = self.candidate(layout);
        let mut value = json!({
            "moved": layout.moved.len(),
            "stations": layout.moved,
            "walking": found.map(|found| json!({
                "mean_m": found.walking.mean,
                "half_width_m": found.walking.half_width,
                "low_m": found.walking.low(),
                "high_m": found.walking.high(),
            })),
            "faults": layout.count(FindingLevel::Fault),
            "warnings": layout.count(FindingLevel::Warning),
        });
        if layout.candidate != self.now.candidate {
            value["saves"] = self.saves_json(layout.candidate);
        }
        value
    }

    /// What a candidate saves of what there is now, on common random numbers.
    fn saves_json(&self, candidate: Option<usize>) -> Value {
        let Some(compared) = self.against_now(candidate) else {
            return Value::Null;
        };
        let walking = compared.walking.difference.negated();
        let lead_time = compared.lead_time.map(|paired| paired.difference.negated());
        let low = |estimate: &Estimate| estimate.low();
        let high = |estimate: &Estimate| estimate.high();
        json!({
            "walking_m": walking.mean,
            "walking_low_m": low(&walking),
            "walking_high_m": high(&walking),
            "lead_time_s": lead_time.map(|estimate| estimate.mean),
            "lead_time_low_s": lead_time.as_ref().and_then(low),
            "lead_time_high_s": lead_time.as_ref().and_then(high),
        })
    }

    fn proposal_json(&self, proposal: &ProposedLayout) -> Value {
        let units = self.study.units;
        let one = |told: &&Told| {
            json!({
                "level": level_name(told.level),
                "rule": told.rule.name(),
                "subject": told.subject,
                "other": told.other,
                "says": written(told, units),
            })
        };
        let changes = FoundChanges::between(&self.now.told, &proposal.played.told, units);
        let steps = proposal.steps.iter().map(|step| {
            let stations = step.stations.iter();
            let stations: Vec<Value> = stations
                .map(|&station| self.move_json(proposal, station))
                .collect();
            json!({
                "stations": stations,
                "saves_m": Some(step.saves_m).filter(|saves| saves.is_finite()),
                "faults": step.missing.faults,
                "warnings": step.missing.warnings,
            })
        });
        let mut value = self.layout_json(&proposal.played);
        value["name"] = json!(proposal.added.name);
        value["kind"] = json!(proposal.kind);
        value["findings_gone"] = json!(changes.gone.iter().map(one).collect::<Vec<Value>>());
        value["findings_new"] = json!(changes.new.iter().map(one).collect::<Vec<Value>>());
        let takes_less = proposal.takes_less.iter().map(|less| {
            json!({
                "station": less.station,
                "board_now_m": less.boards.and_then(|(was, _)| was),
                "board_m": less.boards.map(|(_, is)| is),
                "loses_sheets": less.loses_sheets,
            })
        });
        value["takes_less"] = json!(takes_less.collect::<Vec<Value>>());
        value["steps"] = json!(steps.collect::<Vec<Value>>());
        value["yaml"] = json!(layout_yaml(&proposal.added, units, 2));
        value
    }

    fn move_json(&self, proposal: &ProposedLayout, station: StationId) -> Value {
        let placed = proposal.plan.placements[station].as_ref();
        let walls = from_walls(&proposal.plan, station)
            .map(|walls| walls.map(|from| json!({"wall": from.wall, "distance_m": from.metres})));
        json!({
            "name": self.study.candidates[0].shop.stations[station].name,
            "at_m": placed.map(|placed| [placed.at.x, placed.at.y]),
            "turn": placed.map(|placed| placed.turn),
            "nearest_corner_from_walls": walls,
        })
    }
}
