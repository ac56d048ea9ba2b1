//! One run as a page replays it: who is where and does what, moment by moment, as the trace tells it.
//!
//! Moments are whole microseconds of the calendar and lengths whole nanometres, so that whatever adds them up comes to
//! the figures of the run to the last digit.

use std::collections::BTreeMap;

use serde::Serialize;

use super::lots::{ReplayedLot, ReplayedLots};
use super::states::States;
use super::ways::{ReplayedWays, Way};
use crate::engine::{Doing, Occupied, Prepared, Run, simulate};
use crate::experiment::{Candidate, Failure, Settings, Study, decisions, trace};
use crate::floor::Plan;
use crate::metrics::{Totals, TraceLine, What};
use crate::report::follow::DecisionWords;
use crate::shop::{Calendar, Person, PersonId, PlaceId, Shop, StationId};
use crate::units::{Moment, Time};

/// One run on one layout.
#[derive(Debug, Serialize)]
pub struct Replay {
    pub candidate: String,
    /// Which run it is; the first is 1.
    pub replication: u32,
    pub begins: i64,
    pub ends: i64,
    /// Each session: when it opens and closes, and the shop time at its opening; none where the shop is always open.
    pub sessions: Vec<(i64, i64, i64)>,
    pub people: Vec<PersonTrack>,
    pub stations: Vec<StationTrack>,
    pub gear: Vec<GearTrack>,
    pub lots: Vec<ReplayedLot>,
    /// What is decided at a moment, as `run --explain` says it.
    pub decisions: Vec<(i64, String)>,
    pub operations: Vec<String>,
    /// Names of stations and doors.
    pub places: Vec<String>,
    /// Where one stands at each place, in metres.
    pub standing: Vec<Option<(f64, f64)>>,
    pub ways: Vec<Way>,
    pub orders: Vec<OrderTrack>,
    pub figures: RunFigures,
}

/// What the run comes to, as the totals have it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RunFigures {
    pub walking_m: f64,
    /// The mean of the orders done.
    pub lead_time_s: Option<f64>,
    pub orders_done: u64,
}

#[derive(Debug, Serialize)]
pub struct PersonTrack {
    pub name: String,
    /// Index of the place at which the run finds them.
    pub starts_at: u32,
    pub phases: Vec<PersonPhase>,
    /// When they are not there, though the shop is open.
    pub away: Vec<(i64, i64)>,
}

/// Beginning, end, state, lot, operation, the place where it happens or to which somebody walks, the way there, and the
/// nanometres that count as walked at its end; states, lots, operations, places and ways by index.
#[derive(Debug, Serialize)]
pub struct PersonPhase(
    pub i64,
    pub i64,
    pub usize,
    pub Option<usize>,
    pub Option<u32>,
    pub u32,
    pub Option<usize>,
    pub i64,
);

#[derive(Debug, Default, Serialize)]
pub struct StationTrack {
    pub name: String,
    pub units: u32,
    pub phases: Vec<UnitPhase>,
    /// Lots that cure while the station is free for others.
    pub set_aside: Vec<(i64, i64, usize)>,
    /// From when on so many lots wait.
    pub queue: Vec<(i64, u32)>,
}

/// Beginning, end, state, lot, operation and unit.
#[derive(Debug, Serialize)]
pub struct UnitPhase(
    pub i64,
    pub i64,
    pub usize,
    pub Option<usize>,
    pub Option<u32>,
    pub u32,
);

#[derive(Debug, Serialize)]
pub struct GearTrack {
    pub name: String,
    pub count: u32,
    /// From when to when how many are taken.
    pub taken: Vec<(i64, i64, u32)>,
}

#[derive(Debug, Serialize)]
pub struct OrderTrack {
    pub project: String,
    pub released: i64,
    pub done: Option<i64>,
    /// Whether its time from start to finish is one of those that the figures are made of.
    pub counts: bool,
}

/// Plays one run of a candidate, the first of which is 0, for a floor on which it is shown.
///
/// # Errors
/// If the run gets stuck.
pub fn play_replay(
    study: &Study,
    index: usize,
    replication: u32,
    (floor, states): (&Plan, &States),
) -> Result<Replay, Failure> {
    let candidate = &study.candidates[index];
    let figures = figures(study, candidate, replication)?;
    let mut tape = Tape::new(candidate, &study.settings, floor, states);
    trace(study, index, replication, |line| tape.hear(line))?;
    let mut replay = tape.into_replay(replication, figures);
    let words = DecisionWords::new(study, index);
    decisions(study, index, replication, |instant| {
        let told = (instant.now.micros(), words.instant(instant));
        replay.decisions.push(told);
    })?;
    Ok(replay)
}

