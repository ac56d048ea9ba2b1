//! How much of the procedure a shop makes use of.
//!
//! The procedure is written once, for every shop. Most of what it asks (is there a cart, is this an assembly, does
//! anything cure?) has the same answer all through a run, so it is compiled once for any shop, and again for
//! plain ones with those questions answered beforehand.

use std::marker::PhantomData;

use super::bitset::{BitSet, BitSet64, Set};

pub(super) trait Specialization {
    /// Whether the shop is plain, see [`PreparedShop::is_plain`](super::prepared_shop::PreparedShop::is_plain).
    const PLAIN: bool;
    /// Whether all lots wait in one queue, see [`PreparedShop::in_turn`](super::prepared_shop::PreparedShop::in_turn).
    const IN_TURN: bool;
    /// A set of stations or people.
    type Set: Set;
}

/// A shop of parts that one person works on at one station after the other, or that stations work on alone. Where there
/// are few stations and people, a set of them is one word.
pub(super) struct Plain<B>(PhantomData<B>);

/// A plain shop in which one person does everything in the order in which it became ready.
pub(super) struct SinglePersonFifo;

/// Any shop.
pub(super) struct AllFeatures;

impl<B: Set> Specialization for Plain<B> {
    const PLAIN: bool = true;
    const IN_TURN: bool = false;
    type Set = B;
}

impl Specialization for SinglePersonFifo {
    const PLAIN: bool = true;
    const IN_TURN: bool = true;
    /// Not used: whoever is idle is alone, and all stations are free.
    type Set = BitSet64;
}

impl Specialization for AllFeatures {
    const PLAIN: bool = false;
    const IN_TURN: bool = false;
    type Set = BitSet;
}
