//! Sound: levels in dB(A), what people get of it in a day, and what goes through a wall.

use super::together::{OnTime, stretches};
use crate::shop::StationId;
use crate::units::customary::FOOT;
use crate::units::{Moment, Span};

/// How loud a shop is, and what is to be heard of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NoisePlan {
    pub machines: Vec<MachineNoise>,
    /// Machines that start by themselves, at times that nobody knows: in no account.
    pub untimed: Vec<StationId>,
    pub house: Option<HouseWall>,
    /// Times of day between which it has to be quiet; the second may be earlier, on the next day.
    pub quiet: Option<[Span; 2]>,
}

/// A machine's levels in dB(A) where one stands at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MachineNoise {
    pub station: StationId,
    pub idle: f64,
    pub cutting: f64,
    /// Whether one of them is only usual for its kind.
    pub is_typical: bool,
}

/// What stands between a shop and a room of the house.
#[derive(Debug, Clone, PartialEq)]
pub struct HouseWall {
    pub parts: Vec<WallPart>,
    /// In that room, in m² of open window.
    pub absorbs: f64,
}

impl HouseWall {
    /// What is heard there of a level in the shop.
    pub fn level_behind(&self, level: f64) -> Option<f64> {
        level_behind(level, &self.parts, self.absorbs)
    }
}

/// A machine's level is what one gets so near to it, in m: 3 ft.
pub const MEASURED_AT: f64 = 3.0 * FOOT;
/// Within a room a level falls by no more than this, in dB, since walls send it back. Ours, without a source.
pub const MOST_FALL_INDOORS: f64 = 8.0;
/// What is below this does not count towards a dose, in dB(A). Ours; hearing conservation counts from 80 dB(A).
const COUNTS_FROM: f64 = 80.0;
/// NIOSH's limit for eight hours, and by how much a level may rise for half of the time.
const LIMIT: f64 = 85.0;
const EXCHANGE: f64 = 3.0;
/// Eight hours, in s.
const DAY: f64 = 8.0 * 3600.0;

/// Several levels at one time: energies add up. None of nothing.
pub fn level_sum(levels: impl IntoIterator<Item = f64>) -> Option<f64> {
    let mut sum = 0.0;
    for level in levels {
        sum += libm::pow(10.0, level / 10.0);
    }
    (sum > 0.0).then(|| 10.0 * libm::log10(sum))
}

/// A level at some distance from a source whose level holds at another one, in the open: 20 log₁₀ of their ratio less.
/// Nearer than that it is not louder.
pub fn level_outdoors(level: f64, measured_at: f64, distance: f64) -> f64 {
    level - fall(measured_at, distance)
}

/// A machine's level at some distance in the same room.
pub fn level_indoors(level: f64, distance: f64) -> f64 {
    level - fall(MEASURED_AT, distance).min(MOST_FALL_INDOORS)
}

fn fall(measured_at: f64, distance: f64) -> f64 {
    (20.0 * libm::log10(distance / measured_at)).max(0.0)
}

/// How long a level may be heard in a day, in s: 480 min / 2^((L − 85) / 3) (NIOSH).
pub fn allowed(level: f64) -> f64 {
    DAY / libm::pow(2.0, (level - LIMIT) / EXCHANGE)
}

/// Something that is heard while it is on.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// Where one is, in dB(A).
    pub level: f64,
    pub on: Vec<OnTime>,
}

/// What somebody gets in a time, of all that is heard together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NoiseExposure {
    /// Share of what is allowed in a day, behind protection.
    pub dose: f64,
    /// The loudest, without protection.
    pub peak: Option<f64>,
    /// For how long it was above 85 dB(A) without protection.
    pub above_limit: Span,
}

impl NoiseExposure {
    /// Of what is on within a time, with hearing protection that takes off so many dB.
    pub fn within(day: OnTime, sounds: &[Sound], protection: f64) -> NoiseExposure {
        let mut found = NoiseExposure::default();
        for stretch in stretches(sounds.iter().map(|sound| &sound.on[..])) {
            let levels = stretch.on.iter().map(|&number| sounds[number].level);
            let Some(level) = level_sum(levels) else {
                continue;
            };
            let from: Moment = stretch.time.from.max(day.from);
            let until = stretch.time.until.min(day.until);
            if until <= from {
                continue;
            }
            found.hear(level, until - from, protection);
        }
        found
    }

    /// Adds a level that lasts for some time, behind protection that takes off so many dB.
    pub fn hear(&mut self, level: f64, lasts: Span, protection: f64) {
        self.peak = Some(self.peak.map_or(level, |peak| peak.max(level)));
        if level > LIMIT {
            self.above_limit += lasts;
        }
        let heard = level - protection;
        if heard >= COUNTS_FROM {
            self.dose += lasts.seconds() / allowed(heard);
        }
    }

    /// See [`eight_hour_level`].
    pub fn eight_hour_level(&self) -> Option<f64> {
        eight_hour_level(self.dose)
    }
}

/// The level that gives a dose in eight hours: 10 log₁₀ D + 85; none of none.
pub fn eight_hour_level(dose: f64) -> Option<f64> {
    (dose > 0.0).then(|| 10.0 * libm::log10(dose) + LIMIT)
}

/// A part of a wall: its area in m², and by how much it reduces sound, in dB.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallPart {
    pub area: f64,
    pub reduction: f64,
}

/// By how much a wall of several parts reduces sound, in dB: what comes through is weighed by area, so that the weakest
/// part decides. None without an area.
pub fn wall_reduction(parts: &[WallPart]) -> Option<f64> {
    let area: f64 = parts.iter().map(|part| part.area).sum();
    let through: f64 = (parts.iter())
        .map(|part| part.area * libm::pow(10.0, -part.reduction / 10.0))
        .sum();
    (area > 0.0).then(|| 10.0 * libm::log10(area / through))
}

/// The level behind a wall: less its reduction, and more by 10 log₁₀ (wall / what absorbs there), both in m².
pub fn level_behind(level: f64, parts: &[WallPart], absorbs: f64) -> Option<f64> {
    let area: f64 = parts.iter().map(|part| part.area).sum();
    let reduction = wall_reduction(parts)?;
    Some(level - reduction + 10.0 * libm::log10(area / absorbs))
}
