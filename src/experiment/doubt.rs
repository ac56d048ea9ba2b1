//! How far the answer depends on guesses: every time that the user gave is taken to be somewhat longer or shorter, the
//! same in all candidates, and the candidates are compared again.
//!
//! What varies is what takes time: setup, time per piece and per lot, what follows from feed speed, passes and surface,
//! tear-down and cure of each operation at each station; the time between orders; picking up, putting down, loading
//! and unloading; the speeds of walking, carrying and pushing. What sets the question stays: distances, sizes, counts,
//! due dates, horizon and warm-up. A whole distribution is stretched, so its shape and its luck stay.

use rayon::prelude::*;

use super::edit::for_each_work;
use super::run::replicate;
use super::{Candidate, Failure, Replications, Study};
use crate::engine::Prepared;
use crate::random::{Distribution, Key};
use crate::shop::{Arrivals, Shop};
use crate::statistics::Summary;
use crate::units::{Span, Speed};

/// So many draws of all times.
pub const DRAWS: u32 = 100;

/// Replications of each candidate in each draw, at most. They share their luck, and each draw has its own, so that few
/// are enough.
pub const REPLICATIONS: u32 = 10;

/// In how many draws each candidate, in their order, is the best; candidates that tie are best together.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// How far off a time may be: with 0.2, up to 1.2 times as long or as short.
    pub share: f64,
    pub draws: u32,
    pub replications: u32,
    /// Least walking.
    pub walking: Vec<u32>,
    /// Shortest mean lead time of the orders done; no candidate counts in a draw in which it finished none.
    pub lead_time: Vec<u32>,
}

/// Means over the replications of one draw.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    walking: f64,
    lead_time: Option<f64>,
}

/// How many replications are played in all.
pub fn doubt_replications(study: &Study) -> u64 {
    u64::from(DRAWS) * u64::from(each(study)) * study.candidates.len() as u64
}

fn each(study: &Study) -> u32 {
    let varies = study.candidates.iter().any(|c| c.shop.varies());
    match study.settings.replications {
        _ if !varies => 1,
        Replications::Fixed(count) => count.min(REPLICATIONS),
        Replications::Precision(_) => REPLICATIONS,
    }
}

/// Compares the candidates once more for each draw of all times, each by a factor between 1 / (1 + share) and
/// 1 + share whose logarithm is uniform.
///
/// `progress` is told how many replications have been played since the last call, and may be called by any thread.
///
/// # Errors
/// The first replication, by draw and candidate, that gets stuck.
///
/// # Panics
/// If the share is negative or not finite.
pub fn doubt(study: &Study, share: f64, progress: &(dyn Fn(u64) + Sync)) -> Result<Doubt, Failure> {
    assert!(
        share >= 0.0 && share.is_finite(),
        "no time can be off by {share}"
    );
    let candidates = study.candidates.len();
    let replications = each(study);
    let outcomes: Vec<Result<Outcome, Failure>> = (0..DRAWS as usize * candidates)
        .into_par_iter()
        .map(|job| {
            let draw = (job / candidates) as u32;
            let outcome = play(study, &study.candidates[job % candidates], share, draw);
            progress(u64::from(replications));
            outcome
        })
        .collect();
    let outcomes: Vec<Outcome> = outcomes.into_iter().collect::<Result<_, _>>()?;
    let mut found = Doubt {
        share,
        draws: DRAWS,
        replications,
        walking: vec![0; candidates],
        lead_time: vec![0; candidates],
    };
    for draw in outcomes.chunks(candidates) {
        count_best(&mut found.walking, draw.iter().map(|of| Some(of.walking)));
        count_best(&mut found.lead_time, draw.iter().map(|of| of.lead_time));
    }
    Ok(found)
}

fn count_best(counts: &mut [u32], values: impl Iterator<Item = Option<f64>> + Clone) {
    let Some(least) = values.clone().flatten().reduce(f64::min) else {
        return;
    };
    for (count, value) in counts.iter_mut().zip(values) {
        *count += u32::from(value == Some(least));
    }
}

