//! A placement from nothing: one station after the other, each where it is least disliked among the spots at which the
//! rules find no fault.

use std::collections::BTreeMap;

use super::anneal::annealed;
use super::dislike::Likes;
use super::free_spots::free_spots;
use super::ground::Taken;
use super::habit::{Belongs, PlaceSearch};
use super::spots::{Hindrance, StationSpot, fed_need};
use crate::floor::check::{Missing, RULES, Scene};
use crate::floor::{Evaluation, Flow, Plan, RuleId};
use crate::random::Key;
use crate::shop::StationId;

/// What was placed, and what found no place.
#[derive(Debug, Clone)]
pub struct Arrangement {
    pub plan: Plan,
    pub left_out: Vec<(StationId, NoPlace)>,
}

/// Why a station found no place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPlace {
    /// Nowhere is floor enough for its body.
    Floor { along: f64, deep: f64 },
    /// Its body would find room, but not the straight floor that feeding needs: so long in all and so wide, in metres.
    Strip { long: f64, wide: f64 },
    /// There is no room where one would stand.
    Standing,
    /// Wherever it is tried, this rule finds a fault.
    Rule(RuleId),
}

/// So many spots are looked at by all rules, in the order of what is disliked about them, and so many without a fault
/// are compared.
const MOST_LOOKED_AT: usize = 100;
const COMPARED: usize = 6;

/// Of the spots in a square of this size one is looked at, in metres: what is wrong at one is wrong beside it.
const SQUARE_M: f64 = 0.3;

/// The stations that a plan knows of, those first that need the most floor with what is fed through them.
fn largest_first(search: &PlaceSearch<'_>, like: &Plan) -> Vec<StationId> {
    let need = |station: StationId| -> Option<f64> {
        let placement = like.placements[station].as_ref()?;
        let body = placement.size.0 * placement.size.1;
        let strip = fed_need_of(search, like, station);
        Some(strip.map_or(body, |(long, wide)| body.max(long * wide)))
    };
    let stations = like.placements.ids();
    // What hangs is hung when everything stands.
    let stations = stations.filter(|&station| !hangs(like, station));
    let needs = stations.filter_map(|station| Some((need(station)?, station)));
    let mut needs: Vec<(f64, StationId)> = needs.collect();
    // The sort is stable: of equals the first of the file comes first.
    needs.sort_by(|one, other| other.0.total_cmp(&one.0));
    needs.into_iter().map(|(_, station)| station).collect()
}

pub(super) fn hangs(like: &Plan, station: StationId) -> bool {
    like.placements[station].is_some_and(|placement| placement.heights.hangs())
}

/// Orders in which stations may be placed: the largest first, those that belong to walls first, and those first through
/// which long work is fed, with what stands free at last.
pub fn orders(search: &PlaceSearch<'_>, like: &Plan) -> [Vec<StationId>; 3] {
    let largest = largest_first(search, like);
    let sorted = |rank: &dyn Fn(StationId) -> u8| {
        let mut order = largest.clone();
        order.sort_by_key(|&station| rank(station));
        order
    };
    let belongs = |station: StationId| search.habits[station].belongs;
    let is_fed = |station: StationId| fed_need_of(search, like, station).is_some();
    let walls_first = sorted(&|station| u8::from(belongs(station) != Belongs::ToAWall));
    let fed_first = sorted(&|station| match (is_fed(station), belongs(station)) {
        (true, Belongs::InTheOpen) => 0,
        (_, Belongs::ToAWall) => 1,
        (true, _) => 2,
        _ => 3,
    });
    [largest, walls_first, fed_first]
}

fn fed_need_of(search: &PlaceSearch<'_>, like: &Plan, station: StationId) -> Option<(f64, f64)> {
    fed_need(search.site, station, like.placements[station].as_ref()?)
}

/// Places stations one after the other in this order; the plan says what each is like, and nothing of it stands before.
pub fn arrange(search: &PlaceSearch<'_>, like: &Plan, order: &[StationId]) -> Arrangement {
    let mut plan = like.clone();
    let all: Vec<StationId> = plan.placements.ids().collect();
    for &station in &all {
        plan.placements[station] = None;
    }
    let mut left_out = Vec::new();
    let Some(likes) = Likes::new(search) else {
        return Arrangement { plan, left_out };
    };
    for &station in order {
        match place(&likes, like, &plan, station) {
            Ok(spot) => plan.placements[station] = Some(spot.placement),
            Err(why) => left_out.push((station, why)),
        }
    }
    by_loss(search, &mut left_out);
    Arrangement { plan, left_out }
}

