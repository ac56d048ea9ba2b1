//! Room for what is finished, and what does not go on together.

use super::play::Play;
use super::record::Phase;
use super::state::{Ending, LotState};

/// The places of the two kinds of work in the list of slots, before the groups.
const TACKY: usize = 0;
const DUSTY: usize = 1;
const GROUPS: usize = 2;

impl Play<'_> {
    /// A lot that is not part of anything later and has nowhere to go.
    fn is_gone(&self, lot: usize) -> bool {
        let of = &self.lots[lot];
        let goes_into = |&other: &usize| self.lots[other].inputs.contains(&lot);
        of.state == LotState::Done && !self.orders[of.order].lots.iter().any(goes_into)
    }

    /// The lot gives up its room, and the unit that it has not left.
    pub fn leave(&mut self, lot: usize) {
        self.lots[lot].room = None;
        if let Some((station, unit, since)) = self.lots[lot].blocks.take() {
            self.blocked(station, since, self.now);
            self.units[station][unit].free = true;
            self.units[station][unit].freed = self.now;
        }
    }

    pub fn blocked(&mut self, station: usize, from: i64, to: i64) {
        let open = self.shop.hours.open.between(from, to);
        self.record.station(station, Phase::Blocked, open);
    }

    /// Lots that block a unit, longest first.
    fn blocking(&self) -> Vec<usize> {
        let mut all: Vec<usize> = (0..self.lots.len())
            .filter(|&lot| self.lots[lot].blocks.is_some())
            .collect();
        all.sort_by_key(|&lot| {
            let of = &self.lots[lot];
            (
                of.blocks.map(|blocks| blocks.2),
                of.order,
                of.line,
                of.batch,
            )
        });
        all
    }

    /// What is gone takes no room; then lots are set down where there is some.
    ///
    /// Reading: the one that has blocked longest first, and of several the one whose order was released first, by line
    /// and batch; a lot that ends at this instant is among them.
    pub fn set_down(&mut self) {
        for lot in 0..self.lots.len() {
            let takes = self.lots[lot].room.is_some() || self.lots[lot].blocks.is_some();
            if takes && self.is_gone(lot) {
                self.leave(lot);
            }
        }
        for lot in self.blocking() {
            let (station, ..) = self.lots[lot].blocks.expect("it blocks a unit");
            let limit = self.shop.stations[station].set_down;
            let lying = self.lots.iter().filter(|l| l.room == Some(station)).count();
            if limit.is_none_or(|limit| lying < limit) {
                self.leave(lot);
                self.lots[lot].room = limit.map(|_| station);
            }
        }
    }

    /// Where nothing can go on, the lot that has blocked a unit longest is put on the floor; says when.
    pub fn put_aside(&mut self) -> Option<i64> {
        let lot = self.blocking().first().copied()?;
        self.leave(lot);
        self.record.put_aside += 1;
        Some(self.now)
    }

    /// What blocks a unit when the run ends has blocked it until then.
    pub fn still_blocked(&mut self, end: i64) {
        for lot in 0..self.lots.len() {
            let of = &self.lots[lot];
            let tied = match (of.state, of.tied.unit, of.place) {
                (LotState::AwaitsTakeOff, Some(_), Some(place)) => {
                    Some((self.station_of(place), of.since))
                }
                _ => None,
            };
            let blocks = of.blocks.map(|blocks| (blocks.0, blocks.2));
            for (station, since) in tied.into_iter().chain(blocks) {
                self.blocked(station, since, end);
            }
        }
    }

    /// The slots that work on a lot takes, and whether to the end of its cure.
    fn slots_of(&self, lot: usize, station: usize) -> Vec<(usize, bool)> {
        let work = self.work_at(lot, station).expect("the station does it");
        let op = &self.step(lot).op;
        let mut all = Vec::new();
        assert!(
            work.tacky.is_none() || !work.dusty,
            "{op} is tacky and dusty"
        );
        if work.tacky.is_some() {
            all.push((TACKY, false));
        }
        if work.dusty {
            all.push((DUSTY, false));
        }
        for (index, group) in self.shop.not_together.iter().enumerate() {
            let cures = group.cures.contains(op);
            if cures || group.stations.contains(&station) || group.operations.contains(op) {
                all.push((GROUPS + index, cures));
            }
        }
        let shared = GROUPS + self.shop.not_together.len();
        for (index, &(one, other)) in self.layout.shared_floor.iter().enumerate() {
            if station == one || station == other {
                all.push((shared + index, false));
            }
        }
        all
    }

    /// Whether nothing goes on that would have to be over first.
    pub fn may_go_on(&self, lot: usize, station: usize) -> bool {
        self.slots_of(lot, station)
            .into_iter()
            .all(|(slot, _)| match slot {
                TACKY => self.slots[DUSTY] == 0,
                DUSTY => self.slots[TACKY] == 0,
                group => {
                    let at_most = self.shop.not_together.get(group - GROUPS);
                    self.slots[group] < at_most.map_or(1, |group| group.at_most)
                }
            })
    }

    /// Work takes its slots, until it ends or has cured.
    pub fn take_slots(&mut self, lot: usize, station: usize, end: i64, cured: i64) {
        let tacky = self.work_at(lot, station).and_then(|work| work.tacky);
        for (slot, cures) in self.slots_of(lot, station) {
            let until = match slot {
                TACKY => end + tacky.unwrap_or(0),
                DUSTY => end,
                _ if cures => cured,
                _ => end,
            };
            self.slots[slot] += 1;
            self.agenda.push((until, Ending::Slot(slot)));
        }
    }

    /// When a cure of so much time ends that begins at this moment: it goes on twice as fast with every 10 K more.
    ///
    /// Reading: the given time is that at 21 °C, and what is left of it is rounded once, at the end.
    pub fn cured(&self, time: i64, least: Option<f64>, begins: i64) -> i64 {
        let Some((open, shut)) = self.shop.heat else {
            return begins + time;
        };
        let pace = |warmth: f64| match least {
            Some(least) if warmth < least => 0.0,
            _ => 2f64.powf((warmth - 21.0) / 10.0),
        };
        let (open, shut) = (pace(open), pace(shut));
        assert!(time == 0 || open > 0.0 || shut > 0.0, "it never cures");
        let (mut left, mut at) = (time as f64, begins);
        while left > 0.0 {
            let is_open = self.shop.hours.open.hold(at);
            let change = self.shop.hours.open.change_after(at);
            let pace = if is_open { open } else { shut };
            let lasts = change.map_or(f64::INFINITY, |change| (change - at) as f64);
            if lasts * pace >= left {
                return at + (left / pace).round() as i64;
            }
            assert!(change.is_some(), "it never cures");
            left -= lasts * pace;
            at = change.expect("it changes");
        }
        at
    }
}
