//! Figures of stations, people and gear side by side.

use std::sync::Arc;

/// Something for each station, each group of people and each kind of gear.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Counted<T> {
    pub stations: Vec<T>,
    /// By name of the group, in the order in which the file names them.
    pub people: Vec<(Arc<str>, T)>,
    pub gear: Vec<T>,
}

impl<T> Counted<T> {
    /// The same of each.
    pub fn map<U>(&self, of: impl Fn(&T) -> U) -> Counted<U> {
        let people = self.people.iter();
        Counted {
            stations: self.stations.iter().map(&of).collect(),
            people: people
                .map(|(group, one)| (group.clone(), of(one)))
                .collect(),
            gear: self.gear.iter().map(&of).collect(),
        }
    }

    /// Adds to each what there is of it in another one.
    pub fn add<U>(&mut self, more: &Counted<U>, add: impl Fn(&mut T, &U)) {
        let stations = self.stations.iter_mut().zip(&more.stations);
        let gear = self.gear.iter_mut().zip(&more.gear);
        stations.chain(gear).for_each(|(sum, one)| add(sum, one));
        let people = self.people.iter_mut().zip(&more.people);
        people.for_each(|((_, sum), (_, one))| add(sum, one));
    }
}
