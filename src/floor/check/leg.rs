//! The ways that people walk on a layout, and how wide they are.

use crate::floor::tolerance::{IN_A_DOORWAY_M, LED_ON_M};
use crate::floor::{
    Door, Limits, Manner, Narrowest, Obstacle, Obstruction, Passages, Path, Plan, Point,
    SAME_POINT_M, nearest_on_segment,
};
use crate::shop::PlaceId;

/// The narrowest place of a way that people walk from one place to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WalkedLeg {
    pub from: PlaceId,
    pub to: PlaceId,
    /// Whether pieces are carried or pushed along it.
    pub loaded: bool,
    /// Mean number in a replication.
    pub trips: f64,
    /// Clear width in metres at the narrowest place.
    pub width: f64,
    pub place: Point,
    /// What stands on both sides of it there.
    pub between: [Obstacle; 2],
}

/// The widest way, in metres, of which the rules about ways judge how wide it is.
pub fn widest_judged(limits: &Limits) -> f64 {
    limits.aisle.max(limits.aisle_loaded).max(limits.way_out)
}

/// Which places of a way are looked for as narrow.
#[derive(Debug, Clone, Copy)]
pub struct NarrowPlaces {
    /// In metres: none that are wider; all without it.
    pub most: Option<f64>,
    /// In metres: the opening of a door that is no narrower is as doors are, and the narrowest place is another one.
    pub door: f64,
}

impl NarrowPlaces {
    pub fn all(limits: &Limits) -> NarrowPlaces {
        NarrowPlaces {
            most: None,
            door: limits.way_out,
        }
    }

    pub fn up_to(most: f64, limits: &Limits) -> NarrowPlaces {
        NarrowPlaces {
            most: Some(most),
            ..NarrowPlaces::all(limits)
        }
    }

    pub fn widest(&self) -> f64 {
        self.most.unwrap_or(f64::INFINITY)
    }
}

/// The door to which a gap between two walls belongs.
pub fn door_at(doors: &[Door], place: Point) -> Option<usize> {
    let near = |door: &Door| {
        let threshold = nearest_on_segment(place, door.between);
        place.distance(threshold) < IN_A_DOORWAY_M
    };
    doors.iter().position(near)
}

/// Measures how wide ways are on one plan.
pub struct Widths<'a> {
    plan: &'a Plan,
    passages: Passages,
    narrow: NarrowPlaces,
    obstacles: Vec<Obstacle>,
}

impl<'a> Widths<'a> {
    /// Of some ways alone, or of any where all places are looked for.
    pub fn new(ways: &[&Path], narrow: NarrowPlaces, plan: &'a Plan) -> Widths<'a> {
        Widths {
            plan,
            passages: match narrow.most {
                Some(most) => plan.passages_along(ways, most),
                None => plan.passages(),
            },
            narrow,
            obstacles: plan.obstacles().map(|(obstacle, _)| obstacle).collect(),
        }
    }

    /// Of some ways alone, as far as the rules tell of them.
    pub fn told(ways: &[&Path], plan: &'a Plan, limits: &Limits) -> Widths<'a> {
        // Of ways through the line of a saw the rules tell however wide they are.
        let mut placed = plan.placements.iter().flatten();
        let narrow = match placed.any(|placement| placement.kickback) {
            true => NarrowPlaces::all(limits),
            false => NarrowPlaces::up_to(widest_judged(limits), limits),
        };
        Widths::new(ways, narrow, plan)
    }

    /// A walk from one place to another with its narrowest place; nothing if it passes none of less than 10 m, or than
    /// what is measured.
    pub fn of(
        &self,
        (from, to): (PlaceId, PlaceId),
        (manner, trips): (Manner, f64),
        path: &Path,
    ) -> Option<WalkedLeg> {
        // Who stops within a body's radius of a gap stands in it, and does not pass it.
        let inside = self.plan.body_width / 2.0;
        let (led, beyond) = self.plan.through_doors(path, [from, to], inside);
        let mut narrowest = self.passages.narrowest(&led, beyond)?;
        if self.is_door_as_doors_are(&narrowest) {
            // The way ends in the opening; what lies before that is passed.
            let before = beyond.map(|beyond| beyond.max(LED_ON_M));
            narrowest = self.passages.narrowest(path, before).unwrap_or(narrowest);
        }
        (narrowest.width <= self.narrow.widest()).then(|| WalkedLeg {
            from,
            to,
            loaded: manner != Manner::Empty,
            trips,
            width: narrowest.width,
            place: narrowest.at,
            between: narrowest.between.map(|side| match side {
                Obstruction::Wall(_) => Obstacle::Wall,
                Obstruction::Obstacle(index) => self.obstacles[index],
            }),
        })
    }

    fn is_door_as_doors_are(&self, narrowest: &Narrowest) -> bool {
        let mut between = narrowest.between.iter();
        let doors = self.plan.room.as_ref().map(|room| &room.doors[..]);
        between.all(|side| matches!(side, Obstruction::Wall(_)))
            && narrowest.width >= self.narrow.door - SAME_POINT_M
            && door_at(doors.unwrap_or_default(), narrowest.at).is_some()
    }
}
