//! What stations and people do in one replication, and what is the momentary bottleneck of every instant, as bars over
//! time.
//!
//! The recorder says which resource is the momentary bottleneck when, and by which of its active periods. Where two
//! such periods overlap the bottleneck shifts from the one to the other.

use std::collections::{BTreeMap, BTreeSet};

use super::{Candidate, Failure, ResourceKind, Study};
use crate::engine::{Doing, Occupied, Prepared, Run, WorkPhase, simulate};
use crate::floor::Manner;
use crate::metrics::{Bottlenecks, Trace, TraceLine, What};
use crate::shop::Shop;
use crate::units::{Span, Time};

/// One replication as bars over time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    /// The candidate that was played.
    pub candidate: String,
    /// Which replication it is; the first is 1.
    pub replication: u32,
    /// When the replication ends, in seconds from its start.
    pub end_s: f64,
    pub rows: Vec<TimelineRow>,
}

/// A station, a person, or something that holds everything up.
#[derive(Debug, Clone, PartialEq)]
pub struct TimelineRow {
    pub name: String,
    pub kind: TimelineKind,
    /// In any order. Bars that overlap, as of a station with several units, are drawn below each other.
    pub bars: Vec<TimelineBar>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimelineKind {
    Station,
    Person,
    /// The stretches over which this is the momentary bottleneck; those of all such rows together do not overlap.
    Bottleneck(ResourceKind),
}

/// A stretch of time in seconds from the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimelineBar {
    pub from_s: f64,
    pub to_s: f64,
    pub what: Activity,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Activity {
    Walking,
    Carrying,
    Pushing,
    Handling,
    SettingUp,
    Running,
    Curing,
    /// A station that waits for the person or the lot on the way.
    Reserved,
    /// A person who has nothing to do, or waits for others.
    Waiting,
    /// Of the momentary bottleneck: nothing else holds everything up at this time.
    Sole,
    /// Of the momentary bottleneck: this is shifting from one to another.
    Shifting,
}

/// Plays one replication of a candidate, the first of which is 0, and shows all of it: what stations and people do,
/// and what held everything up.
///
/// # Errors
/// If the replication gets stuck.
pub fn play_timeline(
    study: &Study,
    candidate: usize,
    replication: u32,
) -> Result<Timeline, Failure> {
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
    let mut timeline = timeline(candidate, replication + 1, &lines);
    mark(&mut timeline, shop, &bottlenecks);
    Ok(timeline)
}

/// What stations and people do, as rows of bars. Replications are counted from 1 here.
fn timeline(candidate: &Candidate, replication: u32, lines: &[TraceLine]) -> Timeline {
    let shop = &candidate.shop;
    let row = |name: &str, kind| TimelineRow {
        name: name.to_owned(),
        kind,
        bars: Vec::new(),
    };
    let mut stations: Vec<TimelineRow> = shop
        .stations
        .iter()
        .map(|s| row(&s.name, TimelineKind::Station))
        .collect();
    let mut crew: Vec<TimelineRow> = shop
        .crew
        .iter()
        .map(|p| row(&p.name, TimelineKind::Person))
        .collect();
    for line in lines {
        let (row, what) = match &line.what {
            What::Phase {
                of: Occupied::Person(person),
                doing,
            } => (&mut crew[person.index()], activity(*doing)),
            What::Phase {
                of: Occupied::Unit(station, _),
                doing,
            } => (&mut stations[station.index()], activity(*doing)),
            _ => continue,
        };
        if line.end > line.start {
            row.bars.push(TimelineBar {
                from_s: line.start.seconds(),
                to_s: line.end.seconds(),
                what,
            });
        }
    }
    let end_s = lines
        .iter()
        .map(|line| line.end.seconds())
        .fold(0.0, f64::max);
    stations.retain(|row| !row.bars.is_empty());
    Timeline {
        candidate: candidate.name.clone(),
        replication,
        end_s,
        rows: stations.into_iter().chain(crew).collect(),
    }
}

fn activity(doing: Doing) -> Activity {
    match doing {
        Doing::Walk { manner, .. } => match manner {
            Manner::Empty => Activity::Walking,
            Manner::Carrying => Activity::Carrying,
            Manner::Pushing => Activity::Pushing,
        },
        Doing::Handle { .. } => Activity::Handling,
        Doing::Reserved => Activity::Reserved,
        Doing::Work { phase, .. } => match phase {
            WorkPhase::Setup => Activity::SettingUp,
            WorkPhase::Run | WorkPhase::Teardown => Activity::Running,
        },
        Doing::Cure => Activity::Curing,
        Doing::Taken => Activity::Running,
    }
}

/// Adds a row for each resource that is the momentary bottleneck of some instant, and marks where people wait.
///
/// The bottlenecks, of which the momentary ones were kept, are those of the timeline's replication.
fn mark(timeline: &mut Timeline, shop: &Shop, found: &Bottlenecks) {
    let end_s = timeline.end_s;
    let people = timeline.rows.iter_mut();
    for row in people.filter(|row| row.kind == TimelineKind::Person) {
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
    let mut bars: BTreeMap<usize, Vec<TimelineBar>> = BTreeMap::new();
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
            timeline.rows.push(TimelineRow {
                name: name.clone(),
                kind: TimelineKind::Bottleneck(kind),
                bars,
            });
        }
    }
}

/// Fills the gaps between a person's bars: nobody is ever away.
fn wait(row: &mut TimelineRow, end_s: f64) {
    row.bars.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    let mut waiting = Vec::new();
    let mut since = 0.0_f64;
    let last = (end_s, end_s);
    let bars = row.bars.iter().map(|bar| (bar.from_s, bar.to_s));
    for (from_s, to_s) in bars.chain([last]) {
        if from_s > since {
            waiting.push(TimelineBar {
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
fn split((start, end): Period, shared: &[(Time, bool)], bars: &mut Vec<TimelineBar>) {
    let mut next = shared.partition_point(|&(at, _)| at <= start);
    let mut is_shared = next > 0 && shared[next - 1].1;
    let mut from = start;
    while from < end {
        while shared.get(next).is_some_and(|change| change.1 == is_shared) {
            next += 1;
        }
        let to = shared.get(next).map_or(end, |change| change.0.min(end));
        bars.push(TimelineBar {
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
