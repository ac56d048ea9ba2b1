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

/// A resource now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Now {
    Idle,
    Active,
    /// It was active up to the instant at which the last ones ended, and the period goes on if it is again then.
    Ended,
}

/// A resource, and its neighbours among those that have a period, in the order in which the periods began.
#[derive(Debug, Clone, Copy)]
struct ResourceState {
    now: Now,
    since: i64,
    before: u32,
    after: u32,
}

/// Takes the beginnings and ends of all resources in the order of time.
///
/// A period that lies within another never matters, so what is left of those that have ended is a chain in which
/// beginnings and ends both rise; and none of it began later than any period that still lasts. Up to where the first
/// of these began the chain says all, and is settled from time to time: memory grows with the number of resources, not
/// with the run.
#[derive(Debug, Clone)]
pub struct ActivePeriods {
    found: Vec<Active>,
    from: i64,
    /// The last place is of no resource: the end of the list, before its first and behind its last.
    resources: Vec<ResourceState>,
    /// Those that ended at `ended_at`, and may begin again then.
    ended: Vec<u32>,
    ended_at: i64,
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
        let idle = ResourceState {
            now: Now::Idle,
            since: 0,
            before: resources as u32,
            after: resources as u32,
        };
        ActivePeriods {
            found: vec![Active::default(); resources],
            from: from.micros(),
            resources: vec![idle; resources + 1],
            ended: Vec::new(),
            ended_at: from.micros(),
            chain: Vec::new(),
            swept: from.micros(),
            counted: from.micros(),
            patience: 8 + 4 * resources,
            swept_marks: VecDeque::new(),
            marks: None,
        }
    }

    /// Keeps the momentary bottleneck of every instant, for [`end_marked`](Self::end_marked); memory then grows with
    /// the run.
    pub fn marking(mut self) -> ActivePeriods {
        self.marks = Some(Vec::new());
        self
    }

    /// A resource that is not active begins to be. Instants never go back.
    #[inline]
    pub fn begins(&mut self, resource: usize, at: Time) {
        let at = self.pass(at);
        let end_of_list = self.resources.len() - 1;
        let of = &mut self.resources[resource];
        let was = std::mem::replace(&mut of.now, Now::Active);
        if was == Now::Idle {
            of.since = at;
            let last = std::mem::replace(&mut self.resources[end_of_list].before, resource as u32);
            self.resources[last as usize].after = resource as u32;
            let of = &mut self.resources[resource];
            (of.before, of.after) = (last, end_of_list as u32);
        }
    }

    /// A resource that is active ceases to be.
    #[inline]
    pub fn ends(&mut self, resource: usize, at: Time) {
        self.ended_at = self.pass(at);
        self.resources[resource].now = Now::Ended;
        self.ended.push(resource as u32);
    }

    /// Goes on to an instant, of which what is seen is returned.
    #[inline]
    fn pass(&mut self, at: Time) -> i64 {
        let at = at.micros().max(self.from);
        if at > self.ended_at && !self.ended.is_empty() {
            self.close_ended();
        }
        at
    }

    #[inline]
    fn close_ended(&mut self) {
        while let Some(resource) = self.ended.pop() {
            if self.resources[resource as usize].now == Now::Ended {
                self.close(resource);
            }
        }
        if self.chain.len() > self.patience {
            self.settle();
        }
    }

    /// The period of a resource is over.
    #[inline]
    fn close(&mut self, resource: u32) {
        let of = &mut self.resources[resource as usize];
        of.now = Now::Idle;
        let ResourceState {
            since,
            before,
            after,
            ..
        } = *of;
        self.resources[before as usize].after = after;
        self.resources[after as usize].before = before;
        let period = ActivePeriod {
            start: since,
            end: self.ended_at,
            resource,
            won: false,
        };
        if period.length() <= 0 {
            return;
        }
        let found = &mut self.found[resource as usize];
        found.active += Span::from_micros(period.length());
        found.periods += 1;
        // The first of those that last began no later, and lasts as long at least.
        if self.first_open().is_none_or(|first| first >= since) {
            self.link(period);
        }
    }

    /// When the first of the periods that last began.
    #[inline]
    fn first_open(&self) -> Option<i64> {
        let first = self.resources[self.resources.len() - 1].after as usize;
        (first + 1 < self.resources.len()).then(|| self.resources[first].since)
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

    /// The record ends at `at`, which is not before any instant told.
    pub fn end(self, at: Time) -> Vec<Active> {
        self.end_marked(at).0
    }

    /// Likewise, with the momentary bottlenecks in the order of time if they were to be kept.
    pub fn end_marked(mut self, at: Time) -> (Vec<Active>, Vec<Momentary>) {
        let at = self.pass(at);
        self.ended_at = at;
        for resource in 0..self.resources.len() - 1 {
            let of = &mut self.resources[resource];
            if of.now == Now::Active {
                of.now = Now::Ended;
                self.ended.push(resource as u32);
            }
        }
        self.close_ended();
        self.settle();
        (self.found, self.marks.unwrap_or_default())
    }

    /// Periods held, for those who doubt that memory does not grow.
    pub fn held(&self) -> usize {
        self.chain.len() + self.ended.len()
    }

    fn settle(&mut self) {
        self.sweep(self.first_open().unwrap_or(self.ended_at));
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
