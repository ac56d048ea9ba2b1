//! Figures with the digits that a decision needs: two of a length, and times as one says them.

use super::figure::{FROM_HOURS, fixed, length_unit};
use crate::experiment::Units;

const MINUTE: f64 = 60.0;
const HOUR: f64 = 3_600.0;
const DAY: f64 = 86_400.0;

/// A rounded figure that is so close to the exact one counts as exact.
const EXACT: f64 = 2e-3;

/// A length of walking in two significant digits, and halves of the second where the first is 1: "about 350 ft",
/// "about 125 m".
pub fn length(units: Units, metres: f64) -> String {
    let unit = length_unit(units);
    let value = metres.abs() / unit.per_unit;
    let step = match value {
        v if v >= 10.0 => 10_f64.powf((v.log10() + 1e-9).floor() - 1.0),
        v if v >= 1.0 => 0.1,
        _ => 0.01,
    };
    // Of what begins with 1 two digits say less, so that halves are told: 125, but 130 would be 5 too much.
    let begins_with_1 = step >= 0.1 && value < 19.5 * step;
    let step = if begins_with_1 { step / 2.0 } else { step };
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
        s if s < 2.0 * MINUTE => format!("{} s", s.round()),
        s if s < 10.0 * MINUTE => in_parts(s / MINUTE, 4.0, "min"),
        s if s < FROM_HOURS => format!("{} min", (s / MINUTE).round()),
        s if s < 12.0 * HOUR => quarter_hours(s),
        // As tables have them: 40½ h beside 40.3 h would be read as another figure.
        s if s < 3.0 * DAY => format!("{} h", count(s / HOUR)),
        s if s < 10.0 * DAY => in_parts(s / DAY, 4.0, "d"),
        s => format!("{} d", fixed((s / DAY).round(), 0)),
    }
}

/// A time that chance may have moved by so much, with no more digits than that leaves: "about 16 h".
pub fn estimated(seconds: f64, off: f64) -> String {
    let size = seconds.abs();
    let (finest, unit) = match size {
        s if s < 2.0 * MINUTE => (1.0, 1.0),
        s if s < 10.0 * MINUTE => (MINUTE / 4.0, MINUTE),
        s if s < FROM_HOURS => (MINUTE, MINUTE),
        s if s < 12.0 * HOUR => (HOUR / 4.0, HOUR),
        s if s < 3.0 * DAY => (HOUR / 2.0, HOUR),
        s if s < 10.0 * DAY => (DAY / 4.0, DAY),
        _ => (DAY, DAY),
    };
    match off <= finest / 2.0 {
        true => time(size),
        false => format!("about {}", time(to_step(size, off, unit))),
    }
}

/// The same of a share: "about 15 %".
pub fn estimated_share(share: f64, off: f64) -> String {
    match off <= 0.005 {
        true => self::share(share),
        false => format!("about {}", self::share(to_step(share, off, 0.01))),
    }
}

/// A size rounded to steps of 1, 2, 5, 10, 20 or 50 units, whichever are the finest that are not finer than how far chance
/// may have moved it; not to nothing.
fn to_step(size: f64, off: f64, unit: f64) -> f64 {
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0].map(|units| units * unit);
    let step = steps.into_iter().find(|&step| step >= off);
    let step = step.unwrap_or(50.0 * unit);
    (size / step).round().max(1.0) * step
}

/// A working time: nobody works days of 24 hours.
pub fn work(seconds: f64) -> String {
    match seconds.abs() {
        s if s < 24.0 * HOUR => time(s),
        s => format!("{} h", fixed((s / HOUR).round(), 0)),
    }
}

/// "1¾ h"
pub fn quarter_hours(seconds: f64) -> String {
    in_parts(seconds / HOUR, 4.0, "h")
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
            "about 12\u{202F}500 m",
        ];
        assert_eq!(metric, expected);
        assert_eq!(length(Units::Imperial, 30.48), "100 ft");
        // What is saved is the difference of what is walked: 125.4984 m and 42 m.
        let walked = [125.4984, 42.0, 83.4984, 13.2, 1.27];
        let expected = [
            "about 125 m",
            "42 m",
            "about 83 m",
            "about 13 m",
            "about 1.25 m",
        ];
        assert_eq!(walked.map(|metres| length(Units::Metric, metres)), expected);
    }

    #[test]
    fn times_are_as_one_says_them() {
        let said: Vec<String> = [
            0.2, 3.8, 32.7, 95.74, 171.0, 465.0, 994.0, 5_334.0, 7_620.0, 24_300.0, 38_990.0,
            64_876.0, 110_000.0, 289_440.0,
        ]
        .map(time)
        .into();
        let expected = [
            "less than 1 s",
            "4 s",
            "33 s",
            "96 s",
            "2¾ min",
            "7¾ min",
            "17 min",
            "89 min",
            "127 min",
            "6¾ h",
            "10¾ h",
            "18 h",
            "30.6 h",
            "3¼ d",
        ];
        assert_eq!(said, expected);
        assert_eq!(work(300_000.0), "83 h");
    }

    /// By hand: 16.6 h ± 12 min is written in halves of an hour; ± 40 min leaves hours, ± 1.5 h every second hour, ± 3 h
    /// every fifth.
    #[test]
    fn estimated_times_have_no_digits_that_chance_may_have_made() {
        const HOURS: f64 = 3_600.0;
        let cases = [
            (16.6, 0.2, "16.6 h"),
            (16.6, 0.7, "about 17 h"),
            (16.9, 1.5, "about 16 h"),
            (16.9, 3.0, "about 15 h"),
            (0.77, 0.02, "about 46 min"),
            (0.77, 0.005, "46 min"),
            (100.0, 10.0, "about 4 d"),
        ];
        for (hours, off, expected) in cases {
            assert_eq!(estimated(hours * HOURS, off * HOURS), expected);
        }
        let shares = [(0.123, 0.004), (0.123, 0.008), (0.123, 0.03), (0.4, 0.0)];
        let said = shares.map(|(share, off)| estimated_share(share, off));
        assert_eq!(said, ["12 %", "about 12 %", "about 10 %", "40 %"]);
    }

    /// No step is more than 2.5 times as coarse as the last that would do, and rounding goes by half a step at most.
    #[test]
    fn an_estimated_figure_is_rounded_by_no_more_than_chance_moves_it() {
        for size in (1..400).map(|size| f64::from(size) * 97.0) {
            for off in [0.01, 0.05, 0.2, 0.4].map(|share| share * size) {
                let said = to_step(size, off, 1.0);
                assert!(
                    (said - size).abs() <= 1.25 * off.max(1.0),
                    "{size} ± {off}: {said}"
                );
            }
        }
    }
}
