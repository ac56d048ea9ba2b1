//! The active-period method: which resource holds everything up at each instant.
//!
//! Roser, Nakano and Tanaka, "A practical bottleneck detection method", Winter Simulation Conference 2001, and
//! "Shifting bottleneck detection", Winter Simulation Conference 2002 (from memory). A resource is *active* while it
//! does not wait: while it works, is set up or cures. Active times that touch are one *period*. At each instant the
//! *momentary bottleneck* is the resource whose current period is the longest, past and future counted; of equally
//! long ones the period that began first, then the resource of the smaller number. A period that is the momentary
//! bottleneck at some instant is a *bottleneck period* over all its length. Where exactly one of them covers an
//! instant, its resource is the *sole* bottleneck then; where several do, the bottleneck is *shifting* between them.
//!
//! The authors say nothing of the ends of a record. Here the measured time is all that is seen: periods are cut at
//! its two ends before anything else is done with them, so that active times add up to the times of the totals.
//!
//! Nor do they say what a pool is, several machines or people that do the same work. Here it is one resource, active
//! while all of its units are: only then would the next piece of work have to wait.

use std::collections::VecDeque;

use super::measured::MeasuredTime;
use crate::units::{Span, Time};

/// What the method finds of one resource. Divided by the measured time, spans are shares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Active {
    /// Time of all periods.
    pub active: Span,
    pub periods: u64,
    /// Time as the only bottleneck.
    pub sole: Span,
    /// Time as one of several.
    pub shifting: Span,
}

impl Active {
    /// The average active period in seconds, the indicator of 2001; None without a period.
    pub fn average(&self) -> Option<f64> {
        (self.periods > 0).then(|| self.active.seconds() / self.periods as f64)
    }

    /// Adds what another run found of the same resource.
    pub fn add(&mut self, other: &Active) {
        self.active += other.active;
        self.periods += other.periods;
        self.sole += other.sole;
        self.shifting += other.shifting;
    }
}

/// A stretch of time over which one resource is the momentary bottleneck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Momentary {
    pub resource: usize,
    pub start: Time,
    pub end: Time,
    /// The active period that makes it so: no other one that covers the stretch is as long.
    pub period: (Time, Time),
    /// Whether other bottleneck periods cover the stretch too: then the bottleneck is shifting.
    pub is_shared: bool,
}

/// The periods of a chain that cover an instant, which stand side by side in it.
#[derive(Default)]
struct Covering {
    first: usize,
    beyond: usize,
}

impl Covering {
    /// Goes on to an instant; returns until when the same periods cover, at most until `last`.
    fn advance(&mut self, chain: &[ActivePeriod], at: i64, last: i64) -> i64 {
        while chain.get(self.first).is_some_and(|period| period.end <= at) {
            self.first += 1;
        }
        self.beyond = self.beyond.max(self.first);
        while chain
            .get(self.beyond)
            .is_some_and(|period| period.start <= at)
        {
            self.beyond += 1;
        }
        let begins = chain.get(self.beyond).map_or(last, |period| period.start);
        let ends = chain[self.first..self.beyond]
            .first()
            .map_or(last, |period| period.end);
        begins.min(ends).min(last)
    }
}

#[derive(Debug, Clone, Copy)]
struct ActivePeriod {
    start: i64,
    end: i64,
    resource: u32,
    /// Whether it has been the momentary bottleneck somewhere.
    won: bool,
}

impl ActivePeriod {
    fn stretch(&self) -> ActiveStretch {
        ActiveStretch {
            start: self.start,
            end: self.end,
        }
    }

    fn length(&self) -> i64 {
        self.end - self.start
    }

    /// Whether this period covers the whole of the other and is preferred to it: then the other can never be the
    /// momentary bottleneck.
    fn hides(&self, other: &ActivePeriod) -> bool {
        self.start <= other.start
            && self.end >= other.end
            && (self.length() > other.length() || self.resource < other.resource)
    }
}

/// A stretch of time in microseconds.
#[derive(Debug, Clone, Copy)]
struct ActiveStretch {
    start: i64,
    end: i64,
}

impl ActiveStretch {
    /// Nothing touches it.
    const NONE: ActiveStretch = ActiveStretch {
        start: i64::MAX,
        end: i64::MIN,
    };
}

