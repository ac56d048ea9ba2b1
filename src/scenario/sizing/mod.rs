//! What is said on a command line of a shop that has nothing yet: ports, loads, doors, curves.

mod load;
mod port;

pub use load::{SaidLoad, load};
pub use port::{SaidPort, curve, dirt, port, rated_loss};

use super::kinds::{self, StationKind};
use super::new_shop::read_room;
use super::quantity::{Dimension, Wrong};
use super::temperature::celsius;
use crate::experiment::Units;
use crate::services::heat::conductance;
use crate::services::light::Surfaces;
use crate::units::customary::FOOT;

/// A room as it is said, with the height of a usual ceiling where it has none: 8 ft or 2.4 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizedRoom {
    /// Along the front wall, to the back wall, and up, in m.
    pub size: [f64; 3],
    pub is_ceiling_guessed: bool,
    pub units: Units,
}

/// A door of a room to be heated: m² and W/(m² K).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatDoor {
    pub area: f64,
    pub conductance: f64,
}

fn told(wrong: Wrong) -> String {
    format!("{}; {}", wrong.what, wrong.hint)
}

fn read(dimension: Dimension, text: &str) -> Result<f64, String> {
    dimension.read(text).map_err(told)
}

/// Likewise of what cannot be 0.
fn above_zero(dimension: Dimension, text: &str) -> Result<f64, String> {
    let value = read(dimension, text)?;
    match value > 0.0 {
        true => Ok(value),
        false => Err(format!(
            "it must be more than 0, such as {}",
            dimension.examples()
        )),
    }
}

/// Reads so many lm, above 0.
///
/// # Errors
/// What is wrong, and what would be right; so with all that follow.
pub fn light_output(text: &str) -> Result<f64, String> {
    above_zero(Dimension::LightOutput, text)
}

/// Reads so many lx, above 0.
pub fn illuminance(text: &str) -> Result<f64, String> {
    above_zero(Dimension::Illuminance, text)
}

/// Reads a current in A, above 0.
pub fn current(text: &str) -> Result<f64, String> {
    above_zero(Dimension::Current, text)
}

/// Reads a length in m, which may be 0.
pub fn length(text: &str) -> Result<f64, String> {
    read(Dimension::Length, text)
}

/// Reads an airflow in m³/s.
pub fn airflow(text: &str) -> Result<f64, String> {
    read(Dimension::Airflow, text)
}

/// Reads a time in s, above 0.
pub fn time(text: &str) -> Result<f64, String> {
    above_zero(Dimension::Time, text)
}

/// Reads a temperature in °C.
pub fn temperature(text: &str) -> Result<f64, String> {
    celsius(text).map_err(told)
}

/// Reads a room, such as `12 ft x 22 ft x 8 ft`.
pub fn room(text: &str) -> Result<SizedRoom, String> {
    let said = read_room(text).map_err(|complaint| match complaint.hint {
        Some(hint) => format!("{}; {hint}", complaint.what),
        None => complaint.what,
    })?;
    let usual = match said.units {
        Units::Imperial => 8.0 * FOOT,
        Units::Metric => 2.4,
    };
    Ok(SizedRoom {
        size: [said.size.0, said.size.1, said.ceiling.unwrap_or(usual)],
        is_ceiling_guessed: said.ceiling.is_none(),
        units: said.units,
    })
}

/// Reads what ceiling, walls and floor send back, such as `80 %, 50 %, 20 %`.
pub fn surfaces(text: &str) -> Result<Surfaces, String> {
    let shares: Result<Vec<f64>, String> = text
        .split(',')
        .map(|part| read(Dimension::Share, part.trim()))
        .collect();
    match shares?[..] {
        [ceiling, walls, floor] if walls < 1.0 && ceiling * floor < 1.0 => Ok(Surfaces {
            ceiling,
            walls,
            floor,
        }),
        _ => Err("write what ceiling, walls and floor send back, each less than all, such as `80 %, 50 %, 20 %`".to_owned()),
    }
}

/// Reads by how much a wall keeps heat in: `r 12` in the units of the United States, or `u 0.5` in W/(m² K).
pub fn insulation(text: &str) -> Result<f64, String> {
    const HINT: &str = "write `r 12` (ft² °F h/Btu) or `u 0.5` (W/m² K), more than 0";
    let (letter, number) = text.trim().split_at_checked(1).ok_or(HINT)?;
    let value: f64 = number
        .trim_start_matches(':')
        .trim()
        .parse()
        .map_err(|_| HINT)?;
    let is_usual = value > 0.0 && value.is_finite();
    match letter {
        "r" | "R" if is_usual => Ok(conductance(value)),
        "u" | "U" if is_usual => Ok(value),
        _ => Err(HINT.to_owned()),
    }
}

