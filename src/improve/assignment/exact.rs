//! Numbers in which sums are exact: 64 bits where all sums fit, and 128 where they do not.

use std::fmt::Debug;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

/// A signed whole number.
pub trait Exact:
    Copy
    + Debug
    + Default
    + Ord
    + Add<Output = Self>
    + AddAssign
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Sum
    + From<i64>
    + Into<i128>
    + Send
    + Sync
{
    /// More than any sum.
    const MOST: Self;
}

impl Exact for i64 {
    const MOST: i64 = i64::MAX;
}

impl Exact for i128 {
    const MOST: i128 = i128::MAX;
}
