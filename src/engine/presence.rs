//! Who is there: people with hours of their own come and go, and are offered nothing while they are away.

use super::bitset::Set;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::PersonId;
use crate::units::{Moment, Time};

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    /// Whether anybody comes or goes while the shop is open.
    #[inline(always)]
    pub(super) fn people_come_and_go(&self) -> bool {
        S::HOURS && !S::PLAIN && self.prepared.hours.people_come_and_go
    }

    /// Lets those come and go who do so at this instant, or have done since this was last asked.
    #[inline(always)]
    pub(super) fn let_come_and_go(&mut self) {
        if self.people_come_and_go() && self.state.time >= self.state.people_change {
            self.tell_who_is_away();
        }
    }

    #[inline(never)]
    fn tell_who_is_away(&mut self) {
        let now = self.state.time;
        let crew = self.prepared.shop.crew.enumerate();
        for (person, hours) in crew.filter_map(|(id, one)| Some((id, one.hours.as_ref()?))) {
            let is_away = !hours.hold(now);
            let of = &mut self.state.people[person.index()];
            if of.is_away != is_away {
                of.is_away = is_away;
                if !of.is_busy {
                    self.tell_whether_idle(person, !is_away);
                }
            }
        }
        self.state.people_change = self.prepared.hours.change_after(now);
    }

    /// Somebody may be offered something, or may not any more.
    #[inline]
    pub(super) fn tell_whether_idle(&mut self, person: PersonId, is_idle: bool) {
        let of_class = &mut self.state.idle_of_class[self.prepared.class_of[person.index()]];
        match is_idle {
            true => {
                self.state.idle.insert(person.index());
                *of_class += 1;
            }
            false => {
                self.state.idle.remove(person.index());
                *of_class -= 1;
            }
        }
    }

    /// When the shop is next opened, or somebody comes or goes, or a silence begins or ends.
    pub(super) fn change_waited_for(&self) -> Moment {
        let session = &self.state.session;
        let change = self.prepared.hours.change_after(self.state.time);
        if change != Time::NEVER && session.opens + (change - session.from) < session.closes {
            return session.opens + (change - session.from);
        }
        match session.closes {
            Moment::NEVER => Moment::NEVER,
            closes => self.prepared.shop.calendar.session_at(closes).opens,
        }
    }
}