/// Reads a door such as `9 ft x 7 ft, r 5`.
pub fn heat_door(text: &str) -> Result<HeatDoor, String> {
    const HINT: &str = "write for example `9 ft x 7 ft, r 5`";
    let (size, keeps) = text.split_once(',').ok_or(HINT)?;
    let (width, height) = size.split_once('x').ok_or(HINT)?;
    Ok(HeatDoor {
        area: length(width.trim())? * length(height.trim())?,
        conductance: insulation(keeps)?,
    })
}

/// Reads air changes an hour, such as `0.7` or `0.7 per h`.
pub fn air_changes(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches("per h").trim();
    let value: Option<f64> = number.parse().ok();
    let usual = value.filter(|changes| (0.0..=100.0).contains(changes));
    usual.ok_or_else(|| "it must be a number from 0 to 100, such as 0.7, each an hour".to_owned())
}

/// A name and what is said of it behind a colon, in parts.
fn named(text: &str) -> Result<(&str, Vec<&str>), String> {
    let (name, rest) = text.split_once(':').unwrap_or((text, ""));
    let parts = rest.split(',').map(str::trim);
    match name.trim() {
        "" => Err("it needs a name first, such as `planer: 25 ft`".to_owned()),
        name => Ok((name, parts.filter(|part| !part.is_empty()).collect())),
    }
}

fn kind_of(name: &str) -> Option<&'static StationKind> {
    kinds::called(name).map(|called| called.kind)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::services::power::AmpsSource;
    use crate::services::sizing::Worked;
    use crate::units::customary::{CFM, INCH};

    #[test]
    fn ports_loads_and_walls_as_they_are_said() {
        let planer = port("planer: 4 in, 400 cfm to 785 cfm, 25 ft").expect("a port");
        assert!((planer.wanted.good / CFM - 785.0).abs() < 1e-9 && !planer.is_typical);
        let typical = port("table saw: 12 ft").expect("a port");
        assert!((typical.diameter / INCH - 4.0).abs() < 1e-9 && typical.is_typical);
        let saw = load("my saw: 120 V, 15 A").expect("a load");
        assert_eq!(
            (saw.amps, saw.source, saw.worked),
            (15.0, AmpsSource::Nameplate, Worked::ByHand)
        );
        let heater = load("heater: 4 kW, 240 V, continuous").expect("a load");
        assert!((heater.amps - 16.6667).abs() < 1e-4 && !heater.is_motor && heater.is_continuous);
        assert_eq!(heater.worked, Worked::Along);
        let silent = load("space Heater: 1.5 kW").expect("a load");
        assert!(silent.is_continuous && silent.worked == Worked::Along);
        assert!(!load("lamps: 80 W").expect("a load").is_continuous);
        let motor = load("thing: 1 hp, 240 V").expect("a load");
        assert!((motor.amps - 4.3171).abs() < 1e-4 && motor.source == AmpsSource::Estimate);
        assert_eq!(motor.table_amps, Some(8.0));
        let collector = load("small dust collector").expect("a load");
        assert_eq!((collector.amps, collector.worked), (16.0, Worked::Along));
        assert!((insulation("u 0.5").expect("a wall") - 0.5).abs() < 1e-12);
        assert!((insulation("r: 12").expect("a wall") - 5.678 / 12.0).abs() < 1e-4);
    }

    #[test]
    fn what_cannot_be_read_is_told_with_what_would_be_right() {
        let wrong = |told: Option<String>| assert!(told.is_some_and(|told| told.len() > 20));
        wrong(port("planer").err());
        wrong(port("thing: 25 ft").err());
        wrong(port("planer: 4 in, 400 lb, 25 ft").err());
        wrong(port("planer: 4 in, 800 cfm to 400 cfm, 25 ft").err());
        wrong(port(": 25 ft").err());
        wrong(load("thing").err());
        wrong(load("thing: 15 A, 400 V").err());
        wrong(load("thing: 0 A").err());
        wrong(load("router table: 2 hp").err());
        wrong(load("thing: 15 lb").err());
        wrong(insulation("12").err());
        wrong(insulation("r 0").err());
        wrong(insulation("").err());
        wrong(curve("1200 cfm 0").err());
        wrong(curve("0 cfm, 1200 cfm 0").err());
        wrong(rated_loss("1 inH2O").err());
        wrong(surfaces("80 %, 50 %").err());
        wrong(heat_door("9 ft x 7 ft").err());
        wrong(air_changes("many").err());
        wrong(temperature("warm").err());
        wrong(light_output("0 lm").err());
    }
}
