//! `shopstride compare`: all candidates, against one of them.

use super::arguments::CompareOptions;
use super::{Refusal, output, scenario};
use crate::experiment::{Findings, trace};
use crate::report::charts::Subject;
use crate::report::{answer, tables, trace as timeline};

pub fn compare(options: &CompareOptions) -> Result<(), Refusal> {
    output::check_places(&options.written, &[])?;
    options
        .written
        .csv
        .iter()
        .try_for_each(|folder| output::check_folder(folder))?;
    if !options.no_charts {
        output::check_folder(&options.charts)?;
    }
    let study = scenario::load_played(&options.played)?;
    let base = scenario::candidate(&study, options.base.as_deref(), "--base")?;
    options
        .written
        .csv
        .iter()
        .try_for_each(|folder| output::make_folder(folder))?;
    if !options.no_charts {
        output::make_folder(&options.charts)?;
    }
    let findings = scenario::play(&study, base, &options.played)?;
    let quiet = options.played.quiet;
    if !output::is_standard_output(&options.written.json) {
        output::print(&text(&findings))?;
    }
    output::write_data(&findings, &options.written, quiet)?;
    if !options.no_charts {
        let lines = trace(&study, base, 0)
            .map_err(|failure| scenario::stuck(&failure))?
            .into_lines();
        let timeline = timeline::timeline(&study.candidates[base], 1, &lines);
        let subject = Subject {
            findings: &findings,
            timeline: Some(&timeline),
            layouts: &[],
        };
        output::write_charts(&subject, &options.charts, options.chart_scale, quiet)?;
    }
    Ok(())
}

fn text(findings: &Findings) -> String {
    format!(
        "{}\n\n{}",
        output::wrapped(&answer::compare(findings)),
        tables::candidates(findings, output::width())
    )
}
