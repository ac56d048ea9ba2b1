//! What interrupts the work of a run: upkeep that falls due between two pieces, and who works alone and walks around the
//! machine, which runs on, for what has come out of it.
//!
//! All of it is known when the task is chosen, so a run with stops is told to its end like any other one.

use super::draws;
use super::fetch::Carrier;
use super::interrupt::WorkingTeam;
use super::phase::{Doing, Occupied, WorkPhase};
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use super::task_times::{StopKind, StopTimes};
use super::upkeep::DueUpkeep;
use crate::floor::Manner;
use crate::shop::{PersonId, PlaceId};
use crate::units::{Span, Time};

/// A stop after so much of a run.
#[derive(Debug, Clone, Copy)]
pub(super) struct RunStop {
    after: Span,
    what: Stop,
}

#[derive(Debug, Clone, Copy)]
enum Stop {
    /// Upkeep, by its place among those of the station.
    Upkeep(usize),
    /// What has come out is taken here and brought back.
    WalkAround(PlaceId),
}

impl Stop {
    fn kind(self) -> StopKind {
        match self {
            Stop::Upkeep(_) => StopKind::Upkeep,
            Stop::WalkAround(_) => StopKind::WalkAround,
        }
    }
}

impl<'s, 'a, R: Recorder + ?Sized, S: Specialization> Simulation<'s, 'a, R, S> {
    /// What stops the run of a task, counting what the task wears.
    #[inline(never)]
    pub(super) fn stops_in_run(
        &mut self,
        choice: &PreparedChoice,
        unit: u32,
        lot: &Lot,
    ) -> Vec<RunStop> {
        let due = self.wear(choice, unit, lot);
        in_order(choice, lot, due)
    }

    /// How long what stops the run would keep somebody if a lot were worked on now, if anything does.
    pub(super) fn stops_would_take(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: PersonId,
    ) -> Option<Span> {
        let (unit, _) = self.unit_for(slot, choice);
        let lot = self.state.lots[slot];
        let (due, _) = self.upkeep_due(choice, unit, &lot);
        let stops = in_order(choice, &lot, due);
        let begins = self.time();
        let mut worker = Carrier {
            at: choice.here,
            ..self.carrier_if(person)
        };
        for stop in &stops {
            self.see_to(choice, stop.what, &mut worker);
        }
        (!stops.is_empty()).then(|| worker.time - begins)
    }

    /// Somebody does what interrupts the work; says from when on it is upkeep.
    fn see_to(&mut self, choice: &PreparedChoice, what: Stop, worker: &mut Carrier<'s>) -> Time {
        match what {
            Stop::Upkeep(nth) => self.serve(choice, nth, worker),
            Stop::WalkAround(to) => {
                self.walk(worker, Manner::Empty, to);
                self.carry(worker, choice.here);
                worker.time
            }
        }
    }

    /// The run of a task with what stops it, told: somebody sees to that, the others wait; returns when it is over.
    pub(super) fn run_with_stops(
        &mut self,
        (choice, unit): (&PreparedChoice, u32),
        stops: &[RunStop],
        (begins, run): (Time, Span),
        (person, others, team): (PersonId, &[PersonId], &Option<WorkingTeam>),
    ) -> Time {
        let mut worker = Carrier {
            at: choice.here,
            time: begins,
            ..self.carrier_to(person, choice.station)
        };
        let mut done = Span::ZERO;
        for &RunStop { after, what } in stops {
            worker.time = self.work_until(team, WorkPhase::Run, worker.time, after - done);
            done = after;
            let start = worker.time;
            let served_from = self.see_to(choice, what, &mut worker);
            let within = Doing::Work {
                phase: match what.kind() {
                    StopKind::Upkeep => WorkPhase::Service,
                    StopKind::WalkAround => WorkPhase::Run,
                },
                at: choice.station,
            };
            let of = Occupied::Unit(choice.station, unit);
            self.tell_interruptions(of, within, worker.times, (start, worker.time));
            let times = StopTimes {
                kind: what.kind(),
                station: choice.station,
                unit,
                start,
                served_from,
                end: worker.time,
            };
            self.recorder.stopped(&times, person, others);
        }
        self.work_until(team, WorkPhase::Run, worker.time, run - done)
    }
}

/// All that stops a run, in the order of time: what has come out is taken before anything else is seen to.
fn in_order(choice: &PreparedChoice, lot: &Lot, due: Vec<DueUpkeep>) -> Vec<RunStop> {
    let mut stops = walks_around(choice, lot);
    stops.extend(due.into_iter().map(|DueUpkeep { after, nth }| RunStop {
        after,
        what: Stop::Upkeep(nth),
    }));
    stops.sort_by_key(|stop| stop.after);
    stops
}

/// Where somebody alone walks around the machine after each pass: the passes of a piece take alike long.
fn walks_around(choice: &PreparedChoice, lot: &Lot) -> Vec<RunStop> {
    let Some(catching) = choice.work.walks_around() else {
        return Vec::new();
    };
    let mut begins = Span::ZERO;
    let mut stops = Vec::new();
    for ends in draws::run_by_piece(choice, lot.key, lot.pieces) {
        let takes = (ends - begins).micros();
        for pass in 1..=i64::from(catching.passes) {
            let after = takes * pass / i64::from(catching.passes);
            stops.push(RunStop {
                after: begins + Span::from_micros(after),
                what: Stop::WalkAround(catching.at),
            });
        }
        begins = ends;
    }
    stops
}
