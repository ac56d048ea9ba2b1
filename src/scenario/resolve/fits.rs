//! Whether all that is ordered can ever be begun: its people are there together while its station may be run, and what is
//! not to be paused fits between two interruptions.

use crate::random::Distribution;
use crate::scenario::fields::Fields;
use crate::scenario::problem::{Bytes, Problem};
use crate::shop::{Choice, Item, Shop, Step, Work};
use crate::units::Span;

/// Reports the first step that no station can ever do, or that lasts longer there, as expected, than any time between two
/// interruptions though it is not to be paused; `None` if there is one.
pub fn all_fits(fields: &Fields, shop: &Shop, spans: &[Bytes]) -> Option<()> {
    for (line, span) in shop.orders.iter().zip(spans) {
        for item in &shop.projects[line.project].items {
            let lot = item.largest_lot(item.pieces * line.together);
            for step in &item.route {
                if let Some(problem) = is_loud_after_hours(shop, item, step, span)
                    .or_else(|| never_begun(shop, item, step, span))
                    .or_else(|| never_ends(shop, item, step, lot, span))
                {
                    fields.sink.report(match fields.entry("sessions") {
                        Some(entry) => problem.also(&entry.key.span, "the sessions stand here"),
                        None => problem,
                    });
                    return None;
                }
            }
        }
    }
    Some(())
}

fn is_loud_after_hours(shop: &Shop, item: &Item, step: &Step, span: &Bytes) -> Option<Problem> {
    let is_loud =
        |choice: &&Choice| choice.work.after_hours && shop.silence(choice.station).is_some();
    let choice = step.choices.iter().find(is_loud)?;
    let name = &shop.operations[choice.work.operation];
    let station = &shop.stations[choice.station].name;
    let what = format!(
        "`{name}` of `{}` goes on after hours, but `{station}` is not to run at some times",
        item.name
    );
    Some(Problem::error(span, what).hint(
        "leave out `after hours` there, or what the station keeps of `quiet` and `rested` (`loud`, `blade`)",
    ))
}

/// The longest that a choice can go on without an interruption, and what is brought for it.
pub(super) fn longest(shop: &Shop, choice: &Choice) -> (Span, Span) {
    let by = shop.interruptions(choice.station, &choice.work);
    let skilled = shop.skilled(choice.work.operation);
    let worked = match choice.work.people {
        0 => shop.longest_stretch(&[None], 1, &by),
        people => shop.longest_stretch(&skilled, people as usize, &by),
    };
    // Whether anything has to be brought to a station that works alone is not known here.
    let brought = match skilled.is_empty() {
        true => worked,
        false => shop.longest_stretch(&skilled, 1, &by),
    };
    (worked, brought)
}

fn never_begun(shop: &Shop, item: &Item, step: &Step, span: &Bytes) -> Option<Problem> {
    let can_begin = |choice: &Choice| {
        let (worked, brought) = longest(shop, choice);
        !worked.is_zero() && !brought.is_zero()
    };
    // Where too few have the skill, that is said elsewhere.
    let has_people = |choice: &&Choice| {
        let work = &choice.work;
        shop.skilled(work.operation).len() >= work.people as usize
    };
    let choice = step.choices.iter().find(has_people)?;
    if step.choices.iter().any(can_begin) {
        return None;
    }
    let name = &shop.operations[choice.work.operation];
    let is_silent = shop.silence(choice.station).is_some();
    let what = format!("`{name}` of `{}` can never be begun", item.name);
    let people = match choice.work.people {
        0 | 1 => "nobody who can do it is ever there".to_owned(),
        people => format!("so many as it takes ({people}) are never there at the same time"),
    };
    Some(match is_silent {
        true => Problem::error(span, what)
            .label(format!(
                "{people} while `{}` may be run",
                shop.stations[choice.station].name
            ))
            .hint("change `hours` under `crew`, `sessions`, `quiet` or `rested`"),
        false => Problem::error(span, what)
            .label(format!("{people} while the shop is open"))
            .hint("change `hours` under `crew`, or `sessions`"),
    })
}

fn never_ends(shop: &Shop, item: &Item, step: &Step, lot: u32, span: &Bytes) -> Option<Problem> {
    let expected = |choice: &Choice| Span::from_seconds(expected(&choice.work, lot));
    let fits =
        |choice: &Choice| choice.work.pausable || expected(choice) <= longest(shop, choice).0;
    if step.choices.iter().any(fits) {
        return None;
    }
    let all = step.choices.iter();
    let shortest = all.clone().map(expected).min()?;
    let longest = all.map(|choice| longest(shop, choice).0).max()?;
    let name = &shop.operations[step.choices.first()?.work.operation];
    let problem = Problem::error(
        span,
        format!(
            "`{name}` of `{}` takes {} and is not to be paused, but no session is that long",
            item.name,
            words(shortest)
        ),
    );
    Some(problem.hint(format!(
        "there are {} to work without a break at the most: write a longer session, a smaller `batch`, or \
         `pausable: true` if it may be left half done",
        words(longest)
    )))
}

/// Setup, run and tear-down of a lot as expected, in seconds.
pub(super) fn expected(work: &Work, pieces: u32) -> f64 {
    let mean = |time: &Option<Distribution>| time.as_ref().map_or(0.0, Distribution::mean);
    mean(&work.setup) + work.expected_run(pieces) + mean(&work.teardown)
}

pub(super) fn words(span: Span) -> String {
    let minutes = span.seconds() / 60.0;
    match minutes {
        short if short < 120.0 => format!("{:.1} min", short),
        long => format!("{:.1} h", long / 60.0),
    }
}
