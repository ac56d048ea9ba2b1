//! When the machines of a run are on.

use super::chronicle::Witness;
use super::measured::MeasuredTime;
use crate::engine::{Doing, Job, Occupied, Phase, WorkPhase};
use crate::services::together::OnTime;
use crate::shop::{Calendar, OnIn, Shop, StationId};
use crate::units::{Moment, Span, Time};

/// When the machines of a run are on, by station; times of several units may overlap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MachineTimes {
    pub stations: Vec<Vec<OnTime>>,
    /// When work is done there: from the beginning of a setup to the end of the tear-down.
    pub worked: Vec<Vec<OnTime>>,
    /// All of the measured time.
    pub whole: OnTime,
}

/// Keeps when each machine is on, on the calendar: in those parts of its work that its operation says, and not while it
/// stands still, is seen to, or the shop is shut.
#[derive(Debug)]
pub struct OnTimes<'s> {
    shop: &'s Shop,
    measured: MeasuredTime<Moment>,
    stations: Vec<Vec<OnTime>>,
    worked: Vec<Vec<OnTime>>,
}

impl<'s> OnTimes<'s> {
    /// Of the measured time alone.
    pub fn new(shop: &'s Shop, warm_up: Span, until: Option<Moment>) -> OnTimes<'s> {
        OnTimes {
            shop,
            measured: MeasuredTime::on_calendar(shop.begins(), warm_up, until),
            stations: vec![Vec::new(); shop.stations.len()],
            worked: vec![Vec::new(); shop.stations.len()],
        }
    }

    pub fn into_times(self) -> MachineTimes {
        let from = self.measured.from();
        MachineTimes {
            stations: self.stations,
            worked: self.worked,
            whole: OnTime {
                from,
                until: self.measured.cut(Moment::NEVER).max(from),
            },
        }
    }

    fn on_in(&self, job: &Job, station: StationId) -> OnIn {
        let item = &self.shop.projects[job.project].items[job.item.index()];
        let choices = item.route.get(job.step as usize).map(|step| &step.choices);
        let mut choices = choices.into_iter().flatten();
        let choice = choices.find(|choice| choice.station == station);
        choice.map_or(OnIn::RUN, |choice| choice.work.on_in)
    }
}

impl Witness for OnTimes<'_> {
    fn ends(&mut self, phase: &Phase, job: &Job, now: Time) {
        let (Occupied::Unit(station, _), Doing::Work { phase: part, .. }) = (phase.of, phase.doing)
        else {
            return;
        };
        let on_in = self.on_in(job, station);
        let is_on = match part {
            WorkPhase::Setup => on_in.setup,
            WorkPhase::Run => on_in.run,
            WorkPhase::Teardown => on_in.teardown,
            WorkPhase::TakeOff | WorkPhase::Service => return,
        };
        let calendar = &self.shop.calendar;
        let add = |times: &mut Vec<OnTime>| match phase.moments {
            Some((from, until)) => times.push(OnTime { from, until }),
            None => times.extend(while_open(calendar, phase.start, now)),
        };
        add(&mut self.worked[station.index()]);
        if is_on {
            add(&mut self.stations[station.index()]);
        }
    }

    fn end(&mut self, _now: Time, moment: Moment) {
        self.measured = self.measured.ending(moment);
        let measured = self.measured;
        for times in self.stations.iter_mut().chain(&mut self.worked) {
            for time in times.iter_mut() {
                time.from = measured.cut(time.from);
                time.until = measured.cut(time.until);
            }
            times.retain(|time| time.from < time.until);
        }
    }
}

/// A stretch of shop time on the calendar, in as many parts as the shop is open in.
fn while_open(calendar: &Calendar, from: Time, until: Time) -> impl Iterator<Item = OnTime> {
    let (mut at, until) = (calendar.beginning_at(from), calendar.end_at(until));
    std::iter::from_fn(move || {
        if at >= until {
            return None;
        }
        let closes = calendar.session_at(at).closes;
        let part = OnTime {
            from: at,
            until: closes.min(until),
        };
        at = match closes < until {
            true => calendar.session_at(closes).opens,
            false => until,
        };
        Some(part)
    })
}
