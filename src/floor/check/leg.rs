//! The ways that people walk on a layout, and how wide they are.

use crate::floor::{Limits, Manner, Obstacle, Obstruction, Passages, Path, Plan, Point};
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

/// Measures how wide ways are on one plan.
pub struct Widths<'a> {
    plan: &'a Plan,
    passages: Passages,
    /// In metres: places that are wider are not told of.
    most: f64,
    obstacles: Vec<Obstacle>,
}

impl<'a> Widths<'a> {
    pub fn new(plan: &'a Plan) -> Widths<'a> {
        Widths::with(f64::INFINITY, plan, plan.passages())
    }

    /// Of some ways alone, as far as the rules tell of them.
    pub fn told(ways: &[&Path], plan: &'a Plan, limits: &Limits) -> Widths<'a> {
        // Of ways through the line of a saw the rules tell however wide they are.
        let mut placed = plan.placements.iter().flatten();
        match placed.any(|placement| placement.kickback) {
            true => Widths::new(plan),
            false => Widths::along(ways, widest_judged(limits), plan),
        }
    }

    /// Of some ways alone, as far as they are no wider than so many metres.
    pub fn along(ways: &[&Path], most: f64, plan: &'a Plan) -> Widths<'a> {
        Widths::with(most, plan, plan.passages_along(ways, most))
    }

    fn with(most: f64, plan: &'a Plan, passages: Passages) -> Widths<'a> {
        Widths {
            plan,
            passages,
            most,
            obstacles: plan.obstacles().map(|(obstacle, _)| obstacle).collect(),
        }
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
        let narrowest = self.passages.narrowest(&led, beyond)?;
        (narrowest.width <= self.most).then(|| WalkedLeg {
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
}
