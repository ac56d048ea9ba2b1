//! How far the answer depends on guesses: every time that the user gave is taken to be somewhat longer or shorter, the
//! same in all candidates, and the candidates are compared again.
//!
//! What varies is what takes time: setup, time per piece and per lot, what follows from feed speed, passes and surface,
//! teardown and cure of each operation at each station; the time between orders; picking up, putting down, loading
//! and unloading; the speeds of walking, carrying and pushing. What the question is about stays as it is: distances, sizes, counts,
//! due dates, horizon and warm-up. A whole distribution is stretched, so its shape and the quantile of each draw stay.
//!
//! A factor belongs to the place in the file where a time is given, not to the places where it is used: what is given
//! for an operation is off by the same at every station, and what a candidate changes at a place is off as what it
//! replaces. Only several steps of one route may give several times for one operation; these are known by their values,
//! so that taking a step out leaves the others what they are.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::draws::{AT_ONCE, DRAWS, DrawOutcome, Standing, count_best, each, play_drawn};
use super::edit::for_each_work;
use super::replications::Failure;
use super::{Candidate, Study};
use crate::random::{Distribution, Key};
use crate::shop::{Arrivals, Shop};
use crate::units::{Span, Speed};

/// In how many draws each candidate, in their order, is the best, and what its figures are over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// How far off a time may be: with 0.2, up to 1.2 times as long or as short.
    pub share: f64,
    pub draws: u32,
    pub replications: u32,
    /// Metres.
    pub walking: Vec<Standing>,
    /// Seconds from release to done, the mean of the orders done; no candidate counts in a draw in which it finished
    /// none.
    pub lead_time: Vec<Standing>,
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
    let guesses = Guesses::of(study);
    let mut outcomes: Vec<DrawOutcome> = Vec::new();
    let shops: Vec<(u32, usize)> = (0..DRAWS)
        .flat_map(|draw| (0..candidates).map(move |candidate| (draw, candidate)))
        .collect();
    for shops in shops.chunks(AT_ONCE) {
        play(study, &guesses, share, shops, &mut outcomes, progress)?;
    }
    let mut found = Doubt {
        share,
        draws: DRAWS,
        replications,
        walking: vec![Standing::default(); candidates],
        lead_time: vec![Standing::default(); candidates],
    };
    for draw in outcomes.chunks(candidates) {
        count_best(&mut found.walking, draw.iter().map(|of| Some(of.walking)));
        count_best(&mut found.lead_time, draw.iter().map(|of| of.lead_time));
    }
    Ok(found)
}

/// Plays candidates, each with the times of a draw.
fn play(
    study: &Study,
    guesses: &Guesses,
    share: f64,
    shops: &[(u32, usize)],
    outcomes: &mut Vec<DrawOutcome>,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<(), Failure> {
    let settings = &study.settings;
    let stretched: Vec<Candidate> = (shops.par_iter())
        .map(|&(draw, candidate)| {
            let candidate = &study.candidates[candidate];
            let factors = Factors::new(share, settings.seed, draw);
            Candidate {
                name: format!("{}, with other times", candidate.name),
                shop: Arc::new(guesses.stretched(&candidate.shop, factors)),
                ..candidate.clone()
            }
        })
        .collect();
    let draws: Vec<u32> = shops.iter().map(|&(draw, _)| draw).collect();
    outcomes.extend(play_drawn(study, &draws, &stretched, progress)?);
    Ok(())
}

/// The factors of one draw, each by the name of what it stretches.
#[derive(Debug, Clone, Copy)]
struct Factors {
    key: Key,
    log_most: f64,
}

impl Factors {
    fn new(share: f64, seed: u64, draw: u32) -> Factors {
        let key = Key::from_seed(seed).with_name("doubt");
        Factors {
            key: key.with(u64::from(draw)),
            log_most: libm::log1p(share),
        }
    }

    fn of(self, place: Key) -> f64 {
        let place = 2.0 * self.key.with(place.bits()).uniform() - 1.0;
        libm::exp(place * self.log_most)
    }
}

/// A place in the file, by the names that lead to it.
fn place(names: &[&str]) -> Key {
    let root = Key::from_seed(0);
    names.iter().fold(root, |key, name| key.with_name(name))
}

/// What a place says.
#[derive(Debug, Clone, Copy)]
enum GivenValue<'w> {
    Time(&'w Distribution),
    /// A feed speed or an area rate.
    Rate(f64),
}

impl GivenValue<'_> {
    /// Equal values have equal keys: all parameters are written out, and to the last digit.
    fn key(self) -> Key {
        match self {
            GivenValue::Time(time) => Key::of_name(&format!("{time:?}")),
            GivenValue::Rate(rate) => Key::of_name("rate").with(rate.to_bits()),
        }
    }
}

