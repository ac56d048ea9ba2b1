//! A placement that is moved on step by step comes to what the same placement comes to from scratch.

use proptest::prelude::*;
use shopstride::experiment::{Candidate, Replications, flow, run};
use shopstride::floor::{
    Evaluation, Flow, FlowLeg, HeightRange, Manner, Plan, Pose, Prices, Score, Site,
};
use shopstride::scenario;
use shopstride::shop::{PlaceId, StationId};

use super::random::{build, ordinary};
use super::scenes::IN;
use crate::support::moves::{Spread, typical};
use crate::support::{data, drawn};

/// Of things of all kinds, in inches: bottom, top and table, which is 0 where there is none.
const HEIGHTS: [[f64; 3]; 5] = [
    [0.0, f64::INFINITY, 0.0],
    [0.0, f64::INFINITY, 35.0],
    [0.0, 34.0, 34.0],
    [54.0, 84.0, 0.0],
    [81.0, 100.0, 0.0],
];

const PRICES: Prices = Prices {
    fault: 30.0,
    fault_metre: 60.0,
    warning: 3.0,
    warning_metre: 6.0,
};

/// A candidate of a file, and what is walked there.
fn played(file: &str, candidate: usize) -> (Candidate, Flow) {
    let text = data(file);
    let loaded = scenario::load_to_check(file, text.as_bytes());
    let mut study = loaded.map(|loaded| loaded.study).expect("it loads");
    study.settings.replications = Replications::Fixed(2);
    let candidate = study.candidates.swap_remove(candidate);
    study.candidates = vec![candidate.clone()];
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let flow = flow(&findings.candidates[0].legs);
    (candidate, flow)
}

fn same(one: &Score, other: &Score) -> bool {
    let metres = (one.metres - other.metres).abs() <= 1e-9 * one.metres.abs();
    one.missing == other.missing && (metres || one.metres == other.metres)
}

fn moved_on(file: &str, candidate: usize, tries: usize) {
    let (candidate, flow) = played(file, candidate);
    let plan = candidate.plan.as_ref().expect("it is drawn");
    let site = Site::new(&candidate.shop, plan, &candidate.limits);
    let [refused, accepted, worse] = compare_moves(&site, plan, &flow, Spread(7), tries);
    assert!(
        refused > tries / 10 && accepted > tries / 20 && worse > 0,
        "{refused} {accepted} {worse}"
    );
}

/// Tries moves, accepts those that cost little more, and compares each with a look from scratch. Every so many, all
/// that is tried is accepted, so that faults of every kind come up. Returns how many were refused and accepted, and how
/// many of these cost more than before.
fn compare_moves(
    site: &Site<'_>,
    plan: &Plan,
    flow: &Flow,
    mut spread: Spread,
    tries: usize,
) -> [usize; 3] {
    let mut evaluation = Evaluation::new(site, plan, flow, PRICES);
    assert!(same(&evaluation.score(), &site.evaluate(plan, flow)));
    let [mut refused, mut accepted, mut worse] = [0; 3];
    for number in 0..tries {
        let before = evaluation.plan().clone();
        let moves: Vec<(StationId, Pose)> = typical(&mut spread, &before, flow);
        let cost = evaluation.cost();
        let limit = match number % 8 {
            7 => f64::INFINITY,
            _ => cost + 0.02 * cost * -libm::log(1.0 - spread.next()),
        };
        let score = evaluation.try_move(&moves, limit);
        let mut after = before.clone();
        for &(station, pose) in &moves {
            let placement = after.placements[station].as_mut().expect("it is placed");
            (placement.at, placement.turn) = (pose.at, pose.turn);
        }
        let anew = site.evaluate(&after, flow);
        match score {
            Some(score) => {
                assert!(
                    same(&score, &anew),
                    "{number}: {moves:?}\n{score:?}\n{anew:?}"
                );
                assert_eq!(evaluation.plan().placements, after.placements);
                assert!(PRICES.cost(&score) <= limit || limit.is_infinite());
                if number % 3 == 0 {
                    evaluation.take_back();
                    assert_eq!(evaluation.plan().placements, before.placements);
                    continue;
                }
                evaluation.accept();
                accepted += 1;
                worse += usize::from(PRICES.cost(&score) > cost);
            }
            None => {
                let costs = PRICES.cost(&anew);
                assert!(
                    costs > limit * (1.0 - 1e-9) || !anew.metres.is_finite(),
                    "{number}: {moves:?} {costs} {limit}"
                );
                assert_eq!(evaluation.plan().placements, before.placements);
                refused += 1;
            }
        }
    }
    [refused, accepted, worse]
}

proptest! {
    #![proptest_config(drawn(80))]

    /// Stations at any angle among posts, doors and panels, of which some stand in each other or outside.
    #[test]
    fn on_random_floors_a_moved_placement_is_judged_and_measured_as_from_scratch(
        stations in prop::collection::vec(ordinary(), 2..7), door in (1.0..9.0, 10.0..19.0), crew in 1..3usize,
        posts in prop::collection::vec((0.5..18.0, 2.0..15.0, 0.2..1.5), 0..4),
        legs in prop::collection::vec((0..100u32, 0..100u32, 0..3usize, 0.1..5.0), 1..9), seed in any::<u64>(),
        tall in prop::collection::vec(0..5usize, 7),
    ) {
        let mut scene = build(&stations, door, crew);
        for (x, y, side) in posts {
            let corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)];
            scene.thing("box", &corners);
        }
        for (station, &tall) in scene.plan.placements.ids().zip(&tall) {
            let placement = scene.plan.placements[station].as_mut().expect("placed");
            let [bottom, top, table] = HEIGHTS[tall].map(|inches| inches * IN);
            placement.heights = HeightRange { bottom, top };
            placement.table = (table > 0.0).then_some(table);
        }
        scene.the_room().doors[0].overhead = tall[0] > 2;
        scene.the_room().doors[0].height = Some(84.0 * IN);
        // The door is a place too.
        let places = stations.len() as u32 + 1;
        let leg = |(from, to, manner, trips): (u32, u32, usize, f64)| FlowLeg {
            from: PlaceId(from % places),
            to: PlaceId(to % places),
            manner: Manner::ALL[manner],
            trips,
        };
        let flow = Flow { legs: legs.into_iter().map(leg).collect() };
        let site = Site::new(&scene.shop, &scene.plan, &scene.limits);
        compare_moves(&site, &scene.plan, &flow, Spread(seed), 40);
    }
}

#[test]
fn in_the_garage_a_moved_placement_is_judged_and_measured_as_from_scratch() {
    moved_on("bench/garage.yaml", 1, 600);
    moved_on("bench/garage.yaml", 0, 200);
}

#[test]
fn among_thirty_stations_a_moved_placement_is_judged_and_measured_as_from_scratch() {
    moved_on("bench/grid.yaml", 0, 80);
}
