//! The definitions of what is waited for, read plainly: everything that happened is kept, and every stretch of time
//! between two events is looked at by itself, leaf by leaf and person by person. Fixed times only.

mod heard;

use shopstride::engine::{Job, OrderDone, TaskTimes};
use shopstride::shop::{
    Choice, GearId, Item, ItemId, ItemKind, OperationId, PartSource, PersonId, PlaceId, Shop,
    StationId,
};
use shopstride::units::{Moment, Span, Time};

#[derive(Debug)]
struct Told {
    job: Job,
    chosen: Time,
    /// Distances and handlings.
    brings: Vec<(PersonId, Time, Time)>,
    work: Option<TaskTimes>,
    workers: Vec<PersonId>,
    unit_cures_until: Option<Time>,
    /// A lot without a sound piece does not.
    cures: bool,
    gear: Vec<(GearId, u32, Time, Time)>,
}

#[derive(Debug, Default)]
pub struct Heard {
    tasks: Vec<Told>,
    ready: Vec<(Job, Time)>,
    /// Lots that need nobody, as they became ready.
    by_themselves: Vec<Job>,
    done: Vec<OrderDone>,
    end: Time,
}

/// What a lot is doing.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Doing {
    Worked,
    Carried,
    Curing,
    Station,
    KeptApart,
    Gear,
    Person,
    Nothing,
}

fn covers(start: Time, end: Time, at: Time) -> bool {
    start <= at && at < end
}

fn choices<'a>(shop: &'a Shop, job: &Job) -> &'a [Choice] {
    let item = &shop.projects[job.project].items[job.item.index()];
    match job.operation {
        None => &[],
        Some(_) => &item.route[job.step as usize].choices,
    }
}

impl Told {
    fn brought(&self) -> Time {
        let ends = self.brings.iter().map(|&(.., end)| end);
        ends.max().unwrap_or(self.chosen)
    }

    fn cured(&self, shop: &Shop) -> Time {
        let Some(work) = self.work else {
            return self.brought();
        };
        let choices = choices(shop, &self.job);
        let mut here = choices.iter().filter(|c| c.station == work.station);
        let cure = here.next().and_then(|choice| choice.work.cure.as_ref());
        let cure = cure.filter(|_| self.cures);
        work.ends + cure.map_or(Span::ZERO, |cure| Span::from_seconds(cure.time.mean()))
    }

    fn unit_until(&self) -> Option<(StationId, Time)> {
        let work = self.work?;
        Some((work.station, self.unit_cures_until.unwrap_or(work.ends)))
    }

    /// Whether the task keeps a person.
    fn keeps(&self, person: PersonId, at: Time) -> bool {
        let brings = self.brings.iter().filter(|(who, ..)| *who == person);
        let mut until = brings.map(|&(.., end)| end).max();
        if self.workers.contains(&person) {
            until = self.work.map(|work| work.ends);
        }
        until.is_some_and(|until| covers(self.chosen, until, at))
    }

    fn occupies(&self, person: PersonId, at: Time) -> bool {
        let mut brings = self.brings.iter();
        let works = self
            .work
            .is_some_and(|work| covers(work.begins, work.ends, at));
        works && self.workers.contains(&person)
            || brings.any(|&(who, start, end)| who == person && covers(start, end, at))
    }
}

/// Whether somebody could do what comes next with a lot that cures at a station.
fn can_go_on(shop: &Shop, job: &Job, at: StationId, person: PersonId) -> bool {
    let items = &shop.projects[job.project].items;
    let (item, step) = (&items[job.item.index()], job.step as usize + 1);
    match &item.kind {
        ItemKind::Material { becomes, .. } if step == item.route.len() => {
            let mut parts = becomes.iter().map(|part| &items[part.index()]);
            parts.any(|part| somebody_goes_on(shop, items, (part, 0), at, person))
        }
        _ => somebody_goes_on(shop, items, (item, step), at, person),
    }
}

