//! What people do next with a lot.

use std::sync::Arc;

use crate::shop::{Item, ItemId, ItemKind, OperationId, PlaceId, ProjectId, Shop, StationId, Step};

/// What somebody does with a lot that has gone through a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Follower {
    Operation(OperationId),
    /// Anybody can do that.
    Delivery,
    /// It is done, or goes on by itself.
    Nobody,
}

/// What follows a step, and at which station that needs nobody, if it does at one.
#[derive(Debug, Clone, Copy)]
struct FollowingStep {
    follower: Follower,
    by_itself_at: Option<StationId>,
}

/// What follows each step: mostly one thing, of material all that is cut from it.
#[derive(Debug, Clone)]
pub(super) struct Followers {
    /// By project, item and step.
    of_steps: Arc<[Vec<Vec<Vec<FollowingStep>>>]>,
}

impl Followers {
    pub fn new(shop: &Shop) -> Followers {
        let of_project = |items: &[Item]| -> Vec<Vec<Vec<FollowingStep>>> {
            let of_item = |item: &Item| {
                let steps = 0..item.route.len();
                steps
                    .map(|step| all_following(shop, items, item, step + 1))
                    .collect()
            };
            items.iter().map(of_item).collect()
        };
        let projects = shop.projects.iter();
        Followers {
            of_steps: projects.map(|project| of_project(&project.items)).collect(),
        }
    }

    /// What follows a step of an item that was done at this station.
    pub fn of_step(
        &self,
        project: ProjectId,
        item: ItemId,
        step: u32,
        at: StationId,
    ) -> impl Iterator<Item = Follower> + Clone {
        let following = &self.of_steps[project.index()][item.index()][step as usize];
        following
            .iter()
            .map(move |following| match following.by_itself_at == Some(at) {
                true => Follower::Nobody,
                false => following.follower,
            })
    }
}

/// What is done with an item from a step on; behind the last step of material with each part that is cut from it, which
/// lies where the material does.
fn all_following(shop: &Shop, items: &[Item], item: &Item, step: usize) -> Vec<FollowingStep> {
    match &item.kind {
        ItemKind::Material { becomes, .. } if step == item.route.len() => {
            let parts = becomes.iter().map(|part| &items[part.index()]);
            parts.map(|part| following(shop, items, part, 0)).collect()
        }
        _ => vec![following(shop, items, item, step)],
    }
}

/// What is done with an item from a step on; behind the last one it is delivered, or goes into an assembly.
fn following(shop: &Shop, items: &[Item], item: &Item, step: usize) -> FollowingStep {
    if let Some(step) = item.route.get(step) {
        let operation = step.choices.first().map(|choice| choice.work.operation);
        return FollowingStep {
            follower: operation.map_or(Follower::Nobody, Follower::Operation),
            by_itself_at: by_itself_at(shop, step),
        };
    }
    if let Some(place) = item.deliver_to {
        let stations = shop.stations.ids();
        return FollowingStep {
            follower: Follower::Delivery,
            by_itself_at: { stations }.find(|&station| PlaceId::from(station) == place),
        };
    }
    match item.goes_into {
        Some(assembly) => {
            // Its other inputs may have to be brought.
            let first = following(shop, items, &items[assembly.index()], 0);
            FollowingStep {
                by_itself_at: None,
                ..first
            }
        }
        None => FollowingStep {
            follower: Follower::Nobody,
            by_itself_at: None,
        },
    }
}

/// The only station for a step, if it works alone and nothing is fetched for it.
fn by_itself_at(shop: &Shop, step: &Step) -> Option<StationId> {
    let [only] = &step.choices[..] else {
        return None;
    };
    let is_elsewhere = |place: PlaceId| !shop.is_at(place, only.place());
    let gear = only
        .work
        .gear
        .iter()
        .filter_map(|&(gear, _)| shop.gear[gear].stored_at);
    let fetches = gear.chain(only.work.fetch_from).any(is_elsewhere);
    (only.work.people == 0 && !fetches).then_some(only.station)
}
