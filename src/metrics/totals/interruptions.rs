//! What stands still, and who is away.

use super::{Measured, Totals};
use crate::engine::{Doing, Interruption, Occupied, WorkPhase};
use crate::shop::{PersonId, Shop, WeeklyTimes};
use crate::units::Span;

/// When people are there who have hours of their own, by their place in the crew.
pub(super) fn own_hours(shop: &Shop) -> Vec<(usize, WeeklyTimes)> {
    let crew = shop.crew.iter().enumerate();
    crew.filter_map(|(index, person)| Some((index, person.hours.clone()?)))
        .collect()
}

impl<M: Measured> Totals<M> {
    /// Takes the time in which something stands still out of the phase that is told next.
    pub(super) fn take_out(&mut self, interruption: &Interruption) {
        let &Interruption {
            of,
            within,
            start,
            end,
        } = interruption;
        let span = self.part_of(start, end);
        match of {
            Occupied::Unit(station, _) => {
                let station = &mut self.record.stations[station.index()];
                station.left_standing += span;
                *match within {
                    Doing::Reserved => &mut station.reserved,
                    Doing::Work {
                        phase: WorkPhase::Setup,
                        ..
                    } => &mut station.setup,
                    Doing::Work {
                        phase: WorkPhase::Service,
                        ..
                    } => &mut station.serviced,
                    _ => &mut station.running,
                } -= span;
            }
            Occupied::Person(person) => self.person_interrupted(person, within, span),
            Occupied::SetAside(_) | Occupied::Gear(..) => {}
        }
    }

    fn person_interrupted(&mut self, person: PersonId, within: Doing, span: Span) {
        let stations = self.queues.len();
        if let Doing::Work { at, .. } = within {
            self.working_at[person.index() * stations + at.index()] -= span;
        }
        let work = self.work_of(person);
        match within {
            Doing::Walk { .. } => work.walking -= span,
            Doing::Handle { .. } => work.handling -= span,
            _ => work.working -= span,
        }
    }

    /// Those with hours of their own are away for the rest of the measured time.
    pub(super) fn count_away(&mut self) {
        let (from, end) = (self.record.from, self.record.end);
        for (index, hours) in &self.hours {
            if end > from {
                self.record.crew[*index].away = (end - from) - hours.part_of(from, end);
            }
        }
    }
}
