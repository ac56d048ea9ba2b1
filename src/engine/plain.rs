//! Which shops are plain: much of the procedure does not have to be asked for there.

use super::prepared_shop::PreparedShop;
use crate::shop::{Item, ItemKind, Work};

impl PreparedShop<'_> {
    pub(super) fn find_what_is_plain(&mut self) {
        let stations = 0..self.shop.stations.len();
        let plain = |of: &[Vec<usize>]| -> Vec<Option<usize>> {
            stations
                .clone()
                .map(|station| self.plain_queue(&of[station]))
                .collect()
        };
        (self.plain, self.plain_unmanned) = (plain(&self.manned), plain(&self.unmanned));
        self.is_plain_queue = vec![false; self.queues.len()];
        for queue in self.plain.iter().chain(&self.plain_unmanned).flatten() {
            self.is_plain_queue[*queue] = true;
        }
        let mut is_simple: Vec<bool> = (self.shop.stations.iter())
            .map(|station| {
                station.count == 1
                    && station.setup_from.is_empty()
                    && station.set_down.is_none()
                    && station.upkeep.is_empty()
            })
            .collect();
        for choice in &self.choices {
            is_simple[choice.station.index()] &= choice.work.setup.is_none();
        }
        for choice in &mut self.choices {
            choice.is_simple = is_simple[choice.station.index()];
        }
        let shop = self.shop;
        // Little room, things that are rolled about, setups by what was before, upkeep, walks around machines, clamps that
        // somebody takes off, work that must not go on beside other work, and lots that need more gear than others.
        self.has_stops = self.has_little_room
            || self.rolls
            || (shop.stations.iter())
                .any(|station| !station.setup_from.is_empty() || !station.upkeep.is_empty())
            || self
                .choices
                .iter()
                .any(|choice| choice.takes_off || choice.has_run_stops || !choice.slots.is_empty())
            || self.queues.iter().any(|queue| queue.lots_differ);
        self.is_plain = shop.handling.carts.is_none()
            && shop.work_stands.is_empty()
            && !self.has_stops
            && !self.may_not_fit
            && self.is_plain_queue.iter().all(|&plain| plain)
            && self.items.iter().all(|item| is_plain_part(item.item))
            && self.choices.iter().all(|choice| is_plain_work(choice.work))
            && (shop.calendar.is_always_open()
                || !self.choices.iter().any(|choice| choice.work.after_hours));
        self.in_turn = self.is_plain
            && self.oldest_first
            && shop.crew.len() == 1
            && self.choices.iter().all(|choice| choice.work.people == 1);
    }

    /// The only one of these queues, if it is plain.
    fn plain_queue(&self, queues: &[usize]) -> Option<usize> {
        let [queue] = *queues else {
            return None;
        };
        let kind = &self.queues[queue];
        let anybody = kind.unmanned || self.classes == 1 && kind.classes.len() == 1;
        let is_shared = self.choices.iter().enumerate().any(|(number, choice)| {
            let joins = choice.queue == queue || choice.unmanned_queue == Some(queue);
            let alone = self.choices_from(number as u32).len() == 1
                && (number == 0 || self.choices[number - 1].end == number as u32);
            joins && !alone
        });
        let plain = anybody
            && kind.always_fits
            && !kind.is_put_off
            && kind.people <= 1
            && kind.gear.is_empty()
            && kind.slots.is_empty()
            && !is_shared;
        (plain && !kind.lots_differ && !kind.has_upkeep).then_some(queue)
    }
}

fn is_plain_part(item: &Item) -> bool {
    let lies_somewhere = item.lies_at().is_some();
    matches!(item.kind, ItemKind::Part { .. } if lies_somewhere)
        && item.deliver_to.is_none()
        && item.goes_into.is_none()
}

fn is_plain_work(work: &Work) -> bool {
    work.people <= 1
        && work.gear.is_empty()
        && work.fetch_from.is_none()
        && work.cure.is_none()
        && work.spoils <= 0.0
}
