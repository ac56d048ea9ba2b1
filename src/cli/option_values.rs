//! How values behind options are read.
//!
//! # Errors
//! Each says what would be right.

use crate::report::charts::Format;

pub fn from_1_to<const MOST: u32>(text: &str) -> Result<u32, String> {
    let number = text.parse().ok();
    let number = number.filter(|number| (1..=MOST).contains(number));
    number.ok_or_else(|| format!("it must be a whole number from 1 to {MOST}"))
}

pub fn seed(text: &str) -> Result<u64, String> {
    text.parse()
        .map_err(|_| format!("it must be a whole number from 0 to {}", u64::MAX))
}

/// A percentage, as a share.
pub fn doubted_share(text: &str) -> Result<f64, String> {
    let number = text.trim().strip_suffix('%');
    let number = number.ok_or("it must be a percentage such as 20%")?;
    let percent: f64 =
        (number.trim().parse()).map_err(|_| "it must be a percentage such as 20%")?;
    if percent > 0.0 && percent <= 100.0 {
        Ok(percent / 100.0)
    } else {
        Err("it must be more than 0% and at most 100%".to_owned())
    }
}

pub fn chart_scale(text: &str) -> Result<f64, String> {
    let scale: f64 = text
        .parse()
        .map_err(|_| "it must be a number such as 1.5".to_owned())?;
    let allowed = crate::report::charts::SCALES;
    if allowed.contains(&scale) {
        Ok(scale)
    } else {
        Err(format!(
            "it must lie between {} and {}",
            allowed.start(),
            allowed.end()
        ))
    }
}

pub fn chart_format(text: &str) -> Result<Format, String> {
    let known = Format::ALL.iter().find(|format| format.ending() == text);
    known.copied().ok_or_else(|| {
        let endings = Format::ALL.iter().map(|format| format.ending());
        format!("it must be of {}", endings.collect::<Vec<_>>().join(", "))
    })
}
