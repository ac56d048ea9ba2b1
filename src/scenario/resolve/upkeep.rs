//! What wears or fills up at a station.

use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapKey, YamlNode};
use crate::shop::{PlaceId, Shop, Upkeep, WearLimit};
use crate::units::{Chips, Length, Span};

/// An upkeep of the file.
pub struct DeclaredUpkeep<'a> {
    pub name: &'a MapKey,
    pub every: WearLimit,
    every_at: &'a Bytes,
    pub time: Span,
    pub fetch_from: Option<PlaceId>,
    pub shared: Option<&'a str>,
}

/// Reads `upkeep` of a station.
pub fn read<'a>(fields: &Fields<'a>, places: &Names) -> Vec<DeclaredUpkeep<'a>> {
    let sink = fields.sink;
    let entries = fields.named("upkeep").unwrap_or_default().iter();
    let read = entries.filter_map(|entry| {
        let given = Fields::open(&entry.node, &entry.key.span, &keys::UPKEEP, sink)?;
        let every = given.get("every").and_then(|node| limit(node, sink));
        let time = given.quantity("time", Dimension::Time);
        let from = given.get("fetch from");
        let from = from.map(|node| places.find(node, sink));
        let shared = given.get("shared");
        let shared = shared.map(|node| reader::text(node, "the name of what is shared", sink));
        Some(DeclaredUpkeep {
            name: &entry.key,
            every: every?,
            every_at: &given.get("every")?.span,
            time: Span::from_seconds(time?.value),
            fetch_from: match from {
                Some(place) => Some(PlaceId(place? as u32)),
                None => None,
            },
            shared: match shared {
                Some(name) => Some(name?),
                None => None,
            },
        })
    });
    read.collect()
}

/// A time or a length.
fn limit(node: &YamlNode, sink: &Sink) -> Option<WearLimit> {
    let given = reader::text(
        node,
        "a time, a length or a volume, such as 2 h, 400 ft or 60 l,",
        sink,
    )?;
    let time = Dimension::Time.read(given).ok();
    let length = Dimension::Length.read(given).ok();
    let volume = Dimension::Volume.read(given).ok();
    let limit = match (time, length, volume) {
        (Some(seconds), ..) => Some(WearLimit::RunTime(Span::from_seconds(seconds))),
        (_, Some(metres), _) => Some(WearLimit::Length(Length::from_metres(metres))),
        (.., Some(volume)) => Some(WearLimit::Chips(Chips::from_cubic_metres(volume))),
        (None, None, None) => None,
    };
    let problem = match limit {
        Some(
            WearLimit::RunTime(Span::ZERO)
            | WearLimit::Length(Length::ZERO)
            | WearLimit::Chips(Chips::NONE),
        ) => Problem::error(&node.span, "after nothing at all it would always be due"),
        Some(limit) => return Some(limit),
        None => Problem::error(
            &node.span,
            format!("`{given}` is neither a time, a length nor a volume"),
        ),
    };
    sink.report(
        problem.hint(
            "write for example 2 h of run time, 400 ft that are fed through, or 60 l of chips",
        ),
    );
    None
}

/// What stations share, by name.
#[derive(Default)]
pub struct SharedUpkeep<'a> {
    met: Vec<(&'a str, WearLimit, &'a Bytes)>,
}

impl<'a> SharedUpkeep<'a> {
    /// The upkeep of a station. Reports limits of one thing that differ.
    pub fn resolve(&mut self, declared: &[DeclaredUpkeep<'a>], sink: &Sink) -> Vec<Upkeep> {
        let all = declared.iter();
        all.map(|upkeep| Upkeep {
            name: upkeep.name.text.clone(),
            every: upkeep.every,
            time: upkeep.time,
            fetch_from: upkeep.fetch_from,
            shared: upkeep.shared.map(|name| self.number(name, upkeep, sink)),
        })
        .collect()
    }

    fn number(&mut self, name: &'a str, upkeep: &DeclaredUpkeep<'a>, sink: &Sink) -> u32 {
        if let Some(nth) = self.met.iter().position(|&(met, ..)| met == name) {
            let (_, every, before) = self.met[nth];
            if every != upkeep.every {
                let what =
                    format!("`{name}` is one thing, but its stations do not agree on `every`");
                sink.report(
                    Problem::error(upkeep.every_at, what)
                        .also(before, "here it is another limit")
                        .hint("write the same at all stations that share it"),
                );
            }
            return nth as u32;
        }
        self.met.push((name, upkeep.every, upkeep.every_at));
        (self.met.len() - 1) as u32
    }
}

/// Warns of what never fills with chips, since nothing that is ordered says how much wood is taken off at any station that
/// fills it.
pub fn warn_if_never_full(stations: &[&[DeclaredUpkeep]], shop: &Shop, sink: &Sink) {
    let leaves_chips = |station: usize| {
        let mut work = shop.ordered_work();
        work.any(|(at, work)| at.index() == station && work.chips > Chips::NONE)
    };
    let is_worked_at = |station: usize| {
        let mut work = shop.ordered_work();
        work.any(|(at, _)| at.index() == station)
    };
    for (number, station) in stations.iter().enumerate() {
        for upkeep in *station {
            if !matches!(upkeep.every, WearLimit::Chips(_)) || !is_worked_at(number) {
                continue;
            }
            let shares = |other: &[DeclaredUpkeep]| {
                let mut all = other.iter();
                upkeep.shared.is_some() && all.any(|one| one.shared == upkeep.shared)
            };
            let mut others = stations.iter().enumerate();
            let is_filled = leaves_chips(number)
                || others.any(|(other, one)| shares(one) && leaves_chips(other));
            if !is_filled {
                sink.report(
                    Problem::warning(
                        upkeep.every_at,
                        "it never fills: no size says how much wood is taken off",
                    )
                    .hint(
                        "give the parts `rough` and `finished` sizes and the operations `cuts`, or write a time or a \
                         length here",
                    ),
                );
            }
        }
    }
}
