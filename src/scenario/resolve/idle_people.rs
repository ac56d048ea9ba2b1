//! People who are there for hours of their own, and for whom nothing that they can do ends in time.

use super::fits::{expected, longest, words};
use crate::scenario::fields::Fields;
use crate::scenario::problem::Problem;
use crate::shop::{Choice, Item, OrderLine, PersonId, Shop};
use crate::units::Span;

/// Work that somebody can do, and that lasts longer than this person is there.
struct TooLong<'a> {
    operation: &'a str,
    item: &'a str,
    takes: Span,
    /// The longest that the person is there for it without an interruption.
    there: Span,
}

/// Warns of everybody who stands idle though there is work: all of it is expected to take longer than they are there for,
/// and waits for somebody who is there for longer.
pub fn warn(fields: &Fields, shop: &Shop) {
    let entries = fields.named("crew").unwrap_or_default();
    for entry in entries {
        let mut alike = shop.crew.enumerate();
        let Some((person, _)) = alike.find(|(_, one)| one.group == entry.key.text) else {
            continue;
        };
        let Some(least) = all_too_long(shop, person) else {
            continue;
        };
        let (name, takes) = (&entry.key.text, words(least.takes));
        let what =
            format!("nothing that `{name}` can do is expected to end while `{name}` is there");
        fields.sink.report(
            Problem::warning(&entry.key.span, what)
                .label(format!("there for {} at a time", words(least.there)))
                .hint(format!(
                    "`{}` of `{}` takes {takes}, and so it waits for others: write longer `hours`, a smaller `batch`, or \
                     other work under `can`",
                    least.operation, least.item
                )),
        );
    }
}

/// Of the work that a person with hours of their own can do, what takes least, if all of it takes too long; nothing if
/// some does not, or there is none.
fn all_too_long(shop: &Shop, person: PersonId) -> Option<TooLong<'_>> {
    shop.crew[person].hours.as_ref()?;
    let mut least: Option<TooLong<'_>> = None;
    for line in &shop.orders {
        for item in &shop.projects[line.project].items {
            for choice in item.route.iter().flat_map(|step| &step.choices) {
                if !shop.crew[person].can_do(choice.work.operation) {
                    continue;
                }
                let too_long = too_long(shop, (line, item), choice, person)?;
                if least
                    .as_ref()
                    .is_none_or(|least| too_long.takes < least.takes)
                {
                    least = Some(too_long);
                }
            }
        }
    }
    least
}

/// As the engine has it: work is begun by whoever is there until it ends, or for as long as so many ever are.
fn too_long<'a>(
    shop: &'a Shop,
    (line, item): (&OrderLine, &'a Item),
    choice: &Choice,
    person: PersonId,
) -> Option<TooLong<'a>> {
    let by = shop.interruptions(choice.station, &choice.work);
    let there = shop.longest_stretch(&[Some(person)], 1, &by);
    let takes = Span::from_seconds(expected(&choice.work, smallest_lot(line, item)));
    // What runs alone needs somebody only to bring it, and that somebody is never there at all is said elsewhere.
    let is_asked = choice.work.people > 0 && !there.is_zero();
    let waits = is_asked && takes > there && there < longest(shop, choice).0;
    waits.then(|| TooLong {
        operation: &shop.operations[choice.work.operation],
        item: &item.name,
        takes,
        there,
    })
}

/// Pieces of the smallest lot of an item in an order, the last one where batches do not come out even.
fn smallest_lot(line: &OrderLine, item: &Item) -> u32 {
    let pieces = item.pieces.saturating_mul(line.together);
    let largest = item.largest_lot(pieces);
    match pieces % largest.max(1) {
        0 => largest,
        rest => rest,
    }
}
