//! What machines take where they stand, as pieces that they are to take elsewhere as well: asked of a search, in some
//! microseconds a piece.

use super::{FedMachine, MachineCapacity, SheetCapacity, StockSizes, has_machines};
use crate::floor::check::Scene;
use crate::floor::{Plan, SAME_POINT_M, Site};
use crate::shop::StationId;

/// A board or a sheet that passes a machine, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeptPiece {
    pub station: StationId,
    pub length: f64,
    pub width: f64,
    pub is_sheet: bool,
}

/// The longest board of each machine, as far as such are sold, and the sheet that it takes. What is shorter by less than
/// half a step is the same.
pub fn kept_pieces(site: &Site<'_>, now: &[MachineCapacity], sizes: StockSizes) -> Vec<KeptPiece> {
    let mut pieces = Vec::new();
    for machine in now {
        let board = machine.board.unwrap_or(f64::INFINITY).min(sizes.board) - sizes.step / 2.0;
        if board > 0.0 {
            pieces.push(KeptPiece {
                station: machine.station,
                length: board,
                width: site.premises.limits.board_width,
                is_sheet: false,
            });
        }
        if let SheetCapacity::UpTo(length, width) | SheetCapacity::Halves(length, width) =
            machine.sheet
        {
            pieces.push(KeptPiece {
                station: machine.station,
                length: length - sizes.step / 2.0,
                width: (width - SAME_POINT_M).max(0.0),
                is_sheet: true,
            });
        }
    }
    pieces
}

/// How many of the pieces do not pass their machines.
pub fn pieces_refused(site: &Site<'_>, plan: &Plan, pieces: &[KeptPiece]) -> usize {
    if pieces.is_empty() || !has_machines(plan) {
        return 0;
    }
    let scene = Scene::new(site, plan, &[]);
    let passes = |piece: &KeptPiece| {
        let machine = FedMachine::new(&scene, piece.station);
        machine.is_some_and(|machine| {
            let fed = machine.fed(piece.length, piece.width, piece.is_sheet);
            fed.fits()
        })
    };
    pieces.iter().filter(|piece| !passes(piece)).count()
}
