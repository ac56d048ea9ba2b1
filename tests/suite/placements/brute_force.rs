//! Every placement of a tiny shop is tried, with places, turns and free floor reckoned here once more: the search finds
//! the best of them.

use shopstride::experiment::flow_if_placed;
use shopstride::floor::{Placement, Plan, Point, Site};
use shopstride::improve::placement::{
    FloorGrid, FoundPlacements, PlaceWish, PlacementLimits, PlacementProblem, PlacementTerms,
    search_placements,
};
use shopstride::scenario;
use shopstride::shop::StationId;

/// A shed of 3 by 2.5 m with a door in its wall y = 0: a bench, a saw and a shelf.
const SHED: &str = "\
title: A shed
room:
  size: [3 m, 2.5 m]
  doors: [{name: door, between: [[0, 0], [0.9 m, 0]], height: 2 m, swings: out}]
stations:
  bench: {size: [1.2 m, 0.5 m], does: {sand: {per piece: 1 min}}}
  saw: {size: [0.5 m, 0.5 m], does: {cut: {per piece: 1 min}}}
  shelf: {size: [0.8 m, 0.3 m]}
crew: {maker: {}}
projects:
  box:
    parts: {side: {pieces: 4, material at: shelf, route: [cut, sand, cut, sand], deliver to: door}}
orders: [{project: box}]
layouts:
  now:
    at:
      bench: {at: [2 m, 2.2 m], turn: 0}
      saw: {at: [2.7 m, 0.5 m], turn: 270}
      shelf: {at: [0.4 m, 1.8 m], turn: 90}
";

const GRID: FloorGrid = FloorGrid {
    step: 0.5,
    mark: 0.001,
};

/// Places of one station: on the grid and flush with the walls, in four turns.
fn all_places(placed: &Placement) -> Vec<Placement> {
    let along = |size: f64, half: f64| -> Vec<f64> {
        let on_grid = (0..20).map(|nth| 0.5 * f64::from(nth));
        let inside = on_grid.filter(|at| *at > half + 1e-9 && *at < size - half - 1e-9);
        inside.chain([half, size - half]).collect()
    };
    let mut places = Vec::new();
    for quarter in 0..4 {
        let (x, y) = placed.size;
        let (wide, deep) = if quarter % 2 == 0 { (x, y) } else { (y, x) };
        for x in along(3.0, wide / 2.0) {
            for y in along(2.5, deep / 2.0) {
                places.push(Placement {
                    at: Point::new(x, y),
                    turn: 90.0 * f64::from(quarter),
                    ..*placed
                });
            }
        }
    }
    places
}

/// Low and high corner.
type Corners = ((f64, f64), (f64, f64));

fn meet(one: Corners, other: Corners) -> bool {
    let shared = |a: (f64, f64), b: (f64, f64)| a.1.min(b.1) - a.0.max(b.0) > 1e-3;
    shared((one.0.0, one.1.0), (other.0.0, other.1.0))
        && shared((one.0.1, one.1.1), (other.0.1, other.1.1))
}

fn body(placed: &Placement) -> Corners {
    let (x, y) = placed.size;
    let (wide, deep) = if placed.turn % 180.0 == 0.0 {
        (x, y)
    } else {
        (y, x)
    };
    let at = placed.at;
    (
        (at.x - wide / 2.0, at.y - deep / 2.0),
        (at.x + wide / 2.0, at.y + deep / 2.0),
    )
}

/// 24 in of floor before the station: below it, and counter-clockwise from there with its turn.
fn front(placed: &Placement) -> Corners {
    const DEEP: f64 = 0.6096;
    let ((x1, y1), (x2, y2)) = body(placed);
    match placed.turn as i64 {
        0 => ((x1, y1 - DEEP), (x2, y1)),
        90 => ((x2, y1), (x2 + DEEP, y2)),
        180 => ((x1, y2), (x2, y2 + DEEP)),
        _ => ((x1 - DEEP, y1), (x1, y2)),
    }
}

/// Whether one stands in the other, or on the floor before it.
fn are_in_the_way(one: &Placement, other: &Placement) -> bool {
    meet(body(one), body(other)) || meet(body(one), front(other)) || meet(front(one), body(other))
}

