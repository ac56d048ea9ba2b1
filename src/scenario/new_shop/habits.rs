//! Where stations of each kind usually stand, and beside what, from common practice of small shops.

use super::length::INCH;
use crate::improve::{Affinity, Belongs, Habit};
use crate::scenario::kinds::{Keeps, StationKind};
use crate::shop::{StationId, Table};

const TABLE_SAWS: &[&str] = &["portable table saw", "contractor saw", "cabinet saw"];
const PLANERS: &[&str] = &["bench-top planer", "floor planer", "jointer-planer"];
const JOINTERS: &[&str] = &["jointer 6 in", "jointer 8 in", "jointer-planer"];
const CHOP_SAWS: &[&str] = &["miter saw", "radial-arm saw"];
const BOARD_RACKS: &[&str] = &["lumber rack", "upright lumber rack"];
const SHEET_RACKS: &[&str] = &["sheet rack"];
const HORSES: &[&str] = &["sheet horses"];
const OUT_FEED: &[&str] = &["out-feed table"];
const ASSEMBLY: &[&str] = &["assembly table"];
const BENCHES: &[&str] = &["workbench"];
const CLAMPS: &[&str] = &["clamp rack"];
const FINISHING: &[&str] = &["finishing bench"];
const SHARPENING: &[&str] = &["sharpening station"];
const SANDERS: &[&str] = &[
    "drum sander",
    "edge sander",
    "belt-disc sander",
    "disc sander",
];
const COLLECTORS: &[&str] = &[
    "small dust collector",
    "large dust collector",
    "chip separator",
];

/// One walks around them.
const WALKED_AROUND: [&[&str]; 3] = [ASSEMBLY, OUT_FEED, HORSES];

/// A jointer stands with its fence to a wall as often as beside the saw; bins and carts are rolled about.
const ANYWHERE: [&str; 5] = [
    "jointer 6 in",
    "jointer 8 in",
    "offcut bin",
    "cart",
    "air cleaner",
];

const IN_A_CORNER: [&str; 5] = [
    "small dust collector",
    "large dust collector",
    "chip separator",
    "air compressor",
    "shop vacuum",
];

/// Kinds that stand near each other, or that stand better apart, if the figure of a metre is negative: within how many
/// metres it makes no difference, and what each metre counts beside a metre of every trip.
const TOGETHER: [(&[&str], &[&str], f64, f64); 14] = [
    // The stack moves on by one step from the jointer to the planer, and then to the saw.
    (JOINTERS, PLANERS, 1.5, 0.6),
    (PLANERS, TABLE_SAWS, 2.5, 0.3),
    (JOINTERS, TABLE_SAWS, 2.0, 0.3),
    // Between the rack and the saws boards are longest.
    (BOARD_RACKS, CHOP_SAWS, 2.0, 0.4),
    (SHEET_RACKS, HORSES, 2.0, 0.4),
    (SHEET_RACKS, TABLE_SAWS, 3.0, 0.15),
    // Within 8 ft of the glue-up.
    (ASSEMBLY, CLAMPS, 2.0, 0.6),
    (BENCHES, ASSEMBLY, 2.5, 0.3),
    (BENCHES, SHARPENING, 2.0, 0.3),
    // Short pipes.
    (COLLECTORS, PLANERS, 2.5, 0.25),
    // A finish wants air without dust.
    (FINISHING, SANDERS, 4.0, -0.4),
    (FINISHING, TABLE_SAWS, 3.0, -0.3),
    (FINISHING, PLANERS, 3.0, -0.3),
    (FINISHING, COLLECTORS, 3.0, -0.3),
];

/// The floor that horses with a sheet on them take, in metres.
const HORSES_M: (f64, f64) = (60.0 * INCH, 108.0 * INCH);

/// Floor before a rack from which long boards are drawn, and before a bench, and before anything else, in metres.
const RACK_FRONT_M: f64 = 1.1;
const BENCH_FRONT_M: f64 = 0.9;
const FRONT_M: f64 = 0.75;

/// Floor on both sides of a saw and of a planer, in metres: 3 to 8 ft and 2 to 3 ft are usual.
const SAW_SIDE_M: f64 = 0.9;
const PLANER_SIDE_M: f64 = 0.6;

/// 4 ft: what is fed through machines that take only what has been cut.
const SHORT_M: f64 = 48.0 * INCH;

