//! How far people walk and how long an order takes, with the difference from the layout as it is saved.

use serde_json::{Value, json};

use crate::experiment::{Findings, Units};
use crate::report::difference::{is_none, is_shown};
use crate::report::figure::{Shown, length_unit, time_unit};
use crate::statistics::{Estimate, Paired};

/// How a figure is said.
struct FigureWords<'a> {
    /// The unit of a figure of this size.
    unit: &'a dyn Fn(f64) -> Shown,
    /// Of one that is less than before, and of one that is more.
    less: &'static str,
    more: &'static str,
}

/// The figures of what was played last, which is the layout as it is now.
pub fn figures(findings: &Findings, units: Units) -> Option<Value> {
    let now = findings.candidates.last()?;
    let compared = findings.comparisons.first();
    let walking = FigureWords {
        unit: &|_| length_unit(units),
        less: "less",
        more: "more",
    };
    let lead_time = FigureWords {
        unit: &time_unit,
        less: "sooner",
        more: "later",
    };
    let walked = compared.map(|compared| &compared.walking);
    let taken = compared.and_then(|compared| compared.lead_time.as_ref());
    let of_time = |time| figure(findings, (time, taken), &lead_time);
    Some(json!({
        "runs": findings.replications,
        "walking": figure(findings, (&now.walking, walked), &walking),
        "lead_time": now.lead_time.as_ref().map(of_time),
    }))
}

fn figure(
    findings: &Findings,
    (estimate, compared): (&Estimate, Option<&Paired>),
    wording: &FigureWords<'_>,
) -> Value {
    json!({
        "value": estimate.mean,
        "words": (wording.unit)(estimate.mean).with_unit(estimate.mean),
        "difference": compared.map(|compared| compared.difference.mean),
        "change": compared.map(|compared| change(findings, compared, wording)),
    })
}

/// What became of a figure.
fn change(findings: &Findings, compared: &Paired, wording: &FigureWords<'_>) -> String {
    let difference = &compared.difference;
    if is_none(compared) {
        return "as it is saved".to_owned();
    }
    if !is_shown(difference) {
        return format!("no difference shown by {} runs", findings.replications);
    }
    let direction = match difference.mean < 0.0 {
        true => wording.less,
        false => wording.more,
    };
    let unit = (wording.unit)(difference.mean);
    let size = Estimate {
        mean: difference.mean.abs(),
        // How far it reaches to either side is more than a decision needs here.
        interval: None,
        ..*difference
    };
    format!("{} {direction} than saved", unit.brief(&size))
}
