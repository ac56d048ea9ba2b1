//! What held the work up: the active-period indicators of a candidate's replications.

use super::findings::ActiveShares;
use crate::metrics::{Active, Counted};
use crate::units::Span;

/// Sums over the replications that were diagnosed.
#[derive(Debug, Default)]
pub(super) struct BottleneckShares {
    replications: u32,
    sums: Counted<ActiveSums>,
}

/// Of one resource: all its times, and the sum of its shares of each replication.
#[derive(Debug, Clone, Copy, Default)]
struct ActiveSums {
    found: Active,
    shares: ActiveShares,
}

impl BottleneckShares {
    pub fn add(&mut self, found: &Counted<Active>, measured: Span) {
        self.replications += 1;
        if self.replications == 1 {
            self.sums = found.map(|_| ActiveSums::default());
        }
        let whole = measured.seconds();
        let share = |span: Span| {
            if whole > 0.0 {
                span.seconds() / whole
            } else {
                0.0
            }
        };
        self.sums.add(found, |sums, of| {
            sums.found.add(of);
            sums.shares.active += share(of.active);
            sums.shares.sole += share(of.sole);
            sums.shares.shifting += share(of.shifting);
        });
    }

    /// The mean shares of stations, of groups of people by name, and of kinds of gear; and the mean of all their
    /// active periods.
    pub fn shares(&self) -> Counted<ActiveShares> {
        let replications = f64::from(self.replications.max(1));
        self.sums.map(|sums| ActiveShares {
            active: sums.shares.active / replications,
            sole: sums.shares.sole / replications,
            shifting: sums.shares.shifting / replications,
            average_period: sums.found.average(),
        })
    }
}
