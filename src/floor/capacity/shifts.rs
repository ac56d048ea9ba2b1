//! Moves of one station after which a piece passes a machine: none is named that was not tried by all rules.

use super::{FedMachine, Shortfall};
use crate::floor::check::{MissingParts, Scene};
use crate::floor::strips::{LyingAcross, StationExtent};
use crate::floor::{
    Evaluation, Flow, Obstacle, Placement, Plan, Point, Pose, Prices, SAME_POINT_M, Site,
};
use crate::shop::StationId;

/// A station that stands elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationShift {
    pub station: StationId,
    /// In metres.
    pub by: Point,
}

/// So many moves are tried for one piece, the shortest first.
const MOST_TRIED: usize = 4;

/// A fault or a warning costs more than anybody walks, so that a move that makes one is refused without more ado.
const PRICES: Prices = Prices {
    fault: 2.0 * FAR_M,
    fault_metre: 0.0,
    warning: 2.0 * FAR_M,
    warning_metre: 0.0,
};

/// Farther than anybody walks.
const FAR_M: f64 = 1e12;

/// Tries moves on one layout.
pub struct Shifts<'a> {
    site: &'a Site<'a>,
    plan: &'a Plan,
    flow: &'a Flow,
    /// Distances are multiples of it, in metres.
    step: f64,
    /// Made when the first move is worth judging.
    evaluation: Option<Evaluation<'a>>,
    /// What is missing where everything stands now, part by part, where the evaluation does not know that.
    parts: Option<MissingParts>,
    /// Moves that have been judged, and whether they make nothing worse: a board and a sheet often ask for the same.
    judged: Vec<(StationShift, bool)>,
}

impl<'a> Shifts<'a> {
    pub fn new(site: &'a Site<'a>, plan: &'a Plan, flow: &'a Flow, step: f64) -> Shifts<'a> {
        Shifts {
            site,
            plan,
            flow,
            step,
            evaluation: None,
            parts: None,
            judged: Vec::new(),
        }
    }

    /// The shortest of the moves tried after which the piece passes and nothing else lacks more than before.
    pub fn helping(
        &mut self,
        machine: &FedMachine<'_, '_>,
        short: &Shortfall,
    ) -> Option<StationShift> {
        let mut shifts = self.possible(machine, short);
        shifts.sort_by(|one, other| one.by.length().total_cmp(&other.by.length()));
        shifts.truncate(MOST_TRIED);
        let helps = |shift: &StationShift| self.makes_room(machine.station, short, *shift);
        let helping: Vec<StationShift> = shifts.into_iter().filter(helps).collect();
        (helping.into_iter()).find(|shift| self.makes_nothing_worse(*shift))
    }

    /// Moves of the machine along its strip and beside it, and of what ends the strip.
    fn possible(&self, machine: &FedMachine<'_, '_>, short: &Shortfall) -> Vec<StationShift> {
        let toward = machine.toward;
        let mut shifts = Vec::new();
        let mut shift = |station: StationId, along: Point, metres: f64| {
            // Rounded up, but for what comes of roundings.
            let steps = ((metres.abs() - SAME_POINT_M) / self.step).ceil();
            let by = along * (steps * self.step * metres.signum());
            shifts.push(StationShift { station, by });
        };
        if short.beside.is_none() {
            let [before, behind] = short.missing;
            if behind == 0.0 {
                shift(machine.station, toward, before);
            } else if before == 0.0 {
                shift(machine.station, toward, -behind);
            }
        }
        let aside = toward.left();
        let body = StationExtent::of(machine.placement, machine.side);
        let side = machine.allowances.side;
        let lyings = LyingAcross::at(machine.placement, short.is_sheet);
        for (end, way) in [(0, -1.0), (1, 1.0)] {
            let Some(Obstacle::Station(other)) = short.ends[end] else {
                continue;
            };
            if short.beside.is_none() && short.missing[1 - end] == 0.0 {
                shift(other, toward, way * short.missing[end]);
            }
            let placement = self.plan.placements[other].as_ref();
            let Some(outline) = placement.and_then(Placement::footprint) else {
                continue;
            };
            let sides = outline.corners().iter();
            let sides = sides.map(|&corner| aside.dot(corner - machine.placement.at));
            let (least, most) = sides.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), side| {
                (a.min(side), b.max(side))
            });
            for lying in lyings {
                let [left, right] = lying.reach(short.width, body.across, side);
                // Past one side of it or past the other.
                shift(machine.station, aside, most + right);
                shift(machine.station, aside, least - left);
                shift(other, aside, left - least);
                shift(other, aside, -right - most);
            }
        }
        shifts
    }

    fn moved(&self, shift: StationShift) -> Option<Placement> {
        let placement = *self.plan.placements[shift.station].as_ref()?;
        Some(Placement {
            at: placement.at + shift.by,
            ..placement
        })
    }

    fn makes_room(&self, station: StationId, short: &Shortfall, shift: StationShift) -> bool {
        let Some(moved) = self.moved(shift) else {
            return false;
        };
        let mut plan = self.plan.clone();
        plan.placements[shift.station] = Some(moved);
        let scene = Scene::new(self.site, &plan, &[]);
        let machine = FedMachine::new(&scene, station);
        machine.is_some_and(|machine| {
            machine
                .fed(short.length, short.width, short.is_sheet)
                .fits()
        })
    }

    fn makes_nothing_worse(&mut self, shift: StationShift) -> bool {
        let known = self.judged.iter().find(|(known, _)| *known == shift);
        if let Some(&(_, is_harmless)) = known {
            return is_harmless;
        }
        let is_harmless = self.judge(shift);
        self.judged.push((shift, is_harmless));
        is_harmless
    }

    fn judge(&mut self, shift: StationShift) -> bool {
        let Some(Placement { at, turn, .. }) = self.moved(shift) else {
            return false;
        };
        let (site, plan, flow) = (self.site, self.plan, self.flow);
        let evaluation =
            (self.evaluation).get_or_insert_with(|| Evaluation::new(site, plan, flow, PRICES));
        let was = evaluation.score();
        let moves = [(shift.station, Pose { at, turn })];
        let limit = match was.metres.is_finite() {
            true => PRICES.of(&was.missing) + FAR_M,
            false => f64::INFINITY,
        };
        let is = evaluation.try_move(&moves, limit);
        if !is.is_some_and(|is| is.missing.is_no_worse_than(&was.missing)) {
            return false;
        }
        // What is mended elsewhere does not make up for a finding that is new.
        if let Some(is_no_worse) = evaluation.is_no_worse() {
            return is_no_worse;
        }
        let mut moved = plan.clone();
        if let Some(placement) = moved.placements[shift.station].as_mut() {
            placement.at = at;
        }
        let parts = (self.parts).get_or_insert_with(|| site.missing_parts(plan, flow));
        site.missing_parts(&moved, flow).is_no_worse_than(parts)
    }
}
