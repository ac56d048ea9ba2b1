//! What is done in the shop: stations, operations, projects, crew, gear and orders, checked and resolved.
//!
//! A [`Shop`] holds no string that anything depends on: names are for people. Every reference is an index, every
//! quantity an SI number, and whatever could be wrong was refused when the shop was built.

mod asked_place;
mod calendar;
mod crew;
mod date;
mod exclusion;
mod heat;
mod id;
mod interruptions;
mod operation;
mod order;
mod place_kind;
mod prices;
mod project;
mod rules;
mod station;
mod time_sources;
mod weekly_times;

pub use asked_place::{AskedDistance, AskedNeighbour, AskedPlace, AskedWall, WALLS};
pub use calendar::{Calendar, OpeningTime, Session, WEEKDAYS, WeeklySessions};
pub use crew::{Carts, Gear, MaterialHandling, Person};
pub use date::Date;
pub use exclusion::{Exclusion, SharedFloor};
pub use heat::Heat;
pub use id::{
    GearId, ItemId, OperationId, OrderLineId, PersonId, PlaceId, ProjectId, SettingId, StationId,
    Table,
};
pub use interruptions::{Interruptions, stretch};
pub use operation::{Catching, Cure, GearCount, OnIn, Work};
pub use order::{Arrivals, OrderLine};
pub use place_kind::PlaceKind;
pub use prices::PriceList;
pub use project::{Choice, Item, ItemKind, PartSource, Project, Size, Step};
pub use rules::{
    CHOICES, CURES, ChooseNext, CureRule, QUEUE_RULES, QueueRule, RuleRow, Rules, SWITCHES,
    SwitchStation,
};
pub use station::{Rolling, SetTo, SetupFrom, Station, Upkeep, WearLimit, WorkStand};
pub use time_sources::{GivenLevel, TimeSources};
pub use weekly_times::WeeklyTimes;

use crate::units::Moment;

/// One shop: everything but where things stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// Stations in the file's order. Station `i` is also place `i`.
    pub stations: Table<StationId, Station>,
    /// Names of the operations, in the order in which the file first names them.
    pub operations: Table<OperationId, String>,
    /// Names of the settings that steps ask for, in the order in which the routes first name them.
    pub settings: Table<SettingId, String>,
    pub gear: Table<GearId, Gear>,
    pub crew: Table<PersonId, Person>,
    pub handling: MaterialHandling,
    pub projects: Table<ProjectId, Project>,
    pub orders: Table<OrderLineId, OrderLine>,
    pub rules: Rules,
    /// When work can be done.
    pub calendar: Calendar,
    /// When what is loud is not run, and when nobody works with blades.
    pub quiet: Option<WeeklyTimes>,
    pub no_blades: Option<WeeklyTimes>,
    /// How warm it is; cures take the given times where nobody says.
    pub heat: Option<Heat>,
    /// What does not go on together.
    pub not_together: Vec<Exclusion>,
    /// What cannot be used at one time on this layout, since one of them is rolled out to floor that the other needs.
    pub shared_floor: Vec<SharedFloor>,
    /// What more of something costs.
    pub prices: PriceList,
    /// Names of the room's doors: places after the stations.
    pub doors: Vec<String>,
    /// Where one stands for single operations: places after the doors.
    pub work_stands: Vec<WorkStand>,
}

impl Shop {
    /// Stations, doors, and where one stands for single operations.
    pub fn places(&self) -> usize {
        self.stations.len() + self.doors.len() + self.work_stands.len()
    }

    pub fn place_kind(&self, place: PlaceId) -> PlaceKind {
        PlaceKind::of(place, self.stations.len(), self.doors.len())
    }

    /// The station at which a place is, if it is at one.
    pub fn station_at(&self, place: PlaceId) -> Option<StationId> {
        match self.place_kind(place) {
            PlaceKind::Station(station) => Some(station),
            PlaceKind::Door(_) => None,
            PlaceKind::WorkStand(stand) => Some(self.work_stands.get(stand)?.station),
        }
    }