/// A time of the file that may be off. One factor stretches all times that stand at its place in the file, unless several
/// steps of one route have theirs there: then each value has a factor of its own.
#[derive(Debug, Clone, Copy)]
struct Guess<'w> {
    place: Key,
    by_step: bool,
    value: GivenValue<'w>,
}

/// What has to be known of all candidates, so that they share their factors.
#[derive(Debug)]
struct Guesses {
    /// Places at which the steps of one route give several values, in any candidate.
    several: BTreeSet<Key>,
    /// By group of the crew, the group under whose name the factor of its walking speed is drawn.
    walks_like: BTreeMap<String, String>,
}

impl Guesses {
    fn of(study: &Study) -> Guesses {
        let mut several = BTreeSet::new();
        for candidate in &study.candidates {
            let mut values = BTreeMap::new();
            stretch_work(&mut Shop::clone(&candidate.shop), |guess| {
                if guess.by_step {
                    let value = guess.value.key();
                    if *values.entry(guess.place).or_insert(value) != value {
                        several.insert(guess.place);
                    }
                }
                1.0
            });
        }
        Guesses {
            several,
            walks_like: walks_like(study),
        }
    }

    fn stretched(&self, shop: &Shop, factors: Factors) -> Shop {
        let mut shop = shop.clone();
        stretch_work(&mut shop, |guess| {
            let place = guess.place;
            factors.of(if guess.by_step && self.several.contains(&place) {
                place.with(guess.value.key().bits())
            } else {
                place
            })
        });
        for line in shop.orders.ids().collect::<Vec<_>>() {
            let project = shop.orders[line].project;
            let before = shop.orders.iter().take(line.index());
            // Lines of one project are told apart by their place among the lines of that project.
            let nth = before.filter(|other| other.project == project).count();
            let project = &shop.projects[project].name;
            let place = place(&["every", project]).with(nth as u64);
            if let Arrivals::Every { every, .. } = &mut shop.orders[line].arrivals {
                *every = every.scaled(factors.of(place));
            }
        }
        stretch_setups(&mut shop, factors);
        self.stretch_handling(&mut shop, factors);
        shop
    }

    fn stretch_handling(&self, shop: &mut Shop, factors: Factors) {
        let factor = |name: &str| factors.of(place(&["handling", name]));
        let span = |span: Span, name: &str| Span::from_seconds(span.seconds() * factor(name));
        // A speed that is too high by a factor makes times too short by it.
        let speed = |speed: Speed, factor: f64| {
            Speed::from_metres_per_second(speed.metres_per_second() / factor)
        };
        let handling = &mut shop.handling;
        handling.pick_up = span(handling.pick_up, "pick up");
        handling.put_down = span(handling.put_down, "put down");
        handling.loaded_speed = speed(handling.loaded_speed, factor("loaded speed"));
        if let Some(carts) = &mut handling.carts {
            carts.load = span(carts.load, "load");
            carts.unload = span(carts.unload, "unload");
            carts.speed = speed(carts.speed, factor("cart speed"));
        }
        for id in shop.crew.ids().collect::<Vec<_>>() {
            let person = &mut shop.crew[id];
            let group = self.walks_like.get(&person.group).unwrap_or(&person.group);
            let place = place(&["crew", group, "walking speed"]);
            person.walking_speed = speed(person.walking_speed, factors.of(place));
        }
    }
}

