//! The answer of a comparison or a run, with all that it takes beside the findings.

use super::check;
use crate::experiment::{Findings, LayoutFindings, Study, quick_look, rearrangement};
use crate::floor::{Site, machine_capacities};
use crate::report::check::stock_sizes;
use crate::report::decision::{Grounds, LayoutFit, choose, lines};
use crate::report::{Line, left_out};

/// The lines of the answer, and whether each candidate fits; with the sites of the study.
pub fn of(
    study: &Study,
    sites: &[Option<Site<'_>>],
    findings: &Findings,
    layouts: &[Option<LayoutFindings>],
) -> (Vec<Line>, Vec<Option<LayoutFit>>) {
    let fits = check::fits(layouts);
    let choice = choose(findings, &fits);
    let (base, chosen) = (choice.base, choice.chosen);
    let help = quick_look(study, chosen, findings);
    let candidate = |index: usize| &study.candidates[index];
    let legs = &findings.candidates[base].legs;
    let rearrangement = match base == chosen {
        true => None,
        false => rearrangement(candidate(base), candidate(chosen), legs),
    };
    let mut told = vec![base, chosen];
    told.dedup();
    let takes = told.into_iter().filter_map(|index| {
        let (site, plan) = (sites[index].as_ref()?, candidate(index).plan.as_ref()?);
        let sizes = stock_sizes(study.units);
        Some((index, machine_capacities(site, plan, sizes)))
    });
    let takes: Vec<_> = takes.collect();
    let grounds = Grounds {
        study,
        findings,
        fits: &fits,
        choice,
        help: help.as_ref(),
        takes: &takes,
        rearrangement,
    };
    let mut lines = lines(&grounds);
    lines.extend(left_out::line(study));
    (lines, fits)
}
