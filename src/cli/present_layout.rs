//! The layout from which moves are counted, and the search that begins with it.

use std::sync::Arc;
use std::time::Instant;

use super::improve_options::ImproveOptions;
use super::scenario::stands_still;
use super::{Refusal, interrupt, output};
use crate::experiment::{Candidate, Study, WORTH_A_MOVE, flow_if_placed};
use crate::floor::{Flow, Plan, Site, kept_pieces, machine_capacities};
use crate::improve::placement::{
    FloorGrid, FoundPlacements, PlaceWish, PlacedBest, PlacementLimits, PlacementProblem,
    PlacementTerms, SizedPlan, kept_in_place, moves_between, search_placements, sized,
    with_outfeed_tables,
};
use crate::report::check::stock_sizes;
use crate::scenario::{AddedLayout, nearest, printable_name};
use crate::shop::{Shop, StationId, Table};

/// The layout from which moves are counted, and all that its shop comes with.
pub struct Present<'s> {
    pub study: &'s Study,
    pub candidate: &'s Candidate,
    pub plan: &'s Plan,
    pub site: Site<'s>,
    /// What hangs, with what stands below it, and what goes nowhere without it.
    pub kept: Vec<StationId>,
    /// The plan in which everything covers some floor, with what nobody said the size of and has hardly any.
    pub sized: SizedPlan,
    /// What stands together and is moved so.
    pub groups: Vec<Vec<StationId>>,
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
        let named: Result<Vec<StationId>, Refusal> =
            fixed.iter().map(|name| station(shop, name)).collect();
        let said = shop.stations.enumerate();
        let said = said.filter(|(_, station)| station.asked.is_fixed);
        let mut fixed: Vec<StationId> = Vec::new();
        for station in named?.into_iter().chain(said.map(|(id, _)| id)) {
            if !fixed.contains(&station) {
                fixed.push(station);
            }
        }
        let mut kept = kept_in_place(plan);
        let sized = sized(&site, plan);
        let too_tight = &sized.too_tight;
        let (groups, bound): (Vec<_>, Vec<_>) =
            together(shop, plan).into_iter().partition(|group| {
                let mut stations = group.iter();
                !stations.any(|one| {
                    [&fixed, &kept, too_tight]
                        .iter()
                        .any(|all| all.contains(one))
                })
            });
        kept.extend(bound.into_iter().flatten());
        kept.retain(|station| !fixed.contains(station) && !too_tight.contains(station));
        kept.sort_unstable();
        kept.dedup();
        let wishes = plan.placements.enumerate().map(|(station, placed)| {
            let asked = &shop.stations[station].asked;
            let wish = (placed.as_ref()).map(|placed| PlaceWish::asked(plan, placed, asked));
            wish.unwrap_or_default()
        });
        Ok(Present {
            study,
            candidate,
            plan,
            site,
            kept,
            sized,
            groups,
            fixed,
            wishes: wishes.collect(),
        })
    }

    pub fn stays(&self, station: StationId) -> bool {
        let staying = [&self.kept, &self.fixed, &self.sized.too_tight];
        staying.iter().any(|all| all.contains(&station))
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
        interrupt::listen();
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
            give_up: &interrupt::is_asked,
            told: &told,
        };
        let found = self.searched_within(&limits, options.seed, options.may_take_less);
        bar.finish_and_clear();
        found
    }

    /// The same within other limits.
    pub fn searched_within(
        &self,
        limits: &PlacementLimits<'_>,
        seed: u64,
        may_take_less: bool,
    ) -> Result<FoundPlacements, Refusal> {
        let others = self.study.candidates.iter().filter(|other| {
            other.name != self.candidate.name && Arc::ptr_eq(&other.shop, &self.candidate.shop)
        });
        let now = &self.sized.plan;
        let starts = others.filter_map(|other| self.placed_as(now, other.plan.as_ref()?));
        let placed = self.plan.placements.enumerate();
        let movable = placed.filter(|(station, placed)| placed.is_some() && !self.stays(*station));
        let flow_on = |plan: &Plan| self.flow_on(plan);
        let problem = PlacementProblem {
            site: &self.site,
            now,
            starts: starts.collect(),
            movable: movable.map(|(station, _)| station).collect(),
            wishes: self.wishes.clone(),
            grid: FloorGrid::of(self.study.units),
            terms: self.terms(may_take_less),
            flow_on: &flow_on,
        };
        let found = search_placements(&problem, seed, limits).ok_or_else(|| {
            Refusal::with_hint(
                "the runs get stuck, so that nobody knows how often people go where",
                "`shopstride run` says who waits for what",
            )
        })?;
        Ok(found.with_plans(|plan| SizedPlan::as_said(self.plan, plan)))
    }

    /// What is kept beside the rules.
    fn terms(&self, may_take_less: bool) -> PlacementTerms {
        let sizes = stock_sizes(self.study.units);
        let takes = machine_capacities(&self.site, self.plan, sizes);
        PlacementTerms {
            pieces: match may_take_less {
                true => Vec::new(),
                false => kept_pieces(&self.site, &takes, sizes),
            },
            groups: self.groups.clone(),
            kept_unless: (self.shop().stations.enumerate())
                .filter_map(|(id, station)| Some((id, station.asked.unless_saves?)))
                .collect(),
            worth: WORTH_A_MOVE,
        }
    }

    /// The stations that may be moved where another plan has them; nothing where that does not place the same ones.
    fn placed_as(&self, now: &Plan, other: &Plan) -> Option<Plan> {
        let mut placed = now.clone();
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

/// Stations that stand together and are moved so: machines with their out-feed tables, and what somebody asks for.
fn together(shop: &Shop, plan: &Plan) -> Vec<Vec<StationId>> {
    let asked = shop.stations.enumerate().filter_map(|(id, station)| {
        let others = station.asked.together_with.iter().copied();
        let group: Vec<StationId> = [id].into_iter().chain(others).collect();
        (group.len() > 1).then_some(group)
    });
    let mut groups: Vec<Vec<StationId>> = Vec::new();
    for group in with_outfeed_tables(plan).into_iter().chain(asked) {
        let mut all: Vec<StationId> = group;
        groups.retain(|known| {
            let meets = known.iter().any(|station| all.contains(station));
            if meets {
                all.extend(known);
            }
            !meets
        });
        all.retain(|station| plan.placements[*station].is_some());
        all.sort_unstable();
        all.dedup();
        groups.push(all);
    }
    groups.retain(|group| group.len() > 1);
    groups
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
