//! The engine beside the second reading, on shops that keep hours and in which work stops for more than the night.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::second_reading::play::Stuck;
use crate::second_reading::result::Outcome;
use crate::support::assert_none_differs;

/// What the second reading knows and the engine does not, by how a file that has it is refused.
const NOT_YET: &[&str] = &["`door` is not a key of the sessions"];

/// What comes of a shop, by whichever plays it.
#[derive(Debug, PartialEq)]
pub struct Played {
    pub outcome: Outcome,
    /// Shop time and sessions that the orders of a project take together.
    pub by_project: BTreeMap<String, (i128, u64)>,
    pub open_us: i64,
    /// Tasks that fitted nowhere.
    pub forced: u64,
    /// By station: with a lot in a unit on which nobody works.
    pub blocked_us: Vec<i64>,
    /// By station: with a lot in a unit, while its people are away or it must not be run.
    pub left_standing_us: Vec<i64>,
    /// By person: while the shop is open.
    pub away_us: Vec<i64>,
    /// By station: while what has worn or filled up is seen to.
    pub serviced_us: Vec<i64>,
    /// By kind of gear: each piece while it is taken.
    pub gear_us: Vec<i128>,
    /// Lots that were put on the floor, since nothing else could go on.
    pub put_aside: u64,
}

/// By the second reading. A shop that is always open has one session that never ends, which is none to the engine.
pub fn read(yaml: &str, layout: &str) -> Result<Played, Stuck> {
    let has_sessions = yaml.contains("sessions");
    let (outcome, hours) = crate::second_reading::play_or_stuck(yaml, layout)?;
    let mut by_project = BTreeMap::<String, (i128, u64)>::new();
    for (order, of) in outcome.orders.iter().zip(&hours.orders) {
        let sums = by_project.entry(order.project.clone()).or_default();
        let (time, sessions) = of.unwrap_or_default();
        let sessions = if has_sessions { sessions } else { 0 };
        *sums = (sums.0 + i128::from(time), sums.1 + sessions);
    }
    Ok(Played {
        outcome,
        by_project,
        open_us: hours.open_us,
        forced: hours.forced,
        blocked_us: hours.blocked_us,
        left_standing_us: hours.left_standing_us,
        away_us: hours.away_us,
        serviced_us: hours.serviced_us,
        gear_us: hours.gear_us,
        put_aside: hours.put_aside,
    })
}

/// By the engine; nothing of a shop with keys that it does not know yet.
pub fn simulated(yaml: &str, layout: &str) -> Option<Result<Played, Stuck>> {
    let study = match shopstride::scenario::load("scenario.yaml", yaml.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => {
            let said = problems.render(false);
            let is_known = NOT_YET.iter().any(|why| said.contains(why));
            assert!(is_known, "{said}\n{yaml}");
            return None;
        }
    };
    let (outcome, record, study) = match super::play_or_stuck(study, layout) {
        Ok(played) => played,
        Err(stuck) => return Some(Err(where_stuck(&stuck))),
    };
    let candidate = study.candidates.iter().find(|one| one.name == layout);
    let projects = &candidate.expect("the layout is there").shop.projects;
    let mut by_project = BTreeMap::new();
    for order in &outcome.orders {
        by_project.entry(order.project.clone()).or_default();
    }
    for (project, of) in projects.iter().zip(&record.projects) {
        if let Some(sums) = by_project.get_mut(&project.name) {
            *sums = (of.in_shop_time(), of.sessions);
        }
    }
    Some(Ok(Played {
        outcome,
        by_project,
        open_us: record.end.micros(),
        forced: record.forced,
        blocked_us: (record.stations.iter())
            .map(|station| station.blocked.micros())
            .collect(),
        left_standing_us: (record.stations.iter())
            .map(|station| station.left_standing.micros())
            .collect(),
        away_us: (record.crew.iter())
            .map(|person| person.away.micros())
            .collect(),
        serviced_us: (record.stations.iter())
            .map(|station| station.serviced.micros())
            .collect(),
        gear_us: record.gear.iter().map(|gear| gear.taken).collect(),
        put_aside: record.put_aside,
    }))
}

/// What the engine says of a run that cannot go on, as the second reading does. It names why: whoever could bring what runs
/// alone is always there too late.
fn where_stuck(stuck: &shopstride::engine::Stuck) -> Stuck {
    assert!(
        stuck
            .waiting
            .iter()
            .any(|waiting| waiting.too_late.is_some())
            && !stuck.endless,
        "nobody says why: {stuck:?}"
    );
    let mut waiting = BTreeMap::new();
    for of in &stuck.waiting {
        *waiting.entry(of.station.clone()).or_default() += of.lots as u64;
    }
    Stuck {
        at_us: stuck.at.micros(),
        waiting,
    }
}

/// How many shops somebody who has the time wants to be played: as many as `SHOPS` in the environment says.
pub fn shops_asked_for() -> u64 {
    let shops = std::env::var("SHOPS").ok();
    let shops = shops.and_then(|shops| shops.parse().ok());
    shops.unwrap_or(24_000)
}

/// Of so many drawn shops one may get stuck: what runs alone is to take longer than it ever has when somebody could bring
/// it, but by so little that nobody knows before it is played.
const PLAYED_FOR_ONE_STUCK: u64 = 2000;

/// Plays the shops that a generator draws with these seeds, as far as the engine knows all of their keys, and fails if any
/// comes out otherwise. Gives what came of them, with their seeds; neither can finish those few that are left out, and both
/// say so at the same moment, with the same lots waiting at the same stations.
pub fn compare(
    draw: impl Fn(u64) -> String + Sync,
    layout: &str,
    seeds: std::ops::Range<u64>,
) -> Vec<(u64, Played)> {
    let played: Vec<_> = (seeds.into_par_iter())
        .filter_map(|seed| {
            let yaml = draw(seed);
            let found = simulated(&yaml, layout)?;
            Some((seed, read(&yaml, layout), found, yaml))
        })
        .collect();
    let compared = played.len() as u64;
    let (same, differ): (Vec<_>, Vec<_>) =
        (played.into_iter()).partition(|(_, expected, found, _)| expected == found);
    let differ: Vec<_> = differ
        .into_iter()
        .map(|(seed, expected, found, yaml)| (seed, yaml, found, expected))
        .collect();
    assert_none_differs(&differ, compared);
    let mut finished = Vec::new();
    let mut stuck = Vec::new();
    for (seed, _, found, _) in same {
        match found {
            Ok(played) => finished.push((seed, played)),
            Err(_) => stuck.push(seed),
        }
    }
    if !stuck.is_empty() {
        println!("neither can finish {stuck:?}");
    }
    assert!(
        stuck.len() as u64 <= compared.div_ceil(PLAYED_FOR_ONE_STUCK),
        "{} of {compared} shops get stuck: {stuck:?}",
        stuck.len()
    );
    finished
}
