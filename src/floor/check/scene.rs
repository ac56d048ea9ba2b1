//! What the rules look at: a layout with everything on it that has an outline.

use super::{Limits, WalkedLeg};
use crate::floor::strips::{End, Strip, solid_walls};
use crate::floor::{Door, Obstacle, Placement, Plan, Point, Polygon, Room, nearest_on_segment};
use crate::shop::{PlaceId, Shop, StationId};

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