struct Tried {
    /// What the least walking is with no fault and no warning more, by the rounds that were made.
    found: FoundPlacements,
    /// The same over all placements.
    least: f64,
    /// The least of walking and warnings together.
    least_weighed: f64,
    placements: usize,
}

/// Moves these stations in the shed.
fn tried(movable: &[StationId]) -> Tried {
    let loaded = scenario::load("shed.yaml", SHED.as_bytes()).expect("it loads");
    let study = loaded.study;
    let candidate = &study.candidates[0];
    let plan = candidate.plan.as_ref().expect("it is drawn");
    let site = candidate.site().expect("it is drawn");
    let flow_on = |plan: &Plan| flow_if_placed(&study, candidate, &site, plan);
    let problem = PlacementProblem {
        site: &site,
        now: plan,
        starts: Vec::new(),
        movable: movable.to_vec(),
        wishes: plan
            .placements
            .iter()
            .map(|_| PlaceWish::default())
            .collect(),
        grid: GRID,
        terms: PlacementTerms::default(),
        flow_on: &flow_on,
    };
    let limits = PlacementLimits {
        rounds: 6,
        keep_on: &|| true,
        give_up: &|| false,
        told: &|_, _| (),
    };
    let found = search_placements(&problem, 1, &limits).expect("it can be played");
    let flow = flow_on(plan).expect("it can be played");
    let now = site.evaluate(plan, &flow);
    assert_eq!(now.missing.faults, 0, "{now:?}");
    let (mut least, mut least_weighed) = (f64::INFINITY, f64::INFINITY);
    let mut placements = 0;
    each_placement(plan, movable, &mut |tried| {
        placements += 1;
        let score = evaluate(&site, tried, &flow);
        if score.missing.faults == 0 && score.metres <= now.metres {
            let warnings = f64::from(score.missing.warnings);
            least_weighed = least_weighed.min(score.metres + found.warning_m * warnings);
            if score.missing.warnings <= now.missing.warnings {
                least = least.min(score.metres);
            }
        }
    });
    Tried {
        found,
        least,
        least_weighed,
        placements,
    }
}

fn evaluate(
    site: &Site<'_>,
    plan: &Plan,
    flow: &shopstride::floor::Flow,
) -> shopstride::floor::Score {
    site.evaluate(plan, flow)
}

/// Every placement in which nothing that is moved is in the way of anything.
fn each_placement(plan: &Plan, movable: &[StationId], look: &mut dyn FnMut(&Plan)) {
    let Some((&station, others)) = movable.split_first() else {
        look(plan);
        return;
    };
    let placed = plan.placements[station].expect("it is placed");
    for place in all_places(&placed) {
        let mut tried = plan.clone();
        tried.placements[station] = Some(place);
        // What is still to be moved is in nobody's way where it stands now.
        let fixed = plan.placements.ids();
        let mut fixed = fixed.filter(|other| *other != station && !others.contains(other));
        let is_free = fixed.all(|other| {
            let there = plan.placements[other].as_ref().expect("it is placed");
            !are_in_the_way(&place, there)
        });
        if is_free {
            each_placement(&tried, others, look);
        }
    }
}

#[test]
fn the_best_place_of_one_station_is_found() {
    for station in 0..3 {
        let tried = tried(&[StationId(station)]);
        let few = tried.found.few[0].as_ref().expect("something is better");
        let found = few.score.metres;
        assert!(
            (found - tried.least).abs() < 1e-6,
            "station {station}: {found} m, {} m of {} placements",
            tried.least,
            tried.placements
        );
    }
}

#[test]
fn the_best_places_of_two_stations_are_found() {
    let tried = tried(&[StationId(0), StationId(1)]);
    assert!(tried.placements > 1_000, "{}", tried.placements);
    let all = tried.found.few[1].as_ref().expect("something is better");
    assert!(
        (all.score.metres - tried.least).abs() < 1e-6,
        "{} m, {} m of {}",
        all.score.metres,
        tried.least,
        tried.placements
    );
    let best = tried.found.best.as_ref().expect("something is better");
    let weighed =
        best.score.metres + tried.found.warning_m * f64::from(best.score.missing.warnings);
    assert!(
        (weighed - tried.least_weighed).abs() < 1e-6,
        "{weighed} m, {}",
        tried.least_weighed
    );
}
