//! Whether what somebody wants by some day is done by then.

use super::Settings;
use super::findings::InTime;
use crate::metrics::Record;
use crate::shop::{Arrivals, OrderLineId, Shop};
use crate::statistics::wilson;
use crate::units::Moment;

/// One line of the orders, over the replications.
#[derive(Debug)]
pub(super) struct InTimeSums {
    line: OrderLineId,
    by: Moment,
    /// How many orders it is, if somebody says so.
    orders: Option<u64>,
    met: u64,
}

impl InTimeSums {
    /// Of the lines that are wanted by some day.
    pub fn all(shop: &Shop) -> Vec<InTimeSums> {
        let wanted = shop.orders.enumerate().filter_map(|(line, of)| {
            Some(InTimeSums {
                line,
                by: of.by?,
                orders: match of.arrivals {
                    Arrivals::AtStart { count } => Some(count),
                    Arrivals::Every { count, .. } => count,
                    Arrivals::InProgress { .. } => None,
                },
                met: 0,
            })
        });
        wanted.collect()
    }

    pub fn add(&mut self, record: &Record) {
        let line = &record.lines[self.line.index()];
        let has_all = self.orders.is_none_or(|orders| line.released == orders);
        let is_in_time = line.all_done().is_some_and(|done| done <= self.by);
        self.met += u64::from(has_all && is_in_time);
    }

    pub fn findings(&self, shop: &Shop, settings: &Settings, runs: u64) -> InTime {
        let order = &shop.orders[self.line];
        let varies = shop.varies();
        InTime {
            project: shop.projects[order.project].name.clone(),
            line: self.line.index() + 1,
            orders: self.orders,
            by: self.by,
            starts: settings.starts,
            met: self.met,
            runs,
            interval: varies.then(|| wilson(self.met, runs, settings.confidence)),
        }
    }
}
