//! Tasks that fit nowhere: they are begun all the same, and stand still while somebody is away whom they need, or while a
//! station must not be run.
//!
//! Whoever walks or handles something stands still for themselves; what is worked on together, for all of them. All of
//! it is told before the phase that it interrupts.

use super::fetch::Carrier;
use super::phase::{Doing, Occupied, WorkPhase};
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::task_times::Interruption;
use super::workers::Workers;
use crate::shop::{PersonId, StationId, WeeklyTimes};
use crate::units::{Span, Time};

/// A unit and those who work at it, where they may be interrupted.
#[derive(Debug)]
pub(super) struct WorkingTeam {
    station: StationId,
    unit: u32,
    people: Vec<PersonId>,
    /// When the work goes on.
    times: WeeklyTimes,
}

impl<'s, R: Recorder + ?Sized, S: Specialization> Simulation<'s, '_, R, S> {
    /// Whether anything but closing may interrupt tasks.
    #[inline(always)]
    pub(super) fn may_stand_still(&self) -> bool {
        S::HOURS && !S::PLAIN && self.prepared.may_not_fit
    }

    /// When somebody goes on with what they do for a station, or for none; None if always.
    #[inline(always)]
    pub(super) fn goes_on(
        &self,
        person: PersonId,
        station: Option<StationId>,
    ) -> Option<&'s WeeklyTimes> {
        match self.may_stand_still() {
            true => self.prepared.hours.goes_on(person, station),
            false => None,
        }
    }

    /// Who works at a unit, where anything but closing may interrupt them.
    #[inline(always)]
    pub(super) fn team_at(
        &self,
        choice: &PreparedChoice,
        unit: u32,
        first: Option<PersonId>,
    ) -> Option<WorkingTeam> {
        match self.may_stand_still() && !choice.always_fits {
            true => self.interrupted_team(choice.station, unit, first),
            false => None,
        }
    }

    #[inline(never)]
    fn interrupted_team(
        &self,
        station: StationId,
        unit: u32,
        first: Option<PersonId>,
    ) -> Option<WorkingTeam> {
        let people = self.team(first);
        let times = self.prepared.hours.go_on_together(&people, station)?;
        Some(WorkingTeam {
            station,
            unit,
            people,
            times,
        })
    }

    /// Somebody and those who are linked to them as helpers.
    pub(super) fn team(&self, first: Option<PersonId>) -> Vec<PersonId> {
        Workers::team(first, &self.state.people).collect()
    }

    /// When a phase of some work is over that lasts so long.
    #[inline(always)]
    pub(super) fn work_until(
        &mut self,
        team: &Option<WorkingTeam>,
        phase: WorkPhase,
        from: Time,
        lasts: Span,
    ) -> Time {
        match team {
            Some(team) if S::HOURS && !S::PLAIN => self.team_until(team, phase, from, lasts),
            _ => from + lasts,
        }
    }

    #[inline(never)]
    fn team_until(
        &mut self,
        team: &WorkingTeam,
        phase: WorkPhase,
        from: Time,
        lasts: Span,
    ) -> Time {
        let end = team.times.after(from, lasts);
        let within = Doing::Work {
            phase,
            at: team.station,
        };
        let unit = Occupied::Unit(team.station, team.unit);
        let people = team.people.iter().map(|&person| Occupied::Person(person));
        for of in people.chain([unit]) {
            self.tell_interruptions(of, within, Some(&team.times), (from, end));
        }
        end
    }

    /// When something is over that somebody does who is on the way.
    #[inline(always)]
    pub(super) fn carrier_until(&mut self, carrier: &Carrier, within: Doing, lasts: Span) -> Time {
        match carrier.times {
            Some(times) if S::HOURS && !S::PLAIN => {
                let end = times.after(carrier.time, lasts);
                let person = Occupied::Person(carrier.person);
                self.tell_interruptions(person, within, Some(times), (carrier.time, end));
                end
            }
            _ => carrier.time + lasts,
        }
    }

    /// Tells when somebody or something stands still that goes on at these times.
    #[inline(never)]
    pub(super) fn tell_interruptions(
        &mut self,
        of: Occupied,
        within: Doing,
        times: Option<&WeeklyTimes>,
        (from, to): (Time, Time),
    ) {
        for (start, end) in times.map_or(Vec::new(), |times| times.other_times().between(from, to))
        {
            self.recorder.interrupted(&Interruption {
                of,
                within,
                start,
                end,
            });
        }
    }

    /// Notes when somebody will be at the station who has been chosen for some work.
    #[inline(always)]
    pub(super) fn note_arrival(&mut self, person: PersonId, arrives: Time) {
        if self.may_stand_still() {
            self.state.arrivals.push((person, arrives));
        }
    }

    /// Tells when the unit stands still because somebody does who is on the way to it.
    #[inline(always)]
    pub(super) fn tell_arrivals(&mut self, station: StationId, unit: u32) {
        if self.may_stand_still() {
            self.tell_noted_arrivals(station, unit);
        }
    }

    fn tell_noted_arrivals(&mut self, station: StationId, unit: u32) {
        let now = self.time();
        let mut away: Vec<(Time, Time)> = Vec::new();
        for (person, arrives) in std::mem::take(&mut self.state.arrivals) {
            if let Some(times) = self.goes_on(person, Some(station)) {
                away.extend(times.other_times().between(now, arrives));
            }
        }
        away.sort_unstable();
        let mut from = now;
        for (start, end) in away {
            if end > from {
                self.recorder.interrupted(&Interruption {
                    of: Occupied::Unit(station, unit),
                    within: Doing::Reserved,
                    start: start.max(from),
                    end,
                });
                from = end;
            }
        }
    }

    /// Whether work that has been chosen now, for which all is there at `begins`, is interrupted although it should not be:
    /// it would have fitted no better at any other time. All work of a plain shop may be interrupted.
    #[inline(always)]
    pub(super) fn is_forced(
        &self,
        choice: &PreparedChoice,
        (person, workers): (Option<PersonId>, Option<PersonId>),
        (begins, ends): (Time, Time),
    ) -> bool {
        self.may_stand_still()
            && !choice.always_fits
            && self.does_not_fit(choice, (person, workers), (begins, ends))
    }

    #[inline(never)]
    fn does_not_fit(
        &self,
        choice: &PreparedChoice,
        (person, workers): (Option<PersonId>, Option<PersonId>),
        (begins, ends): (Time, Time),
    ) -> bool {
        let by = &self.prepared.hours.of_choice(choice.number).by;
        let is_late = |person, ends| self.interrupted_at(person, by).is_none_or(|at| ends > at);
        if workers.is_some() {
            return (self.team(workers).into_iter()).any(|person| is_late(Some(person), ends));
        }
        person.is_some() && is_late(person, begins)
            || !choice.work.after_hours && is_late(None, ends)
    }

    /// Whether a delivery, or what somebody takes off, is interrupted although it should not be.
    #[inline(always)]
    pub(super) fn is_forced_by(&self, person: PersonId, ends: Time) -> bool {
        self.people_come_and_go() && {
            let by = &crate::shop::Interruptions::NONE;
            self.interrupted_at(Some(person), by)
                .is_none_or(|at| ends > at)
        }
    }
}
