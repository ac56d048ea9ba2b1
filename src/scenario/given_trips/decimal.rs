//! Numbers as somebody has written them, to the last digit.

use std::ops::Range;

use crate::scenario::problem::Problem;

/// A number from 0 on: whole digits, and how many of them stand behind the point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Decimal {
    digits: u128,
    decimals: u32,
}

/// Digits that are kept where some stand behind the point: as many as a double has.
const KEPT_DIGITS: u32 = 16;

/// Digits of a number that are read; later ones are far beyond those that are kept.
const READ_DIGITS: usize = 30;

/// No larger number is accepted: a power of ten.
const LARGEST: u32 = 18;

/// Nobody needs a larger power of ten behind `e`, in either direction.
const MOST_EXPONENT: i32 = 400;

impl Decimal {
    /// Reads a number from 0 on, with a point or, where cells are parted by semicolons, a comma before its decimals.
    ///
    /// # Errors
    /// What is wrong, and what would be right.
    pub fn read(
        (said, span): (&str, &Range<usize>),
        decimal_comma: bool,
    ) -> Result<Decimal, Box<Problem>> {
        let wrong = |what: &str, hint: &str| {
            Err(Box::new(
                Problem::error(span, format!("`{said}` {what}")).hint(hint),
            ))
        };
        let plain = match decimal_comma && !said.contains('.') && said.matches(',').count() == 1 {
            true => said.replace(',', "."),
            false => said.to_owned(),
        };
        if let Some(point) = with_point(&plain) {
            let thousands = plain.replace(',', "");
            let hint = format!(
                "write `{point}` or `{thousands}`; a comma parts decimals where semicolons part cells"
            );
            return wrong("has a comma that may mean two things", &hint);
        }
        let negative = plain.strip_prefix(['-', '\u{2212}']);
        let unsigned = negative.unwrap_or(&plain);
        let unsigned = unsigned.strip_prefix('+').unwrap_or(unsigned);
        let Some(number) = Decimal::of(unsigned) else {
            return wrong(
                "is not a number",
                "write a number without a unit, such as 12 or 2.5; 0 for none",
            );
        };
        if negative.is_some() && number.digits > 0 {
            return wrong(
                "is below 0",
                "neither trips nor distances are; write 0 for none",
            );
        }
        match number.is_too_large() {
            true => wrong(
                "is too large",
                &format!("numbers are at most 1e{LARGEST}: take a larger unit"),
            ),
            false => Ok(number),
        }
    }

    /// `12`, `2.5`, `.5`, `1.5e3`.
    fn of(text: &str) -> Option<Decimal> {
        let (mantissa, exponent) = match text.split_once(['e', 'E']) {
            Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().ok()?),
            None => (text, 0),
        };
        let (whole, behind) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let is_number = !(whole.is_empty() && behind.is_empty())
            && whole
                .bytes()
                .chain(behind.bytes())
                .all(|byte| byte.is_ascii_digit())
            && exponent.abs() <= MOST_EXPONENT;
        if !is_number {
            return None;
        }
        let all = format!("{whole}{behind}");
        let significant = all.trim_start_matches('0');
        let read = &significant[..significant.len().min(READ_DIGITS)];
        let left_out = i64::try_from(significant.len() - read.len()).ok()?;
        let trimmed = read.trim_end_matches('0');
        let zeros = i64::try_from(read.len() - trimmed.len()).ok()?;
        let decimals = i64::try_from(behind.len()).ok()? - i64::from(exponent) - left_out - zeros;
        if trimmed.is_empty() {
            return Some(Decimal {
                digits: 0,
                decimals: 0,
            });
        }
        let digits: u128 = trimmed.parse().ok()?;
        match u32::try_from(decimals) {
            Ok(decimals) => Some(Decimal { digits, decimals }),
            // Zeros before the point; a number too large for them is too large in any case.
            Err(_) => {
                let more = u32::try_from(-decimals).unwrap_or(u32::MAX);
                let power = 10_u128.checked_pow(more);
                Some(Decimal {
                    digits: power
                        .and_then(|power| digits.checked_mul(power))
                        .unwrap_or(u128::MAX),
                    decimals: 0,
                })
            }
        }
    }

    /// How many digits stand before the point.
    fn whole_digits(self) -> u32 {
        let all = self.digits.checked_ilog10().map_or(0, |log| log + 1);
        all.saturating_sub(self.decimals)
    }

    fn is_too_large(self) -> bool {
        // A number with decimals lies below the power of ten that its whole digits have room for.
        match self.decimals {
            0 => self.digits > 10_u128.pow(LARGEST),
            _ => self.whole_digits() > LARGEST,
        }
    }

    /// The number times this power of ten, rounded if that is not whole.
    pub fn multiple(self, decimals: u32) -> i64 {
        let multiple = match decimals.checked_sub(self.decimals) {
            Some(more) => self.digits.saturating_mul(10_u128.saturating_pow(more)),
            None => {
                let power = 10_u128.saturating_pow(self.decimals - decimals);
                let half = power / 2;
                self.digits / power + u128::from(self.digits % power >= half)
            }
        };
        i64::try_from(multiple).unwrap_or(i64::MAX)
    }
}

/// A number with a comma between digits as it would be with a point, if that is what is written.
fn with_point(plain: &str) -> Option<String> {
    let (whole, behind) = plain.split_once(',')?;
    let mut digits = whole.bytes().chain(behind.bytes());
    let is_number = digits.all(|byte| byte.is_ascii_digit());
    is_number.then(|| format!("{whole}.{behind}"))
}

/// How many decimals hold all numbers, as far as the largest one leaves room for them; and whether some do not fit.
pub(super) fn common_decimals(cells: &[Decimal]) -> (u32, bool) {
    let wanted = cells.iter().map(|cell| cell.decimals).max().unwrap_or(0);
    let whole = cells
        .iter()
        .map(|cell| cell.whole_digits())
        .max()
        .unwrap_or(0);
    let room = KEPT_DIGITS.saturating_sub(whole);
    (wanted.min(room), wanted > room)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(said: &str) -> Option<(u128, u32)> {
        let number = Decimal::read((said, &(0..said.len())), false).ok()?;
        Some((number.digits, number.decimals))
    }

    #[test]
    fn numbers_keep_their_digits() {
        for (said, digits, decimals) in [
            ("0", 0, 0),
            ("-0.0", 0, 0),
            ("007", 7, 0),
            ("2.50", 25, 1),
            (".5", 5, 1),
            ("5.", 5, 0),
            ("+12", 12, 0),
            ("1.5e3", 1_500, 0),
            ("1.5E-3", 15, 4),
            ("1.000000000000000000e+00", 1, 0),
            ("1000000000000000000", 1_000_000_000_000_000_000, 0),
            ("3.3000000000000003", 33_000_000_000_000_003, 16),
        ] {
            assert_eq!(read(said), Some((digits, decimals)), "{said}");
        }
        for wrong in [
            "", ".", "1e", "e3", "nan", "inf", "1 m", "--1", "1.2.3", "1e999", "1e30", "1,5", "-1",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn digits_that_have_no_room_are_rounded() {
        let number = Decimal::read(("123.456", &(0..7)), false).expect("a number");
        assert_eq!(number.multiple(2), 12_346);
        assert_eq!(number.multiple(4), 1_234_560);
        let tiny = Decimal::of("1e-40").expect("a number");
        assert_eq!(common_decimals(&[number, tiny]), (13, true));
        assert_eq!(tiny.multiple(13), 0);
        assert_eq!(tiny.multiple(0), 0);
    }
}