/// What matters most first.
fn by_loss(search: &PlaceSearch<'_>, left_out: &mut [(StationId, NoPlace)]) {
    // The sort is stable: of equals the first of the order comes first.
    left_out.sort_by(|&(one, _), &(other, _)| search.loss(other).total_cmp(&search.loss(one)));
}

/// Another arrangement by annealing all that stands, from one in which some may have found no place: with these random
/// numbers, each station being moved so often.
pub fn rearrange(
    search: &PlaceSearch<'_>,
    like: &Plan,
    from: &Plan,
    draws: (Key, usize),
) -> Arrangement {
    match Likes::new(search) {
        Some(likes) => verified(&likes, like, &annealed(&likes, like, from, draws)),
        None => Arrangement {
            plan: from.clone(),
            left_out: Vec::new(),
        },
    }
}

/// What the rules find no fault with: all as it is wanted, or else as much of it as they let, the rest being placed one
/// after the other where there is room.
fn verified(likes: &Likes<'_>, like: &Plan, wanted: &Plan) -> Arrangement {
    let search = likes.search;
    let wherever = faults_wherever(search, like);
    let is_sound = |plan: &Plan| {
        let flow = between_placed(search.flow, plan);
        let score = search.site.evaluate(plan, &flow);
        score.missing.faults <= wherever && score.metres.is_finite()
    };
    let mut left_out = Vec::new();
    if is_sound(wanted) {
        return Arrangement {
            plan: wanted.clone(),
            left_out,
        };
    }
    let stations = wanted.placements.ids();
    let mut stations: Vec<StationId> = stations
        .filter(|&station| wanted.placements[station].is_some())
        .collect();
    // The sort is stable: of equals the first of the file comes first.
    stations.sort_by(|&one, &other| search.loss(other).total_cmp(&search.loss(one)));
    // Often it is one of them, which stands elsewhere as well.
    for &station in stations.iter().rev() {
        let mut plan = wanted.clone();
        plan.placements[station] = None;
        if !is_sound(&plan) {
            continue;
        }
        if let Ok(spot) = place(likes, like, &plan, station) {
            plan.placements[station] = Some(spot.placement);
            return Arrangement { plan, left_out };
        }
    }
    let mut plan = wanted.clone();
    for &station in &stations {
        plan.placements[station] = None;
    }
    let mut others = Vec::new();
    for station in stations {
        plan.placements[station] = wanted.placements[station];
        if !is_sound(&plan) {
            plan.placements[station] = None;
            others.push(station);
        }
    }
    for station in others {
        match place(likes, like, &plan, station) {
            Ok(spot) => plan.placements[station] = Some(spot.placement),
            Err(why) => left_out.push((station, why)),
        }
    }
    Arrangement { plan, left_out }
}

/// Which faults a plan may have with one more station in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AcceptedPlaces {
    /// Those that are there wherever anything stands.
    Wherever,
    /// As many as it has without that station.
    AsBefore,
}

/// The spot for a station beside all that is placed.
pub(super) fn place(
    likes: &Likes<'_>,
    like: &Plan,
    plan: &Plan,
    station: StationId,
) -> Result<StationSpot, NoPlace> {
    place_if(likes, like, plan, station, AcceptedPlaces::Wherever)
}

/// The same with other faults accepted.
pub(super) fn place_if(
    likes: &Likes<'_>,
    like: &Plan,
    plan: &Plan,
    station: StationId,
    accepted: AcceptedPlaces,
) -> Result<StationSpot, NoPlace> {
    let (search, site) = (likes.search, likes.search.site);
    let Some(placement) = &like.placements[station] else {
        return Err(NoPlace::Standing);
    };
    let taken = likes.taken_without(plan, station);
    let look = |radius: f64| free_spots(search, (station, placement), (&taken, radius));
    let (mut free, mut worst) = look(search.elbow());
    if free.is_empty() {
        let (narrow, hindrance) = look(site.body_width / 2.0);
        (free, worst) = (narrow, worst.max(hindrance));
    }
    if free.is_empty() {
        return Err(match worst {
            Hindrance::Strip => match fed_need(site, station, placement) {
                Some((long, wide)) => NoPlace::Strip { long, wide },
                None => NoPlace::Standing,
            },
            Hindrance::Standing => NoPlace::Standing,
            Hindrance::Floor => NoPlace::Floor {
                along: placement.size.0,
                deep: placement.size.1,
            },
        });
    }
    let ranked = ranked(likes, (station, free), &taken);
    let faults = match accepted {
        AcceptedPlaces::Wherever => faults_wherever(search, plan),
        AcceptedPlaces::AsBefore => {
            let flow = between_placed(search.flow, plan);
            site.evaluate(plan, &flow).missing.faults
        }
    };
    judged(search, plan, station, (ranked, faults))
}

