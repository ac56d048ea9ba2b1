//! Checks that need both the shop and its walks: that a run ends, and that no sum overflows.

use super::MOST_LOTS;
use super::brought::never_brought;
use super::orders::expected_orders;
use super::shop::Built;
use crate::experiment::Settings;
use crate::floor::{Distances, Manner};
use crate::scenario::problem::{Problem, Sink};
use crate::shop::{Arrivals, Item, ItemKind, PlaceId, Project, Shop, Work};

/// Seconds of work in one replication: far more than any shop does, and far less than overflows.
const MOST_SECONDS: f64 = 1e12;

/// Metres walked in one replication; whole nanometres in 64 bits end at nine times as much.
const MOST_METRES: f64 = 1e9;

/// Anything shorter may round to 0, since time is counted in whole microseconds.
const NOTICEABLE_SECONDS: f64 = 1e-5;

/// Reports why this shop cannot be played on these walks, if it cannot.
pub fn candidate(built: &Built, shop: &Shop, walks: &Distances, settings: &Settings, sink: &Sink) {
    let places = used_places(built);
    let longest = longest(walks, &places);
    let handling = &shop.handling;
    let free = longest <= 0.0 && handling.pick_up.is_zero() && handling.put_down.is_zero();
    if !free {
        for (span, name) in &built.unattended {
            sink.report(
                Problem::error(span, format!("nobody who can do `{name}` could bring a lot to it"))
                    .hint("the station works alone, but somebody with the skill carries the lots; add one to `crew`"),
            );
        }
    }
    let horizon = settings.until.map(|until| until.seconds());
    let (mut seconds, mut metres, mut endless_seconds) = (0.0, 0.0, 0.0);
    for (line, span) in shop.orders.iter().zip(&built.order_spans) {
        let project = &shop.projects[line.project];
        if shop.crew.is_empty() && project.items.iter().any(|item| item.deliver_to.is_some()) {
            sink.report(
                Problem::error(
                    span,
                    format!("there is nobody to deliver `{}`", project.name),
                )
                .hint("add somebody to `crew`, or leave `deliver to` out"),
            );
        }
        if let Some(problem) = never_brought(shop, walks, (project, line.together), span) {
            sink.report(problem);
        }
        let (work, walked) = largest(shop, project, line.together, longest);
        if let Some(orders) = expected_orders(line, horizon) {
            seconds += orders * work;
            metres += orders * walked;
            if let (Arrivals::Every { every, first, .. }, None) = (&line.arrivals, horizon) {
                endless_seconds +=
                    first.map_or(0.0, |first| first.seconds()) + orders * every.mean();
            }
        } else if let Arrivals::InProgress { count } = line.arrivals {
            seconds += f64::from(count) * work;
            if !takes_time(shop, project, walks, free) {
                sink.report(
                    Problem::error(
                        span,
                        format!(
                            "`{}` takes no time, so a new one would follow at once for ever",
                            project.name
                        ),
                    )
                    .hint("give one of its operations a duration"),
                );
            } else if let Some(horizon) = horizon {
                let least: f64 = least_steps(shop, project, walks).sum();
                let units: u32 = shop.stations.iter().map(|station| station.count).sum();
                let rate = f64::from(count.min(units.max(1))) / least;
                let lots = project.items.len() as f64;
                if least > 0.0 && horizon * rate * lots > MOST_LOTS as f64 {
                    sink.report(
                        Problem::error(span, format!("about {:.0} lots of `{}` would be built in each run; at most {MOST_LOTS} are accepted", horizon * rate * lots, project.name))
                            .hint("shorten the horizon"),
                    );
                }
            }
        }
        if seconds * shop.calendar.stretch() + endless_seconds > MOST_SECONDS {
            sink.report(
                Problem::error(
                    span,
                    "up to here the orders could take more than 1e12 s (30 000 years) in one run",
                )
                .hint("order less, or lower the durations and distances"),
            );
            return;
        }
    }
    let fastest = speeds(shop).fold(0.0, f64::max);
    let in_progress = shop
        .orders
        .iter()
        .any(|line| matches!(line.arrivals, Arrivals::InProgress { .. }));
    let by_time = horizon.map_or(f64::INFINITY, |horizon| {
        horizon * fastest * shop.crew.len() as f64
    });
    let most = if in_progress {
        by_time
    } else {
        by_time.min(metres)
    };
    if most > MOST_METRES
        && longest > 0.0
        && let Some(span) = built.order_spans.first()
    {
        sink.report(
            Problem::error(
                span,
                "people could walk more than a million kilometres in one run",
            )
            .hint("order less, shorten the horizon, or lower the distances"),
        );
    }
}

fn used_places(built: &Built) -> Vec<PlaceId> {
    let used = built.used.iter().enumerate().filter(|(_, used)| **used);
    used.map(|(place, _)| PlaceId(place as u32)).collect()
}

/// All speeds at which somebody moves, in metres per second.
fn speeds(shop: &Shop) -> impl Iterator<Item = f64> + '_ {
    let empty = shop.crew.iter().map(|person| person.walking_speed);
    let carts = shop.handling.carts.iter().map(|carts| carts.speed);
    let all = empty.chain([shop.handling.loaded_speed]).chain(carts);
    all.map(|speed| speed.metres_per_second())
}

/// The longest walk in metres.
fn longest(walks: &Distances, places: &[PlaceId]) -> f64 {
    let mut longest = 0.0;
    for &from in places {
        for &to in places {
            longest = f64::max(longest, walks.distance(Manner::Empty, from, to).metres());
        }
    }
    longest
}

