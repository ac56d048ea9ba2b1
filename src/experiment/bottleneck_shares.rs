//! What held the work up: the active-period indicators of a candidate's replications.

use super::findings::ActiveShares;
use crate::metrics::{Active, Counted};
use crate::units::Span;

/// Sums over the replications that were looked into: of all times, and of the shares of each.
#[derive(Debug, Default)]
pub(super) struct BottleneckShares {
    replications: u32,
    found: Counted<Active>,
    shares: Counted<ActiveShares>,
}

impl BottleneckShares {
    pub fn add(&mut self, found: Counted<Active>, measured: Span) {
        self.replications += 1;
        let shares = shares_of(&found, measured);
        if self.replications == 1 {
            (self.found, self.shares) = (found, shares);
            return;
        }
        add_all(&mut self.found, &found, |sum, one| sum.add(one));
        add_all(&mut self.shares, &shares, |sum, one| {
            sum.active += one.active;
            sum.sole += one.sole;
            sum.shifting += one.shifting;
        });
    }

    /// The mean shares of stations, of groups of people by name, and of kinds of gear; and the mean of all their
    /// active periods.
    pub fn shares(&self) -> Counted<ActiveShares> {
        let replications = f64::from(self.replications.max(1));
        let mean = |(sum, found): (&ActiveShares, &Active)| ActiveShares {
            active: sum.active / replications,
            sole: sum.sole / replications,
            shifting: sum.shifting / replications,
            average_period: found.average(),
        };
        let people = self.shares.people.iter().zip(&self.found.people);
        Counted {
            stations: (self.shares.stations.iter().zip(&self.found.stations))
                .map(mean)
                .collect(),
            people: people
                .map(|((group, sum), (_, found))| (group.clone(), mean((sum, found))))
                .collect(),
            gear: (self.shares.gear.iter().zip(&self.found.gear))
                .map(mean)
                .collect(),
        }
    }
}

/// The shares of one replication's measured time.
fn shares_of(found: &Counted<Active>, measured: Span) -> Counted<ActiveShares> {
    let whole = measured.seconds();
    let share = |active: &Active| {
        let of = |span: Span| {
            if whole > 0.0 {
                span.seconds() / whole
            } else {
                0.0
            }
        };
        ActiveShares {
            active: of(active.active),
            sole: of(active.sole),
            shifting: of(active.shifting),
            average_period: None,
        }
    };
    Counted {
        stations: found.stations.iter().map(share).collect(),
        people: (found.people.iter())
            .map(|(group, active)| (group.clone(), share(active)))
            .collect(),
        gear: found.gear.iter().map(share).collect(),
    }
}

fn add_all<T>(sums: &mut Counted<T>, more: &Counted<T>, add: impl Fn(&mut T, &T)) {
    let stations = sums.stations.iter_mut().zip(&more.stations);
    let gear = sums.gear.iter_mut().zip(&more.gear);
    stations.chain(gear).for_each(|(sum, one)| add(sum, one));
    let people = sums.people.iter_mut().zip(&more.people);
    people.for_each(|((_, sum), (_, one))| add(sum, one));
}