/// Takes the active times of all resources as they become known.
///
/// Times of one resource come in their order, and may lie in the future; nothing that is told later begins before now.
/// So the last period of a resource may go on until it ends before now, and is then put to the others that are over.
/// From time to time these are taken in the order of their ends. A period that lies within another never matters, so
/// what is left of them is a chain in which beginnings and ends both rise. Up to where the first of the periods began
/// that may go on, the chain says all, and is settled: memory grows with the number of resources, not with the run.
#[derive(Debug, Clone)]
pub struct ActivePeriods {
    found: Vec<Active>,
    time: MeasuredTime,
    now: i64,
    /// The last period of each resource, which may go on.
    last: Vec<ActiveStretch>,
    /// A resource whose last period has lasted long: most others lie within it.
    long: usize,
    /// Periods that are over, but for those that never matter.
    over: Vec<ActivePeriod>,
    /// Periods that may still matter; beginnings and ends rise.
    chain: Vec<ActivePeriod>,
    /// Up to here the momentary bottleneck is known.
    swept: i64,
    /// Up to here times have been shared out.
    counted: i64,
    /// Settling so many at once costs little for each.
    patience: usize,
    /// Momentary bottlenecks, if they are kept: those of which it is not yet known whether they are shared, and all
    /// others.
    swept_marks: VecDeque<Momentary>,
    marks: Option<Vec<Momentary>>,
}

impl ActivePeriods {
    /// For so many resources. Only the time from `from` on is seen.
    pub fn new(resources: usize, from: Time) -> ActivePeriods {
        ActivePeriods {
            found: vec![Active::default(); resources],
            time: MeasuredTime::after(from),
            now: Time::START.micros(),
            last: vec![ActiveStretch::NONE; resources],
            long: 0,
            over: Vec::new(),
            chain: Vec::new(),
            swept: from.micros(),
            counted: from.micros(),
            patience: 32 + 4 * resources,
            swept_marks: VecDeque::new(),
            marks: None,
        }
    }

    /// The start of another record, in the memory of one that has ended.
    pub(super) fn begin(&mut self) {
        self.found.fill(Active::default());
        self.now = Time::START.micros();
        self.last.fill(ActiveStretch::NONE);
        self.over.clear();
        self.chain.clear();
        let from = self.time.from().micros();
        (self.swept, self.counted) = (from, from);
        self.swept_marks.clear();
        self.marks.iter_mut().for_each(Vec::clear);
    }

    /// Keeps the momentary bottleneck of every instant, for [`end_marked`](Self::end_marked); memory then grows with
    /// the run.
    pub fn marking(mut self) -> ActivePeriods {
        self.marks = Some(Vec::new());
        self
    }

    /// Goes on to an instant, up to which all is told; instants never go back. Says whether it is time to
    /// [settle](Self::settle).
    #[inline]
    pub fn pass(&mut self, now: Time) -> bool {
        self.now = now.micros();
        self.over.len() > self.patience
    }

    /// A resource is active for a time that begins no sooner than the times of it that were told before. Times that
    /// overlap or touch are one.
    #[inline]
    pub fn add(&mut self, resource: usize, start: Time, end: Time) {
        let (start, end) = (self.time.cut(start).micros(), end.micros());
        if end <= start {
            return;
        }
        let last = &mut self.last[resource];
        if start <= last.end {
            last.end = last.end.max(end);
        } else {
            let over = std::mem::replace(last, ActiveStretch { start, end });
            self.close(resource, over);
        }
    }

    /// A period will not go on.
    #[inline]
    fn close(&mut self, resource: usize, over: ActiveStretch) {
        if over.end <= over.start {
            return;
        }
        let covers = |other: &ActiveStretch| other.start < over.start && other.end >= over.end;
        if over.end > self.now || !covers(&self.last[self.long]) {
            self.keep(resource, over);
        } else {
            self.count_period(resource, over);
        }
    }

    /// Keeps a period that is over, unless it lies within another one that may go on.
    fn keep(&mut self, resource: usize, over: ActiveStretch) {
        if over.end <= over.start {
            return;
        }
        let covers = |other: &ActiveStretch| other.start < over.start && other.end >= over.end;
        if over.end <= self.now
            && let Some(long) = self.last.iter().position(covers)
        {
            self.long = long;
            self.count_period(resource, over);
            return;
        }
        self.over.push(ActivePeriod {
            start: over.start,
            end: over.end,
            resource: resource as u32,
            won: false,
        });
    }

    #[inline]
    fn count_period(&mut self, resource: usize, over: ActiveStretch) {
        let found = &mut self.found[resource];
        found.active += Span::from_micros(over.end - over.start);
        found.periods += 1;
    }

    /// Adds a period that ends last of all to the chain, unless it is hidden, and takes out what it hides.
    fn link(&mut self, period: ActivePeriod) {
        while let Some(last) = self.chain.last() {
            if last.hides(&period) {
                return;
            }
            if !period.hides(last) {
                break;
            }
            self.chain.pop();
        }
        self.chain.push(period);
    }

    /// The record ends at `at`, which is not before any instant passed.
    pub fn end(self, at: Time) -> Vec<Active> {
        self.end_marked(at).0
    }

