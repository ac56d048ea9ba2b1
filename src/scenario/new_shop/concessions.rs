//! What is given up, step by step, so that the rest of what is wanted finds a place.

use super::Wish;
use super::habits::{holds_a_sheet, may_hang_higher};
use super::length::INCH;
use super::sketch::{Sketch, needed};
use crate::experiment::Units;
use crate::floor::RuleId;
use crate::improve::{Arrangement, NoPlace};

/// What is given up so that the rest finds a place.
#[derive(Debug, Default)]
pub struct Concessions {
    pub sheets_come_cut: bool,
    pub boards_come_cut: bool,
    /// Stations are as small as such things come.
    pub is_full: bool,
    /// What sheets are cut on is set up only while it is used: from the beginning where there is much for the room.
    pub is_folded: bool,
    /// The lumber rack whose arms are fixed higher up on the wall.
    pub high_rack: Option<usize>,
    /// Stations that stand nowhere, and why.
    pub out: Vec<(usize, String)>,
}

/// Where all that is wanted takes more than this share of the floor, sheets are cut on what is folded away afterwards.
const MUCH: f64 = 0.3;

impl Concessions {
    /// What nobody would want otherwise in a room of this size.
    pub fn of(wish: &Wish) -> Concessions {
        let (width, depth) = wish.room.size;
        let areas = wish.stations.iter().map(|said| {
            let [width, depth] = said.kind.size.map(|figure| figure.usual * INCH);
            width * depth
        });
        Concessions {
            is_folded: areas.sum::<f64>() > MUCH * width * depth,
            ..Concessions::default()
        }
    }

    /// Whether something is given up of what is wanted, since it has found no place.
    pub fn concede(&mut self, wish: &Wish, sketch: &Sketch<'_>, arrangement: &Arrangement) -> bool {
        let used = sketch.used();
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
        }
        if arrangement.left_out.is_empty() {
            return false;
        }
        if !self.is_full {
            self.is_full = true;
            return true;
        }
        let rack = (wish.stations.iter()).position(|said| may_hang_higher(said.kind));
        if self.high_rack.is_none() && rack.is_some() {
            self.high_rack = rack;
            return true;
        }
        if !self.is_folded && (wish.stations.iter()).any(|said| holds_a_sheet(said.kind)) {
            self.is_folded = true;
            return true;
        }
        let units = wish.room.units;
        // Those that matter most come first; without the others these may find a place.
        let kept = arrangement.left_out.len() / 2;
        let left = arrangement.left_out[kept..].iter();
        self.out
            .extend(left.map(|&(station, why)| (station.index(), reason(why, units))));
        true
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
            "wherever it would fit, it closes the way to a station or a door; with fewer stations in `--with` there may be room".to_owned()
        }
        NoPlace::Rule(RuleId::TooHigh) => "it is higher than the room".to_owned(),
        NoPlace::Rule(rule) => format!(
            "wherever it would fit, `check` finds a fault: {}",
            rule.name()
        ),
    }
}
