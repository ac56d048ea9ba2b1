//! `shopstride compare`: all candidates, compared with one of them.

use super::arguments::CompareOptions;
use super::places::Places;
use super::{Refusal, answer, memory, output, scenario};
use crate::experiment::{
    Candidate, Doubt, Findings, LayoutFindings, PlacesDoubt, Race, TypicalValues, play_timelines,
};
use crate::floor::{FindingLevel, Plan};
use crate::report::charts::{Layout, Subject};
use crate::report::decision::{LayoutFit, in_short};
use crate::report::what_is_certain;
use crate::report::{self, tables};

pub fn compare(options: &CompareOptions) -> Result<(), Refusal> {
    let outputs = Places::new("compare", options.played.scenario.as_deref())
        .file("--json", &options.written.json)
        .tables(&options.written.csv)
        .charts((!options.drawn.no_charts).then_some(&options.charts));
    outputs.check()?;
    let study = scenario::load_played(&options.played)?;
    let for_several = [
        ("--doubt", options.doubt.is_some()),
        ("--doubt-places", options.doubt_places.is_some()),
        ("--select", options.select.is_some()),
    ];
    if let Some((option, _)) = for_several.iter().find(|(_, is_asked)| *is_asked)
        && study.candidates.len() < 2
    {
        let what = format!("{option} compares layouts, and there is only one");
        return Err(Refusal::because(what));
    }
    let is_placed = |candidate: &Candidate| {
        let plan = candidate.plan.as_ref();
        plan.is_some_and(Plan::places_something)
    };
    if options.doubt_places.is_some() && !study.candidates.iter().any(is_placed) {
        return Err(Refusal::because(
            "--doubt-places: no layout says where things stand",
        ));
    }
    let base = scenario::candidate(&study, options.base.as_deref(), "--base")?;
    memory::check(&study, 1)?;
    outputs.make_folders()?;
    let findings = scenario::play(&study, base, &options.played)?;
    let doubt = match options.doubt {
        Some(share) => Some(scenario::play_doubted(&study, share, &options.played)?),
        None => None,
    };
    let places = match options.doubt_places {
        Some(within) => {
            let doubt = scenario::play_doubted_places(&study, within, &options.played)?;
            Some(doubt)
        }
        None => None,
    };
    let race = match options.select {
        Some(indifference) => Some(scenario::play_race(&study, indifference, &options.played)?),
        None => None,
    };
    let quiet = options.played.how.quiet;
    let typical = TypicalValues::of(&study.candidates);
    let is_told = !output::is_standard_output(&options.written.json);
    // The answer takes a quick look at what would help, which data alone do not need.
    let (layouts, (lines, fits)) = match is_told || !options.drawn.no_charts {
        true => {
            let sites = study.sites();
            let layouts = LayoutFindings::all(&study, &sites, &findings);
            let answer = answer::of(&study, &sites, &findings, &layouts);
            (layouts, answer)
        }
        false => Default::default(),
    };
    if is_told {
        let times = doubt.as_ref().map(|doubt| (doubt, &typical));
        let more = (times, places.as_ref(), race.as_ref());
        let below = below(&findings, &fits, more, options.details);
        output::print_answer(&lines, &below)?;
    }
    let whole = |refusal: Refusal| refusal.after_answer(is_told);
    // Charts first: they may be refused for the sake of what stands in their place.
    if !options.drawn.no_charts {
        let timelines = play_timelines(&study, &findings, base, 0)
            .map_err(|failure| scenario::stuck(&failure))?;
        let subject = Subject {
            findings: &findings,
            answer: &lines,
            timelines: &timelines,
            layouts: &Layout::all(&layouts, study.units),
        };
        let how = (options.drawn.size(), &options.drawn.chart_format[..]);
        let place = (options.played.scenario.as_deref(), &*options.charts);
        output::write_charts(&subject, place, how, quiet).map_err(whole)?;
    }
    let doubted = doubt.map(|doubt| ("doubt", report::sensitivity::json(&findings, &doubt)));
    let raced = race.map(|race| ("selection", report::selection::json(&findings, &race)));
    let counted = report::typical::json(&typical).map(|counted| ("typical", counted));
    let displaced = places.map(|doubt| {
        let data = report::doubted_places::json(&findings, &doubt);
        ("doubt_places", data)
    });
    let gaps = (options.written.json.is_some())
        .then(|| report::near_gaps::json(&study.candidates, &findings));
    let gaps = gaps.map(|gaps| ("near_gaps", gaps));
    let left_out = report::left_out::json(&study).map(|left_out| ("left_out", left_out));
    let more = [doubted, displaced, raced, counted, gaps, left_out];
    let more = more.into_iter().flatten().collect();
    output::write_data(&findings, more, &options.written, quiet).map_err(whole)
}

/// What stands below the lines of the answer.
fn below(
    findings: &Findings,
    fits: &[Option<LayoutFit>],
    (doubt, places, race): (
        Option<(&Doubt, &TypicalValues)>,
        Option<&PlacesDoubt>,
        Option<&Race>,
    ),
    details: bool,
) -> String {
    let width = output::width();
    let mut text = format!("\n{}", tables::layouts(findings, &in_short(fits), width));
    match details {
        true => {
            text.push_str(&format!(
                "\n{}\n\n{}",
                output::wrapped(&report::answer::compare(findings)),
                tables::candidates(findings, width)
            ));
            if let Some(projects) = report::projects::comparison(findings, width) {
                text.push_str(&format!("\n{projects}"));
            }
        }
        false => {
            // Nothing is checked of what is not drawn.
            let why = match fits.iter().any(Option::is_some) {
                true => "`shopstride run`, `bottleneck` and `check`",
                false => "`shopstride run` and `bottleneck`",
            };
            let closing = format!(
                "{} More: `--details`. Why: {why}.",
                what_is_certain(findings)
            );
            text.push_str(&format!("{}\n", output::wrapped(&closing)));
        }
    }
    if let Some((doubt, typical)) = doubt {
        let mut answer = report::sensitivity::answer(findings, doubt);
        answer.extend(report::typical::among_doubted(typical));
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&answer),
            report::sensitivity::candidates(findings, doubt, output::width())
        ));
    }
    if let Some(doubt) = places {
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&report::doubted_places::answer(findings, doubt)),
            report::doubted_places::candidates(findings, doubt, output::width())
        ));
    }
    if let Some(race) = race {
        let faults = fits
            .iter()
            .map(|fit| Some(fit.as_ref()?.count(FindingLevel::Fault)));
        let faults: Vec<Option<usize>> = faults.collect();
        let said = [
            Some(report::selection::answer(findings, race)),
            report::selection::faults(findings, race, &faults),
        ];
        let said: Vec<String> = said.into_iter().flatten().collect();
        text.push_str(&format!(
            "\n{}\n\n{}",
            output::wrapped(&said.join(" ")),
            report::selection::candidates(findings, race, output::width())
        ));
    }
    text
}
