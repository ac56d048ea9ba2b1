//! What a run that cannot go on has to say.

use super::bitset::Set;
use super::prepared_shop::PreparedShop;
use super::state::State;
use crate::shop::StationId;
use crate::units::{Moment, Span};

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
    /// Why the first of them is never begun, where the hours are why.
    pub too_late: Option<TooLate>,
}

/// Work that runs alone and must not be interrupted: whoever could bring it is there only when too little time is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooLate {
    /// What it would take if it were begun now, what is brought for it included.
    pub takes: Span,
    /// For how long it could run at the most, begun when somebody is there.
    pub left: Span,
}

impl Stuck {
    /// Who waits for what now, and the first lot of each queue with its station.
    pub(super) fn now<B: Set>(
        prepared: &PreparedShop,
        state: &mut State<B>,
        endless: bool,
    ) -> (Stuck, Vec<(u32, StationId)>) {
        let lots = &state.lots;
        let mut heads = Vec::new();
        let mut waiting: Vec<Waiting> = Vec::new();
        for (kind, queue) in prepared.queues.iter().zip(&mut state.queues) {
            let Some((_, lot)) = queue.peek_current(|lot, stamp| lots[lot].stamp == stamp) else {
                continue;
            };
            heads.push((lot, kind.station));
            let lot = &lots[lot];
            let item = &prepared.items[lot.item as usize];
            let operation = prepared.choice_at(lot.at).work.operation;
            waiting.push(Waiting {
                project: prepared.shop.projects[item.project].name.clone(),
                item: item.item.name.clone(),
                operation: prepared.shop.operations[operation].clone(),
                station: prepared.shop.stations[kind.station].name.clone(),
                lots: queue.len(),
                too_late: None,
            });
        }
        let stuck = Stuck {
            at: state.now,
            endless,
            waiting,
        };
        (stuck, heads)
    }
}
