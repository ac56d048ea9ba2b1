//! `shopstride times`: expected times, before anything is played.

use super::arguments::TimesOptions;
use super::{Refusal, output, scenario};
use crate::floor::Going;
use crate::report::times::routes;

pub fn times(options: &TimesOptions) -> Result<(), Refusal> {
    // What a step takes does not depend on where things stand, but for the way of what is carried.
    let study = scenario::load_to_check(options.scenario.as_deref(), options.quiet)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    let candidate = &study.candidates[index];
    let mut text = routes(candidate, study.units, output::reading_width());
    let goes_around = candidate
        .plan
        .as_ref()
        .is_some_and(|plan| plan.going == Going::Around);
    if goes_around && candidate.paths.is_none() {
        let says = format!(
            "In \"{}\" nobody can stand or get everywhere, so carries go straight here, through whatever stands in the \
             way: `shopstride check` says what does.",
            candidate.name
        );
        text.push_str(&format!("\n{}\n", output::wrapped(&says)));
    }
    output::print(&text)
}
