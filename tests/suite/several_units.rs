//! Which of several machines of a kind takes the work, by hand.

use crate::relief::{lead_time, named, relief};
use crate::second_reading;
use crate::support::{data, record, study, trace};
use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::Study;
use shopstride::metrics::What;

const MIN: i64 = 60_000_000;

fn tables() -> String {
    data("scenarios/router-tables.yaml")
}

/// The same with one layout alone.
fn two_tables() -> String {
    let all = tables();
    let (before, _) = all.split_once("candidates:").expect("there is another one");
    before.to_owned()
}

/// The numbers of the units that run, one after the other, and when their runs end in minutes.
fn units(study: &Study) -> Vec<(u32, f64)> {
    let lines = trace(study, 0, 0);
    let runs = lines.iter().filter_map(|line| match line.what {
        What::Phase {
            of: Occupied::Unit(_, unit),
            doing:
                Doing::Work {
                    phase: WorkPhase::Run,
                    ..
                },
            ..
        } => Some((unit + 1, line.end.seconds() / 60.0)),
        _ => None,
    });
    runs.collect()
}

/// Each table takes its bit at first, and the second side finds it at the first table. Flush trimming has no setup but a
/// bit of its own: it takes the table that has been idle longest, the second (since 22 min, the first since 27 min).
/// So the third side still finds its bit; the second edge does not, and takes the table idle since 28 min.
#[test]
fn work_goes_where_its_setup_is_else_to_the_unit_idle_longest() {
    let expected = [
        (1, 10.0 + 5.0),
        (2, 15.0 + 4.0 + 3.0),
        (1, 22.0 + 5.0),
        (2, 27.0 + 1.0),
        (1, 28.0 + 5.0),
        (2, 33.0 + 4.0 + 3.0),
    ];
    assert_eq!(units(&study(&tables())), expected);
    let outcome = second_reading::play(&two_tables(), "two tables");
    let ends: Vec<f64> = expected.iter().map(|run| run.1 * 60.0).collect();
    assert_eq!(outcome.lead_times_s(), ends);
    assert_eq!(outcome.stations[0].setup_us, (10 + 4 + 4) * MIN);
}

/// Nothing that comes after it is set up either, but the unit is chosen alike: the trace shows which.
#[test]
fn without_any_setup_the_same_units_are_chosen() {
    let without = tables()
        .replace("setup: 10 min, ", "")
        .replace("setup: 4 min, ", "");
    let numbers: Vec<u32> = units(&study(&without)).iter().map(|run| run.0).collect();
    assert_eq!(numbers, [1, 2, 1, 2, 1, 2]);
}

/// A cure that ties up its unit counts as work: the first, which cures until 30 min, has been idle for a shorter time
/// at 35 min than the second, which was free at 25 min.
#[test]
fn a_unit_is_idle_from_the_end_of_the_cure_that_ties_it_up() {
    let yaml = "
title: Two presses
stations:
  press:
    count: 2
    does:
      veneer: {per lot: 10 min, cure: {time: 20 min}}
      bend: {per lot: 15 min}
      emboss: {per lot: 1 min}
projects:
  panel: {route: [veneer]}
  rib: {route: [bend]}
  seal: {route: [emboss]}
orders: [{project: panel}, {project: rib}, {project: seal, first: 35 min, every: 0, count: 1}]
layouts: {x: {distances: 0}}
";
    let expected = [(1, 10.0), (2, 25.0), (2, 36.0)];
    assert_eq!(units(&study(yaml)), expected);
}

/// One person needs no second table to find one free, but pays a setup for every change of the bit: with one table the
/// orders are done after 15, 22, 37, 38, 53 and 60 min, with two after 15, 22, 27, 28, 33 and 40 min.
#[test]
fn as_many_units_as_people_may_still_be_too_few_where_setups_are_paid() {
    let mut study = study(&tables());
    study.candidates.swap(0, 1);
    assert_eq!(study.candidates[0].name, "one table");
    let tried = relief(&study);
    let saved = lead_time(named(&tried, "router table", "one more")) / 60.0;
    let mean = |ends: [f64; 6]| ends.iter().sum::<f64>() / 6.0;
    let exact =
        mean([15.0, 22.0, 27.0, 28.0, 33.0, 40.0]) - mean([15.0, 22.0, 37.0, 38.0, 53.0, 60.0]);
    assert!((saved - exact).abs() < 1e-9, "{saved} against {exact}");
    let one = record(&study, 0, 1, 0);
    assert_eq!(one.end.seconds(), 60.0 * 60.0);
}
