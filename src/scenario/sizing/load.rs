//! What is to be plugged in.

use super::{kind_of, named};
use crate::scenario::kinds::Motor;
use crate::scenario::quantity::Dimension;
use crate::services::power::{Running, resistive_amps, table_amps};
use crate::services::sizing::Worked;
use crate::units::customary::HORSEPOWER;

/// Something to be plugged in, in A and V.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidLoad {
    pub name: String,
    pub amps: f64,
    pub volts: f64,
    pub table_amps: Option<f64>,
    pub is_motor: bool,
    pub is_continuous: bool,
    pub worked: Worked,
    pub source: AmpsSource,
    /// Whether it is what one sees by.
    pub is_light: bool,
    /// Whether its voltage is said rather than taken to be 120 V or its kind's.
    pub says_volts: bool,
}

/// Where a current comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AmpsSource {
    Nameplate,
    /// Of a heater or lamp.
    Power,
    /// From the power of a motor.
    Estimate,
    /// The upper end of what machines of the kind draw.
    Kind,
}

/// What is said of a load, part by part.
#[derive(Debug, Default)]
struct LoadParts {
    amps: Option<f64>,
    volts: Option<f64>,
    /// W, and whether it is a motor's.
    power: Option<(f64, bool)>,
    is_continuous: bool,
    is_along: bool,
}

/// Reads a load such as `table saw: 1.75 hp, 120 V, 15 A`, `heater: 4 kW, 240 V, continuous` or `lamps: 80 W, along`. A
/// kind gives what is not said. Motors are in hp, heaters and lamps in W. A heater is continuous whether that is said or
/// not; whatever is in W is on whatever else is.
pub fn load(text: &str) -> Result<SaidLoad, String> {
    let (name, parts) = named(text)?;
    let mut said = LoadParts::default();
    for part in parts {
        match part {
            "continuous" => said.is_continuous = true,
            "along" => said.is_along = true,
            _ => said.read(part)?,
        }
    }
    let kind = kind_of(name);
    let motor = kind.and_then(|kind| kind.motor);
    let volts = said
        .volts
        .or(motor.map(|motor| f64::from(motor.volts[0])))
        .unwrap_or(120.0);
    if legs(volts).is_none() {
        return Err(format!(
            "{volts} V is neither 120 V on one leg nor 240 V on both; write one of them"
        ));
    }
    let is_continuous = said.is_continuous || has_word(name, &["heater", "heaters"]);
    let is_light = has_word(name, &LIGHTS);
    let hand_worked = kind.is_none_or(|kind| !kind.does.is_empty());
    let (amps, source) = said.amps_at(name, volts, motor.as_ref())?;
    let serves_the_room = is_light || source == AmpsSource::Power;
    let runs_along = said.is_along || is_continuous || serves_the_room || !hand_worked;
    let horsepower = match said.power {
        Some((power, true)) => Some(power),
        Some((_, false)) => None,
        None => motor
            .filter(|motor| !motor.universal)
            .and_then(|motor| motor.horsepower)
            .map(|power| power.usual * HORSEPOWER),
    };
    Ok(SaidLoad {
        name: name.to_owned(),
        amps,
        volts,
        table_amps: horsepower.and_then(|power| table_amps(power, volts)),
        is_motor: source != AmpsSource::Power,
        is_continuous,
        worked: match runs_along {
            true => Worked::Along,
            false => Worked::ByHand,
        },
        source,
        is_light,
        says_volts: said.volts.is_some(),
    })
}

/// What lamps are called.
const LIGHTS: [&str; 6] = ["light", "lights", "lighting", "lamp", "lamps", "tubes"];

/// Whether a name says that something is of a kind: a heater for a room may be on for hours, and counts as if it were
/// (NEC article 424, from memory).
fn has_word(name: &str, kinds: &[&str]) -> bool {
    let mut words = name.split_whitespace();
    words.any(|word| kinds.iter().any(|kind| word.eq_ignore_ascii_case(kind)))
}

/// Whether a voltage is on one leg of a supply of 120 and 240 V, or on both.
pub fn legs(volts: f64) -> Option<bool> {
    match volts {
        110.0 | 115.0 | 120.0 => Some(false),
        208.0 | 220.0 | 230.0 | 240.0 => Some(true),
        _ => None,
    }
}

impl LoadParts {
    fn read(&mut self, part: &str) -> Result<(), String> {
        if let Ok(amps) = Dimension::Current.read(part) {
            self.amps = Some(amps);
        } else if let Ok(volts) = Dimension::Voltage.read(part) {
            self.volts = Some(volts);
        } else {
            let power = Dimension::Power.read(part).map_err(|_| {
                format!("`{part}` is neither a current, a voltage, a power, `along` nor `continuous`; write for example `1.5 hp`, `120 V` or `15 A`")
            })?;
            self.power = Some((power, part.ends_with("hp")));
        }
        Ok(())
    }

    fn amps_at(
        &self,
        name: &str,
        volts: f64,
        motor: Option<&Motor>,
    ) -> Result<(f64, AmpsSource), String> {
        let is_universal = motor.is_some_and(|motor| motor.universal);
        let found = match (self.amps, self.power, motor) {
            (Some(amps), Some((_, false)), _) => (amps, AmpsSource::Power),
            (Some(amps), _, _) => (amps, AmpsSource::Nameplate),
            (None, Some((power, false)), _) => (resistive_amps(power, volts), AmpsSource::Power),
            (None, Some((power, true)), _) if !is_universal => {
                (Running::estimate(power, volts).amps, AmpsSource::Estimate)
            }
            (None, Some(_), _) => {
                return Err(format!(
                    "the power of a brush motor says nothing of its current; write the amps of `{name}` from its nameplate"
                ));
            }
            (None, None, Some(motor)) if motor.volts.contains(&(volts as u32)) => {
                // Of a kind that takes either, the amps of the table of kinds are those of the first.
                let share = f64::from(motor.volts[0]) / volts;
                (motor.amps.most * share, AmpsSource::Kind)
            }
            (None, None, _) => {
                return Err(format!(
                    "nothing is known of the current of `{name}`; write the amps of its nameplate, such as `{name}: 120 V, 15 A`"
                ));
            }
        };
        match found.0 > 0.0 {
            true => Ok(found),
            false => Err(format!("the current of `{name}` must be more than 0")),
        }
    }
}
