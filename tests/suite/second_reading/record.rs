//! Lists of everything that happened, and what they add up to.

use std::collections::BTreeMap;

use super::play::Order;
use super::result::{Manner, OrderOutcome, Outcome, PersonOutcome, StationOutcome};
use super::shop::Shop;

#[derive(Clone, Copy, PartialEq)]
pub enum Phase {
    Walking,
    Handling,
    Working,
    Reserved,
    Setup,
    Running,
    Curing,
}

/// A stretch of time of a person or of a station's unit.
struct Stretch {
    whose: usize,
    phase: Phase,
    from: i64,
    to: i64,
}

struct Walk {
    person: usize,
    from: usize,
    to: usize,
    manner: Manner,
    distance: i64,
    end: i64,
}

struct Wait {
    lot: usize,
    station: usize,
    from: i64,
    to: Option<i64>,
}

#[derive(Default)]
pub struct Record {
    people: Vec<Stretch>,
    stations: Vec<Stretch>,
    walks: Vec<Walk>,
    waits: Vec<Wait>,
    /// The station of each run that ended.
    worked: Vec<usize>,
}

impl Record {
    pub fn person(&mut self, whose: usize, phase: Phase, from: i64, to: i64) {
        self.people.push(Stretch {
            whose,
            phase,
            from,
            to,
        });
    }

    pub fn station(&mut self, whose: usize, phase: Phase, from: i64, to: i64) {
        self.stations.push(Stretch {
            whose,
            phase,
            from,
            to,
        });
    }

    pub fn walk(
        &mut self,
        person: usize,
        from: usize,
        to: usize,
        manner: Manner,
        distance: i64,
        end: i64,
    ) {
        self.walks.push(Walk {
            person,
            from,
            to,
            manner,
            distance,
            end,
        });
    }

    pub fn wait_begins(&mut self, lot: usize, station: usize, from: i64) {
        self.waits.push(Wait {
            lot,
            station,
            from,
            to: None,
        });
    }

    /// The lot leaves the queues of all stations that could have taken it.
    pub fn wait_is_over(&mut self, lot: usize, now: i64) {
        for wait in &mut self.waits {
            if wait.lot == lot && wait.to.is_none() {
                wait.to = Some(now);
            }
        }
    }

    pub fn lot_worked(&mut self, station: usize) {
        self.worked.push(station);
    }

    /// Adds everything up; times are cut at the end, and a walk counts when it ended.
    pub fn outcome(&self, shop: &Shop, orders: &[Order], end: i64) -> Outcome {
        let ended: Vec<&Walk> = self.walks.iter().filter(|w| w.end <= end).collect();
        let metres = |manner: Manner| {
            ended
                .iter()
                .filter(|w| w.manner == manner)
                .map(|w| w.distance)
                .sum()
        };
        let mut trips = BTreeMap::new();
        for walk in &ended {
            let name = |s: usize| shop.stations[s].name.clone();
            let trip = trips
                .entry((name(walk.from), name(walk.to), walk.manner))
                .or_insert((0, 0));
            trip.0 += 1;
            trip.1 += walk.distance;
        }
        Outcome {
            empty_nm: metres(Manner::Empty),
            carrying_nm: metres(Manner::Carrying),
            pushing_nm: metres(Manner::Pushing),
            makespan_us: end,
            orders: orders
                .iter()
                .map(|o| OrderOutcome {
                    project: shop.projects[o.project].name.clone(),
                    released_us: o.released,
                    done_us: o.done,
                })
                .collect(),
            stations: (0..shop.stations.len())
                .map(|s| self.station_outcome(shop, s, end))
                .collect(),
            crew: (0..shop.crew.len())
                .map(|p| self.person_outcome(shop, p, &ended, end))
                .collect(),
            trips,
        }
    }

    fn station_outcome(&self, shop: &Shop, station: usize, end: i64) -> StationOutcome {
        let sum = |phase| sum(&self.stations, station, phase, end);
        let waits: Vec<&Wait> = self.waits.iter().filter(|w| w.station == station).collect();
        let over = |w: &&&Wait| w.to.is_some();
        let length = |w: &&Wait| w.to.unwrap_or(end) - w.from;
        // How many lots lie in the queue right after somebody joined it to stay.
        let present = |at: i64| {
            waits
                .iter()
                .filter(|w| w.from <= at && at < w.to.unwrap_or(end))
                .count()
        };
        StationOutcome {
            name: shop.stations[station].name.clone(),
            running_us: sum(Phase::Running),
            setup_us: sum(Phase::Setup),
            curing_us: sum(Phase::Curing),
            reserved_us: sum(Phase::Reserved),
            lots: self.worked.iter().filter(|&&s| s == station).count() as u64,
            queued_us: waits.iter().map(length).sum(),
            queue_max: waits.iter().map(|w| present(w.from)).max().unwrap_or(0) as u64,
            waits: waits.len() as u64,
            waits_over: waits.iter().filter(over).count() as u64,
            waited_over_us: waits.iter().filter(over).map(length).sum(),
        }
    }

    fn person_outcome(
        &self,
        shop: &Shop,
        person: usize,
        ended: &[&Walk],
        end: i64,
    ) -> PersonOutcome {
        let sum = |phase| sum(&self.people, person, phase, end);
        let (walking, handling, working) = (
            sum(Phase::Walking),
            sum(Phase::Handling),
            sum(Phase::Working),
        );
        PersonOutcome {
            name: shop.crew[person].name.clone(),
            walked_nm: ended
                .iter()
                .filter(|w| w.person == person)
                .map(|w| w.distance)
                .sum(),
            walking_us: walking,
            handling_us: handling,
            working_us: working,
            waiting_us: end - walking - handling - working,
        }
    }
}

/// The time of one phase, cut at the end.
fn sum(stretches: &[Stretch], whose: usize, phase: Phase, end: i64) -> i64 {
    stretches
        .iter()
        .filter(|s| s.whose == whose && s.phase == phase && s.from < end)
        .map(|s| s.to.min(end) - s.from)
        .sum()
}
