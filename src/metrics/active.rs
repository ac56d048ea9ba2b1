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
}

/// The periods of a chain that cover an instant, which stand side by side in it.
#[derive(Default)]
struct Covering {
    first: usize,
    beyond: usize,
}

impl Covering {
    /// Goes on to an instant; returns until when the same periods cover, at most until `last`.
    fn advance(&mut self, chain: &[Period], at: i64, last: i64) -> i64 {
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
struct Period {
    start: i64,
    end: i64,
    resource: u32,
    /// Whether it has been the momentary bottleneck somewhere.
    won: bool,
}

impl Period {
    fn length(&self) -> i64 {
        self.end - self.start
    }

    /// Whether this period covers the whole of the other and is preferred to it, even if this one still grows: then
    /// the other can never be the momentary bottleneck.
    fn hides(&self, other: &Period) -> bool {
        self.start <= other.start
            && self.end >= other.end
            && (self.length() > other.length() || self.resource < other.resource)
    }
}

/// Takes the active times of all resources in one pass.
///
/// What has been told is settled from time to time. A period that lies within another never matters, so what is left
/// at an instant is a chain in which beginnings and ends both rise, and of which each resource holds one link or two:
/// memory grows with the number of resources, not with the run.
#[derive(Debug, Clone)]
pub struct ActivePeriods {
    found: Vec<Active>,
    from: i64,
    /// Nothing that is told later begins before this instant.
    now: i64,
    /// The last period of each resource, which may still grow.
    last: Vec<Option<Period>>,
    /// Periods that can grow no more, not yet settled.
    ended: Vec<Period>,
    /// Settled periods that may still matter; beginnings and ends rise.
    chain: Vec<Period>,
    /// Up to here the momentary bottleneck is known.
    swept: i64,
    /// Up to here times have been shared out.
    counted: i64,
    /// Settling so many at once costs little for each.
    patience: usize,
    marks: Option<Vec<Momentary>>,
}

impl ActivePeriods {
    /// For so many resources. Only the time from `from` on is seen.
    pub fn new(resources: usize, from: Time) -> ActivePeriods {
        ActivePeriods {
            found: vec![Active::default(); resources],
            from: from.micros(),
            now: from.micros(),
            last: vec![None; resources],
            ended: Vec::new(),
            chain: Vec::new(),
            swept: from.micros(),
            counted: from.micros(),
            patience: 64 + 4 * resources,
            marks: None,
        }
    }

    /// Keeps the momentary bottleneck of every instant, for [`end_marked`](Self::end_marked); memory then grows with
    /// the run.
    pub fn marking(mut self) -> ActivePeriods {
        self.marks = Some(Vec::new());
        self
    }

    /// Settles what has ended whenever more than so many periods wait for it; otherwise a number that suits the
    /// resources.
    pub fn patient(mut self, periods: usize) -> ActivePeriods {
        self.patience = periods;
        self
    }

    /// A resource is active from `start` to `end`, which may lie in the future. For one resource, times come in the
    /// order of their beginnings; they may touch or overlap.
    #[inline]
    pub fn active(&mut self, resource: usize, start: Time, end: Time) {
        let (start, end) = (start.micros().max(self.from), end.micros());
        if end <= start {
            return;
        }
        let last = &mut self.last[resource];
        match last {
            Some(period) if start <= period.end => period.end = period.end.max(end),
            _ => {
                let before = last.replace(Period {
                    start,
                    end,
                    resource: resource as u32,
                    won: false,
                });
                self.ended.extend(before);
            }
        }
    }

    /// Says that nothing told from here on begins before `now`. Without it results are the same, but memory grows.
    #[inline]
    pub fn pass(&mut self, now: Time) {
        self.now = self.now.max(now.micros());
        if self.ended.len() > self.patience {
            self.settle();
        }
    }

    /// The record ends at `at`, which is not before any instant passed.
    pub fn end(self, at: Time) -> Vec<Active> {
        self.end_marked(at).0
    }

    /// Likewise, with the momentary bottlenecks in the order of time if they were to be kept.
    pub fn end_marked(mut self, at: Time) -> (Vec<Active>, Vec<Momentary>) {
        let at = at.micros();
        self.ended
            .extend(self.last.iter_mut().filter_map(Option::take));
        self.ended.retain_mut(|period| {
            period.end = period.end.min(at);
            period.end > period.start
        });
        self.now = at.max(self.from);
        self.settle();
        (self.found, self.marks.unwrap_or_default())
    }

    /// Periods held, for those who doubt that memory does not grow.
    pub fn pending(&self) -> usize {
        self.ended.len() + self.chain.len() + self.last.iter().flatten().count()
    }

    fn settle(&mut self) {
        // A period that ends now may still be continued by one that begins now.
        for last in &mut self.last {
            if last.is_some_and(|period| period.end < self.now) {
                self.ended.extend(last.take());
            }
        }
        let mut settled = Vec::new();
        let now = self.now;
        self.ended.retain(|period| {
            let is_over = period.end <= now;
            if is_over {
                settled.push(*period);
            }
            !is_over
        });
        for period in &settled {
            let found = &mut self.found[period.resource as usize];
            found.active += Span::from_micros(period.length());
            found.periods += 1;
        }
        self.link(settled);
        let open = self.last.iter().flatten().chain(&self.ended);
        let known = open.map(|period| period.start).fold(now, i64::min);
        self.sweep(known);
        self.count();
    }

    /// Adds settled periods to the chain, and takes out whatever another period hides.
    fn link(&mut self, settled: Vec<Period>) {
        self.chain.extend(settled);
        self.chain
            .sort_unstable_by_key(|p| (p.start, std::cmp::Reverse(p.end), p.resource));
        let mut longest: Option<Period> = None;
        let open: Vec<Period> = self
            .last
            .iter()
            .flatten()
            .chain(&self.ended)
            // The record may end now, and cuts what lies beyond.
            .map(|period| Period {
                end: period.end.min(self.now),
                ..*period
            })
            .collect();
        self.chain.retain(|period| {
            if longest.is_some_and(|longest| longest.end >= period.end)
                || open.iter().any(|other| other.hides(period))
            {
                return false;
            }
            longest = Some(*period);
            true
        });
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

    fn mark(&mut self, winner: Period, start: i64, end: i64) {
        let Some(marks) = &mut self.marks else {
            return;
        };
        let instants = |start: i64, end: i64| (Time::from_micros(start), Time::from_micros(end));
        let (start, end) = instants(start, end);
        let period = instants(winner.start, winner.end);
        let resource = winner.resource as usize;
        match marks.last_mut() {
            Some(last) if (last.resource, last.period, last.end) == (resource, period, start) => {
                last.end = end;
            }
            _ => marks.push(Momentary {
                resource,
                start,
                end,
                period,
            }),
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
            self.counted = next;
        }
        self.chain.retain(|period| period.end > decided);
    }
}
