//! What is on at the same time.

use crate::units::{Moment, Span};

/// A time in which something is on: half-open, so that what ends at a moment and what begins at it are not together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnTime {
    pub from: Moment,
    pub until: Moment,
}

impl OnTime {
    pub fn lasts(self) -> Span {
        self.until - self.from
    }
}

/// A time in which the same things are on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    pub time: OnTime,
    /// In rising order, at least one.
    pub on: Vec<usize>,
}

/// The stretches of time in which anything is on, in order, given the times of each thing. Times of one thing may
/// overlap or touch, in any order; such as have no length are left out.
pub fn stretches<'a>(things: impl IntoIterator<Item = &'a [OnTime]>) -> Vec<Together> {
    // At one moment ends come before beginnings.
    let mut turns: Vec<(Moment, i32, usize)> = Vec::new();
    let mut count = 0;
    for (thing, times) in things.into_iter().enumerate() {
        count += 1;
        for time in times.iter().filter(|time| time.from < time.until) {
            turns.push((time.from, 1, thing));
            turns.push((time.until, -1, thing));
        }
    }
    turns.sort_unstable();
    let mut open = vec![0_i32; count];
    let mut found: Vec<Together> = Vec::new();
    let mut at = 0;
    while at < turns.len() {
        let from = turns[at].0;
        while at < turns.len() && turns[at].0 == from {
            open[turns[at].2] += turns[at].1;
            at += 1;
        }
        let on: Vec<usize> = (0..count).filter(|&thing| open[thing] > 0).collect();
        let Some(&(until, ..)) = turns.get(at).filter(|_| !on.is_empty()) else {
            continue;
        };
        match found.last_mut() {
            Some(last) if last.time.until == from && last.on == on => last.time.until = until,
            _ => found.push(Together {
                time: OnTime { from, until },
                on,
            }),
        }
    }
    found
}

/// The times in which one thing is on, put together where they overlap or touch.
pub fn unbroken(times: &[OnTime]) -> Vec<OnTime> {
    stretches([times])
        .into_iter()
        .map(|stretch| stretch.time)
        .collect()
}

/// How often and how long something holds, from the stretches in which it does, in order: those that touch are one spell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spells {
    pub count: u64,
    pub sum: Span,
    pub longest: Span,
}

impl Spells {
    pub fn of(times: impl IntoIterator<Item = OnTime>) -> Spells {
        let mut spells = Spells::default();
        let mut now: Option<OnTime> = None;
        for time in times {
            spells.sum += time.lasts();
            let spell = match now {
                Some(spell) if spell.until == time.from => OnTime {
                    from: spell.from,
                    until: time.until,
                },
                _ => {
                    spells.count += 1;
                    time
                }
            };
            spells.longest = spells.longest.max(spell.lasts());
            now = Some(spell);
        }
        spells
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(from: i64, until: i64) -> OnTime {
        OnTime {
            from: Moment::from_micros(from),
            until: Moment::from_micros(until),
        }
    }

    #[test]
    fn what_touches_is_not_together_and_what_overlaps_in_itself_counts_once() {
        let saw = [time(0, 10), time(5, 20), time(30, 30)];
        let planer = [time(20, 25), time(8, 12)];
        let found = stretches([&saw[..], &planer[..]]);
        let told: Vec<(i64, i64, Vec<usize>)> = (found.into_iter())
            .map(|it| (it.time.from.micros(), it.time.until.micros(), it.on))
            .collect();
        assert_eq!(
            told,
            [
                (0, 8, vec![0]),
                (8, 12, vec![0, 1]),
                (12, 20, vec![0]),
                (20, 25, vec![1])
            ]
        );
        assert_eq!(unbroken(&saw), [time(0, 20)]);
    }

    #[test]
    fn spells_that_touch_are_one() {
        let spells = Spells::of([time(0, 4), time(4, 6), time(9, 10)]);
        assert_eq!(spells.count, 2);
        assert_eq!((spells.sum.micros(), spells.longest.micros()), (7, 6));
        assert_eq!(Spells::of([]), Spells::default());
    }
}
