//! Blades that get dull and drums that fill: upkeep falls due between two pieces, and whoever chose the task sees to it.
//!
//! What a task wears is counted when it is chosen, piece by piece, with the times that are drawn for it; whose task
//! reaches a limit sees to it behind that piece, the last one too.

use super::draws;
use super::fetch::Carrier;
use super::phase::{Doing, WorkPhase};
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use crate::floor::Manner;
use crate::shop::{Upkeep, WearLimit};
use crate::units::{Span, Time};

/// Upkeep that falls due after so much of a run, by its place among those of the station.
#[derive(Debug, Clone, Copy)]
pub(super) struct DueUpkeep {
    pub after: Span,
    pub nth: usize,
}

impl<'s, 'a, R: Recorder + ?Sized, S: Specialization> Simulation<'s, 'a, R, S> {
    fn upkeep(&self, choice: &PreparedChoice) -> &'a [Upkeep] {
        &self.prepared.shop.stations[choice.station].upkeep
    }

    /// Upkeep that falls due if a lot is worked on at a unit, and what will have been worn since of each.
    pub(super) fn upkeep_due(
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
                    WearLimit::Chips(limit) => (choice.work.chips.picolitres(), limit.picolitres()),
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

    /// Somebody fetches what upkeep takes and sees to it; says from when on they do.
    pub(super) fn serve(
        &mut self,
        choice: &PreparedChoice,
        nth: usize,
        server: &mut Carrier<'s>,
    ) -> Time {
        let upkeep = &self.upkeep(choice)[nth];
        let here = choice.here;
        if let Some(from) = upkeep.fetch_from.filter(|from| !self.is_at(*from, here)) {
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
}
