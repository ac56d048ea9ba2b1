//! Airflow, velocity, pressure and temperature as they are read in either system.

use crate::experiment::Units;
use crate::report::figure::{fixed, length_unit};
use crate::units::customary::{CFM, FEET_A_MINUTE, INCH, INCH_OF_WATER, fahrenheit};

pub(super) fn airflow(units: Units, flow: f64) -> String {
    match units {
        Units::Imperial => format!("{} cfm", fixed(flow / CFM, 0)),
        Units::Metric => format!("{} m³/h", fixed(flow * 3600.0, 0)),
    }
}

pub(super) fn velocity(units: Units, velocity: f64) -> String {
    match units {
        Units::Imperial => format!("{} ft/min", fixed(velocity / FEET_A_MINUTE, 0)),
        Units::Metric => format!("{} m/s", fixed(velocity, 1)),
    }
}

pub(super) fn pressure(units: Units, pressure: f64) -> String {
    match units {
        Units::Imperial => format!("{} inH2O", fixed(pressure / INCH_OF_WATER, 1)),
        Units::Metric => format!("{} Pa", fixed(pressure, 0)),
    }
}

/// Without digits that say nothing: "5 ft", "7.5 ft".
pub(super) fn length(units: Units, length: f64) -> String {
    let unit = length_unit(units);
    let number = fixed(length / unit.per_unit, 1);
    format!("{} {}", number.trim_end_matches(".0"), unit.sign)
}

/// Of a pipe, which is sold by it.
pub(super) fn diameter(units: Units, diameter: f64) -> String {
    match units {
        Units::Imperial => format!("{}-in", number_of_inches(diameter)),
        Units::Metric => format!("{}-mm", fixed(diameter * 1000.0, 0)),
    }
}

fn number_of_inches(length: f64) -> String {
    let inches = length / INCH;
    match (inches - inches.round()).abs() < 1e-6 {
        true => fixed(inches, 0),
        false => fixed(inches, 2).trim_end_matches('0').to_owned(),
    }
}

pub(super) fn temperature(units: Units, celsius: f64) -> String {
    match units {
        Units::Imperial => format!("{} °F", fixed(fahrenheit(celsius), 0)),
        Units::Metric => format!("{} °C", fixed(celsius, 0)),
    }
}

pub(super) fn kilowatts(watts: f64) -> String {
    format!("{} kW", fixed(watts / 1000.0, 1))
}
