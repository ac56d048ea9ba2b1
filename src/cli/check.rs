//! `shopstride check`: does it fit?

use rayon::prelude::*;

use super::arguments::CheckOptions;
use super::places::Places;
use super::{Refusal, memory, output, scenario};
use crate::experiment::{
    CHECKED, Candidate, LayoutFindings, Leg, Replications, Study, checked_legs, flow,
};
use crate::floor::{
    Flow, MachineCapacity, Plan, Site, StockSizes, capacities, indoor_ways, machine_ways,
};
use crate::report::charts::{self, Floors, Layout};
use crate::report::check::{Checked, Depth, json, stock_sizes, text, told};
use crate::report::decision::LayoutFit;
use crate::scenario::printable_name;

/// So many ways of pieces through the room are looked for unless all are asked for: each takes some milliseconds.
const MOST_WAYS: usize = 6;

/// Machines come in once, and each takes as long as all pieces together: none unless they are asked for.
const MOST_MACHINES: usize = 0;

/// Checks every layout; returns whether none has a fault.
pub fn check(options: &CheckOptions) -> Result<bool, Refusal> {
    let places = Places::new("check", options.scenario.as_deref())
        .file("--json", &options.json)
        .charts(options.charts.as_deref());
    places.check()?;
    let mut study = scenario::load_to_check(options.scenario.as_deref(), options.quiet)?;
    if options.layout.is_some() {
        let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
        study.candidates = vec![study.candidates.swap_remove(index)];
    }
    study.settings.replications = Replications::Fixed(CHECKED);
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
    places.make_folders()?;
    let legs = checked_legs(&study).map_err(|failure| scenario::stuck(&failure))?;
    let sites = study.sites();
    let layouts = layouts(&study, &sites, &legs);
    let most = match options.ways {
        true => [usize::MAX; 2],
        false => [MOST_WAYS, MOST_MACHINES],
    };
    let checked = checked(&study, &sites, &layouts, &legs, most);
    let depth = Depth {
        details: options.details,
        notes: options.notes,
    };
    let is_told = !output::is_standard_output(&options.json);
    if is_told {
        output::print_exactly(&text(&study, &checked, depth, output::reading_width()))?;
    }
    let whole = |refusal: Refusal| refusal.after_answer(is_told);
    if let Some(folder) = &options.charts {
        let floors = Floors {
            title: &study.title,
            units: study.units,
            layouts: &Layout::all(&layouts, study.units),
        };
        let drawn = &options.drawn;
        let place = (options.scenario.as_deref(), &**folder);
        output::draw(place, options.quiet, || {
            charts::write_floors(&floors, folder, drawn.size(), &drawn.chart_format)
        })
        .map_err(whole)?;
    }
    if let Some(file) = &options.json {
        let text = format!("{:#}\n", json(&study, &checked));
        output::write_or_print(file, &text, options.quiet).map_err(whole)?;
    }
    Ok(!checked.iter().any(Checked::has_fault))
}

/// What the rules have to say of each candidate, whose aisles are judged along the ways that people take; nothing for
/// those that are not drawn.
pub fn layouts(
    study: &Study,
    sites: &[Option<Site<'_>>],
    legs: &[Vec<Leg>],
) -> Vec<Option<LayoutFindings>> {
    let candidates = study.candidates.par_iter().zip(sites).zip(legs);
    let found = candidates.map(|((candidate, site), legs)| {
        LayoutFindings::checked_on(site.as_ref()?, candidate, legs)
    });
    found.collect()
}

/// What was found, in words, how pieces get through the room, and what the machines take.
fn checked<'a>(
    study: &'a Study,
    sites: &[Option<Site<'_>>],
    layouts: &[Option<LayoutFindings>],
    legs: &[Vec<Leg>],
    [most_ways, most_machines]: [usize; 2],
) -> Vec<Checked<'a>> {
    let fits = fits(layouts).into_par_iter().zip(&study.candidates);
    let checked = fits.zip(sites).zip(legs);
    let checked = checked.filter_map(|(((fit, candidate), site), legs)| {
        let (plan, site) = (candidate.plan.as_ref()?, site.as_ref()?);
        let (ways, untried) = indoor_ways(site.premises, plan, most_ways);
        let (machines, machines_untried) = machine_ways(site.premises, plan, most_machines);
        Some(Checked {
            candidate,
            findings: fit?.findings,
            ways,
            untried,
            machines,
            machines_untried,
            takes: takes(site, plan, &flow(legs), stock_sizes(study.units)),
        })
    });
    checked.collect()
}

/// What each machine takes where it is used.
fn takes(site: &Site<'_>, plan: &Plan, flow: &Flow, sizes: StockSizes) -> Vec<MachineCapacity> {
    let mut takes = capacities(site, plan, flow, sizes);
    for (station, floor) in plan.each_rolled_out() {
        let found = capacities(site, &floor, flow, sizes).into_iter();
        takes.extend(found.filter(|takes| takes.station == station));
    }
    takes.sort_by_key(|takes| takes.station);
    takes
}

/// Whether each candidate fits; nothing for those that are not drawn.
pub fn fits(layouts: &[Option<LayoutFindings>]) -> Vec<Option<LayoutFit>> {
    let fits = layouts.iter().map(|layout| {
        let LayoutFindings {
            shop,
            plan,
            findings,
            ..
        } = layout.as_ref()?;
        Some(LayoutFit {
            has_places: plan.places_something(),
            findings: told(shop, plan.room.as_ref(), findings),
        })
    });
    fits.collect()
}
