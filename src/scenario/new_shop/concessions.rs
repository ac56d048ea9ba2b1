//! What is given up, step by step, so that the rest of what is wanted finds a place.

use super::Wish;
use super::sketch::{Sketch, needed};
use crate::experiment::Units;
use crate::floor::RuleId;
use crate::improve::{Arrangement, NoPlace};

/// What is given up so that the rest finds a place.
#[derive(Debug, Default)]
pub struct Concessions {
    pub sheets_come_cut: bool,
    pub boards_come_cut: bool,
    /// Stations that are as small as such things come.
    pub small: Vec<usize>,
    /// Stations that stand nowhere, and why.
    pub out: Vec<(usize, String)>,
}

impl Concessions {
    /// Whether something is given up of what is wanted, since it has found no place.
    pub fn concede(&mut self, wish: &Wish, sketch: &Sketch<'_>, arrangement: &Arrangement) -> bool {
        let mut gave_up = false;
        let used = &sketch.project.used;
        for &(station, why) in &arrangement.left_out {
            let index = station.index();
            let kind = wish.stations[index].kind;
            let does = |name: &str| {
                used.contains(&name)
                    && !sketch.stations[index].never.contains(&name)
                    && kind.does.iter().any(|does| does.name == name)
            };
            let is_strip = matches!(why, NoPlace::Strip { .. } | NoPlace::Rule(RuleId::Feed));
            let feeds_whole = is_strip && kind.feed.is_some() && does("crosscut");
            if feeds_whole && !self.sheets_come_cut {
                self.sheets_come_cut = true;
                return true;
            }
            if feeds_whole && !self.boards_come_cut {
                self.boards_come_cut = true;
                return true;
            }
            let has_less = kind.size.iter().any(|figure| figure.least < figure.usual);
            let is_sized = sketch.stations[index].size.is_some();
            if !is_sized && has_less && !self.small.contains(&index) {
                self.small.push(index);
                gave_up = true;
            }
        }
        if gave_up {
            return true;
        }
        let units = wish.room.units;
        let left = arrangement.left_out.iter();
        self.out
            .extend(left.map(|&(station, why)| (station.index(), reason(why, units))));
        !arrangement.left_out.is_empty()
    }
}

/// Why something stands nowhere, as a comment says it.
fn reason(why: NoPlace, units: Units) -> String {
    match why {
        NoPlace::Floor { along, deep } => format!(
            "no free floor of {} by {} is left for it with room to work",
            needed(along, units),
            needed(deep, units)
        ),
        NoPlace::Strip { long, wide } => format!(
            "no straight floor is free to feed its longest piece: {} long in all and {} wide",
            needed(long, units),
            needed(wide, units)
        ),
        NoPlace::Standing => {
            "wherever it would fit, nobody could stand at it or get around it".to_owned()
        }
        NoPlace::Rule(RuleId::Feed) => {
            "wherever it would fit, there is no room to feed its longest piece".to_owned()
        }
        NoPlace::Rule(RuleId::WayOut | RuleId::Reachable | RuleId::Aisle) => {
            "wherever it would fit, it closes the way to something else".to_owned()
        }
        NoPlace::Rule(RuleId::TooHigh) => "it is higher than the room".to_owned(),
        NoPlace::Rule(rule) => format!(
            "wherever it would fit, `check` finds a fault: {}",
            rule.name()
        ),
    }
}
