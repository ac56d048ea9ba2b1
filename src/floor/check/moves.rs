//! Whether one station may stand elsewhere without a fault that was not there.

use std::sync::OnceLock;

use super::scene::JudgesMoves;
use super::{MissingParts, Scene};
use crate::floor::site::Site;
use crate::floor::{Placement, Plan};
use crate::shop::StationId;

/// Judges moves on a layout by all rules but those about the ways that people walk.
#[derive(Debug)]
pub struct MoveJudge<'a> {
    site: &'a Site<'a>,
    plan: &'a Plan,
    /// What is missing where everything stands now, once a move is judged.
    now: OnceLock<MissingParts>,
}

impl<'a> MoveJudge<'a> {
    pub fn new(site: &'a Site<'a>, plan: &'a Plan) -> MoveJudge<'a> {
        MoveJudge {
            site,
            plan,
            now: OnceLock::new(),
        }
    }

    fn missing(&self, plan: &Plan) -> MissingParts {
        let scene = Scene::new(self.site, plan, &[]);
        let mut parts = MissingParts::new(&scene);
        parts.reached(&scene);
        parts
    }
}

impl JudgesMoves for MoveJudge<'_> {
    fn makes_no_fault(&self, station: StationId, placement: &Placement) -> bool {
        let mut plan = self.plan.clone();
        plan.placements[station] = Some(*placement);
        let now = self.now.get_or_init(|| self.missing(self.plan));
        self.missing(&plan).has_no_fault_beyond(now)
    }
}
