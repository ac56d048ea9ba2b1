//! `shopstride page`: everything in one file for a browser.

use super::arguments::PageOptions;
use super::places::Places;
use super::{Refusal, answer, memory, output, scenario};
use crate::experiment::{Findings, LayoutFindings, Replications, Study, play_timelines};
use crate::report::charts::{Layout, Subject};
use crate::report::decision::{LayoutFit, choose};
use crate::report::page::{NoPage, PageSubject, html};

pub fn page(options: &PageOptions) -> Result<(), Refusal> {
    let played = &options.played;
    let out = Some(options.out.clone());
    let places = Places::new("page", played.scenario.as_deref()).file("--out", &out);
    places.check()?;
    let study = scenario::load_played(played)?;
    let base = scenario::candidate(&study, options.base.as_deref(), "--base")?;
    let beside = match &options.layout {
        Some(name) => Some(scenario::candidate(&study, Some(name), "--layout")?),
        None => None,
    };
    if let Replications::Fixed(count) = study.settings.replications
        && options.replication > count.max(1)
    {
        let replication = options.replication;
        let what = format!("--replication {replication}: there are only {count} runs");
        return Err(Refusal::because(what));
    }
    memory::check(&study, 1)?;
    let findings = scenario::play(&study, base, played)?;
    let sites = study.sites();
    let layouts = LayoutFindings::all(&study, &sites, &findings);
    let (lines, fits) = answer::of(&study, &sites, &findings, &layouts);
    let replication = options.replication - 1;
    let timelines = play_timelines(&study, &findings, base, replication)
        .map_err(|failure| scenario::stuck(&failure))?;
    let subject = PageSubject {
        study: &study,
        charts: Subject {
            findings: &findings,
            answer: &lines,
            timelines: &timelines,
            layouts: &Layout::all(&layouts, study.units),
        },
        layouts: &layouts,
        shown: &shown(&study, &findings, &fits, (base, beside)),
        replication,
    };
    let page = html(&subject).map_err(|error| match error {
        NoPage::Stuck(failure) => scenario::stuck(&failure),
        NoPage::Template(error) => Refusal::because(format!("the page cannot be made: {error}")),
    })?;
    output::write_page(&options.out, &page, "", played.how.quiet)
}

/// The base, and beside it what was asked for, or what the answer speaks of, or else the next one.
fn shown(
    study: &Study,
    findings: &Findings,
    fits: &[Option<LayoutFit>],
    (base, beside): (usize, Option<usize>),
) -> Vec<usize> {
    let chosen = Some(choose(findings, fits).chosen).filter(|&chosen| chosen != base);
    let next = (0..study.candidates.len()).find(|&other| other != base);
    let mut shown = vec![base];
    shown.extend(beside.or(chosen).or(next).filter(|&other| other != base));
    shown
}