/// The times that stations have of their own for setting up from one thing for another.
fn stretch_setups(shop: &mut Shop, factors: Factors) {
    for station in shop.stations.ids() {
        let mut setup_from = std::mem::take(&mut shop.stations[station].setup_from);
        let of_station = place(&["station", &shop.stations[station].name, "setup from"]);
        for row in &mut setup_from {
            let from = of_station.with_name(shop.set_to_name(row.from));
            for (to, time) in &mut row.to {
                *time = time.scaled(factors.of(from.with_name(shop.set_to_name(*to))));
            }
        }
        shop.stations[station].setup_from = setup_from;
    }
}

/// The shop of a candidate with every time off by the factor of the place where it was given.
pub fn doubted(study: &Study, candidate: usize, share: f64, seed: u64, draw: u32) -> Shop {
    let shop = &study.candidates[candidate].shop;
    Guesses::of(study).stretched(shop, Factors::new(share, seed, draw))
}

/// Stretches every time of every work by what `factor` says of the place where it was given.
fn stretch_work(shop: &mut Shop, mut factor: impl FnMut(Guess) -> f64) {
    let operations: Vec<String> = shop.operations.iter().cloned().collect();
    let stations: Vec<String> = shop.stations.iter().map(|s| s.name.clone()).collect();
    let items: Vec<Vec<Key>> = (shop.projects.iter())
        .map(|project| {
            let items = project.items.iter();
            let key = |name: &str| place(&["step", &project.name, name]);
            items.map(|item| key(&item.name)).collect()
        })
        .collect();
    for_each_work(shop, |(project, item, _), choice| {
        let (work, given) = (&mut choice.work, &choice.sources);
        let operation = &operations[work.operation.index()];
        let by_operation = place(&["operation"]);
        let by_station = place(&["station", &stations[choice.station.index()]]);
        let by_step = items[project.index()][item];
        let cure = work.cure.as_mut().map(|cure| &mut cure.time);
        let times = [
            ("setup", given.setup, work.setup.as_mut()),
            ("per piece", given.per_piece, work.per_piece.as_mut()),
            ("per lot", given.per_lot, work.per_lot.as_mut()),
            ("teardown", given.teardown, work.teardown.as_mut()),
            ("cure", given.cure, cure),
        ];
        for (what, level, time) in times {
            let Some(time) = time else {
                continue;
            };
            let place = level.pick(by_operation, by_station, by_step);
            *time = time.scaled(factor(Guess {
                place: place.with_name(operation).with_name(what),
                by_step: level.is_step(),
                value: GivenValue::Time(time),
            }));
        }
        // Sizes make it differ from lot to lot; the speed and the rate behind it are one each.
        let rates = [
            ("feed speed", given.feed, given.feed_speed, given.fed),
            ("area rate", given.surface, given.area_rate, 1.0 - given.fed),
        ];
        let mut by_size = 0.0;
        for (what, level, rate, part) in rates {
            if work.by_size > 0.0 && part > 0.0 {
                let place = level.pick(by_operation, by_station, by_step);
                by_size += work.by_size
                    * part
                    * factor(Guess {
                        place: place.with_name(operation).with_name(what),
                        by_step: level.is_step(),
                        value: GivenValue::Rate(rate),
                    });
            }
        }
        work.by_size = by_size;
    });
}

/// By group of the crew, the group under whose name the factor of its walking speed is drawn: the first of all that walk
/// at the same speed in some candidate, since the speed at which most people walk is given once for all of them.
fn walks_like(study: &Study) -> BTreeMap<String, String> {
    let mut alike: Vec<(BTreeSet<&str>, BTreeSet<u64>)> = Vec::new();
    let people = study.candidates.iter().flat_map(|c| c.shop.crew.iter());
    for person in people {
        let pace = person.walking_speed.metres_per_second().to_bits();
        let (mut names, mut paces) = (BTreeSet::from([&*person.group]), BTreeSet::from([pace]));
        alike.retain_mut(|(others, theirs)| {
            let apart = !others.contains(&*person.group) && !theirs.contains(&pace);
            if !apart {
                names.append(others);
                paces.append(theirs);
            }
            apart
        });
        alike.push((names, paces));
    }
    let mut found = BTreeMap::new();
    for (names, _) in alike {
        let first = names.first().copied().unwrap_or_default();
        found.extend(
            names
                .iter()
                .map(|&name| (name.to_owned(), first.to_owned())),
        );
    }
    found
}
