//! Lists of everything that happened, and what they add up to.

use std::collections::BTreeMap;

use super::carry;
use super::clock::{Spans, Times, WEEK, both, length};
use super::play::Play;
use super::result::{Hours, Manner, OrderOutcome, Outcome, PersonOutcome, StationOutcome};
use super::shop::Layout;
use super::state::LotState;

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Phase {
    Walking,
    Handling,
    Working,
    Reserved,
    Setup,
    Running,
    Curing,
    /// The unit holds a lot in open time, and those whom it needs are away or must be quiet.
    LeftStanding,
    /// The unit holds a lot that has no room to lie down, or on which something is to be taken off.
    Blocked,
    Serviced,
    /// Somebody takes off what a cure ties up, with the unit: it counts as running.
    TakingOff,
}

/// What becomes of a lot that somebody has chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LotPhase {
    Waits(LotState),
    Brought,
    Worked,
    Curing,
    TakenOff,
}

impl From<LotState> for LotPhase {
    fn from(state: LotState) -> LotPhase {
        LotPhase::Waits(state)
    }
}

/// A stretch of time of a person or of a station's unit, in which the shop is open.
pub struct Stretch {
    pub whose: usize,
    pub phase: Phase,
    pub from: i64,
    pub to: i64,
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
    pub people: Vec<Stretch>,
    pub stations: Vec<Stretch>,
    walks: Vec<Walk>,
    waits: Vec<Wait>,
    /// How much more of which gear was taken from which moment on.
    pub gear: Vec<(usize, i64, i64)>,
    /// Stretches of the calendar.
    pub lots: Vec<(usize, LotPhase, i64, i64)>,
    /// Stretches in which a lot is worked on while the shop is shut.
    pub after_hours: Vec<(usize, i64, i64)>,
    /// The station of each run that ended.
    worked: Vec<usize>,
    pub forced: u64,
    pub put_aside: u64,
}

fn add(list: &mut Vec<Stretch>, whose: usize, phase: Phase, spans: Spans) {
    list.extend(spans.into_iter().map(|(from, to)| Stretch {
        whose,
        phase,
        from,
        to,
    }));
}

impl Record {
    pub fn person(&mut self, whose: usize, phase: Phase, spans: Spans) {
        add(&mut self.people, whose, phase, spans);
    }

    pub fn station(&mut self, whose: usize, phase: Phase, spans: Spans) {
        add(&mut self.stations, whose, phase, spans);
    }

    pub fn lot(&mut self, lot: usize, phase: impl Into<LotPhase>, from: i64, to: i64) {
        let phase = phase.into();
        if from < to && phase != LotPhase::Waits(LotState::Taken) {
            self.lots.push((lot, phase, from, to));
        }
    }

    pub fn after_hours(&mut self, lot: usize, spans: Spans) {
        self.after_hours
            .extend(spans.into_iter().map(|(from, to)| (lot, from, to)));
    }

