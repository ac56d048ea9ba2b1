//! What an operation takes: its keys in three layers, and the work that comes of them for one item.

use super::MOST_PIECES;
use super::pieces::Cutting;
use crate::random::Distribution;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, Fields, Measured, Names};
use crate::scenario::tree::Value;
use crate::scenario::{keys, problem::hint_at};
use crate::shop::{Cure, GearId, OperationId, PlaceId, Work};

/// One layer of the keys of an operation. What is not given is left to the layer below.
#[derive(Debug, Clone, Default)]
pub struct Spec {
    setup: Option<Distribution>,
    teardown: Option<Distribution>,
    per_piece: Option<Distribution>,
    per_lot: Option<Distribution>,
    feed: Option<Measured>,
    along_width: Option<bool>,
    passes: Option<Passes>,
    faces: Option<u64>,
    area_rate: Option<Measured>,
    people: Option<u32>,
    cure: Option<CureSpec>,
    gear: Option<Vec<(GearId, u32)>>,
    fetch_from: Option<PlaceId>,
    pausable: Option<bool>,
    spoils: Option<Measured>,
    cuts: Option<Vec<usize>>,
}

#[derive(Debug, Clone)]
enum Passes {
    Number(f64),
    Depth(Measured),
}

#[derive(Debug, Clone)]
struct CureSpec {
    time: Distribution,
    ties_up: Option<Vec<(Tie, Bytes, String)>>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Tie {
    Station,
    Gear(GearId),
}

/// The sizes of an item, as far as they are given.
pub struct Sizes {
    pub name: String,
    pub is_assembly: bool,
    pub rough: Option<[Measured; 3]>,
    pub finished: Option<[Measured; 3]>,
    /// What it is cut from, and what it becomes.
    pub cutting: Cutting,
    /// Whether a size is there that could not be read, which has been reported.
    pub unreadable: bool,
    /// Finished surface of one piece in square metres, or the size that is missing for it; empty if that
    /// has been reported.
    pub surface: Result<f64, String>,
}

impl Spec {
    /// Reads one layer.
    pub fn read(fields: &Fields, places: &Names, gear: &Names) -> Spec {
        let sink = fields.sink;
        let mut passes = None;
        if let Some(node) = fields.get("passes") {
            passes = reader::number(node, sink)
                .filter(|&number| {
                    let possible = number > 0.0 && number <= 1e6;
                    if !possible {
                        sink.report(
                            Problem::error(&node.span, format!("{number} passes make no sense"))
                                .hint("write a number above 0, at most 1e6"),
                        );
                    }
                    possible
                })
                .map(Passes::Number);
        }
        if let Some(entry) = fields.entry("depth per pass") {
            if let Some(other) = fields.entry("passes") {
                sink.report(
                    Problem::error(&entry.key.span, "the number of passes is given twice")
                        .also(&other.key.span, "here it is a number")
                        .hint("give either `passes` or `depth per pass`"),
                );
            }
            passes = fields
                .quantity("depth per pass", Dimension::Length)
                .filter(|depth| {
                    if depth.value < 1e-9 {
                        sink.report(
                            Problem::error(&depth.span, "a depth per pass of 0 never gets there")
                                .hint("write for example 1/16 in"),
                        );
                    }
                    depth.value >= 1e-9
                })
                .map(Passes::Depth);
        }
        Spec {
            setup: fields.duration("setup"),
            teardown: fields.duration("teardown"),
            per_piece: fields.duration("per piece"),
            per_lot: fields.duration("per lot"),
            feed: fields.quantity("feed speed", Dimension::Speed),
            along_width: fields
                .get("along")
                .and_then(|node| reader::one_of(node, &["length", "width"], sink))
                .map(|index| index == 1),
            passes,
            faces: fields.whole("faces", 1, 2),
            area_rate: fields.quantity("area rate", Dimension::AreaRate),
            people: fields.whole("people", 0, 1000).map(|people| people as u32),
            cure: read_cure(fields, gear),
            gear: read_gear(fields, gear),
            fetch_from: fields
                .get("fetch from")
                .and_then(|node| places.find(node, sink))
                .map(|place| PlaceId(place as u32)),
            pausable: fields
                .get("pausable")
                .and_then(|node| reader::flag(node, sink)),
            spoils: read_spoils(fields),
            cuts: read_cuts(fields),
        }
    }

