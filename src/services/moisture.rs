//! Moisture of wood and air.

use crate::units::customary::fahrenheit;

/// The moisture at which wood is in balance with air of a temperature in °C and a relative humidity between 0 and 1, as a
/// share of its dry mass: the Hailwood-Horrobin fit of the Wood Handbook, chapter 4, in its own units.
pub fn equilibrium_moisture(temperature: f64, humidity: f64) -> f64 {
    let t = fahrenheit(temperature);
    let w = 330.0 + 0.452 * t + 0.00415 * t * t;
    let k = 0.791 + 4.63e-4 * t - 8.44e-7 * t * t;
    let k1 = 6.34 + 7.75e-4 * t - 9.35e-5 * t * t;
    let k2 = 1.09 + 2.84e-2 * t - 9.04e-5 * t * t;
    let kh = k * humidity;
    let two = k1 * k2 * kh * kh;
    let percent = 1800.0 / w * (kh / (1.0 - kh) + (k1 * kh + 2.0 * two) / (1.0 + k1 * kh + two));
    percent / 100.0
}

/// The relative humidity at which wood is so moist at a temperature in °C: between 0 and 1; none if it is never.
pub fn humidity_for(temperature: f64, moisture: f64) -> Option<f64> {
    const HALVINGS: u32 = 60;
    let (mut dry, mut damp) = (0.0, 1.0);
    if moisture < 0.0 || moisture > equilibrium_moisture(temperature, damp) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = (dry + damp) / 2.0;
        match equilibrium_moisture(temperature, middle) < moisture {
            true => dry = middle,
            false => damp = middle,
        }
    }
    Some((dry + damp) / 2.0)
}

/// By how much a board of a width changes between two moistures (shares), with so much change for each share of moisture
/// (Wood Handbook, table 13-5, whose coefficients are for each per cent). Above 0 where it grows.
pub fn movement(width: f64, coefficient: f64, from: f64, to: f64) -> f64 {
    width * coefficient * (to - from)
}

/// Magnus's constants over water.
const MAGNUS: (f64, f64) = (17.62, 243.12);

/// The temperature in °C below which iron sweats, in air of a temperature in °C and a relative humidity above 0: Magnus's
/// formula.
pub fn dew_point(temperature: f64, humidity: f64) -> f64 {
    let (a, b) = MAGNUS;
    let gamma = a * temperature / (b + temperature) + libm::log(humidity);
    b * gamma / (a - gamma)
}

/// The relative humidity of air that is warmed or cooled, without water coming or going; above 1 where it would be fog.
pub fn humidity_at(temperature: f64, humidity: f64, other: f64) -> f64 {
    let (a, b) = MAGNUS;
    let saturation = |t: f64| a * t / (b + t);
    humidity * libm::exp(saturation(temperature) - saturation(other))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::customary::celsius;

    /// The worked figures of the notes on heat and air, K7: outdoor air of 30 °F and 80 % has 21 % and an EMC of 4.8 % at
    /// 65 °F; summer air of 80 °F and 60 % in a basement of 65 °F is at 99.5 %.
    #[test]
    fn air_that_is_warmed_or_cooled() {
        let warm = humidity_at(celsius(30.0), 0.8, celsius(65.0));
        assert!((warm - 0.21).abs() < 0.005, "{warm}");
        let moisture = equilibrium_moisture(celsius(65.0), warm);
        assert!((moisture - 0.048).abs() < 0.001, "{moisture}");
        let basement = humidity_at(celsius(80.0), 0.6, celsius(65.0));
        assert!((basement - 0.995).abs() < 0.005, "{basement}");
    }

    #[test]
    fn no_air_is_damp_enough() {
        assert_eq!(humidity_for(20.0, 0.9), None);
        assert_eq!(humidity_for(20.0, -0.1), None);
    }
}
