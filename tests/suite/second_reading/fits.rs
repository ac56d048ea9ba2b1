//! Whether a task may be begun now, when the shop or somebody's hours or the quiet of the house may interrupt it.

use super::clock::Times;
use super::plan::Plan;
use super::play::Play;
use super::shop::{Line, Work};

/// What may interrupt a task besides the hours of its people.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Limits {
    pausable: bool,
    /// When its station has to be silent.
    silence: Times,
}

const NEVER: i64 = i64::MAX;

/// Whom the longest stretch is asked of, of how many together, and what else may interrupt it.
pub type Stay = (Vec<Option<usize>>, usize, Limits);

impl Play<'_> {
    /// Idle and there.
    pub fn is_idle(&self, person: usize) -> bool {
        self.people[person].idle && self.there[person].hold(self.now)
    }

    /// When a station does not run.
    pub fn silence(&self, station: usize) -> Times {
        let (of, hours) = (&self.shop.stations[station], &self.shop.hours);
        let mut times = Times::of(Vec::new());
        if of.loud {
            times = times.or(&hours.quiet);
        }
        if of.blade {
            times = times.or(&hours.rested);
        }
        times
    }

    fn limits(&self, work: &Work, station: usize) -> Limits {
        Limits {
            pausable: work.pausable,
            silence: self.silence(station),
        }
    }

    /// Shop time until something interrupts a task of this person's, or of nobody's, that is begun at this moment; nothing
    /// if it cannot be begun.
    ///
    /// Reading: closing interrupts what must not pause, and whatever people do who have hours of their own; their going
    /// interrupts that too. Quiet time interrupts where it falls in open time.
    fn stretch(&self, person: Option<usize>, limits: &Limits, moment: i64) -> Option<i64> {
        let open = &self.shop.hours.open;
        let there = person.map_or(open, |person| &self.there[person]);
        let times = there.but(&limits.silence);
        if !times.hold(moment) {
            return None;
        }
        let own_hours = person.is_some_and(|person| self.shop.crew[person].hours.is_some());
        let until = if own_hours || !limits.pausable {
            times.end_after(moment)
        } else if limits.silence.are_never() {
            None
        } else {
            open.and(&limits.silence).begin_from(moment)
        };
        Some(until.map_or(NEVER, |until| open.until(until) - open.until(moment)))
    }

    /// The longest stretch that so many people who could do it have together, wherever in the week it begins.
    ///
    /// All weeks are alike, so that it is worked out once.
    fn longest(&self, people: &[Option<usize>], together: usize, limits: &Limits) -> i64 {
        let asked: Stay = (people.to_vec(), together, limits.clone());
        let known = self.longest_stays.borrow().get(&asked).copied();
        known.unwrap_or_else(|| {
            let longest = self.longest_of_the_week(people, together, limits);
            self.longest_stays.borrow_mut().insert(asked, longest);
            longest
        })
    }

    fn longest_of_the_week(
        &self,
        people: &[Option<usize>],
        together: usize,
        limits: &Limits,
    ) -> i64 {
        let begins = people.iter().flat_map(|person| {
            let there = person.map_or(&self.shop.hours.open, |person| &self.there[person]);
            there.but(&limits.silence).begins()
        });
        let longest = begins.filter_map(|moment| {
            let mut stretches: Vec<i64> = people
                .iter()
                .filter_map(|&person| self.stretch(person, limits, moment))
                .collect();
            stretches.sort();
            stretches.reverse();
            stretches.get(together - 1).copied()
        });
        longest.max().unwrap_or(0)
    }

    fn skilled(&self, op: &str) -> Vec<Option<usize>> {
        let all = (0..self.people.len()).filter(|&person| self.has_skill(person, op));
        all.map(Some).collect()
    }

    /// Those who stay longest come first, then those who come first in the file.
    pub fn by_stay(&self, people: &mut [usize], work: &Work, station: usize) {
        let limits = self.limits(work, station);
        people.sort_by_key(|&person| {
            let stretch = self.stretch(Some(person), &limits, self.now);
            (-stretch.unwrap_or(0), person)
        });
    }

    pub fn is_offered(&self, plan: &Plan) -> bool {
        self.verdict(plan).is_some()
    }

    /// Whether a task can be begun now, and whether only because it would fit nowhere.
    pub fn verdict(&self, plan: &Plan) -> Option<Verdict> {
        let Some(work) = &plan.work else {
            let limits = Limits {
                pausable: true,
                silence: Times::of(Vec::new()),
            };
            let all: Vec<Option<usize>> = match plan.take_off {
                Some(_) => self.skilled(&self.step(plan.lot).op),
                None => (0..self.people.len()).map(Some).collect(),
            };
            return self.compare(plan.length(), &[plan.chooser], &all, &limits);
        };
        let step = self.step(plan.lot);
        let of = self
            .work_at(plan.lot, plan.place)
            .expect("the station does it");
        let limits = self.limits(of, plan.place);
        let skilled = self.skilled(&step.op);
        if work.manned {
            let helpers = work.helpers.iter().map(|helper| Some(helper.person));
            let team: Vec<Option<usize>> = helpers.chain([plan.chooser]).collect();
            return self.compare(plan.length(), &team, &skilled, &limits);
        }
        // Who brings a lot for work that nobody attends has to have brought it before they go; the work itself is bound
        // by closing and by quiet alone.
        assert!(
            !of.after_hours || of.pausable && limits.silence.are_never(),
            "work after hours is pausable and not loud here"
        );
        let brought = match plan.chooser {
            Some(_) => self.compare(plan.fetching(), &[plan.chooser], &skilled, &limits)?,
            None => Verdict::Fits,
        };
        let worked = match of.after_hours {
            true => Verdict::Fits,
            false => self.compare(plan.length(), &[None], &[None], &limits)?,
        };
        Some(brought.max(worked))
    }

    /// Why the shop is refused when it is read, if it is: work that must not pause and fits in no session without any
    /// walk, and work for which its people are never there together.
    pub fn refusal(&self) -> Option<String> {
        let opens = self.shop.hours.first_opening();
        if self.shop.horizon.is_some_and(|horizon| horizon <= opens) {
            return Some("the run ends before the shop is first opened".to_string());
        }
        for line in self.shop.projects.iter().flat_map(|project| &project.lines) {
            let together = self.shop.orders.iter().map(|order| order.together).max();
            let pieces = line.pieces * together.unwrap_or(1);
            let pieces = line.batch.map_or(pieces, |batch| batch.min(pieces));
            for (nth, step) in line.route.iter().enumerate() {
                for (station, work) in &step.at {
                    let limits = self.limits(work, *station);
                    let skilled = self.skilled(&step.op);
                    let longest = match work.people {
                        0 => self.longest(&[None], 1, &limits),
                        n => self.longest(&skilled, n, &limits),
                    };
                    let brought = self.longest(&skilled, 1, &limits);
                    let needed = work.setup + work.run(pieces) + work.teardown;
                    let begun = self.longest_begun(&skilled, &limits);
                    let must_be_brought =
                        self.is_elsewhere(line, nth, *station) || self.must_fetch(work, *station);
                    if work.people == 0
                        && !work.after_hours
                        && must_be_brought
                        && begun < longest
                        && needed + self.least_bringing() > begun
                    {
                        return Some(format!("{} of {} is brought too late", step.op, line.name));
                    }
                    if longest == 0 || brought == 0 || !work.pausable && needed > longest {
                        return Some(format!("{} of {} fits nowhere", step.op, line.name));
                    }
                    let alone = work.people == 0 && work.pausable && limits.silence.are_never();
                    if work.after_hours && !alone {
                        return Some(format!("{} cannot run after hours", step.op));
                    }
                }
            }
        }
        None
    }

    /// The longest that nobody's work goes on that is begun while one of these is there.
    fn longest_begun(&self, people: &[Option<usize>], limits: &Limits) -> i64 {
        let work = self.shop.hours.open.but(&limits.silence);
        let there = people
            .iter()
            .flatten()
            .fold(Times::of(Vec::new()), |all, &person| {
                all.or(&self.there[person])
            });
        let begins = work.and(&there).begins();
        let longest = begins
            .iter()
            .filter_map(|&moment| self.stretch(None, limits, moment));
        longest.max().unwrap_or(0)
    }

    /// Whether somebody may have to bring a lot for a step to a station.
    fn is_elsewhere(&self, line: &Line, nth: usize, station: usize) -> bool {
        let before = match nth.checked_sub(1) {
            Some(before) => line.route[before].at.iter().map(|at| at.0).collect(),
            None => line.material_at.into_iter().collect::<Vec<usize>>(),
        };
        before != [station]
    }

    /// Reading: at least something is picked up and put down, or loaded and unloaded, however near it lies.
    fn least_bringing(&self) -> i64 {
        let handling = &self.shop.handling;
        let by_hand = handling.pick_up + handling.put_down;
        let by_cart = handling
            .carts
            .as_ref()
            .map(|carts| carts.load + carts.unload);
        by_cart.map_or(by_hand, |by_cart| by_cart.min(by_hand))
    }

    fn compare(
        &self,
        needed: i64,
        team: &[Option<usize>],
        all: &[Option<usize>],
        limits: &Limits,
    ) -> Option<Verdict> {
        let mut stretch = NEVER;
        for &person in team {
            stretch = stretch.min(self.stretch(person, limits, self.now)?);
        }
        if needed <= stretch {
            Some(Verdict::Fits)
        } else if stretch >= self.longest(all, team.len(), limits) {
            Some(Verdict::Forced)
        } else {
            None
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Fits,
    /// It fits nowhere, and here as well as anywhere.
    Forced,
}
