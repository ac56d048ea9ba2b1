//! What an operation takes, as its keys say in three layers: the step, the station, the operation's defaults.

use super::chips;
use super::gear_spec::{self, GearSpec};
use crate::random::Distribution;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::YamlValue;
use crate::shop::{GearId, GivenLevel, OnIn, PlaceId, TimeSources};

/// One layer of the keys of an operation. What is not given is left to the layer below.
#[derive(Debug, Clone, Default)]
pub struct Spec {
    pub(super) setup: Option<Distribution>,
    pub(super) teardown: Option<Distribution>,
    pub(super) per_piece: Option<Distribution>,
    pub(super) per_lot: Option<Distribution>,
    pub(super) feed: Option<GivenQuantity>,
    pub(super) along_width: Option<bool>,
    pub(super) passes: Option<Passes>,
    pub(super) faces: Option<u64>,
    pub(super) area_rate: Option<GivenQuantity>,
    pub(super) people: Option<u32>,
    pub(super) lifts_together: Option<bool>,
    pub(super) cure: Option<CureSpec>,
    pub(super) gear: Option<Vec<(GearId, GearSpec)>>,
    pub(super) open_time: Option<GivenQuantity>,
    pub(super) fetch_from: Option<PlaceId>,
    pub(super) catches: Option<PlaceId>,
    pub(super) pausable: Option<bool>,
    pub(super) after_hours: Option<bool>,
    pub(super) tacky: Option<GivenQuantity>,
    pub(super) dusty: Option<bool>,
    pub(super) spoils: Option<GivenQuantity>,
    /// How much more room its chips take than the wood.
    pub(super) bulk: Option<f64>,
    pub(super) cuts: Option<Vec<usize>>,
    pub(super) on_in: Option<OnIn>,
    /// Whether a rough size that is missing is reckoned from the finished one, as where a kind says what is usual.
    pub(super) allows_for_sizes: bool,
}

#[derive(Debug, Clone)]
pub enum Passes {
    Number(f64),
    Depth(GivenQuantity),
}

#[derive(Debug, Clone)]
pub struct CureSpec {
    pub(super) time: Distribution,
    pub(super) ties_up: Option<Vec<(Tie, Bytes, String)>>,
    pub(super) least: Option<f64>,
    pub(super) take_off: Option<Distribution>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tie {
    Station,
    Gear(GearId),
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
                            Problem::error(&node.span, format!("{number} passes are not possible"))
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
                            Problem::error(&depth.span, "a depth per pass of 0 removes nothing")
                                .hint("write for example 1/16 in"),
                        );
                    }
                    depth.value >= 1e-9
                })
                .map(Passes::Depth);
        }
        let place = |key: &str| {
            let found = (fields.get(key)).and_then(|node| places.find(node, sink));
            found.map(|place| PlaceId(place as u32))
        };
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
            lifts_together: fields
                .get("lift")
                .and_then(|node| reader::one_of(node, &keys::LIFT, sink))
                .map(|lift| lift == 0),
            cure: read_cure(fields, gear),
            gear: gear_spec::read(fields, gear),
            open_time: read_open_time(fields),
            fetch_from: place("fetch from"),
            catches: place("catches"),
            pausable: fields
                .get("pausable")
                .and_then(|node| reader::flag(node, sink)),
            after_hours: fields
                .get("after hours")
                .and_then(|node| reader::flag(node, sink)),
            tacky: fields.quantity("tacky", Dimension::Time),
            dusty: fields
                .get("dusty")
                .and_then(|node| reader::flag(node, sink)),
            spoils: read_spoils(fields),
            bulk: chips::read_bulk(fields),
            cuts: read_cuts(fields),
            on_in: read_on_in(fields),
            allows_for_sizes: false,
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
            lifts_together: upper.lifts_together.or(below.lifts_together),
            cure: upper.cure.or(below.cure),
            gear: upper.gear.or(below.gear),
            open_time: upper.open_time.or(below.open_time),
            fetch_from: upper.fetch_from.or(below.fetch_from),
            catches: upper.catches.or(below.catches),
            pausable: upper.pausable.or(below.pausable),
            after_hours: upper.after_hours.or(below.after_hours),
            tacky: upper.tacky.or(below.tacky),
            dusty: upper.dusty.or(below.dusty),
            spoils: upper.spoils.or(below.spoils),
            bulk: upper.bulk.or(below.bulk),
            cuts: upper.cuts.or(below.cuts),
            on_in: upper.on_in.or(below.on_in),
            allows_for_sizes: upper.allows_for_sizes || below.allows_for_sizes,
        }
    }

    /// All that the file says, on top of what is usual for the kind of the station. A time per piece, per lot or by
    /// surface is all that the work takes, so that no usual one is added to what somebody has measured.
    pub fn over_usual(&self, usual: &Spec) -> Spec {
        let is_whole =
            self.per_piece.is_some() || self.per_lot.is_some() || self.area_rate.is_some();
        match is_whole {
            true => self.over(&Spec {
                per_piece: None,
                per_lot: None,
                feed: None,
                passes: None,
                area_rate: None,
                ..usual.clone()
            }),
            false => self.over(usual),
        }
    }

    /// Tells at which level each time of a work was given, where this is what the step says, `station` what the station
    /// says, `operation` the defaults, and `usual` what its kind says.
    pub fn tell_levels(
        &self,
        station: &Spec,
        operation: &Spec,
        usual: Option<&Spec>,
        sources: &mut TimeSources,
    ) {
        let level = |gives: fn(&Spec) -> bool| {
            let by_kind = usual.is_some_and(|usual| gives(usual) && !gives(operation));
            GivenLevel::of(gives(self), gives(station), by_kind)
        };
        sources.setup = level(|spec| spec.setup.is_some());
        sources.per_piece = level(|spec| spec.per_piece.is_some());
        sources.per_lot = level(|spec| spec.per_lot.is_some());
        sources.teardown = level(|spec| spec.teardown.is_some());
        sources.cure = level(|spec| spec.cure.is_some());
        // Passes and faces are counts and known as well as sizes; only the speed is a guess.
        sources.feed = level(|spec| spec.feed.is_some());
        sources.surface = level(|spec| spec.area_rate.is_some());
    }

    /// The sizes of a piece that it brings one stage further: 0 length, 1 width, 2 thickness.
    pub fn cuts(&self) -> &[usize] {
        self.cuts.as_deref().unwrap_or_default()
    }
}

