//! Moisture of wood and air against worked cases.

use proptest::prelude::*;
use shopstride::services::moisture::{dew_point, equilibrium_moisture, humidity_at, humidity_for};
use shopstride::units::customary::{INCH, celsius, fahrenheit};

use super::case::Case;
use crate::support::drawn;

/// These say beside their tolerance what it is of.
const OF_THE_EQUATION: f64 = 0.01;

pub fn equilibrium(case: &Case) {
    let found =
        equilibrium_moisture(celsius(case.number("T_F")), case.number("RH_pct") / 100.0) * 100.0;
    let expected = super::case::number(case.expected("EMC_pct"));
    let is_near = (found - expected).abs() <= OF_THE_EQUATION;
    case.same(
        "EMC",
        (is_near, case.tolerance()),
        (true, "0.01 (equation)".into()),
    );
}

pub fn humidity(case: &Case) {
    let found = humidity_for(celsius(case.number("T_F")), case.number("EMC_pct") / 100.0);
    case.near("RH_pct", 100.0 * found.expect("a humidity"));
}

pub fn dew(case: &Case) {
    let found = dew_point(celsius(case.number("T_F")), case.number("RH_pct") / 100.0);
    case.near("dew_F", fahrenheit(found));
}

/// The coefficient is for each per cent of moisture.
pub fn movement(case: &Case) {
    let [from, to] = ["M_from", "M_to"].map(|key| case.number(key) / 100.0);
    let width = case.number("width_in") * INCH;
    let coefficient = case.number("CR") * 100.0;
    let found = shopstride::services::moisture::movement(width, coefficient, from, to);
    case.near("change_in", found.abs() / INCH);
    assert!(found < 0.0, "drier wood is narrower");
}

proptest! {
    #![proptest_config(drawn(256))]

    #[test]
    fn damper_air_means_damper_wood(temperature in -5.0..45.0_f64, humidity in 0.02..0.95_f64) {
        let [less, more] = [humidity, humidity + 0.03].map(|h| equilibrium_moisture(temperature, h));
        prop_assert!(less < more);
        let back = humidity_for(temperature, less).expect("a humidity");
        prop_assert!((back - humidity).abs() < 1e-9);
    }

    /// At its dew point air is full.
    #[test]
    fn air_at_its_dew_point_is_full(temperature in -5.0..45.0_f64, humidity in 0.02..1.0_f64) {
        let full = humidity_at(temperature, humidity, dew_point(temperature, humidity));
        prop_assert!((full - 1.0).abs() < 1e-9);
    }
}
