//! What is to be plugged in.

use super::{kind_of, named};
use crate::scenario::kinds::Motor;
use crate::scenario::quantity::Dimension;
use crate::scenario::rated_amps::{NoAmps, SaidCurrent, has_word, is_heater};
use crate::services::power::{AmpsSource, takes_both_legs};
use crate::services::sizing::Worked;

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

/// What is said of a load, part by part.
#[derive(Debug, Default)]
struct LoadParts {
    current: SaidCurrent,
    volts: Option<f64>,
    is_continuous: bool,
    is_along: bool,
}

/// Reads a load such as `table saw: 1.75 hp, 120 V, 15 A`, `heater: 4 kW, 240 V, continuous` or `lamps: 80 W, along`. A
/// kind gives what is not said. Motors are in hp, or in kW where the kind is known to have one; heaters and lamps in W. A heater is continuous whether that is said or
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
    // Motors are sold in kW as well.
    said.current.is_resistive &= motor.is_none();
    let volts = said
        .volts
        .or(motor.map(|motor| f64::from(motor.volts[0])))
        .unwrap_or(120.0);
    if takes_both_legs(volts).is_none() {
        return Err(format!(
            "{volts} V is neither 120 V on one leg nor 240 V on both; write one of them"
        ));
    }
    let is_continuous = said.is_continuous || is_heater(name);
    let is_light = has_word(name, &LIGHTS);
    let hand_worked = kind.is_none_or(|kind| !kind.does.is_empty());
    let (amps, source) = said.amps_at(name, volts, motor.as_ref())?;
    let serves_the_room = is_light || source == AmpsSource::Power;
    let runs_along = said.is_along || is_continuous || serves_the_room || !hand_worked;
    Ok(SaidLoad {
        name: name.to_owned(),
        amps,
        volts,
        table_amps: said.current.table_amps_at(volts, motor.as_ref()),
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

impl LoadParts {
    fn read(&mut self, part: &str) -> Result<(), String> {
        if let Ok(amps) = Dimension::Current.read(part) {
            self.current.amps = Some(amps);
        } else if let Ok(volts) = Dimension::Voltage.read(part) {
            self.volts = Some(volts);
        } else {
            let power = Dimension::Power.read(part).map_err(|_| {
                format!("`{part}` is neither a current, a voltage, a power, `along` nor `continuous`; write for example `1.5 hp`, `120 V` or `15 A`")
            })?;
            self.current.power = Some(power);
            self.current.is_resistive = !part.ends_with("hp");
        }
        Ok(())
    }

    fn amps_at(
        &self,
        name: &str,
        volts: f64,
        motor: Option<&Motor>,
    ) -> Result<(f64, AmpsSource), String> {
        let found = self.current.amps_at(volts, motor).map_err(|why| match why {
            NoAmps::BrushMotor => format!(
                "the power of a brush motor says nothing of its current; write the amps of `{name}` from its nameplate"
            ),
            NoAmps::NothingSaid => format!(
                "nothing is known of the current of `{name}`; write the amps of its nameplate, such as `{name}: 120 V, 15 A`"
            ),
        })?;
        match found.0 > 0.0 {
            true => Ok(found),
            false => Err(format!("the current of `{name}` must be more than 0")),
        }
    }
}
