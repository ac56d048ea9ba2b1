//! Figures of kinds in the units of the reader, and in SI units for data.

use crate::experiment::Units;
use crate::report::figure::time_unit;
use crate::scenario::kinds::{Figure, about};
use crate::units::customary::{FOOT as FOOT_M, POUND};

/// What a figure of a kind measures, in the unit of the table of kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KindQuantity {
    Inches,
    Pounds,
    Seconds,
    FeetAMinute,
    SquareFeetAMinute,
    CubicFeetAMinute,
    Horsepower,
    Amperes,
    Decibels,
    Count,
}

/// A unit: what one of the table is in it, its sign, and the digits behind the point; -1 is to tens.
struct KindUnit {
    factor: f64,
    sign: &'static str,
    digits: i32,
}

const INCH_CM: f64 = 2.54;

impl KindQuantity {
    /// The sign of the unit of what is not small.
    pub fn sign(self, units: Units) -> &'static str {
        self.unit(units, &about(1.0, 1.0, 1.0)).sign
    }

    fn unit(self, units: Units, figure: &Figure) -> KindUnit {
        let is_small = figure.most < 1.0;
        let (metric, imperial) = match self {
            KindQuantity::Inches if is_small => ((10.0 * INCH_CM, "mm", 1), (1.0, "in", 3)),
            KindQuantity::Inches => ((INCH_CM, "cm", 0), (1.0, "in", 1)),
            KindQuantity::Pounds => ((POUND, "kg", 0), (1.0, "lb", 0)),
            KindQuantity::Seconds => {
                let unit = time_unit(figure.usual);
                let shown = (1.0 / unit.per_unit, unit.sign, 1);
                (shown, shown)
            }
            KindQuantity::FeetAMinute => ((FOOT_M, "m/min", 1), (1.0, "ft/min", 1)),
            KindQuantity::SquareFeetAMinute => {
                ((FOOT_M * FOOT_M, "m2/min", 3), (1.0, "ft2/min", 2))
            }
            KindQuantity::CubicFeetAMinute => (
                (60.0 * FOOT_M * FOOT_M * FOOT_M, "m3/h", -1),
                (1.0, "cfm", 0),
            ),
            KindQuantity::Horsepower => ((0.746, "kW", 2), (1.0, "hp", 2)),
            KindQuantity::Amperes => ((1.0, "A", 1), (1.0, "A", 1)),
            KindQuantity::Decibels => ((1.0, "dB(A)", 0), (1.0, "dB(A)", 0)),
            KindQuantity::Count => ((1.0, "", 1), (1.0, "", 1)),
        };
        let (factor, sign, digits) = match units {
            Units::Metric => metric,
            Units::Imperial => imperial,
        };
        KindUnit {
            factor,
            sign,
            digits,
        }
    }

    fn is_tape(self, units: Units) -> bool {
        self == KindQuantity::Inches && units == Units::Imperial
    }

    /// The usual figure with its unit, such as "74 in".
    pub fn usual(self, figure: &Figure, units: Units) -> String {
        let unit = self.unit(units, figure);
        let number = self.in_unit(figure.usual, &unit, units);
        format!("{number} {}", unit.sign).trim_end().to_owned()
    }

    /// The usual figure alone, for a table whose header has the unit.
    pub fn number(self, figure: &Figure, units: Units) -> String {
        self.in_unit(figure.usual, &self.unit(units, figure), units)
    }

    /// "64 to 84"; nothing without a range.
    pub fn range(self, figure: &Figure, units: Units) -> String {
        if !figure.has_range() {
            return String::new();
        }
        let unit = self.unit(units, figure);
        let number = |value: f64| self.in_unit(value, &unit, units);
        format!("{} to {}", number(figure.least), number(figure.most))
    }

    fn in_unit(self, value: f64, unit: &KindUnit, units: Units) -> String {
        match self.is_tape(units) {
            true => inches(value),
            false => rounded(value * unit.factor, unit.digits),
        }
    }

    /// The suffix of a key and what one of the table is in SI units.
    pub fn si(self) -> (&'static str, f64) {
        match self {
            KindQuantity::Inches => ("_m", INCH_CM / 100.0),
            KindQuantity::Pounds => ("_kg", POUND),
            KindQuantity::Seconds => ("_s", 1.0),
            KindQuantity::FeetAMinute => ("_m_per_s", FOOT_M / 60.0),
            KindQuantity::SquareFeetAMinute => ("_m2_per_s", FOOT_M * FOOT_M / 60.0),
            KindQuantity::CubicFeetAMinute => ("_m3_per_s", FOOT_M * FOOT_M * FOOT_M / 60.0),
            KindQuantity::Horsepower => ("_w", 746.0),
            KindQuantity::Amperes => ("_a", 1.0),
            KindQuantity::Decibels => ("_db", 1.0),
            KindQuantity::Count => ("", 1.0),
        }
    }
}

/// Without zeros at the end.
fn rounded(value: f64, digits: i32) -> String {
    let Ok(digits) = usize::try_from(digits) else {
        return format!("{:.0}", (value / 10.0).round() * 10.0);
    };
    let text = format!("{value:.digits$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Inches with the fraction of a tape, to 64ths.
fn inches(value: f64) -> String {
    let parts = (value * 64.0).round();
    let (whole, mut part) = ((parts / 64.0).floor(), (parts % 64.0) as u32);
    let mut of = 64;
    while part > 0 && part % 2 == 0 {
        part /= 2;
        of /= 2;
    }
    match (whole, part) {
        (whole, 0) => format!("{whole}"),
        (0.0, part) => format!("{part}/{of}"),
        (whole, part) => format!("{whole}-{part}/{of}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    /// A foot is 0.3048 m by international agreement of 1959, a pound 0.45359237 kg, and 1 cfm 1.699 m3/h.
    #[test]
    fn figures_are_shown_in_the_readers_units() {
        let size = about(74.0, 64.0, 84.0);
        let shown = |quantity: KindQuantity, figure: &Figure| {
            [Units::Imperial, Units::Metric].map(|units| quantity.usual(figure, units))
        };
        assert_eq!(shown(KindQuantity::Inches, &size), ["74 in", "188 cm"]);
        assert_eq!(
            KindQuantity::Inches.range(&size, Units::Metric),
            "163 to 213"
        );
        let depth = about(0.031_25, 0.015_625, 0.0625);
        assert_eq!(shown(KindQuantity::Inches, &depth), ["1/32 in", "0.8 mm"]);
        assert_eq!(
            KindQuantity::Inches.range(&depth, Units::Imperial),
            "1/64 to 1/16"
        );
        let port = about(2.5, 2.5, 2.5);
        assert_eq!(shown(KindQuantity::Inches, &port), ["2-1/2 in", "6 cm"]);
        assert_eq!(KindQuantity::Inches.range(&port, Units::Imperial), "");
        let air = about(450.0, 450.0, 450.0);
        assert_eq!(
            shown(KindQuantity::CubicFeetAMinute, &air),
            ["450 cfm", "760 m3/h"]
        );
        let mass = about(500.0, 420.0, 600.0);
        assert_eq!(shown(KindQuantity::Pounds, &mass), ["500 lb", "227 kg"]);
        let time = about(120.0, 60.0, 180.0);
        assert_eq!(KindQuantity::Seconds.usual(&time, Units::Metric), "2 min");
        assert_eq!(KindQuantity::Seconds.range(&time, Units::Metric), "1 to 3");
    }
}
