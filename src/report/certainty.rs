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
        "Runs end at a horizon, and lead time covers finished orders only: on average {}.",
        done.join(", ")
    ))
}

/// With fewer replications than this, intervals depend on how close to normal the figures are distributed.
const ENOUGH: u32 = 10;

pub fn certainty(findings: &Findings) -> String {
    let nothing = |found: &CandidateFindings| found.orders_done == 0.0 && found.hands_on == 0.0;
    if findings.candidates.iter().all(nothing) {
        return "Nothing happened in the measured time: is the warm-up longer than the run?"
            .to_owned();
    }
    if findings.varies && findings.replications == 1 {
        return "One replication says nothing about chance: another would give other figures. \
                Run more, such as `--replications 30`."
            .to_owned();
    }
    if findings.varies {
        let rough = match findings.replications {
            count if count < ENOUGH => {
                format!(" With only {count} replications they are rough.")
            }
            _ => String::new(),
        };
        let reached = match findings.precision_reached {
            Some(true) => format!(
                " The wanted precision was reached after {} replications.",
                findings.replications
            ),
            Some(false) => {
                format!(
                    " The wanted precision was not reached within {} replications.",
                    findings.replications
                )
            }
            None => String::new(),
        };
        format!("Intervals cover chance only, not errors in the times you entered.{rough}{reached}")
    } else {
        "No time in this scenario varies, so one run gives the exact result; \
         the times you entered may still be off."
            .to_owned()
    }
}
