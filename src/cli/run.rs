//! `shopstride run`: one candidate in depth.

use super::arguments::RunOptions;
use super::{Refusal, output, scenario};
use crate::experiment::{Findings, Replications, trace};
use crate::report::charts::{Layout, Subject};
use crate::report::{answer, tables, trace as lines};

/// So many legs are shown in the terminal; files have all of them.
const LEGS: usize = 12;

pub fn run(options: &RunOptions) -> Result<(), Refusal> {
    output::check_places(&options.written, &[&options.trace])?;
    options
        .written
        .csv
        .iter()
        .chain(&options.charts)
        .try_for_each(|folder| output::check_folder(folder))?;
    let files = [&options.written.json, &options.trace];
    scenario::only_one_to_standard_output(&files)?;
    let mut study = scenario::load_played(&options.played)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    study.candidates = vec![study.candidates.swap_remove(index)];
    if let Replications::Fixed(count) = study.settings.replications
        && options.replication > count.max(1)
    {
        let what = format!(
            "--replication {}: there are only {count} replications",
            options.replication
        );
        return Err(Refusal::because(what));
    }
    options
        .written
        .csv
        .iter()
        .chain(&options.charts)
        .try_for_each(|folder| output::make_folder(folder))?;
    let findings = scenario::play(&study, 0, &options.played)?;
    let quiet = options.played.quiet;
    if !files.iter().any(|file| output::is_standard_output(file)) {
        output::print(&text(&findings))?;
    }
    output::write_data(&findings, None, &options.written, quiet)?;
    if options.trace.is_none() && options.charts.is_none() {
        return Ok(());
    }
    let shop = &study.candidates[0].shop;
    let replication = options.replication - 1;
    let traced = trace(&study, 0, replication)
        .map_err(|failure| scenario::stuck(&failure))?
        .into_lines();
    if let Some(file) = &options.trace {
        output::write_or_print(file, &lines::json_lines(shop, &traced), quiet)?;
    }
    if let Some(folder) = &options.charts {
        let timeline = lines::timeline(&study.candidates[0], options.replication, &traced);
        let subject = Subject {
            findings: &findings,
            timeline: Some(&timeline),
            layouts: &Layout::all(&study, &findings),
        };
        output::write_charts(&subject, folder, options.chart_scale, quiet)?;
    }
    Ok(())
}

fn text(findings: &Findings) -> String {
    let found = &findings.candidates[0];
    let width = output::width();
    [
        output::wrapped(&answer::run(findings, 0)),
        String::new(),
        tables::stations(found, width),
        tables::bottlenecks(found, width),
        tables::crew(findings, found, width),
        tables::person_time(found, width),
        tables::projects(findings, found, width),
        tables::lead_times(found, width),
        tables::legs(findings, found, LEGS, width),
    ]
    .join("\n")
}
