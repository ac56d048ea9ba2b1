//! Words about what each machine takes where it stands.

use serde_json::{Value, json};

use super::feeding::missed_level;
use super::names::ShopNames;
use super::phrase::{Wording, at_least, at_most, metres, wording};
use crate::floor::strips::LyingAcross;
use crate::floor::{MachineCapacity, SheetCapacity, Shortfall, StationShift};

/// What is said of a machine, and what would help.
pub(super) struct TakesTold {
    pub says: Wording,
    pub helps: Option<Wording>,
}

pub(super) fn told(names: ShopNames<'_>, capacity: &MachineCapacity) -> TakesTold {
    let name = &names.shop.stations[capacity.station].name;
    let says = match capacity.board {
        _ if capacity.lacks > 0.0 => {
            return TakesTold {
                says: wording![
                    format!("{name}: nothing; the machine with room to stand lacks "),
                    at_least(capacity.lacks)
                ],
                helps: helps(names, &capacity.short),
            };
        }
        None => wording![format!("{name}: boards of any length")],
        Some(longest) => wording![format!("{name}: boards to "), at_most(longest)],
    };
    let says = says.and(walked(capacity));
    let says = says.and(match capacity.sheet {
        SheetCapacity::NoSheetWork => Wording::default(),
        SheetCapacity::TooLittleRoom => wording![", no sheets"],
        SheetCapacity::UpTo(length, width) => {
            wording![", sheets to ", at_most(length), " x ", at_most(width)]
        }
        SheetCapacity::Halves(length, width) => wording![
            ", sheets ripped in half first, to ",
            at_most(length),
            " x ",
            at_most(width)
        ],
    });
    let says = match capacity.short.as_slice() {
        [board, sheet] if lacks_the_same(board, sheet) => {
            says.and(wording!["; "]).and(short(names, board, false))
        }
        all => all.iter().fold(says, |says, one| {
            says.and(wording!["; "])
                .and(short(names, one, one.is_sheet))
        }),
    };
    TakesTold {
        says,
        helps: helps(names, &capacity.short),
    }
}

/// How long boards may be for somebody to walk around behind them, where one does.
fn walked(capacity: &MachineCapacity) -> Wording {
    const WITH: &str = " with room to walk behind";
    match (capacity.walked, capacity.board) {
        (None, _) => Wording::default(),
        (Some(walked), board) if walked == board => wording![WITH],
        (Some(Some(0.0) | None), _) => wording![" with no room to walk behind"],
        (Some(Some(walked)), _) => wording![", and to ", at_most(walked), WITH],
    }
}

fn lacks_the_same(one: &Shortfall, other: &Shortfall) -> bool {
    let missing = one.missing.into_iter().zip(other.missing);
    let mut alike = missing.map(|(one, other)| (one - other).abs() < 1e-9);
    let are_ahead = one.beside.is_none() && other.beside.is_none();
    are_ahead && alike.all(|alike| alike) && one.ends == other.ends
}

/// What a piece lacks, and what is in its way.
fn short(names: ShopNames<'_>, short: &Shortfall, of_sheet: bool) -> Wording {
    let by = |end: usize| {
        let by = short.ends[end].map(|by| match short.lower[end].and_then(missed_level) {
            Some(missed) => wording![format!(" ({}, ", names.obstacle(by))]
                .and(missed)
                .and(wording![")"]),
            None => wording![format!(" ({})", names.obstacle(by))],
        });
        by.unwrap_or_default()
    };
    let piece = match of_sheet {
        true => wording![
            "a sheet of ",
            metres(short.length),
            " x ",
            metres(short.width)
        ],
        false => wording![metres(short.length)],
    };
    if let Some(width) = short.beside {
        let blocks = match short.lying {
            LyingAcross::InTheMiddle => " is too wide between what stands beside the cutter",
            LyingAcross::Left | LyingAcross::Right => {
                " wants its whole width on one side of the blade, and something stands there"
            }
        };
        let blocks = wording![blocks]
            .and(by(1))
            .and(wording![": ", at_most(width), " is free"]);
        return piece.and(blocks);
    }
    let end = |end: usize, place: &str| {
        let short = wording![at_least(short.missing[end]), format!(" short {place}")];
        short.and(by(end))
    };
    let ends = match short.missing.map(|missing| missing > 0.0) {
        [true, true] => end(0, "before it")
            .and(wording![" and "])
            .and(end(1, "behind it")),
        [true, false] => end(0, "before it"),
        _ => end(1, "behind it"),
    };
    piece.and(wording![" is "]).and(ends)
}