/// Spots in the order of what is disliked about them, one of each square and turn.
pub(super) fn ranked(
    likes: &Likes<'_>,
    (station, free): (StationId, Vec<StationSpot>),
    taken: &Taken,
) -> Vec<(f64, StationSpot)> {
    let mut best: BTreeMap<(i64, i64, i64), (f64, StationSpot)> = BTreeMap::new();
    for spot in free {
        let disliked = likes.dislike_with_takes(station, &spot, taken);
        let at = spot.placement.at;
        let square = (
            (at.x / SQUARE_M).floor() as i64,
            (at.y / SQUARE_M).floor() as i64,
            spot.placement.turn as i64,
        );
        let known = best.get(&square);
        if known.is_none_or(|(least, _)| disliked < *least) {
            best.insert(square, (disliked, spot));
        }
    }
    let mut ranked: Vec<(f64, StationSpot)> = best.into_values().collect();
    // The sort is stable: of equals the one nearest to the origin comes first.
    ranked.sort_by(|one, other| one.0.total_cmp(&other.0));
    ranked
}

/// The best of spots by all rules and all that is walked between what is placed, with no more faults than are accepted.
fn judged(
    search: &PlaceSearch<'_>,
    plan: &Plan,
    station: StationId,
    (ranked, accepted): (Vec<(f64, StationSpot)>, u32),
) -> Result<StationSpot, NoPlace> {
    let mut plan = plan.clone();
    plan.placements[station] = ranked.first().map(|(_, spot)| spot.placement);
    let flow = between_placed(search.flow, &plan);
    let (prices, trips) = (search.prices(), search.trips());
    let mut evaluation = Evaluation::new(search.site, &plan, &flow, prices);
    let mut best: Option<(f64, StationSpot)> = None;
    let mut compared = 0;
    for (disliked, spot) in ranked.into_iter().take(MOST_LOOKED_AT) {
        if best.as_ref().is_some_and(|(least, _)| disliked >= *least) {
            break;
        }
        let score = match evaluation.try_move(&[(station, spot.pose())], f64::INFINITY) {
            Some(score) if score.metres.is_finite() => score,
            _ => continue,
        };
        if score.missing.faults > accepted {
            continue;
        }
        let warned = Missing {
            faults: 0,
            fault_m: 0.0,
            ..score.missing
        };
        let cost = disliked + prices.of(&warned) / trips;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, spot));
        }
        compared += 1;
        if compared == COMPARED {
            break;
        }
    }
    best.map(|(_, spot)| spot)
        .ok_or_else(|| NoPlace::Rule(broken(search, &plan)))
}

/// Faults that are there wherever anything stands, such as a sheet that comes in by no door: those that the rules find in
/// a room in which nothing stands.
pub(super) fn faults_wherever(search: &PlaceSearch<'_>, like: &Plan) -> u32 {
    let mut plan = like.clone();
    let all: Vec<StationId> = plan.placements.ids().collect();
    all.into_iter()
        .for_each(|station| plan.placements[station] = None);
    let scene = Scene::new(search.site, &plan, &[]);
    RULES.iter().map(|rule| (rule.judge)(&scene).faults).sum()
}

/// The legs both of whose ends are placed.
pub(super) fn between_placed(flow: &Flow, plan: &Plan) -> Flow {
    let placed = |place| plan.standing(place).is_some();
    let legs = flow.legs.iter();
    Flow {
        legs: legs
            .filter(|leg| placed(leg.from) && placed(leg.to))
            .copied()
            .collect(),
    }
}

/// The first rule that finds a fault in a plan which it does not find wherever anything stands.
fn broken(search: &PlaceSearch<'_>, plan: &Plan) -> RuleId {
    let mut bare = plan.clone();
    let all: Vec<StationId> = bare.placements.ids().collect();
    all.into_iter()
        .for_each(|station| bare.placements[station] = None);
    let [scene, bare] = [plan, &bare].map(|plan| Scene::new(search.site, plan, &[]));
    let rule = RULES
        .iter()
        .find(|rule| (rule.judge)(&scene).faults > (rule.judge)(&bare).faults);
    // What people walk along is not known to the scene.
    rule.map_or(RuleId::Aisle, |rule| rule.id)
}
