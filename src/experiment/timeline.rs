//! What stations and people do in one replication, and what is the momentary bottleneck of every instant, as bars over
//! time.

use std::collections::BTreeMap;

use super::current::{CircuitCurve, circuit_curves};
use super::queue_levels::{QueueLevels, WaitingLots};
use super::worked_weeks::{WorkedWeeks, worked_weeks};
use super::{CandidateFindings, Failure, Findings, ResourceKind, Study};
use crate::engine::{Doing, Job, Occupied, Phase, Prepared, Run, WorkPhase, simulate};
use crate::floor::Manner;
use crate::metrics::{Bottlenecks, Chronicle, Witness};
use crate::shop::{Calendar, ItemId, ProjectId, Shop, WeeklyTimes};
use crate::units::{Moment, Span, Time};

/// One replication as bars over time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    /// The candidate that was played.
    pub candidate: String,
    /// Which replication it is; the first is 1.
    pub replication: u32,
    /// When the replication ends, in seconds from its start.
    pub end_s: f64,
    /// When the shop opens, where it keeps hours; all times are then those in which it is open.
    pub openings: Vec<TimelineOpening>,
    /// The same run on the calendar, where the shop keeps hours.
    pub weeks: Option<WorkedWeeks>,
    pub rows: Vec<TimelineRow>,
    /// Of each station, group of people and kind of gear in the order of time; those of two overlap while the bottleneck
    /// shifts from one to the other.
    pub spells: Vec<BottleneckSpell>,
    /// Of the stations at which a lot ever waits.
    pub queues: Vec<WaitingLots>,
    /// Of the circuits on which something hangs.
    pub currents: Vec<CircuitCurve>,
}

/// An unbroken busy spell that is the momentary bottleneck at some instant of it, over all its length.
#[derive(Debug, Clone, PartialEq)]
pub struct BottleneckSpell {
    pub name: String,
    pub kind: ResourceKind,
    pub from_s: f64,
    pub to_s: f64,
}

/// The beginning of a session that is parted by closing time from the one before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimelineOpening {
    pub from_s: f64,
    /// From 0, Monday.
    pub weekday: u32,
}

/// A station, gear, what is set aside, a person, a lot, or something that holds everything up.
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
    /// Lots that cure away from the station at which they were worked on, which has the row's name.
    SetAside,
    /// A kind of gear, as far as it is taken.
    Gear,
    Person,
    /// A lot of the first order: what is done with it, and when nothing is.
    Lot,
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
    /// Of gear: held by a lot.
    Taken,
    /// A station that waits for the person or the lot on the way.
    Reserved,
    /// A station in which a lot still is on which nobody works.
    Blocked,
    /// A station that is seen to between two pieces, and whoever does that.
    Serviced,
    /// A station in which a lot still is, while its people are away or it must not be run.
    LeftStanding,
    /// A person who is not there, while the shop is open.
    Away,
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
    let weeks = worked_weeks(study, candidate, replication)?;
    let currents = circuit_curves(study, candidate, replication)?;
    let candidate = &study.candidates[candidate];
    let shop = &candidate.shop;
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    // The timeline shows the warm-up too.
    let bottlenecks = Bottlenecks::new(shop, Span::ZERO).marking();
    let chronicle = Chronicle::new(Bars::new(shop));
    let mut recorder = ((chronicle, QueueLevels::new(shop)), bottlenecks);
    let prepared = Prepared::new(shop, &candidate.walks);
    simulate(&prepared, &run, &mut recorder).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    let ((chronicle, queues), bottlenecks) = recorder;
    let bars = chronicle.into_witness();
    let row = |name: &str, kind, bars: Vec<TimelineBar>| TimelineRow {
        name: name.to_owned(),
        kind,
        bars,
    };
    let used = |(name, bars): (&str, Vec<TimelineBar>), kind| {
        (!bars.is_empty()).then(|| row(name, kind, bars))
    };
    let names = || shop.stations.iter().map(|station| station.name.as_str());
    let stations = names().zip(bars.stations);
    let stations = stations.filter_map(|station| used(station, TimelineKind::Station));
    let set_aside = names().zip(bars.set_aside);
    let set_aside = set_aside.filter_map(|lots| used(lots, TimelineKind::SetAside));
    let gear = (shop.gear.iter().map(|gear| gear.name.as_str())).zip(bars.gear);
    let gear = gear.filter_map(|gear| used(gear, TimelineKind::Gear));
    let crew = (shop.crew.iter().zip(bars.crew))
        .map(|(person, of)| row(&person.name, TimelineKind::Person, of.bars));
    let lots = bars.lots.into_iter().filter_map(|((item, batch), bars)| {
        let project = &shop.projects[bars.project];
        let name = &project.items[item.index()].name;
        let name = match batch {
            0 => name.clone(),
            batch => format!("{name} ({})", batch + 1),
        };
        used((&name, bars.bars), TimelineKind::Lot)
    });
    let before = stations.chain(set_aside).chain(gear);
    let mut rows: Vec<TimelineRow> = before.chain(crew).chain(lots).collect();
    let (bottlenecks, spells) = bottleneck_rows(shop, &bottlenecks);
    rows.extend(bottlenecks);
    Ok(Timeline {
        spells,
        currents,
        queues: queues.waiting(shop),
        openings: openings(&shop.calendar, bars.end.seconds()),
        weeks,
        candidate: candidate.name.clone(),
        replication: replication + 1,
        end_s: bars.end.seconds(),
        rows,
    })
}

