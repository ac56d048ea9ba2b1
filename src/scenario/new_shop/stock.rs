//! What is bought for the parts of a project: sheets and boards, and how many of them.

use super::length::{INCH, sized};
use super::packing::{CutPiece, Packing, packed};
use super::parts::{CutRow, Stuff, sheet};
use crate::experiment::Units;

/// Sheets or boards of one kind and size, from which parts are cut.
#[derive(Debug, Clone, PartialEq)]
pub struct StockToBuy {
    /// What it is called, unless something else is called so.
    pub called: String,
    pub stuff: Stuff,
    /// Length, width and thickness of one, in metres.
    pub size: [f64; 3],
    pub packing: Packing,
    /// Whether a part lies across a sheet, since it is too long to lie along it.
    pub lies_across: bool,
    /// Whether several parts come from the width of one board.
    pub side_by_side: bool,
}

impl StockToBuy {
    /// Of how many boards, and of what width, each of those is glued up that are wider than any that is sold; nothing
    /// for all others. Each edge is made ready as that of a single board.
    pub fn glued_up(&self, units: Units) -> Option<(u32, f64)> {
        let widths = board_widths(units);
        let widest = widths[widths.len() - 1];
        let wide = self.size[1];
        if self.stuff != Stuff::Boards || wide <= widest + SAME_M {
            return None;
        }
        let count = (wide / (widest - WIDER_M)).ceil();
        Some((count as u32, sold(&widths, wide / count + WIDER_M)))
    }
}

/// What boards are sold as, in metres.
pub fn board_widths(units: Units) -> [f64; 3] {
    match units {
        Units::Imperial => [7.0, 9.0, 11.0].map(|inches| inches * INCH),
        Units::Metric => [0.18, 0.23, 0.28],
    }
}

fn board_thicknesses(units: Units) -> [f64; 7] {
    match units {
        Units::Imperial => [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0].map(|inches| inches * INCH),
        Units::Metric => [0.026, 0.033, 0.04, 0.052, 0.065, 0.08, 0.105],
    }
}

/// What is taken off a rough board when it is made ready, as the loader takes it: see the table of kinds.
const LONGER_M: f64 = 1.5 * INCH;
pub const WIDER_M: f64 = 3.0 / 8.0 * INCH;
const THICKER_M: f64 = 3.0 / 16.0 * INCH;

/// What a blade takes away, in metres: common practice.
pub fn kerf(units: Units) -> f64 {
    match units {
        Units::Imperial => INCH / 8.0,
        Units::Metric => 0.003,
    }
}

const SAME_M: f64 = 1e-9;

/// The smallest of what is sold that is no smaller, or else just so much.
fn sold(sizes: &[f64], least: f64) -> f64 {
    let mut sizes = sizes.iter().copied();
    sizes.find(|size| *size >= least - SAME_M).unwrap_or(least)
}

fn board_thickness(row: &CutRow, units: Units) -> f64 {
    sold(&board_thicknesses(units), row.size[2] + THICKER_M)
}

/// What the parts are cut from, boards being bought so long; with it, the stock of each part by its index.
pub fn bought(rows: &[CutRow], longest: f64, units: Units) -> (Vec<StockToBuy>, Vec<usize>) {
    let thickness = |row: &CutRow| match row.stuff {
        Stuff::Boards => board_thickness(row, units),
        Stuff::Sheets => row.size[2],
    };
    // The parts of each stock, by the order of the list.
    let mut groups: Vec<(&CutRow, f64, Vec<&CutRow>)> = Vec::new();
    let mut of_part = Vec::new();
    for row in rows {
        let thick = thickness(row);
        let is_same = |(known, other, _): &(&CutRow, f64, Vec<&CutRow>)| {
            known.stuff == row.stuff
                && (other - thick).abs() < SAME_M
                && known.material.to_lowercase() == row.material.to_lowercase()
        };
        let group = groups.iter().position(is_same).unwrap_or_else(|| {
            groups.push((row, thick, Vec::new()));
            groups.len() - 1
        });
        groups[group].2.push(row);
        of_part.push(group);
    }
    let name = |row: &CutRow| called(row).to_lowercase();
    let stock = groups.iter().map(|(first, thick, rows)| {
        let is_same = |(other, ..): &&(&CutRow, f64, Vec<&CutRow>)| name(other) == name(first);
        let mut called = called(first);
        if groups.iter().filter(is_same).count() > 1 {
            called = format!("{called} {}", sized(*thick, units));
        }
        match first.stuff {
            Stuff::Boards => boards(called, *thick, rows, longest, units),
            Stuff::Sheets => sheets(called, *thick, rows, units),
        }
    });
    (stock.collect(), of_part)
}

