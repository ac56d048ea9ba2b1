//! What can be worked by hand.

/// Whether a quotient has at most one decimal.
pub fn has_one_decimal(dividend: i64, divisor: i64) -> bool {
    (10 * dividend) % divisor == 0
}

/// Whether a share is a whole number of percent.
pub fn is_whole_percent(part: i64, whole: i64) -> bool {
    (100 * part) % whole == 0
}

/// Whether `part` is from `least` to `most` percent of the whole.
pub fn is_share(part: i64, whole: i64, (least, most): (i64, i64)) -> bool {
    least * whole <= 100 * part && 100 * part <= most * whole
}
