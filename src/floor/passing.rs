//! What work meets on its way through a machine at the height of its table: what it passes over, what carries it, and
//! what ends its way.

use super::sag::{Overhang, Stiffness};
use super::tolerance::ROUNDED_M;
use super::{HeightRange, Obstacle, SAME_POINT_M};

/// A piece that is pushed along a strip, away from the middle of a machine.
#[derive(Debug, Clone, Copy)]
pub struct MovingWork {
    /// Height of the machine's table, in metres.
    pub table: f64,
    pub length: f64,
    pub thickness: f64,
    pub stiffness: Stiffness,
    /// How far the machine itself carries it.
    pub body: f64,
    /// Whether somebody holds its far end, as on the side where it is fed in.
    pub is_held: bool,
    /// Floor that people need beyond its far end.
    pub room: f64,
    /// What is lower than the table by no more carries the work, and so much it keeps from what it passes over.
    pub tolerance: f64,
    /// Room above it, for hands.
    pub above: f64,
}

/// Something in a strip: where it begins and ends along it, in metres.
#[derive(Debug, Clone, Copy)]
pub struct Met {
    pub of: Obstacle,
    pub near: f64,
    pub far: f64,
    pub heights: HeightRange,
    /// Whether people walk around it.
    pub is_walked_around: bool,
}

/// What becomes of the work on one side of a machine.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Passed {
    /// How far it gets, and what ends it.
    pub end: Option<(Obstacle, f64)>,
    /// What it passes over, and where that begins.
    pub over: Vec<(Obstacle, f64)>,
    pub carried_by: Vec<(Obstacle, f64)>,
    /// How far from the middle of the machine it is carried.
    pub carried: f64,
}

/// By how much something is lower than a table, or higher if that is negative, where it is not level with it: what is
/// lower by no more than the tolerance is.
pub fn off_level(table: f64, top: f64, tolerance: f64) -> Option<f64> {
    let lower = table - top;
    let is_level = lower >= -ROUNDED_M && lower <= tolerance + ROUNDED_M;
    (!is_level).then_some(lower)
}

impl MovingWork {
    /// What it meets, in the order in which it gets there.
    pub fn along(&self, mut all: Vec<Met>) -> Passed {
        all.sort_by(|one, other| one.near.total_cmp(&other.near));
        let reach = self.length.max(self.body);
        let carriers = self.carriers(&all, reach);
        let mut passed = Passed {
            carried: self.body,
            ..Passed::default()
        };
        let mut end_at = |of: Obstacle, at: f64| {
            if passed.end.is_none_or(|(_, known)| at < known) {
                passed.end = Some((of, at));
            }
        };
        for (met, carries) in all.iter().zip(&carriers) {
            let begins_below_it = met.near < reach - SAME_POINT_M;
            let is_clear = *carries || self.is_above(met) || {
                let supports = all.iter().zip(&carriers).filter(|(_, carries)| **carries);
                let supports: Vec<&Met> = supports.map(|(met, _)| met).collect();
                self.passes_over(met, &supports, begins_below_it)
            };
            if !is_clear {
                end_at(met.of, met.near);
                continue;
            }
            let takes_room =
                self.room > 0.0 && met.is_walked_around && met.far > reach + SAME_POINT_M;
            if takes_room {
                end_at(met.of, met.near.max(reach));
            }
            if !begins_below_it {
                continue;
            }
            if *carries {
                passed.carried_by.push((met.of, met.near));
                passed.carried = passed.carried.max(met.far);
            } else if !self.is_above(met) {
                passed.over.push((met.of, met.near));
            }
        }
        passed
    }

    /// Which of these carry the work: level with the table, and so near to what carries it before that its end does not
    /// sag below them.
    fn carriers(&self, all: &[Met], reach: f64) -> Vec<bool> {
        let mut carried = self.body;
        let carries = all.iter().map(|met| {
            let is_level = off_level(self.table, met.heights.top, self.tolerance).is_none();
            let gap = self.overhang(met.near - carried, self.is_held);
            let is_met = self.is_held || gap.sag(0.0, f64::INFINITY) <= self.tolerance;
            let carries = is_level && met.near < reach - SAME_POINT_M && is_met;
            if carries {
                carried = carried.max(met.far);
            }
            carries
        });
        carries.collect()
    }

    fn overhang(&self, length: f64, is_held: bool) -> Overhang {
        Overhang {
            stiffness: self.stiffness,
            thickness: self.thickness,
            length,
            is_held,
        }
    }

    /// Whether it hangs above the work.
    fn is_above(&self, met: &Met) -> bool {
        met.heights.bottom >= self.table + self.thickness + self.above - ROUNDED_M
    }