/// Moves that were tried. What makes room for a sheet makes room for a board.
fn helps(names: ShopNames<'_>, short: &[Shortfall]) -> Option<Wording> {
    let told = |shift: StationShift| {
        let name = &names.shop.stations[shift.station].name;
        wording![format!("move {name} ")].and(distance(shift))
    };
    let shifts: Vec<StationShift> = short.iter().filter_map(|short| short.shift).collect();
    match (shifts.as_slice(), short) {
        ([board, sheet], _) if board != sheet => Some(
            told(*board)
                .and(wording![", or for a sheet "])
                .and(told(*sheet)),
        ),
        ([board], [of_board, _]) if of_board.shift.is_some() => Some(
            told(*board)
                .and(wording![" for "])
                .and(wording![metres(of_board.length)]),
        ),
        ([one, ..], _) => Some(told(*one)),
        ([], _) => None,
    }
}

/// How far and which way, by the walls as they are drawn and with the axis that a file has it by.
fn distance(shift: StationShift) -> Wording {
    /// What comes of turning directions.
    const ROUNDED_M: f64 = 1e-9;
    let along = |by: f64, [minus, plus]: [&str; 2]| {
        (by.abs() > ROUNDED_M).then(|| {
            let toward = if by < 0.0 { minus } else { plus };
            wording![at_least(by.abs()), format!(" toward the {toward}")]
        })
    };
    let parts = [
        along(shift.by.x, ["left wall (-x)", "right wall (+x)"]),
        along(shift.by.y, ["lower wall (-y)", "upper wall (+y)"]),
    ];
    let parts = parts.into_iter().flatten();
    let both = parts.reduce(|one, other| one.and(wording![" and "]).and(other));
    both.unwrap_or_default()
}

/// The same as JSON, lengths in metres.
pub(super) fn json(names: ShopNames<'_>, capacity: &MachineCapacity) -> Value {
    let short = capacity.short.iter().map(|short| {
        let ends = short.ends.map(|end| end.map(|end| names.obstacle(end)));
        json!({
            "piece": if short.is_sheet { "sheet" } else { "board" },
            "length_m": short.length,
            "width_m": short.width,
            "missing_before_m": short.missing[0],
            "missing_behind_m": short.missing[1],
            "ends_before": ends[0],
            "ends_behind": ends[1],
            "left_beside_m": short.beside,
            "move": short.shift.map(|shift| json!({
                "station": names.shop.stations[shift.station].name,
                "by_m": [shift.by.x, shift.by.y],
            })),
        })
    });
    let short: Vec<Value> = short.collect();
    json!({
        "station": names.shop.stations[capacity.station].name,
        "board_m": capacity.board,
        "board_walked_m": capacity.walked.flatten(),
        "lacks_m": capacity.lacks,
        "sheet_m": match capacity.sheet {
            SheetCapacity::UpTo(length, width) | SheetCapacity::Halves(length, width) => {
                Some([length, width])
            }
            SheetCapacity::NoSheetWork | SheetCapacity::TooLittleRoom => None,
        },
        "sheets_in_halves": matches!(capacity.sheet, SheetCapacity::Halves(..)),
        "sheets": capacity.sheet != SheetCapacity::NoSheetWork,
        "short": short,
    })
}
