//! What held the work up: the active-period indicators of a candidate's replications.

use super::findings::ActiveShares;
use crate::metrics::{Active, Counted};
use crate::shop::Shop;
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
    pub fn shares(&self, shop: &Shop) -> Counted<ActiveShares> {
        let measured = self.measured.seconds();
        let share = |active: &Active, count: u32| {
            let of = |span: Span, whole: f64| {
                if whole > 0.0 {
                    span.seconds() / whole
                } else {
                    0.0
                }
            };
            ActiveShares {
                active: of(active.active, measured * f64::from(count)),
                sole: of(active.sole, measured),
                shifting: of(active.shifting, measured),
                average_period: active.average(),
            }
        };
        let stations = self.found.stations.iter().zip(&shop.stations);
        let people = self.found.people.iter().map(|(group, active)| {
            let alike = shop.crew.iter().filter(|person| person.group == *group);
            (group.clone(), share(active, alike.count() as u32))
        });
        Counted {
            stations: stations
                .map(|(active, station)| share(active, station.count))
                .collect(),
            people: people.collect(),
            gear: self
                .found
                .gear
                .iter()
                .map(|active| share(active, 1))
                .collect(),
        }
    }
}
