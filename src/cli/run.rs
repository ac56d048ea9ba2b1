//! `shopstride run`: one candidate in depth.

use std::io::ErrorKind;
use std::path::Path;

use super::arguments::RunOptions;
use super::places::Places;
use super::{Refusal, memory, output, scenario};
use crate::experiment::{
    Findings, LayoutFindings, Replications, Study, TypicalValues, decisions, play_timeline, trace,
};
use crate::report::charts::{Layout, Subject};
use crate::report::follow::DecisionWords;
use crate::report::{
    answer, dust, heat, left_out, light, noise, power, projects, tables, trace as lines, typical,
};
use crate::report::{what_is_certain, wrap};
use crate::scenario::printable_json;

/// Trips shown in the terminal at most; files have all of them.
const LEGS: usize = 12;

pub fn run(options: &RunOptions) -> Result<(), Refusal> {
    let places = Places::new("run", options.played.scenario.as_deref())
        .file("--json", &options.written.json)
        .file("--trace", &options.trace)
        .tables(&options.written.csv)
        .charts(options.charts.as_deref());
    places.check()?;
    let shows_one = options.charts.is_some() || options.trace.is_some() || options.explain;
    if let Some(number) = options.replication.filter(|_| !shows_one) {
        return Err(Refusal::with_hint(
            format!(
                "--replication {number} says which run to draw, to write or to tell, and neither --charts nor --trace nor --explain asks for one"
            ),
            format!("`--replications {number}` plays {number} runs"),
        ));
    }
    let replication = options.replication.unwrap_or(1);
    let files = [&options.written.json, &options.trace];
    scenario::only_one_to_standard_output(&files)?;
    if options.explain && files.iter().any(|file| output::is_standard_output(file)) {
        return Err(Refusal::with_hint(
            "--explain is told on standard output, where --json - and --trace - write",
            "name a file instead of -",
        ));
    }
    let mut study = scenario::load_played(&options.played)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    study.candidates = vec![study.candidates.swap_remove(index)];
    if let Replications::Fixed(count) = study.settings.replications
        && replication > count.max(1)
    {
        let what = format!("--replication {replication}: there are only {count} runs");
        return Err(Refusal::because(what));
    }
    memory::check(&study, 1)?;
    places.make_folders()?;
    let findings = scenario::play(&study, 0, &options.played)?;
    let quiet = options.played.how.quiet;
    let replication = replication - 1;
    let is_told = !files.iter().any(|file| output::is_standard_output(file));
    let (sites, layouts) = match is_told || options.charts.is_some() {
        true => {
            let sites = study.sites();
            let layouts = LayoutFindings::all(&study, &sites, &findings);
            (sites, layouts)
        }
        false => Default::default(),
    };
    if is_told {
        let (lines, _) = super::answer::of(&study, &sites, &findings, &layouts);
        let below = match options.explain {
            true => followed(&study, replication)?,
            false => tables_below(&findings, options.details),
        };
        output::print_answer(&lines, &below)?;
    }
    let whole = |refusal: Refusal| refusal.after_answer(is_told);
    // Charts first: they may be refused for the sake of what stands in their place.
    if let Some(folder) = &options.charts {
        let timeline =
            play_timeline(&study, 0, replication).map_err(|failure| scenario::stuck(&failure))?;
        let subject = Subject {
            findings: &findings,
            answer: &[],
            timelines: &[timeline],
            layouts: &Layout::all(&layouts, study.units),
        };
        let how = (options.drawn.size(), &options.drawn.chart_format[..]);
        let place = (options.played.scenario.as_deref(), &**folder);
        output::write_charts(&subject, place, how, quiet).map_err(whole)?;
    }
    let typical = typical::json(&TypicalValues::of(&study.candidates));
    let typical = typical.map(|typical| ("typical", typical));
    let left_out = left_out::json(&study).map(|left_out| ("left_out", left_out));
    let more = [typical, left_out].into_iter().flatten().collect();
    output::write_data(&findings, more, &options.written, quiet).map_err(whole)?;
    if let Some(file) = &options.trace {
        write_trace(&study, replication, file, quiet).map_err(whole)?;
    }
    Ok(())
}

/// Writes the trace while it is played, so that it need not be kept.
fn write_trace(study: &Study, replication: u32, file: &Path, quiet: bool) -> Result<(), Refusal> {
    let shop = &study.candidates[0].shop;
    let mut stuck = None;
    let written = output::write_or_print_by(file, quiet, |out| {
        let mut written = Ok(());
        let played = trace(study, 0, replication, |line| {
            if written.is_ok() {
                written = out.write_all(printable_json(&lines::json_line(shop, line)).as_bytes());
            }
        });
        stuck = played.err();
        match stuck {
            Some(_) => Err(ErrorKind::Interrupted.into()),
            None => written,
        }
    });
    match stuck {
        Some(failure) => Err(scenario::stuck(&failure)),
        None => written,
    }
}

/// One run, decision by decision.
fn followed(study: &Study, replication: u32) -> Result<String, Refusal> {
    /// What goes on of a line stands below what it says.
    const INDENT: &str = "    ";
    let follower = DecisionWords::new(study, 0);
    let columns = output::reading_width();
    let heading = format!("Run {}. {}", replication + 1, follower.rules());
    let mut text = format!("\n{}\n", output::wrapped(&heading));
    let told = decisions(study, 0, replication, |instant| {
        for line in wrap(&follower.instant(instant), columns, "", INDENT) {
            text.push_str(&line);
            text.push('\n');
        }
    });
    told.map_err(|failure| scenario::stuck(&failure))?;
    Ok(text)
}

/// What stands below the answer.
fn tables_below(findings: &Findings, details: bool) -> String {
    let found = &findings.candidates[0];
    let width = output::width();
    let mut below = vec![String::new()];
    if details {
        let said = [Some(answer::run(findings, 0)), answer::diagnosed(findings)];
        let said: Vec<String> = said.into_iter().flatten().collect();
        below.extend([
            output::wrapped(&said.join(" ")),
            String::new(),
            tables::flow(found, width),
            tables::stations(found, width),
            tables::queues(found, width),
            tables::person_time(found, width),
            tables::bottlenecks(found, width),
            tables::crew(findings, found, width),
            projects::projects(findings, found, width),
            tables::lead_times(found, width),
        ]);
        below.extend(tables::legs(findings, found, LEGS, width));
        below.extend(power::table(findings, found.power.as_ref(), width));
        below.extend(dust::table(findings, &found.dust, width));
        below.extend(light::table(found.light.as_ref(), width));
        below.extend(heat::table(found.heat.as_ref(), findings.units, width));
        below.extend(noise::table(findings, found.noise.as_ref(), width));
    } else {
        below.push(tables::stations_in_short(found, width));
        below.push(tables::person_time(found, width));
        let looked_into = answer::diagnosed(findings).map_or_else(String::new, |said| said + " ");
        let certain = what_is_certain(findings);
        let closing = format!("{looked_into}{certain} More: `--details`.");
        below.push(format!("{}\n", output::wrapped(&closing)));
    }
    below.join("\n")
}
