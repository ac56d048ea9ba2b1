//! The values by which stations rank lots, and by which people choose.

use super::prepared_shop::{Next, PreparedChoice, PreparedShop};
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::{ChooseNext, PlaceId, QueueRule, StationId};
use crate::units::Span;

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
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
            .filter(|&&queue| S::PLAIN || self.counts_in_queue(queue))
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
        let from = self.state.people[person].place;
        self.distance_now(from, place).nanometres()
    }

    /// Where somebody goes first to bring a lot to a station: to the lot, or to the first input of an assembly that
    /// is not yet there.
    pub(super) fn fetched_first(&self, lot: u32, station: StationId) -> PlaceId {
        let waiting = &self.state.lots[lot];
        let lies_there = S::PLAIN || self.prepared.shop.work_stands.is_empty();
        if lies_there && !waiting.unassembled {
            return waiting.place;
        }
        let here = self.place_of_work(lot, station);
        if !waiting.unassembled {
            // Nobody goes to what lies elsewhere at the station.
            let is_here = self.is_at(waiting.place, here);
            return if is_here { here } else { waiting.place };
        }
        self.inputs_of(lot)
            .map(|input| self.state.lots[input].place)
            .find(|&place| !self.is_at(place, here))
            .unwrap_or(here)
    }

    /// Where one stands for what a lot waits for, at a station that can do it.
    pub(super) fn place_of_work(&self, lot: u32, station: StationId) -> PlaceId {
        if self.prepared.shop.work_stands.is_empty() {
            return station.into();
        }
        let choices = self.prepared.choices_from(self.state.lots[lot].at);
        let here = choices.iter().find(|choice| choice.station == station);
        here.map_or(station.into(), |choice| choice.here)
    }
}

impl PreparedShop<'_> {
    /// The value by which the shop's queue rule ranks a lot at a station; the smallest goes first. `first` is the
    /// first choice of the lot's step.
    #[inline]
    pub(super) fn queue_value(
        &self,
        first: u32,
        choice: &PreparedChoice,
        pieces: u32,
        ready: i64,
        due: i64,
    ) -> i64 {
        match self.shop.rules.queue {
            QueueRule::Fifo => ready,
            QueueRule::Spt => choice.expected_run(pieces),
            QueueRule::Lpt => -choice.expected_run(pieces),
            QueueRule::Mwkr => -self.work_left(first, pieces),
            QueueRule::Edd => due,
        }
    }

    /// Expected run time from this step to the end of the route in microseconds, each rounded; where several
    /// stations can do a step, the first in the file counts.
    pub(super) fn work_left(&self, first: u32, pieces: u32) -> i64 {
        let mut sum = 0;
        let mut next = Next::Step(first);
        while let Next::Step(first) = next {
            let choice = self.choice_at(first);
            sum += choice.expected_run(pieces);
            next = choice.after;
        }
        sum
    }
}

impl PreparedChoice<'_> {
    /// Expected run time at the station in microseconds. Rounded, so that sums of the same duration that were added
    /// up in another order still tie.
    pub(super) fn expected_run(&self, pieces: u32) -> i64 {
        Span::from_seconds(self.work.expected_run(pieces)).micros()
    }
}
