//! How much of the procedure a shop makes use of.
//!
//! The procedure is written once, for every shop. Most of what it asks (is there a cart, is this an assembly, does
//! anything cure?) has the same answer all through a run, so it is compiled once for any shop, and again for
//! plain ones with those questions answered beforehand.

use super::bitset::{BitSet, BitSet64, Set};

pub(super) trait Specialization {
    /// Whether the shop is plain, see [`Prepared::is_plain`](super::prepared::Prepared::is_plain).
    const PLAIN: bool;
    /// Whether all lots wait in one line, see [`Prepared::in_turn`](super::prepared::Prepared::in_turn).
    const IN_TURN: bool;
    /// A set of stations, people, units or order lines.
    type Set: Set;
}

/// A shop of parts that one person works on at one station after the other, or that stations work on alone.
pub(super) struct Plain;

/// A plain shop in which one person does everything in the order in which it became ready.
pub(super) struct SinglePersonFifo;

/// Any shop.
pub(super) struct AllFeatures;

impl Specialization for Plain {
    const PLAIN: bool = true;
    const IN_TURN: bool = false;
    type Set = BitSet64;
}

impl Specialization for SinglePersonFifo {
    const PLAIN: bool = true;
    const IN_TURN: bool = true;
    type Set = BitSet64;
}

impl Specialization for AllFeatures {
    const PLAIN: bool = false;
    const IN_TURN: bool = false;
    type Set = BitSet;
}