fn play(study: &Study, candidate: &Candidate, share: f64, draw: u32) -> Result<Outcome, Failure> {
    let settings = &study.settings;
    let candidate = Candidate {
        name: format!("{}, with other times", candidate.name),
        shop: doubted(&candidate.shop, share, settings.seed, draw),
        ..candidate.clone()
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let (mut walking, mut lead_time) = (Summary::new(), Summary::new());
    let replications = each(study);
    for replication in draw * replications..(draw + 1) * replications {
        let record = replicate(settings, &candidate, &prepared, replication, false)?.record;
        walking.add(record.walking().metres());
        lead_time.extend(record.mean_lead_time());
    }
    Ok(Outcome {
        walking: walking.mean().unwrap_or(0.0),
        lead_time: lead_time.mean(),
    })
}

/// The factors of one draw, each by the name of what it stretches.
#[derive(Debug, Clone, Copy)]
struct Factors {
    key: Key,
    log_most: f64,
}

impl Factors {
    fn of(self, names: &[&str], nth: usize) -> f64 {
        let key = names.iter().fold(self.key, |key, name| key.with_name(name));
        let place = 2.0 * key.with(nth as u64).uniform() - 1.0;
        libm::exp(place * self.log_most)
    }
}

/// The times of one operation at one station that have been met, by the name of their key.
type Met = Vec<(String, &'static str, Vec<Distribution>)>;

/// A shop in which every time is off by a factor of its own.
///
/// A time is known by where it stands: operation, station and key, and whether it is the first, second … different
/// value there, since a step of a route may have a time of its own. So a time that many steps share is off by the same
/// in all of them, and in all candidates, whatever its value there.
pub fn doubted(shop: &Shop, share: f64, seed: u64, draw: u32) -> Shop {
    let key = Key::from_seed(seed).with_name("doubt");
    let factors = Factors {
        key: key.with(u64::from(draw)),
        log_most: libm::log1p(share),
    };
    let mut shop = shop.clone();
    let operations: Vec<String> = shop.operations.iter().cloned().collect();
    let stations: Vec<String> = shop.stations.iter().map(|s| s.name.clone()).collect();
    let mut met: Met = Vec::new();
    for_each_work(&mut shop, |(_, _, _, station), work| {
        let operation = &operations[work.operation.index()];
        let station = &stations[station.index()];
        let cure = work.cure.as_mut().map(|cure| &mut cure.time);
        let times = [
            ("setup", work.setup.as_mut()),
            ("per piece", work.per_piece.as_mut()),
            ("per lot", work.per_lot.as_mut()),
            ("teardown", work.teardown.as_mut()),
            ("cure", cure),
        ];
        for (what, time) in times {
            let Some(time) = time else {
                continue;
            };
            let nth = nth_value(&mut met, &format!("{operation}\n{station}"), what, time);
            *time = time.scaled(factors.of(&["work", operation, station, what], nth));
        }
        // Sizes make it differ from lot to lot; the speed or rate behind it is one.
        work.by_size *= factors.of(&["work", operation, station, "by size"], 0);
    });
    for line in shop.orders.ids().collect::<Vec<_>>() {
        let project = shop.orders[line].project;
        let before = shop.orders.iter().take(line.index());
        // Lines of one project are told apart by their place among the lines of that project.
        let nth = before.filter(|other| other.project == project).count();
        let project = shop.projects[project].name.clone();
        if let Arrivals::Every { every, .. } = &mut shop.orders[line].arrivals {
            *every = every.scaled(factors.of(&["every", &project], nth));
        }
    }
    stretch_handling(&mut shop, factors);
    shop
}

/// Which of the different values of a time this is, counted from 0 in the order of the file.
fn nth_value(met: &mut Met, place: &str, what: &'static str, time: &Distribution) -> usize {
    let index = met
        .iter()
        .position(|(at, key, _)| at == place && *key == what);
    let index = index.unwrap_or_else(|| {
        met.push((place.to_owned(), what, Vec::new()));
        met.len() - 1
    });
    let values = &mut met[index].2;
    values
        .iter()
        .position(|value| value == time)
        .unwrap_or_else(|| {
            values.push(time.clone());
            values.len() - 1
        })
}

fn stretch_handling(shop: &mut Shop, factors: Factors) {
    let span = |span: Span, name: &str| {
        Span::from_seconds(span.seconds() * factors.of(&["handling", name], 0))
    };
    // A speed that is too high by a factor makes times too short by it.
    let speed = |speed: Speed, names: &[&str]| {
        Speed::from_metres_per_second(speed.metres_per_second() / factors.of(names, 0))
    };
    let handling = &mut shop.handling;
    handling.pick_up = span(handling.pick_up, "pick up");
    handling.put_down = span(handling.put_down, "put down");
    handling.loaded_speed = speed(handling.loaded_speed, &["handling", "loaded speed"]);
    if let Some(carts) = &mut handling.carts {
        carts.load = span(carts.load, "load");
        carts.unload = span(carts.unload, "unload");
        carts.speed = speed(carts.speed, &["handling", "cart speed"]);
    }
    // Whoever walks at the same speed does so for the same reason: the speed was given once for all of them.
    let mut paces: Vec<Speed> = Vec::new();
    for person in shop.crew.ids().collect::<Vec<_>>() {
        let pace = &mut shop.crew[person].walking_speed;
        let nth = paces
            .iter()
            .position(|other| other == pace)
            .unwrap_or_else(|| {
                paces.push(*pace);
                paces.len() - 1
            });
        let factor = factors.of(&["handling", "walking speed"], nth);
        *pace = Speed::from_metres_per_second(pace.metres_per_second() / factor);
    }
}