/// Whether this is somebody who could do the step of an item that lies at a station, or what follows its last step.
fn somebody_goes_on(
    shop: &Shop,
    items: &[Item],
    (mut item, mut step): (&Item, usize),
    at: StationId,
    person: PersonId,
) -> bool {
    let mut is_itself = true;
    loop {
        if let Some(next) = item.route.get(step) {
            let alone = |choice: &Choice| {
                let work = &choice.work;
                let gear = work
                    .gear
                    .iter()
                    .filter_map(|&(kind, _)| shop.gear[kind].stored_at);
                let mut fetched = gear.chain(work.fetch_from);
                work.people == 0
                    && choice.station == at
                    && fetched.all(|from| from == PlaceId::from(choice.station))
            };
            let goes_by_itself = is_itself && next.choices.iter().all(alone);
            let operation = next.choices[0].work.operation;
            return !goes_by_itself && shop.crew[person].can_do(operation);
        }
        if let Some(to) = item.deliver_to {
            return !(is_itself && to == PlaceId::from(at));
        }
        let Some(assembly) = item.goes_into else {
            return false;
        };
        (item, step, is_itself) = (&items[assembly.index()], 0, false);
    }
}

/// In these shops shop time is what the calendar says.
fn always_open(moment: Moment) -> Time {
    Time::from_micros(moment.micros())
}

/// Job numbers are enough to tell lots apart.
fn is_lot(job: &Job, order: u64, item: ItemId, batch: u32) -> bool {
    (job.order, job.item, job.batch) == (order, item, batch)
}

impl Heard {
    /// All instants at which anything changes, within these.
    fn instants(&self, shop: &Shop, from: Time, until: Time) -> Vec<Time> {
        let mut all = vec![from, until];
        all.extend(self.ready.iter().map(|&(_, at)| at));
        all.extend(
            self.done
                .iter()
                .flat_map(|order| [order.released, order.done].map(always_open)),
        );
        for task in &self.tasks {
            all.extend(task.brings.iter().flat_map(|&(_, start, end)| [start, end]));
            all.extend(task.gear.iter().flat_map(|&(.., start, end)| [start, end]));
            let work = task.work.iter();
            all.extend(work.flat_map(|work| [work.begins, work.ends]));
            all.extend([task.chosen, task.cured(shop)]);
            all.extend(task.unit_cures_until);
        }
        all.retain(|&at| from <= at && at <= until);
        all.sort();
        all.dedup();
        all
    }

    fn free_units(&self, shop: &Shop, station: StationId, at: Time) -> u32 {
        let taken = self.tasks.iter().filter(|task| {
            let until = task.unit_until();
            until.is_some_and(|(where_, until)| where_ == station && covers(task.chosen, until, at))
        });
        shop.stations[station].count - taken.count() as u32
    }

    fn units_curing(&self, station: StationId, at: Time) -> u32 {
        let curing = self.tasks.iter().filter(|task| {
            task.work.is_some_and(|work| {
                let until = task.unit_cures_until.unwrap_or(work.ends);
                work.station == station && covers(work.ends, until, at)
            })
        });
        curing.count() as u32
    }

    fn free_gear(&self, shop: &Shop, gear: GearId, at: Time) -> u32 {
        let taken = (self.tasks.iter().flat_map(|task| &task.gear))
            .filter(|&&(kind, _, start, end)| kind == gear && covers(start, end, at));
        shop.gear[gear].count - taken.map(|&(_, amount, ..)| amount).sum::<u32>()
    }

    /// Whether no group of which only so many go on has as many already; an operation counts from its choice to its end, and
    /// in a group that names its cure until that is over.
    fn goes_together(&self, shop: &Shop, choice: &Choice, at: Time) -> bool {
        let mut groups = shop.not_together.iter();
        groups.all(|group| {
            let operation = choice.work.operation;
            let counts = |station: StationId, operation: OperationId| {
                group.stations.contains(&station)
                    || group.operations.contains(&operation)
                    || group.cures_of.contains(&operation)
            };
            let going_on = self.tasks.iter().filter(|task| {
                let (Some(work), Some(operation)) = (task.work, task.job.operation) else {
                    return false;
                };
                let until = match group.cures_of.contains(&operation) {
                    true => task.cured(shop),
                    false => work.ends,
                };
                counts(work.station, operation) && covers(task.chosen, until, at)
            });
            !counts(choice.station, operation) || (going_on.count() as u32) < group.at_most
        })
    }

