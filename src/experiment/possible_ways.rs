//! Ways that the projects have people take, whether or not the runs that are looked at took them: what fits does not hang
//! on who had time first.

use std::collections::BTreeSet;

use super::findings::Leg;
use super::leg_paths::{LegPath, flow};
use super::study::Candidate;
use crate::floor::{Flow, FlowLeg, Going, Manner, Plan};
use crate::shop::{Item, ItemKind, PlaceId, Project, Shop};

/// The ways along which pieces are carried from step to step, but for what is walked already. They count as walked in none
/// of the runs.
pub(super) fn possible_ways(
    candidate: &Candidate,
    plan: &Plan,
    walked: &[LegPath],
) -> Vec<LegPath> {
    if plan.going != Going::Around {
        return Vec::new();
    }
    let shop = &candidate.shop;
    let mut legs = carried(shop);
    // A way is as wide there as back.
    let key = |from: PlaceId, to: PlaceId| (from.min(to), from.max(to));
    let loaded = walked.iter().filter(|way| way.manner != Manner::Empty);
    let mut known: BTreeSet<(PlaceId, PlaceId)> = loaded.map(|way| key(way.from, way.to)).collect();
    legs.retain(|&(from, to)| {
        let is_placed = plan.standing(from).is_some() && plan.standing(to).is_some();
        from != to && is_placed && known.insert(key(from, to))
    });
    let paths = match &candidate.paths {
        Some(paths) => legs
            .iter()
            .map(|&(from, to)| paths.path(from, to))
            .collect(),
        None => plan.paths(&plan.ground(plan.body_width / 2.0), &legs),
    };
    let ways = legs
        .into_iter()
        .zip(paths)
        .filter_map(|((from, to), path)| {
            Some(LegPath {
                from,
                to,
                manner: Manner::Carrying,
                trips: 0.0,
                path: path?,
            })
        });
    ways.collect()
}

/// What is walked in a shop whose stations stand as in a plan, by the legs of its runs, with the ways by which the rules
/// judge its aisles besides: nobody walks those in the runs, so that they add no metres.
pub fn judged_flow(shop: &Shop, plan: &Plan, legs: &[Leg]) -> Flow {
    let mut flow = flow(legs);
    let loaded = flow.legs.iter().filter(|leg| leg.manner != Manner::Empty);
    // A way is as wide there as back.
    let mut known: BTreeSet<(PlaceId, PlaceId)> = loaded
        .flat_map(|leg| [(leg.from, leg.to), (leg.to, leg.from)])
        .collect();
    let is_placed = |place: PlaceId| plan.standing(place).is_some();
    for (from, to) in carried(shop) {
        let is_new = from != to && known.insert((from, to)) && known.insert((to, from));
        if is_new && is_placed(from) && is_placed(to) {
            flow.legs.push(FlowLeg {
                from,
                to,
                manner: Manner::Carrying,
                trips: 0.0,
            });
        }
    }
    flow
}

/// From where to where pieces of ordered projects are carried, each way once.
fn carried(shop: &Shop) -> Vec<(PlaceId, PlaceId)> {
    let mut legs: Vec<(PlaceId, PlaceId)> = Vec::new();
    for (_, project) in shop.ordered_projects() {
        for item in &project.items {
            let mut here = begins_at(project, item);
            let stops = item.route.iter().map(|step| {
                let choices = step.choices.iter();
                choices.map(|choice| choice.place()).collect()
            });
            let delivered = item.deliver_to.map(|place| vec![place]);
            for next in stops.chain(delivered).collect::<Vec<Vec<PlaceId>>>() {
                legs.extend(
                    here.iter()
                        .flat_map(|&from| next.iter().map(move |&to| (from, to))),
                );
                here = next;
            }
        }
    }
    legs.sort();
    legs.dedup();
    legs
}

/// Where a lot lies before its first step: of an assembly, what goes into it.
fn begins_at(project: &Project, item: &Item) -> Vec<PlaceId> {
    match &item.kind {
        ItemKind::Assembly { made_of } => {
            let inputs = made_of.iter().map(|input| &project.items[input.index()]);
            inputs.flat_map(Item::ends_at).collect()
        }
        _ => project.begins_at(item),
    }
}
