//! The definitions of what is waited for, read plainly: everything that happened is kept, and every stretch of time
//! between two events is looked at by itself, leaf by leaf and person by person. Fixed times only.

mod heard;

use std::collections::BTreeMap;

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

/// All that was told of one lot.
#[derive(Debug, Default)]
struct Lot<'a> {
    /// What it was ready for, from when on, and when it was chosen for that.
    ready: Vec<(&'a Job, Time, Time)>,
    tasks: Vec<&'a Told>,
}

/// Lots by order, item and batch.
type Lots<'a> = BTreeMap<(u64, ItemId, u32), Lot<'a>>;

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

    fn lots(&self) -> Lots<'_> {
        let mut lots = Lots::new();
        let of = |job: &Job| (job.order, job.item, job.batch);
        for (job, since) in &self.ready {
            let lot = lots.entry(of(job)).or_default();
            lot.ready.push((job, *since, self.chosen(job)));
        }
        for task in &self.tasks {
            lots.entry(of(&task.job)).or_default().tasks.push(task);
        }
        lots
    }

    fn doing(&self, shop: &Shop, lot: Option<&Lot<'_>>, at: Time) -> Doing {
        let Some(lot) = lot else {
            return Doing::Nothing;
        };
        for &(job, since, chosen) in &lot.ready {
            if covers(since, chosen, at) {
                return self.waits_for(shop, job, at);
            }
        }
        for task in &lot.tasks {
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
    fn inside<'l, 's>(
        lots: &'l Lots<'s>,
        items: &[Item],
        order: u64,
        (leaf, batch): (ItemId, u32),
        at: Time,
    ) -> Option<&'l Lot<'s>> {
        let was_ready = |lot: &&Lot<'_>| lot.ready.iter().any(|&(_, since, _)| since <= at);
        let mut inside = lots.get(&(order, leaf, batch));
        if let ItemKind::Part { comes_from } = items[leaf.index()].kind
            && let PartSource::CutFrom(material) = comes_from
            && inside.filter(was_ready).is_none()
        {
            inside = lots.get(&(order, material, 0));
        }
        let mut item = leaf;
        while let Some(assembly) = items[item.index()].goes_into {
            let together = lots.get(&(order, assembly, 0)).filter(was_ready);
            inside = together.or(inside);
            item = assembly;
        }
        inside
    }

    /// Microseconds by part of a split, for each order line.
    pub fn splits(&self, shop: &Shop, from: Moment) -> Vec<[i128; 8]> {
        let lots = self.lots();
        let lines = shop.orders.enumerate().map(|(line, order_line)| {
            let items = &shop.projects[order_line.project].items;
            let mut sums = [0; 8];
            let done = (self.done.iter()).filter(|done| done.line == line && done.done >= from);
            for order in done {
                let [released, done] = [order.released, order.done].map(always_open);
                let instants = self.instants(shop, released, done);
                for (index, item) in items.iter().enumerate() {
                    if !matches!(item.kind, ItemKind::Part { .. }) {
                        continue;
                    }
                    let pieces = item.pieces * order_line.together;
                    let batches = item.batch.map_or(1, |batch| pieces.div_ceil(batch));
                    for batch in 0..batches {
                        let leaf = (ItemId(index as u32), batch);
                        for pair in instants.windows(2) {
                            let inside = Heard::inside(&lots, items, order.order, leaf, pair[0]);
                            let doing = self.doing(shop, inside, pair[0]);
                            sums[doing as usize] += i128::from((pair[1] - pair[0]).micros());
                        }
                    }
                }
            }
            sums
        });
        lines.collect()
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
        let chosen = self.ready.iter().map(|(job, _)| self.chosen(job));
        let chosen: Vec<Time> = chosen.collect();
        let cured = self.tasks.iter().map(|task| task.cured(shop));
        let cured: Vec<Time> = cured.collect();
        for pair in self.instants(shop, from, self.end).windows(2) {
            let at = pair[0];
            let waiting = (self.ready.iter().zip(&chosen))
                .filter(|((_, since), chosen)| covers(*since, **chosen, at));
            let waiting: Vec<(&Job, Doing)> = waiting
                .filter(|((job, _), _)| !self.needs_nobody(shop, job))
                .map(|((job, _), _)| (job, self.waits_for(shop, job, at)))
                .collect();
            let curing: Vec<(&Job, StationId)> = (self.tasks.iter().zip(&cured))
                .filter_map(|(task, cured)| Some((task, task.work?, *cured)))
                .filter(|(_, work, cured)| covers(work.ends, *cured, at))
                .map(|(task, work, _)| (&task.job, work.station))
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
