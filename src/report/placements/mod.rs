//! Where stations could stand: what each number of moves saves, and proposals with every move on the way.

mod curve;
mod data;
mod growth;
mod proposal;
mod takes_less;
mod walls;

pub use growth::{GrownPlace, GrownStation, GrowthAnswer};
pub use proposal::ProposedLayout;
pub use takes_less::{TakesLess, takes_less};

use super::check::Told;
use super::figure::{Shown, length_unit, percent};
use super::lines::Line;
use super::sentence::{capital, counted, listed};
use crate::experiment::{CandidateFindings, Comparison, Findings, Study};
use crate::floor::FindingLevel;
use crate::improve::placement::FoundPlacements;

/// A layout that was found, or the one from which moves are counted, after it has been loaded, checked and played.
#[derive(Debug, Clone)]
pub struct PlayedLayout {
    /// Its candidate in the findings; nothing where nobody can get everywhere.
    pub candidate: Option<usize>,
    pub told: Vec<Told>,
    /// Stations that stand elsewhere than now, in the file's order.
    pub moved: Vec<String>,
}

impl PlayedLayout {
    pub fn count(&self, level: FindingLevel) -> usize {
        self.told.iter().filter(|told| told.level == level).count()
    }
}

/// An unhurried walk in metres a second, and what moving a station takes in seconds: our guesses, to tell what is hardly
/// worth a move.
const WALK_M_PER_S: f64 = 1.2;
const MOVE_S: f64 = 1800.0;

/// Projects after which moves are won back that are hardly worth making.
const HARDLY: f64 = 100.0;

/// What is known of the placements of a shop.
pub struct PlacementsAnswer<'a> {
    pub study: &'a Study,
    /// The layout from which moves are counted.
    pub name: &'a str,
    pub found: &'a FoundPlacements,
    /// The seed of the search, that of the runs being another one.
    pub seed: u64,
    /// Of the layout that is there now, where it can be played, then of all others.
    pub findings: &'a Findings,
    pub now: &'a PlayedLayout,
    /// With the fewest moves first.
    pub curve: &'a [PlayedLayout],
    pub proposals: &'a [ProposedLayout],
    /// The candidate in which nobody walks at all.
    pub no_walking: Option<usize>,
    /// What hangs above others and what stands below it, which is not moved.
    pub kept: Vec<String>,
    /// Stations that were not to be moved.
    pub fixed: Vec<String>,
    /// Stations of which nobody said how large they are, with too little floor for most things.
    pub too_tight: Vec<String>,
    /// Stations that stand together and are moved so.
    pub together: Vec<Vec<String>>,
    /// Stations whose backs are at walls and stay so.
    pub at_walls: Vec<String>,
    /// Things that were found and did not hold when they were loaded and checked.
    pub refused: usize,
}

