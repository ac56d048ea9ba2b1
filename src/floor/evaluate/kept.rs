//! What a move touches, and what of a placement that is known it leaves as it is.

use crate::floor::check::{FirstStep, FloorChange, NarrowPlaces, WalkedLeg, widest_judged};
use crate::floor::shapes::AxisBox;
use crate::floor::tolerance::LED_ON_M;
use crate::floor::{Path, Piece, Plan, Point, SAME_POINT_M, Site};
use crate::shop::StationId;

/// What a move touches.
#[derive(Debug)]
pub(super) struct Touched {
    /// The stations that stand elsewhere.
    pub stations: Vec<StationId>,
    /// Around the footprints that they had and that they have now.
    pub boxes: Vec<AxisBox>,
}

impl Touched {
    pub fn change(&self) -> FloorChange<'_> {
        FloorChange {
            moved: &self.stations,
            touched: &self.boxes,
        }
    }

    pub fn meets(&self, around: &AxisBox) -> bool {
        self.boxes.iter().any(|touched| touched.meets(around))
    }

    /// Whether something of it comes nearer to a way, or to a step beyond its ends, than so many metres.
    pub fn comes_near(&self, path: &Path, within: f64) -> bool {
        let within = within + LED_ON_M;
        let is_near = |line: (Point, Point)| {
            let mut boxes = self.boxes.iter();
            boxes.any(|touched| comes_near(touched, line, within))
        };
        is_near((path.from, path.from))
            || is_near((path.to, path.to))
            || path.pieces.iter().any(|piece| match *piece {
                Piece::Line { from, to } => is_near((from, to)),
                Piece::Arc { .. } => {
                    let [low, high] = piece.around();
                    self.meets(&AxisBox { low, high }.grown(within))
                }
            })
    }
}

/// The narrow places of ways of which some rule asks how wide they are.
pub(super) fn narrow(site: &Site<'_>, plan: &Plan) -> NarrowPlaces {
    let may_be_walked = plan.placements.enumerate().any(|(station, placement)| {
        let throws = placement.is_some_and(|placement| placement.kickback);
        throws && site.walked_while_running(station)
    });
    let most = match may_be_walked {
        true => f64::INFINITY,
        false => widest_judged(site.premises.limits),
    };
    NarrowPlaces::up_to(most, site.premises.limits)
}

/// The steps that a move does not touch.
pub(super) fn kept_steps(plan: &Plan, steps: &[FirstStep], touched: &Touched) -> Vec<FirstStep> {
    let is_kept = |step: &&FirstStep| {
        let of = plan.station_at(step.place);
        let is_moved = of.is_some_and(|of| touched.stations.contains(&of));
        let near = |standing: Point| {
            let around = AxisBox {
                low: standing,
                high: standing,
            };
            let around = around.grown(step.reach + SAME_POINT_M);
            touched.meets(&around)
        };
        !is_moved
            && plan
                .standing(step.place)
                .is_some_and(|standing| !near(standing))
    };
    steps.iter().filter(is_kept).copied().collect()
}

/// The legs that have a narrow place, with their numbers.
pub(super) fn with_numbers(widths: &[Option<WalkedLeg>]) -> (Vec<usize>, Vec<WalkedLeg>) {
    let numbered = widths.iter().enumerate();
    numbered
        .filter_map(|(leg, width)| Some((leg, (*width)?)))
        .unzip()
}

/// Whether a box comes nearer to a line than so many metres along either axis; perhaps, where that is infinite.
fn comes_near(area: &AxisBox, (from, to): (Point, Point), within: f64) -> bool {
    let area = area.grown(within);
    let half = (area.high - area.low) * 0.5;
    let along = to - from;
    let aside = along.cross(area.low + half - from).abs();
    let is_beside = aside > along.x.abs() * half.y + along.y.abs() * half.x;
    !is_beside && AxisBox::around([from, to]).is_none_or(|line| line.meets(&area))
}