    /// Whether what is at one place is at another one: where it is, or elsewhere at the same station.
    pub fn is_at(&self, place: PlaceId, here: PlaceId) -> bool {
        let at_station = || {
            self.station_at(place)
                .is_some_and(|at| self.station_at(here) == Some(at))
        };
        place == here || !self.work_stands.is_empty() && at_station()
    }

    /// Where somebody stands who works at a station and has been at a place: there, if that is at the station, since whoever
    /// has walked to where one stands for the work is there already.
    pub fn stood_at(&self, station: StationId, last: PlaceId) -> PlaceId {
        match self.station_at(last) == Some(station) {
            true => last,
            false => station.into(),
        }
    }

    /// Where one stands for work at a station, and for single operations there.
    pub fn places_at(&self, station: StationId) -> impl Iterator<Item = PlaceId> + '_ {
        let first = self.stations.len() + self.doors.len();
        let stands = (self.work_stands.iter().enumerate())
            .filter(move |(_, stand)| stand.station == station)
            .map(move |(nth, _)| PlaceId((first + nth) as u32));
        std::iter::once(PlaceId::from(station)).chain(stands)
    }

    /// When a run begins to count: at the first opening, or with the first order that may come before it.
    pub fn begins(&self) -> Moment {
        let releases = self.orders.iter().map(|line| match line.arrivals {
            Arrivals::Every {
                first: Some(first), ..
            } => Moment::START + first,
            _ => Moment::NEVER,
        });
        releases.fold(self.calendar.first_opening(), Moment::min)
    }

    /// What people call what a unit is set to.
    pub fn set_to_name(&self, set_to: SetTo) -> &str {
        match (set_to.setting, set_to.operation) {
            (Some(setting), _) => &self.settings[setting],
            (None, Some(operation)) => &self.operations[operation],
            (None, None) => "",
        }
    }

    /// What people call a place.
    pub fn place_name(&self, place: PlaceId) -> &str {
        match self.place_kind(place) {
            PlaceKind::Station(station) => &self.stations[station].name,
            PlaceKind::Door(door) => &self.doors[door],
            PlaceKind::WorkStand(stand) => &self.work_stands[stand].name,
        }
    }

    /// Projects that are ordered, each once, in the file's order.
    pub fn ordered_projects(&self) -> impl Iterator<Item = (ProjectId, &Project)> {
        let is_ordered = |id: ProjectId| self.orders.iter().any(|line| line.project == id);
        (self.projects.enumerate()).filter(move |(id, _)| is_ordered(*id))
    }

    /// Items of the projects that are ordered.
    pub fn ordered_items(&self) -> impl Iterator<Item = &Item> {
        self.ordered_projects()
            .flat_map(|(_, project)| &project.items)
    }

    /// What may be done at which station for the projects that are ordered.
    pub fn ordered_work(&self) -> impl Iterator<Item = (StationId, &Work)> {
        self.ordered_items()
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
            .map(|choice| (choice.station, &choice.work))
    }

    /// Who takes some of a kind of gear for the projects that are ordered, and how much of it for the largest lot.
    pub fn takers_of(&self, gear: GearId) -> impl Iterator<Item = (&Work, u32)> {
        let items = (self.orders.iter()).flat_map(|line| {
            let items = self.projects[line.project].items.iter();
            items.map(|item| {
                (
                    item,
                    item.largest_lot(item.pieces.saturating_mul(line.together)),
                )
            })
        });
        items.flat_map(move |(item, lot)| {
            let choices = item.route.iter().flat_map(|step| &step.choices);
            choices.filter_map(move |choice| {
                let mut taken = choice.work.gear.iter();
                let (_, count) = taken.find(|(kind, _)| *kind == gear)?;
                Some((&choice.work, count.of(lot)))
            })
        })
    }

    /// Whether any draw can change a run: a shop in which nothing varies needs one replication.
    pub fn varies(&self) -> bool {
        let work = self
            .projects
            .iter()
            .flat_map(|project| &project.items)
            .flat_map(|item| &item.route);
        let mut setups = (self.stations.iter()).flat_map(|station| &station.setup_from);
        work.flat_map(|step| &step.choices)
            .any(|choice| choice.work.varies())
            || setups.any(|from| from.to.iter().any(|(_, time)| !time.is_fixed()))
            || self.orders.iter().any(|line| line.arrivals.varies())
    }
}
