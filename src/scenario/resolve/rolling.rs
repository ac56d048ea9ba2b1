//! How long it takes to roll things about, and what parks where nobody works.

use crate::floor::Room;
use crate::scenario::fields::Fields;
use crate::scenario::problem::{Problem, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::shop::Rolling;
use crate::units::Span;

/// Reads `roll out` and `roll in` of a station.
pub fn times(station: &Fields) -> Option<Rolling> {
    let time = |key| station.quantity(key, Dimension::Time);
    let (out, back) = (time("roll out"), time("roll in"));
    let missing = match (station.entry("roll out"), station.entry("roll in")) {
        (Some(there), None) => Some((there, "roll in")),
        (None, Some(there)) => Some((there, "roll out")),
        _ => None,
    };
    if let Some((there, key)) = missing {
        let what = format!("nothing says how long it takes to {key}");
        station.sink.report(
            Problem::error(&there.key.span, what)
                .hint("write for example `roll out: 90 s, roll in: 60 s`"),
        );
        return None;
    }
    Some(Rolling {
        out: Span::from_seconds(out?.value),
        back: Span::from_seconds(back?.value),
    })
}

/// Reads `parks` of the sessions: those things of the room stand there only while the shop is shut.
pub fn parks(fields: &Fields, room: Option<&mut Room>) {
    let sink = fields.sink;
    let Some(node) = fields
        .get("sessions")
        .and_then(|sessions| sessions.get("parks"))
    else {
        return;
    };
    let such_as = |_: &str| "[car]".to_owned();
    let named = reader::list_such_as(node, "a list of things", such_as, sink);
    let mut no_things = Vec::new();
    let (blocked, parks) = match room {
        Some(room) => (&mut room.blocked, &mut room.parks),
        None => (&mut no_things, &mut Vec::new()),
    };
    for node in named.unwrap_or_default() {
        let Some(name) = reader::text(node, "a thing of the room", sink) else {
            continue;
        };
        match blocked.iter().position(|thing| thing.name == name) {
            Some(index) => parks.push(blocked.remove(index)),
            None => {
                let hint = "write it under `blocked` of the `room`, for example `blocked: [{name: car, at: [3 m, 3 m], size: [1.8 m, 4.5 m]}]`";
                let names = blocked.iter().map(|thing| &*thing.name);
                let hint =
                    hint_at(name, names.collect::<Vec<&str>>()).unwrap_or_else(|| hint.to_owned());
                sink.report(
                    Problem::error(
                        &node.span,
                        format!("nothing in the room is called `{name}`"),
                    )
                    .hint(hint),
                );
            }
        }
    }
}
