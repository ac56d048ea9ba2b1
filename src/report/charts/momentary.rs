//! The momentary bottleneck of every instant of one replication, for the timeline.
//!
//! The recorder says which resource is the momentary bottleneck when, and by which of its active periods. Where two
//! such periods overlap the bottleneck shifts from the one to the other.

use std::collections::{BTreeMap, BTreeSet};

use super::timeline::{Activity, Bar, Kind, Row, Timeline};
use crate::engine::{Prepared, Run, simulate};
use crate::experiment::{Failure, ResourceKind, Study};
use crate::metrics::{Bottlenecks, Trace};
use crate::report::trace;
use crate::shop::Shop;
use crate::units::{Span, Time};

/// Plays one replication of a candidate, the first of which is 0, and shows all of it: what stations and people do,
/// and what held everything up.
///
/// # Errors
/// If the replication gets stuck.
pub fn played(study: &Study, candidate: usize, replication: u32) -> Result<Timeline, Failure> {
    let candidate = &study.candidates[candidate];
    let shop = &candidate.shop;
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    // The timeline shows the warm-up too.
    let bottlenecks = Bottlenecks::new(shop, Span::ZERO).marking();
    let mut both = (Trace::new(), bottlenecks);
    let prepared = Prepared::new(shop, &candidate.walks);
    simulate(&prepared, &run, &mut both).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    let (traced, bottlenecks) = both;
    let lines = traced.into_lines();
    let mut timeline = trace::timeline(candidate, replication + 1, &lines);
    mark(&mut timeline, shop, &bottlenecks);
    Ok(timeline)
}

/// Adds a row for each resource that is the momentary bottleneck of some instant, and marks where people wait.
///
/// The bottlenecks, of which the momentary ones were kept, are those of the timeline's replication.
pub fn mark(timeline: &mut Timeline, shop: &Shop, found: &Bottlenecks) {
    let end_s = timeline.end_s;
    let people = timeline.rows.iter_mut();
    for row in people.filter(|row| row.kind == Kind::Person) {
        wait(row, end_s);
    }
    let numbers = found.numbers();
    let mut stretches: Vec<(usize, Period)> = Vec::new();
    let mut winners: BTreeSet<(usize, Period)> = BTreeSet::new();
    for momentary in found.momentary() {
        winners.insert((momentary.resource, momentary.period));
        stretches.push((momentary.resource, (momentary.start, momentary.end)));
    }
    let shared = shared(&winners);
    let mut bars: BTreeMap<usize, Vec<Bar>> = BTreeMap::new();
    for (group, stretch) in stretches {
        let of = bars.entry(group).or_default();
        split(stretch, &shared, of);
    }
    let stations = (numbers.stations.iter().zip(&shop.stations))
        .map(|(&group, station)| (group, &station.name, ResourceKind::Station));
    let crew = (numbers.people.iter()).map(|(name, group)| (*group, name, ResourceKind::Person));
    let gear = (numbers.gear.iter().zip(&shop.gear))
        .map(|(&group, gear)| (group, &gear.name, ResourceKind::Gear));
    for (group, name, kind) in stations.chain(crew).chain(gear) {
        if let Some(bars) = bars.remove(&group) {
            timeline.rows.push(Row {
                name: name.clone(),
                kind: Kind::Bottleneck(kind),
                bars,
            });
        }
    }
}

/// Fills the gaps between a person's bars: nobody is ever away.
fn wait(row: &mut Row, end_s: f64) {
    row.bars.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    let mut waiting = Vec::new();
    let mut since = 0.0_f64;
    let last = (end_s, end_s);
    let bars = row.bars.iter().map(|bar| (bar.from_s, bar.to_s));
    for (from_s, to_s) in bars.chain([last]) {
        if from_s > since {
            waiting.push(Bar {
                from_s: since,
                to_s: from_s,
                what: Activity::Waiting,
            });
        }
        since = since.max(to_s);
    }
    row.bars.extend(waiting);
}

/// Beginning and end of a stretch of time.
type Period = (Time, Time);

/// From which instants on bottleneck periods of several groups overlap, and from which on they do not.
fn shared(winners: &BTreeSet<(usize, Period)>) -> Vec<(Time, bool)> {
    let mut events: Vec<(Time, usize, i32)> = (winners.iter())
        .flat_map(|&(group, (start, end))| [(start, group, 1), (end, group, -1)])
        .collect();
    events.sort_unstable();
    let mut open: BTreeMap<usize, i32> = BTreeMap::new();
    let mut shared = Vec::new();
    for at_once in events.chunk_by(|a, b| a.0 == b.0) {
        for &(_, group, change) in at_once {
            *open.entry(group).or_default() += change;
        }
        open.retain(|_, count| *count > 0);
        shared.push((at_once[0].0, open.len() > 1));
    }
    shared
}

/// Cuts a stretch into parts that are shared and parts that are not.
fn split((start, end): Period, shared: &[(Time, bool)], bars: &mut Vec<Bar>) {
    let mut next = shared.partition_point(|&(at, _)| at <= start);
    let mut is_shared = next > 0 && shared[next - 1].1;
    let mut from = start;
    while from < end {
        while shared.get(next).is_some_and(|change| change.1 == is_shared) {
            next += 1;
        }
        let to = shared.get(next).map_or(end, |change| change.0.min(end));
        bars.push(Bar {
            from_s: from.seconds(),
            to_s: to.seconds(),
            what: if is_shared {
                Activity::Shifting
            } else {
                Activity::Sole
            },
        });
        is_shared = !is_shared;
        from = to;
    }
}
