//! The floor before a door and behind it, for what is carried through, and the searches that loads have in common.

use std::sync::OnceLock;

use crate::floor::hauling::{ConvexSolids, Destination, Haul, Hauling, Lie, Placed, Rectangle};
use crate::floor::polygon::place_on_edge;
use crate::floor::{Door, Obstacle, Plan, Point, Polygon, Room, outward};

/// Walls without a door are taken to be so thick, in metres: nothing behind them is looked at.
const WALL: f64 = 0.1;
/// How near a piece begins to the wall outside, in metres.
const CLEAR: f64 = 0.05;

/// The narrowest place of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightest {
    pub at: Point,
    /// The two things that are nearest there, if there are two.
    pub between: Option<[Obstacle; 2]>,
    /// What is left to each of them, in metres.
    pub spare: f64,
}

/// What stands on the floor and in the walls, with one door open, and what lies before that door.
pub(super) struct Floor {
    solids: ConvexSolids<Obstacle>,
    /// The middle of the opening on the outer face of the wall, and the directions out of the room and along the wall.
    threshold: Point,
    outward: Point,
    corridor: Option<f64>,
    /// Width of the opening.
    opening: f64,
    /// The least and the greatest coordinates of the room.
    bounds: (Point, Point),
}

impl Floor {
    /// For a piece that is carried over what is no higher than this, in metres.
    pub fn new(plan: &Plan, room: &Room, door: &Door, over: f64) -> Floor {
        let mut solids = ConvexSolids::new();
        for (obstacle, outline) in plan.obstacles() {
            if plan.height_of(obstacle) > over {
                solids.add(obstacle, &outline);
            }
        }
        for edge in room.outline.edges() {
            let along = (edge.1 - edge.0) * (1.0 / edge.0.distance(edge.1));
            let out = outward(edge);
            let block = |from: f64, to: f64, thick: f64| {
                let (from, to) = (edge.0 + along * from, edge.0 + along * to);
                Polygon::new(&[from, to, to + out * thick, from + out * thick]).ok()
            };
            let length = edge.0.distance(edge.1);
            let blocks = match place_on_edge(edge, door.between) {
                Some((first, last)) => {
                    let thick = door.wall.max(WALL);
                    [block(0.0, first, thick), block(last, length, thick)]
                }
                None => [block(0.0, length, WALL), None],
            };
            for block in blocks.iter().flatten() {
                solids.add(Obstacle::Wall, block);
            }
        }
        let outward = room.outward(door);
        let threshold = door.middle() + outward * door.wall;
        if let Some(corridor) = door.corridor {
            // The far wall of a corridor, longer than any piece is.
            const LONG: f64 = 30.0;
            let (near, along) = (threshold + outward * corridor, outward.left());
            let corners = [
                near - along * LONG,
                near + along * LONG,
                near + along * LONG + outward * WALL,
                near - along * LONG + outward * WALL,
            ];
            if let Ok(wall) = Polygon::new(&corners) {
                solids.add(Obstacle::Wall, &wall);
            }
        }
        Floor {
            solids,
            threshold,
            outward,
            corridor: door.corridor,
            opening: door.width(),
            bounds: room.outline.bounds(),
        }
    }

    /// How a rectangle may lie before the door: straight before it, or along the corridor on either side.
    fn first_lies(&self, rectangle: Rectangle) -> Vec<Lie> {
        let turn_of = |direction: Point| libm::atan2(direction.y, direction.x);
        match self.corridor {
            None => vec![Lie {
                at: self.threshold + self.outward * (rectangle.length / 2.0 + CLEAR),
                turn: turn_of(self.outward),
            }],
            Some(corridor) => {
                let along = self.outward.left();
                let aside = rectangle.length / 2.0 + rectangle.width + CLEAR;
                [-aside, aside]
                    .map(|aside| Lie {
                        at: self.threshold + self.outward * (corridor / 2.0) + along * aside,
                        turn: turn_of(along),
                    })
                    .to_vec()
            }
        }
    }

