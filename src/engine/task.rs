//! A task from its claims to its end: fetching, work, cure, and what becomes of the lot.

use super::agenda::Event;
use super::bitset::Set;
use super::draws::{self, Purpose};
use super::phase::WorkPhase;
use super::prepared_shop::PreparedChoice;
use super::recorder::{Job, Recorder};
use super::seize::cure_ties_up;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::{Lot, Task};
use super::task_times::{CureTimes, TaskTimes};
use super::workers::Workers;
use crate::shop::{PersonId, StationId};
use crate::units::Moment;

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    /// Work that needs nobody.
    pub(super) fn start_alone(&mut self, lot: u32, station: StationId) {
        self.start_work(lot, Some(station), None);
    }

    /// Work that somebody does, or for which somebody brings something. A plain lot waits for one station.
    pub(super) fn start_manned(&mut self, lot: u32, station: Option<StationId>, person: PersonId) {
        self.start_work(lot, station, Some(person));
    }

    /// Claims what the task takes, and plans it to its end. Inlined, so that whether there is a person is settled.
    #[inline(always)]
    fn start_work(&mut self, slot: u32, station: Option<StationId>, person: Option<PersonId>) {
        let now = self.time();
        let lot = &mut self.state.lots[slot];
        if !S::PLAIN {
            lot.stamp += 1;
        }
        let lot = *lot;
        let choices = self.choices_from(lot.at);
        self.take_from_queues(slot, lot, choices, person.is_none());
        let choice = match station {
            Some(station) if !S::PLAIN => choice_of(choices, station),
            _ => &choices[0],
        };
        let station = choice.station;
        let work = choice.work;
        let job = job(slot, &lot, choice);
        self.recorder.task(&job, now);

        let (unit, setup) = self.seize_unit(slot, choice);
        self.seize_gear(work, lot.pieces);
        let stops = match S::STOPS && choice.has_run_stops {
            true => self.stops_in_run(choice, unit, &lot),
            false => Vec::new(),
        };
        let is_manned = work.people > 0 || !stops.is_empty();
        let mut begins = now;
        if let Some(person) = person {
            self.seize_person(person);
            let helpers = match work.people {
                2.. if !S::PLAIN => self.seize_helpers(choice, person),
                _ => None,
            };
            let mut carrier = self.carrier_to(person, station);
            self.clear_floor(&mut carrier, station);
            self.fetch(slot, &lot, &mut carrier, choice);
            self.roll_out(&mut carrier, station);
            begins = carrier.time;
            self.recorder.fetched(person, now, begins);
            self.note_arrival(person, begins);
            if !S::PLAIN {
                begins = begins.max(self.call_helpers(helpers, choice));
            }
            self.note_rolled_out(station, person);
            let person = &mut self.state.people[person.index()];
            person.place = choice.here;
            // In turn, nobody asks where the person last worked.
            if !S::IN_TURN {
                person.last_station = Some(station);
            }
            if !S::PLAIN {
                person.next_helper = helpers;
            }
        }
        if !S::PLAIN {
            self.plan_pick_ups(slot, begins);
            self.tell_arrivals(station, unit);
        }
        let workers = match person {
            Some(person) if !S::IN_TURN && !is_manned => {
                let brought = self.end_at(begins);
                self.state.agenda.plan(brought, Event::CarrierFree(person));
                None
            }
            workers => workers,
        };
        let team = self.team_at(choice, unit, workers);
        let mut set_up = begins;
        if let Some(setup) = setup {
            let setup = draws::setup(setup, lot.key, choice.step);
            set_up = self.work_until(&team, WorkPhase::Setup, begins, setup);
        }
        let lasts = draws::run(choice, lot.key, lot.pieces);
        let run = match workers {
            Some(person) if !stops.is_empty() => {
                let others = self.team(self.state.people[person.index()].next_helper);
                let people = (person, &*others, &team);
                self.run_with_stops((choice, unit), &stops, (set_up, lasts), people)
            }
            _ => self.work_until(&team, WorkPhase::Run, set_up, lasts),
        };
        let mut ends = run;
        if work.teardown.is_some() {
            let teardown = draws::once(&work.teardown, lot.key, choice.step, Purpose::Teardown);
            ends = self.work_until(&team, WorkPhase::Teardown, run, teardown);
        }
        let mut at_station = TaskTimes {
            station,
            unit,
            chosen: now,
            begins,
            set_up,
            run,
            ends,
            moments: None,
        };
        if S::HOURS && !S::PLAIN && work.after_hours && !is_manned {
            self.goes_on_while_shut(&mut at_station);
        }
        let working = match S::PLAIN {
            true => Workers::alone(workers),
            false => Workers::team(workers, &self.state.people),
        };
        self.recorder.work(&at_station, working);
        let spoiled = match S::PLAIN {
            true => 0,
            false => draws::spoiled(work, lot.key, choice.step, lot.pieces),
        };
        if self.is_forced(choice, (person, workers), (begins, ends)) {
            self.recorder.forced(&job, now);
        }
        let end = match at_station.moments {
            Some([.., end]) => end,
            None => self.end_at(ends),
        };
        let cured = match S::PLAIN {
            true => end,
            false => self.plan_cure(choice, &lot, &at_station, end, spoiled < lot.pieces),
        };
        self.recorder.told();
        let task = match S::IN_TURN {
            true => {
                self.state.unit_in_turn = unit;
                slot
            }
            false => self.state.tasks.put(|_| Task {
                lot: slot,
                pieces: lot.pieces,
                choice: Some(choice.number),
                unit,
                people: workers,
                spoiled,
                ends: cured,
            }),
        };
        if spoiled > 0 && run < ends {
            let run_ends = match at_station.moments {
                Some([.., run_ends, _]) => run_ends,
                None => self.end_at(run),
            };
            self.state.agenda.plan(run_ends, Event::RunEnds(task));
        }
        match S::IN_TURN {
            true => self.state.agenda.plan_in_turn(end, task),
            false => self.state.agenda.plan(end, Event::TaskEnds(task)),
        }
    }

    /// Work that is begun goes on from then on, whether the shop is open or not.
    fn goes_on_while_shut(&self, task: &mut TaskTimes) {
        let begins = self.end_at(task.begins);
        let moments = [task.begins, task.set_up, task.run, task.ends]
            .map(|time| begins + (time - task.begins));
        task.moments = Some(moments);
        [_, task.set_up, task.run, task.ends] = moments.map(|moment| self.time_of(moment));
    }

    /// The cure after work that ends at a moment, if there is anything `sound` to cure, and how long it ties up what the
    /// task has taken; returns its end.
    fn plan_cure(
        &mut self,
        choice: &PreparedChoice,
        lot: &Lot,
        at: &TaskTimes,
        end: Moment,
        sound: bool,
    ) -> Moment {
        let work = choice.work;
        let cured = match &work.cure {
            Some(cure) if sound => {
                let time = draws::cure(&cure.time, lot.key, choice.step);
                let shop = self.prepared.shop;
                match &shop.heat {
                    Some(heat) => heat.cured(time, cure.least, end, &shop.calendar),
                    None => end + time,
                }
            }
            _ => end,
        };
        self.hold_slots(choice, end, cured);
        let cured_time = match cured > end {
            true => self.time_of(cured),
            false => at.ends,
        };
        if let Some(cure) = &work.cure
            && cured > end
        {
            self.recorder.cure(&CureTimes {
                station: at.station,
                unit: cure.ties_up_station.then_some(at.unit),
                start: at.ends,
                end: cured_time,
                from: end,
                until: cured,
            });
        }
        for &(gear, count) in &work.gear {
            let count = count.of(lot.pieces);
            let (time, until) = match cure_ties_up(work, gear) {
                true if choice.takes_off && sound => {
                    self.keep_gear(gear, count, at.chosen);
                    continue;
                }
                true => (cured_time, cured),
                false => (at.ends, end),
            };
            let moments = (self.state.now, until);
            (self.recorder).gear(gear, count, (at.chosen, time), moments);
        }
        cured
    }

    /// Run and tear-down are over: the people are free, and what the cure does not tie up.
    #[inline(always)]
    pub(super) fn task_ends(&mut self, slot: u32) {
        let task = match S::IN_TURN {
            true => Task {
                lot: slot,
                pieces: 0,
                choice: Some(self.state.lots[slot].at),
                unit: self.state.unit_in_turn,
                people: None,
                spoiled: 0,
                ends: self.state.now,
            },
            false => self.state.tasks[slot],
        };
        let Some(choice) = task.choice else {
            return;
        };
        let choice = self.prepared.choice_at(choice);
        // Where one person does everything in turn, that the task is over says it.
        let mut worker = task.people.filter(|_| !S::IN_TURN);
        while let Some(person) = worker {
            self.release_person(person);
            worker = match S::PLAIN {
                true => None,
                false => self.state.people[person.index()].next_helper,
            };
        }
        if !S::PLAIN {
            self.picked_up(task.lot);
        }
        if !S::PLAIN && self.state.lots[task.lot].unassembled {
            self.use_up_inputs(task.lot);
        }
        if !S::PLAIN {
            self.state.lots[task.lot].place = choice.here;
        }
        if !S::PLAIN && task.spoiled > 0 {
            self.run_ends(slot);
        }
        let cure = choice.work.cure.as_ref().filter(|_| !S::PLAIN);
        if !cure.is_some_and(|cure| cure.ties_up_station) {
            self.leave_unit(task.lot, choice, task.unit);
        }
        self.give_back_gear(choice.work, task.pieces, false);
        if cure.is_some() && task.ends > self.state.now {
            self.state.agenda.plan(task.ends, Event::CureEnds(slot));
        } else {
            self.has_cured(slot, task, choice);
        }
    }

    pub(super) fn cure_ends(&mut self, slot: u32) {
        let task = self.state.tasks[slot];
        if let Some(choice) = task.choice {
            self.has_cured(slot, task, self.prepared.choice_at(choice));
        }
    }

    /// Somebody has to take off what the cure has tied up, or the operation is over.
    #[inline(always)]
    fn has_cured(&mut self, slot: u32, task: Task, choice: &PreparedChoice<'a>) {
        if S::STOPS && choice.takes_off && self.state.lots[task.lot].pieces > 0 {
            self.waits_to_be_taken_off(slot);
        } else {
            self.operation_ends(slot, task, choice);
        }
    }

    /// The lot is ready for what comes next, and all that a cure tied up is free.
    #[inline(always)]
    pub(super) fn operation_ends(&mut self, slot: u32, task: Task, choice: &PreparedChoice) {
        if !S::IN_TURN {
            self.state.tasks.give_back(slot);
        }
        if !S::PLAIN {
            let cure = choice.work.cure.as_ref();
            if cure.is_some_and(|cure| cure.ties_up_station) {
                self.leave_unit(task.lot, choice, task.unit);
            }
            self.give_back_gear(choice.work, task.pieces, true);
        }
        self.go_on(task.lot, choice.after, Some(choice.here));
    }

    /// The run is over: spoiled pieces begin anew while the sound ones go on.
    pub(super) fn run_ends(&mut self, slot: u32) {
        let task = &mut self.state.tasks[slot];
        let spoiled = std::mem::take(&mut task.spoiled);
        let lot = task.lot;
        if let Some(choice) = task.choice {
            self.replace_spoiled(lot, spoiled, self.prepared.choice_at(choice).step);
        }
    }

    /// A lot that is carried to where it is delivered.
    pub(super) fn delivery_job(&self, slot: u32, lot: &Lot) -> Job {
        let item = &self.prepared.items[lot.item as usize];
        Job {
            project: item.project,
            order: lot.number,
            item: item.id,
            batch: lot.batch,
            pieces: lot.pieces,
            operation: None,
            step: item.item.route.len() as u32,
            takes_off: false,
            lot_slot: slot,
            order_slot: lot.order,
        }
    }

    /// Brings a finished lot to where it is delivered to.
    pub(super) fn start_delivery(&mut self, slot: u32, person: PersonId) {
        let now = self.time();
        let lot = &mut self.state.lots[slot];
        lot.stamp += 1;
        let lot = *lot;
        let lots = &self.state.lots;
        let waiting = &mut self.state.deliveries[lot.place.index()];
        waiting.remove(slot, |lot, stamp| lots[lot].stamp == stamp);
        if waiting.is_empty() {
            self.state.delivery_places.remove(lot.place.index());
        }
        let job = self.delivery_job(slot, &lot);
        self.recorder.task(&job, now);
        self.seize_person(person);
        self.state.people[person.index()].next_helper = None;
        let mut carrier = self.carrier(person);
        self.roll_in_own(&mut carrier, None);
        self.deliver(slot, &lot, &mut carrier);
        self.plan_pick_ups(slot, carrier.time);
        self.recorder.fetched(person, now, carrier.time);
        if self.is_forced_by(person, carrier.time) {
            self.recorder.forced(&job, now);
        }
        self.recorder.told();
        self.state.people[person.index()].place = carrier.at;
        let delivered = self.end_at(carrier.time);
        let task = self.state.tasks.put(|_| Task {
            lot: slot,
            pieces: lot.pieces,
            choice: None,
            unit: 0,
            people: Some(person),
            spoiled: 0,
            ends: delivered,
        });
        self.state.agenda.plan(delivered, Event::Delivered(task));
    }

    pub(super) fn delivered(&mut self, slot: u32) {
        let Task { lot, people, .. } = self.state.tasks[slot];
        self.state.tasks.give_back(slot);
        self.picked_up(lot);
        if let Some(person) = people {
            self.release_person(person);
        }
        let item = self.prepared.items[self.state.lots[lot].item as usize].item;
        if let Some(place) = item.deliver_to {
            self.state.lots[lot].place = place;
        }
        self.lot_done(lot);
    }
}

#[inline]
pub(super) fn job(slot: u32, lot: &Lot, choice: &PreparedChoice) -> Job {
    Job {
        project: choice.project,
        order: lot.number,
        item: choice.id,
        batch: lot.batch,
        pieces: lot.pieces,
        operation: Some(choice.work.operation),
        step: choice.step,
        takes_off: false,
        lot_slot: slot,
        order_slot: lot.order,
    }
}

/// The choice of this station, which is among them.
#[inline]
fn choice_of<'s, 'a>(
    choices: &'s [PreparedChoice<'a>],
    station: StationId,
) -> &'s PreparedChoice<'a> {
    let of_station = choices.iter().find(|choice| choice.station == station);
    of_station.unwrap_or(&choices[0])
}
