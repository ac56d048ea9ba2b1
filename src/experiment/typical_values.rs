//! Which values of a study are only typical ones of kinds of stations, which nobody has measured.

use super::Candidate;

/// What is typical in any of several candidates, each named once.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypicalValues {
    /// Stations that stand on a floor with a typical size.
    pub sizes: Vec<String>,
    /// Operations that take a typical time, with the stations at which they do.
    pub times: Vec<(String, String)>,
}

impl TypicalValues {
    pub fn of<'a>(candidates: impl IntoIterator<Item = &'a Candidate>) -> TypicalValues {
        let mut found = TypicalValues::default();
        for candidate in candidates {
            found.add(candidate);
        }
        found
    }

    fn add(&mut self, candidate: &Candidate) {
        let shop = &candidate.shop;
        if let Some(plan) = &candidate.plan {
            let placed = shop.stations.iter().zip(&plan.placements);
            for (station, placement) in placed {
                if station.is_size_usual && placement.is_some() {
                    add_once(&mut self.sizes, station.name.clone());
                }
            }
        }
        let items = shop.projects.iter().flat_map(|project| &project.items);
        let steps = items.flat_map(|item| &item.route);
        for choice in steps.flat_map(|step| &step.choices) {
            if choice.sources.are_usual(&choice.work) {
                let operation = shop.operations[choice.work.operation].clone();
                let station = shop.stations[choice.station].name.clone();
                add_once(&mut self.times, (operation, station));
            }
        }
    }
}

fn add_once<T: PartialEq>(list: &mut Vec<T>, value: T) {
    if !list.contains(&value) {
        list.push(value);
    }
}