    /// This layer on top of another one, key by key.
    pub fn over(&self, below: &Spec) -> Spec {
        let upper = self.clone();
        let below = below.clone();
        Spec {
            setup: upper.setup.or(below.setup),
            teardown: upper.teardown.or(below.teardown),
            per_piece: upper.per_piece.or(below.per_piece),
            per_lot: upper.per_lot.or(below.per_lot),
            feed: upper.feed.or(below.feed),
            along_width: upper.along_width.or(below.along_width),
            passes: upper.passes.or(below.passes),
            faces: upper.faces.or(below.faces),
            area_rate: upper.area_rate.or(below.area_rate),
            people: upper.people.or(below.people),
            cure: upper.cure.or(below.cure),
            gear: upper.gear.or(below.gear),
            fetch_from: upper.fetch_from.or(below.fetch_from),
            pausable: upper.pausable.or(below.pausable),
            spoils: upper.spoils.or(below.spoils),
            cuts: upper.cuts.or(below.cuts),
        }
    }

    /// Tells at which level each time of a work was given, where this is what the step says and `station` what the
    /// station says.
    pub fn tell_levels(&self, station: &Spec, work: &mut Work) {
        let level = |gives: fn(&Spec) -> bool| Work::level(gives(self), gives(station));
        let given = &mut work.given;
        given.setup = level(|spec| spec.setup.is_some());
        given.per_piece = level(|spec| spec.per_piece.is_some());
        given.per_lot = level(|spec| spec.per_lot.is_some());
        given.teardown = level(|spec| spec.teardown.is_some());
        given.cure = level(|spec| spec.cure.is_some());
        // Passes and faces are counts, and as sure as sizes: what is guessed is the speed.
        given.feed = level(|spec| spec.feed.is_some());
        given.surface = level(|spec| spec.area_rate.is_some());
    }

    /// The sizes of a piece that it brings one stage further: 0 length, 1 width, 2 thickness.
    pub fn cuts(&self) -> &[usize] {
        self.cuts.as_deref().unwrap_or_default()
    }

    /// The work on an item. `at` is where the route names the operation.
    pub fn work(
        &self,
        operation: (OperationId, &str),
        sizes: &Sizes,
        at: &Bytes,
        gear_names: &Names,
        sink: &Sink,
    ) -> Option<Work> {
        let gear = self.gear.clone().unwrap_or_default();
        let mut seconds_by_size = [0.0; 2];
        let mut by_size_explained = Vec::new();
        let mut complete = true;
        let found = [
            self.feeding(operation.1, sizes, at, sink),
            self.surfacing(operation.1, sizes, at, sink),
        ];
        for (part, found) in seconds_by_size.iter_mut().zip(found) {
            match found {
                Ok(Some((seconds, explained))) => {
                    *part = seconds;
                    by_size_explained.push(explained);
                }
                Ok(None) => {}
                Err(Reported) => complete = false,
            }
        }
        if self.feed.is_none() && (self.passes.is_some() || self.faces.is_some()) {
            sink.report(
                Problem::warning(
                    at,
                    format!(
                        "passes of `{}` mean nothing without a feed speed",
                        operation.1
                    ),
                )
                .hint("add `feed speed`, or leave `passes`, `depth per pass` and `faces` out"),
            );
        }
        let spoils = self.spoils.as_ref().map_or(0.0, |spoils| spoils.value);
        if spoils > 0.0 && sizes.is_assembly {
            sink.report(
                Problem::error(
                    at,
                    format!(
                        "`{}` spoils pieces, but `{}` is an assembly",
                        operation.1, sizes.name
                    ),
                )
                .hint("only pieces of parts can be made again; write `spoils: 0` in this step"),
            );
            complete = false;
        }
        let cure = match &self.cure {
            Some(spec) if spec.time.mean() > 0.0 => {
                Some(spec.build(&gear, gear_names, operation.1, sink))
            }
            _ => None,
        };
        let positive =
            |duration: &Option<Distribution>| duration.clone().filter(|d| d.mean() > 0.0);
        let [fed, surfaced] = seconds_by_size;
        let by_size = fed + surfaced;
        let mut work = Work {
            operation: operation.0,
            setup: positive(&self.setup),
            per_piece: positive(&self.per_piece),
            per_lot: positive(&self.per_lot),
            by_size,
            by_size_explained,
            teardown: positive(&self.teardown),
            people: self.people.unwrap_or(1),
            cure,
            gear,
            fetch_from: self.fetch_from,
            pausable: self.pausable.unwrap_or(true),
            spoils,
            along_width: self.along_width.unwrap_or(false),
            given: Default::default(),
        };
        let value = |rate: &Option<Measured>| rate.as_ref().map_or(0.0, |rate| rate.value);
        work.given.feed_speed = value(&self.feed);
        work.given.area_rate = value(&self.area_rate);
        work.given.fed = if by_size > 0.0 { fed / by_size } else { 0.0 };
        complete.then_some(work)
    }

