//! How far the answer depends on where exactly things stand: every station is taken to stand somewhat beside the place
//! that the file gives, and the candidates are compared again.
//!
//! A draw belongs to a station and its place, so that a station which stands at one place in several layouts is off by
//! the same in all of them, and what a draw says of it does not depend on what other stations there are. Nothing stands
//! in a wall or in another thing deeper than it did: what would is drawn again. Where no place is found, or where
//! somebody then cannot stand or get through, the draw is left out, in all layouts, since only what can be walked can be
//! compared.

use rayon::prelude::*;

use super::draws::{AT_ONCE, DRAWS, Standing, count_best, each, play_drawn};
use super::replications::Failure;
use super::{Candidate, Study};
use crate::floor::check::depth_in_others;
use crate::floor::{Placement, Plan, Point, SAME_POINT_M, Site};
use crate::random::Key;
use crate::shop::StationId;

/// A station for which no place is found in so many tries has none.
const TRIES: u64 = 64;

/// In how many draws each candidate, in their order, is the best, and what its figures are over all that count.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacesDoubt {
    /// How far off a place may be, in metres.
    pub within: f64,
    /// Draws that were made, and those of them that are left out.
    pub made: u32,
    pub left_out: u32,
    /// By candidate: the draws in which it has no place for a station, or nobody gets about.
    pub impossible: Vec<u32>,
    pub replications: u32,
    /// Metres.
    pub walking: Vec<Standing>,
    /// Seconds from release to done, as in [`Doubt`](super::Doubt).
    pub lead_time: Vec<Standing>,
}

impl PlacesDoubt {
    /// The draws that count.
    pub fn draws(&self) -> u32 {
        self.made - self.left_out
    }
}

/// Compares the candidates once more for each draw of all places, each within a circle of this radius in metres around
/// the place that the file gives, with the same chance for equal areas. Layouts that say only how far it is stay as they
/// are.
///
/// `progress` is told how many replications have been played since the last call, or need not be, and may be called by
/// any thread.
///
/// # Errors
/// The first replication, by draw and candidate, that gets stuck.
///
/// # Panics
/// If the radius is negative or not finite.
pub fn doubt_places(
    study: &Study,
    within: f64,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<PlacesDoubt, Failure> {
    assert!(
        within >= 0.0 && within.is_finite(),
        "no place can be off by {within} m"
    );
    let count = study.candidates.len();
    let key = Key::from_seed(study.settings.seed).with_name("doubt places");
    let sites: Vec<Option<Site<'_>>> = study.candidates.iter().map(site).collect();
    let mut found = PlacesDoubt {
        within,
        made: DRAWS,
        left_out: 0,
        impossible: vec![0; count],
        replications: each(study),
        walking: vec![Standing::default(); count],
        lead_time: vec![Standing::default(); count],
    };
    let draws: Vec<u32> = (0..DRAWS).collect();
    for draws in draws.chunks((AT_ONCE / count).max(1)) {
        let jobs: Vec<(u32, usize)> = (draws.iter())
            .flat_map(|&draw| (0..count).map(move |candidate| (draw, candidate)))
            .collect();
        let moved: Vec<Option<Candidate>> = (jobs.par_iter())
            .map(|&(draw, index)| {
                let of = &study.candidates[index];
                match &sites[index] {
                    Some(site) => displaced(of, site, within, key.with(u64::from(draw))),
                    None => Some(of.clone()),
                }
            })
            .collect();
        let (mut played, mut candidates) = (Vec::new(), Vec::new());
        for (&draw, of_draw) in draws.iter().zip(moved.chunks(count)) {
            for (impossible, moved) in found.impossible.iter_mut().zip(of_draw) {
                *impossible += u32::from(moved.is_none());
            }
            if of_draw.iter().any(Option::is_none) {
                found.left_out += 1;
                progress(u64::from(found.replications) * count as u64);
                continue;
            }
            played.extend(std::iter::repeat_n(draw, count));
            candidates.extend(of_draw.iter().flatten().cloned());
        }
        let outcomes = play_drawn(study, &played, &candidates, progress)?;
        for draw in outcomes.chunks(count) {
            count_best(&mut found.walking, draw.iter().map(|of| Some(of.walking)));
            count_best(&mut found.lead_time, draw.iter().map(|of| of.lead_time));
        }
    }
    Ok(found)
}

/// Where the stations of a candidate may stand; nothing if it says only how far it is.
fn site(candidate: &Candidate) -> Option<Site<'_>> {
    let plan = candidate.plan.as_ref();
    plan.filter(|plan| plan.places_something())?;
    candidate.site()
}

/// A candidate with every station somewhat beside its place; nothing if one finds no place, or nobody gets about.
fn displaced(candidate: &Candidate, site: &Site<'_>, within: f64, key: Key) -> Option<Candidate> {
    let drawn = candidate.plan.as_ref()?;
    let mut plan = drawn.clone();
    for station in drawn.placements.ids().collect::<Vec<_>>() {
        let Some(place) = drawn.placements[station] else {
            continue;
        };
        // What stands before it in the file has its place.
        let name = &candidate.shop.stations[station].name;
        let key = of_place(key, name, &place);
        let most = depth_in(site, drawn, station, &place) + SAME_POINT_M;
        let tries = (0..TRIES).map(|nth| beside(&place, within, key.with(nth)));
        let mut fits = tries.filter(|place| depth_in(site, &plan, station, place) <= most);
        plan.placements[station] = Some(fits.next()?);
    }
    candidate.on(plan, site)
}

/// How deep a station stands in walls, in things of the room and in the stations before it.
fn depth_in(site: &Site<'_>, plan: &Plan, station: StationId, place: &Placement) -> f64 {
    let before = plan.placements.iter().take(station.index()).flatten();
    depth_in_others(site, place, before)
}

/// The draws of a station at one place, whichever layout has it there.
fn of_place(key: Key, name: &str, place: &Placement) -> Key {
    // Adding 0 makes one of both zeros.
    let of = |key: Key, value: f64| key.with((value + 0.0).to_bits());
    let at = of(of(key.with_name(name), place.at.x), place.at.y);
    of(at, place.turn)
}

/// A place within a circle around another one.
fn beside(place: &Placement, within: f64, key: Key) -> Placement {
    let away = within * key.with(0).uniform().sqrt();
    let angle = std::f64::consts::TAU * key.with(1).uniform();
    let to = Point::new(libm::cos(angle), libm::sin(angle));
    Placement {
        at: place.at + to * away,
        ..*place
    }
}