/// What the recorder of all figures hears of the same run.
fn figures(study: &Study, candidate: &Candidate, replication: u32) -> Result<RunFigures, Failure> {
    let Settings {
        seed,
        until,
        warm_up,
        ..
    } = study.settings;
    let shop = &candidate.shop;
    let run = Run {
        seed,
        replication,
        until,
    };
    let prepared = Prepared::new(shop, &candidate.walks);
    let mut totals = Totals::new(shop, candidate.walks.places(), warm_up, until);
    simulate(&prepared, &run, &mut totals).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    let record = totals.into_record();
    Ok(RunFigures {
        walking_m: record.walking().metres(),
        lead_time_s: record.mean_lead_time(),
        orders_done: record.orders_done(),
    })
}

/// Takes down what a trace tells.
struct Tape<'s> {
    candidate: &'s Candidate,
    shop: &'s Shop,
    states: &'s States,
    floor: &'s Plan,
    /// From when on walks and orders count.
    measured: (Time, Moment),
    people: Vec<PersonTrack>,
    stations: Vec<StationTrack>,
    gear: Vec<GearTrack>,
    lots: ReplayedLots,
    ways: ReplayedWays,
    orders: BTreeMap<u64, OrderTrack>,
    end: Moment,
}

impl<'s> Tape<'s> {
    fn new(
        candidate: &'s Candidate,
        settings: &Settings,
        floor: &'s Plan,
        states: &'s States,
    ) -> Tape<'s> {
        let shop = &*candidate.shop;
        let warm = Moment::START + settings.warm_up;
        let people = shop.crew.iter().map(|person| PersonTrack {
            name: person.name.clone(),
            starts_at: person.starts_at.0,
            phases: Vec::new(),
            away: Vec::new(),
        });
        let stations = shop.stations.iter().map(|station| StationTrack {
            name: station.name.clone(),
            units: station.count,
            ..StationTrack::default()
        });
        let gear = shop.gear.iter().map(|gear| GearTrack {
            name: gear.name.clone(),
            count: gear.count,
            taken: Vec::new(),
        });
        Tape {
            candidate,
            shop,
            states,
            floor,
            measured: (shop.calendar.time(warm), shop.begins().max(warm)),
            people: people.collect(),
            stations: stations.collect(),
            gear: gear.collect(),
            lots: ReplayedLots::default(),
            ways: ReplayedWays::default(),
            orders: BTreeMap::new(),
            end: Moment::START,
        }
    }

    fn hear(&mut self, line: &TraceLine) {
        match line.what {
            What::Released { project, order } => {
                let released = OrderTrack {
                    project: self.shop.projects[project].name.clone(),
                    released: line.start.micros(),
                    done: None,
                    counts: false,
                };
                self.orders.insert(order, released);
            }
            What::Done { order, .. } => {
                if let Some(track) = self.orders.get_mut(&order) {
                    track.done = Some(line.start.micros());
                    track.counts = line.start >= self.measured.1;
                }
            }
            What::Phase { of, doing } => self.phase(line, of, doing),
            What::Queued { station } => self.queue(station, line.start, 1),
            What::Unqueued { station, .. } => self.queue(station, line.start, -1),
            What::Chosen => {}
            What::End => self.end = line.start,
        }
    }

    fn phase(&mut self, line: &TraceLine, of: Occupied, doing: Doing) {
        let (start, end) = (line.start.micros(), line.cut.unwrap_or(line.end).micros());
        if end <= start {
            return;
        }
        let state = self.states.of(doing);
        let lot = line.job.map(|job| self.lots.number(self.shop, &job));
        let operation = line.job.and_then(|job| job.operation).map(|id| id.0);
        match of {
            Occupied::Person(person) => {
                let (place, way, walked) = self.whereabouts(line, person, doing);
                let phase = PersonPhase(start, end, state, lot, operation, place.0, way, walked);
                self.people[person.index()].phases.push(phase);
            }
            Occupied::Unit(station, unit) => {
                let phase = UnitPhase(start, end, state, lot, operation, unit);
                self.stations[station.index()].phases.push(phase);
            }
            Occupied::SetAside(station) => {
                let lots = &mut self.stations[station.index()].set_aside;
                lots.extend(lot.map(|lot| (start, end, lot)));
            }
            Occupied::Gear(gear, amount) => {
                self.gear[gear.index()].taken.push((start, end, amount));
            }
        }
    }

    /// The place of a phase, the way to it, and how much of that counts as walked when it ends.
    fn whereabouts(
        &mut self,
        line: &TraceLine,
        person: PersonId,
        doing: Doing,
    ) -> (PlaceId, Option<usize>, i64) {
        match doing {
            Doing::Walk {
                manner,
                from,
                to,
                distance,
            } => {
                let calendar = &self.shop.calendar;
                let counts = line.cut.is_none() && calendar.time(line.end) >= self.measured.0;
                let walked = distance.nanometres();
                let way = self.ways.number((from, to, manner), walked);
                (to, way, if counts { walked } else { 0 })
            }
            Doing::Handle { at, .. } => (at, None, 0),
            Doing::Work { at, .. } => {
                let there = self.shop.stood_at(at, self.last_place(person));
                (there, None, 0)
            }
            Doing::Reserved
            | Doing::Cure
            | Doing::Blocked
            | Doing::Serviced
            | Doing::LeftStanding
            | Doing::Taken => (self.last_place(person), None, 0),
        }
    }

    fn last_place(&self, person: PersonId) -> PlaceId {
        let track = &self.people[person.index()];
        let last = track.phases.last().map(|phase| phase.5);
        PlaceId(last.unwrap_or(track.starts_at))
    }

    fn queue(&mut self, station: StationId, at: Moment, by: i32) {
        let queue = &mut self.stations[station.index()].queue;
        let waiting = queue
            .last()
            .map_or(0, |last| last.1)
            .saturating_add_signed(by);
        match queue.last_mut().filter(|last| last.0 == at.micros()) {
            Some(last) => last.1 = waiting,
            None => queue.push((at.micros(), waiting)),
        }
    }

    fn into_replay(self, replication: u32, figures: RunFigures) -> Replay {
        let Tape {
            shop, floor, end, ..
        } = self;
        let crew = shop.crew.iter().zip(self.people);
        let people = crew.map(|(person, mut track)| {
            track.phases.sort_by_key(|phase| (phase.0, phase.1));
            track.away = away(&shop.calendar, person, end);
            track
        });
        let stations = self.stations.into_iter().map(|mut track| {
            // What was open is told at its end.
            track.phases.sort_by_key(|phase| (phase.0, phase.1));
            track
        });
        let places = (0..shop.places() as u32).map(PlaceId);
        let standing = places.clone().map(|place| {
            let at = floor.standing(place)?;
            Some((at.x, at.y))
        });
        Replay {
            candidate: self.candidate.name.clone(),
            replication: replication + 1,
            begins: shop.begins().min(end).micros(),
            ends: end.micros(),
            sessions: sessions(&shop.calendar, end),
            people: people.collect(),
            stations: stations.collect(),
            gear: self.gear,
            lots: self.lots.all(),
            decisions: Vec::new(),
            operations: shop.operations.iter().cloned().collect(),
            places: places
                .map(|place| shop.place_name(place).to_owned())
                .collect(),
            standing: standing.collect(),
            ways: self.ways.on_floor(self.candidate, floor),
            orders: self.orders.into_values().collect(),
            figures,
        }
    }
}

