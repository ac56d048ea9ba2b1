//! When blades are dull and drums are full.

use super::play::Play;
use super::quantity::round_micros;
use super::shop::{Every, Work};

impl Play<'_> {
    /// Upkeep that falls due in the run of a lot: after how much of the run, and which of the station's. Also what will
    /// have been done since the last one of each.
    ///
    /// Reading: what is done since the choice is rounded to whole microseconds after each piece.
    pub fn services(
        &self,
        station: usize,
        unit: usize,
        work: &Work,
        pieces: i64,
    ) -> (Vec<(i64, usize)>, Vec<i64>) {
        let upkeep = &self.shop.stations[station].upkeep;
        let mut worn: Vec<i64> = upkeep
            .iter()
            .zip(&self.units[station][unit].worn)
            .map(|(upkeep, &own)| match &upkeep.shared {
                Some(name) => self.worn.get(name).copied().unwrap_or(0),
                None => own,
            })
            .collect();
        let mut before = (0, 0, 0);
        let mut due = Vec::new();
        for piece in 1..=pieces {
            let run = round_micros(work.per_lot_s + work.per_piece_s * piece as f64);
            let after = (run, work.length_cut * piece, work.chips * piece);
            for (which, upkeep) in upkeep.iter().enumerate() {
                let limit = match upkeep.every {
                    Every::RunTime(limit) => {
                        worn[which] += after.0 - before.0;
                        limit
                    }
                    Every::Length(limit) => {
                        worn[which] += after.1 - before.1;
                        limit
                    }
                    Every::Chips(limit) => {
                        worn[which] += after.2 - before.2;
                        limit
                    }
                };
                if worn[which] >= limit {
                    worn[which] = 0;
                    due.push((run, which));
                }
            }
            before = after;
        }
        (due, worn)
    }
}
