//! What a layout comes to: loaded, checked and played as any other command does.

use serde_json::Value;

use super::history::Poses;
use crate::experiment::{
    Candidate, Findings, LayoutFindings, Replications, Study, checked_legs, run_while,
};
use crate::floor::{Going, Plan, Pose};
use crate::report::charts::scene::ChartScene;
use crate::report::editor::{EditedLayout, FindingCounts};
use crate::scenario::{self, MovedStation, move_stations};

/// So often a layout is played while something is moved: enough to see about how far people walk.
const FEW: u32 = 20;

/// A scenario that could be loaded.
#[derive(Debug, Clone)]
pub struct LoadedText {
    pub text: String,
    pub study: Study,
}

/// How often a layout is played.
#[derive(Clone, Copy)]
pub enum Runs<'a> {
    Few,
    /// As often as the scenario says, as long as somebody waits for it.
    All(&'a dyn Fn() -> bool),
}

impl LoadedText {
    /// What is in a file.
    ///
    /// # Errors
    /// What is wrong with it, with lines and hints.
    pub fn load(name: &str, text: &[u8]) -> Result<LoadedText, String> {
        let loaded = scenario::load_to_check(name, text).map_err(|wrong| wrong.render(false))?;
        Ok(LoadedText {
            text: String::from_utf8_lossy(text).into_owned(),
            study: loaded.study,
        })
    }

    /// Layouts that can be edited: those that say where things stand.
    pub fn layouts(&self) -> impl Iterator<Item = &Candidate> {
        let candidates = self.study.candidates.iter();
        candidates.filter(|candidate| {
            let is_placed = |plan: &Plan| plan.places_something();
            candidate.name == candidate.layout && candidate.plan.as_ref().is_some_and(is_placed)
        })
    }

    pub fn layout(&self, name: &str) -> Option<&Candidate> {
        self.layouts().find(|candidate| candidate.name == name)
    }

    /// Stations of a layout that stand elsewhere than it is written.
    pub fn moved(&self, layout: &str, poses: &Poses) -> Vec<MovedStation> {
        let Some(candidate) = self.layout(layout) else {
            return Vec::new();
        };
        let all = poses.iter().filter(|((of, _), _)| of == layout);
        let moved = all.filter_map(|((_, station), &to)| {
            let from = pose_of(candidate, station)?;
            let station = station.clone();
            let moved = MovedStation { station, from, to };
            moved.is_moved().then_some(moved)
        });
        moved.collect()
    }

    /// The text with these stations elsewhere.
    ///
    /// # Errors
    /// If the text has no place for that.
    pub fn with(&self, layout: &str, moved: &[MovedStation]) -> Result<String, String> {
        let text = move_stations(&self.text, layout, moved, self.study.units);
        text.ok_or_else(|| {
            "This layout is written in a way that only its author can change: write each of its stations as `saw: [3 m, 2 m]` or `saw: {at: [3 m, 2 m], turn: 90}`.".to_owned()
        })
    }
}

/// Where a candidate has a station.
pub fn pose_of(candidate: &Candidate, station: &str) -> Option<Pose> {
    let mut stations = candidate.shop.stations.enumerate();
    let (id, _) = stations.find(|(_, known)| known.name == station)?;
    let placed = candidate.plan.as_ref()?.placements[id].as_ref()?;
    Some(placed.pose())
}

/// A layout that has been checked.
pub struct CheckedLayout {
    pub candidate: Candidate,
    found: LayoutFindings,
}

impl CheckedLayout {
    /// # Errors
    /// If its runs get stuck.
    pub fn of(study: &Study, candidate: &Candidate) -> Result<CheckedLayout, String> {
        let alone = alone(study, vec![candidate.clone()]);
        let legs = checked_legs(&alone).map_err(|_| STUCK.to_owned())?;
        let found = legs
            .first()
            .and_then(|legs| LayoutFindings::checked(candidate, legs));
        let found = found.ok_or("This layout says only how far it is, not where things stand.")?;
        Ok(CheckedLayout {
            candidate: candidate.clone(),
            found,
        })
    }

    pub fn verdict(&self, study: &Study) -> FindingCounts {
        FindingCounts::of(&self.found, study.units)
    }

    /// Whether people get everywhere as it is drawn; if not, they are taken to walk straight.
    pub fn is_walkable(&self) -> bool {
        let around = |plan: &Plan| plan.going == Going::Around;
        self.candidate.paths.is_some() || !self.candidate.plan.as_ref().is_some_and(around)
    }

    /// Its plan as a picture.
    pub fn scene(&self, study: &Study) -> Option<ChartScene> {
        Some(self.edited(study, None, None).plan()?.scene)
    }

    /// Everything that the page shows of it; nothing where nobody waits for it any more.
    ///
    /// # Errors
    /// If its runs get stuck.
    pub fn told(
        &self,
        study: &Study,
        saved: &CheckedLayout,
        runs: Runs<'_>,
    ) -> Result<Option<Value>, String> {
        let played = match self.is_walkable() {
            true => Some(self.played(study, saved, runs)?),
            false => None,
        };
        if let Runs::All(keep_on) = runs
            && !keep_on()
        {
            return Ok(None);
        }
        let edited = self.edited(study, played.as_ref(), Some(saved.verdict(study)));
        Ok(Some(edited.json()))
    }

    fn edited<'a>(
        &'a self,
        study: &Study,
        played: Option<&'a Findings>,
        saved: Option<FindingCounts>,
    ) -> EditedLayout<'a> {
        EditedLayout {
            found: &self.found,
            units: study.units,
            is_walkable: self.is_walkable(),
            played,
            saved,
        }
    }

    fn played(
        &self,
        study: &Study,
        saved: &CheckedLayout,
        runs: Runs<'_>,
    ) -> Result<Findings, String> {
        // What builds something else is no layout to compare with.
        let is_comparable = saved.is_walkable() && builds_alike(&saved.candidate, &self.candidate);
        let before = is_comparable.then(|| saved.candidate.clone());
        let mut both = alone(
            study,
            before.into_iter().chain([self.candidate.clone()]).collect(),
        );
        let keep_on = match runs {
            Runs::Few => {
                both.settings.replications = Replications::Fixed(FEW);
                &|| true
            }
            Runs::All(keep_on) => keep_on,
        };
        run_while(&both, 0, &|_| (), keep_on).map_err(|_| STUCK.to_owned())
    }
}

pub const STUCK: &str = "The runs get stuck, so that nobody knows how often people go where: `shopstride run` says who waits for what.";

/// Whether two candidates build the same projects in the same order.
fn builds_alike(one: &Candidate, other: &Candidate) -> bool {
    let names = |of: &Candidate| -> Vec<String> {
        let projects = of.shop.projects.iter();
        projects.map(|project| project.name.clone()).collect()
    };
    names(one) == names(other) && one.shop.orders.len() == other.shop.orders.len()
}

/// The study of these candidates alone.
pub fn alone(study: &Study, candidates: Vec<Candidate>) -> Study {
    Study {
        candidates,
        left_out: Vec::new(),
        ..study.clone()
    }
}
