//! The work that an operation is for one item.

use super::gear_counts;
use super::sizes::{Reported, Sizes, missing};
use super::spec::{Passes, Spec};
use super::usual;
use crate::random::Distribution;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::GivenQuantity;
use crate::shop::{OnIn, OperationId, Size, TimeSources, Work};
use crate::units::{Chips, Length, Span};

impl Spec {
    /// The work on an item. `at` is where the route names the operation.
    pub fn work(
        &self,
        operation: (OperationId, &str),
        sizes: &Sizes,
        at: &Bytes,
        gear_names: &Names,
        sink: &Sink,
    ) -> Option<(Work, TimeSources)> {
        let mut gear = Vec::new();
        let mut seconds_by_size = [0.0; 2];
        let mut by_size_explained = Vec::new();
        let mut complete = true;
        let long = self.long(sizes, sink);
        let taken = self.gear.as_deref().unwrap_or_default();
        match gear_counts::counts(taken, long, (operation.1, sizes), at, sink) {
            Ok(counts) => gear = counts,
            Err(Reported) => complete = false,
        }
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
        if self.feed.is_none()
            && self.catches.is_none()
            && (self.passes.is_some() || self.faces.is_some())
        {
            sink.report(
                Problem::warning(
                    at,
                    format!(
                        "passes of `{}` have no effect without a feed speed",
                        operation.1
                    ),
                )
                .hint("add `feed speed`, or leave `passes`, `depth per pass` and `faces` out"),
            );
        }
        let spoils = self.spoils.as_ref().map_or(0.0, |spoils| spoils.value);
        if spoils > 0.0 && sizes.is_assembly() {
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
            Some(spec) if spec.time.mean() > 0.0 || spec.take_off.is_some() => {
                Some(spec.build(&gear, gear_names, operation.1, sink))
            }
            _ => None,
        };
        if self.after_hours == Some(true)
            && (self.people != Some(0) || self.pausable == Some(false))
        {
            let what = match self.people {
                Some(0) => "is not to be paused",
                _ => "needs somebody",
            };
            sink.report(
                Problem::error(
                    at,
                    format!("`{}` goes on after hours, but {what}", operation.1),
                )
                .hint("`after hours: true` is for work with `people: 0` that may be paused; leave one of them out"),
            );
            complete = false;
        }
        if (self.people, self.lifts_together) == (Some(0), Some(true)) {
            sink.report(
                Problem::warning(
                    at,
                    format!(
                        "`{}` takes nobody, so nobody is called to lift for it",
                        operation.1
                    ),
                )
                .hint("write `people: 1` or more, or leave `lift: together` out"),
            );
        }
        if let (Some(_), Some(true)) = (&self.tacky, self.dusty) {
            sink.report(
                Problem::error(at, format!("`{}` is both tacky and dusty", operation.1))
                    .hint("dust is kept from what is tacky; leave one of them out"),
            );
            complete = false;
        }
        let catches = match complete {
            true => self.catching(operation.1, sizes, at, sink),
            false => Ok(None),
        };
        let Ok(catches) = catches else { return None };
        let positive =
            |duration: &Option<Distribution>| duration.clone().filter(|d| d.mean() > 0.0);
        let [fed, surfaced] = seconds_by_size;
        let by_size = fed + surfaced;
        let work = Work {
            operation: operation.0,
            setup: positive(&self.setup),
            per_piece: positive(&self.per_piece),
            per_lot: positive(&self.per_lot),
            by_size,
            teardown: positive(&self.teardown),
            people: self.people.unwrap_or(1),
            lifts_together: self.lifts_together.unwrap_or(false),
            cure,
            gear,
            fetch_from: self.fetch_from,
            stands_at: None,
            catches,
            pausable: self.pausable.unwrap_or(true),
            after_hours: self.after_hours.unwrap_or(false),
            open_time: self.open_time.as_ref().map(|open| open.value),
            tacky: (self.tacky.as_ref()).map(|tacky| Span::from_seconds(tacky.value)),
            dusty: self.dusty.unwrap_or(false),
            spoils,
            along_width: self.along_width.unwrap_or(false),
            length_cut: self.length_cut(sizes, sink),
            chips: Chips::NONE,
            // What is given a feed speed goes through with its length ahead.
            is_crosscut: self.cuts() == [0] && self.feed.is_none(),
            on_in: self.on_in.unwrap_or(OnIn::RUN),
            bite: None,
        };
        let value = |rate: &Option<GivenQuantity>| rate.as_ref().map_or(0.0, |rate| rate.value);
        let sources = TimeSources {
            feed_speed: value(&self.feed),
            area_rate: value(&self.area_rate),
            fed: if by_size > 0.0 { fed / by_size } else { 0.0 },
            by_size_explained,
            ..TimeSources::default()
        };
        complete.then_some((work, sources))
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
        let size = match sizes.is_assembly() {
            true => sizes.finished.clone(),
            false => self.rough(sizes, sink),
        };
        // Where the rough size follows from the finished one, that is the one to give.
        let kind = sizes.called(match sizes.is_assembly() || self.allows_for_sizes {
            true => "finished",
            false => "rough",
        });
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

    /// What of a piece passes a blade, in all passes.
    fn length_cut(&self, sizes: &Sizes, sink: &Sink) -> Length {
        let rough = match sizes.is_assembly() {
            true => sizes.finished.clone(),
            false => self.rough(sizes, sink),
        };
        let (Some(rough), faces) = (rough, self.faces.unwrap_or(1) as f64) else {
            return Length::ZERO;
        };
        let fed = &rough[usize::from(self.along_width.unwrap_or(false))];
        let passes = match (&self.passes, &sizes.finished) {
            (None, _) => 1.0,
            (Some(Passes::Number(number)), _) => *number,
            (Some(Passes::Depth(depth)), Some(finished)) => {
                passes_of(rough[2].value - finished[2].value, depth.value)
            }
            (Some(Passes::Depth(_)), None) => 1.0,
        };
        Length::from_metres(fed.value * passes * faces)
    }

    /// How long a piece is before the work, in metres; an assembly, when it is finished.
    fn long(&self, sizes: &Sizes, sink: &Sink) -> Option<f64> {
        let size = match sizes.is_assembly() {
            true => sizes.finished.clone(),
            false => self.rough(sizes, sink),
        };
        Some(size?[0].value)
    }

    /// The rough size of a part; at a station of a kind it may follow from the finished one.
    fn rough(&self, sizes: &Sizes, sink: &Sink) -> Option<[GivenQuantity; 3]> {
        let reckoned = || {
            let may_be = self.allows_for_sizes && !sizes.unreadable && !sizes.is_assembly();
            let finished = sizes.finished.as_ref().filter(|_| may_be)?;
            Some(usual::rough_of(finished, sink))
        };
        sizes.rough.clone().or_else(reckoned)
    }

    pub(super) fn count_passes(
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
        let rough = self.rough(sizes, sink);
        let (Some(rough), Some(finished)) = (&rough, &sizes.finished) else {
            if sizes.unreadable {
                return Err(Reported);
            }
            if sizes.is_assembly() {
                sink.report(
                    Problem::error(
                        at,
                        format!("`{operation}` needs a rough thickness, which the assembly `{}` does not have", sizes.name),
                    )
                    .hint("write the number of `passes` in this step"),
                );
                return Err(Reported);
            }
            let key = sizes.called(match rough.is_none() && !self.allows_for_sizes {
                true => "rough",
                false => "finished",
            });
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
        let passes = passes_of(removed, depth.value);
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

    /// Metres that a pass takes off the thickness of a piece that comes in one size and leaves in another; nothing where
    /// nobody says how often it passes, or nothing is taken off.
    pub fn bite(
        &self,
        sizes: &Sizes,
        (before, after): (Option<Size>, Option<Size>),
        sink: &Sink,
    ) -> Option<f64> {
        self.feed.as_ref()?;
        let (removed, passes) = match &self.passes {
            Some(Passes::Depth(depth)) => {
                let [rough, finished] = [self.rough(sizes, sink)?, sizes.finished.clone()?];
                let removed = rough[2].value - finished[2].value;
                (removed, passes_of(removed, depth.value))
            }
            Some(Passes::Number(number)) => (before?.thickness - after?.thickness, *number),
            None => (before?.thickness - after?.thickness, 1.0),
        };
        let passes = passes * self.faces.unwrap_or(1) as f64;
        (removed > 0.0).then(|| removed / passes)
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
            Err(what) => return Err(missing(operation, at, what, sizes.called("finished"), sink)),
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
        let of = if sizes.is_assembly() {
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

/// How many passes take so much off, each so deep at most. The small allowance keeps 1/4 in at 1/16 in a pass at 4 passes
/// in spite of rounding.
fn passes_of(removed: f64, depth: f64) -> f64 {
    (removed / depth - 1e-6).ceil().max(1.0)
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
