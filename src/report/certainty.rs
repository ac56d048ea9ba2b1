//! What the figures leave out, in sentences.

use super::figure::number;
use crate::experiment::{CandidateFindings, Findings};

/// With a horizon, lead time covers the orders finished by then, which may be the quick ones.
pub fn unfinished(findings: &Findings) -> Option<String> {
    if !findings.horizon {
        return None;
    }
    let done = findings.candidates.iter();
    let done: Vec<String> = done
        .map(|found| format!("{} in \"{}\"", number(found.orders_done), found.name))
        .collect();
    Some(format!(
        "Runs end at a horizon (`until`), and times from start to finish are those of finished orders only: on average {}.",
        done.join(", ")
    ))
}

/// What stands below an answer: which orders its figures are of, and what chance leaves open.
pub fn what_is_certain(findings: &Findings) -> String {
    let said = unfinished(findings)
        .into_iter()
        .chain([certainty(findings), ROUNDED.to_owned()]);
    said.collect::<Vec<String>>().join(" ")
}

/// Parts of a sum and differences are rounded as the exact ones are, and so need not add up as they are written.
const ROUNDED: &str = "Figures are rounded one by one.";

/// With fewer replications than this, intervals depend on how close to normal the figures are distributed.
const ENOUGH: u32 = 10;

/// What happens in 1 of n / 3 runs happens in none of n with a probability of 5 % (the rule of three; Hanley and
/// Lippman-Hand, Journal of the American Medical Association 249 (1983) 1743-1745).
const UNSEEN: f64 = 3.0;

/// So rare that it may be missed is known about as well as this.
fn one_digit(value: f64) -> f64 {
    let step = 10_f64.powi(value.log10().floor() as i32);
    (value / step).round() * step
}

pub fn certainty(findings: &Findings) -> String {
    let nothing = |found: &CandidateFindings| found.orders_done == 0.0 && found.hands_on == 0.0;
    if findings.candidates.iter().all(nothing) {
        return "Nothing happened in the measured time: is the warm-up longer than the run?"
            .to_owned();
    }
    if findings.varies && findings.replications == 1 {
        return "One run says nothing about chance: another would give other figures. \
                Ask for more, such as `--replications 30`."
            .to_owned();
    }
    if findings.varies {
        let rough = match findings.replications {
            count if count < ENOUGH => {
                format!(" With only {count} runs they are rough.")
            }
            _ => String::new(),
        };
        let reached = match findings.precision_reached {
            Some(true) => format!(
                " The wanted precision was reached after {} runs.",
                findings.replications
            ),
            Some(false) => {
                format!(
                    " The wanted precision was not reached within {} runs.",
                    findings.replications
                )
            }
            None => String::new(),
        };
        let seldom = match findings.suffices {
            Some(_) => format!(
                "; what happens in fewer than about 1 of {} runs may not show",
                number(one_digit(f64::from(findings.replications) / UNSEEN))
            ),
            None => String::new(),
        };
        let skewed = match findings.suffices {
            Some(false) => format!(
                " Some figures hang so much on rare runs that even {} runs leave their intervals rough.",
                number(f64::from(findings.replications))
            ),
            _ => String::new(),
        };
        format!(
            "Intervals cover chance only, not errors in the times you entered{seldom}.{rough}{reached}{skewed}"
        )
    } else {
        "No time in this scenario varies, so one run gives the exact result; \
         the times you entered may still be off."
            .to_owned()
    }
}
