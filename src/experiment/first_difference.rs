//! Why a change that should help does harm: the first task with which a run departs from the run without the change,
//! and the first one that then comes later.

use std::collections::BTreeMap;

use super::Candidate;
use super::edit::Edit;
use crate::engine::{
    CureTimes, Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Prepared,
    Recorder, Run, Stuck, TakeOffTimes, TaskTimes, Workers, simulate,
};
use crate::shop::{ItemId, OperationId, PersonId, ProjectId, Shop, StationId};
use crate::units::{Moment, Time};

/// Where two runs part, and what comes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstDifference {
    /// The replication that was looked at; the first is 1.
    pub replication: u32,
    /// The first task of the run with the change that differs, and when it is chosen, in seconds from the start.
    pub task: TaskName,
    pub at_s: f64,
    pub how: Departure,
    /// None where no task comes later.
    pub delayed: Option<Delayed>,
}

/// A task as it is called: an operation, or a delivery, of a lot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TaskName {
    /// None for a delivery.
    pub operation: Option<String>,
    pub item: String,
    /// The first is 1; None where there is only one.
    pub order: Option<u64>,
}

/// In what a task differs from the run without the change.
#[derive(Debug, Clone, PartialEq)]
pub enum Departure {
    /// It is chosen sooner by so many seconds; later, if they are negative.
    Sooner(f64),
    /// It takes so many seconds longer; less, if they are negative.
    Longer(f64),
    /// It is chosen while this other one would be, or at the end of the other run.
    InPlaceOf(Option<TaskName>),
    /// Somebody else takes it, or it is done at another station: the names of those that are others now.
    Elsewhere {
        person: Option<String>,
        station: Option<String>,
    },
}

/// A task that has to wait with the change.
#[derive(Debug, Clone, PartialEq)]
pub struct Delayed {
    pub task: TaskName,
    /// By so many seconds; None if it is not chosen any more before the end.
    pub by_s: Option<f64>,
    pub by_whom: Option<Blocker>,
}

/// What takes up whoever or whatever would have done the task.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Blocker {
    Person { name: String, at: TaskName },
    Station { name: String, taken_by: TaskName },
}

/// Names a task among those of a run.
type TaskId = (u64, ProjectId, ItemId, u32, u32, bool);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct ChosenTask {
    id: TaskId,
    /// None for a delivery.
    operation: Option<OperationId>,
    takes_off: bool,
    at: Time,
    station: Option<StationId>,
    person: Option<PersonId>,
    /// Until then people are at it, and the unit is taken.
    ends: Time,
    unit_free: Time,
}

/// Keeps all tasks of a run in the order in which they are chosen.
#[derive(Debug, Default)]
struct Tasks(Vec<ChosenTask>);

impl Tasks {
    fn of(candidate: &Candidate, run: &Run) -> Result<Tasks, Stuck> {
        let mut tasks = Tasks::default();
        simulate(
            &Prepared::new(&candidate.shop, &candidate.walks),
            run,
            &mut tasks,
        )?;
        Ok(tasks)
    }

    fn position(&self) -> BTreeMap<TaskId, usize> {
        let numbered = self.0.iter().enumerate();
        numbered.map(|(number, task)| (task.id, number)).collect()
    }
}

impl Recorder for Tasks {
    fn task(&mut self, job: &Job, now: Time) {
        self.0.push(ChosenTask {
            id: (
                job.order,
                job.project,
                job.item,
                job.batch,
                job.step,
                job.takes_off,
            ),
            operation: job.operation,
            takes_off: job.takes_off,
            at: now,
            station: None,
            person: None,
            ends: now,
            unit_free: now,
        });
    }

