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
    /// What is missing where everything stands now, once a move is judged: but for what people reach, and with it.
    standing: OnceLock<MissingParts>,
    reached: OnceLock<MissingParts>,
}

impl<'a> MoveJudge<'a> {
    pub fn new(site: &'a Site<'a>, plan: &'a Plan) -> MoveJudge<'a> {
        MoveJudge {
            site,
            plan,
            standing: OnceLock::new(),
            reached: OnceLock::new(),
        }
    }

    fn scene<'s>(&'s self, plan: &'s Plan) -> Scene<'s> {
        Scene::new(self.site, plan, &[])
    }

    fn standing_now(&self) -> &MissingParts {
        let standing = || MissingParts::new(&self.scene(self.plan));
        self.standing.get_or_init(standing)
    }

    fn reached_now(&self) -> &MissingParts {
        self.reached.get_or_init(|| {
            let mut parts = self.standing_now().clone();
            parts.reached(&self.scene(self.plan));
            parts
        })
    }
}

impl JudgesMoves for MoveJudge<'_> {
    fn makes_no_fault(&self, station: StationId, placement: &Placement) -> bool {
        let mut plan = self.plan.clone();
        plan.placements[station] = Some(*placement);
        let scene = self.scene(&plan);
        let mut then = MissingParts::new(&scene);
        if !then.has_no_fault_beyond(self.standing_now()) {
            return false;
        }
        // Where people get takes longest to find out, and for now it matters only where they do not get everywhere then.
        then.reached(&scene);
        then.all_is_reached() || then.has_no_fault_beyond(self.reached_now())
    }
}