    /// Seconds that the feed takes for each piece.
    fn feeding(
        &self,
        operation: &str,
        sizes: &Sizes,
        at: &Bytes,
        sink: &Sink,
    ) -> Result<Option<(f64, String)>, Reported> {
        let Some(feed) = &self.feed else {
            return Ok(None);
        };
        let along_width = self.along_width.unwrap_or(false);
        let which = if along_width { "width" } else { "length" };
        let (size, kind) = if sizes.is_assembly {
            (&sizes.finished, "finished")
        } else {
            (&sizes.rough, "rough")
        };
        let Some(size) = size else {
            if sizes.unreadable {
                return Err(Reported);
            }
            return Err(missing(
                operation,
                at,
                &format!("the {kind} {which} of `{}`", sizes.name),
                kind,
                sink,
            ));
        };
        let fed = &size[usize::from(along_width)];
        let passes = self.count_passes(operation, sizes, at, sink)?;
        let seconds = fed.value * passes / feed.value;
        let times = if passes == 1.0 {
            String::new()
        } else {
            format!(" × {} passes", short(passes))
        };
        let explained = format!("{}{times} ÷ {} = {}", fed.text, feed.text, time(seconds));
        Ok(Some((seconds, explained)))
    }

    fn count_passes(
        &self,
        operation: &str,
        sizes: &Sizes,
        at: &Bytes,
        sink: &Sink,
    ) -> Result<f64, Reported> {
        let faces = self.faces.unwrap_or(1) as f64;
        let depth = match &self.passes {
            None => return Ok(faces),
            Some(Passes::Number(number)) => return Ok(number * faces),
            Some(Passes::Depth(depth)) => depth,
        };
        let (Some(rough), Some(finished)) = (&sizes.rough, &sizes.finished) else {
            if sizes.unreadable {
                return Err(Reported);
            }
            if sizes.is_assembly {
                sink.report(
                    Problem::error(
                        at,
                        format!("`{operation}` needs a rough thickness, which the assembly `{}` has not", sizes.name),
                    )
                    .hint("write the number of `passes` in this step"),
                );
                return Err(Reported);
            }
            let key = if sizes.rough.is_none() {
                "rough"
            } else {
                "finished"
            };
            let what = format!("the {key} thickness of `{}`", sizes.name);
            return Err(missing(operation, at, &what, key, sink));
        };
        let removed = rough[2].value - finished[2].value;
        if removed < 0.0 {
            sink.report(
                Problem::error(
                    &finished[2].span,
                    format!("`{}` is thicker when finished than when rough", sizes.name),
                )
                .also(&rough[2].span, "rough")
                .hint(format!(
                    "`{operation}` takes wood away: sizes are length, width, thickness"
                )),
            );
            return Err(Reported);
        }
        // The small allowance keeps 1/4 in by 1/16 in at 4 passes in spite of rounding.
        let passes = (removed / depth.value - 1e-6).ceil().max(1.0);
        if passes > 1e6 {
            sink.report(
                Problem::error(
                    &depth.span,
                    format!("`{}` would need {passes} passes", sizes.name),
                )
                .hint("at most 1e6 passes are accepted; write a larger depth per pass"),
            );
            return Err(Reported);
        }
        Ok(passes * faces)
    }