/// What the list calls it, `oak board`, or just a board.
fn called(row: &CutRow) -> String {
    let said = row.material.trim();
    let last = said.rsplit(' ').next().unwrap_or_default().to_lowercase();
    match (row.stuff, said) {
        (Stuff::Boards, "") => "board".to_owned(),
        (Stuff::Boards, _) if ["board", "boards", "lumber", "timber"].contains(&&last[..]) => {
            said.to_owned()
        }
        (Stuff::Boards, said) => format!("{said} board"),
        (Stuff::Sheets, "") => "plywood".to_owned(),
        (Stuff::Sheets, said) => said.to_owned(),
    }
}

/// Boards are cut to length first, so that the strips run across them.
fn boards(called: String, thick: f64, rows: &[&CutRow], longest: f64, units: Units) -> StockToBuy {
    let foot = match units {
        Units::Imperial => 12.0 * INCH,
        Units::Metric => 0.3,
    };
    let most = |side: usize, more: f64| {
        let sizes = rows.iter().map(|row| row.size[side] + more);
        sizes.fold(0.0, f64::max)
    };
    let least = most(0, LONGER_M);
    let long = match least <= longest + SAME_M {
        true => longest,
        false => (least / foot - SAME_M).ceil() * foot,
    };
    let wide = sold(&board_widths(units), most(1, WIDER_M));
    let pieces = rows.iter().map(|row| CutPiece {
        along: row.size[1] + WIDER_M,
        across: row.size[0] + LONGER_M,
        count: row.quantity,
    });
    let pieces: Vec<CutPiece> = pieces.collect();
    let packing = packed((wide, long), kerf(units), &pieces).unwrap_or_else(|| one_each(rows));
    StockToBuy {
        called,
        stuff: Stuff::Boards,
        size: [long, wide, thick],
        packing,
        lies_across: false,
        side_by_side: count(rows) > packing.strips,
    }
}

/// Sheets are ripped first, and the grain of their faces runs along what is cut from them, where that is not too long.
fn sheets(called: String, thick: f64, rows: &[&CutRow], units: Units) -> StockToBuy {
    let [long, wide] = sheet(units);
    let is_across = |row: &CutRow| row.size[1] > wide + SAME_M;
    let pieces = rows.iter().map(|row| {
        let [length, width, _] = row.size;
        let (along, across) = match is_across(row) {
            true => (width, length),
            false => (length, width),
        };
        CutPiece {
            along,
            across,
            count: row.quantity,
        }
    });
    let pieces: Vec<CutPiece> = pieces.collect();
    StockToBuy {
        called,
        stuff: Stuff::Sheets,
        size: [long, wide, thick],
        packing: packed((long, wide), kerf(units), &pieces).unwrap_or_else(|| one_each(rows)),
        lies_across: rows.iter().any(|row| is_across(row)),
        side_by_side: false,
    }
}

/// All pieces of some parts.
fn count(rows: &[&CutRow]) -> u32 {
    let quantities = rows.iter().map(|row| row.quantity);
    quantities.fold(0, u32::saturating_add)
}

/// What is cut one by one.
fn one_each(rows: &[&CutRow]) -> Packing {
    let count = count(rows);
    Packing {
        least: count,
        stock: count,
        strips: count,
    }
}
