//! What a shop that keeps hours has besides: sums over the replications.

use super::findings::CandidateHours;
use crate::metrics::{OrderHours, Record};
use crate::shop::Shop;
use crate::statistics::Summary;

/// Whether there is anything of that to be told.
pub(super) fn keeps_hours(shop: &Shop) -> bool {
    !shop.calendar.is_always_open()
}

/// Over the replications in which an order was done.
#[derive(Debug, Clone, Default)]
pub(super) struct HoursSums {
    in_shop_time: Summary,
    sessions: Summary,
}

impl HoursSums {
    pub fn add(&mut self, hours: Option<OrderHours>) {
        self.in_shop_time
            .extend(hours.map(|hours| hours.in_shop_time));
        self.sessions.extend(hours.map(|hours| hours.sessions));
    }

    pub fn mean(&self) -> Option<OrderHours> {
        Some(OrderHours {
            in_shop_time: self.in_shop_time.mean()?,
            sessions: self.sessions.mean()?,
        })
    }
}

/// Sums of a candidate.
#[derive(Debug, Default)]
pub(super) struct CalendarSums {
    /// Seconds.
    measured: f64,
    orders: HoursSums,
    forced: u64,
}

impl CalendarSums {
    pub fn add(&mut self, record: &Record) {
        self.measured += record.measured_on_calendar().seconds();
        self.orders.add(record.mean_hours());
        self.forced += record.forced;
    }

    /// Of so many replications.
    pub fn findings(&self, runs: f64) -> CandidateHours {
        CandidateHours {
            measured_on_calendar: self.measured / runs,
            forced: self.forced as f64 / runs,
            per_order: self.orders.mean(),
        }
    }
}
