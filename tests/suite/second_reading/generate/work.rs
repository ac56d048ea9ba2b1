//! Operations and the stations that do them.

use std::fmt::Write;

use super::{Dice, Plan, any_station, duration, station_name};

pub(super) fn people(dice: &mut Dice, plan: &Plan, op: usize) -> Option<String> {
    let wanted = match dice.between(0, 99) {
        0..=17 => 0,
        18..=32 => 2,
        33..=42 => 3,
        43..=47 => 1,
        _ => return None,
    };
    Some(format!("people: {}", wanted.min(plan.skilled[op])))
}

fn gear_of_operation(dice: &mut Dice, plan: &Plan) -> Option<String> {
    let mut wanted = Vec::new();
    for (name, count, _) in &plan.gear {
        if dice.chance(40) {
            wanted.push(format!("{name}: {}", dice.between(1, *count)));
        }
    }
    // Gear is fetched as named, so the order of names matters.
    if dice.chance(50) {
        wanted.reverse();
    }
    (!wanted.is_empty()).then(|| format!("gear: {{{}}}", wanted.join(", ")))
}

pub(super) fn cure(dice: &mut Dice, plan: &Plan) -> String {
    let time = duration(dice, plan, 900);
    let ties = match dice.between(0, 4) {
        0 | 1 => return format!("cure: {{time: {time}}}"),
        2 => String::new(),
        3 => "station".to_string(),
        _ => plan.gear.first().map_or("station", |g| g.0).to_string(),
    };
    format!("cure: {{time: {time}, ties up: [{ties}]}}")
}

/// The keys of an operation at a station; a run time is among them unless the file has it already.
pub(super) fn keys(dice: &mut Dice, plan: &Plan, op: usize, has_time: bool) -> Vec<String> {
    let mut keys = Vec::new();
    if dice.chance(40) {
        keys.push(format!("setup: {}", duration(dice, plan, 150)));
    }
    if dice.chance(20) {
        keys.push(format!("teardown: {}", duration(dice, plan, 90)));
    }
    if dice.chance(50) {
        keys.push(format!("per piece: {}", duration(dice, plan, 90)));
    }
    let timed = has_time || keys.iter().any(|k| k.starts_with("per piece"));
    if !timed || dice.chance(40) {
        keys.push(format!("per lot: {}", duration(dice, plan, 300)));
    }
    if plan.sized && op == 0 && dice.chance(70) {
        keys.push(format!(
            "feed speed: {}",
            dice.pick(&["3 m/min", "11 ft/min", "0.07 m/s"])
        ));
        match dice.between(0, 3) {
            0 => keys.push(format!("passes: {}", dice.between(1, 3))),
            1 => keys.push("depth per pass: 1/16 in".to_string()),
            2 => keys.extend(["depth per pass: 2 mm".to_string(), "faces: 2".to_string()]),
            _ => keys.push("along: width".to_string()),
        }
    }
    if plan.sized && dice.chance(30) {
        keys.push(cuts(dice));
    }
    if plan.sized && op == 1 && dice.chance(70) {
        keys.push(format!(
            "area rate: {}",
            dice.pick(&["7 m2/h", "1.3 ft2/min"])
        ));
    }
    keys.extend(people(dice, plan, op));
    if dice.chance(22) {
        keys.push(cure(dice, plan));
    }
    keys.extend(gear_of_operation(dice, plan));
    if dice.chance(12) {
        keys.push(format!("fetch from: {}", any_station(dice, plan)));
    }
    keys
}

pub(super) fn cuts(dice: &mut Dice) -> String {
    let cuts = [
        "length",
        "width",
        "[thickness]",
        "[length, width, thickness]",
    ];
    format!("cuts: {}", dice.pick(&cuts))
}

/// Defaults of some operations; says which operations got a run time here.
pub(super) fn operations(dice: &mut Dice, plan: &Plan, yaml: &mut String) -> Vec<bool> {
    let with_defaults: Vec<bool> = (0..plan.ops).map(|_| dice.chance(25)).collect();
    if with_defaults.contains(&true) {
        yaml.push_str("operations:\n");
    }
    for op in (0..plan.ops).filter(|&op| with_defaults[op]) {
        writeln!(
            yaml,
            "  op{op}: {{{}}}",
            keys(dice, plan, op, false).join(", ")
        )
        .unwrap();
    }
    with_defaults
}

pub(super) fn station_list(dice: &mut Dice, plan: &Plan, defaults: &[bool], yaml: &mut String) {
    yaml.push_str("stations:\n");
    // Dice of their own, so that the rest of a shop is what it would be without.
    let written = yaml.bytes();
    let written = written.fold(0_u64, |sum, byte| {
        sum.wrapping_mul(31).wrapping_add(u64::from(byte))
    });
    let mut stances = Dice::new(written);
    for station in 0..plan.stations {
        writeln!(yaml, "  {}:", station_name(station)).unwrap();
        if dice.chance(30) {
            yaml.push_str("    count: 2\n");
        }
        if dice.chance(30) {
            yaml.push_str("    size: [60 cm, 80 cm]\n");
        }
        let all_alike = dice.chance(15);
        let mut does: Vec<usize> = (0..plan.ops)
            .filter(|&op| plan.done_at[op].contains(&station))
            .collect();
        let apart: Vec<String> = (does.iter())
            .filter(|_| stances.chance(10))
            .map(|op| format!("op{op}: [{} cm, 1 m]", 50 * op))
            .collect();
        if !apart.is_empty() {
            writeln!(yaml, "    stand: {{{}}}", apart.join(", ")).unwrap();
        } else if all_alike {
            yaml.push_str("    stand: [20 cm, -50 cm]\n");
        }
        if does.is_empty() {
            yaml.push_str("    does: {}\n");
            continue;
        }
        if dice.chance(30) {
            does.reverse();
        }
        yaml.push_str("    does:\n");
        for op in does {
            let inherits = defaults[op] && dice.chance(40);
            let keys = if inherits {
                Vec::new()
            } else {
                keys(dice, plan, op, defaults[op])
            };
            writeln!(yaml, "      op{op}: {{{}}}", keys.join(", ")).unwrap();
        }
    }
}