impl PlacementsAnswer<'_> {
    /// The answer in lines, and the curve and the proposals below them.
    pub fn told(&self, width: u16, columns: usize) -> (Vec<Line>, String) {
        let line = |heading, says| Line {
            heading,
            says,
            is_fault: false,
        };
        let mut lines = vec![line("Saves", self.brings())];
        lines.extend(self.worth().map(|says| line("Worth it?", says)));
        lines.extend(self.limit().map(|says| line("At most", says)));
        lines.push(line("Search", self.searched()));
        lines.push(line("Certain?", self.certainty()));
        lines.push(line("Kept", self.kept_in_words()));
        let mut below = format!("\n{}", self.curve_table(width));
        for (nth, proposal) in self.proposals.iter().enumerate() {
            below.push('\n');
            below.push_str(&self.proposal_text(nth, proposal, columns));
        }
        (lines, below)
    }

    fn candidate(&self, layout: &PlayedLayout) -> Option<&CandidateFindings> {
        layout
            .candidate
            .map(|index| &self.findings.candidates[index])
    }

    /// A layout against the one that is there now.
    fn against_now(&self, candidate: Option<usize>) -> Option<&Comparison> {
        self.now.candidate?;
        let mut all = self.findings.comparisons.iter();
        all.find(|compared| Some(compared.other) == candidate)
    }

    fn unit(&self) -> Shown {
        length_unit(self.study.units)
    }

    /// What is walked in a layout, in metres.
    fn walked_m(&self, layout: &PlayedLayout) -> Option<f64> {
        self.candidate(layout).map(|found| found.walking.mean)
    }

    fn brings(&self) -> String {
        let name = self.name;
        let Some(best) = self.curve.last() else {
            return format!(
                "No placement was found that keeps every rule and in which people walk less than in \"{name}\"."
            );
        };
        let unit = self.unit();
        let Some(now) = self.walked_m(self.now) else {
            let fewest = self.curve.first().unwrap_or(best);
            return format!(
                "In \"{name}\" nobody can walk everywhere as it is drawn. Moving {} mends that.",
                counted(fewest.moved.len(), "station")
            );
        };
        let saved = |layout: &PlayedLayout| {
            let walked = self.walked_m(layout).unwrap_or(now);
            let saved = super::about::length(self.study.units, now - walked);
            format!("{saved} ({})", percent((now - walked) / now))
        };
        let mut parts: Vec<String> = Vec::new();
        for (nth, layout) in self.curve.iter().enumerate() {
            let many = layout.moved.len();
            let is_shown = nth < 3 || nth + 1 == self.curve.len();
            if is_shown {
                parts.push(match nth {
                    0 => format!(
                        "moving {} saves {}",
                        counted(many, "station"),
                        saved(layout)
                    ),
                    _ => format!("{many} {}", saved(layout)),
                });
            }
        }
        let fewest = self.curve.first().map_or(0, |layout| layout.moved.len());
        let mends = match self.now.count(FindingLevel::Fault) {
            many if many > 0 && fewest > 1 => " With fewer moves a fault remains.",
            _ => "",
        };
        format!(
            "{} of {} walked in \"{name}\".{mends}",
            capital(&parts.join(", ")),
            unit.with_unit(now)
        )
    }

    /// After how many projects the best proposal has earned back what the moves take.
    fn worth(&self) -> Option<String> {
        let now = self.walked_m(self.now)?;
        let best = self.proposals.iter().filter_map(|proposal| {
            let saved = now - self.walked_m(&proposal.played)?;
            let moved = proposal.played.moved.len() as f64;
            (saved > 0.0 && moved > 0.0).then_some((saved / moved, saved, moved, proposal))
        });
        let (_, saved, moved, proposal) = best.max_by(|one, other| one.0.total_cmp(&other.0))?;
        let seconds = saved / WALK_M_PER_S;
        let runs = (moved * MOVE_S / seconds).ceil();
        let all = self.study.candidates[0].shop.orders.len();
        let what = match all {
            1 => "project",
            _ => "run of all that is ordered",
        };
        let verdict = match runs > HARDLY {
            true => "hardly worth it for the walking alone",
            false => "worth it for whoever builds that much",
        };
        let runs = super::figure::grouped(&format!("{runs:.0}"));
        Some(format!(
            "\"{}\" saves most for each station that is moved: about {} of walking in each {what}. At half an hour a station (a guess; \
             cast iron takes longer) it takes {runs} of them to win that back: {verdict}.",
            proposal.added.name,
            super::about::time(seconds),
        ))
    }

    /// What no placement can exceed.
    fn limit(&self) -> Option<String> {
        let now = self.walked_m(self.now)?;
        let walked = self.unit().with_unit(now);
        let sooner = self
            .against_now(self.no_walking)
            .and_then(|compared| compared.lead_time)
            .filter(|paired| super::difference::is_shown(&paired.difference))
            .map(|paired| -paired.difference.mean)
            .filter(|seconds| *seconds >= 1.0);
        let sooner = sooner.map_or_else(String::new, |seconds| {
            format!(
                " and an order be done {} sooner",
                super::about::time(seconds)
            )
        });
        Some(format!(
            "If nobody walked at all, {walked} would be saved{sooner}; no placement brings more. How near to the best possible the \
             proposals are is not known: they are the best of those that were tried."
        ))
    }

    fn searched(&self) -> String {
        let found = self.found;
        if found.is_cut {
            return format!(
                "Ended within the first round, after {} placements: these are the best of those.",
                super::figure::grouped(&found.tried.to_string())
            );
        }
        format!(
            "{} placements tried in {} with seed {}; the same seed and `--rounds {}` find the same again.",
            super::figure::grouped(&found.tried.to_string()),
            counted(found.rounds as usize, "round"),
            self.seed,
            found.rounds
        )
    }

    fn certainty(&self) -> String {
        let played = match self.findings.varies {
            true => format!(
                "Every layout below was checked by all rules and played {} with seed {}, which the search did not use.",
                counted(self.findings.replications as usize, "time"),
                self.findings.seed
            ),
            false => "Every layout below was checked by all rules and played; no time varies, so one run is exact."
                .to_owned(),
        };
        let refused = match self.refused {
            0 => String::new(),
            many => format!(
                " {} did not hold when played and checked so, and left out.",
                match many {
                    1 => "1 more was found that".to_owned(),
                    many => format!("{many} more were found that"),
                }
            ),
        };
        format!(
            "{played}{refused} Machines are heavy and tip: unplug them, and move them with two people or a mover. {}",
            super::check::CAUTION
        )
    }

    /// What the search kept besides the rules.
    fn kept_in_words(&self) -> String {
        let mut said = vec![
            "The floor before each station, 24 in deep where one stands, stays as free as it is."
                .to_owned(),
        ];
        if !self.at_walls.is_empty() {
            let at_walls = listed(&self.at_walls, "and");
            said.push(format!(
                "At walls now, and at walls in every proposal: {at_walls}."
            ));
        }
        if !self.kept.is_empty() {
            let kept = listed(&self.kept, "and");
            said.push(format!(
                "Not moved, since one hangs above the other, or one goes nowhere without the other: {kept}."
            ));
        }
        if !self.fixed.is_empty() {
            said.push(format!("Fixed: {}.", listed(&self.fixed, "and")));
        }
        if !self.too_tight.is_empty() {
            said.push(format!(
                "Not moved, since nobody said how large it is (`size`) and there is little floor around: {}.",
                listed(&self.too_tight, "and")
            ));
        }
        for group in &self.together {
            said.push(format!("Moved together: {}.", listed(group, "and")));
        }
        said.push(format!(
            "Each station that is moved saves at least {} of walking, or mends a finding.",
            super::about::length(self.study.units, self.found.worth_m)
        ));
        said.push(format!(
            "A warning counts as {} of walking.",
            super::about::length(self.study.units, self.found.warning_m)
        ));
        said.join(" ")
    }
}
