//! The ways that people walk in a replay, as corners with the distance from the start: whoever follows one needs to know
//! nothing of what stands on the floor.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::experiment::{Candidate, Leg, leg_paths};
use crate::floor::{Manner, Path, Piece, Plan};
use crate::shop::PlaceId;
use crate::units::Length;

/// An arc is followed in steps of at most so many radians.
const STEP_RAD: f64 = 0.2;

/// A way from place to place.
#[derive(Debug, Serialize)]
pub struct Way {
    pub from: u32,
    pub to: u32,
    /// Where it leads: x and y in metres, and the nanometres that have been walked there. The last are all of the way.
    pub points: Vec<(f64, f64, i64)>,
}

/// From where to where, and how.
type WalkedBetween = (PlaceId, PlaceId, Manner);

/// The ways that occur in a run.
#[derive(Debug, Default)]
pub struct ReplayedWays {
    numbers: BTreeMap<WalkedBetween, usize>,
    /// With their lengths in nanometres.
    walked: Vec<(WalkedBetween, i64)>,
}

impl ReplayedWays {
    /// The number of a way of this length; nothing where nobody gets any farther by it.
    pub fn number(&mut self, between: WalkedBetween, nanometres: i64) -> Option<usize> {
        if let Some(&known) = self.numbers.get(&between) {
            return Some(known);
        }
        // What is interrupted is told with its length at the end.
        if nanometres == 0 {
            return None;
        }
        self.numbers.insert(between, self.walked.len());
        self.walked.push((between, nanometres));
        Some(self.walked.len() - 1)
    }

    /// All of them, in the order of their numbers: around what stands there if the candidate says so, else straight.
    pub fn on_floor(self, candidate: &Candidate, floor: &Plan) -> Vec<Way> {
        let legs = self.walked.iter().map(|&((from, to, manner), _)| Leg {
            from: String::new(),
            to: String::new(),
            places: (from, to),
            manner,
            trips: 1.0,
            metres: 0.0,
        });
        let legs: Vec<Leg> = legs.collect();
        let found = leg_paths(candidate, &legs);
        let mut paths = found.iter().peekable();
        let ways = self.walked.iter().map(|&((from, to, manner), length)| {
            // Those without a way are left out, and the others keep their order.
            let path =
                paths.next_if(|path| (path.from, path.to, path.manner) == (from, to, manner));
            let straight = || Some(Path::through(&[floor.standing(from)?, floor.standing(to)?]));
            let path = path.map(|found| found.path.clone()).or_else(straight);
            Way {
                from: from.0,
                to: to.0,
                points: path.map_or_else(Vec::new, |path| points(&path, length)),
            }
        });
        ways.collect()
    }
}

/// The corners of a way that is so many nanometres long.
fn points(path: &Path, nanometres: i64) -> Vec<(f64, f64, i64)> {
    let share = match path.length > 0.0 {
        true => Length::from_nanometres(nanometres).metres() / path.length,
        false => 0.0,
    };
    let mut points = vec![(path.from.x, path.from.y, 0)];
    let mut walked = 0.0;
    for piece in &path.pieces {
        let steps = match piece {
            Piece::Line { .. } => 1.0,
            Piece::Arc { sweep, .. } => (sweep.abs() / STEP_RAD).ceil().max(1.0),
        };
        for step in 1..=steps as u32 {
            let share_of_piece = f64::from(step) / steps;
            let at = piece.at(share_of_piece);
            let there = (walked + piece.length() * share_of_piece) * share;
            points.push((at.x, at.y, Length::from_metres(there).nanometres()));
        }
        walked += piece.length();
    }
    // What is left is rounding.
    if let Some(last) = points.last_mut() {
        *last = (path.to.x, path.to.y, nanometres);
    }
    points
}
