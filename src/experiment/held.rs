//! What held the work up: the active-period indicators of a candidate's replications.

use super::findings::ActiveShares;
use crate::metrics::{Active, Counted};
use crate::units::Span;

/// Sums over the replications that were looked into.
#[derive(Debug, Default)]
pub(super) struct Held {
    found: Counted<Active>,
    measured: Span,
}

impl Held {
    pub fn add(&mut self, found: Counted<Active>, measured: Span) {
        self.measured += measured;
        if self.found.stations.is_empty() {
            self.found = found;
            return;
        }
        let sum = |sums: &mut Vec<Active>, more: &[Active]| {
            sums.iter_mut()
                .zip(more)
                .for_each(|(sum, one)| sum.add(one));
        };
        sum(&mut self.found.stations, &found.stations);
        sum(&mut self.found.gear, &found.gear);
        let people = self.found.people.iter_mut().zip(&found.people);
        people.for_each(|((_, sum), (_, one))| sum.add(one));
    }

    /// The shares of stations, of groups of people by name, and of kinds of gear.
    pub fn shares(&self) -> Counted<ActiveShares> {
        let measured = self.measured.seconds();
        let share = |active: &Active| {
            let of = |span: Span, whole: f64| {
                if whole > 0.0 {
                    span.seconds() / whole
                } else {
                    0.0
                }
            };
            ActiveShares {
                active: of(active.active, measured),
                sole: of(active.sole, measured),
                shifting: of(active.shifting, measured),
                average_period: active.average(),
            }
        };
        let people = self.found.people.iter();
        Counted {
            stations: self.found.stations.iter().map(share).collect(),
            people: people
                .map(|(group, active)| (group.clone(), share(active)))
                .collect(),
            gear: self.found.gear.iter().map(share).collect(),
        }
    }
}
