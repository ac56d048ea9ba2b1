//! Cabinets and boards of tools are hung when everything stands: over a bench at a wall, where one reaches over it, or
//! else where a wall is free.

use super::arrange::{NoPlace, between_placed, faults_wherever, hangs, place};
use super::dislike::{Likes, NO_GAP_M, to_wall};
use super::ground::{common, holds};
use super::habit::PlaceSearch;
use crate::floor::{AxisBox, Placement, Plan, Point, SAME_POINT_M, STAND_OFF_M};
use crate::shop::StationId;

/// Hangs all that hangs, the widest first; what finds no wall is left out.
pub fn hang(
    search: &PlaceSearch<'_>,
    like: &Plan,
    plan: &Plan,
) -> (Plan, Vec<(StationId, NoPlace)>) {
    let mut plan = unhung(plan);
    let mut left_out = Vec::new();
    let Some(likes) = Likes::new(search) else {
        return (plan, left_out);
    };
    let hung = like.placements.ids();
    let mut hung: Vec<StationId> = hung.filter(|&station| hangs(like, station)).collect();
    let width = |station: StationId| like.placements[station].map_or(0.0, |like| like.size.0);
    // The sort is stable: of equals the first of the file comes first.
    hung.sort_by(|&one, &other| width(other).total_cmp(&width(one)));
    for station in hung {
        let Some(wanted) = like.placements[station] else {
            continue;
        };
        let found = over_a_bench(&likes, &plan, station, &wanted);
        match found.map_or_else(|| free_wall(&likes, like, &plan, station), Ok) {
            Ok(placement) => plan.placements[station] = Some(placement),
            Err(why) => left_out.push((station, why)),
        }
    }
    (plan, left_out)
}

/// The plan without what hangs.
pub fn unhung(plan: &Plan) -> Plan {
    let mut standing = plan.clone();
    for station in plan
        .placements
        .ids()
        .filter(|&station| hangs(plan, station))
    {
        standing.placements[station] = None;
    }
    standing
}

fn free_wall(
    likes: &Likes<'_>,
    like: &Plan,
    plan: &Plan,
    station: StationId,
) -> Result<Placement, NoPlace> {
    place(likes, like, plan, station).map(|spot| spot.placement)
}

/// The first place over a bench with which the rules find no more than without it.
fn over_a_bench(
    likes: &Likes<'_>,
    plan: &Plan,
    station: StationId,
    wanted: &Placement,
) -> Option<Placement> {
    let search = likes.search;
    let wherever = faults_wherever(search, plan);
    let flow = between_placed(search.flow, plan);
    let warnings = |plan: &Plan| {
        let score = search.site.evaluate(plan, &flow);
        (score.missing.faults <= wherever).then_some(score.missing.warnings)
    };
    let before = warnings(plan)?;
    let benches = search.habits.enumerate();
    let benches = benches.filter(|(_, habit)| habit.is_bench);
    let benches = benches.filter_map(|(bench, _)| plan.placements[bench]);
    let mut tried = benches.flat_map(|bench| above(likes, &bench, wanted));
    tried.find(|placement| {
        if meets_something(likes, plan, station, placement) {
            return false;
        }
        let mut with = plan.clone();
        with.placements[station] = Some(*placement);
        warnings(&with).is_some_and(|warnings| warnings <= before)
    })
}

/// Against the wall behind a bench: over its middle, or flush with an end of it.
fn above(likes: &Likes<'_>, bench: &Placement, wanted: &Placement) -> Vec<Placement> {
    let room = likes.ground.room;
    let back = bench.turned(Point::new(0.0, 1.0));
    let Some((low, high)) = bench.footprint().map(|outline| outline.bounds()) else {
        return Vec::new();
    };
    let off = to_wall(&room, &AxisBox { low, high }, back);
    let is_at_wall = off <= NO_GAP_M;
    if !is_at_wall || bench.heights.top > wanted.heights.bottom + SAME_POINT_M {
        return Vec::new();
    }
    let unit = likes.search.grid.unit;
    let spare = (bench.size.0 - wanted.size.0) / 2.0;
    let along = bench.turned(Point::new(1.0, 0.0));
    let deep = bench.size.1 / 2.0 + off - wanted.size.1 / 2.0;
    let inside = AxisBox {
        low: room.low,
        high: room.high,
    };
    let places = [0.0, spare, -spare].map(|aside| {
        let at = bench.at + back * deep + along * aside;
        // On the grid, and away from the wall rather than into it.
        let grid = |value: f64, toward: f64| match toward {
            t if t > 0.5 => (value / unit + 1e-6).floor() * unit,
            t if t < -0.5 => (value / unit - 1e-6).ceil() * unit,
            _ => (value / unit).round() * unit,
        };
        Point::new(grid(at.x, back.x), grid(at.y, back.y))
    });
    let placed = places.into_iter().map(|at| {
        // One stands before the bench and reaches over it.
        let before = (at - bench.at).dot(back) + bench.size.1 / 2.0 + STAND_OFF_M;
        Placement {
            at,
            turn: bench.turn,
            stand: Point::new(wanted.stand.x, -before.max(-wanted.stand.y)),
            ..*wanted
        }
    });
    placed
        .filter(|placed| {
            let bounds = placed.footprint().map(|outline| outline.bounds());
            bounds.is_some_and(|(low, high)| holds(&inside, &AxisBox { low, high }))
        })
        .collect()
}

/// Whether it would be in something at its height.
fn meets_something(
    likes: &Likes<'_>,
    plan: &Plan,
    station: StationId,
    placement: &Placement,
) -> bool {
    let spot = likes.spot(station, *placement);
    let Some(body) = spot.body else { return false };
    let taken = likes.taken_without(plan, station);
    let others = taken
        .spots
        .iter()
        .filter_map(|(_, spot)| spot.body.as_ref());
    let mut others = others.chain(&taken.ground.things);
    others.any(|other| {
        other.heights.meets(&body.heights) && common(&other.area, &body.area) > SAME_POINT_M
    })
}