/// The sessions of a run that ends at a moment.
fn sessions(calendar: &Calendar, end: Moment) -> Vec<(i64, i64, i64)> {
    let numbers = 0..;
    let sessions = numbers.map_while(|number| calendar.session_numbered(number));
    let sessions = sessions.take_while(|session| session.opens < end);
    sessions
        .map(|session| {
            let [opens, closes] = [session.opens, session.closes].map(Moment::micros);
            (opens, closes, session.from.micros())
        })
        .collect()
}

/// When somebody with hours of their own is not there in a run that ends at a moment.
fn away(calendar: &Calendar, person: &Person, end: Moment) -> Vec<(i64, i64)> {
    let Some(hours) = &person.hours else {
        return Vec::new();
    };
    let until = calendar.time(end);
    let mut since = Time::START;
    let mut away = Vec::new();
    for (from, to) in hours
        .between(Time::START, until)
        .into_iter()
        .chain([(until, until)])
    {
        if from > since {
            let [start, end] = [calendar.beginning_at(since), calendar.end_at(from)];
            away.push((start.micros(), end.micros()));
        }
        since = to;
    }
    away
}

impl Replay {
    /// What people and stations do in it, by number.
    pub fn states(&self) -> impl Iterator<Item = usize> + '_ {
        let people = self.people.iter().flat_map(|person| &person.phases);
        let stations = self.stations.iter().flat_map(|station| &station.phases);
        people
            .map(|phase| phase.2)
            .chain(stations.map(|phase| phase.2))
    }

    /// How many phases are told of in it.
    pub fn phases(&self) -> usize {
        let people = self.people.iter().map(|person| person.phases.len());
        let stations = self.stations.iter();
        let stations = stations.map(|of| of.phases.len() + of.set_aside.len() + of.queue.len());
        let gear = self.gear.iter().map(|gear| gear.taken.len());
        let decisions = [self.decisions.len()];
        people.chain(stations).chain(gear).chain(decisions).sum()
    }
}
