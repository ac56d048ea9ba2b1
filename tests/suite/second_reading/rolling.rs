//! What is parked, rolled out to be used and rolled in again.
//!
//! Reading: whoever rolls something about handles it, and nothing else can be done there meanwhile. It counts as parked
//! from the choice of the task before which it is rolled in, and as rolled out from the choice of the one for which it is;
//! but the walks of a task that come before count with it where it is then.

use super::carry::Carrier;
use super::clock::Times;
use super::play::Play;
use super::record::Phase;
use super::result::Manner;
use super::state::Ending;

impl Play<'_> {
    /// What somebody was the last to use is rolled in first of all, unless they are needed there; nobody rolls in what
    /// somebody else is at.
    pub fn roll_in_own(&self, carrier: &mut Carrier, to: Option<usize>) {
        for station in 0..self.shop.stations.len() {
            let is_theirs = carrier.out[station] == Some(carrier.person);
            if is_theirs && to != Some(station) && self.units[station][0].free {
                self.roll_in(carrier, station);
            }
        }
    }

    /// Then what stands on floor that the work needs.
    pub fn clear_floor(&self, carrier: &mut Carrier, station: usize) {
        self.roll_in_own(carrier, Some(station));
        for &(one, other) in &self.layout.shared_floor {
            let beside = match station {
                _ if station == one => other,
                _ if station == other => one,
                _ => continue,
            };
            if carrier.out[beside].is_some() {
                self.roll_in(carrier, beside);
            }
        }
    }

    fn roll_in(&self, carrier: &mut Carrier, station: usize) {
        let (_, back) = self.shop.stations[station]
            .rolling
            .expect("it is rolled about");
        self.walk(carrier, station, Manner::Empty);
        self.handle(carrier, back);
        carrier.out[station] = None;
        carrier.rolled_in.push((station, carrier.legs.len()));
    }

    /// Rolls a station out that is parked, when all is there that the work needs.
    pub fn roll_out(&self, carrier: &mut Carrier, station: usize) {
        if self.layout.parked[station] && carrier.out[station].is_none() {
            let (out, _) = self.shop.stations[station]
                .rolling
                .expect("it is rolled about");
            self.handle(carrier, out);
        }
    }

    /// What is rolled out while somebody works at a station.
    pub fn out_at_work(&self, station: usize, worker: Option<usize>) -> Vec<Option<usize>> {
        let mut out = self.out.clone();
        if self.layout.parked[station] {
            out[station] = worker;
        }
        out
    }

    /// Things are rolled in as legs of a task end that begins now: until then nobody can use them.
    pub fn note_rolled_in(&mut self, rolled_in: &[(usize, usize)], legs: usize, at: i64) {
        for &(station, _) in rolled_in.iter().filter(|rolled| rolled.1 == legs) {
            let open: &Times = &self.shop.hours.open;
            let reserved = open.between(self.now, at);
            self.record.station(station, Phase::Reserved, reserved);
            self.out[station] = None;
            self.units[station][0].free = false;
            self.agenda.push((at, Ending::RolledIn(station)));
        }
    }
}
