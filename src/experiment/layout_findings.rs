//! What a candidate's floor comes to: the ways that were walked on it, and what the rules find.

use std::sync::Arc;

use rayon::prelude::*;

use super::findings::{CandidateFindings, Findings, Leg};
use super::leg_paths::{LegPath, leg_paths, widths};
use super::legs::checked_in;
use super::near_gaps::ways_on_foot;
use super::other_floors::found_on_other_floors;
use super::possible_ways::possible_ways;
use super::study::{Candidate, Study};
use crate::floor::check::{FeedStrip, MoveJudge, Scene, strips, tell};
use crate::floor::{Finding, Plan, Site};
use crate::shop::Shop;

/// The floor of a candidate that says where things stand, after its runs.
#[derive(Debug, Clone)]
pub struct LayoutFindings {
    /// The candidate's name.
    pub name: String,
    pub shop: Arc<Shop>,
    pub plan: Plan,
    /// Width and depth in metres of the floor in front of an electrical panel that is kept free, for a panel that is no
    /// wider.
    pub before_panels: (f64, f64),
    /// How far behind the operator a saw may throw a piece, in metres.
    pub kickback_m: f64,
    /// Room for the most demanding piece at each station that work is fed through.
    pub strips: Vec<FeedStrip>,
    /// The ways that people took, with mean trips in a replication.
    pub walked: Vec<LegPath>,
    /// What the rules of the floor have to say, in the order of the rules.
    pub findings: Vec<Finding>,
    /// Seconds in a replication that people work at each station.
    pub worked_s: Vec<f64>,
}

impl LayoutFindings {
    /// With the candidate's site and the legs by which the layout is checked. None if the candidate says only how far it
    /// is.
    pub fn of(
        candidate: &Candidate,
        site: &Site<'_>,
        found: &CandidateFindings,
        checked: &[Leg],
    ) -> Option<LayoutFindings> {
        let plan = candidate.plan.as_ref()?;
        let walked = leg_paths(candidate, &found.legs);
        let way = |leg: &Leg| (leg.places, leg.manner);
        let floor = match checked.iter().map(way).eq(found.legs.iter().map(way)) {
            true => look(candidate, plan, site, &walked),
            false => look(candidate, plan, site, &leg_paths(candidate, checked)),
        };
        // What machines do alone, and drying on a rack, keeps nobody there.
        let worked_s = (0..found.stations.len()).map(|station| {
            let at = found.crew.iter();
            at.filter_map(|person| person.working_at.get(station)).sum()
        });
        Some(LayoutFindings {
            worked_s: worked_s.collect(),
            ..LayoutFindings::judged(candidate, plan, walked, floor)
        })
    }

    /// What the rules alone have to say, with the legs by which the layout is checked: nobody's work is counted. None
    /// if the candidate says only how far it is.
    pub fn checked(candidate: &Candidate, checked: &[Leg]) -> Option<LayoutFindings> {
        LayoutFindings::checked_on(&candidate.site()?, candidate, checked)
    }

    /// The same with the candidate's site.
    pub fn checked_on(
        site: &Site<'_>,
        candidate: &Candidate,
        checked: &[Leg],
    ) -> Option<LayoutFindings> {
        let plan = candidate.plan.as_ref()?;
        let walked = leg_paths(candidate, checked);
        let floor = look(candidate, plan, site, &walked);
        Some(LayoutFindings::judged(candidate, plan, walked, floor))
    }

    fn judged(
        candidate: &Candidate,
        plan: &Plan,
        walked: Vec<LegPath>,
        (findings, strips): (Vec<Finding>, Vec<FeedStrip>),
    ) -> LayoutFindings {
        let Candidate { shop, limits, .. } = candidate;
        LayoutFindings {
            name: candidate.name.clone(),
            shop: Arc::clone(shop),
            plan: plan.clone(),
            before_panels: (limits.panel_width, limits.panel_depth),
            kickback_m: limits.kickback,
            strips,
            walked,
            findings,
            worked_s: Vec::new(),
        }
    }

    /// Of all candidates, in their order, with the [`sites`](Study::sites) of the study; nothing for those that say only
    /// how far it is.
    pub fn all(
        study: &Study,
        sites: &[Option<Site<'_>>],
        findings: &Findings,
    ) -> Vec<Option<LayoutFindings>> {
        let checked = checked_in(study, findings);
        let candidates = study.candidates.par_iter().zip(sites);
        let all = candidates.zip(&findings.candidates).zip(checked);
        let found = all.map(|(((candidate, site), found), checked)| {
            LayoutFindings::of(candidate, site.as_ref()?, found, &checked)
        });
        found.collect()
    }
}

/// What the rules of the floor have to say about a candidate whose aisles are judged along these legs, in the order of
/// the rules. None if the candidate says only how far it is.
pub fn check_layout(candidate: &Candidate, checked: &[Leg]) -> Option<Vec<Finding>> {
    let (plan, site) = (candidate.plan.as_ref()?, candidate.site()?);
    Some(look(candidate, plan, &site, &leg_paths(candidate, checked)).0)
}

/// What the rules have to say of the floor, and the strips along which work is fed.
fn look(
    candidate: &Candidate,
    plan: &Plan,
    site: &Site<'_>,
    ways: &[LegPath],
) -> (Vec<Finding>, Vec<FeedStrip>) {
    let possible = possible_ways(candidate, plan, ways);
    let all: Vec<LegPath> = ways.iter().cloned().chain(possible).collect();
    let walked = widths(candidate, &all);
    let on_foot = ways_on_foot(plan, &all);
    let moves = MoveJudge::new(site, plan);
    let mut scene = Scene::new(site, plan, &walked);
    scene.moves = Some(&moves);
    scene.ways = &on_foot;
    if let Some(paths) = &candidate.paths {
        scene.lend_person(paths.space());
        scene.lend_joined(paths.joined());
    }
    let mut findings = tell(&scene);
    findings.extend(found_on_other_floors(
        candidate,
        plan,
        site,
        (&all, &findings),
    ));
    (findings, strips(&scene))
}
