//! The layout from which moves are counted, and the search that begins with it.

use std::sync::Arc;
use std::time::Instant;

use super::improve_options::ImproveOptions;
use super::scenario::stands_still;
use super::{Refusal, output};
use crate::experiment::{Candidate, Study, flow_if_placed};
use crate::floor::{Flow, Plan, Site};
use crate::improve::placement::{
    FloorGrid, FoundPlacements, PlaceWish, PlacedBest, PlacementLimits, PlacementProblem,
    kept_in_place, moves_between, search_placements,
};
use crate::scenario::{AddedLayout, nearest, printable_name};
use crate::shop::{Shop, StationId, Table};

/// The layout from which moves are counted, and all that its shop comes with.
pub struct Present<'s> {
    pub study: &'s Study,
    pub candidate: &'s Candidate,
    pub plan: &'s Plan,
    pub site: Site<'s>,
    /// What hangs, with what stands below it.
    pub kept: Vec<StationId>,
    /// What somebody asked to stay.
    pub fixed: Vec<StationId>,
    pub wishes: Table<StationId, PlaceWish>,
}

impl<'s> Present<'s> {
    pub fn of(study: &'s Study, index: usize, fixed: &[String]) -> Result<Present<'s>, Refusal> {
        let candidate = &study.candidates[index];
        let name = printable_name(&candidate.name);
        if candidate.name != candidate.layout {
            return Err(Refusal::with_hint(
                format!(
                    "`{name}` changes more than where things stand, so nothing can be added that is like it"
                ),
                format!(
                    "--layout \"{}\" starts from its layout",
                    printable_name(&candidate.layout)
                ),
            ));
        }
        stands_still(candidate, "improve")?;
        let drawn = candidate
            .plan
            .as_ref()
            .filter(|plan| plan.places_something());
        let Some((plan, site)) = drawn.zip(candidate.site()) else {
            return Err(Refusal::with_hint(
                format!("`{name}` says only how far it is, not where things stand"),
                "place the stations with `at`, or name another layout with --layout",
            ));
        };
        let shop = &candidate.shop;
        let fixed: Result<Vec<StationId>, Refusal> =
            fixed.iter().map(|name| station(shop, name)).collect();
        let fixed = fixed?;
        let mut kept = kept_in_place(plan);
        kept.retain(|station| !fixed.contains(station));
        let wishes = plan.placements.iter().map(|placed| {
            let usual = placed.as_ref().map(|placed| PlaceWish::usual(plan, placed));
            usual.unwrap_or_default()
        });
        Ok(Present {
            study,
            candidate,
            plan,
            site,
            kept,
            fixed,
            wishes: wishes.collect(),
        })
    }

    pub fn stays(&self, station: StationId) -> bool {
        self.kept.contains(&station) || self.fixed.contains(&station)
    }

    pub fn shop(&self) -> &'s Shop {
        &self.candidate.shop
    }

    /// Whether people get everywhere as it is drawn; if not, it is played as if they walked straight.
    pub fn is_walkable(&self) -> bool {
        let pushes = self.shop().handling.carts.is_some();
        self.plan.walks(&self.site.used, pushes).is_ok()
    }

    pub fn flow_on(&self, plan: &Plan) -> Option<Flow> {
        flow_if_placed(self.study, self.candidate, &self.site, plan)
    }

    /// Searches, with the best so far on terminals.
    pub fn searched(&self, options: &ImproveOptions) -> Result<FoundPlacements, Refusal> {
        let bar = output::rounds(options.quiet);
        let begun = Instant::now();
        let told = |rounds: u64, best: Option<&PlacedBest>| {
            bar.set_position(rounds);
            if let Some(best) = best {
                let warnings = best.score.missing.warnings;
                bar.set_message(format!("{:.0} m, {warnings} warnings", best.score.metres));
            }
        };
        let limits = PlacementLimits {
            rounds: options.rounds.map_or(u64::MAX, u64::from),
            keep_on: &|| begun.elapsed() < options.seconds,
            told: &told,
        };
        let found = self.searched_within(&limits, options.seed);
        bar.finish_and_clear();
        found
    }

    /// The same within other limits.
    pub fn searched_within(
        &self,
        limits: &PlacementLimits<'_>,
        seed: u64,
    ) -> Result<FoundPlacements, Refusal> {
        let others = self.study.candidates.iter().filter(|other| {
            other.name != self.candidate.name && Arc::ptr_eq(&other.shop, &self.candidate.shop)
        });
        let starts = others.filter_map(|other| self.placed_as(other.plan.as_ref()?));
        let placed = self.plan.placements.enumerate();
        let movable = placed.filter(|(station, placed)| placed.is_some() && !self.stays(*station));
        let flow_on = |plan: &Plan| self.flow_on(plan);
        let problem = PlacementProblem {
            site: &self.site,
            now: self.plan,
            starts: starts.collect(),
            movable: movable.map(|(station, _)| station).collect(),
            wishes: self.wishes.clone(),
            grid: FloorGrid::of(self.study.units),
            flow_on: &flow_on,
        };
        search_placements(&problem, seed, limits).ok_or_else(|| {
            Refusal::with_hint(
                "the runs get stuck, so that nobody knows how often people go where",
                "`shopstride run` says who waits for what",
            )
        })
    }

    /// The stations that may be moved where another plan has them; nothing where that does not place the same ones.
    fn placed_as(&self, other: &Plan) -> Option<Plan> {
        let mut placed = self.plan.clone();
        for (station, there) in other.placements.enumerate() {
            match (&mut placed.placements[station], there) {
                (Some(here), Some(there)) if !self.stays(station) => {
                    (here.at, here.turn) = (there.at, there.turn);
                }
                (Some(_), Some(_)) | (None, None) => {}
                _ => return None,
            }
        }
        Some(placed)
    }

    /// A plan as a layout that is like the present one.
    pub fn added(&self, name: String, about: String, plan: &Plan) -> AddedLayout {
        let moved = moves_between(self.plan, plan).into_iter();
        let moved = moved.map(|(station, pose)| (self.shop().stations[station].name.clone(), pose));
        AddedLayout {
            name,
            like: self.candidate.name.clone(),
            about,
            at: moved.collect(),
        }
    }
}

/// A station by its name.
fn station(shop: &Shop, name: &str) -> Result<StationId, Refusal> {
    let mut stations = shop.stations.enumerate();
    let known = stations.find(|(_, station)| station.name == name);
    known.map(|(id, _)| id).ok_or_else(|| {
        let names = shop.stations.iter().map(|station| station.name.as_str());
        let hint = match nearest(name, names) {
            Some(near) => format!("did you mean `{}`?", printable_name(near)),
            None => "write a name as it stands below `stations`".to_owned(),
        };
        Refusal::with_hint(format!("--fixed: there is no station `{name}`"), hint)
    })
}