/// The openings before a shop time in seconds; none where the shop is always open.
fn openings(calendar: &Calendar, end_s: f64) -> Vec<TimelineOpening> {
    let mut openings = Vec::new();
    if calendar.is_always_open() {
        return openings;
    }
    let mut closed = None;
    let mut session = calendar.session_at(Moment::START);
    while session.from.seconds() < end_s || openings.is_empty() {
        if closed != Some(session.opens) {
            openings.push(TimelineOpening {
                from_s: session.from.seconds(),
                weekday: calendar.weekday(session.opens),
            });
        }
        closed = Some(session.closes);
        session = calendar.session_at(session.closes);
    }
    openings
}

/// One replication on every layout of interest: on the base, on that with the least walking, and on that with the
/// shortest mean lead time.
///
/// # Errors
/// If the replication gets stuck.
pub fn play_timelines(
    study: &Study,
    findings: &Findings,
    base: usize,
    replication: u32,
) -> Result<Vec<Timeline>, Failure> {
    let least = |of: &dyn Fn(&CandidateFindings) -> Option<f64>| {
        let figures = findings.candidates.iter().enumerate();
        let figures = figures.filter_map(|(index, found)| Some((index, of(found)?)));
        let least = figures.min_by(|a, b| a.1.total_cmp(&b.1));
        least.map(|(index, _)| index)
    };
    let walking = least(&|found| Some(found.walking.mean));
    let lead_time = least(&|found| found.lead_time.as_ref().map(|estimate| estimate.mean));
    let mut interesting: Vec<usize> = [Some(base), walking, lead_time]
        .into_iter()
        .flatten()
        .collect();
    interesting.sort_unstable();
    interesting.dedup();
    let timelines = interesting.into_iter();
    timelines
        .map(|candidate| play_timeline(study, candidate, replication))
        .collect()
}

/// A row for each resource that is the momentary bottleneck of some instant, and the busy spells that make it so.
fn bottleneck_rows(shop: &Shop, found: &Bottlenecks) -> (Vec<TimelineRow>, Vec<BottleneckSpell>) {
    let numbers = found.numbers();
    let mut bars: BTreeMap<usize, Vec<TimelineBar>> = BTreeMap::new();
    let mut periods: BTreeMap<usize, Vec<(Time, Time)>> = BTreeMap::new();
    for momentary in found.momentary() {
        let what = match momentary.is_shared {
            true => Activity::Shifting,
            false => Activity::Sole,
        };
        let of = bars.entry(momentary.resource).or_default();
        of.push(bar(what, momentary.start, momentary.end));
        let of = periods.entry(momentary.resource).or_default();
        if of.last() != Some(&momentary.period) {
            of.push(momentary.period);
        }
    }
    let stations = (numbers.stations.iter().zip(&shop.stations))
        .map(|(&number, station)| (number, &*station.name, ResourceKind::Station));
    let crew =
        (numbers.people.iter()).map(|(name, number)| (*number, &**name, ResourceKind::Person));
    let gear = (numbers.gear.iter().zip(&shop.gear))
        .map(|(&number, gear)| (number, &*gear.name, ResourceKind::Gear));
    let (mut rows, mut spells) = (Vec::new(), Vec::new());
    for (number, name, kind) in stations.chain(crew).chain(gear) {
        let Some(bars) = bars.remove(&number) else {
            continue;
        };
        rows.push(TimelineRow {
            name: name.to_owned(),
            kind: TimelineKind::Bottleneck(kind),
            bars,
        });
        let periods = periods.remove(&number).into_iter().flatten();
        spells.extend(periods.map(|(from, to)| BottleneckSpell {
            name: name.to_owned(),
            kind,
            from_s: from.seconds(),
            to_s: to.seconds(),
        }));
    }
    (rows, spells)
}

