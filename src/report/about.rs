//! Figures with the digits that a decision needs: two of a length, and times as one says them.

use super::figure::{fixed, length_unit};
use crate::experiment::Units;

const MINUTE: f64 = 60.0;
const HOUR: f64 = 3_600.0;
const DAY: f64 = 86_400.0;

/// A rounded figure that is so close to the exact one counts as exact.
const EXACT: f64 = 2e-3;

/// A length of walking in two significant digits: "about 350 ft".
pub fn length(units: Units, metres: f64) -> String {
    let unit = length_unit(units);
    let value = metres.abs() / unit.per_unit;
    let step = match value {
        v if v >= 10.0 => 10_f64.powf((v.log10() + 1e-9).floor() - 1.0),
        v if v >= 1.0 => 0.1,
        _ => 0.01,
    };
    let rounded = (value / step).round() * step;
    let digits = match step {
        s if s >= 1.0 => 0,
        s if s >= 0.1 => 1,
        _ => 2,
    };
    let text = fixed(rounded, digits);
    // "7.0" says no more than "7".
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    let is_exact = (rounded - value).abs() <= EXACT * value;
    let about = if is_exact { "" } else { "about " };
    format!("{about}{text} {}", unit.sign)
}

/// A time as one says it: "100 s", "5½ min", "6¾ h". Times of work have hours at the most.
pub fn time(seconds: f64) -> String {
    match seconds.abs() {
        0.0 => "0 s".to_owned(),
        s if s < 0.5 => "less than 1 s".to_owned(),
        s if s < MINUTE => format!("{} s", s.round()),
        s if s < 2.0 * MINUTE => format!("{} s", (s / 5.0).round() * 5.0),
        s if s < 10.0 * MINUTE => in_parts(s / MINUTE, 4.0, "min"),
        s if s < 95.0 * MINUTE => format!("{} min", (s / MINUTE).round()),
        s if s < 12.0 * HOUR => in_parts(s / HOUR, 4.0, "h"),
        s if s < 24.0 * HOUR => in_parts(s / HOUR, 2.0, "h"),
        s if s < 3.0 * DAY => format!("{} h", (s / HOUR).round()),
        s if s < 10.0 * DAY => in_parts(s / DAY, 2.0, "d"),
        s => format!("{} d", fixed((s / DAY).round(), 0)),
    }
}

/// A working time: nobody works days of 24 hours.
pub fn work(seconds: f64) -> String {
    match seconds.abs() {
        s if s < 24.0 * HOUR => time(s),
        s => format!("{} h", fixed((s / HOUR).round(), 0)),
    }
}

/// A mean number of things, with one digit behind the point where that says more: "6", "5.4".
pub fn count(number: f64) -> String {
    let tenths = (number * 10.0).round() / 10.0;
    match tenths.fract() == 0.0 {
        true => fixed(tenths, 0),
        false => fixed(tenths, 1),
    }
}

/// A share in whole percent.
pub fn share(share: f64) -> String {
    match (share * 100.0).round() {
        0.0 if share > 0.0 => "<\u{a0}1 %".to_owned(),
        whole => format!("{} %", fixed(whole, 0)),
    }
}

/// In halves or quarters.
fn in_parts(value: f64, parts: f64, unit: &str) -> String {
    let all = (value * parts).round();
    let whole = (all / parts).floor();
    let fraction = match (all - whole * parts) / parts {
        f if f < 0.125 => "",
        f if f < 0.375 => "¼",
        f if f < 0.625 => "½",
        _ => "¾",
    };
    match (whole == 0.0, fraction.is_empty()) {
        (true, false) => format!("{fraction} {unit}"),
        _ => format!("{whole}{fraction} {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_have_two_digits() {
        let metric: Vec<String> = [353.0, 350.0, 1_219.0, 99.6, 7.45, 7.0, 0.034, 12_345.0]
            .map(|metres| length(Units::Metric, metres))
            .into();
        let expected = [
            "about 350 m",
            "350 m",
            "about 1200 m",
            "about 100 m",
            "about 7.5 m",
            "7 m",
            "about 0.03 m",
            "about 12\u{202F}000 m",
        ];
        assert_eq!(metric, expected);
        assert_eq!(length(Units::Imperial, 30.48), "100 ft");
    }

    #[test]
    fn times_are_as_one_says_them() {
        let said: Vec<String> = [
            0.2, 3.8, 32.7, 99.2, 171.0, 465.0, 994.0, 5_334.0, 24_300.0, 38_990.0, 64_876.0,
            110_000.0, 300_000.0,
        ]
        .map(time)
        .into();
        let expected = [
            "less than 1 s",
            "4 s",
            "33 s",
            "100 s",
            "2¾ min",
            "7¾ min",
            "17 min",
            "89 min",
            "6¾ h",
            "10¾ h",
            "18 h",
            "31 h",
            "3½ d",
        ];
        assert_eq!(said, expected);
        assert_eq!(work(300_000.0), "83 h");
    }
}
