//! Small moves of all that stands, judged by the rules as `check` has them: what boxes only guess, such as how wide the
//! ways are that people take, counts here as it is.

use super::anneal::IN_THE_WAY;
use super::arrange::{between_placed, faults_wherever};
use super::dislike::Likes;
use super::habit::PlaceSearch;
use super::standing::StandingBoxes;
use super::tries::Tries;
use crate::floor::{Evaluation, Plan, Pose};
use crate::random::Key;
use crate::shop::StationId;

/// From what is taken rather freely to what is hardly ever: metres of the mean trip.
const HOT: f64 = 8.0;
const COLD: f64 = 0.02;

/// How far a station is moved at first, as the share of the room that annealing has left.
const REACH: f64 = 0.5;

/// No move saves so much by walking and warnings that it is worth looking at by the rules if it costs so much more on boxes,
/// in metres of the mean trip beside what the warnings come to.
const WALKED_LESS: f64 = 2.0;

/// The plan with what stands moved so often for each station, without a fault more. What hangs stays.
pub fn polish(search: &PlaceSearch<'_>, from: &Plan, (key, moves_each): (Key, usize)) -> Plan {
    let flow = between_placed(search.flow, from);
    let search = PlaceSearch {
        flow: &flow,
        ..*search
    };
    let Some(likes) = Likes::new(&search) else {
        return from.clone();
    };
    let (prices, trips) = (search.prices(), search.trips());
    let wherever = faults_wherever(&search, from);
    let mut evaluation = Evaluation::new(search.site, from, &flow, prices);
    let stand = from.placements.enumerate().filter_map(|(station, placed)| {
        let placed = placed.filter(|placed| !placed.heights.hangs())?;
        Some((station, likes.spot(station, placed)))
    });
    let mut state = StandingBoxes::new(&likes, IN_THE_WAY.1, stand.collect());
    let mut tries = Tries::new(&likes, key);
    let mut on_boxes = state.cost();
    let moves = moves_each * state.spots().len();
    let cooling = libm::log(COLD / HOT) / moves.max(1) as f64;
    let mut best = (on_boxes + evaluation.cost() / trips, from.clone());
    for step in 0..moves {
        let heat = HOT * libm::exp(cooling * step as f64);
        let left = REACH * (1.0 - step as f64 / moves as f64);
        let change = tries.change(state.spots(), left);
        // What a move may cost more is drawn first, so that the rules need not look to the end of what costs too much.
        let may_cost = -heat * libm::log(tries.uniform().max(1e-300));
        let more = state.try_move(&change);
        let warned = prices.of(&evaluation.score().missing) / trips;
        if more > may_cost + warned + WALKED_LESS {
            state.take_back();
            continue;
        }
        let limit = evaluation.cost() + (may_cost - more) * trips;
        let poses: Vec<(StationId, Pose)> = change
            .iter()
            .map(|&(index, placement)| (state.spots()[index].0, placement.pose()))
            .collect();
        let is_taken = evaluation.try_move(&poses, limit).is_some_and(|score| {
            score.missing.faults <= wherever
                && score.metres.is_finite()
                && prices.cost(&score) <= limit
        });
        if !is_taken {
            evaluation.take_back();
            state.take_back();
            continue;
        }
        evaluation.accept();
        state.accept();
        on_boxes += more;
        let whole = on_boxes + evaluation.cost() / trips;
        if whole < best.0 - 1e-9 {
            best = (whole, evaluation.plan().clone());
        }
    }
    best.1
}
