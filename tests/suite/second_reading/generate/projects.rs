//! Projects with their parts and routes, and their orders.

use std::fmt::Write;

use super::work::{cure, cuts, people};
use super::{Dice, Plan, any_station, duration, station_name};

fn route(dice: &mut Dice, plan: &Plan, is_part: bool) -> String {
    let first = if plan.sized && !is_part { 1 } else { 0 };
    let steps: Vec<String> = (0..dice.between(1, 4))
        .map(|_| {
            let op = dice.between(first, plan.ops - 1);
            if !dice.chance(25) {
                return format!("op{op}");
            }
            let mut own = vec![format!("op: op{op}")];
            match dice.between(0, if plan.sized && is_part { 7 } else { 5 }) {
                6 => own.push(cuts(dice)),
                7 => {
                    let length = dice.pick(&["20 cm", "2 m"]);
                    own.push(format!("piece: [{length}, 12 cm, 2 cm]"));
                }
                0 | 1 => {
                    let at = plan.done_at[op][dice.between(0, plan.done_at[op].len() - 1)];
                    own.push(format!("on: {}", station_name(at)));
                }
                2 => own.push(format!("per lot: {}", duration(dice, plan, 300))),
                3 => own.push(format!("setup: {}", duration(dice, plan, 150))),
                4 => own.extend(people(dice, plan, op)),
                _ => own.extend([cure(dice, plan), "per piece: 30 s".to_string()]),
            }
            format!("{{{}}}", own.join(", "))
        })
        .collect();
    format!("[{}]", steps.join(", "))
}

fn sizes(dice: &mut Dice) -> String {
    let (l, w, t) = (
        dice.between(30, 120),
        dice.between(5, 20),
        dice.between(2, 5),
    );
    let stock = match dice.chance(30) {
        true => format!("stock: [{} cm, {} cm, {t} cm], ", 2 * l + 10, w + 3),
        false => String::new(),
    };
    format!(
        "{stock}rough: [{l} cm, {w} cm, {t} cm], finished: [{} cm, {} cm, {} mm]",
        l - 2,
        w - 1,
        10 * t - 4
    )
}

fn part(dice: &mut Dice, plan: &Plan, may_lack_route: bool) -> Vec<String> {
    let mut keys = vec![format!("pieces: {}", dice.between(1, 8))];
    if plan.sized {
        keys.push(sizes(dice));
    }
    let has_route = !(may_lack_route && dice.chance(if plan.gathers { 70 } else { 12 }));
    if !has_route || dice.chance(80) {
        keys.push(format!("material at: {}", any_station(dice, plan)));
    }
    if has_route {
        keys.push(format!("route: {}", route(dice, plan, true)));
    }
    if dice.chance(30) {
        keys.push(format!("batch: {}", dice.between(1, 4)));
    }
    if dice.chance(15) {
        keys.push(format!("deliver to: {}", any_station(dice, plan)));
    }
    keys
}

/// Lets some parts be cut from material, of one or of two kinds; returns the kinds, each with its keys.
fn cut_from_material(
    wood: &mut Dice,
    plan: &Plan,
    project: usize,
    parts: &mut [Vec<String>],
) -> Vec<String> {
    let mut used = vec![false; wood.between(1, 2)];
    for keys in parts {
        if wood.chance(60) {
            let material = wood.between(0, used.len() - 1);
            used[material] = true;
            keys.retain(|key| !key.starts_with("material at"));
            keys.push(format!("cut from: material{project}{material}"));
        }
    }
    let used = (0..used.len()).filter(|&material| used[material]);
    used.map(|material| {
        let mut keys = vec![format!("pieces: {}", wood.between(1, 6))];
        if plan.sized {
            let (l, w, t) = (
                wood.between(150, 300),
                wood.between(20, 130),
                wood.between(2, 6),
            );
            keys.push(format!("stock: [{l} cm, {w} cm, {t} cm]"));
        }
        let has_route = wood.chance(85);
        if !has_route || wood.chance(70) {
            keys.push(format!("at: {}", any_station(wood, plan)));
        }
        if has_route {
            keys.push(format!("route: {}", route(wood, plan, true)));
        }
        format!("material{project}{material}: {{{}}}", keys.join(", "))
    })
    .collect()
}