    /// Likewise, with the momentary bottlenecks in the order of time if they were to be kept.
    pub fn end_marked(mut self, at: Time) -> (Vec<Active>, Vec<Momentary>) {
        self.finish(at);
        (self.found, self.marks.unwrap_or_default())
    }

    /// Likewise, without giving anything away.
    pub(super) fn finish(&mut self, at: Time) {
        self.now = at.micros();
        let (now, measured) = (self.now, self.time.ending(at));
        for resource in 0..self.last.len() {
            let over = std::mem::replace(&mut self.last[resource], ActiveStretch::NONE);
            self.keep(resource, over);
        }
        self.over.retain(|period| period.start < now);
        for period in &mut self.over {
            period.end = measured.cut(Time::from_micros(period.end)).micros();
        }
        self.settle();
    }

    pub(super) fn found(&self) -> &[Active] {
        &self.found
    }

    pub(super) fn marks(&self) -> &[Momentary] {
        self.marks.as_deref().unwrap_or_default()
    }

    /// Takes what ended before now into the chain, and settles the chain as far as it says all.
    pub fn settle(&mut self) {
        let now = self.now;
        for resource in 0..self.last.len() {
            if self.last[resource].end < now {
                let over = std::mem::replace(&mut self.last[resource], ActiveStretch::NONE);
                self.keep(resource, over);
            }
        }
        let mut over = std::mem::take(&mut self.over);
        over.sort_unstable_by_key(|period| period.end);
        let past = over.partition_point(|period| period.end <= now);
        let mut known = now;
        for last in &self.last {
            known = known.min(last.start);
        }
        for period in &over[past..] {
            known = known.min(period.start);
        }
        for period in over.drain(..past) {
            self.count_period(period.resource as usize, period.stretch());
            self.link(period);
        }
        self.over = over;
        self.sweep(known);
        self.count();
    }

    /// Finds the momentary bottlenecks up to `known`, before which all that covers an instant is in the chain.
    fn sweep(&mut self, known: i64) {
        let mut covering = Covering::default();
        while self.swept < known {
            let at = self.swept;
            let next = covering.advance(&self.chain, at, known);
            let mut winner: Option<usize> = None;
            for index in covering.first..covering.beyond {
                // Of equally long ones the one that began first stands first.
                if winner.is_none_or(|best| self.chain[index].length() > self.chain[best].length())
                {
                    winner = Some(index);
                }
            }
            if let Some(winner) = winner {
                self.chain[winner].won = true;
                self.mark(self.chain[winner], at, next);
            }
            self.swept = next;
        }
    }

    fn mark(&mut self, winner: ActivePeriod, start: i64, end: i64) {
        if self.marks.is_some() {
            let instants =
                |start: i64, end: i64| (Time::from_micros(start), Time::from_micros(end));
            let (start, end) = instants(start, end);
            self.swept_marks.push_back(Momentary {
                resource: winner.resource as usize,
                start,
                end,
                period: instants(winner.start, winner.end),
                is_shared: false,
            });
        }
    }

    /// It has turned out up to an instant whether the bottleneck is shared since it last did.
    fn mark_shared(&mut self, is_shared: bool, until: Time) {
        let Some(marks) = &mut self.marks else {
            return;
        };
        while let Some(mark) = self
            .swept_marks
            .front_mut()
            .filter(|mark| mark.start < until)
        {
            let mut part = Momentary { is_shared, ..*mark };
            part.end = part.end.min(until);
            mark.start = part.end;
            if mark.start == mark.end {
                self.swept_marks.pop_front();
            }
            let same = |last: &&mut Momentary| {
                (last.resource, last.period, last.is_shared, last.end)
                    == (part.resource, part.period, part.is_shared, part.start)
            };
            match marks.last_mut().filter(same) {
                Some(last) => last.end = part.end,
                None => marks.push(part),
            }
        }
    }

    /// Shares out the time as far as it is known which periods are bottleneck periods.
    fn count(&mut self) {
        let swept = self.swept;
        // Behind the sweep, a period that never won is none.
        self.chain.retain(|period| period.won || period.end > swept);
        let undecided = self.chain.iter().filter(|period| !period.won);
        let decided = undecided.map(|period| period.start).fold(swept, i64::min);
        let mut covering = Covering::default();
        while self.counted < decided {
            let at = self.counted;
            let next = covering.advance(&self.chain, at, decided);
            let span = Span::from_micros(next - at);
            let bottlenecks = &self.chain[covering.first..covering.beyond];
            for period in bottlenecks {
                let found = &mut self.found[period.resource as usize];
                if bottlenecks.len() == 1 {
                    found.sole += span;
                } else {
                    found.shifting += span;
                }
            }
            let is_shared = bottlenecks.len() > 1;
            self.mark_shared(is_shared, Time::from_micros(next));
            self.counted = next;
        }
        self.chain.retain(|period| period.end > decided);
    }
}
