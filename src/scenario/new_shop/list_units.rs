//! In which unit a cut list means its bare numbers, and by what it shows that another one is meant.

use super::length::INCH;
use super::parts::Stuff;
use crate::experiment::Units;

/// In which units a list has its bare numbers, and in which sheets are sold.
#[derive(Debug, Clone, Copy)]
pub struct ListUnits {
    pub bare: Units,
    pub sold: Units,
}

impl ListUnits {
    pub fn all(units: Units) -> ListUnits {
        ListUnits {
            bare: units,
            sold: units,
        }
    }

    /// The unit of a bare number.
    pub fn bare_unit(self) -> &'static str {
        match self.bare {
            Units::Imperial => "in",
            Units::Metric => "mm",
        }
    }
}

/// The units that a word of them belongs to.
pub fn units_called(unit: &str) -> Units {
    match unit {
        "in" | "ft" => Units::Imperial,
        _ => Units::Metric,
    }
}

/// The unit that bare numbers are rather in.
pub fn other_unit(bare: Units) -> &'static str {
    match bare {
        Units::Imperial => "mm",
        Units::Metric => "in",
    }
}

/// What a unit is called where many are spoken of.
pub fn plural(unit: &'static str) -> &'static str {
    match unit {
        "in" => "inches",
        other => other,
    }
}

/// Read as millimetres: solid wood and sheets of parts are no thinner; veneers are, and say so with a unit.
const THIN_MM: f64 = 3.0;

/// Nothing that is handled as a part is shorter (10 mm) or narrower (3 mm): in metres, it would be.
const SHORT_MM: f64 = 10.0;
const NARROW_MM: f64 = 3.0;

/// Read as inches: no part of a small shop is longer (20 ft), and none is thicker than a heavy post or a sheet for a door.
const LONG_IN: f64 = 240.0;
const THICK_POST_IN: f64 = 6.0;
const THICK_SHEET_IN: f64 = 2.0;

/// The lengths of a part that have no unit of their own: what was written, and the number in inches or millimetres, of its
/// length, its width and its thickness.
pub type BareSizes<'a> = [Option<(&'a str, f64)>; 3];

/// Which of the sizes of a part (0 length, 1 width, 2 thickness) cannot well be meant in the unit in which it is read.
pub fn unlikely(sizes: BareSizes<'_>, stuff: Stuff, bare: Units) -> Option<usize> {
    let is = |side: usize, wrong: &dyn Fn(&str, f64) -> bool| {
        sizes[side].is_some_and(|(said, number)| wrong(said, number))
    };
    match bare {
        Units::Metric => {
            // Nobody measures millimetres by halves and quarters.
            let is_fraction = |said: &str, _: f64| {
                said.contains('/') || said.contains(['½', '¼', '¾', '⅛', '⅜', '⅝', '⅞'])
            };
            let fraction = (0..3).find(|&side| is(side, &is_fraction));
            // What is too long for inches is a thin strip.
            let may_be_inches = !is(0, &|_, number| number > LONG_IN);
            let is_thin = is(2, &|_, number| number > 0.0 && number < THIN_MM);
            let is_short = is(0, &|_, number| number < SHORT_MM);
            let is_narrow = is(1, &|_, number| number < NARROW_MM);
            fraction
                .or(is_short.then_some(0))
                .or(is_narrow.then_some(1))
                .or((may_be_inches && is_thin).then_some(2))
        }
        Units::Imperial => {
            let thickest = match stuff {
                Stuff::Boards => THICK_POST_IN,
                Stuff::Sheets => THICK_SHEET_IN,
            };
            let long = (0..2).find(|&side| is(side, &|_, number| number > LONG_IN));
            long.or(is(2, &|_, number| number > thickest).then_some(2))
        }
    }
}

/// A number as inches or millimetres from metres.
pub fn in_bare_unit(metres: f64, bare: Units) -> f64 {
    match bare {
        Units::Imperial => metres / INCH,
        Units::Metric => metres * 1000.0,
    }
}
