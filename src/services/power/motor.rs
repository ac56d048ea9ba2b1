//! What a motor or heater draws.

use crate::units::customary::HORSEPOWER;

/// What the codes add to the largest motor and to what runs for hours: 25 % (NEC 430.22, 430.24, 210.20, 424.4).
pub const ADDED: f64 = 0.25;

/// Power factor times efficiency of a small motor at full load. Ours, without a source: 0.85 × 0.85.
const MOTOR_SHARE: f64 = 0.72;

/// Full-load current of single-phase motors in A by horsepower, at 115, 200, 208 and 230 V: NEC table 430.248.
const TABLE: [(f64, [f64; 4]); 12] = [
    (1.0 / 6.0, [4.4, 2.5, 2.4, 2.2]),
    (1.0 / 4.0, [5.8, 3.3, 3.2, 2.9]),
    (1.0 / 3.0, [7.2, 4.1, 4.0, 3.6]),
    (1.0 / 2.0, [9.8, 5.6, 5.4, 4.9]),
    (3.0 / 4.0, [13.8, 7.9, 7.6, 6.9]),
    (1.0, [16.0, 9.2, 8.8, 8.0]),
    (1.5, [20.0, 11.5, 11.0, 10.0]),
    (2.0, [24.0, 13.8, 13.2, 12.0]),
    (3.0, [34.0, 19.6, 18.7, 17.0]),
    (5.0, [56.0, 32.2, 30.8, 28.0]),
    (7.5, [80.0, 46.0, 44.0, 40.0]),
    (10.0, [100.0, 57.5, 55.0, 50.0]),
];

/// Nominal voltages at which a column of the table is read: 120 V reads the one of 115, 240 V that of 230.
const COLUMNS: [&[f64]; 4] = [
    &[110.0, 115.0, 120.0],
    &[200.0],
    &[208.0],
    &[220.0, 230.0, 240.0],
];

/// Standard ratings of overcurrent devices in A (NEC 240.6, from memory). For information: an electrician decides.
const RATINGS: [f64; 16] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0,
];

/// The current that a motor of this power (W at the shaft) and voltage stands for in planning, in A: the table's, on a
/// straight line between its rows. None outside of the table, and for tools with brush motors, which have no row.
pub fn table_amps(power: f64, volts: f64) -> Option<f64> {
    let column = COLUMNS.iter().position(|names| names.contains(&volts))?;
    let horsepower = power / HORSEPOWER;
    // What is written as 1/3 hp or 0.33 hp means the row.
    const SAME: f64 = 0.02;
    let row = |at: usize| TABLE[at].1[column];
    if let Some(same) = TABLE
        .iter()
        .position(|&(listed, _)| (listed - horsepower).abs() <= SAME * listed)
    {
        return Some(row(same));
    }
    let after = TABLE.iter().position(|&(listed, _)| horsepower < listed)?;
    let before = after.checked_sub(1)?;
    let (low, high) = (TABLE[before].0, TABLE[after].0);
    Some(row(before) + (row(after) - row(before)) * (horsepower - low) / (high - low))
}

/// What runs through a motor's wires at full load, in A, and whether anybody has read it off the machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    pub amps: f64,
    pub is_estimate: bool,
}

impl Running {
    pub fn nameplate(amps: f64) -> Running {
        Running {
            amps,
            is_estimate: false,
        }
    }

    /// Of an induction motor without a nameplate, from its power at the shaft in W. Never of a brush motor: its rating
    /// says nothing of its current.
    pub fn estimate(power: f64, volts: f64) -> Running {
        Running {
            amps: power / (volts * MOTOR_SHARE),
            is_estimate: true,
        }
    }
}

/// Current of a heater or lamp in A.
pub fn resistive_amps(power: f64, volts: f64) -> f64 {
    power / volts
}

/// What the conductors of a single motor or a continuous load have to carry, in A: 125 % (NEC 430.22, 210.19, 424.4).
pub fn conductor_ampacity(amps: f64) -> f64 {
    amps * (1.0 + ADDED)
}

/// The least standard rating that is not below a current; none above the list.
pub fn standard_rating(amps: f64) -> Option<f64> {
    RATINGS.into_iter().find(|&rating| rating >= amps)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_rows_and_outside_of_the_table() {
        let hp = |horsepower: f64, volts: f64| table_amps(horsepower * HORSEPOWER, volts);
        assert_eq!(hp(1.75, 120.0), Some(22.0));
        assert_eq!(hp(0.33, 120.0), Some(7.2));
        assert_eq!(hp(0.1, 120.0), None);
        assert_eq!(hp(12.0, 240.0), None);
        assert_eq!(hp(1.0, 400.0), None);
    }

    #[test]
    fn ratings_go_up_to_the_next() {
        assert_eq!(standard_rating(20.0), Some(20.0));
        assert_eq!(standard_rating(20.1), Some(25.0));
        assert_eq!(standard_rating(1e4), None);
    }
}
