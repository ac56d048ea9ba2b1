//! Work that runs alone and must not be interrupted, but has to be brought by somebody who is never there early enough.

use super::fits::{expected, words};
use crate::floor::{Distances, Manner};
use crate::scenario::problem::{Bytes, Problem};
use crate::shop::{Choice, Item, ItemKind, PlaceId, Project, Shop};
use crate::units::Span;

/// The first step of a project that waits for ever: whatever station does it, whoever can bring it is there only when less
/// time is left than it is expected to take, though the shop is open for longer at some time.
pub fn never_brought(
    shop: &Shop,
    walks: &Distances,
    (project, together): (&Project, u32),
    span: &Bytes,
) -> Option<Problem> {
    for item in &project.items {
        let lot = item.largest_lot(item.pieces.saturating_mul(together));
        for (number, step) in item.route.iter().enumerate() {
            let things = things(project, item, number);
            let late = |choice| too_late(shop, walks, choice, (&things, lot));
            let all: Option<Vec<WaitsForEver>> = step.choices.iter().map(late).collect();
            if let Some(least) = all.and_then(|all| all.into_iter().min_by_key(|one| one.takes)) {
                return Some(told(shop, item, &least, span));
            }
        }
    }
    None
}

/// What takes longer than there ever is when somebody could bring it.
struct WaitsForEver<'a> {
    choice: &'a Choice,
    takes: Span,
    left: Span,
}

fn told(shop: &Shop, item: &Item, late: &WaitsForEver, span: &Bytes) -> Problem {
    let work = &late.choice.work;
    let name = &shop.operations[work.operation];
    let (takes, left) = (words(late.takes), words(late.left));
    let problem = Problem::error(
        span,
        format!(
            "`{name}` of `{}` takes {takes}, and nobody is there to bring it when it can run for so long",
            item.name
        ),
    )
    .label(format!("{left} at the most are left then"));
    problem.hint(match work.pausable {
        false => {
            "it needs nobody but is not to be paused: write longer `hours` under `crew`, a smaller `batch`, or \
             `pausable: true` if it may be left half done"
        }
        true => {
            "it needs nobody but is not begun where silence would interrupt it: write longer `hours` under `crew`, a \
             smaller `batch`, or change `quiet` and `rested`"
        }
    })
}

/// Where each of the things may lie that are brought together for a step; nowhere if that is not known.
fn things(project: &Project, item: &Item, number: usize) -> Vec<Vec<PlaceId>> {
    if let Some(before) = number.checked_sub(1) {
        let choices = item.route[before].choices.iter();
        return vec![choices.map(Choice::place).collect()];
    }
    match &item.kind {
        ItemKind::Assembly { made_of } => {
            let inputs = made_of.iter().map(|input| &project.items[input.index()]);
            inputs.map(lies_when_done).collect()
        }
        _ => vec![project.begins_at(item)],
    }
}

fn lies_when_done(input: &Item) -> Vec<PlaceId> {
    match input.deliver_to {
        Some(place) => vec![place],
        None => input.ends_at(),
    }
}

fn too_late<'a>(
    shop: &Shop,
    walks: &Distances,
    choice: &'a Choice,
    (things, lot): (&[Vec<PlaceId>], u32),
) -> Option<WaitsForEver<'a>> {
    let work = &choice.work;
    if work.people > 0 || work.after_hours {
        return None;
    }
    let here = choice.place();
    let stored = work.gear.iter().map(|(gear, _)| shop.gear[*gear].stored_at);
    let mut fetched = stored.chain([work.fetch_from]).flatten();
    let brought: Option<f64> = (things.iter())
        .filter_map(|places| least_carry(shop, walks, places, here))
        .reduce(|one, other| one + other);
    if brought.is_none() && !fetched.any(|place| !shop.is_at(place, here)) {
        return None;
    }
    let by = shop.interruptions(choice.station, work);
    let skilled = shop.skilled(work.operation);
    let left = shop.longest_begun_by(&skilled, &by);
    let takes = Span::from_seconds(brought.unwrap_or(0.0) + expected(work, lot));
    let waits = !left.is_zero() && takes > left && left < shop.longest_stretch(&[None], 1, &by);
    waits.then_some(WaitsForEver {
        choice,
        takes,
        left,
    })
}

/// Seconds that it takes at least to carry something here from where it may lie; nothing if it may lie here, or if nobody
/// has to carry it.
fn least_carry(shop: &Shop, walks: &Distances, places: &[PlaceId], here: PlaceId) -> Option<f64> {
    let handling = &shop.handling;
    let lifting = handling.pick_up.seconds() + handling.put_down.seconds();
    let least = |from: &PlaceId| {
        let carried = walks.distance(Manner::Carrying, *from, here).metres();
        if shop.is_at(*from, here) || lifting <= 0.0 && carried <= 0.0 {
            return None;
        }
        let by_hand = lifting + carried / handling.loaded_speed.metres_per_second();
        let by_cart = handling.carts.as_ref().map_or(by_hand, |carts| {
            let pushed = walks.distance(Manner::Pushing, *from, here).metres();
            (carts.load + carts.unload).seconds() + pushed / carts.speed.metres_per_second()
        });
        Some(by_hand.min(by_cart))
    };
    let all: Option<Vec<f64>> = places.iter().map(least).collect();
    all?.into_iter().reduce(f64::min)
}
