//! What a search keeps beside the rules: what machines take, what stands together, and that no move is made for nothing.

use crate::floor::{KeptPiece, Placement, Plan, Point};
use crate::improve::spots::half_of;
use crate::shop::StationId;

/// What is kept; nothing by default.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlacementTerms {
    /// What is to pass each machine wherever it stands.
    pub pieces: Vec<KeptPiece>,
    /// Stations that stand to each other as they do now, wherever they go; each in one group at most.
    pub groups: Vec<Vec<StationId>>,
    /// What each station that is moved has to save, as a share of what is walked now; and what it counts beside walking.
    pub worth: f64,
    /// Stations whose move has to save more than that, in metres of walking.
    pub kept_unless: Vec<(StationId, f64)>,
}

impl PlacementTerms {
    /// What moving these stations has to save, and counts beside walking, in metres, where so much is walked now.
    pub(super) fn price_m(&self, moved: &[StationId], walked: f64) -> f64 {
        self.worth * walked * moved.len() as f64 + self.kept_m(moved)
    }

    /// What a placement has to save in which these stations are moved, so that those are that are kept otherwise.
    pub(super) fn kept_m(&self, moved: &[StationId]) -> f64 {
        let kept = self.kept_unless.iter();
        let kept = kept.filter(|(station, _)| moved.contains(station));
        kept.map(|(_, metres)| metres).sum()
    }

    /// Those that go where a station goes, without it.
    pub(super) fn bound_to(&self, station: StationId) -> impl Iterator<Item = StationId> {
        let group = self.groups.iter().find(|group| group.contains(&station));
        let all = group.into_iter().flatten().copied();
        all.filter(move |other| *other != station)
    }
}

/// A table so near behind a machine carries what comes out of it, in metres: 6 in.
const BEHIND_M: f64 = 6.0 * 0.0254;

/// It is level with the machine's table or that much lower, in metres: 1 in, and no higher than roundings.
const LOWER_M: f64 = 0.0254 + 1e-6;
const HIGHER_M: f64 = 0.0254 / 16.0;

/// Machines, each with the tables that carry what comes out of it, as everything stands now.
pub fn with_outfeed_tables(plan: &Plan) -> Vec<Vec<StationId>> {
    let mut groups: Vec<Vec<StationId>> = Vec::new();
    for (machine, placed) in plan.placements.enumerate() {
        let Some(placed) = placed else { continue };
        let tables = plan.placements.enumerate().filter(|(other, table)| {
            *other != machine && table.as_ref().is_some_and(|table| carries(table, placed))
        });
        let taken: Vec<StationId> = groups.iter().flatten().copied().collect();
        let tables: Vec<StationId> = tables
            .map(|(table, _)| table)
            .filter(|table| !taken.contains(table))
            .collect();
        if !tables.is_empty() && !taken.contains(&machine) {
            groups.push([machine].into_iter().chain(tables).collect());
        }
    }
    groups
}

/// Whether a table stands right behind a machine and is as high.
fn carries(table: &Placement, machine: &Placement) -> bool {
    let (Some(side), Some(high), Some(low)) = (machine.feed, machine.table, table.table) else {
        return false;
    };
    if table.feed.is_some() || low > high + HIGHER_M || low < high - LOWER_M {
        return false;
    }
    let toward = machine.turned(side.direction());
    let reach = |placed: &Placement, along: Point| {
        let half = half_of(placed.size, placed.turn);
        (half.x * along.x).abs() + (half.y * along.y).abs()
    };
    let away = table.at - machine.at;
    let gap = away.dot(toward) - reach(machine, toward) - reach(table, toward);
    let aside = toward.left();
    let across = [machine, table].map(|placed| reach(placed, aside));
    let shared = across[0] + across[1] - away.dot(aside).abs();
    gap.abs() <= BEHIND_M && shared >= across[0].min(across[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::Side;

    fn saw() -> Placement {
        Placement {
            feed: Some(Side::PlusY),
            table: Some(0.9),
            ..Placement::new(Point::new(3.0, 3.0), 0.0, (1.1, 0.9))
        }
    }

    #[test]
    fn a_table_level_behind_a_machine_belongs_to_it() {
        let table = |x: f64, y: f64, table: f64| Placement {
            table: Some(table),
            ..Placement::new(Point::new(x, y), 180.0, (1.1, 0.8))
        };
        let behind = 3.0 + 0.45 + 0.4;
        assert!(carries(&table(3.0, behind, 0.9), &saw()));
        assert!(carries(&table(3.3, behind + 0.1, 0.89), &saw()));
        // Higher than the saw, lower by a step, far off, beside it, before it.
        assert!(!carries(&table(3.0, behind, 0.91), &saw()));
        assert!(!carries(&table(3.0, behind, 0.8), &saw()));
        assert!(!carries(&table(3.0, behind + 0.5, 0.9), &saw()));
        assert!(!carries(&table(4.2, behind, 0.9), &saw()));
        assert!(!carries(&table(3.0, 6.0 - behind, 0.9), &saw()));
    }
}
