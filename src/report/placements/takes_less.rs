//! Machines that take less where they are proposed to stand than where they stand now.

use crate::experiment::Units;
use crate::floor::{MachineCapacity, SheetCapacity, StockSizes};
use crate::report::sentence::listed;
use crate::report::tape::{Rounding, tape};
use crate::shop::Shop;

/// A machine that boards as they are sold no longer pass, or sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct TakesLess {
    pub station: String,
    /// The longest board in metres, now and where it is proposed to stand, if that is shorter than it was and than one that
    /// is sold; nothing for no end.
    pub boards: Option<(Option<f64>, f64)>,
    /// Whether it takes sheets now, and none where it is proposed to stand.
    pub loses_sheets: bool,
}

/// Both lists are of the same machines.
pub fn takes_less(
    shop: &Shop,
    now: &[MachineCapacity],
    proposed: &[MachineCapacity],
    sizes: StockSizes,
) -> Vec<TakesLess> {
    let pairs = proposed.iter().filter_map(|proposed| {
        let now = now.iter().find(|now| now.station == proposed.station)?;
        let is_shorter = |length: f64, than: f64| length + sizes.step / 2.0 < than;
        let shorter = proposed.board.filter(|&length| {
            is_shorter(length, sizes.board) && now.board.is_none_or(|was| is_shorter(length, was))
        });
        let takes_sheets = |sheet: SheetCapacity| {
            matches!(sheet, SheetCapacity::UpTo(..) | SheetCapacity::Halves(..))
        };
        let loses_sheets = takes_sheets(now.sheet) && !takes_sheets(proposed.sheet);
        (shorter.is_some() || loses_sheets).then(|| TakesLess {
            station: shop.stations[proposed.station].name.clone(),
            boards: shorter.map(|length| (now.board, length)),
            loses_sheets,
        })
    });
    pairs.collect()
}

/// "Takes less: table saw takes boards to 5 ft 2 in instead of 11 ft 7 in, and no sheets any more."
pub(super) fn sentence(all: &[TakesLess], units: Units) -> Option<String> {
    let machines = all.iter().map(|less| {
        let boards = less.boards.map(|(was, is)| {
            let was = was.map_or_else(
                || "of any length".to_owned(),
                |was| tape(units, was, Rounding::Down),
            );
            format!(
                "boards to {} instead of {was}",
                tape(units, is, Rounding::Down)
            )
        });
        let sheets = less.loses_sheets.then(|| "no sheets any more".to_owned());
        let both: Vec<String> = boards.into_iter().chain(sheets).collect();
        format!("{} takes {}", less.station, both.join(", and "))
    });
    let machines: Vec<String> = machines.collect();
    (!machines.is_empty()).then(|| format!("Takes less: {}.", listed(&machines, "and")))
}
