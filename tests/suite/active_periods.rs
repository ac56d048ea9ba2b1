//! The active-period method: an example worked by hand, and the definition read plainly on random records.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use shopstride::metrics::{Active, ActivePeriods};
use shopstride::units::{Span, Time};

fn at(instant: i64) -> Time {
    Time::from_micros(instant)
}

fn found(active: i64, periods: u64, sole: i64, shifting: i64) -> Active {
    let span = Span::from_micros;
    Active {
        active: span(active),
        periods,
        sole: span(sole),
        shifting: span(shifting),
    }
}

/// Tells the times of all resources as they begin, up to an instant. Those of one resource may overlap; it is active
/// while any of them lasts.
fn tell(periods: &mut ActivePeriods, times: &[Vec<(i64, i64)>], until: i64) {
    let all = times.iter().enumerate();
    let mut all: Vec<(i64, usize, i64)> = all
        .flat_map(|(resource, times)| {
            times
                .iter()
                .map(move |&(start, end)| (start, resource, end))
        })
        .collect();
    all.sort_unstable();
    for (start, resource, end) in all {
        if start <= until {
            add(periods, resource, start, end);
        }
    }
}

/// Tells a time when it begins, which is the latest that it may be told, and settles as soon as that is due.
fn add(periods: &mut ActivePeriods, resource: usize, start: i64, end: i64) {
    if periods.pass(at(start)) {
        periods.settle();
    }
    periods.add(resource, at(start), at(end));
}

/// How many periods are kept.
fn held(periods: &ActivePeriods) -> usize {
    format!("{periods:?}").matches("ActivePeriod {").count()
}

/// Worked by hand, from 0 to 15. M1 is active [0,4) [5,9) [11,13), M2 [1,7) [8,10) [12,15), M3 [2,3) [6,14). The
/// momentary bottlenecks are M1 to 1, M2 to 6, M3 to 14 and M2 to 15, so the bottleneck periods are [0,4), [1,7),
/// [6,14) and [12,15), which overlap from 1 to 4, 6 to 7 and 12 to 14.
const EXAMPLE: [&[(i64, i64)]; 3] = [
    &[(0, 4), (5, 9), (11, 13)],
    &[(1, 7), (8, 10), (12, 15)],
    &[(2, 3), (6, 14)],
];

#[test]
fn the_example_worked_by_hand() {
    let mut periods = ActivePeriods::new(3, at(0)).marking();
    tell(&mut periods, &EXAMPLE.map(Vec::from), 15);
    let (groups, momentary) = periods.end_marked(at(15));
    assert_eq!(
        groups,
        [found(10, 3, 1, 3), found(11, 3, 3, 6), found(9, 2, 5, 3)]
    );
    let averages: Vec<String> = (groups.iter())
        .map(|of| format!("{:.3}", of.average().unwrap() * 1e6))
        .collect();
    assert_eq!(averages, ["3.333", "3.667", "4.500"]);
    let marks: Vec<(usize, i64, bool)> = (momentary.iter())
        .map(|mark| (mark.resource, mark.end.micros(), mark.is_shared))
        .collect();
    let expected = [
        (0, 1, false),
        (1, 4, true),
        (1, 6, false),
        (2, 7, true),
        (2, 12, false),
        (2, 14, true),
        (1, 15, false),
    ];
    assert_eq!(marks, expected);
}

/// The longer one is cut to the same length, and then the smaller number decides.
#[test]
fn the_end_of_the_record_cuts_before_anything_is_compared() {
    let mut periods = ActivePeriods::new(2, at(8));
    tell(&mut periods, &[vec![(6, 10)], vec![(5, 11)]], 10);
    assert_eq!(periods.end(at(10)), [found(2, 1, 2, 0), found(2, 1, 0, 0)]);
    let mut periods = ActivePeriods::new(2, at(8));
    tell(&mut periods, &[vec![(5, 11)], vec![(6, 10)]], 10);
    assert_eq!(periods.end(at(10)), [found(2, 1, 2, 0), found(2, 1, 0, 0)]);
}

#[test]
fn nothing_active_is_nothing_found() {
    let periods = ActivePeriods::new(2, at(0));
    assert_eq!(periods.end(at(9)), [Active::default(); 2]);
    let mut periods = ActivePeriods::new(1, at(0));
    tell(&mut periods, &[vec![(3, 3)]], 9);
    assert_eq!(periods.end(at(9))[0].average(), None);
}

/// One resource that never waits beside many short periods, as a person in a shop of one: what is held does not grow.
#[test]
fn memory_does_not_grow_with_the_run() {
    let mut periods = ActivePeriods::new(4, at(0));
    let mut most = 0;
    for step in 0..200_000 {
        let now = 10 * step;
        add(&mut periods, 0, now, now + 10);
        add(&mut periods, 1, now, now + 7);
        if step % 3 == 0 {
            add(&mut periods, 3, now + 1, now + 24);
        }
        add(&mut periods, 2, now + 2, now + 9);
        if step % 31 == 0 {
            most = most.max(held(&periods));
        }
    }
    assert!(most < 200, "{most} periods were held");
    let groups = periods.end(at(2_000_000));
    assert_eq!(groups[0], found(2_000_000, 1, 2_000_000, 0));
    assert_eq!(groups[1], found(1_400_000, 200_000, 0, 0));
}

