//! The layout: distances, or places in a room.

use std::fmt::Write;

use super::{Dice, LAYOUT, Plan, station_name};

pub(super) fn layout(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
    writeln!(yaml, "layouts:\n  {LAYOUT}:").unwrap();
    match dice.between(0, 9) {
        0 => yaml.push_str("    distances: 0\n"),
        1..=4 => placed(dice, plan, yaml),
        _ => measured(dice, plan, yaml),
    }
}

fn measured(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
    yaml.push_str("    distances:\n");
    let length = |dice: &mut Dice| match (dice.chance(6), plan.grid) {
        (true, _) => "0".to_string(),
        (false, true) => format!("{} m", 10 * dice.between(1, 4)),
        (false, false) => format!("{}.{} m", dice.between(1, 11), dice.between(0, 9)),
    };
    let one_way_streets = dice.chance(30);
    let mut rows: Vec<Vec<String>> = vec![Vec::new(); plan.stations];
    for b in 1..plan.stations {
        // Each station is tied to an earlier one, so that chains reach everything.
        let tied_to = dice.between(0, b - 1);
        for a in 0..b {
            if a == tied_to || dice.chance(45) {
                let there = length(dice);
                rows[a].push(format!("{}: {there}", station_name(b)));
                if one_way_streets && dice.chance(40) {
                    let back = length(dice);
                    rows[b].push(format!("{}: {back}", station_name(a)));
                }
            }
        }
    }
    for (station, row) in rows.iter().enumerate() {
        if !row.is_empty() {
            writeln!(
                yaml,
                "      {}: {{{}}}",
                station_name(station),
                row.join(", ")
            )
            .unwrap();
        }
    }
}

fn placed(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
    let walk = dice.pick(&["straight", "rectilinear"]);
    writeln!(yaml, "    walk: {walk}\n    at:").unwrap();
    let pitch = if plan.grid { 10 } else { 3 };
    let mut cells: Vec<usize> = (0..9).collect();
    let turns = dice.chance(40);
    for station in 0..plan.stations {
        let cell = cells.remove(dice.between(0, cells.len() - 1));
        let (x, y) = (pitch * (cell % 3 + 1), pitch * (cell / 3 + 1));
        let at = format!("[{x} m, {y} m]");
        let name = station_name(station);
        if turns && dice.chance(50) {
            let turn = 90 * dice.between(1, 3);
            writeln!(yaml, "      {name}: {{at: {at}, turn: {turn}}}").unwrap();
        } else {
            writeln!(yaml, "      {name}: {at}").unwrap();
        }
    }
}
