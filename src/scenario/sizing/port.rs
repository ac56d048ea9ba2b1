//! Ports of machines, and what a collector's fan does.

use super::{above_zero, airflow, kind_of, named, read};
use crate::experiment::Units;
use crate::scenario::quantity::Dimension;
use crate::services::air::{FanCurve, RatedLoss, WantedAir};
use crate::units::customary::{CFM, INCH};

/// A port of a machine, in m and m³/s.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidPort {
    pub name: String,
    pub diameter: f64,
    pub wanted: WantedAir,
    pub along: f64,
    /// Whether port or airflow are those of a kind.
    pub is_typical: bool,
    pub units: Units,
}

/// Reads a port such as `planer: 4 in, 400 cfm to 785 cfm, 25 ft`: its diameter, its airflow, and how far along the main
/// its branch is. A kind gives what is not said of the first two.
pub fn port(text: &str) -> Result<SaidPort, String> {
    let (name, parts) = named(text)?;
    let (mut lengths, mut wanted) = (Vec::new(), None);
    for part in parts {
        if let Ok(length) = Dimension::Length.read(part) {
            lengths.push((part, length));
        } else {
            wanted = Some(wanted_air(part)?);
        }
    }
    let dust = kind_of(name).and_then(|kind| kind.dust);
    let (diameter, along) = match lengths[..] {
        [(_, along)] => (dust.map(|dust| dust.port.usual * INCH), along),
        [(_, diameter), (_, along)] => (Some(diameter), along),
        _ => {
            return Err(format!(
                "`{name}` needs how far along the main its branch is, or its port and that, such as `{name}: 4 in, 400 cfm, 25 ft`"
            ));
        }
    };
    let typical = dust
        .map(|dust| dust.airflow.usual * CFM)
        .map(|airflow| WantedAir {
            least: airflow,
            good: airflow,
        });
    let is_typical = lengths.len() == 1 || wanted.is_none();
    let is_metric = lengths.iter().all(|(text, _)| text.ends_with('m'));
    match (diameter, wanted.or(typical)) {
        (Some(diameter), Some(wanted)) if diameter > 0.0 && wanted.good > 0.0 => Ok(SaidPort {
            name: name.to_owned(),
            diameter,
            wanted,
            along,
            is_typical,
            units: match is_metric {
                true => Units::Metric,
                false => Units::Imperial,
            },
        }),
        (Some(_), Some(_)) => Err(format!("port and airflow of `{name}` must be more than 0")),
        _ => Err(format!(
            "nothing is known of the port of `{name}`; write its size and airflow, such as `{name}: 4 in, 400 cfm, 25 ft`"
        )),
    }
}

fn wanted_air(text: &str) -> Result<WantedAir, String> {
    let ends = match Dimension::Airflow.range(text) {
        Some([least, good]) => [airflow(&least)?, airflow(&good)?],
        None => [airflow(text)?; 2],
    };
    match ends {
        [least, good] if least <= good => Ok(WantedAir { least, good }),
        _ => Err(format!("`{text}` begins with more than it ends with")),
    }
}

/// Reads a fan's curve, such as `0 cfm 8.5 inH2O, 400 cfm 7 inH2O, 1000 cfm 0`.
pub fn curve(text: &str) -> Result<FanCurve, String> {
    let point = |part: &str| -> Result<(f64, f64), String> {
        let words: Vec<&str> = part.split_whitespace().collect();
        let (airflow, pressure) = words.split_at(words.len().min(2));
        if airflow.len() < 2 || pressure.is_empty() {
            return Err(format!(
                "`{}` is no point of a curve; write airflow and pressure, such as `400 cfm 7 inH2O`",
                part.trim()
            ));
        }
        Ok((
            read(Dimension::Airflow, &airflow.join(" "))?,
            read(Dimension::Pressure, &pressure.join(" "))?,
        ))
    };
    let points: Result<Vec<(f64, f64)>, String> = text.split(',').map(point).collect();
    FanCurve::new(points?).map_err(|error| error.to_string())
}

/// Reads a loss at an airflow, such as `1 inH2O at 600 cfm`.
pub fn rated_loss(text: &str) -> Result<RatedLoss, String> {
    let (pressure, airflow) = (text.split_once(" at "))
        .ok_or("write a pressure and its airflow, such as `1 inH2O at 600 cfm`")?;
    Ok(RatedLoss {
        pressure: read(Dimension::Pressure, pressure.trim())?,
        airflow: above_zero(Dimension::Airflow, airflow.trim())?,
    })
}

/// Reads by how many times more a filter loses than clean.
pub fn dirt(text: &str) -> Result<f64, String> {
    let times: Option<f64> = text.trim().parse().ok();
    let times = times.filter(|times| (1.0..=100.0).contains(times));
    times.ok_or_else(|| "it must be a number from 1, which is clean, to 100".to_owned())
}