/// Habits of all stations, by their kinds as far as they have one, and which of them belong together, where the boards that
/// are bought are so long in metres.
pub fn habits(
    kinds: &[Option<&StationKind>],
    longest: f64,
) -> (Table<StationId, Habit>, Vec<Affinity>) {
    let all = |names: &[&str]| -> Vec<StationId> {
        let kinds = kinds.iter().enumerate();
        let kinds = kinds.filter(|(_, kind)| kind.is_some_and(|kind| names.contains(&kind.name)));
        kinds.map(|(index, _)| StationId(index as u32)).collect()
    };
    let saw = all(TABLE_SAWS).first().copied();
    let table = all(OUT_FEED).first().copied();
    let habits = kinds.iter().enumerate().map(|(index, kind)| {
        let is_table = table == Some(StationId(index as u32));
        Habit {
            follows: saw.filter(|_| is_table),
            ..kind.map_or(UNKNOWN, |kind| habit(kind, longest))
        }
    });
    let mut affinities: Vec<Affinity> = Vec::new();
    for (ones, others, apart, metre) in TOGETHER {
        for one in all(ones) {
            for other in all(others).into_iter().filter(|&other| other != one) {
                affinities.push(Affinity {
                    one,
                    other,
                    apart,
                    metre,
                });
            }
        }
    }
    (habits.collect(), affinities)
}

/// Of a station of which nobody says what it is.
const UNKNOWN: Habit = Habit {
    belongs: Belongs::Anywhere,
    corner: false,
    by_door: false,
    front: FRONT_M,
    beside: 0.0,
    fed: 0.0,
    fed_weight: 0.5,
    spread: None,
    follows: None,
    is_bench: false,
};

fn habit(kind: &StationKind, longest: f64) -> Habit {
    let is = |names: &[&str]| names.contains(&kind.name);
    let is_rack = matches!(kind.keeps, Some(Keeps::Boards | Keeps::Sheets));
    let feeds_long = is(TABLE_SAWS) || is(PLANERS) || is(JOINTERS);
    Habit {
        belongs: match () {
            () if ANYWHERE.contains(&kind.name) => Belongs::Anywhere,
            () if is(TABLE_SAWS) || is(PLANERS) => Belongs::InTheOpen,
            () if WALKED_AROUND.iter().any(|names| is(names)) => Belongs::InTheOpen,
            () => Belongs::ToAWall,
        },
        corner: IN_A_CORNER.contains(&kind.name),
        by_door: is_rack,
        front: match () {
            () if is_rack => RACK_FRONT_M,
            () if kind.is_flat => BENCH_FRONT_M,
            () => FRONT_M,
        },
        beside: match () {
            () if is(TABLE_SAWS) => SAW_SIDE_M,
            () if is(PLANERS) => PLANER_SIDE_M,
            () => 0.0,
        },
        fed: match feeds_long {
            true => longest,
            false => SHORT_M.min(longest),
        },
        fed_weight: match () {
            () if is(TABLE_SAWS) => 3.0,
            () if feeds_long => 1.2,
            () => 0.5,
        },
        spread: is(HORSES).then_some(HORSES_M),
        follows: None,
        is_bench: is(BENCHES) || is(FINISHING) || is(CHOP_SAWS),
    }
}

/// On what whole sheets are broken down where nothing carries them behind a saw; nothing where it is there already, or an
/// out-feed table.
pub fn missing_horses(kinds: &[&StationKind]) -> Option<&'static StationKind> {
    let is_there = |kind: &&StationKind| OUT_FEED.contains(&kind.name) || holds_a_sheet(kind);
    match kinds.iter().any(is_there) {
        true => None,
        false => crate::scenario::kinds::find(HORSES[0]),
    }
}

/// Whether sheets lie there while they are cut; it is folded away when the room is too full for it to stand.
pub fn holds_a_sheet(kind: &StationKind) -> bool {
    HORSES.contains(&kind.name)
}

/// Whether its arms may be fixed higher up on the wall, above a bench or a miter saw.
pub fn may_hang_higher(kind: &StationKind) -> bool {
    kind.name == "lumber rack"
}

/// So high its lowest arm is then above the floor, in metres: above the raised head of a miter saw, within reach.
pub const HIGH_ARMS_M: f64 = 66.0 * INCH;

/// The saw behind which something stands, if it is an out-feed table: its top is level with that saw's.
pub fn saw_of<'k>(kind: &StationKind, others: &[&'k StationKind]) -> Option<&'k StationKind> {
    let mut others = others.iter().copied();
    let saw = others.find(|other| TABLE_SAWS.contains(&other.name));
    saw.filter(|_| OUT_FEED.contains(&kind.name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::kinds;

    #[test]
    fn whatever_is_named_here_is_a_kind() {
        let pairs = TOGETHER
            .iter()
            .flat_map(|(ones, others, ..)| [*ones, *others]);
        let named = pairs.chain(WALKED_AROUND).flatten();
        for name in named.chain(&ANYWHERE).chain(&IN_A_CORNER) {
            assert!(kinds::find(name).is_some(), "{name}");
        }
    }
}
