//! Where people are.

use super::measured::MeasuredTime;
use super::while_open::while_open;
use crate::engine::{Doing, Phase};
use crate::services::together::OnTime;
use crate::shop::{Calendar, PersonId, PlaceId, Shop, StationId, WeeklyTimes};
use crate::units::{Moment, Time};

/// A time that somebody spends at one place: while one walks, at that to which one goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stay {
    pub time: OnTime,
    pub place: PlaceId,
    /// The station at which one works then.
    pub works_at: Option<StationId>,
}

/// Keeps where everybody is while the shop is open and they are there, from what they do: who does nothing stays where
/// the last thing was done.
#[derive(Debug)]
pub struct Whereabouts<'s> {
    shop: &'s Shop,
    people: Vec<PersonStays>,
}

#[derive(Debug)]
struct PersonStays {
    place: PlaceId,
    /// Up to when it is known.
    known: Time,
    stays: Vec<Stay>,
}

impl<'s> Whereabouts<'s> {
    pub fn new(shop: &'s Shop) -> Whereabouts<'s> {
        let track = |starts_at| PersonStays {
            place: starts_at,
            known: Time::START,
            stays: Vec::new(),
        };
        Whereabouts {
            shop,
            people: (shop.crew.iter())
                .map(|person| track(person.starts_at))
                .collect(),
        }
    }

    /// A phase of somebody ends now.
    pub fn ends(&mut self, person: PersonId, phase: &Phase, now: Time) {
        let (place, works_at) = match phase.doing {
            Doing::Walk { to, .. } => (to, None),
            Doing::Handle { at, .. } => (at, None),
            Doing::Work { at, .. } => {
                let last = self.people[person.index()].place;
                (self.shop.stood_at(at, last), Some(at))
            }
            Doing::Reserved
            | Doing::Cure
            | Doing::Blocked
            | Doing::Serviced
            | Doing::LeftStanding
            | Doing::Taken => return,
        };
        let calendar = &self.shop.calendar;
        let hours = self.shop.crew[person].hours.as_ref();
        let track = &mut self.people[person.index()];
        track.waits_until(phase.start, hours, calendar);
        track.place = place;
        let from = phase.start.max(track.known);
        track.stay((from, now), works_at, calendar);
        track.known = track.known.max(now);
    }

    /// Everybody's stays in the measured time of a run that ends now.
    pub fn into_stays(mut self, now: Time, measured: MeasuredTime<Moment>) -> Vec<Vec<Stay>> {
        for (person, track) in self.shop.crew.iter().zip(&mut self.people) {
            track.waits_until(now, person.hours.as_ref(), &self.shop.calendar);
            for stay in &mut track.stays {
                stay.time.from = measured.cut(stay.time.from);
                stay.time.until = measured.cut(stay.time.until);
            }
            track.stays.retain(|stay| stay.time.from < stay.time.until);
        }
        self.people.into_iter().map(|track| track.stays).collect()
    }
}

impl PersonStays {
    fn stay(&mut self, (from, until): (Time, Time), works_at: Option<StationId>, of: &Calendar) {
        let place = self.place;
        let times = while_open(of, from, until);
        self.stays.extend(times.map(|time| Stay {
            time,
            place,
            works_at,
        }));
    }

    /// Nothing is done until then, in those hours in which one is there at all.
    fn waits_until(&mut self, until: Time, hours: Option<&WeeklyTimes>, calendar: &Calendar) {
        let mut from = self.known;
        while from < until {
            let change = hours.map_or(Time::NEVER, |hours| hours.change_after(from));
            let next = change.min(until);
            if hours.is_none_or(|hours| hours.hold(from)) {
                self.stay((from, next), None, calendar);
            }
            from = next;
        }
    }
}
