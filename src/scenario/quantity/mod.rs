//! Quantities as people write them: a number and a unit.

mod number;
mod spelling;
mod table;

use super::problem::nearest;
use number::number;
pub use spelling::CommaBetweenDigits;
pub use spelling::{comma_between_digits, in_units, with_a_point};
pub use table::SPELLINGS;
use table::{DIMENSIONS, DimensionRow, IMPERIAL, UNITS};

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    Time,
    Length,
    Speed,
    Mass,
    Density,
    Area,
    AreaRate,
    Volume,
    Airflow,
    Pressure,
    Power,
    Voltage,
    Current,
    Share,
    LightOutput,
    Illuminance,
    SoundLevel,
}

/// Why a text is not the quantity that is needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    pub what: String,
    pub hint: String,
}

impl Dimension {
    fn row(self) -> &'static DimensionRow {
        DIMENSIONS
            .iter()
            .find(|row| row.dimension == self)
            .expect("every dimension has a row")
    }

    /// With its article: "a time".
    pub fn noun(self) -> &'static str {
        self.row().noun
    }

    pub fn examples(self) -> &'static str {
        self.row().examples
    }

    /// The units in which it can be written.
    pub fn units(self) -> impl Iterator<Item = &'static str> {
        UNITS
            .iter()
            .filter(move |unit| unit.dimension == self)
            .map(|unit| unit.name)
    }

    /// The size of a unit of this dimension.
    fn unit(self, name: &str) -> Option<f64> {
        if self == Dimension::AreaRate {
            let (area, time) = name.split_once('/')?;
            return Some(Dimension::Area.unit(area)? / Dimension::Time.unit(time)?);
        }
        let unit = UNITS
            .iter()
            .find(|unit| unit.dimension == self && unit.name == name);
        unit.map(|unit| unit.si)
    }

    /// Reads a quantity that is not negative.
    ///
    /// # Errors
    /// What is wrong with the text, and what would be right.
    pub fn read(self, text: &str) -> Result<f64, Wrong> {
        let value = self.read_signed(text)?;
        if value < 0.0 {
            return Err(Wrong {
                what: format!("`{text}` is negative"),
                hint: format!("{} here cannot be below 0", self.noun()),
            });
        }
        let row = self.row();
        if value < row.range.0 {
            return Err(if value == 0.0 {
                Wrong {
                    what: format!("{} cannot be 0 here", self.noun()),
                    hint: format!("write for example {}", self.examples()),
                }
            } else {
                Wrong {
                    what: format!("`{text}` is less than the least that is accepted"),
                    hint: format!("{} must be at least {}", self.noun(), row.said.0),
                }
            });
        }
        Ok(value)
    }

    /// Reads a quantity that may be negative, such as a coordinate.
    ///
    /// # Errors
    /// What is wrong with the text, and what would be right.
    pub fn read_signed(self, text: &str) -> Result<f64, Wrong> {
        let value = self
            .sum(text.trim(), text)
            .map_err(|wrong| match self.range(text) {
                Some([least, most]) => Wrong {
                    what: format!("`{text}` is a range, but one value is needed"),
                    hint: format!("write `{least}` or `{most}`"),
                },
                None => wrong,
            })?;
        let row = self.row();
        // A comparison that is false for NaN, too.
        if value.abs() <= row.range.1 {
            return Ok(value);
        }
        Err(Wrong {
            what: format!("`{text}` is more than the most that is accepted"),
            hint: format!("{} can be at most {}", self.noun(), row.said.1),
        })
    }

    /// The ends of what is written like a range, such as `6-15 min`, each with its unit.
    pub fn range(self, text: &str) -> Option<[String; 2]> {
        let mut found = [" to ", "–", "-"].iter().filter_map(|sign| {
            let (least, most) = text.split_once(sign)?;
            let (least, most) = (least.trim(), most.trim());
            let (_, unit) = number(most)?;
            let (_, own) = number(least)?;
            let least = match own {
                "" => format!("{least} {}", unit.trim()),
                _ => least.to_owned(),
            };
            let ends = [least, most.to_owned()];
            let all_read = ends.iter().all(|end| self.sum(end, end).is_ok());
            (all_read && !unit.trim().is_empty()).then_some(ends)
        });
        found.next()
    }

    /// The hint at a number without a unit, for whoever measures in inches.
    pub fn hint_in_imperial(self, text: &str) -> Option<String> {
        let (_, rest) = number(text.trim())?;
        let &(_, unit) = IMPERIAL.iter().find(|(dimension, _)| *dimension == self)?;
        rest.trim()
            .is_empty()
            .then(|| self.no_unit_hint(&format!("{text} {unit}")))
    }

    /// One or more terms such as `6 ft 8 in`.
    fn sum(self, text: &str, whole: &str) -> Result<f64, Wrong> {
        let not_one = || Wrong {
            what: format!("`{whole}` is not {}", self.noun()),
            hint: self.respelled_hint(whole).unwrap_or_else(|| {
                format!("write a number and a unit, for example {}", self.examples())
            }),
        };
        let (negative, mut rest) = match text.strip_prefix('-') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let mut total = 0.0;
        let mut last = f64::INFINITY;
        loop {
            let (number, after) = number(rest).ok_or_else(not_one)?;
            let after = after.trim_start();
            let end = after.find(char::is_whitespace).unwrap_or(after.len());
            let (name, after) = after.split_at(end);
            if name.is_empty() {
                if number == 0.0 && last == f64::INFINITY {
                    return Ok(0.0);
                }
                return Err(self.no_unit(whole, number));
            }
            let si = self
                .unit(name)
                .ok_or_else(|| self.wrong_unit(name, whole, number))?;
            let compound = matches!(self, Dimension::Length | Dimension::Time);
            if last.is_finite() && (!compound || si >= last) {
                return Err(not_one());
            }
            last = si;
            total += number * si;
            rest = after.trim_start();
            if rest.is_empty() {
                return Ok(if negative { -total } else { total });
            }
        }
    }

    fn no_unit(self, whole: &str, number: f64) -> Wrong {
        let unit = self.row().suggested;
        let meant = if self == Dimension::Share && number < 1.0 {
            format!("{} %", (number * 1e8).round() / 1e6)
        } else {
            format!("{whole} {unit}")
        };
        Wrong {
            what: format!("`{whole}` has no unit, but {} is needed", self.noun()),
            hint: self.no_unit_hint(&meant),
        }
    }

    fn no_unit_hint(self, meant: &str) -> String {
        // Nothing tells which unit was meant, so all are listed.
        let units: Vec<&str> = self.units().collect();
        match units.len() {
            0 | 1 => format!("did you mean `{meant}`?"),
            _ => format!(
                "write the unit with it, such as `{meant}`; there are {}",
                units.join(", ")
            ),
        }
    }

    /// A hint at what is meant, if signs that are not read are all that is wrong, and it can be read without them.
    fn respelled_hint(self, whole: &str) -> Option<String> {
        let is_read = |text: &str| self.read(text).is_ok();
        match spelling::comma_between_digits(whole) {
            Some(CommaBetweenDigits::Sure(point)) if is_read(&point) => Some(with_a_point(&point)),
            Some(CommaBetweenDigits::OrThousands { point, thousands })
                if is_read(&point) && is_read(&thousands) =>
            {
                Some(format!(
                    "write `{point}` or `{thousands}`: a comma may mean either"
                ))
            }
            _ => {
                let meant = spelling::in_plain_signs(whole, self == Dimension::Length);
                (meant != whole && is_read(&meant)).then(|| format!("did you mean `{meant}`?"))
            }
        }
    }

    fn wrong_unit(self, name: &str, whole: &str, number: f64) -> Wrong {
        if let Some(unit) = UNITS.iter().find(|unit| unit.name == name) {
            return Wrong {
                what: format!(
                    "`{whole}` is {}, but {} is needed",
                    unit.dimension.noun(),
                    self.noun()
                ),
                hint: format!("write for example {}", self.examples()),
            };
        }
        let spelled = SPELLINGS.iter().find(|(spelling, _)| *spelling == name);
        let meant = spelled
            .map(|&(_, unit)| unit)
            .filter(|unit| self.unit(unit).is_some())
            .or_else(|| {
                // All short units are within a letter or two of each other, so only a difference in case counts.
                nearest(name, self.units())
                    .filter(|unit| name.chars().count() > 2 || unit.eq_ignore_ascii_case(name))
            });
        // What can be read when it is spelt otherwise keeps all of it: the inch of 12' 1".
        let respelled = self.respelled_hint(whole);
        let meant = respelled.or(meant.map(|unit| format!("did you mean `{number} {unit}`?")));
        let hint = meant.unwrap_or_else(|| {
            let units: Vec<&str> = self.units().collect();
            match units.is_empty() {
                true => format!("write for example {}", self.examples()),
                false => format!("{} is written in {}", self.noun(), units.join(", ")),
            }
        });
        Wrong {
            what: format!("`{name}` is not a unit of {}", self.noun()),
            hint,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_has_a_row() {
        for unit in UNITS {
            assert!(!unit.dimension.row().noun.is_empty());
        }
    }

    /// By definition of the units, except horsepower and inch of water: NIST SP 811, appendix B (from memory).
    #[test]
    fn what_people_write_is_read_in_si_units() {
        let cases: &[(Dimension, &str, f64)] = &[
            (Dimension::Length, "3/4 in", 0.019_05),
            (Dimension::Length, "1-3/4 in", 0.044_45),
            (Dimension::Length, "1 3/4 in", 0.044_45),
            (Dimension::Length, "6 ft 8 in", 2.032),
            (Dimension::Length, "6 ft 8-1/2 in", 2.0447),
            (Dimension::Length, "44in", 1.1176),
            (Dimension::Length, ".5 m", 0.5),
            (Dimension::Length, "2.5e2 mm", 0.25),
            (Dimension::Length, "0", 0.0),
            (Dimension::Time, "0.0", 0.0),
            (Dimension::Time, "1 h 30 min", 5400.0),
            (Dimension::Time, "250 ms", 0.25),
            (Dimension::Time, "2 wk", 1_209_600.0),
            (Dimension::Speed, "90 km/h", 25.0),
            (Dimension::Speed, "20 ft/min", 0.1016),
            (Dimension::Speed, "1 mph", 0.447_04),
            (Dimension::Mass, "2 lb", 0.907_184_74),
            (Dimension::Area, "1 ft2", 0.092_903_04),
            (Dimension::AreaRate, "60 m2/h", 1.0 / 60.0),
            (Dimension::Volume, "1 bf", 0.002_359_737_216),
            (Dimension::Volume, "1 gal", 0.003_785_411_784),
            (Dimension::Airflow, "1 cfm", 4.719_474_432e-4),
            (Dimension::Power, "1 hp", 746.0),
            (Dimension::Pressure, "1 inH2O", 249.088_91),
            (Dimension::Density, "40 lb/ft3", 640.738_5),
            (Dimension::Share, "5 %", 0.05),
            (Dimension::Share, "5%", 0.05),
        ];
        for &(dimension, text, expected) in cases {
            let value = dimension.read(text).expect(text);
            let tolerance = 1e-7 * expected.abs();
            assert!(
                (value - expected).abs() <= tolerance,
                "{text}: {value}, not {expected}"
            );
        }
        assert_eq!(Dimension::Length.read_signed("-30 in"), Ok(-0.762));
    }

    #[test]
    fn what_is_wrong_is_said_with_what_would_be_right() {
        let cases: &[(Dimension, &str, &str, &str)] = &[
            (
                Dimension::Time,
                "3",
                "`3` has no unit, but a time is needed",
                "write the unit with it, such as `3 min`; there are ms, s, min, h, d, wk",
            ),
            (
                Dimension::Length,
                "1.5",
                "`1.5` has no unit, but a length is needed",
                "write the unit with it, such as `1.5 m`; there are mm, cm, m, in, ft",
            ),
            (
                Dimension::Share,
                "0.05",
                "`0.05` has no unit, but a percentage is needed",
                "did you mean `5 %`?",
            ),
            (
                Dimension::Time,
                "5 minutes",
                "`minutes` is not a unit of a time",
                "did you mean `5 min`?",
            ),
            // A thousand times as long is not what was meant.
            (
                Dimension::Time,
                "5 µs",
                "`µs` is not a unit of a time",
                "a time is written in ms, s, min, h, d, wk",
            ),
            (
                Dimension::Length,
                "5 feet",
                "`feet` is not a unit of a length",
                "did you mean `5 ft`?",
            ),
            (
                Dimension::Time,
                "3 kg",
                "`3 kg` is a mass, but a time is needed",
                "write for example 30 s, 5 min or 2 h",
            ),
            (
                Dimension::Time,
                "-3 s",
                "`-3 s` is negative",
                "a time here cannot be below 0",
            ),
            (
                Dimension::Time,
                ".nan",
                "`.nan` is not a time",
                "write a number and a unit, for example 30 s, 5 min or 2 h",
            ),
            (
                Dimension::Time,
                "inf s",
                "`inf s` is not a time",
                "write a number and a unit, for example 30 s, 5 min or 2 h",
            ),
            (
                Dimension::Time,
                "1e300 s",
                "`1e300 s` is more than the most that is accepted",
                "a time can be at most 1e9 s (about 31 years)",
            ),
            (
                Dimension::Time,
                "1e999 s",
                "`1e999 s` is more than the most that is accepted",
                "a time can be at most 1e9 s (about 31 years)",
            ),
            (
                Dimension::Speed,
                "0 m/s",
                "a speed cannot be 0 here",
                "write for example 1.2 m/s or 12 ft/min",
            ),
            (
                Dimension::Speed,
                "0",
                "a speed cannot be 0 here",
                "write for example 1.2 m/s or 12 ft/min",
            ),
            (
                Dimension::Length,
                "8 in 6 ft",
                "`8 in 6 ft` is not a length",
                "write a number and a unit, for example 3.2 m, 60 cm, 3/4 in or 6 ft 8 in",
            ),
            (
                Dimension::Length,
                "6-8 in",
                "`6-8 in` is a range, but one value is needed",
                "write `6 in` or `8 in`",
            ),
            (
                Dimension::Length,
                "1/0 in",
                "`/0` is not a unit of a length",
                "a length is written in mm, cm, m, in, ft",
            ),
        ];
        for &(dimension, text, what, hint) in cases {
            let wrong = dimension.read(text).expect_err(text);
            assert_eq!((&*wrong.what, &*wrong.hint), (what, hint), "{text}");
        }
    }
}