    /// Tasks are taken as a whole, and there is no other phase.
    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } | Doing::Reserved => {}
            Doing::Work { .. } | Doing::Cure | Doing::Blocked | Doing::Serviced | Doing::Taken => {}
            Doing::LeftStanding => {}
        }
    }

    #[inline(always)]
    fn ends(&mut self, _of: Occupied, _now: Time) {}

    #[inline(always)]
    fn interrupted(&mut self, _interruption: &Interruption) {}

    fn fetched(&mut self, person: PersonId, _start: Time, end: Time) {
        if let Some(task) = self.0.last_mut() {
            // The first is whoever chose it; helpers follow.
            task.person.get_or_insert(person);
            task.ends = task.ends.max(end);
        }
    }

    fn work(&mut self, work: &TaskTimes, _workers: Workers<'_>) {
        if let Some(task) = self.0.last_mut() {
            task.station = Some(work.station);
            (task.ends, task.unit_free) = (work.ends, work.ends);
        }
    }

    fn cure(&mut self, cure: &CureTimes) {
        if let (Some(task), Some(_)) = (self.0.last_mut(), cure.unit) {
            task.unit_free = cure.end;
        }
    }

    fn take_off(&mut self, times: &TakeOffTimes, _person: PersonId) {
        if let Some(task) = self.0.last_mut() {
            task.station = Some(times.station);
            (task.ends, task.unit_free) = (times.ends, times.ends);
        }
    }

    fn released(&mut self, _order: &OrderReleased) {}
    fn done(&mut self, _order: &OrderDone) {}
    fn end(&mut self, _now: Time, _moment: Moment) {}
}

/// The replication whose figure is nearest to the mean; the first one where there is none.
pub(super) fn most_like_mean(mean: f64, figures: impl Iterator<Item = (u32, f64)>) -> u32 {
    let away = figures.map(|(replication, figure)| (replication, (figure - mean).abs()));
    let nearest = away.min_by(|one, other| one.1.total_cmp(&other.1));
    nearest.map_or(0, |(replication, _)| replication)
}

/// Plays one replication, the first of which is 0, with and without the change, and finds where they part; None if
/// they do not.
///
/// # Errors
/// If one of them gets stuck.
pub(super) fn first_difference(
    base: &Candidate,
    edit: Edit,
    run: &Run,
) -> Result<Option<FirstDifference>, Stuck> {
    let before = |person| person_before(edit, &base.shop, person);
    parting(
        base,
        &edit.applied(base),
        edit.changes_times(),
        &before,
        run,
    )
}

/// The same of another candidate, in which the same people do the same work in the same times.
///
/// # Errors
/// If one of them gets stuck.
pub(super) fn first_difference_between(
    base: &Candidate,
    other: &Candidate,
    run: &Run,
) -> Result<Option<FirstDifference>, Stuck> {
    parting(base, other, false, &Some, run)
}

