//! Random small shops in which nothing varies, as scenario text.
//!
//! Every shop is valid: no operation takes more skilled people or gear than there are, whatever is
//! used is connected, and the run ends. Half of the shops live on a grid of whole tens of seconds,
//! walks included, so that much happens at the same instant and ties are common.
//!
//! Left out on purpose, since the description can be read both ways: releases exactly at `until`,
//! `first` without `every`, `faces` on a plain `passes`, several pieces of an assembly where sizes
//! matter, and carts where handling takes no time.

use std::fmt::Write;

/// The name of the one layout of every shop.
pub const LAYOUT: &str = "x";

/// A small generator of its own (splitmix64), so that a seed means the same shop for ever.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x2545_f491_4f6c_dd1d) ^ 0x5eed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn between(&mut self, least: usize, most: usize) -> usize {
        least + (self.next() % (most - least + 1) as u64) as usize
    }

    /// True in so many of a hundred cases.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.between(0, 99) < percent
    }

    pub fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.between(0, list.len() - 1)]
    }
}

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
    for project in 0..plan.projects {
        project_lines(&mut dice, &plan, project, &mut yaml);
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

fn crew(dice: &mut Dice, plan: &mut Plan, yaml: &mut String) {
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

fn gear(dice: &mut Dice, plan: &mut Plan, yaml: &mut String) {
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

fn handling(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
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

fn people(dice: &mut Dice, plan: &Plan, op: usize) -> Option<String> {
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

fn cure(dice: &mut Dice, plan: &Plan) -> String {
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
fn keys(dice: &mut Dice, plan: &Plan, op: usize, has_time: bool) -> Vec<String> {
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

fn cuts(dice: &mut Dice) -> String {
    let cuts = [
        "length",
        "width",
        "[thickness]",
        "[length, width, thickness]",
    ];
    format!("cuts: {}", dice.pick(&cuts))
}

/// Defaults of some operations; says which operations got a run time here.
fn operations(dice: &mut Dice, plan: &Plan, yaml: &mut String) -> Vec<bool> {
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

fn station_list(dice: &mut Dice, plan: &Plan, defaults: &[bool], yaml: &mut String) {
    yaml.push_str("stations:\n");
    for station in 0..plan.stations {
        writeln!(yaml, "  {}:", station_name(station)).unwrap();
        if dice.chance(30) {
            yaml.push_str("    count: 2\n");
        }
        if dice.chance(30) {
            yaml.push_str("    size: [60 cm, 80 cm]\n");
        }
        if dice.chance(15) {
            yaml.push_str("    stand: [20 cm, -50 cm]\n");
        }
        let mut does: Vec<usize> = (0..plan.ops)
            .filter(|&op| plan.done_at[op].contains(&station))
            .collect();
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

fn project_lines(dice: &mut Dice, plan: &Plan, project: usize, yaml: &mut String) {
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
    yaml.push_str("    parts:\n");
    for p in 0..parts {
        writeln!(
            yaml,
            "      part{project}{p}: {{{}}}",
            part(dice, plan, p > 0).join(", ")
        )
        .unwrap();
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

fn orders(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
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

fn layout(dice: &mut Dice, plan: &Plan, yaml: &mut String) {
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