fn read_cure(fields: &Fields, gear: &Names) -> Option<CureSpec> {
    let sink = fields.sink;
    let (cure, dry) = (fields.entry("cure"), fields.entry("dry"));
    if let (Some(cure), Some(dry)) = (cure, dry) {
        sink.report(
            Problem::error(&dry.key.span, "what happens after the work is given twice")
                .also(&cure.key.span, "here it is a cure")
                .hint("`dry` is another word for `cure`: leave one of them out"),
        );
    }
    let entry = cure.or(dry)?;
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
        least: cure
            .get("least")
            .and_then(|node| reader::celsius(node, sink)),
        take_off: cure.duration("take off"),
    })
}

/// One of the sizes of a piece, or several of them.
fn read_cuts(fields: &Fields) -> Option<Vec<usize>> {
    let node = fields.get("cuts")?;
    let nodes = match &node.value {
        YamlValue::List(nodes) => nodes.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let read = nodes
        .iter()
        .map(|node| reader::one_of(node, keys::CUTS, fields.sink));
    read.collect()
}

fn read_on_in(fields: &Fields) -> Option<OnIn> {
    let node = fields.get("on in")?;
    let nodes = reader::list(node, "a list such as [setup, run]", fields.sink)?;
    let parts = nodes
        .iter()
        .map(|node| reader::one_of(node, &keys::ON_IN, fields.sink));
    let parts: Vec<usize> = parts.collect::<Option<_>>()?;
    let [setup, run, teardown] = [0, 1, 2].map(|part| parts.contains(&part));
    Some(OnIn {
        setup,
        run,
        teardown,
    })
}

fn read_spoils(fields: &Fields) -> Option<GivenQuantity> {
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

fn read_open_time(fields: &Fields) -> Option<GivenQuantity> {
    let open = fields.quantity("open time", Dimension::Time)?;
    if open.value <= 0.0 {
        fields.sink.report(
            Problem::error(&open.span, "an open time of 0 leaves no time for the work")
                .hint("write for example `open time: 8 min`, or leave it out"),
        );
        return None;
    }
    Some(open)
}