    fn waits_for(&self, shop: &Shop, job: &Job, at: Time) -> Doing {
        let choices = choices(shop, job);
        let free: Vec<&Choice> = (choices.iter())
            .filter(|choice| self.free_units(shop, choice.station, at) > 0)
            .collect();
        let together: Vec<&Choice> = (free.iter().copied())
            .filter(|choice| self.goes_together(shop, choice, at))
            .collect();
        let geared = |choice: &&Choice| {
            let mut gear = choice.work.gear.iter();
            gear.all(|&(kind, amount)| self.free_gear(shop, kind, at) >= amount.of(job.pieces))
        };
        match (choices.is_empty(), free.is_empty()) {
            (true, _) => Doing::Person,
            (_, true) => Doing::Station,
            _ if together.is_empty() => Doing::KeptApart,
            _ if !together.iter().any(geared) => Doing::Gear,
            _ => Doing::Person,
        }
    }

    /// When a lot was chosen that was ready for this; never, if the run ended before.
    fn chosen(&self, job: &Job) -> Time {
        let mut tasks = self.tasks.iter();
        let found = tasks.find(|task| {
            is_lot(&task.job, job.order, job.item, job.batch)
                && (task.job.step, task.job.operation) == (job.step, job.operation)
        });
        found.map_or(Time::NEVER, |task| task.chosen)
    }

    fn doing(&self, shop: &Shop, order: u64, item: ItemId, batch: u32, at: Time) -> Doing {
        for (job, since) in &self.ready {
            if is_lot(job, order, item, batch) && covers(*since, self.chosen(job), at) {
                return self.waits_for(shop, job, at);
            }
        }
        for task in self
            .tasks
            .iter()
            .filter(|task| is_lot(&task.job, order, item, batch))
        {
            let Some(work) = task.work else {
                if covers(task.chosen, task.brought(), at) {
                    return Doing::Carried;
                }
                continue;
            };
            if covers(work.chosen, work.begins, at) {
                return Doing::Carried;
            } else if covers(work.begins, work.ends, at) {
                return Doing::Worked;
            } else if covers(work.ends, task.cured(shop), at) {
                return Doing::Curing;
            }
        }
        Doing::Nothing
    }

    /// The lot in which a leaf is: the last assembly on its way that has been ready for anything, or itself, or before that
    /// the material it is cut from.
    fn inside(&self, items: &[Item], order: u64, leaf: (ItemId, u32), at: Time) -> (ItemId, u32) {
        let (mut inside, mut item) = (leaf, leaf.0);
        if let ItemKind::Part { comes_from } = items[item.index()].kind
            && let PartSource::CutFrom(material) = comes_from
        {
            let is_leaf = |job: &Job| is_lot(job, order, item, leaf.1);
            let mut ready = self.ready.iter();
            if !ready.any(|(job, since)| is_leaf(job) && *since <= at) {
                inside = (material, 0);
            }
        }
        while let Some(assembly) = items[item.index()].goes_into {
            let was_ready =
                |(job, since): &(Job, Time)| is_lot(job, order, assembly, 0) && *since <= at;
            if self.ready.iter().any(was_ready) {
                inside = (assembly, 0);
            }
            item = assembly;
        }
        inside
    }

    /// Microseconds by part of a split, for each order line.
    pub fn splits(&self, shop: &Shop, from: Moment) -> Vec<[i128; 8]> {
        let lines = shop.orders.enumerate().map(|(line, order_line)| {
            let items = &shop.projects[order_line.project].items;
            let mut sums = [0; 8];
            let done = (self.done.iter()).filter(|done| done.line == line && done.done >= from);
            for order in done {
                for (index, item) in items.iter().enumerate() {
                    if !matches!(item.kind, ItemKind::Part { .. }) {
                        continue;
                    }
                    let pieces = item.pieces * order_line.together;
                    let lots = item.batch.map_or(1, |batch| pieces.div_ceil(batch));
                    for batch in 0..lots {
                        let leaf = (ItemId(index as u32), batch);
                        self.add_leaf(shop, items, order, leaf, &mut sums);
                    }
                }
            }
            sums
        });
        lines.collect()
    }

