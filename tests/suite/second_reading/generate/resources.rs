//! People, gear and how things are carried.

use std::fmt::Write;

use super::{Dice, Plan, any_station, short_time, station_name};

pub(super) fn crew(dice: &mut Dice, plan: &mut Plan, yaml: &mut String) {
    let people = dice.between(1, 4);
    let picky = dice.chance(40);
    // A group has one entry in the file for several people.
    let group = people >= 2 && dice.chance(15);
    let entries = if group { people - 1 } else { people };
    let size = |entry: usize| if group && entry == entries - 1 { 2 } else { 1 };
    let mut can: Vec<Option<Vec<usize>>> = (0..entries)
        .map(|_| {
            let some = picky && dice.chance(60);
            some.then(|| (0..plan.ops).filter(|_| dice.chance(60)).collect())
        })
        .collect();
    for op in 0..plan.ops {
        if can
            .iter()
            .all(|c| c.as_ref().is_some_and(|c| !c.contains(&op)))
        {
            let entry = dice.between(0, entries - 1);
            can[entry].as_mut().expect("nobody can do it").push(op);
        }
        let skilled = (0..entries).filter(|&e| can[e].as_ref().is_none_or(|c| c.contains(&op)));
        plan.skilled.push(skilled.map(size).sum());
    }
    yaml.push_str("crew:\n");
    for (entry, can) in can.iter().enumerate() {
        let mut keys = Vec::new();
        if size(entry) == 2 {
            keys.push("count: 2".to_string());
        }
        if let Some(can) = can {
            let ops: Vec<String> = can.iter().map(|op| format!("op{op}")).collect();
            keys.push(format!("can: [{}]", ops.join(", ")));
        }
        if dice.chance(25) {
            keys.push(format!(
                "walking speed: {}",
                dice.pick(&["0.5 m/s", "2 m/s", "1.1 m/s"])
            ));
        }
        if dice.chance(40) {
            keys.push(format!("starts at: {}", any_station(dice, plan)));
        }
        writeln!(yaml, "  p{entry}: {{{}}}", keys.join(", ")).unwrap();
    }
}

pub(super) fn gear(dice: &mut Dice, plan: &mut Plan, yaml: &mut String) {
    for name in ["clamps", "jig"] {
        if dice.chance(45) {
            let stored = dice.chance(50).then(|| dice.between(0, plan.stations - 1));
            plan.gear.push((name, dice.between(1, 6), stored));
        }
    }
    if plan.gear.is_empty() {
        return;
    }
    yaml.push_str("gear:\n");
    for (name, count, stored) in &plan.gear {
        match stored {
            Some(at) => {
                writeln!(
                    yaml,
                    "  {name}: {{count: {count}, stored at: {}}}",
                    station_name(*at)
                )
                .unwrap();
            }
            None => writeln!(yaml, "  {name}: {{count: {count}}}").unwrap(),
        }
    }
}

pub(super) fn handling(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
    let carts = dice.chance(35);
    let (walking, loaded) = if plan.grid {
        ("1 m/s", "1 m/s")
    } else {
        ("1.25 m/s", "0.9 m/s")
    };
    // Without any handling time, work that needs nobody can be carried by nobody.
    let free_hands = !carts && dice.chance(40);
    let one_free = dice.chance(20);
    let pick_up = short_time(dice, plan, free_hands);
    let put_down = short_time(dice, plan, free_hands || one_free);
    write!(
        yaml,
        "handling:\n  walking speed: {walking}\n  loaded speed: {loaded}\n  pick up: {pick_up}\n  put down: {put_down}\n"
    )
    .unwrap();
    let pieces = dice
        .chance(60)
        .then(|| format!("pieces: {}", dice.between(1, 5)));
    let mass = plan
        .sized
        .then(|| format!("mass: {}", dice.pick(&["1.7 kg", "4.3 kg", "9.1 kg"])));
    let limits: Vec<String> = pieces.into_iter().chain(mass).collect();
    if !limits.is_empty() {
        writeln!(yaml, "  carry: {{{}}}", limits.join(", ")).unwrap();
    }
    if plan.sized {
        yaml.push_str("  density: 613 kg/m3\n");
    }
    if carts {
        writeln!(
            yaml,
            "  carts: {{count: {}, stored at: {}, pieces: {}, speed: {}, at least: {}, load: {}, unload: {}}}",
            dice.between(1, 2),
            any_station(dice, plan),
            dice.between(2, 8),
            if plan.grid { "0.5 m/s" } else { "0.8 m/s" },
            dice.between(1, 5),
            short_time(dice, plan, false),
            short_time(dice, plan, false),
        )
        .unwrap();
    }
}
