//! When the machines of a run are on.

use super::chronicle::Witness;
use super::measured::MeasuredTime;
use super::whereabouts::{Stay, Whereabouts};
use super::while_open::while_open;
use crate::engine::{Doing, Job, Occupied, Phase, WorkPhase};
use crate::services::together::OnTime;
use crate::shop::{OnIn, Shop, StationId, Work};
use crate::units::{Moment, Span, Time};

/// When the machines of a run are on, by station; times of several units may overlap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MachineTimes {
    pub stations: Vec<Vec<OnTime>>,
    /// When work is done there: from the beginning of a setup to the end of the tear-down.
    pub worked: Vec<Vec<OnTime>>,
    /// When something is cut there, of the time in which the machine is on: at first, where only a part of a run is that.
    pub cutting: Vec<Vec<OnTime>>,
    /// Where people are, by person, in the order of time.
    pub people: Vec<Vec<Stay>>,
    /// All of the measured time.
    pub whole: OnTime,
    /// What runs on may do so until then: beyond the end of a run that ends when all is done.
    pub runs_on_until: Moment,
}

/// Keeps when each machine is on, on the calendar: in those parts of its work that its operation says, and not while it
/// stands still, is seen to, or the shop is shut.
#[derive(Debug)]
pub struct OnTimes<'s> {
    shop: &'s Shop,
    measured: MeasuredTime<Moment>,
    until: Option<Moment>,
    stations: Vec<Vec<OnTime>>,
    worked: Vec<Vec<OnTime>>,
    cutting: Vec<Vec<OnTime>>,
    people: Whereabouts<'s>,
    ended: Time,
}

impl<'s> OnTimes<'s> {
    /// Of the measured time alone.
    pub fn new(shop: &'s Shop, warm_up: Span, until: Option<Moment>) -> OnTimes<'s> {
        OnTimes {
            shop,
            measured: MeasuredTime::on_calendar(shop.begins(), warm_up, until),
            until,
            stations: vec![Vec::new(); shop.stations.len()],
            worked: vec![Vec::new(); shop.stations.len()],
            cutting: vec![Vec::new(); shop.stations.len()],
            people: Whereabouts::new(shop),
            ended: Time::START,
        }
    }

    pub fn into_times(self) -> MachineTimes {
        let from = self.measured.from();
        MachineTimes {
            stations: self.stations,
            worked: self.worked,
            cutting: self.cutting,
            people: self.people.into_stays(self.ended, self.measured),
            runs_on_until: self.until.unwrap_or(Moment::NEVER),
            whole: OnTime {
                from,
                until: self.measured.cut(Moment::NEVER).max(from),
            },
        }
    }

    /// What the job is at the station.
    fn work(&self, job: &Job, station: StationId) -> Option<&Work> {
        let item = &self.shop.projects[job.project].items[job.item.index()];
        let choices = item.route.get(job.step as usize).map(|step| &step.choices);
        let mut choices = choices.into_iter().flatten();
        Some(&choices.find(|choice| choice.station == station)?.work)
    }
}

impl Witness for OnTimes<'_> {
    fn ends(&mut self, phase: &Phase, job: &Job, now: Time) {
        if let Occupied::Person(person) = phase.of {
            self.people.ends(person, phase, now);
        }
        let (Occupied::Unit(station, _), Doing::Work { phase: part, .. }) = (phase.of, phase.doing)
        else {
            return;
        };
        let work = self.work(job, station);
        let on_in = work.map_or(OnIn::RUN, |work| work.on_in);
        let cuts = work.map_or(1.0, |work| work.cutting_share(job.pieces));
        let is_on = match part {
            WorkPhase::Setup => on_in.setup,
            WorkPhase::Run => on_in.run,
            WorkPhase::Teardown => on_in.teardown,
            WorkPhase::TakeOff | WorkPhase::Service => return,
        };
        let calendar = &self.shop.calendar;
        let times: Vec<OnTime> = match phase.moments {
            Some((from, until)) => vec![OnTime { from, until }],
            None => while_open(calendar, phase.start, now).collect(),
        };
        if is_on && part == WorkPhase::Run {
            let first = |time: &OnTime| OnTime {
                until: time.from + Span::from_seconds(cuts * time.lasts().seconds()),
                ..*time
            };
            self.cutting[station.index()].extend(times.iter().map(first));
        }
        if is_on {
            self.stations[station.index()].extend(&times);
        }
        self.worked[station.index()].extend(times);
    }

    fn end(&mut self, now: Time, moment: Moment) {
        self.ended = now;
        self.measured = self.measured.ending(moment);
        let measured = self.measured;
        let kept = [&mut self.stations, &mut self.worked, &mut self.cutting];
        for times in kept.into_iter().flatten() {
            for time in times.iter_mut() {
                time.from = measured.cut(time.from);
                time.until = measured.cut(time.until);
            }
            times.retain(|time| time.from < time.until);
        }
    }
}