    pub fn walk(&mut self, person: usize, walk: &carry::Walk, end: i64) {
        self.walks.push(Walk {
            person,
            from: walk.from,
            to: walk.to,
            manner: walk.manner,
            distance: walk.distance,
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
    pub fn outcome(&self, play: &Play, end: i64) -> Outcome {
        let shop = play.shop;
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
            let name = |s: usize| play.place_name(s);
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
            orders: play
                .orders
                .iter()
                .map(|o| OrderOutcome {
                    project: shop.projects[o.project].name.clone(),
                    released_us: o.released,
                    done_us: o.done,
                })
                .collect(),
            stations: (0..shop.stations.len())
                .map(|s| self.station_outcome(play, s, end))
                .collect(),
            crew: (0..shop.crew.len())
                .map(|p| self.person_outcome(play, p, &ended, end))
                .collect(),
            trips,
        }
    }

    fn station_outcome(&self, play: &Play, station: usize, end: i64) -> StationOutcome {
        let sum = |phase| sum(&self.stations, station, phase, end);
        // Queues are reckoned in shop time: what comes at night waits from the opening.
        let open = |moment: i64| play.shop.hours.open.until(moment);
        let waits = self.waits.iter().filter(|w| w.station == station);
        let waits: Vec<(i64, Option<i64>)> =
            waits.map(|w| (open(w.from), w.to.map(open))).collect();
        let over = |w: &&&(i64, Option<i64>)| w.1.is_some();
        let length = |w: &(i64, Option<i64>)| w.1.unwrap_or(open(end)) - w.0;
        // How many lots lie in the queue right after somebody joined it to stay.
        let present = |at: i64| {
            waits
                .iter()
                .filter(|w| w.0 <= at && at < w.1.unwrap_or(open(end)))
                .count()
        };
        StationOutcome {
            name: play.shop.stations[station].name.clone(),
            running_us: sum(Phase::Running) + sum(Phase::TakingOff),
            setup_us: sum(Phase::Setup),
            curing_us: sum(Phase::Curing),
            reserved_us: sum(Phase::Reserved),
            lots: self.worked.iter().filter(|&&s| s == station).count() as u64,
            queued_us: waits.iter().map(length).sum(),
            queue_max: waits.iter().map(|w| present(w.0)).max().unwrap_or(0) as u64,
            waits: waits.len() as u64,
            waits_over: waits.iter().filter(|w| over(&w)).count() as u64,
            waited_over_us: waits.iter().filter(|w| over(&w)).map(length).sum(),
        }
    }

    fn person_outcome(
        &self,
        play: &Play,
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
            name: play.shop.crew[person].name.clone(),
            walked_nm: ended
                .iter()
                .filter(|w| w.person == person)
                .map(|w| w.distance)
                .sum(),
            walking_us: walking,
            handling_us: handling,
            working_us: working,
            // Whoever is away does not wait.
            waiting_us: play.there[person].until(end) - walking - handling - working,
        }
    }

    /// What the two clocks add.
    pub fn hours(&self, play: &Play, layout: &Layout, end: i64) -> Hours {
        let open = &play.shop.hours.open;
        let sums = |phase| {
            let stations = 0..play.shop.stations.len();
            stations
                .map(|s| sum(&self.stations, s, phase, end))
                .collect()
        };
        let there = play.there.iter();
        Hours {
            open_us: open.until(end),
            orders: play
                .orders
                .iter()
                .map(|order| {
                    let done = order.done?;
                    let shop_time = length(&open.between(order.released, done));
                    Some((shop_time, self.sessions(play, order.released, done)))
                })
                .collect(),
            shop_shut_us: (0..play.orders.len())
                .map(|order| play.shop_shut(order))
                .collect(),
            left_standing_us: sums(Phase::LeftStanding),
            blocked_us: sums(Phase::Blocked),
            serviced_us: sums(Phase::Serviced),
            gear_us: (0..play.shop.gear.len())
                .map(|kind| self.gear_taken(open, kind, end))
                .collect(),
            away_us: there
                .map(|there| open.until(end) - there.until(end))
                .collect(),
            forced: self.forced,
            put_aside: self.put_aside,
            going_nm: layout
                .from_door
                .as_ref()
                .map(|from_door| self.going(play, from_door, end)),
        }
    }

    /// How long gear is taken while the shop is open, each piece by itself.
    fn gear_taken(&self, open: &Times, kind: usize, end: i64) -> i128 {
        let changes = self.gear.iter().filter(|change| change.0 == kind);
        let from = |at: i64| i128::from(open.until(end) - open.until(at));
        changes
            .map(|&(_, amount, at)| i128::from(amount) * from(at))
            .sum()
    }

    /// Sessions in which work could be done between two moments.
    fn sessions(&self, play: &Play, from: i64, to: i64) -> u64 {
        let weeks = from / WEEK..=to / WEEK;
        let of_week = |week: i64| {
            let sessions = play.shop.hours.sessions.iter();
            let moved =
                move |session: &(i64, i64)| (session.0 + week * WEEK, session.1 + week * WEEK);
            sessions.map(moved)
        };
        let all = weeks.flat_map(of_week);
        all.filter(|&session| !both(&vec![session], &vec![(from, to)]).is_empty())
            .count() as u64
    }

    /// How far people walk from the door and back to it.
    ///
    /// Reading: somebody stands where their last walk led that has ended; an opening at the end of the run does not
    /// count, a closing does.
    fn going(&self, play: &Play, from_door: &[i64], end: i64) -> i64 {
        let mut all = 0;
        for (person, there) in play.there.iter().enumerate() {
            let stands = |moment: i64| {
                let walks = self.walks.iter();
                let mut walked = walks.filter(|walk| walk.person == person && walk.end <= moment);
                walked
                    .next_back()
                    .map_or(play.shop.crew[person].starts_at, |walk| walk.to)
            };
            for (comes, goes) in there.between(0, end + 1) {
                if comes < end {
                    all += from_door[stands(comes)];
                }
                if goes <= end && !there.hold(goes) {
                    all += from_door[stands(goes)];
                }
            }
        }
        all
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