    fn add_leaf(
        &self,
        shop: &Shop,
        items: &[Item],
        order: &OrderDone,
        leaf: (ItemId, u32),
        sums: &mut [i128; 8],
    ) {
        let [released, done] = [order.released, order.done].map(always_open);
        for pair in self.instants(shop, released, done).windows(2) {
            let (item, batch) = self.inside(items, order.order, leaf, pair[0]);
            let doing = self.doing(shop, order.order, item, batch, pair[0]);
            sums[doing as usize] += i128::from((pair[1] - pair[0]).micros());
        }
    }

    /// Whether a lot that is ready needs nobody; those that were chosen must have been worked on without.
    fn needs_nobody(&self, shop: &Shop, job: &Job) -> bool {
        let is_job = |other: &Job| {
            is_lot(other, job.order, job.item, job.batch)
                && (other.step, other.operation) == (job.step, job.operation)
        };
        let told = self.by_themselves.iter().any(is_job);
        if let Some(task) = self.tasks.iter().find(|task| is_job(&task.job)) {
            let without = task.work.is_some() && task.brings.is_empty() && task.workers.is_empty();
            assert!(without || !told, "{job:?}");
            let only = choices(shop, job).len() == 1;
            assert!(told || !without || !only, "{job:?}");
        }
        told
    }

    /// Microseconds that each person waits for a cure, a station, what does not go together with the work, gear, and with nothing to do.
    pub fn people(&self, shop: &Shop, from: Time) -> Vec<[i64; 5]> {
        let mut sums = vec![[0; 5]; shop.crew.len()];
        for pair in self.instants(shop, from, self.end).windows(2) {
            let at = pair[0];
            let waiting = self
                .ready
                .iter()
                .filter(|(job, since)| covers(*since, self.chosen(job), at));
            let waiting: Vec<(&Job, Doing)> = waiting
                .map(|(job, _)| (job, self.waits_for(shop, job, at)))
                .collect();
            let waiting: Vec<(&Job, Doing)> = (waiting.into_iter())
                .filter(|(job, _)| !self.needs_nobody(shop, job))
                .collect();
            let curing: Vec<(&Job, StationId)> = (self.tasks.iter())
                .filter_map(|task| Some((task, task.work?)))
                .filter(|(task, work)| covers(work.ends, task.cured(shop), at))
                .map(|(task, work)| (&task.job, work.station))
                .collect();
            for ((id, person), sums) in shop.crew.enumerate().zip(&mut sums) {
                if self.tasks.iter().any(|task| task.occupies(id, at)) {
                    continue;
                }
                let cured = |job: &Job| {
                    let mut stations = choices(shop, job).iter().map(|choice| choice.station);
                    stations.all(|station| {
                        self.units_curing(station, at) == shop.stations[station].count
                    })
                };
                let sees = |what: Doing, all_cure: bool| {
                    waiting.iter().any(|(job, doing)| {
                        let can = job.operation.is_some_and(|op| person.can_do(op));
                        can && *doing == what && (what != Doing::Station || cured(job) == all_cure)
                    })
                };
                let cures = sees(Doing::Station, true)
                    || (curing.iter()).any(|&(job, at)| can_go_on(shop, job, at, id));
                let cause = if self.tasks.iter().any(|task| task.keeps(id, at)) {
                    4
                } else if sees(Doing::Station, false) {
                    1
                } else if cures {
                    0
                } else if sees(Doing::KeptApart, false) {
                    2
                } else if sees(Doing::Gear, false) {
                    3
                } else {
                    4
                };
                sums[cause] += (pair[1] - pair[0]).micros();
            }
        }
        sums
    }
}