    /// What all searches for ways of a rectangle begin with.
    fn hauling(&self, rectangle: Rectangle) -> Hauling<'_, Obstacle> {
        let from = self.first_lies(rectangle);
        let bounds = self.bounds_with(from.iter().map(|lie| lie.at));
        Hauling::new(&self.solids, rectangle, from, bounds)
    }

    /// The least and the greatest coordinates of the room and of points outside, with some room around these.
    fn bounds_with(&self, points: impl Iterator<Item = Point>) -> (Point, Point) {
        points.fold(self.bounds, |(least, most), at| {
            (
                Point::new(least.x.min(at.x - CLEAR), least.y.min(at.y - CLEAR)),
                Point::new(most.x.max(at.x + CLEAR), most.y.max(at.y + CLEAR)),
            )
        })
    }

    /// How far a rectangle is from everything, in metres; negative where it overlaps something.
    pub fn gap(&self, rectangle: Rectangle, lie: Lie) -> f64 {
        self.solids.gap(&Placed::new(rectangle, lie))
    }

    /// Whether a rectangle gets out through the door from one of some lies, and where it is tightest.
    pub fn leave(&self, rectangle: Rectangle, from: Vec<Lie>) -> (Haul, Option<Tightest>) {
        // What is there lies wholly outside.
        let far = 2.0 * rectangle.reach() + 2.0 * CLEAR;
        let outside: Vec<Point> = match self.corridor {
            None => vec![self.threshold + self.outward * far],
            Some(corridor) => {
                let middle = self.threshold + self.outward * (corridor / 2.0);
                let aside = self.outward.left() * (self.opening / 2.0 + far);
                vec![middle + aside, middle - aside]
            }
        };
        let bounds = self.bounds_with(outside.iter().copied());
        let hauling = Hauling::new(&self.solids, rectangle, from, bounds);
        let mut best = Haul::DoesNotPass;
        for point in outside {
            let goal = Destination {
                point,
                reach: CLEAR,
                room: None,
            };
            match hauling.to(goal) {
                found @ Haul::Passes { .. } => {
                    let tightest = self.tightest(rectangle, &found);
                    return (found, tightest);
                }
                found @ Haul::NotShown { .. } => best = found,
                Haul::DoesNotPass => {}
            }
        }
        (best, None)
    }

    /// Where a way is tightest.
    fn tightest(&self, rectangle: Rectangle, haul: &Haul) -> Option<Tightest> {
        let Haul::Passes {
            tightest, spare, ..
        } = haul
        else {
            return None;
        };
        let near = self.solids.nearest(&Placed::new(rectangle, *tightest));
        let between = match near.as_slice() {
            [one, other, ..] => Some([*one, *other]),
            _ => None,
        };
        Some(Tightest {
            at: tightest.at,
            between,
            spare: *spare,
        })
    }
}

/// Ways through a door of loads of one size.
pub(super) struct Approach<'a> {
    floor: &'a Floor,
    /// What the searches for rectangles begin with that all of the loads ask for.
    haulings: Vec<(Rectangle, OnceLock<Hauling<'a, Obstacle>>)>,
}

impl<'a> Approach<'a> {
    pub fn new(floor: &'a Floor, rectangles: &[Rectangle]) -> Approach<'a> {
        let rectangles = rectangles.iter();
        Approach {
            floor,
            haulings: rectangles.map(|&of| (of, OnceLock::new())).collect(),
        }
    }

    /// The least and the greatest coordinates of the room.
    pub fn bounds(&self) -> (Point, Point) {
        self.floor.bounds
    }

    /// Whether a rectangle gets from before the door to a goal, and where it is tightest.
    pub fn haul(&self, rectangle: Rectangle, goal: Destination<'_>) -> (Haul, Option<Tightest>) {
        let floor = self.floor;
        let haul = match self.haulings.iter().find(|(of, _)| *of == rectangle) {
            Some((of, hauling)) => hauling.get_or_init(|| floor.hauling(*of)).to(goal),
            None => floor.hauling(rectangle).to(goal),
        };
        let tightest = floor.tightest(rectangle, &haul);
        (haul, tightest)
    }
}
