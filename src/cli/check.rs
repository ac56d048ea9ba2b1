//! `shopstride check`: does it fit?

use rayon::prelude::*;

use super::arguments::CheckOptions;
use super::places::Places;
use super::{Refusal, memory, output, scenario};
use crate::experiment::{Candidate, Findings, Replications, Study, leg_paths, run, widths};
use crate::floor::Plan;
use crate::floor::check::{WalkedLeg, check as find};
use crate::report::check::{Checked, json, text, told};
use crate::report::decision::LayoutFit;
use crate::scenario::printable_name;

/// Replications that show which ways people take.
const REPLICATIONS: u32 = 5;

/// Columns where the output goes to a file or another program.
const COLUMNS: u16 = 100;

/// Checks every layout; returns whether none has a fault.
pub fn check(options: &CheckOptions) -> Result<bool, Refusal> {
    Places::new(options.scenario.as_deref())
        .file("--json", &options.json)
        .check()?;
    let mut study = scenario::load_to_check(options.scenario.as_deref(), options.quiet)?;
    if options.layout.is_some() {
        let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
        study.candidates = vec![study.candidates.swap_remove(index)];
    }
    study.settings.replications = match study.settings.replications {
        Replications::Fixed(wanted) => Replications::Fixed(wanted.min(REPLICATIONS)),
        Replications::Sufficient | Replications::Precision(_) => Replications::Fixed(REPLICATIONS),
    };
    let is_placed = |candidate: &Candidate| candidate.plan.is_some();
    if !study.candidates.iter().any(is_placed) {
        return Err(Refusal::with_hint(
            "the layouts say how far it is, but not where things stand: there is nothing to check",
            "place the stations with `at`, or add a `room` to check what comes through its doors",
        ));
    }
    for missing in study
        .candidates
        .iter()
        .filter(|candidate| !is_placed(candidate))
    {
        let name = printable_name(&missing.name);
        output::note(
            options.quiet,
            &format!("\"{name}\" says only how far it is: there is nothing to check"),
        );
    }
    memory::check(&study, 1)?;
    let checked = checked(&study)?;
    if !output::is_standard_output(&options.json) {
        let columns = usize::from(output::width().unwrap_or(COLUMNS).min(COLUMNS));
        output::print(&text(&study, &checked, columns))?;
    }
    if let Some(file) = &options.json {
        let text = format!("{:#}\n", json(&study, &checked));
        output::write_or_print(file, &text, options.quiet)?;
    }
    Ok(!checked.iter().any(Checked::has_fault))
}

/// Plays every candidate a few times, since aisles are judged along the ways that people take.
fn checked(study: &Study) -> Result<Vec<Checked<'_>>, Refusal> {
    let findings = run(study, 0, &|_| ()).map_err(|failure| scenario::stuck(&failure))?;
    let checked = with_plans(study, &findings).map(|(candidate, plan, walked)| {
        let findings = find(&candidate.shop, plan, &walked, &candidate.limits);
        let findings = told(&candidate.shop, plan.room.as_ref(), &findings);
        Checked {
            candidate,
            findings,
        }
    });
    Ok(checked.collect())
}

/// Candidates that are drawn and have been played, each with the ways that people took; in the study's order.
fn with_plans<'s, 'f>(
    study: &'s Study,
    findings: &'f Findings,
) -> impl ParallelIterator<Item = (&'s Candidate, &'s Plan, Vec<WalkedLeg>)> + use<'s, 'f> {
    let layouts = study.candidates.par_iter().zip(&findings.candidates);
    layouts.filter_map(|(candidate, found)| {
        let plan = candidate.plan.as_ref()?;
        let walked = widths(candidate, &leg_paths(candidate, &found.legs));
        Some((candidate, plan, walked))
    })
}

/// Whether each candidate fits; nothing for those that are not drawn.
pub fn fits(study: &Study, findings: &Findings) -> Vec<Option<LayoutFit>> {
    let candidates = study.candidates.par_iter().zip(&findings.candidates);
    candidates
        .map(|(candidate, found)| {
            let plan = candidate.plan.as_ref()?;
            let walked = widths(candidate, &leg_paths(candidate, &found.legs));
            let findings = find(&candidate.shop, plan, &walked, &candidate.limits);
            Some(LayoutFit {
                findings: told(&candidate.shop, plan.room.as_ref(), &findings),
            })
        })
        .collect()
}