    /// Seconds that the surface takes for each piece.
    fn surfacing(
        &self,
        operation: &str,
        sizes: &Sizes,
        at: &Bytes,
        sink: &Sink,
    ) -> Result<Option<(f64, String)>, Reported> {
        let Some(rate) = &self.area_rate else {
            return Ok(None);
        };
        let surface = match &sizes.surface {
            Ok(surface) => *surface,
            Err(what) if what.is_empty() => return Err(Reported),
            Err(what) => return Err(missing(operation, at, what, "finished", sink)),
        };
        let seconds = surface / rate.value;
        let area_unit = rate
            .text
            .trim_start_matches(|c: char| !c.is_alphabetic())
            .split('/')
            .next()
            .unwrap_or("m2");
        let unit = Dimension::Area
            .read(&format!("1 {area_unit}"))
            .unwrap_or(1.0);
        let of = if sizes.is_assembly {
            "surface of its parts"
        } else {
            "surface"
        };
        let explained = format!(
            "{of} {} {area_unit} ÷ {} = {}",
            short(surface / unit),
            rate.text,
            time(seconds)
        );
        Ok(Some((seconds, explained)))
    }
}

/// A problem that has been told already.
struct Reported;

fn missing(operation: &str, at: &Bytes, what: &str, key: &str, sink: &Sink) -> Reported {
    sink.report(
        Problem::error(
            at,
            format!("`{operation}` needs {what}, which is not given"),
        )
        .hint(format!("add `{key}: [length, width, thickness]`")),
    );
    Reported
}

impl CureSpec {
    fn build(&self, gear: &[(GearId, u32)], names: &Names, operation: &str, sink: &Sink) -> Cure {
        let all = || gear.iter().map(|&(id, _)| id).collect();
        let Some(ties) = &self.ties_up else {
            return Cure {
                time: self.time.clone(),
                ties_up_station: true,
                ties_up_gear: all(),
            };
        };
        let mut ties_up_gear = Vec::new();
        for (tie, span, name) in ties {
            let Tie::Gear(id) = *tie else { continue };
            if gear.iter().any(|&(taken, _)| taken == id) {
                ties_up_gear.push(id);
            } else {
                let taken = gear.iter().map(|&(id, _)| names.name(id.index()));
                sink.report(
                    Problem::warning(
                        span,
                        format!("the cure ties up `{name}`, which `{operation}` does not take"),
                    )
                    .hint(
                        hint_at(name, taken.collect::<Vec<_>>()).unwrap_or_else(|| {
                            format!("add `gear: {{{name}: 1}}` to the operation")
                        }),
                    ),
                );
            }
        }
        Cure {
            time: self.time.clone(),
            ties_up_station: ties.iter().any(|(tie, ..)| *tie == Tie::Station),
            ties_up_gear,
        }
    }
}

fn read_cure(fields: &Fields, gear: &Names) -> Option<CureSpec> {
    let entry = fields.entry("cure")?;
    let sink = fields.sink;
    let cure = Fields::open(&entry.node, &entry.key.span, &keys::CURE, sink)?;
    let ties_up = cure.get("ties up").and_then(|node| {
        let items = reader::list(node, "a list such as [station, clamps]", sink)?;
        let mut ties = Vec::new();
        for item in items {
            let Some(name) = reader::text(item, "`station` or the name of some gear", sink) else {
                continue;
            };
            let tie = if name == "station" {
                Tie::Station
            } else {
                match gear.index(name) {
                    Some(index) => Tie::Gear(GearId(index as u32)),
                    None => {
                        let known = ["station"].into_iter();
                        let all = known.chain((0..gear.len()).map(|i| gear.name(i)));
                        sink.report(
                            Problem::error(
                                &item.span,
                                format!("a cure can tie up `station` and gear, not `{name}`"),
                            )
                            .maybe_hint(hint_at(name, all.collect::<Vec<_>>())),
                        );
                        continue;
                    }
                }
            };
            ties.push((tie, item.span.clone(), name.to_owned()));
        }
        Some(ties)
    });
    Some(CureSpec {
        time: cure.duration("time")?,
        ties_up,
    })
}

fn read_gear(fields: &Fields, gear: &Names) -> Option<Vec<(GearId, u32)>> {
    let entries = fields.named("gear")?;
    let mut taken = Vec::new();
    for entry in entries {
        let id = gear.find_text(&entry.key.text, &entry.key.span, fields.sink);
        let count = reader::whole(&entry.node, 1, MOST_PIECES, fields.sink);
        if let (Some(id), Some(count)) = (id, count) {
            taken.push((GearId(id as u32), count as u32));
        }
    }
    Some(taken)
}

/// One of the sizes of a piece, or several of them.
fn read_cuts(fields: &Fields) -> Option<Vec<usize>> {
    let node = fields.get("cuts")?;
    let nodes = match &node.value {
        Value::List(nodes) => nodes.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let read = nodes
        .iter()
        .map(|node| reader::one_of(node, keys::CUTS, fields.sink));
    read.collect()
}

fn read_spoils(fields: &Fields) -> Option<Measured> {
    let spoils = fields.quantity("spoils", Dimension::Share)?;
    if spoils.value > 0.99 {
        fields.sink.report(
            Problem::error(
                &spoils.span,
                "nearly every piece would be spoiled and made again",
            )
            .hint("at most 99 % are accepted, so that a run ends"),
        );
        return None;
    }
    Some(spoils)
}

/// A number for people: a few digits, no trailing zeros.
fn short(value: f64) -> String {
    let text = if value >= 100.0 {
        format!("{value:.1}")
    } else {
        format!("{value:.3}")
    };
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn time(seconds: f64) -> String {
    if seconds < 120.0 {
        format!("{} s", short(seconds))
    } else {
        format!("{} min", short(seconds / 60.0))
    }
}
