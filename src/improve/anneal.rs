//! A placement of all stations at once by simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983) on boxes: moves of one
//! or two stations that make it better are taken, and others the more seldom the worse they are and the later they come.
//! Boxes are judged in microseconds where the rules take a hundred times as long; those have the last word afterwards.

use super::dislike::Likes;
use super::spots::StationSpot;
use super::standing::{StandingBoxes, placed_in};
use super::tries::Tries;
use super::ways::WayGrid;
use crate::floor::{Placement, Plan};
use crate::random::Key;
use crate::shop::StationId;

/// What something in the way counts, in metres of the mean trip: more and more, so that things find their places first.
pub(super) const IN_THE_WAY: (f64, f64) = (15.0, 150.0);

/// This share of all moves is made before it counts all, and this one before ways are looked at.
const GROWING: f64 = 0.7;
const WAYS_FROM: f64 = 0.3;

/// What it counts that nobody gets to a place, in metres of the mean trip.
const CLOSED: f64 = 8.0;

/// So often the price grows.
const STAGES: usize = 50;

/// From what is taken rather freely to what is hardly ever: metres of the mean trip.
const HOT: f64 = 6.0;
const COLD: f64 = 0.02;

/// Annealing from a placement; what has no place yet begins in the middle. What hangs is left out.
pub(super) fn annealed(
    likes: &Likes<'_>,
    like: &Plan,
    start: &Plan,
    (key, moves_each): (Key, usize),
) -> Plan {
    let room = likes.ground.room;
    let middle = (room.low + room.high) * 0.5;
    let mut tries = Tries::new(likes, key);
    let mut spots = Vec::new();
    for (station, placement) in like.placements.enumerate() {
        let Some(placement) = placement.filter(|placement| !placement.heights.hangs()) else {
            continue;
        };
        let placed = start.placements[station].unwrap_or(Placement {
            at: tries.kept_inside(&placement, middle),
            ..placement
        });
        spots.push((station, likes.spot(station, placed)));
    }
    let mut state = StandingBoxes::new(likes, IN_THE_WAY.0, spots);
    let spots = cool(likes, &mut state, &mut tries, moves_each);
    let mut plan = like.clone();
    for station in like.placements.ids() {
        plan.placements[station] = None;
    }
    placed_in(plan, &spots)
}

/// Cools down, each station being moved so often, and says where all stand then.
fn cool(
    likes: &Likes<'_>,
    state: &mut StandingBoxes<'_>,
    tries: &mut Tries<'_>,
    moves_each: usize,
) -> Vec<(StationId, StationSpot)> {
    let count = state.spots().len();
    let moves = moves_each * count;
    if count == 0 {
        return Vec::new();
    }
    let cooling = libm::log(COLD / HOT) / moves as f64;
    let mut ways = WayGrid::new(likes);
    let mut unreached = 0;
    let mut cost = 0.0;
    let mut best: Option<(f64, Vec<(StationId, StationSpot)>)> = None;
    for step in 0..moves {
        let done = step as f64 / moves as f64;
        let left = 1.0 - done;
        if step % (moves / STAGES).max(1) == 0 {
            let grown = libm::pow(IN_THE_WAY.1 / IN_THE_WAY.0, (done / GROWING).min(1.0));
            state.set_price(IN_THE_WAY.0 * grown);
            cost = state.cost();
        }
        if unreached == 0 && done >= WAYS_FROM && step % 500 == 0 {
            unreached = ways.unreached(state.spots());
        }
        let heat = HOT * libm::exp(cooling * step as f64);
        let change = tries.change(state.spots(), left);
        let more = state.try_move(&change);
        let mut is_taken = more <= 0.0 || tries.uniform() < libm::exp(-more / heat);
        let mut now = unreached;
        if is_taken && done >= WAYS_FROM {
            now = ways.unreached(state.spots());
            let closed = CLOSED * (now as f64 - unreached as f64);
            is_taken = more + closed <= 0.0 || tries.uniform() < libm::exp(-(more + closed) / heat);
        }
        if !is_taken {
            state.take_back();
            continue;
        }
        state.accept();
        cost += more;
        unreached = now;
        let whole = cost + CLOSED * unreached as f64;
        let is_best = best.as_ref().is_none_or(|(least, _)| whole < *least - 1e-9);
        if done >= GROWING && is_best {
            best = Some((whole, state.spots().to_vec()));
        }
    }
    best.map_or_else(|| state.spots().to_vec(), |(_, spots)| spots)
}