pub(super) fn project_lines(
    dice: &mut Dice,
    wood: &mut Dice,
    plan: &Plan,
    project: usize,
    yaml: &mut String,
) {
    writeln!(yaml, "  pr{project}:").unwrap();
    if !plan.sized && dice.chance(25) {
        for key in part(dice, plan, false) {
            if !key.starts_with("batch") && !key.starts_with("deliver") {
                writeln!(yaml, "    {key}").unwrap();
            }
        }
        return;
    }
    let parts = dice.between(1, 4);
    let mut of_parts: Vec<Vec<String>> = (0..parts).map(|p| part(dice, plan, p > 0)).collect();
    if wood.chance(35) {
        let material = cut_from_material(wood, plan, project, &mut of_parts);
        if !material.is_empty() {
            yaml.push_str("    material:\n");
        }
        for material in material {
            writeln!(yaml, "      {material}").unwrap();
        }
    }
    yaml.push_str("    parts:\n");
    for (p, keys) in of_parts.iter().enumerate() {
        writeln!(yaml, "      part{project}{p}: {{{}}}", keys.join(", ")).unwrap();
    }
    if !dice.chance(80) {
        return;
    }
    // Each assembly takes some of what is left, the assemblies before it included.
    let mut left: Vec<String> = (0..parts).map(|p| format!("part{project}{p}")).collect();
    yaml.push_str("    assemblies:\n");
    for a in 0..dice.between(1, 3) {
        let mut taken = Vec::new();
        left.retain(|name| {
            let take = dice.chance(60);
            if take {
                taken.push(name.clone());
            }
            !take
        });
        if taken.is_empty() {
            taken.push(left.pop().expect("something is always left"));
        }
        if dice.chance(30) {
            taken.reverse();
        }
        let mut keys = vec![format!("made of: [{}]", taken.join(", "))];
        if dice.chance(if plan.gathers { 35 } else { 82 }) {
            keys.push(format!("route: {}", route(dice, plan, false)));
        }
        if !plan.sized && dice.chance(20) {
            keys.push(format!("pieces: {}", dice.between(2, 4)));
        }
        if dice.chance(25) {
            keys.push(format!("deliver to: {}", any_station(dice, plan)));
        }
        let name = format!("asm{project}{a}");
        writeln!(yaml, "      {name}: {{{}}}", keys.join(", ")).unwrap();
        left.push(name);
    }
}

pub(super) fn orders(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
    yaml.push_str("orders:\n");
    let lines = dice.between(1, 4);
    for line in 0..lines {
        let mut keys = vec![format!("project: pr{}", dice.between(0, plan.projects - 1))];
        // Every time between orders is a whole number of half minutes.
        let every = 30 * dice.between(2, 80);
        let first = if dice.chance(40) {
            30 * dice.between(0, 40)
        } else {
            0
        };
        if plan.in_progress && (line == 0 || dice.chance(30)) {
            keys.push(format!("in progress: {}", dice.between(1, 3)));
        } else {
            match dice.between(0, 3) {
                0 => {}
                1 => keys.push(format!("count: {}", dice.between(1, 4))),
                2 => {
                    keys.push(format!("every: {every} s, count: {}", dice.between(1, 5)));
                    if first > 0 || dice.chance(20) {
                        keys.push(format!("first: {first} s"));
                    }
                }
                _ => {
                    let until = first + dice.between(0, 4) * every + every / 2;
                    keys.push(format!("every: {every} s, until: {until} s"));
                    if first > 0 {
                        keys.push(format!("first: {first} s"));
                    }
                    if dice.chance(30) {
                        keys.push(format!("count: {}", dice.between(1, 5)));
                    }
                }
            }
        }
        if dice.chance(40) {
            keys.push(format!("due: {} min", 10 * dice.between(1, 12)));
        }
        if dice.chance(15) {
            keys.push(format!("together: {}", dice.between(2, 3)));
        }
        writeln!(yaml, "  - {{{}}}", keys.join(", ")).unwrap();
    }
}
