//! What does not go on together: tacky and dusty work, what the shop says of stations, operations and cures, and what
//! needs the same floor where things are rolled about.
//!
//! Each group has a slot, in which the tasks are counted that hold it: from the choice until the work has ended, or what
//! it leaves is dry or has cured. Tacky and dusty work have one each; neither kind is begun while the other holds its own.

use crate::shop::{Shop, StationId, Work};
use crate::units::Span;

/// The slots of tacky and of dusty work stand before those of the groups.
const TACKY: u32 = 0;
const DUSTY: u32 = 1;
const GROUPS: u32 = 2;

/// A slot that work holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeldSlot {
    pub slot: u32,
    /// The work is begun only while fewer tasks than `fewer_than` hold this slot.
    pub sees: u32,
    pub fewer_than: u32,
    pub until: HeldUntil,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldUntil {
    /// So long after the work has ended.
    AfterWork(Span),
    Cured,
}

/// How many slots a shop has.
pub fn count(shop: &Shop) -> usize {
    GROUPS as usize + shop.not_together.len() + shop.shared_floor.len()
}

/// The slots that some work at a station holds.
pub fn of_work(shop: &Shop, station: StationId, work: &Work) -> Vec<HeldSlot> {
    let mut slots = Vec::new();
    if let Some(tacky) = work.tacky {
        slots.push(HeldSlot {
            slot: TACKY,
            sees: DUSTY,
            fewer_than: 1,
            until: HeldUntil::AfterWork(tacky),
        });
    }
    if work.dusty {
        slots.push(HeldSlot {
            slot: DUSTY,
            sees: TACKY,
            fewer_than: 1,
            until: HeldUntil::AfterWork(Span::ZERO),
        });
    }
    for (group, slot) in shop.not_together.iter().zip(GROUPS..) {
        if let Some(cures) = group.holds(station, work.operation) {
            slots.push(HeldSlot {
                slot,
                sees: slot,
                fewer_than: group.at_most,
                until: match cures {
                    true => HeldUntil::Cured,
                    false => HeldUntil::AfterWork(Span::ZERO),
                },
            });
        }
    }
    let shared = GROUPS + shop.not_together.len() as u32;
    for (floor, slot) in shop.shared_floor.iter().zip(shared..) {
        if floor.beside(station).is_some() {
            slots.push(HeldSlot {
                slot,
                sees: slot,
                fewer_than: 1,
                until: HeldUntil::AfterWork(Span::ZERO),
            });
        }
    }
    slots
}
