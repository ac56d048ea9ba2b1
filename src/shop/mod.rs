//! What is done in the shop: stations, operations, projects, crew, gear and orders, checked and resolved.
//!
//! A [`Shop`] holds no string that anything depends on: names are for people. Every reference is an index, every
//! quantity an SI number, and whatever could be wrong was refused when the shop was built.

mod calendar;
mod crew;
mod date;
mod id;
mod operation;
mod order;
mod project;
mod rules;
mod station;
mod time_sources;

pub use calendar::{Calendar, OpeningTime, Session, WEEKDAYS, WeeklySessions};
pub use crew::{Carts, Gear, MaterialHandling, Person};
pub use date::Date;
pub use id::{
    GearId, ItemId, OperationId, OrderLineId, PersonId, PlaceId, ProjectId, StationId, Table,
};
pub use operation::{Cure, Work};
pub use order::{Arrivals, OrderLine};
pub use project::{Choice, Item, ItemKind, PartSource, Project, Size, Step};
pub use rules::{
    CHOICES, ChooseNext, QUEUE_RULES, QueueRule, RuleRow, Rules, SWITCHES, SwitchStation,
};
pub use station::Station;
pub use time_sources::{GivenLevel, TimeSources};

/// One shop: everything but where things stand.
#[derive(Debug, Clone)]
pub struct Shop {
    /// Stations in the file's order. Station `i` is also place `i`.
    pub stations: Table<StationId, Station>,
    /// Names of the operations, in the order in which the file first names them.
    pub operations: Table<OperationId, String>,
    pub gear: Table<GearId, Gear>,
    pub crew: Table<PersonId, Person>,
    pub handling: MaterialHandling,
    pub projects: Table<ProjectId, Project>,
    pub orders: Table<OrderLineId, OrderLine>,
    pub rules: Rules,
    /// When work can be done.
    pub calendar: Calendar,
    /// Names of the room's doors: places after the stations.
    pub doors: Vec<String>,
}

impl Shop {
    /// Stations and doors.
    pub fn places(&self) -> usize {
        self.stations.len() + self.doors.len()
    }

    /// What people call a place.
    pub fn place_name(&self, place: PlaceId) -> &str {
        match place.index().checked_sub(self.stations.len()) {
            None => &self.stations[StationId(place.0)].name,
            Some(door) => &self.doors[door],
        }
    }

    /// Projects that are ordered, each once, in the file's order.
    pub fn ordered_projects(&self) -> impl Iterator<Item = &Project> {
        let is_ordered = |id: ProjectId| self.orders.iter().any(|line| line.project == id);
        (self.projects.enumerate())
            .filter(move |(id, _)| is_ordered(*id))
            .map(|(_, project)| project)
    }

    /// Items of the projects that are ordered.
    pub fn ordered_items(&self) -> impl Iterator<Item = &Item> {
        self.ordered_projects().flat_map(|project| &project.items)
    }

    /// What may be done at which station for the projects that are ordered.
    pub fn ordered_work(&self) -> impl Iterator<Item = (StationId, &Work)> {
        self.ordered_items()
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
            .map(|choice| (choice.station, &choice.work))
    }

    /// Whether any draw can change a run: a shop in which nothing varies needs one replication.
    pub fn varies(&self) -> bool {
        let work = self
            .projects
            .iter()
            .flat_map(|project| &project.items)
            .flat_map(|item| &item.route);
        work.flat_map(|step| &step.choices)
            .any(|choice| choice.work.varies())
            || self.orders.iter().any(|line| line.arrivals.varies())
    }
}
