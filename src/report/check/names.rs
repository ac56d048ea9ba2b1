//! What people call the things that findings are about.

use crate::floor::{Between, Cargo, FindingSubject, Obstacle, Room};
use crate::shop::{ItemId, PlaceId, ProjectId, Shop};

/// The names of a shop and its room.
#[derive(Clone, Copy)]
pub struct ShopNames<'a> {
    pub shop: &'a Shop,
    pub room: Option<&'a Room>,
}

pub const WALL: &str = "the wall";

impl<'a> ShopNames<'a> {
    pub fn subject(self, subject: &FindingSubject) -> String {
        let name = match subject {
            FindingSubject::Place(place) => self.place(*place),
            FindingSubject::Thing(thing) => self.thing(*thing),
            FindingSubject::Wall => WALL,
            FindingSubject::Panel(panel) => self
                .room
                .and_then(|room| room.panels.get(*panel))
                .map_or("a panel", |panel| &panel.name),
            FindingSubject::AccessRoute(way) => self
                .room
                .and_then(|room| room.ways.get(*way))
                .map_or("a way in", |way| &way.name),
            FindingSubject::Kept(kept) => self
                .room
                .and_then(|room| room.kept.get(*kept))
                .map_or("a place", |kept| kept.kind.name()),
            FindingSubject::Cargo(cargo) => return self.cargo(cargo),
        };
        name.to_owned()
    }

    /// A station or, after all stations, a door.
    pub fn place(self, place: PlaceId) -> &'a str {
        match self.shop.station_at(place) {
            Some(_) => self.shop.place_name(place),
            // The room knows its doors, be they places of the shop or not.
            None => self.door(place.index() - self.shop.stations.len()),
        }
    }

    pub fn door(self, door: usize) -> &'a str {
        self.room
            .and_then(|room| room.doors.get(door))
            .map_or("a place outside", |door| &door.name)
    }

    fn thing(self, thing: usize) -> &'a str {
        self.room
            .and_then(|room| room.thing(thing))
            .map_or("something", |thing| &thing.name)
    }

    pub fn obstacle(self, obstacle: Obstacle) -> &'a str {
        match obstacle {
            Obstacle::Station(station) => &self.shop.stations[station].name,
            Obstacle::Thing(thing) => self.thing(thing),
            Obstacle::Wall => WALL,
        }
    }

    /// Where a gap is.
    pub fn between(self, between: Between) -> String {
        match between {
            Between::Sides(sides) => {
                let [one, other] = sides.map(|side| self.obstacle(side));
                format!("between {one} and {other}")
            }
            Between::Door(door) => format!("in {}", self.door(door)),
            Between::Walls => "between the walls".to_owned(),
        }
    }

    fn cargo(self, cargo: &Cargo) -> String {
        match cargo {
            Cargo::Stock(stock) => self
                .room
                .and_then(|room| room.stock.get(*stock))
                .map_or_else(String::new, |stock| stock.name.clone()),
            Cargo::CutInto(parts) => {
                let parts: Vec<String> = parts
                    .iter()
                    .map(|&(project, item)| self.item(project, item))
                    .collect();
                format!("the stock of {}", parts.join(", "))
            }
            Cargo::Item(project, item) => self.item(*project, *item),
        }
    }

    /// An item's name, with its project where there are several.
    pub fn item(self, project: ProjectId, item: ItemId) -> String {
        let project = &self.shop.projects[project];
        let item = &project.items[item.index()];
        match self.shop.projects.len() {
            1 => item.name.clone(),
            _ if item.name == project.name => item.name.clone(),
            _ => format!("{} of {}", item.name, project.name),
        }
    }

    /// The name of an item's project as it is added to the item's, where there are several projects.
    pub fn of_project(self, project: ProjectId) -> String {
        match self.shop.projects.len() {
            1 => String::new(),
            _ => format!(" of {}", self.shop.projects[project].name),
        }
    }
}
