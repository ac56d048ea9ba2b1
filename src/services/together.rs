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

/// When at least one, at least two and so on of several alike are on, whichever of them it is, given the times of all of
/// them in any order: as many as are ever on together.
pub fn levels(times: &[OnTime]) -> Vec<Vec<OnTime>> {
    let real = times.iter().filter(|time| time.from < time.until);
    let mut turns: Vec<(Moment, i32)> = real
        .flat_map(|time| [(time.from, 1), (time.until, -1)])
        .collect();
    turns.sort_unstable();
    let mut levels: Vec<Vec<OnTime>> = Vec::new();
    let mut begun: Vec<Moment> = Vec::new();
    for turns in turns.chunk_by(|one, other| one.0 == other.0) {
        let now = turns[0].0;
        let change: i32 = turns.iter().map(|&(_, change)| change).sum();
        let on = begun.len().saturating_add_signed(change as isize);
        while begun.len() > on {
            let from = begun.pop().unwrap_or(now);
            levels[begun.len()].push(OnTime { from, until: now });
        }
        begun.resize(on, now);
        levels.resize_with(levels.len().max(on), Vec::new);
    }
    levels
}

/// When something is on that begins with each of these times and stays on for so long after it.
pub fn running_on(times: &[OnTime], longer: Span) -> Vec<OnTime> {
    let longer: Vec<OnTime> = (times.iter().filter(|time| time.from < time.until))
        .map(|time| OnTime {
            until: time.until + longer,
            ..*time
        })
        .collect();
    unbroken(&longer)
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
    fn of_several_alike_it_is_counted_how_many_are_on() {
        let found = levels(&[time(0, 10), time(20, 30), time(5, 20), time(7, 7)]);
        assert_eq!(found, [vec![time(0, 30)], vec![time(5, 10)]]);
    }

    #[test]
    fn what_runs_on_is_on_through_short_gaps() {
        let times = [time(0, 10), time(12, 20), time(30, 30), time(40, 41)];
        let found = running_on(&times, Span::from_micros(5));
        assert_eq!(found, [time(0, 25), time(40, 46)]);
    }

    #[test]
    fn spells_that_touch_are_one() {
        let spells = Spells::of([time(0, 4), time(4, 6), time(9, 10)]);
        assert_eq!(spells.count, 2);
        assert_eq!((spells.sum.micros(), spells.longest.micros()), (7, 6));
        assert_eq!(Spells::of([]), Spells::default());
    }
}
