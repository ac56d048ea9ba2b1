//! Stations that stand together and go together.

use super::problem::PlacementProblem;
use crate::floor::{Placement, Plan, Point, Pose};
use crate::shop::StationId;

impl PlacementProblem<'_> {
    /// Where a station stands if one of its group stands there.
    fn bound_pose(&self, (leader, there): (StationId, Pose), other: StationId) -> Option<Pose> {
        let (was, of_other) = (self.home(leader)?, self.home(other)?);
        let turned = (there.turn - was.turn).rem_euclid(360.0);
        let turn = Placement::new(Point::ORIGIN, turned, (0.0, 0.0));
        Some(Pose {
            at: there.at + turn.turned(of_other.at - was.at),
            turn: (of_other.turn + turned).rem_euclid(360.0),
        })
    }

    /// A change with all that goes along; nothing where two of one group were to go their own ways.
    pub(super) fn with_groups(
        &self,
        mut change: Vec<(StationId, Pose)>,
    ) -> Option<Vec<(StationId, Pose)>> {
        for nth in 0..change.len() {
            let leader = change[nth];
            for other in self.terms.bound_to(leader.0) {
                if change.iter().any(|(station, _)| *station == other) {
                    return None;
                }
                change.push((other, self.bound_pose(leader, other)?));
            }
        }
        Some(change)
    }

    /// A plan in which each group stands as now around its first station.
    pub(super) fn grouped(&self, plan: &Plan) -> Plan {
        let mut plan = plan.clone();
        for group in &self.terms.groups {
            let Some((&leader, others)) = group.split_first() else {
                continue;
            };
            let Some(there) = plan.placements[leader].as_ref().map(Placement::pose) else {
                continue;
            };
            for &other in others {
                let pose = self.bound_pose((leader, there), other);
                if let (Some(placed), Some(pose)) = (&mut plan.placements[other], pose) {
                    (placed.at, placed.turn) = (pose.at, pose.turn);
                }
            }
        }
        plan
    }
}
