//! What a machine draws, from what is said of it and what is usual for its kind.

use super::kinds::Motor;
use crate::services::power::{AmpsSource, Running, resistive_amps, table_amps};
use crate::units::customary::HORSEPOWER;

/// What is said of a load, in A and W.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SaidCurrent {
    pub amps: Option<f64>,
    pub power: Option<f64>,
    /// Whether the power is that of a heater or a lamp, and not at the shaft of a motor.
    pub is_resistive: bool,
}

/// Why it is not known what a load draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoAmps {
    /// The power of a brush motor says nothing of it.
    BrushMotor,
    NothingSaid,
}

impl SaidCurrent {
    /// What it draws at a voltage, given the motor of its kind.
    pub fn amps_at(&self, volts: f64, motor: Option<&Motor>) -> Result<(f64, AmpsSource), NoAmps> {
        let is_universal = motor.is_some_and(|motor| motor.universal);
        match (self.amps, self.power, motor) {
            (Some(amps), Some(_), _) if self.is_resistive => Ok((amps, AmpsSource::Power)),
            (Some(amps), _, _) => Ok((amps, AmpsSource::Nameplate)),
            (None, Some(power), _) if self.is_resistive => {
                Ok((resistive_amps(power, volts), AmpsSource::Power))
            }
            (None, Some(power), _) if !is_universal => {
                Ok((Running::estimate(power, volts).amps, AmpsSource::Estimate))
            }
            (None, Some(_), _) => Err(NoAmps::BrushMotor),
            (None, None, Some(motor)) if motor.volts.contains(&(volts as u32)) => {
                // Of a kind that takes either, the amps of the table of kinds are those of the first.
                let share = f64::from(motor.volts[0]) / volts;
                Ok((motor.amps.most * share, AmpsSource::Kind))
            }
            (None, None, _) => Err(NoAmps::NothingSaid),
        }
    }

    /// What the motor table says for planning, if it has a row for such a motor. Where only amps are said, they count: what
    /// power is usual for the kind says nothing of that motor.
    pub fn table_amps_at(&self, volts: f64, motor: Option<&Motor>) -> Option<f64> {
        let is_in_table = !self.is_resistive && motor.is_none_or(|motor| !motor.universal);
        let motor = motor.filter(|_| self.amps.is_none());
        let usual = || motor?.horsepower.map(|power| power.usual * HORSEPOWER);
        let power = is_in_table.then(|| self.power.or_else(usual)).flatten()?;
        table_amps(power, volts)
    }
}

/// A heater for a room may be on for hours, and counts as if it were (NEC article 424, from memory).
pub fn is_heater(name: &str) -> bool {
    has_word(name, &["heater", "heaters"])
}

/// Whether a name says that something is of a kind.
pub fn has_word(name: &str, kinds: &[&str]) -> bool {
    let mut words = name.split_whitespace();
    words.any(|word| kinds.iter().any(|kind| word.eq_ignore_ascii_case(kind)))
}
