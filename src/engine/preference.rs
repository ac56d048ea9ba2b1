//! The values by which people choose.

use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::{ChooseNext, PlaceId, StationId};

impl<R: Recorder, S: Specialization> Simulation<'_, '_, R, S> {
    /// By what people choose, of a lot at the station that offers it; the smallest is taken.
    pub(super) fn rule_value(&self, person: usize, lot: u32, station: StationId) -> i64 {
        let waiting = &self.state.lots[lot];
        match self.prepared.shop.rules.choose {
            ChooseNext::FirstCome => waiting.ready.micros(),
            ChooseNext::Nearest => self.walk_to(person, self.fetched_first(lot, station)),
            ChooseNext::LongestQueue => -self.lots_waiting(station),
            ChooseNext::ShortestWork => {
                let choices = self.prepared.choices_from(waiting.at);
                let choice = choices
                    .iter()
                    .find(|choice| choice.station == station)
                    .unwrap_or(&choices[0]);
                choice.expected_run(waiting.pieces)
            }
            ChooseNext::MostWorkLeft => -self.prepared.work_left(waiting.at, waiting.pieces),
            ChooseNext::DueDate => self.due(waiting),
        }
    }

    fn lots_waiting(&self, station: StationId) -> i64 {
        let (manned, unmanned) = (&self.prepared.manned, &self.prepared.unmanned);
        let queues = manned[station.index()]
            .iter()
            .chain(&unmanned[station.index()]);
        queues
            .map(|&queue| self.state.queues[queue].len() as i64)
            .sum()
    }

    /// A delivery counts as no work, and as a queue of one; from one place, all are equally near.
    pub(super) fn delivery_value(&self, lot: u32) -> i64 {
        let waiting = &self.state.lots[lot];
        match self.prepared.shop.rules.choose {
            ChooseNext::FirstCome => waiting.ready.micros(),
            ChooseNext::LongestQueue => -1,
            ChooseNext::Nearest | ChooseNext::ShortestWork | ChooseNext::MostWorkLeft => 0,
            ChooseNext::DueDate => self.due(waiting),
        }
    }

    pub(super) fn walk_to(&self, person: usize, place: PlaceId) -> i64 {
        let travel = self.travel;
        travel
            .distance(self.state.people[person].place, place)
            .nanometres()
    }

    /// Where somebody goes first to bring a lot to a station: to the lot, or to the first input of an assembly that
    /// is not yet there.
    pub(super) fn fetched_first(&self, lot: u32, station: StationId) -> PlaceId {
        let here = PlaceId::from(station);
        let waiting = &self.state.lots[lot];
        if !waiting.unassembled {
            return waiting.place;
        }
        self.inputs_of(lot)
            .map(|input| self.state.lots[input].place)
            .find(|&place| place != here)
            .unwrap_or(here)
    }
}
