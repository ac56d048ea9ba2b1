//! The room: its outline, its doors, and what stands in the way.

use super::{HeightRange, Point, Polygon, nearest_on_segment, outward};

/// Everything in metres, on the plan of the layouts.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    pub outline: Polygon,
    /// Height under the ceiling.
    pub ceiling: Option<f64>,
    pub doors: Vec<Door>,
    pub blocked: Vec<Thing>,
    /// What stands there only while the shop is shut.
    pub parks: Vec<Thing>,
    pub panels: Vec<Panel>,
    /// Ways by which things come in and go out; without any, each door is one.
    pub ways: Vec<AccessRoute>,
    /// What is brought in besides the parts: boards and sheets as they are bought.
    pub stock: Vec<Stock>,
    /// What is kept at hand for bad moments, and what burns.
    pub kept: Vec<KeptThing>,
}

/// Something small that has its place on a wall or in a corner, and is in nobody's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeptThing {
    pub kind: KeptKind,
    pub at: Point,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeptKind {
    Extinguisher,
    FirstAid,
    FinishCabinet,
    RagCan,
}

impl KeptKind {
    pub const ALL: [KeptKind; 4] = [
        KeptKind::Extinguisher,
        KeptKind::FirstAid,
        KeptKind::FinishCabinet,
        KeptKind::RagCan,
    ];

    /// As it is written, and as it is called.
    pub const fn name(self) -> &'static str {
        match self {
            KeptKind::Extinguisher => "extinguisher",
            KeptKind::FirstAid => "first aid",
            KeptKind::FinishCabinet => "finish cabinet",
            KeptKind::RagCan => "rag can",
        }
    }

    /// Whether what is in it gives off vapour that burns.
    pub const fn gives_off_vapour(self) -> bool {
        matches!(self, KeptKind::FinishCabinet | KeptKind::RagCan)
    }
}

impl Room {
    /// Out of the room through a door, of length 1: across the wall in which the door is, or that is nearest to it.
    pub fn outward(&self, door: &Door) -> Point {
        let away = |&(a, b): &(Point, Point)| {
            let [one, other] = [door.between.0, door.between.1]
                .map(|end| end.distance(nearest_on_segment(end, (a, b))));
            one.max(other)
        };
        let walls = self.outline.edges();
        let wall = walls.min_by(|one, other| away(one).total_cmp(&away(other)));
        wall.map_or(Point::new(0.0, -1.0), outward)
    }

    /// Something that stands in the way; after those that always do, those that park there.
    pub fn thing(&self, index: usize) -> Option<&Thing> {
        self.blocked.iter().chain(&self.parks).nth(index)
    }

    /// The first of those that are as wide as any.
    pub fn widest_door(&self) -> Option<&Door> {
        let doors = self.doors.iter();
        doors.reduce(|widest, door| match door.width() > widest.width() {
            true => door,
            false => widest,
        })
    }
}

/// An opening in the outline. It is a place, too: one stands in its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Door {
    pub name: String,
    /// Both ends lie on one edge of the outline; the clear width is the distance between them.
    pub between: (Point, Point),
    /// Clear height.
    pub height: Option<f64>,
    /// Thickness of the wall.
    pub wall: f64,
    /// Width of a corridor that runs along the wall outside; without one there is open ground.
    pub corridor: Option<f64>,
    /// Whether the leaf swings into the room; it then needs a quarter circle of floor.
    pub swings_in: bool,
    /// Whether the leaf is known to hang at the first end of the opening; otherwise it may hang at either.
    pub hangs_at_first: bool,
    /// Whether the leaf lies below the ceiling while the door is open, as that of most garage doors does.
    pub overhead: bool,
}

impl Door {
    pub fn middle(&self) -> Point {
        (self.between.0 + self.between.1) * 0.5
    }

    /// Clear width.
    pub fn width(&self) -> f64 {
        self.between.0.distance(self.between.1)
    }
}

/// Something that nobody can walk through.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    pub name: String,
    pub outline: Polygon,
    pub heights: HeightRange,
}

/// An electrical panel on a wall: the floor in front of it is kept free.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    pub name: String,
    /// On the wall, the middle of the panel's front.
    pub at: Point,
    /// Into the room, of length 1.
    pub faces: Point,
    pub width: f64,
}

/// How things come from outside into the room, through one door of the room and what lies before it.
#[derive(Debug, Clone, PartialEq)]
pub struct AccessRoute {
    pub name: String,
    /// Index of the room's door.
    pub door: usize,
    /// Corners of corridors: the widths before and after.
    pub corners: Vec<(f64, f64)>,
    pub stair: Option<Stair>,
}

/// A straight flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Stair {
    pub width: f64,
    /// Measured plumb.
    pub headroom: f64,
    pub riser: f64,
    pub tread: f64,
}

/// A board or sheet as it is bought: length, width and thickness, and what it weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    pub name: String,
    pub size: crate::shop::Size,
    pub mass: Option<crate::units::Mass>,
}
