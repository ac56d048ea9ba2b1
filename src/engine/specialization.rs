//! How much of the procedure a shop makes use of.
//!
//! The procedure is written once, for every shop. Most of what it asks (is there a cart, is this an assembly, does
//! anything cure?) has the same answer all through a run, so it is compiled once for any shop, and again for
//! plain ones with those questions answered beforehand; the others once more for those in which work is stopped by more
//! than the night; and each of these once more for shops that keep hours.

use std::marker::PhantomData;

use super::bitset::{BitSet, BitSet64, Set};

pub(super) trait Specialization {
    /// Whether the shop is plain, see [`PreparedShop::is_plain`](super::prepared_shop::PreparedShop::is_plain).
    const PLAIN: bool;
    /// Whether all lots wait in one queue, see [`PreparedShop::in_turn`](super::prepared_shop::PreparedShop::in_turn).
    const IN_TURN: bool;
    /// Whether the shop is shut at times.
    const HOURS: bool;
    /// Whether it makes use of what stops work, see
    /// [`PreparedShop::has_stops`](super::prepared_shop::PreparedShop::has_stops).
    const STOPS: bool;
    /// A set of stations or people.
    type Set: Set;
}

/// A shop of parts that one person works on at one station after the other, or that stations work on alone. Where there
/// are few stations and people, a set of them is one word.
pub(super) struct Plain<B, const HOURS: bool>(PhantomData<B>);

/// A plain shop in which one person does everything in the order in which it became ready.
pub(super) struct SinglePersonFifo<const HOURS: bool>;

/// Any shop, or any without stops.
pub(super) struct AllFeatures<const HOURS: bool, const STOPS: bool>;

impl<B: Set, const HOURS: bool> Specialization for Plain<B, HOURS> {
    const PLAIN: bool = true;
    const IN_TURN: bool = false;
    const HOURS: bool = HOURS;
    const STOPS: bool = false;
    type Set = B;
}

impl<const HOURS: bool> Specialization for SinglePersonFifo<HOURS> {
    const PLAIN: bool = true;
    const IN_TURN: bool = true;
    const HOURS: bool = HOURS;
    const STOPS: bool = false;
    /// Not used: whoever is idle is alone, and all stations are free.
    type Set = BitSet64;
}

impl<const HOURS: bool, const STOPS: bool> Specialization for AllFeatures<HOURS, STOPS> {
    const PLAIN: bool = false;
    const IN_TURN: bool = false;
    const HOURS: bool = HOURS;
    const STOPS: bool = STOPS;
    type Set = BitSet;
}
