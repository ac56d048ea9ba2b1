//! `shopstride compare`: all candidates, against one of them.

use super::arguments::CompareOptions;
use super::{Refusal, output, scenario};
use crate::experiment::{Doubt, Findings, trace};
use crate::report::charts::{Layout, Subject};
use crate::report::{self, answer, tables, trace as timeline};

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
    if options.doubt.is_some() && study.candidates.len() < 2 {
        return Err(Refusal::because(
            "--doubt compares candidates, and there is only one",
        ));
    }
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
    let doubt = match options.doubt {
        Some(share) => Some(scenario::play_doubted(&study, share, &options.played)?),
        None => None,
    };
    let quiet = options.played.quiet;
    if !output::is_standard_output(&options.written.json) {
        output::print(&text(&findings, doubt.as_ref()))?;
    }
    let doubted = doubt.map(|doubt| ("doubt", report::doubt::json(&findings, &doubt)));
    output::write_data(&findings, doubted, &options.written, quiet)?;
    if !options.no_charts {
        let lines = trace(&study, base, 0)
            .map_err(|failure| scenario::stuck(&failure))?
            .into_lines();
        let timeline = timeline::timeline(&study.candidates[base], 1, &lines);
        let subject = Subject {
            findings: &findings,
            timeline: Some(&timeline),
            layouts: &Layout::all(&study, &findings),
        };
        output::write_charts(&subject, &options.charts, options.chart_scale, quiet)?;
    }
    Ok(())
}

fn text(findings: &Findings, doubt: Option<&Doubt>) -> String {
    let mut text = format!(
        "{}\n\n{}",
        output::wrapped(&answer::compare(findings)),
        tables::candidates(findings, output::width())
    );
    if let Some(doubt) = doubt {
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&report::doubt::answer(findings, doubt)),
            report::doubt::candidates(findings, doubt, output::width())
        ));
    }
    text
}
