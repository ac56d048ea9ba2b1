//! Blades that get dull and drums that fill: upkeep falls due between two pieces, and whoever chose the task sees to it.
//!
//! What a task wears is counted when it is chosen, piece by piece, with the times that are drawn for it; whose task
//! reaches a limit sees to it behind that piece, the last one too.

use super::draws;
use super::fetch::Carrier;
use super::interrupt::WorkingTeam;
use super::phase::{Doing, Occupied, WorkPhase};
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use super::task_times::ServiceTimes;
use crate::floor::Manner;
use crate::shop::{PersonId, PlaceId, Upkeep, WearLimit};
use crate::units::{Span, Time};

/// Upkeep that falls due after so much of a run, by its place among those of the station.
#[derive(Debug, Clone, Copy)]
pub(super) struct DueUpkeep {
    after: Span,
    nth: usize,
}

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    fn upkeep(&self, choice: &PreparedChoice) -> &'a [Upkeep] {
        &self.prepared.shop.stations[choice.station].upkeep
    }

    /// Upkeep that falls due if a lot is worked on at a unit, and what will have been worn since of each.
    fn upkeep_due(
        &self,
        choice: &PreparedChoice,
        unit: usize,
        lot: &Lot,
    ) -> (Vec<DueUpkeep>, Vec<i64>) {
        let upkeep = self.upkeep(choice);
        let place = |nth| self.prepared.wear.place(choice.station, unit, nth);
        let mut worn: Vec<i64> = (0..upkeep.len())
            .map(|nth| self.state.worn[place(nth)])
            .collect();
        let mut due = Vec::new();
        let mut before = Span::ZERO;
        for after in draws::run_by_piece(choice, lot.key, lot.pieces) {
            for (nth, upkeep) in upkeep.iter().enumerate() {
                let (more, limit) = match upkeep.every {
                    WearLimit::RunTime(limit) => ((after - before).micros(), limit.micros()),
                    WearLimit::Length(limit) => {
                        (choice.work.length_cut.nanometres(), limit.nanometres())
                    }
                };
                worn[nth] = worn[nth].saturating_add(more);
                if worn[nth] >= limit {
                    worn[nth] = 0;
                    due.push(DueUpkeep { after, nth });
                }
            }
            before = after;
        }
        (due, worn)
    }

    /// Whether upkeep falls due if a lot is worked on now.
    pub(super) fn brings_upkeep(&self, slot: u32, choice: &PreparedChoice<'a>) -> bool {
        let (unit, _) = self.unit_for(slot, choice);
        !self
            .upkeep_due(choice, unit, &self.state.lots[slot])
            .0
            .is_empty()
    }

    /// Counts what a task wears, and says what falls due in it.
    #[inline(never)]
    pub(super) fn wear(&mut self, choice: &PreparedChoice, unit: u32, lot: &Lot) -> Vec<DueUpkeep> {
        let (due, worn) = self.upkeep_due(choice, unit as usize, lot);
        for (nth, worn) in worn.into_iter().enumerate() {
            let place = self.prepared.wear.place(choice.station, unit as usize, nth);
            self.state.worn[place] = worn;
        }
        due
    }

    /// How long it takes somebody to see to all that falls due if a lot is worked on now, if anything does.
    pub(super) fn upkeep_would_take(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: PersonId,
    ) -> Option<Span> {
        let (unit, _) = self.unit_for(slot, choice);
        let (due, _) = self.upkeep_due(choice, unit, &self.state.lots[slot]);
        let begins = self.time();
        let mut server = Carrier {
            at: PlaceId::from(choice.station),
            ..self.carrier_if(person)
        };
        let is_due = !due.is_empty();
        for due in due {
            self.serve(choice, due, &mut server);
        }
        is_due.then(|| server.time - begins)
    }

    /// Somebody fetches what upkeep takes and sees to it; says from when on they do.
    fn serve(&mut self, choice: &PreparedChoice, due: DueUpkeep, server: &mut Carrier) -> Time {
        let upkeep = &self.upkeep(choice)[due.nth];
        let here = PlaceId::from(choice.station);
        if let Some(from) = upkeep.fetch_from.filter(|from| *from != here) {
            self.walk(server, Manner::Empty, from);
            self.carry(server, here);
        }
        let from = server.time;
        let serves = Doing::Work {
            phase: WorkPhase::Service,
            at: choice.station,
        };
        server.time = self.carrier_until(server, serves, upkeep.time);
        from
    }

    /// The run of a task with the upkeep in it, told: somebody sees to it, the others wait; returns when it is over.
    pub(super) fn run_with_upkeep(
        &mut self,
        (choice, unit): (&PreparedChoice, u32),
        due: &[DueUpkeep],
        (begins, run): (Time, Span),
        (person, others, team): (PersonId, &[PersonId], &Option<WorkingTeam>),
    ) -> Time {
        let mut server = Carrier {
            at: PlaceId::from(choice.station),
            time: begins,
            ..self.carrier_to(person, choice.station)
        };
        let mut done = Span::ZERO;
        for &due in due {
            server.time = self.work_until(team, WorkPhase::Run, server.time, due.after - done);
            done = due.after;
            let start = server.time;
            let served_from = self.serve(choice, due, &mut server);
            let serves = Doing::Work {
                phase: WorkPhase::Service,
                at: choice.station,
            };
            let of = Occupied::Unit(choice.station, unit);
            self.tell_interruptions(of, serves, server.times, (start, server.time));
            let times = ServiceTimes {
                station: choice.station,
                unit,
                start,
                served_from,
                end: server.time,
            };
            self.recorder.serviced(&times, person, others);
        }
        self.work_until(team, WorkPhase::Run, server.time, run - done)
    }
}
