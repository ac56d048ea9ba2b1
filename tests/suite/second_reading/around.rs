//! Walking around a machine, alone.

use super::carry::Carrier;
use super::plan::{Bit, Doing};
use super::play::Play;
use super::quantity::round_micros;
use super::result::Manner;
use super::shop::Work;

impl Play<'_> {
    /// After how much of the run somebody who works alone goes where the piece has come out, and brings it back.
    ///
    /// Reading: the passes of a piece take alike long, in whole microseconds, and the time of the lot is the first piece's.
    pub fn walks_around(
        &self,
        work: &Work,
        pieces: i64,
        (chooser, here): (Option<usize>, usize),
        stands: &[Option<usize>],
    ) -> Vec<(i64, Bit)> {
        let (Some((place, passes)), Some(person), 1) = (work.catches, chooser, work.people) else {
            return Vec::new();
        };
        let ends = |piece: i64| match piece {
            0 => 0,
            _ => round_micros(work.per_lot_s + work.per_piece_s * piece as f64),
        };
        let mut stops = Vec::new();
        for piece in 1..=pieces {
            let (from, to) = (ends(piece - 1), ends(piece));
            for pass in 1..=passes {
                let mut walker = Carrier {
                    person,
                    place: here,
                    legs: Vec::new(),
                    out: stands.to_vec(),
                    rolled_in: Vec::new(),
                };
                self.walk(&mut walker, place, Manner::Empty);
                self.carry_once(&mut walker, place, here);
                let bit = Bit {
                    doing: Doing::WalkAround,
                    legs: walker.legs,
                    time: 0,
                };
                stops.push((from + (to - from) * pass / passes, bit));
            }
        }
        stops
    }
}
