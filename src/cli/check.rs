//! `shopstride check`: does it fit?

use super::arguments::CheckOptions;
use super::places::Places;
use super::{Refusal, memory, output, scenario};
use crate::experiment::{Candidate, Findings, Replications, Study, leg_paths, run, widths};
use crate::floor::check::check as apply;
use crate::report::check::{Checked, json, text};
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
        Replications::Precision(_) => Replications::Fixed(REPLICATIONS),
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
    Ok(judged(study, &findings))
}

/// What the rules say of candidates that have been played.
fn judged<'s>(study: &'s Study, findings: &Findings) -> Vec<Checked<'s>> {
    let layouts = study.candidates.iter().zip(&findings.candidates);
    let checked = layouts.filter_map(|(candidate, found)| {
        let plan = candidate.plan.as_ref()?;
        let walked = widths(candidate, &leg_paths(candidate, &found.legs));
        Some(Checked {
            candidate,
            findings: apply(&candidate.shop, plan, &walked, &candidate.limits),
        })
    });
    checked.collect()
}

/// A warning where a candidate does not fit, since little walking alone does not make a good layout.
pub fn warning(study: &Study, findings: &Findings) -> Option<String> {
    let checked = judged(study, findings);
    let faulty: Vec<String> = (checked.iter().filter(|checked| checked.has_fault()))
        .map(|checked| match checked.faults() {
            1 => format!("1 fault in \"{}\"", checked.candidate.name),
            count => format!("{count} faults in \"{}\"", checked.candidate.name),
        })
        .collect();
    (!faulty.is_empty()).then(|| format!("`shopstride check` finds {}.", faulty.join(", ")))
}
