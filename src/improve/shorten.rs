//! Moves on a floor that is arranged: one station after the other goes where that costs less.

use super::arrange::{between_placed, faults_wherever, ranked};
use super::dislike::Likes;
use super::free_spots::free_spots;
use super::habit::PlaceSearch;
use super::spots::StationSpot;
use crate::floor::{Evaluation, Plan};
use crate::shop::StationId;

/// How stations are moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moving {
    /// What is disliked about a spot counts so much beside what is walked, warned of, and not taken by machines.
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
    let Some(likes) = Likes::new(&search) else {
        return from.clone();
    };
    let prices = search.prices();
    let mut evaluation = Evaluation::new(search.site, from, &flow, prices);
    let mut moved: Vec<StationId> = Vec::new();
    for _ in 0..moving.rounds {
        let mut is_settled = true;
        for station in busiest(&search, from) {
            if moved.len() == moving.most && !moved.contains(&station) {
                continue;
            }
            let Some(spot) = better(&likes, &mut evaluation, station, moving.comfort) else {
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
    likes: &Likes<'_>,
    evaluation: &mut Evaluation<'_>,
    station: StationId,
    comfort: f64,
) -> Option<StationSpot> {
    evaluation.take_back();
    let search = likes.search;
    let plan = evaluation.plan().clone();
    let placement = plan.placements[station]?;
    let taken = likes.taken_without(&plan, station);
    let prices = search.prices();
    let here = likes.spot(station, placement);
    let disliked = |spot: &StationSpot| {
        let disliked = likes.dislike(station, spot, &taken);
        let both = likes.dislike_with_takes(station, spot, &taken);
        search.trips() * (both - (1.0 - comfort) * disliked)
    };
    let now = evaluation.cost() + disliked(&here);
    let (free, _) = free_spots(search, (station, &placement), (&taken, search.elbow()));
    let ranked = ranked(likes, (station, free), &taken);
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

/// Stations by the trips to and from them, most first.
fn busiest(search: &PlaceSearch<'_>, plan: &Plan) -> Vec<StationId> {
    let mut all: Vec<(f64, StationId)> = (plan.placements.ids())
        .map(|station| (search.trips_of(station), station))
        .collect();
    all.sort_by(|one, other| other.0.total_cmp(&one.0));
    all.into_iter().map(|(_, station)| station).collect()
}
