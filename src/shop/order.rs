//! What is asked for, and when.

use super::ProjectId;
use crate::random::Distribution;
use crate::units::{Moment, Span};

/// One line of the orders.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderLine {
    pub project: ProjectId,
    pub arrivals: Arrivals,
    /// Built as one: all pieces times this.
    pub together: u32,
    /// After release.
    pub due: Option<Span>,
    /// Until when somebody wants all of it done; nothing but what is told depends on it.
    pub by: Option<Moment>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Arrivals {
    /// So many at the first opening.
    AtStart { count: u64 },
    /// One after another, on the calendar: with a fixed `every` the first at `first`, else after one draw on top of
    /// `first`. That is the first opening where nobody says so.
    Every {
        every: Distribution,
        first: Option<Span>,
        count: Option<u64>,
        until: Option<Moment>,
    },
    /// So many in progress at any time: the next is released when one is done.
    InProgress { count: u32 },
}

impl Arrivals {
    pub fn varies(&self) -> bool {
        matches!(self, Arrivals::Every { every, .. } if !every.is_fixed())
    }
}
