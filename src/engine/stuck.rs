//! What a run that cannot go on has to say.

use super::bitset::Set;
use super::prepared_shop::PreparedShop;
use super::state::State;
use crate::units::Moment;

/// A run that cannot go on although orders are open.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuck {
    pub at: Moment,
    /// Whether it goes on for ever within one instant, instead of standing still.
    pub endless: bool,
    pub waiting: Vec<Waiting>,
}

/// Lots that wait for the same thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    pub project: String,
    pub item: String,
    pub operation: String,
    pub station: String,
    pub lots: usize,
}

impl Stuck {
    /// Who waits for what now.
    pub(super) fn now<B: Set>(
        prepared: &PreparedShop,
        state: &mut State<B>,
        endless: bool,
    ) -> Stuck {
        let lots = &state.lots;
        let mut waiting: Vec<Waiting> = Vec::new();
        for (kind, queue) in prepared.queues.iter().zip(&mut state.queues) {
            let Some((_, lot)) = queue.peek_current(|lot, stamp| lots[lot].stamp == stamp) else {
                continue;
            };
            let lot = &lots[lot];
            let item = &prepared.items[lot.item as usize];
            let operation = prepared.choice_at(lot.at).work.operation;
            waiting.push(Waiting {
                project: prepared.shop.projects[item.project].name.clone(),
                item: item.item.name.clone(),
                operation: prepared.shop.operations[operation].clone(),
                station: prepared.shop.stations[kind.station].name.clone(),
                lots: queue.len(),
            });
        }
        Stuck {
            at: state.now,
            endless,
            waiting,
        }
    }
}
