//! Times of the week at which something holds, such as that the shop is open, and the moments of the calendar.
//!
//! A moment is a whole number of microseconds since the run began. All times come again every week.

/// From and to, in order, without overlap.
pub type Spans = Vec<(i64, i64)>;

pub const DAY: i64 = 24 * 3600 * 1_000_000;
pub const WEEK: i64 = 7 * DAY;

/// The same spans in order, with what overlaps or touches made one.
pub fn union(mut spans: Spans) -> Spans {
    spans.retain(|span| span.0 < span.1);
    spans.sort();
    let mut all = Spans::with_capacity(spans.len());
    for span in spans {
        match all.last_mut() {
            Some(last) if span.0 <= last.1 => last.1 = last.1.max(span.1),
            _ => all.push(span),
        }
    }
    all
}

/// What lies in both.
pub fn both(a: &Spans, b: &Spans) -> Spans {
    let pairs = a.iter().flat_map(|x| b.iter().map(move |y| (x, y)));
    union(pairs.map(|(x, y)| (x.0.max(y.0), x.1.min(y.1))).collect())
}

/// What of the first does not lie in the second.
pub fn without(a: &Spans, b: &Spans) -> Spans {
    if b.is_empty() {
        return union(a.clone());
    }
    let holes = union(b.clone());
    let mut left = Vec::new();
    for (mut from, to) in union(a.clone()) {
        for hole in &holes {
            if from < hole.1 && hole.0 < to {
                left.push((from, hole.0));
                from = hole.1;
            }
        }
        left.push((from, to));
    }
    union(left)
}

pub fn length(spans: &Spans) -> i64 {
    spans.iter().map(|span| span.1 - span.0).sum()
}

/// Times of a week that begins when the run begins.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Times(Spans);

impl Times {
    pub fn always() -> Times {
        Times(vec![(0, WEEK)])
    }

    /// Spans of a week, which may begin before the week or end after it: they come again every week.
    pub fn of(spans: Spans) -> Times {
        let mut all = Vec::new();
        for (from, to) in spans {
            let earlier = from.div_euclid(WEEK) * WEEK;
            let (from, to) = (from - earlier, to - earlier);
            all.extend([(from, to.min(WEEK)), (0, to - WEEK)]);
        }
        Times(union(all))
    }

    pub fn and(&self, other: &Times) -> Times {
        Times(both(&self.0, &other.0))
    }

    pub fn or(&self, other: &Times) -> Times {
        Times(union([self.0.clone(), other.0.clone()].concat()))
    }

    pub fn but(&self, other: &Times) -> Times {
        Times(without(&self.0, &other.0))
    }

    pub fn are_always(&self) -> bool {
        self.0 == [(0, WEEK)]
    }

    pub fn are_never(&self) -> bool {
        self.0.is_empty()
    }

    pub fn hold(&self, moment: i64) -> bool {
        let at = moment.rem_euclid(WEEK);
        self.0.iter().any(|span| span.0 <= at && at < span.1)
    }

    /// The times between two moments.
    pub fn between(&self, from: i64, to: i64) -> Spans {
        let mut all: Spans = Vec::new();
        for week in from.div_euclid(WEEK)..=to.div_euclid(WEEK) {
            for span in &self.0 {
                let begin = from.max(span.0 + week * WEEK);
                let end = to.min(span.1 + week * WEEK);
                match all.last_mut() {
                    _ if begin >= end => {}
                    Some(last) if last.1 == begin => last.1 = end,
                    _ => all.push((begin, end)),
                }
            }
        }
        all
    }

    /// When they begin, in the first week.
    pub fn begins(&self) -> Vec<i64> {
        self.0.iter().map(|span| span.0).collect()
    }

    /// How much of the times has gone by at a moment.
    pub fn until(&self, moment: i64) -> i64 {
        let week = moment.div_euclid(WEEK);
        let at = moment - week * WEEK;
        let gone_by = self.0.iter().map(|span| span.1.min(at) - span.0.min(at));
        week * length(&self.0) + gone_by.sum::<i64>()
    }

    /// When the times that hold at a moment end; nothing if they never do.
    pub fn end_after(&self, moment: i64) -> Option<i64> {
        let span = self.between(moment, moment + 2 * WEEK);
        let first = span.first().filter(|first| first.0 == moment);
        let end = first.map_or(moment, |first| first.1);
        (end < moment + 2 * WEEK).then_some(end)
    }

    /// When they next begin, at a moment or after it.
    pub fn begin_from(&self, moment: i64) -> Option<i64> {
        let spans = self.between(moment, moment + WEEK);
        spans.first().map(|first| first.0)
    }

    /// When they next begin or end after a moment.
    pub fn change_after(&self, moment: i64) -> Option<i64> {
        let spans = self.between(moment, moment + 2 * WEEK);
        let ends = spans.iter().flat_map(|span| [span.0, span.1]);
        ends.filter(|&end| moment < end && end < moment + 2 * WEEK)
            .min()
    }

    /// The first moment at which so much of the times has gone by since another one. So what ends at closing does not
    /// wait for the opening.
    pub fn after(&self, from: i64, length: i64) -> i64 {
        assert!(length == 0 || !self.are_never(), "it would take for ever");
        let (mut left, mut window) = (length, from);
        while left > 0 {
            for (begin, end) in self.between(window, window + WEEK) {
                if left <= end - begin {
                    return begin + left;
                }
                left -= end - begin;
            }
            window += WEEK;
        }
        from
    }
}