/// Seconds and metres that one order may take, one thing after the other, with one piece in each carry.
fn largest(shop: &Shop, project: &Project, together: u32, longest: f64) -> (f64, f64) {
    let handling = &shop.handling;
    let slowest = speeds(shop).fold(f64::INFINITY, f64::min);
    let cart = handling
        .carts
        .as_ref()
        .map_or(0.0, |carts| carts.load.seconds() + carts.unload.seconds());
    let each_carry = handling.pick_up.seconds() + handling.put_down.seconds() + cart;
    let carry = 2.0 * longest / slowest + each_carry;
    let (mut seconds, mut metres) = (0.0, 0.0);
    for item in &project.items {
        let pieces = u64::from(item.pieces) * u64::from(together);
        let lots = item.lots(pieces) as f64;
        let moved = moved_pieces(project, item, together);
        let sound: f64 = item
            .route
            .iter()
            .map(|step| {
                1.0 - step
                    .choices
                    .iter()
                    .map(|c| c.work.spoils)
                    .fold(0.0, f64::max)
            })
            .product();
        let mut own = 0.0;
        for step in &item.route {
            let work = step
                .choices
                .iter()
                .map(|choice| most_time(&choice.work, pieces as f64, lots));
            let fetched: usize = step
                .choices
                .iter()
                .map(|c| c.work.gear.len() + 1)
                .max()
                .unwrap_or(1);
            let trips = moved + lots * (fetched + 1) as f64;
            own += work.fold(0.0, f64::max) + trips * carry;
            metres += trips * 2.0 * longest / sound;
        }
        seconds += own / sound + moved * carry;
        metres += moved * 2.0 * longest;
    }
    (seconds, metres)
}

fn moved_pieces(project: &Project, item: &Item, together: u32) -> f64 {
    let pieces = match &item.kind {
        ItemKind::Material { .. } | ItemKind::Part { .. } => u64::from(item.pieces),
        ItemKind::Assembly { made_of } => {
            made_of
                .iter()
                .map(|input| u64::from(project.items[input.index()].pieces))
                .sum::<u64>()
                + u64::from(item.pieces)
        }
    };
    pieces as f64 * f64::from(together)
}

fn most_time(work: &Work, pieces: f64, lots: f64) -> f64 {
    let mean = |d: &Option<crate::random::Distribution>| d.as_ref().map_or(0.0, |d| d.mean());
    let each_lot = mean(&work.setup) + mean(&work.per_lot) + mean(&work.teardown);
    let cure = work.cure.as_ref().map_or(0.0, |cure| cure.time.mean());
    lots * (each_lot + cure) + pieces * (mean(&work.per_piece) + work.by_size)
}

/// Seconds that each step of one order takes at least: its station has no other lot before they are over, the
/// tear-down among them.
fn least_steps<'a>(
    shop: &'a Shop,
    project: &'a Project,
    walks: &'a Distances,
) -> impl Iterator<Item = f64> + 'a {
    let fastest = speeds(shop).fold(0.0, f64::max);
    let steps = project
        .items
        .iter()
        .flat_map(|item| item.route.iter().map(move |step| (item, step)));
    steps.map(move |(item, step)| {
        let work = step.choices.iter().map(|choice| {
            let work = &choice.work;
            let cure = work.cure.as_ref();
            let cure = cure.map_or(0.0, |cure| cure.time.mean());
            let teardown = work.teardown.as_ref().map_or(0.0, |time| time.mean());
            let fetching = fetching(shop, work, choice.place(), walks, fastest);
            work.expected_run(item.pieces) + cure + teardown + fetching
        });
        work.fold(f64::INFINITY, f64::min)
    })
}

/// Seconds that it takes at least to bring what has to be fetched for each lot, while its station waits for it.
fn fetching(shop: &Shop, work: &Work, at: PlaceId, walks: &Distances, fastest: f64) -> f64 {
    let stored = work.gear.iter().map(|(gear, _)| shop.gear[*gear].stored_at);
    let places = stored.chain([work.fetch_from]).flatten();
    let handling = shop.handling.pick_up.seconds() + shop.handling.put_down.seconds();
    let elsewhere = places.filter(|place| !shop.is_at(*place, at));
    elsewhere
        .map(|place| walks.distance(Manner::Empty, place, at).metres() / fastest + handling)
        .fold(0.0, f64::max)
}

/// Whether every order of the project takes some time, wherever its work is done.
fn takes_time(shop: &Shop, project: &Project, walks: &Distances, free: bool) -> bool {
    if least_steps(shop, project, walks).any(|seconds| seconds >= NOTICEABLE_SECONDS) {
        return true;
    }
    if free {
        return false;
    }
    let lifting = !shop.handling.pick_up.is_zero() || !shop.handling.put_down.is_zero();
    let fastest = speeds(shop).fold(0.0, f64::max);
    let far =
        |a, b| walks.distance(Manner::Carrying, a, b).metres() >= fastest * NOTICEABLE_SECONDS;
    let moves = |from: &[PlaceId], to: &[PlaceId]| {
        let mut pairs = from.iter().flat_map(|&a| to.iter().map(move |&b| (a, b)));
        pairs.all(|(a, b)| a != b && (lifting || far(a, b)))
    };
    project.items.iter().any(|item| {
        let mut here = project.begins_at(item);
        let mut somewhere = !here.is_empty();
        let stops = item
            .route
            .iter()
            .map(|step| {
                step.choices
                    .iter()
                    .map(|choice| choice.place())
                    .collect::<Vec<PlaceId>>()
            })
            .chain(item.deliver_to.map(|place| vec![place]));
        for next in stops {
            if somewhere && moves(&here, &next) {
                return true;
            }
            here = next;
            somewhere = true;
        }
        false
    })
}
