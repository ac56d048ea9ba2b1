//! Numbers as pupils write them: whole, or with one decimal.

/// With one decimal where that is not 0.
pub fn by_hand(number: f64) -> String {
    // A figure from seconds may be off in its last binary digits.
    let tenths = (number * 10.0).round() as i64;
    match tenths % 10 {
        0 => (tenths / 10).to_string(),
        _ => format!("{:.1}", tenths as f64 / 10.0),
    }
}

#[cfg(test)]
mod tests {
    use super::by_hand;

    #[test]
    fn a_decimal_is_written_where_there_is_one() {
        let written = [12.0, 0.1 + 0.2, 11.999_999_9, 0.0].map(by_hand);
        assert_eq!(written, ["12", "0.3", "12", "0"]);
    }
}