fn bar(what: Activity, start: Time, end: Time) -> TimelineBar {
    TimelineBar {
        from_s: start.seconds(),
        to_s: end.seconds(),
        what,
    }
}

/// The witness that keeps what stations and people do.
struct Bars {
    stations: Vec<Vec<TimelineBar>>,
    /// By the station at which the work was done.
    set_aside: Vec<Vec<TimelineBar>>,
    gear: Vec<Vec<TimelineBar>>,
    /// Of the first order, by item and batch.
    lots: BTreeMap<(ItemId, u32), LotBars>,
    crew: Vec<PersonBars>,
    end: Time,
}

struct PersonBars {
    /// Since when they have been waiting, or were last.
    since: Time,
    /// When they are there; None if always.
    hours: Option<WeeklyTimes>,
    bars: Vec<TimelineBar>,
}

impl PersonBars {
    /// They have waited up to an instant, while they were there.
    fn waits_until(&mut self, until: Time) {
        let Some(hours) = &self.hours else {
            wait(Activity::Waiting, self.since, until, &mut self.bars);
            return;
        };
        let mut since = self.since;
        for (from, to) in hours.between(since, until) {
            wait(Activity::Away, since, from, &mut self.bars);
            wait(Activity::Waiting, from, to, &mut self.bars);
            since = to;
        }
        wait(Activity::Away, since, until, &mut self.bars);
    }
}

struct LotBars {
    project: ProjectId,
    bars: Vec<TimelineBar>,
}

impl Bars {
    fn new(shop: &Shop) -> Bars {
        let crew = shop.crew.iter().map(|person| PersonBars {
            since: Time::START,
            hours: person.hours.clone(),
            bars: Vec::new(),
        });
        Bars {
            stations: vec![Vec::new(); shop.stations.len()],
            set_aside: vec![Vec::new(); shop.stations.len()],
            gear: vec![Vec::new(); shop.gear.len()],
            lots: BTreeMap::new(),
            crew: crew.collect(),
            end: Time::START,
        }
    }
}

impl Witness for Bars {
    fn ends(&mut self, phase: &Phase, job: &Job, now: Time) {
        if now <= phase.start {
            return;
        }
        let bar = bar(activity(phase.doing), phase.start, now);
        if job.order == 0 && concerns_lot(phase) {
            let lots = self.lots.entry((job.item, job.batch));
            let lot = lots.or_insert_with(|| LotBars {
                project: job.project,
                bars: Vec::new(),
            });
            lot.bars.push(bar);
        }
        match phase.of {
            Occupied::Unit(station, _) => self.stations[station.index()].push(bar),
            // Phases of a person follow each other.
            Occupied::Person(person) => {
                let of = &mut self.crew[person.index()];
                of.waits_until(phase.start);
                of.since = now;
                of.bars.push(bar);
            }
            Occupied::SetAside(station) => self.set_aside[station.index()].push(bar),
            Occupied::Gear(gear, _) => self.gear[gear.index()].push(bar),
        }
    }

    fn end(&mut self, now: Time, _moment: Moment) {
        self.end = now;
        self.crew.iter_mut().for_each(|of| of.waits_until(now));
    }
}

/// Whether something is done with the lot itself, and this phase alone tells of it.
fn concerns_lot(phase: &Phase) -> bool {
    match (phase.of, phase.doing) {
        (Occupied::Unit(..), doing) => doing != Doing::Reserved,
        (Occupied::SetAside(_), _) => true,
        (Occupied::Person(_), Doing::Walk { manner, .. }) => manner != Manner::Empty,
        (Occupied::Person(_) | Occupied::Gear(..), _) => false,
    }
}

fn wait(what: Activity, since: Time, until: Time, bars: &mut Vec<TimelineBar>) {
    if until > since {
        bars.push(bar(what, since, until));
    }
}

/// What it is that somebody or something does.
pub fn activity(doing: Doing) -> Activity {
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
            WorkPhase::Run | WorkPhase::Teardown | WorkPhase::TakeOff => Activity::Running,
            WorkPhase::Service => Activity::Serviced,
        },
        Doing::Cure => Activity::Curing,
        Doing::Blocked => Activity::Blocked,
        Doing::Serviced => Activity::Serviced,
        Doing::LeftStanding => Activity::LeftStanding,
        Doing::Taken => Activity::Taken,
    }
}
