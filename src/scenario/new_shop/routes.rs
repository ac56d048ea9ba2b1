//! Usual routes of solid wood, of sheets and of what is joined, as far as the stations can do their steps.

use super::joinery::UsualJoint;
use super::length::INCH;
use super::parts::CutRow;
use super::stock::StockToBuy;
use super::work::Planner;
use crate::scenario::yaml_name::yaml_name;

/// What is longer goes across an open saw rather than a router table, which is hardly deeper, in metres.
const LONG_ACROSS_M: f64 = 20.0 * INCH;

impl Planner<'_> {
    /// The first of these operations that some station does; without one the first is missing.
    pub fn step(&mut self, operations: &[&'static str]) -> Option<String> {
        let mut known = operations.iter().copied();
        let Some(operation) = known.find(|operation| self.abilities.can(operation)) else {
            self.miss(operations[0]);
            return None;
        };
        self.note(operation, &self.abilities.doers(operation));
        Some(operation.to_owned())
    }

    fn miss(&mut self, operation: &'static str) {
        if !self.planned.missing.contains(&operation) {
            self.planned.missing.push(operation);
        }
    }

    fn note(&mut self, operation: &'static str, stations: &[usize]) {
        if !self.planned.used.contains(&operation) {
            self.planned.used.push(operation);
        }
        for &station in stations {
            if !self.planned.busy.contains(&station) {
                self.planned.busy.push(station);
            }
        }
    }

    /// A step at one station of several that could do it.
    pub fn step_on(&mut self, operation: &'static str, station: usize) -> String {
        self.note(operation, &[station]);
        match self.abilities.doers(operation).len() {
            1 => operation.to_owned(),
            _ => {
                let name = self.abilities.stations[station].name;
                format!("{{op: {operation}, on: {}}}", yaml_name(name))
            }
        }
    }

    /// The usual joints of a part, each at that station which does it and has least else to do.
    pub fn joints(&mut self, row: &CutRow, joints: &[&UsualJoint]) -> Vec<String> {
        let joints = joints.iter();
        joints.filter_map(|joint| self.joint(row, joint)).collect()
    }

    fn joint(&mut self, row: &CutRow, joint: &UsualJoint) -> Option<String> {
        let mut known = joint.operations.iter().copied();
        let Some(operation) = known.find(|operation| self.abilities.can(operation)) else {
            self.miss(joint.operations[0]);
            return None;
        };
        let doers = self.abilities.doers(operation).into_iter();
        let lies_across = operation == "dado" && row.size[0] > LONG_ACROSS_M;
        let station = doers.min_by_key(|&doer| {
            let is_in_the_way = lies_across && self.abilities.is_fenced(doer);
            let does = self.abilities.stations[doer].kind.does.len();
            (is_in_the_way, self.planned.busy.contains(&doer), does)
        })?;
        self.joined.push(format!("{} {operation}", row.part));
        Some(self.step_on(operation, station))
    }

    pub fn crosscut(&mut self) -> Option<String> {
        match self.abilities.chop_saw() {
            Some(saw) => Some(self.step_on("crosscut", saw)),
            None => self.step(&["crosscut"]),
        }
    }

    /// Of what has been cut to its rough length, and lies in the width of its boards.
    pub fn board_route(&mut self, stock: &StockToBuy) -> Vec<String> {
        let mut steps = Vec::new();
        if self.is_ripped_first(stock) {
            // A rough edge has nothing to run along a fence with.
            let rip = self.step(&["bandsaw", "rip"]);
            // The rough width of a part is what it has afterwards.
            steps.extend(rip.map(|rip| format!("{{op: {rip}, cuts: []}}")));
            self.ripped_first = true;
        }
        steps.extend(self.step(&["joint"]));
        steps.extend(self.step(&["plane", "plane by hand"]));
        steps.extend(self.step(&["rip", "bandsaw"]));
        steps.extend(self.crosscut());
        steps
    }

    /// Whether a board is too wide for every jointer, or becomes several parts across its width.
    fn is_ripped_first(&self, stock: &StockToBuy) -> bool {
        let is_glued_up = stock.glued_up(self.units).is_some();
        let width = self.abilities.jointer_width();
        width.is_some_and(|most| stock.side_by_side || stock.size[1] > most + 1e-9) && !is_glued_up
    }

    /// Of what lies in strips.
    pub fn sheet_route(&mut self) -> Vec<String> {
        let cut = match (self.abilities.has_horses(), self.abilities.sheet_saw()) {
            (true, _) => self.step(&["crosscut sheet"]),
            (false, Some(saw)) => Some(self.step_on("crosscut", saw)),
            (false, None) => None,
        };
        cut.into_iter().collect()
    }

    pub fn assembly_route(&mut self) -> Option<String> {
        let mut steps = Vec::new();
        if self.abilities.can("dry fit") {
            steps.extend(self.step(&["dry fit"]));
        }
        steps.extend(self.step(&["glue-up", "assemble"]));
        steps.extend(self.step(&["sand"]));
        steps.extend(self.step(&["finish"]));
        (!steps.is_empty()).then(|| steps.join(", "))
    }
}