    /// Whether it is so low that the work passes over it, sagging as it does between what carries it; of what begins
    /// beyond the work, whether a longer piece would reach it.
    fn passes_over(&self, met: &Met, carriers: &[&Met], begins_below_it: bool) -> bool {
        let before = carriers.iter().filter(|carrier| carrier.near <= met.near);
        let before = before.map(|carrier| carrier.far).fold(self.body, f64::max);
        let behind = carriers.iter().filter(|carrier| carrier.near > met.near);
        let behind = behind
            .map(|carrier| carrier.near)
            .fold(f64::INFINITY, f64::min);
        let free_to = match begins_below_it {
            true => self.length.min(behind),
            false => met.near,
        };
        let is_held = self.is_held;
        let overhang = self.overhang(free_to - before, is_held);
        let sag = overhang.sag(met.near - before, met.far - before);
        met.heights.top <= self.table - sag - self.tolerance + ROUNDED_M
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::access::INCH_M;
    use crate::shop::StationId;

    /// A board of 3/4 in that passes a machine whose table is 34 in high and reaches 22 in beyond the cutter.
    fn board(length: f64) -> MovingWork {
        MovingWork {
            table: 34.0 * INCH_M,
            length: length * INCH_M,
            thickness: 0.75 * INCH_M,
            stiffness: Stiffness::BOARD,
            body: 22.0 * INCH_M,
            is_held: false,
            room: 0.0,
            tolerance: INCH_M / 16.0,
            above: 6.0 * INCH_M,
        }
    }

    fn met(number: u32, near: f64, far: f64, top: f64) -> Met {
        Met {
            of: Obstacle::Station(StationId(number)),
            near: near * INCH_M,
            far: far * INCH_M,
            heights: HeightRange {
                bottom: 0.0,
                top: top * INCH_M,
            },
            is_walked_around: true,
        }
    }

    /// 48 in hang free and sag 0.20025 in: what reaches beyond them may be 33.73725 in high.
    #[test]
    fn work_passes_over_what_is_lower_by_its_sag_and_a_sixteenth() {
        let board = board(70.0);
        for (top, passes) in [(33.5, true), (33.7372, true), (33.7373, false)] {
            let passed = board.along(vec![met(0, 40.0, 80.0, top)]);
            assert_eq!(passed.end.is_none(), passes, "{top}: {passed:?}");
            assert_eq!(passed.over.len(), usize::from(passes));
        }
    }

    #[test]
    fn what_is_level_carries_it_and_what_is_higher_ends_it() {
        for (top, carries) in [
            (34.0, true),
            (34.0 - 1.0 / 16.0, true),
            (34.01, false),
            (33.9, false),
        ] {
            let passed = board(96.0).along(vec![met(0, 22.0, 70.0, top)]);
            assert_eq!(passed.carried_by.len(), usize::from(carries), "{top}");
            assert_eq!(passed.end.is_none(), carries, "{top}: {passed:?}");
            let far = if carries { 70.0 } else { 22.0 };
            assert!((passed.carried / INCH_M - far).abs() < 1e-9);
        }
    }

    /// Behind a gap of 36 in a free end hangs 0.0634 in low, more than 1/16 in; behind 35 in, 0.0566 in.
    #[test]
    fn an_end_that_sags_too_much_meets_the_edge_of_the_next_table() {
        for (gap, is_met) in [(35.0, true), (36.0, false)] {
            let passed = board(96.0).along(vec![met(0, 22.0 + gap, 96.0, 34.0)]);
            assert_eq!(passed.end.is_none(), is_met, "{gap}: {passed:?}");
        }
        let held = MovingWork {
            is_held: true,
            ..board(96.0)
        };
        assert_eq!(held.along(vec![met(0, 58.0, 96.0, 34.0)]).end, None);
    }

    #[test]
    fn low_things_between_two_tables_are_passed_by_what_sags_between_them() {
        let bin = met(1, 24.0, 40.0, 33.85);
        let alone = board(96.0).along(vec![bin]);
        assert!(alone.end.is_some(), "74 in hang over it");
        let carried = board(96.0).along(vec![bin, met(0, 42.0, 96.0, 34.0)]);
        assert_eq!(carried.end, None, "{carried:?}");
        assert_eq!((carried.over.len(), carried.carried_by.len()), (1, 1));
    }

    #[test]
    fn what_hangs_above_the_work_leaves_room_for_hands() {
        for (bottom, is_free) in [(40.75, true), (40.7, false)] {
            let mut shelf = met(0, 30.0, 40.0, 60.0);
            shelf.heights.bottom = bottom * INCH_M;
            let passed = board(60.0).along(vec![shelf]);
            assert_eq!(passed.end.is_none(), is_free, "{bottom}");
            assert!(passed.over.is_empty());
        }
    }

    #[test]
    fn whoever_feeds_it_does_not_stand_in_a_bench() {
        let fed = MovingWork {
            is_held: true,
            room: 30.0 * INCH_M,
            ..board(60.0)
        };
        let end = |near, far| {
            let end = fed.along(vec![met(0, near, far, 30.0)]).end;
            end.map(|(_, at)| (at / INCH_M * 1e6).round() / 1e6)
        };
        assert_eq!(end(30.0, 60.0), None);
        assert_eq!(end(30.0, 62.0), Some(60.0));
        assert_eq!(end(70.0, 80.0), Some(70.0));
    }
}
