//! Work that does not go on together with other work takes its slots and gives them back.

use super::agenda::Event;
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::slots::{HeldSlot, HeldUntil};
use super::specialization::Specialization;
use crate::units::Moment;

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    /// Whether nothing goes on that would have to be over first.
    pub(super) fn goes_together(&self, slots: &[HeldSlot]) -> bool {
        let held = &self.state.slots;
        !S::STOPS || (slots.iter()).all(|slot| held[slot.sees as usize] < slot.fewer_than)
    }

    /// Takes the slots of work that ends at a moment and has cured at another.
    pub(super) fn hold_slots(&mut self, choice: &PreparedChoice, ends: Moment, cured: Moment) {
        if !S::STOPS {
            return;
        }
        for &HeldSlot { slot, until, .. } in &choice.slots {
            self.state.slots[slot as usize] += 1;
            let until = match until {
                HeldUntil::AfterWork(tacky) => ends + tacky,
                HeldUntil::Cured => cured,
            };
            let time = self.time_of(until);
            self.recorder.slot_held(slot, time);
            self.state.agenda.plan(until, Event::SlotFree(slot));
        }
    }

    pub(super) fn slot_is_free(&mut self, slot: u32) {
        self.state.slots[slot as usize] -= 1;
    }
}