fn parting(
    base: &Candidate,
    changed: &Candidate,
    changes_times: bool,
    person_before: &dyn Fn(PersonId) -> Option<PersonId>,
    run: &Run,
) -> Result<Option<FirstDifference>, Stuck> {
    let without = Tasks::of(base, run)?;
    let with = Tasks::of(changed, run)?;
    let several = without.0.iter().any(|task| task.id.0 > 0);
    let name = |task: &ChosenTask| task_name(&base.shop, task, several);
    let same_person = |ours: Option<PersonId>, theirs: Option<PersonId>| {
        let before = theirs.map(person_before);
        ours.map(Some) == before
    };
    let parts = |(ours, theirs): (&ChosenTask, &ChosenTask)| {
        let is_same = ours.id == theirs.id
            && ours.station == theirs.station
            && same_person(ours.person, theirs.person);
        // With other times for the work every task comes at another time; what it is tells then.
        !is_same || !changes_times && (ours.at, ours.ends) != (theirs.at, theirs.ends)
    };
    let pairs = || without.0.iter().zip(&with.0);
    let both = without.0.len().min(with.0.len());
    let first = pairs().position(parts).unwrap_or(both);
    let Some(theirs) = with.0.get(first) else {
        return Ok(None);
    };
    let ours = without.0.get(first);
    let how = match ours {
        Some(ours) if ours.id != theirs.id => Departure::InPlaceOf(Some(name(ours))),
        None => Departure::InPlaceOf(None),
        Some(ours) if ours.at != theirs.at && !changes_times => {
            Departure::Sooner(ours.at.seconds() - theirs.at.seconds())
        }
        Some(ours)
            if ours.station != theirs.station || !same_person(ours.person, theirs.person) =>
        {
            let person = theirs.person.map(|person| &changed.shop.crew[person].name);
            let station = theirs
                .station
                .map(|station| &changed.shop.stations[station].name);
            Departure::Elsewhere {
                person: person
                    .filter(|_| !same_person(ours.person, theirs.person))
                    .cloned(),
                station: station.filter(|_| ours.station != theirs.station).cloned(),
            }
        }
        Some(ours) => Departure::Longer(theirs.ends.seconds() - ours.ends.seconds()),
    };
    let positions = with.position();
    let delayed = without.0[first..].iter().find_map(|task| {
        let later = positions.get(&task.id).map(|&number| &with.0[number]);
        let by_s = later.map(|later| later.at.seconds() - task.at.seconds());
        (by_s.is_none_or(|by| by > 0.0)).then(|| Delayed {
            task: name(task),
            by_s,
            by_whom: blocker(&with, task, &changed.shop, &same_person, &name),
        })
    });
    Ok(Some(FirstDifference {
        replication: run.replication + 1,
        task: name(theirs),
        at_s: theirs.at.seconds(),
        how,
        delayed,
    }))
}

/// What, in the run with the change, takes up whoever does the task without it, or else its station.
fn blocker(
    with: &Tasks,
    task: &ChosenTask,
    changed: &Shop,
    same_person: &impl Fn(Option<PersonId>, Option<PersonId>) -> bool,
    name: &impl Fn(&ChosenTask) -> TaskName,
) -> Option<Blocker> {
    let under_way = || {
        with.0
            .iter()
            .filter(|other| other.id != task.id && other.at <= task.at)
    };
    let at_it = under_way().find(|other| {
        task.person.is_some() && same_person(task.person, other.person) && other.ends > task.at
    });
    if let Some(other) = at_it {
        let person = other.person?;
        return Some(Blocker::Person {
            name: changed.crew[person].name.clone(),
            at: name(other),
        });
    }
    let station = task.station?;
    let taken: Vec<&ChosenTask> = under_way()
        .filter(|other| other.station == Some(station) && other.unit_free > task.at)
        .collect();
    let is_full = taken.len() >= changed.stations[station].count as usize;
    let other = taken.last().filter(|_| is_full)?;
    Some(Blocker::Station {
        name: changed.stations[station].name.clone(),
        taken_by: name(other),
    })
}

/// Who somebody is in the shop without the change; None if the change added them.
fn person_before(edit: Edit, base: &Shop, person: PersonId) -> Option<PersonId> {
    let (Edit::OneMorePerson(like) | Edit::OneMoreManned(_, like)) = edit else {
        return Some(person);
    };
    let group = &base.crew[like].group;
    let last = base.crew.iter().rposition(|other| other.group == *group);
    let added = last.map_or(base.crew.len(), |last| last + 1);
    match person.index().cmp(&added) {
        std::cmp::Ordering::Less => Some(person),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(PersonId(person.0 - 1)),
    }
}

fn task_name(shop: &Shop, task: &ChosenTask, several: bool) -> TaskName {
    let (order, project, item, ..) = task.id;
    let operation = task.operation.map(|operation| &shop.operations[operation]);
    TaskName {
        operation: operation.map(|name| match task.takes_off {
            true => format!("taking off after {name}"),
            false => name.clone(),
        }),
        item: shop.projects[project].items[item.index()].name.clone(),
        order: several.then_some(order + 1),
    }
}
