//! Random small shops in which nothing varies, as scenario text.
//!
//! Every shop is valid: no operation takes more skilled people or gear than there are, whatever is
//! used is connected, and the run ends. Half of the shops live on a grid of whole tens of seconds,
//! walks included, so that much happens at the same instant and ties are common.
//!
//! Left out on purpose, since the description can be read both ways: releases exactly at `until`,
//! `first` without `every`, `faces` on a plain `passes`, several pieces of an assembly where sizes
//! matter, and carts where handling takes no time.

mod dice;
mod hours;
mod placement;
mod projects;
mod resources;
mod rolling;
mod stops;
mod work;

use std::fmt::Write;

pub use dice::Dice;
pub use hours::shop_with_hours;
use placement::layout;
use projects::{orders, project_lines};
use resources::{crew, gear, handling};
pub use stops::shop_with_stops;
use work::{operations, station_list};

/// The name of the one layout of every shop.
pub const LAYOUT: &str = "x";

/// What the later parts of a file have to know of the earlier ones.
struct Plan {
    /// Whole tens of seconds everywhere.
    grid: bool,
    /// Runs that take no time at all are allowed.
    zeros: bool,
    /// Parts have sizes; operation 0 feeds parts through, operation 1 covers surfaces.
    sized: bool,
    /// Many parts and assemblies have no route of their own.
    gathers: bool,
    in_progress: bool,
    stations: usize,
    ops: usize,
    /// Which stations do each operation.
    done_at: Vec<Vec<usize>>,
    /// How many people have the skill for each operation.
    skilled: Vec<usize>,
    /// Names, counts and where they are stored.
    gear: Vec<(&'static str, usize, Option<usize>)>,
    projects: usize,
}

/// A scenario in YAML with one layout, [`LAYOUT`].
pub fn shop(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let in_progress = dice.chance(15);
    let stations = dice.between(2, 6);
    let ops = dice.between(2, 5);
    let mut plan = Plan {
        grid: dice.chance(50),
        zeros: !in_progress && dice.chance(20),
        sized: dice.chance(25),
        gathers: dice.chance(20),
        in_progress,
        stations,
        ops,
        done_at: Vec::new(),
        skilled: Vec::new(),
        gear: Vec::new(),
        projects: dice.between(1, 3),
    };
    for _ in 0..ops {
        let mut at: Vec<usize> = (0..dice.between(1, 3))
            .map(|_| dice.between(0, stations - 1))
            .collect();
        at.sort();
        at.dedup();
        plan.done_at.push(at);
    }
    let mut yaml = format!("title: Random shop {seed}\n");
    crew(&mut dice, &mut plan, &mut yaml);
    gear(&mut dice, &mut plan, &mut yaml);
    handling(&mut dice, &plan, &mut yaml);
    let defaults = operations(&mut dice, &plan, &mut yaml);
    station_list(&mut dice, &plan, &defaults, &mut yaml);
    yaml += "projects:\n";
    // Dice of its own, so that the rest of a shop is what it would be without material.
    let mut wood = Dice::new(!seed);
    for project in 0..plan.projects {
        project_lines(&mut dice, &mut wood, &plan, project, &mut yaml);
    }
    orders(&mut dice, &plan, &mut yaml);
    let queue = dice.pick(&["fifo", "spt", "lpt", "mwkr", "edd"]);
    let switch = dice.pick(&["after each lot", "when its queue is empty"]);
    let choices = [
        "first come",
        "nearest",
        "longest queue",
        "shortest work",
        "most work left",
        "due date",
    ];
    let choose = dice.pick(&choices);
    writeln!(
        yaml,
        "rules: {{queue: {queue}, switch station: {switch}, choose next: {choose}}}"
    )
    .unwrap();
    layout(&mut dice, &plan, &mut yaml);
    yaml += "run: {replications: 1, seed: 1";
    if plan.in_progress || dice.chance(10) {
        write!(yaml, ", until: {} s", 30 * dice.between(40, 400)).unwrap();
    }
    yaml + "}\n"
}

fn station_name(station: usize) -> String {
    if station == 0 {
        "rack".to_string()
    } else {
        format!("st{station}")
    }
}

fn any_station(dice: &mut Dice, plan: &Plan) -> String {
    station_name(dice.between(0, plan.stations - 1))
}

/// A duration of work; zero only where the plan allows it.
fn duration(dice: &mut Dice, plan: &Plan, most_s: usize) -> String {
    if plan.zeros && dice.chance(15) {
        return "0".to_string();
    }
    if plan.grid {
        return format!("{} s", 30 * dice.between(1, most_s.div_ceil(30)));
    }
    match dice.between(0, 3) {
        0 => format!("{} min", dice.between(1, most_s.div_ceil(60))),
        1 => format!("{}.{} s", dice.between(1, most_s), dice.between(1, 9)),
        _ => format!("{} s", dice.between(1, most_s)),
    }
}

fn short_time(dice: &mut Dice, plan: &Plan, zero: bool) -> String {
    if zero {
        "0".to_string()
    } else if plan.grid {
        format!("{} s", 10 * dice.between(1, 3))
    } else {
        format!("{} s", dice.between(1, 6))
    }
}