/// Without the resource that never waits, periods overlap in an endless chain.
#[test]
fn memory_does_not_grow_with_a_chain_of_bottlenecks() {
    let mut periods = ActivePeriods::new(2, at(0));
    let mut most = 0;
    for step in 0..100_000 {
        add(&mut periods, (step % 2) as usize, 10 * step, 10 * step + 12);
        if step % 31 == 0 {
            most = most.max(held(&periods));
        }
    }
    assert!(most > 0);
    assert!(most < 200, "{most} periods were held");
    let groups = periods.end(at(1_000_000));
    // Each but the first overlaps the one before by 2; the last is cut to 10.
    let shifting = 2 * 99_999;
    assert_eq!(groups[0].shifting.micros(), shifting);
    assert_eq!(groups[1].shifting.micros(), shifting);
    let sole = groups[0].sole.micros() + groups[1].sole.micros();
    assert_eq!(sole + shifting, 1_000_000);
}

/// The definition, instant by instant, with no thought of speed.
fn plainly(times: &[Vec<(i64, i64)>], from: i64, end: i64) -> (Vec<Active>, Vec<Option<usize>>) {
    let mut result = vec![found(0, 0, 0, 0); times.len()];
    let mut all: Vec<(i64, i64, usize)> = Vec::new();
    for (resource, times) in times.iter().enumerate() {
        let is_active = |t: i64| times.iter().any(|&(start, end)| (start..end).contains(&t));
        let mut t = from;
        while t < end {
            if !is_active(t) {
                t += 1;
                continue;
            }
            let start = t;
            while t < end && is_active(t) {
                t += 1;
            }
            all.push((start, t, resource));
            let of = &mut result[resource];
            of.active += Span::from_micros(t - start);
            of.periods += 1;
        }
    }
    let momentary: Vec<Option<(i64, i64, usize)>> = (from..end)
        .map(|t| {
            let here = all.iter().filter(|p| p.0 <= t && t < p.1);
            here.min_by_key(|p| (p.0 - p.1, p.0, p.2)).copied()
        })
        .collect();
    for t in from..end {
        let bottlenecks = all
            .iter()
            .filter(|p| p.0 <= t && t < p.1 && momentary.contains(&Some(**p)));
        let here: Vec<usize> = bottlenecks.map(|p| p.2).collect();
        for &resource in &here {
            let of = &mut result[resource];
            if here.len() == 1 {
                of.sole += Span::from_micros(1);
            } else {
                of.shifting += Span::from_micros(1);
            }
        }
    }
    let momentary = (momentary.iter())
        .map(|winner| winner.map(|(_, _, resource)| resource))
        .collect();
    (result, momentary)
}

/// For each resource gaps and lengths by turns; a gap of 0 makes times touch.
fn records() -> impl Strategy<Value = Vec<Vec<(i64, i64)>>> {
    let steps = prop::collection::vec((0i64..6, 0i64..9), 0..30);
    let resource = steps.prop_map(|steps| {
        let mut now = 0;
        let mut times = Vec::new();
        for (gap, length) in steps {
            times.push((now + gap, now + gap + length));
            now += gap + length;
        }
        times
    });
    prop::collection::vec(resource, 1..6)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 6000, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default()
    })]

    /// Told in the order of time; whatever is active at the end of the record is cut there.
    #[test]
    fn one_pass_finds_what_the_definition_says(times in records(), from in 0i64..40, length in 0i64..200) {
        let end = from + length;
        let (expected, momentary) = plainly(&times, from, end);
        let mut periods = ActivePeriods::new(times.len(), at(from)).marking();
        tell(&mut periods, &times, end);
        let (found, marks) = periods.end_marked(at(end));
        prop_assert_eq!(&found, &expected);
        for (t, winner) in (from..end).zip(momentary) {
            let marked = marks.iter().find(|mark| mark.start <= at(t) && at(t) < mark.end);
            prop_assert_eq!(marked.map(|mark| mark.resource), winner, "at {}", t);
        }
        for (resource, of) in found.iter().enumerate() {
            let alone = marks.iter().filter(|mark| mark.resource == resource && !mark.is_shared);
            let alone: i64 = alone.map(|mark| (mark.end - mark.start).micros()).sum();
            prop_assert_eq!(alone, of.sole.micros(), "resource {}", resource);
        }
        let shares: i64 = found.iter().map(|of| of.sole.micros()).sum();
        prop_assert!(shares <= length);
    }
}
