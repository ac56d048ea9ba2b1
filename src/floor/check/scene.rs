//! What the rules look at: a layout with everything on it that has an outline.

use super::{Limits, WalkedLeg};
use crate::floor::strips::{End, Strip, solid_walls};
use crate::floor::{Door, Obstacle, Placement, Plan, Point, Polygon, Room, nearest_on_segment};
use crate::shop::{ItemKind, PlaceId, Project, Shop, StationId};

/// A shop on a layout, ready to be judged.
pub struct Scene<'a> {
    pub shop: &'a Shop,
    pub plan: &'a Plan,
    pub walked: &'a [WalkedLeg],
    pub limits: &'a Limits,
    /// Footprints in the file's order, then the things of the room.
    pub bodies: Vec<Body<'a>>,
    /// Walls without the openings of the doors.
    walls: Vec<(Point, Point)>,
}

/// Something on the floor that takes room.
pub struct Body<'a> {
    pub name: &'a str,
    /// Nothing for a thing of the room.
    pub station: Option<StationId>,
    pub outline: Polygon,
}

impl<'a> Scene<'a> {
    pub fn new(
        shop: &'a Shop,
        plan: &'a Plan,
        walked: &'a [WalkedLeg],
        limits: &'a Limits,
    ) -> Scene<'a> {
        let placements = plan.placements.enumerate();
        let stations = placements.filter_map(|(station, placement)| {
            Some(Body {
                name: shop.stations[station].name.as_str(),
                station: Some(station),
                outline: placement.as_ref()?.footprint()?,
            })
        });
        let things = plan.room.iter().flat_map(|room| &room.blocked);
        let things = things.map(|thing| Body {
            name: thing.name.as_str(),
            station: None,
            outline: thing.outline.clone(),
        });
        Scene {
            shop,
            plan,
            walked,
            limits,
            bodies: stations.chain(things).collect(),
            walls: plan.room.as_ref().map(solid_walls).unwrap_or_default(),
        }
    }

    pub fn room(&self) -> Option<&'a Room> {
        self.plan.room.as_ref()
    }

    /// The stations that the layout places, those without a footprint too.
    pub fn placed(&self) -> impl Iterator<Item = (StationId, &'a str, &'a Placement)> {
        let (shop, plan) = (self.shop, self.plan);
        plan.placements.enumerate().filter_map(move |(id, placed)| {
            Some((id, shop.stations[id].name.as_str(), placed.as_ref()?))
        })
    }

    /// The projects that some order asks for, in the file's order.
    pub fn ordered(&self) -> impl Iterator<Item = &'a Project> {
        self.shop.ordered_projects()
    }

    /// Places that the file has somebody go to, each once, that the layout places. A project that nobody orders counts,
    /// too, for without them the shop cannot be played.
    pub fn used(&self) -> Vec<PlaceId> {
        let shop = self.shop;
        let mut places: Vec<PlaceId> = Vec::new();
        for item in shop.projects.iter().flat_map(|project| &project.items) {
            if let ItemKind::Part { material_at } = &item.kind {
                places.push(*material_at);
            }
            places.extend(item.deliver_to);
            for choice in item.route.iter().flat_map(|step| &step.choices) {
                places.push(PlaceId::from(choice.station));
                places.extend(choice.work.fetch_from);
            }
        }
        places.extend(shop.crew.iter().map(|person| person.starts_at));
        places.extend(shop.gear.iter().filter_map(|gear| gear.stored_at));
        places.extend(shop.handling.carts.as_ref().map(|carts| carts.stored_at));
        places.sort();
        places.dedup();
        places.retain(|&place| self.plan.standing(place).is_some());
        places
    }

    /// What takes room besides one station.
    pub fn others(&self, station: StationId) -> impl Iterator<Item = &Body<'a>> {
        let other = move |body: &&Body<'_>| body.station != Some(station);
        self.bodies.iter().filter(other)
    }

    pub fn doors(&self) -> &'a [Door] {
        self.room().map_or(&[], |room| &room.doors)
    }

    /// How far a strip is free of everything but one station.
    pub fn run(&self, strip: Strip, station: StationId) -> FreeRun<'a> {
        let others: Vec<&Body<'a>> = self.others(station).collect();
        let outlines: Vec<&Polygon> = others.iter().map(|body| &body.outline).collect();
        let run = strip.run(&self.walls, self.doors(), &outlines);
        FreeRun {
            free: run.free,
            end: match run.end {
                End::Wall => Some("the wall"),
                End::Obstacle(index) => Some(others[index].name),
                End::Open => None,
            },
            through: run.through.map(|door| self.doors()[door].name.as_str()),
        }
    }

    /// How far it is along a strip to the first wall.
    pub fn to_wall(&self, strip: Strip) -> Option<f64> {
        strip.run(&self.walls, self.doors(), &[]).free
    }

    /// Where a gap is, for people.
    pub fn between(&self, sides: [Obstacle; 2], place: Point) -> String {
        /// Metres: a body in the doorway.
        const IN_IT: f64 = 0.3;
        let near = |door: &&Door| {
            let threshold = nearest_on_segment(place, door.between);
            place.distance(threshold) < IN_IT
        };
        let at_walls = sides == [Obstacle::Wall; 2];
        if !at_walls {
            let [one, other] = sides.map(|side| self.obstacle_name(side));
            return format!("between {one} and {other}");
        }
        match self.doors().iter().find(near) {
            Some(door) => format!("in {}", door.name),
            None => "between the walls".to_owned(),
        }
    }

    /// What people call something that stands in their way.
    pub fn obstacle_name(&self, obstacle: Obstacle) -> &'a str {
        match obstacle {
            Obstacle::Station(station) => &self.shop.stations[station].name,
            Obstacle::Thing(thing) => self
                .room()
                .map_or("something", |room| &room.blocked[thing].name),
            Obstacle::Wall => "the wall",
        }
    }

    /// What people call a place: a station or, after all stations, a door.
    pub fn place_name(&self, place: PlaceId) -> &'a str {
        let stations = self.shop.stations.len();
        match place.index().checked_sub(stations) {
            None => &self.shop.stations[StationId(place.0)].name,
            Some(door) => self
                .room()
                .and_then(|room| room.doors.get(door))
                .map_or("a place outside", |door| &door.name),
        }
    }
}

/// How far a strip is free, with names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeRun<'a> {
    /// In metres; nothing where it has no end.
    pub free: Option<f64>,
    /// What ends it.
    pub end: Option<&'a str>,
    /// The door through which it leaves the room.
    pub through: Option<&'a str>,
}
