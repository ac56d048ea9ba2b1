//! What it costs to move air through pipe, hose and fittings.

use std::f64::consts::PI;

use crate::units::customary::{CFM, FEET_A_MINUTE, FOOT, INCH_OF_WATER};

/// What mains and branches are sized for: a woodworking magazine's answer book.
pub const MAIN_VELOCITY: f64 = 3500.0 * FEET_A_MINUTE;
pub const BRANCH_VELOCITY: f64 = 4000.0 * FEET_A_MINUTE;

/// Loss of entry of a port without a flare, in velocity pressures; the air's own acceleration comes on top.
pub const PORT_ENTRY: f64 = 0.5;

/// By how much hose as it lies loses more than straight smooth hose. Ours, without a source: trade pages say 1.5 to 3
/// times smooth pipe, and slack and ribs make the difference.
pub const FLEXIBLE_FACTOR: f64 = 1.5;

/// Of a square elbow whose radius is 1.5 times its diameter, in velocity pressures: ACGIH, Industrial Ventilation (from
/// memory).
pub const ELBOW_K: f64 = 0.39;
/// Of a wye at 45°, in velocity pressures of the branch (same source).
pub const WYE_K: f64 = 0.28;

/// By radius over diameter, of 90° (same source).
const ELBOWS: [(f64, f64); 6] = [
    (1.25, 0.55),
    (1.5, ELBOW_K),
    (1.75, 0.32),
    (2.0, 0.27),
    (2.25, 0.26),
    (2.5, 0.22),
];

/// By the angle of the branch in degrees (same source).
const WYES: [(f64, f64); 11] = [
    (10.0, 0.06),
    (15.0, 0.09),
    (20.0, 0.12),
    (25.0, 0.15),
    (30.0, 0.18),
    (35.0, 0.21),
    (40.0, 0.25),
    (45.0, WYE_K),
    (50.0, 0.32),
    (60.0, 0.44),
    (90.0, 1.0),
];

/// Loss of an elbow in velocity pressures, from its radius over its diameter and its angle in degrees: the table's, with
/// straight lines between its rows and its ends beyond, in proportion to the angle.
pub fn elbow_k(radius_to_diameter: f64, degrees: f64) -> f64 {
    between(&ELBOWS, radius_to_diameter) * degrees / 90.0
}

/// Loss of a branch where it joins, in its own velocity pressures, from its angle in degrees.
pub fn wye_k(degrees: f64) -> f64 {
    between(&WYES, degrees)
}

/// Of a table of rising rows, with straight lines between them and its ends beyond.
fn between(rows: &[(f64, f64)], at: f64) -> f64 {
    let after = rows.iter().position(|&(x, _)| at < x);
    match after {
        Some(0) => rows[0].1,
        Some(after) => {
            let ((x0, y0), (x1, y1)) = (rows[after - 1], rows[after]);
            y0 + (y1 - y0) * (at - x0) / (x1 - x0)
        }
        None => rows[rows.len() - 1].1,
    }
}

/// The area of a round duct of this diameter.
pub fn bore(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

/// (V / 4005)² inches of water of V ft/min: standard air of 0.075 lb/ft³.
pub fn velocity_pressure(velocity: f64) -> f64 {
    let relative = velocity / (4005.0 * FEET_A_MINUTE);
    INCH_OF_WATER * relative * relative
}

/// Friction of galvanised duct in velocity pressures a metre, at a velocity and an airflow above 0: 0.0307 V^0.533 /
/// Q^0.612 a foot, V in ft/min and Q in cfm (ACGIH, Industrial Ventilation; from memory, within 2 % of Darcy with a
/// roughness of 0.0005 ft).
pub fn smooth_loss(velocity: f64, airflow: f64) -> f64 {
    power_law(0.0307, 0.533, 0.612, velocity, airflow)
}

/// The same of straight flexible duct: 0.0311 V^0.604 / Q^0.639.
pub fn flexible_loss(velocity: f64, airflow: f64) -> f64 {
    power_law(0.0311, 0.604, 0.639, velocity, airflow)
}

fn power_law(factor: f64, of_velocity: f64, of_airflow: f64, velocity: f64, airflow: f64) -> f64 {
    let a_foot = factor * libm::pow(velocity / FEET_A_MINUTE, of_velocity)
        / libm::pow(airflow / CFM, of_airflow);
    a_foot / FOOT
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fittings_are_those_of_the_table_and_between_its_rows() {
        assert_eq!(elbow_k(1.5, 90.0), 0.39);
        assert_eq!(elbow_k(2.0, 45.0), 0.27 / 2.0);
        assert!((elbow_k(1.625, 90.0) - 0.355).abs() < 1e-12);
        assert_eq!(elbow_k(9.0, 90.0), 0.22);
        assert_eq!([30.0, 45.0, 90.0].map(wye_k), [0.18, 0.28, 1.0]);
        assert_eq!(wye_k(0.0), 0.06);
    }
}
