//! `shopstride times`: expected times, before anything is played.

use super::arguments::TimesOptions;
use super::{Refusal, output, scenario};
use crate::report::times::routes;

pub fn times(options: &TimesOptions) -> Result<(), Refusal> {
    let study = scenario::load(options.scenario.as_deref(), options.quiet)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    let width = output::reading_width();
    output::print(&routes(&study.candidates[index], study.units, width))
}
