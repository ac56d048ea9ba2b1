//! How far work gets at the height of a machine's table.

use super::Scene;
use crate::floor::passing::{Met, MovingWork, Passed};
use crate::floor::sag::Stiffness;
use crate::floor::strips::{Allowances, FreeRun, StationExtent, Strip};
use crate::floor::{Obstacle, Placement};
use crate::shop::{Size, StationId};

/// A piece before the cutter of a station and behind it; nothing where nobody said how high the table is.
pub fn at_table(
    scene: &Scene<'_>,
    placement: &Placement,
    piece: Size,
    body: StationExtent,
    allowances: Allowances,
) -> Option<[MovingWork; 2]> {
    let limits = scene.limits();
    let work_out = MovingWork {
        table: placement.table?,
        length: piece.length,
        thickness: piece.thickness,
        stiffness: Stiffness::of(piece.width),
        body: body.behind,
        is_held: false,
        room: allowances.outfeed,
        tolerance: limits.table_tolerance,
        above: limits.above_work,
    };
    let work_in = MovingWork {
        body: body.before,
        is_held: true,
        room: allowances.operator,
        ..work_out
    };
    Some([work_in, work_out])
}

/// How far a strip is free for work at the height of the table, and what it meets.
pub fn passing_run(
    scene: &Scene<'_>,
    strip: Strip,
    station: StationId,
    work: &MovingWork,
) -> (FreeRun, Passed) {
    let own = Obstacle::Station(station);
    let head_room = scene.plan.head_room;
    let others = scene.footprints.iter().filter(|body| body.of != own);
    let met = others.filter_map(|body| {
        let (near, far) = strip.span_of(&body.area.outline)?;
        Some(Met {
            of: body.of,
            near,
            far,
            heights: body.heights,
            is_walked_around: !body.heights.is_overhead(head_room),
        })
    });
    let mut passed = work.along(met.collect());
    let run = strip.run_to(&scene.site.walls, scene.doors(), passed.end);
    // What lies beyond the end is not met.
    let free = run.free.unwrap_or(f64::INFINITY);
    passed.over.retain(|&(_, near)| near < free);
    passed.carried_by.retain(|&(_, near)| near < free);
    (run, passed)
}
