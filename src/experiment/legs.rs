//! The legs that people walk: of all replications for the figures, and of the same few ones for every check.

use std::borrow::Cow;
use std::ops::ControlFlow;

use super::findings::{Findings, Leg};
use super::replications::{Failure, Player, Replication};
use super::{Candidate, Replications, Settings, Study};
use crate::floor::Manner;
use crate::shop::PlaceId;

/// Replications that show which ways people take, for the checks of aisles.
pub const CHECKED: u32 = 5;

/// Trips of some replications, by manner and places, as legs; means over `runs` replications.
pub(super) fn legs_of(candidate: &Candidate, trips: &[u64], runs: f64) -> Vec<Leg> {
    let places = candidate.walks.places();
    let name = |place: PlaceId| candidate.shop.place_name(place).to_owned();
    let mut legs: Vec<Leg> = Vec::new();
    for from in 0..places {
        for to in 0..places {
            for manner in Manner::ALL {
                // Nothing is pushed where there is no cart.
                let pair = (manner as usize * places + from) * places + to;
                let trips = trips.get(pair).copied().unwrap_or(0);
                if trips == 0 {
                    continue;
                }
                let (row, column) = (PlaceId(from as u32), PlaceId(to as u32));
                let length = candidate.walks.distance(manner, row, column);
                let trips = trips as f64 / runs;
                let metres = trips * length.metres();
                let ends = (candidate.walks.place_of(from), candidate.walks.place_of(to));
                // What is rolled out is the same place as what is parked.
                let is_same = |leg: &&mut Leg| leg.places == ends && leg.manner == manner;
                if (row, column) != ends
                    && let Some(leg) = legs.iter_mut().find(is_same)
                {
                    leg.trips += trips;
                    leg.metres += metres;
                    continue;
                }
                legs.push(Leg {
                    from: name(ends.0),
                    to: name(ends.1),
                    places: ends,
                    manner,
                    trips,
                    metres,
                });
            }
        }
    }
    legs.sort_by_key(|leg| (leg.places, leg.manner));
    legs
}

/// The legs by which each layout is checked: those of the first few replications with the usual seed, so that every
/// command finds the same faults, however often and with whatever seed it plays.
///
/// # Errors
/// The first of these replications that gets stuck.
pub fn checked_legs(study: &Study) -> Result<Vec<Vec<Leg>>, Failure> {
    let candidates = &study.candidates;
    let settings = Settings {
        seed: Settings::default().seed,
        replications: Replications::Fixed(CHECKED),
        ..study.settings
    };
    let runs = if study.varies() { CHECKED } else { 1 };
    // Whatever is not drawn has nothing to check.
    let drawn = |candidate: &usize| candidates[*candidate].plan.is_some();
    let jobs = (0..candidates.len()).filter(drawn);
    let jobs = jobs.flat_map(|candidate| (0..runs).map(move |nth| (candidate, nth)));
    let mut trips: Vec<Vec<u64>> = vec![Vec::new(); candidates.len()];
    let player = Player::new(&settings, candidates, &|_| ());
    let add = |(candidate, _): (usize, u32), of_one: Vec<u64>| {
        let sums = &mut trips[candidate];
        sums.resize(of_one.len(), 0);
        sums.iter_mut()
            .zip(of_one)
            .for_each(|(sum, trips)| *sum += trips);
        ControlFlow::Continue(())
    };
    let at_once = runs as usize * candidates.len();
    let of = |replication: Replication| replication.record.trips;
    player
        .play(jobs, at_once, of, add)
        .map_err(|(_, failure)| failure)?;
    let legs = candidates.iter().zip(&trips);
    let legs = legs.map(|(candidate, trips)| match trips.is_empty() {
        true => Vec::new(),
        false => legs_of(candidate, trips, f64::from(runs)),
    });
    Ok(legs.collect())
}

/// The same, taken from what has been played where that began with the same replications. Where one of them gets
/// stuck, which `check` says, those of the runs themselves will do.
pub(super) fn checked_in<'f>(study: &Study, findings: &'f Findings) -> Vec<Cow<'f, [Leg]>> {
    let usual = study.settings.seed == Settings::default().seed;
    let known = !findings.varies || (usual && findings.replications >= CHECKED);
    let played = || {
        let found = findings.candidates.iter();
        found.map(|found| Cow::Borrowed(&found.checked_legs[..]))
    };
    if known {
        return played().collect();
    }
    match checked_legs(study) {
        Ok(legs) => legs.into_iter().map(Cow::Owned).collect(),
        Err(_) => played().collect(),
    }
}
