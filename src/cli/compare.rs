//! `shopstride compare`: all candidates, compared with one of them.

use super::arguments::CompareOptions;
use super::places::Places;
use super::{Refusal, check, memory, output, scenario};
use crate::experiment::{Doubt, Findings, LayoutFindings, Race, Study, play_timelines};
use crate::report::charts::{ChartSize, Layout, Subject};
use crate::report::{self, answer, tables};

pub fn compare(options: &CompareOptions) -> Result<(), Refusal> {
    let places = Places::new(options.played.scenario.as_deref())
        .file("--json", &options.written.json)
        .tables(&options.written.csv)
        .charts((!options.no_charts).then_some(&options.charts));
    places.check()?;
    let study = scenario::load_played(&options.played)?;
    let for_several = [
        ("--doubt", options.doubt.is_some()),
        ("--select", options.select.is_some()),
    ];
    if let Some((option, _)) = for_several.iter().find(|(_, is_asked)| *is_asked)
        && study.candidates.len() < 2
    {
        let what = format!("{option} compares candidates, and there is only one");
        return Err(Refusal::because(what));
    }
    let base = scenario::candidate(&study, options.base.as_deref(), "--base")?;
    memory::check(&study, 1)?;
    places.make_folders()?;
    let findings = scenario::play(&study, base, &options.played)?;
    let doubt = match options.doubt {
        Some(share) => Some(scenario::play_doubted(&study, share, &options.played)?),
        None => None,
    };
    let race = match options.select {
        Some(indifference) => Some(scenario::play_race(&study, indifference, &options.played)?),
        None => None,
    };
    let quiet = options.played.quiet;
    if !output::is_standard_output(&options.written.json) {
        output::print(&text(&study, &findings, doubt.as_ref(), race.as_ref()))?;
    }
    let doubted = doubt.map(|doubt| ("doubt", report::sensitivity::json(&findings, &doubt)));
    let raced = race.map(|race| ("selection", report::selection::json(&findings, &race)));
    let more = doubted.into_iter().chain(raced).collect();
    output::write_data(&findings, more, &options.written, quiet)?;
    if !options.no_charts {
        let timelines = play_timelines(&study, &findings, base, 0)
            .map_err(|failure| scenario::stuck(&failure))?;
        let subject = Subject {
            findings: &findings,
            answer: &answer::sentences(&findings),
            timelines: &timelines,
            layouts: &Layout::all(&LayoutFindings::all(&study, &findings), study.units),
        };
        let size = ChartSize {
            scale: options.chart_scale,
            page: options.chart_size,
        };
        let how = (size, &options.chart_format[..]);
        output::write_charts(&subject, &options.charts, how, quiet)?;
    }
    Ok(())
}

fn text(study: &Study, findings: &Findings, doubt: Option<&Doubt>, race: Option<&Race>) -> String {
    let mut answer = answer::compare(findings);
    if let Some(warning) = check::warning(study, findings) {
        answer = format!("{answer} {warning}");
    }
    let mut text = format!(
        "{}\n\n{}",
        output::wrapped(&answer),
        tables::candidates(findings, output::width())
    );
    if let Some(doubt) = doubt {
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&report::sensitivity::answer(findings, doubt)),
            report::sensitivity::candidates(findings, doubt, output::width())
        ));
    }
    if let Some(race) = race {
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&report::selection::answer(findings, race)),
            report::selection::candidates(findings, race, output::width())
        ));
    }
    text
}
