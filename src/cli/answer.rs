//! The answer of a comparison or a run, with all that it takes beside the findings.

use super::check;
use crate::experiment::{
    Candidate, Findings, FirstMove, LayoutFindings, Leg, Rearrangement, Study, check_layout,
    more_takes_longer, quick_look, rearrangement,
};
use crate::floor::{Site, machine_capacities};
use crate::report::check::{Told, stock_sizes, told};
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
    let after_first = match rearrangement {
        Some(Rearrangement::First(first)) if first.mended > 0 => {
            after(candidate(base), &first, legs)
        }
        _ => None,
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
        after_first,
        against_expectation: more_takes_longer(study, findings),
    };
    let mut lines = lines(&grounds);
    lines.extend(left_out::line(study));
    (lines, fits)
}

/// What the rules find in a layout in which one station has been moved.
fn after(base: &Candidate, first: &FirstMove, legs: &[Leg]) -> Option<Vec<Told>> {
    let moved = first.made(base)?;
    let findings = check_layout(&moved, legs)?;
    let room = moved.plan.as_ref().and_then(|plan| plan.room.as_ref());
    Some(told(&moved.shop, room, &findings))
}
