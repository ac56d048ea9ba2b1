//! The floor on paper: how metres become places of a picture.

use super::canvas::Area;
use super::layout::Layout;
use crate::floor::{Placement, Point, Polygon, Room};
use crate::shop::PlaceId;

/// How thick walls are drawn where no door says it, in metres.
const WALL: f64 = 0.12;
/// Smaller layouts are drawn as if they were so large, in metres.
const LEAST: f64 = 1.0;

/// A rectangle of the floor.
#[derive(Debug, Clone, Copy)]
pub struct Extent {
    pub least: Point,
    pub most: Point,
}

impl Extent {
    fn of(points: impl Iterator<Item = Point>) -> Option<Extent> {
        points
            .filter(|point| point.x.is_finite() && point.y.is_finite())
            .fold(None, |extent: Option<Extent>, point| {
                let (least, most) = extent.map_or((point, point), |it| (it.least, it.most));
                Some(Extent {
                    least: Point::new(least.x.min(point.x), least.y.min(point.y)),
                    most: Point::new(most.x.max(point.x), most.y.max(point.y)),
                })
            })
    }

    pub fn width(&self) -> f64 {
        self.most.x - self.least.x
    }

    pub fn height(&self) -> f64 {
        self.most.y - self.least.y
    }

    fn grown(self, by: f64) -> Extent {
        let by = Point::new(by, by);
        Extent {
            least: self.least - by,
            most: self.most + by,
        }
    }
}

/// What is measured: the room, or without one what is placed. None if nothing is.
pub fn measured(layout: &Layout) -> Option<Extent> {
    match &layout.plan.room {
        Some(room) => Extent::of(room.outline.corners().iter().copied()),
        None => placed(layout),
    }
}

fn placed(layout: &Layout) -> Option<Extent> {
    let placements = || layout.plan.placements.iter().flatten();
    let footprints: Vec<Polygon> = placements().filter_map(Placement::footprint).collect();
    let corners = footprints.iter().flat_map(Polygon::corners).copied();
    Extent::of(placements().map(|placement| placement.at).chain(corners))
}

/// What has to be on the paper: the room with its walls, and all that may lie outside of it. None if no station is
/// placed: a room alone is no layout.
pub fn shown(layout: &Layout) -> Option<Extent> {
    layout.plan.placements.iter().flatten().next()?;
    let room = layout.plan.room.as_ref();
    let walls = room.map(|room| {
        let (least, most) = room.outline.bounds();
        Extent { least, most }.grown(wall(room))
    });
    let walls = walls.iter().flat_map(|walls| [walls.least, walls.most]);
    let placed = placed(layout);
    let placed = placed.iter().flat_map(|placed| [placed.least, placed.most]);
    let places = (0..layout.plan.places() as u32).map(PlaceId);
    let standing = places
        .filter(|&place| layout.plan.station_at(place).is_some())
        .filter_map(|place| layout.plan.standing(place));
    let strips = layout.strips.iter().map(|strip| &strip.outline);
    let areas = (strips.chain(&layout.keep_free).chain(&layout.throws)).flat_map(Polygon::corners);
    let things = room.iter().flat_map(|room| &room.blocked);
    let things = things.flat_map(|thing| thing.outline.corners());
    let paths = layout.paths.iter().flat_map(|path| &path.points);
    let others = areas.chain(things).chain(paths).copied();
    let extent = Extent::of(walls.chain(placed).chain(standing).chain(others))?;
    let missing = LEAST - extent.width().max(extent.height());
    Some(extent.grown((missing / 2.0).max(0.0)))
}

/// The thickness of the walls: of the thinnest that a door lies in.
pub fn wall(room: &Room) -> f64 {
    let walls = room.doors.iter().map(|door| door.wall);
    let thinnest = walls
        .filter(|wall| *wall > 0.0)
        .fold(f64::INFINITY, f64::min);
    if thinnest.is_finite() { thinnest } else { WALL }
}

/// An extent of the floor in a place of the picture. Y goes up on the floor and down in the picture.
pub struct Sheet {
    /// Where it lies in the picture.
    pub area: Area,
    /// Units of the picture in a metre.
    pub metre: f64,
    least: Point,
    /// What the ids of all that is drawn on it begin with, if it is one of several.
    pub id: String,
}

impl Sheet {
    pub fn new(extent: &Extent, corner: (f64, f64), metre: f64) -> Sheet {
        Sheet {
            id: String::new(),
            area: Area {
                x: corner.0,
                y: corner.1,
                width: extent.width() * metre,
                height: extent.height() * metre,
            },
            metre,
            least: extent.least,
        }
    }

    /// Its place with a strip of the picture around it.
    pub fn with_strip(&self, by: f64) -> Area {
        Area {
            x: self.area.x - by,
            y: self.area.y - by,
            width: self.area.width + 2.0 * by,
            height: self.area.height + 2.0 * by,
        }
    }

    pub fn at(&self, point: Point) -> (f64, f64) {
        let bottom = self.area.y + self.area.height;
        (
            self.area.x + (point.x - self.least.x) * self.metre,
            bottom - (point.y - self.least.y) * self.metre,
        )
    }

    /// The place on the floor that is drawn there.
    pub fn floor(&self, (x, y): (f64, f64)) -> Point {
        let bottom = self.area.y + self.area.height;
        Point::new(
            self.least.x + (x - self.area.x) / self.metre,
            self.least.y + (bottom - y) / self.metre,
        )
    }

    pub fn points(&self, points: &[Point]) -> Vec<(f64, f64)> {
        points.iter().map(|point| self.at(*point)).collect()
    }
}
