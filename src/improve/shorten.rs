//! Moves on a floor that is arranged: one station after the other goes where that costs less.

use super::arrange::{between_placed, faults_wherever, ranked};
use super::dislike::dislike;
use super::habit::PlaceSearch;
use super::spots::{StationSpot, Taken, free_spots};
use crate::floor::{Evaluation, Plan, Prices};
use crate::shop::StationId;

/// How stations are moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moving {
    /// What is disliked about a spot, and what the rules warn of, counts so much beside what is walked.
    pub comfort: f64,
    /// So many stations are moved at the most.
    pub most: usize,
    /// How often each of them is tried.
    pub rounds: usize,
}

/// So many spots of each station are tried.
const TRIED: usize = 40;

/// A move that saves less than this share is not worth making.
const WORTH: f64 = 0.005;

/// The plan with stations moved to where they cost less by walking, warnings and habit together, without a fault more;
/// the busiest come first.
pub fn shorten(search: &PlaceSearch<'_>, from: &Plan, moving: Moving) -> Plan {
    let flow = between_placed(search.flow, from);
    let search = PlaceSearch {
        flow: &flow,
        ..*search
    };
    let prices = cheaper(search.prices(), moving.comfort);
    let mut evaluation = Evaluation::new(search.site, from, &flow, prices);
    let mut moved: Vec<StationId> = Vec::new();
    for _ in 0..moving.rounds {
        let mut is_settled = true;
        for station in busiest(&search, from) {
            if moved.len() == moving.most && !moved.contains(&station) {
                continue;
            }
            let Some(spot) = better(&search, &mut evaluation, station, moving.comfort) else {
                continue;
            };
            if (evaluation.try_move(&[(station, spot.pose())], f64::INFINITY)).is_some() {
                evaluation.accept();
                is_settled = false;
                if !moved.contains(&station) {
                    moved.push(station);
                }
            }
        }
        if is_settled {
            break;
        }
    }
    evaluation.take_back();
    evaluation.plan().clone()
}

/// A spot where a station costs less than where it stands, everything else staying where it is.
fn better(
    search: &PlaceSearch<'_>,
    evaluation: &mut Evaluation<'_>,
    station: StationId,
    comfort: f64,
) -> Option<StationSpot> {
    evaluation.take_back();
    let site = search.site;
    let plan = evaluation.plan().clone();
    let placement = plan.placements[station]?;
    let taken = taken_without(search, &plan, station)?;
    let habit = &search.habits[station];
    let prices = cheaper(search.prices(), comfort);
    let here = StationSpot::new(site, station, placement, habit);
    let disliked = |spot: &StationSpot| {
        let disliked = dislike(search, (station, spot), &taken, &plan);
        comfort * search.trips() * disliked
    };
    let now = evaluation.cost() + disliked(&here);
    let radius = site.premises.limits.standing_room.max(site.body_width) / 2.0;
    let (free, _) = free_spots(
        site,
        (station, &placement),
        habit,
        (&taken, radius),
        search.grid,
    );
    let ranked = ranked(search, (station, free), &taken, &plan);
    let wherever = faults_wherever(search, &plan);
    let mut best: Option<(f64, StationSpot)> = None;
    for (_, spot) in ranked.into_iter().take(TRIED) {
        let least = best
            .as_ref()
            .map_or(now * (1.0 - WORTH), |(least, _)| *least);
        let disliked = disliked(&spot);
        let limit = least - disliked;
        let Some(score) = evaluation.try_move(&[(station, spot.pose())], limit) else {
            continue;
        };
        let found = prices.cost(&score) + disliked;
        if score.missing.faults <= wherever && found < least {
            best = Some((found, spot));
        }
    }
    evaluation.take_back();
    best.map(|(_, spot)| spot)
}

/// With warnings that count less.
fn cheaper(prices: Prices, comfort: f64) -> Prices {
    Prices {
        warning: comfort * prices.warning,
        warning_metre: comfort * prices.warning_metre,
        ..prices
    }
}

/// What a plan costs by walking, warnings and habit together, in metres of walking.
pub fn cost(search: &PlaceSearch<'_>, plan: &Plan) -> f64 {
    let flow = between_placed(search.flow, plan);
    let score = search.site.evaluate(plan, &flow);
    let placed = plan.placements.enumerate();
    let disliked = placed.filter_map(|(station, placement)| {
        let taken = taken_without(search, plan, station)?;
        let spot = StationSpot::new(search.site, station, (*placement)?, &search.habits[station]);
        Some(dislike(search, (station, &spot), &taken, plan))
    });
    search.prices().cost(&score) + search.trips() * disliked.sum::<f64>()
}

/// What is walked on a plan, in metres.
pub fn metres(search: &PlaceSearch<'_>, plan: &Plan) -> f64 {
    let flow = between_placed(search.flow, plan);
    search.site.evaluate(plan, &flow).metres
}

/// Stations by the trips to and from them, most first.
fn busiest(search: &PlaceSearch<'_>, plan: &Plan) -> Vec<StationId> {
    let mut all: Vec<(f64, StationId)> = (plan.placements.ids())
        .map(|station| (search.trips_of(station), station))
        .collect();
    all.sort_by(|one, other| other.0.total_cmp(&one.0));
    all.into_iter().map(|(_, station)| station).collect()
}

fn taken_without(search: &PlaceSearch<'_>, plan: &Plan, station: StationId) -> Option<Taken> {
    let mut taken = Taken::by_room(search.site)?;
    for (other, placement) in plan.placements.enumerate() {
        if let Some(placement) = placement.filter(|_| other != station) {
            let habit = &search.habits[other];
            taken.add(&StationSpot::new(search.site, other, placement, habit));
        }
    }
    Some(taken)
}
