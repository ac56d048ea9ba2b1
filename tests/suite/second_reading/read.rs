//! From the file to the shop: names become positions, overrides are settled, sizes become times.

use serde_json::{Map, Value};

use super::distances;
use super::quantity::{area_rate, density, length_nm, mass_kg, micros, seconds, speed, whole};
use super::shop::*;

/// Length, width and thickness in nanometres.
type Sizes = [i64; 3];

/// What a line's pieces measure, as far as the file says.
#[derive(Clone, Copy, Default)]
struct Dimensions {
    rough: Option<Sizes>,
    finished: Option<Sizes>,
    stock: Option<Sizes>,
    /// Surface of a piece in m².
    surface: Option<f64>,
    /// Of a piece before any work, and of a finished one.
    kg: Option<f64>,
    kg_finished: Option<f64>,
}

/// What reading a route needs to know of the rest of the file.
struct Names<'a> {
    root: &'a Value,
    stations: Vec<String>,
    gear: Vec<String>,
}

impl Names<'_> {
    fn station(&self, name: &str) -> usize {
        position(&self.stations, name)
    }
}

fn position(names: &[String], name: &str) -> usize {
    names
        .iter()
        .position(|n| n == name)
        .unwrap_or_else(|| panic!("nothing is called {name}"))
}

fn mapping(value: Option<&Value>) -> Map<String, Value> {
    match value {
        None | Some(Value::Null) => Map::new(),
        Some(Value::Object(keys)) => keys.clone(),
        Some(other) => panic!("{other} is not a mapping"),
    }
}

fn text(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is not a name"))
}

/// Reads a scenario.
///
/// # Panics
/// On everything that this reading does not know.
pub fn read(yaml: &str) -> Shop {
    let root: Value = serde_yaml::from_str(yaml).expect("the scenario is YAML");
    for absent in ["sessions", "candidates"] {
        assert!(root.get(absent).is_none(), "{absent} are not known here");
    }
    let station_keys = mapping(root.get("stations"));
    let gear_keys = mapping(root.get("gear"));
    let names = Names {
        root: &root,
        stations: station_keys.keys().cloned().collect(),
        gear: gear_keys.keys().cloned().collect(),
    };
    let stations = station_keys
        .iter()
        .map(|(name, keys)| Station {
            name: name.clone(),
            count: keys.get("count").map_or(1, |c| whole(c) as usize),
        })
        .collect();
    let gear = gear_keys
        .values()
        .map(|keys| Gear {
            count: keys.get("count").map_or(1, whole),
            stored_at: keys.get("stored at").map(|s| names.station(text(s))),
        })
        .collect();
    let handling_keys = mapping(root.get("handling"));
    let project_keys = mapping(root.get("projects"));
    let project_names: Vec<String> = project_keys.keys().cloned().collect();
    let heavy = handling_keys.get("density").map_or(650.0, density);
    let run = mapping(root.get("run"));
    assert!(
        run.get("warm up").is_none_or(|w| seconds(w) == 0.0),
        "a warm-up is not known here"
    );
    Shop {
        stations,
        gear,
        crew: crew(&names, &handling_keys),
        handling: handling(&names, &handling_keys),
        projects: project_keys
            .iter()
            .map(|(name, keys)| project(&names, name, keys, heavy))
            .collect(),
        orders: root["orders"]
            .as_array()
            .expect("orders are a list")
            .iter()
            .map(|o| order(&project_names, o))
            .collect(),
        rules: rules(&mapping(root.get("rules"))),
        horizon: run
            .get("until")
            .filter(|u| u.as_str() != Some("done"))
            .map(micros),
        layouts: mapping(root.get("layouts"))
            .iter()
            .map(|(name, keys)| Layout {
                name: name.clone(),
                distances: distances::read(keys, &names.stations, &stands(&station_keys)),
            })
            .collect(),
    }
}

/// Where one stands at each station, from the footprint's centre, before turning.
fn stands(stations: &Map<String, Value>) -> Vec<(f64, f64)> {
    stations
        .values()
        .map(|keys| match (keys.get("stand"), keys.get("size")) {
            (Some(stand), _) => (length_nm(&stand[0]) as f64, length_nm(&stand[1]) as f64),
            (None, size) => (
                0.0,
                -size.map_or(0.0, |s| length_nm(&s[1]) as f64 / 2.0) - 304_800_000.0,
            ),
        })
        .collect()
}

fn crew(names: &Names, handling: &Map<String, Value>) -> Vec<Person> {
    let usual = handling.get("walking speed").map_or(1.25, speed);
    let mut keys = mapping(names.root.get("crew"));
    if keys.is_empty() {
        keys.insert("maker".into(), Value::Null);
    }
    let mut crew = Vec::new();
    for (name, keys) in &keys {
        let keys = mapping(Some(keys));
        let count = keys.get("count").map(whole);
        for k in 1..=count.unwrap_or(1) {
            crew.push(Person {
                name: if count.is_some() {
                    format!("{name} {k}")
                } else {
                    name.clone()
                },
                can: keys.get("can").map(|c| {
                    c.as_array()
                        .expect("can is a list")
                        .iter()
                        .map(|op| text(op).to_string())
                        .collect()
                }),
                speed: keys.get("walking speed").map_or(usual, speed),
                starts_at: keys.get("starts at").map_or(0, |s| names.station(text(s))),
            });
        }
    }
    crew
}

fn handling(names: &Names, keys: &Map<String, Value>) -> Handling {
    let carry = mapping(keys.get("carry"));
    Handling {
        loaded_speed: keys.get("loaded speed").map_or(1.0, speed),
        pick_up: keys.get("pick up").map_or(2_000_000, micros),
        put_down: keys.get("put down").map_or(2_000_000, micros),
        // Reading: a limit of pieces alone leaves the usual limit of mass in force.
        carry_kg: carry.get("mass").map_or(15.0, mass_kg),
        carry_pieces: carry.get("pieces").map(whole),
        carts: keys.get("carts").map(|c| Carts {
            count: c.get("count").map_or(1, |n| whole(n) as usize),
            stored_at: names.station(text(&c["stored at"])),
            pieces: whole(&c["pieces"]),
            speed: speed(&c["speed"]),
            at_least: whole(&c["at least"]),
            load: micros(&c["load"]),
            unload: micros(&c["unload"]),
        }),
    }
}

fn project(names: &Names, name: &str, keys: &Value, heavy: f64) -> Project {
    let assemblies = mapping(keys.get("assemblies"));
    let mut parts = mapping(keys.get("parts"));
    if parts.is_empty() {
        // A project of one lot is a part of the same name.
        parts.insert(name.to_string(), keys.clone());
    }
    let line_names: Vec<String> = parts.keys().chain(assemblies.keys()).cloned().collect();
    let all: Vec<&Value> = parts.values().chain(assemblies.values()).collect();
    let made_of: Vec<Vec<usize>> = all
        .iter()
        .map(|k| match k.get("made of") {
            Some(list) => list
                .as_array()
                .expect("made of is a list")
                .iter()
                .map(|i| position(&line_names, text(i)))
                .collect(),
            None => Vec::new(),
        })
        .collect();
    let sizes: Vec<Dimensions> = (0..all.len())
        .map(|i| dimensions(i, &all, &made_of, heavy))
        .collect();
    let lines = (0..all.len())
        .map(|i| {
            let steps: Vec<&Value> = match all[i].get("route").and_then(Value::as_array) {
                Some(steps) => steps.iter().collect(),
                None => Vec::new(),
            };
            let is_part = made_of[i].is_empty();
            let piece_kg = weights(names, &steps, &sizes[i], is_part, heavy);
            let route: Vec<Step> = steps.iter().map(|s| step(names, s, &sizes[i])).collect();
            let named = all[i].get("material at").map(|s| names.station(text(s)));
            Line {
                name: line_names[i].clone(),
                pieces: pieces(all[i]),
                batch: all[i].get("batch").map(whole),
                material_at: named.or_else(|| route.first().map(|s| s.at[0].0)),
                made_of: made_of[i].clone(),
                route,
                deliver_to: all[i].get("deliver to").map(|s| names.station(text(s))),
                piece_kg,
            }
        })
        .collect();
    Project {
        name: name.to_string(),
        lines,
    }
}

fn pieces(line: &Value) -> i64 {
    line.get("pieces").map_or(1, whole)
}

/// What a piece of a line measures; the surface and mass of an assembly come from its inputs.
fn dimensions(line: usize, all: &[&Value], made_of: &[Vec<usize>], heavy: f64) -> Dimensions {
    let sizes = |key: &str| -> Option<Sizes> {
        let list = all[line].get(key)?;
        Some([
            length_nm(&list[0]),
            length_nm(&list[1]),
            length_nm(&list[2]),
        ])
    };
    let (rough, finished) = (sizes("rough"), sizes("finished"));
    let metres = |nm: i64| nm as f64 / 1e9;
    if made_of[line].is_empty() {
        let surface = finished.map(|s| {
            let [l, w, t] = s.map(metres);
            2.0 * (l * w + l * t + w * t)
        });
        let kg = rough.map(|rough| weight(rough, rough, heavy));
        // Reading: what does not say that it becomes smaller stays as heavy as it was.
        let kg_finished = rough.map(|rough| weight(rough, finished.unwrap_or(rough), heavy));
        return Dimensions {
            rough,
            finished,
            stock: sizes("stock"),
            surface,
            kg,
            kg_finished,
        };
    }
    // Reading: one input without a mass, and the assembly has none; the same for the surface.
    let mut surface = Some(0.0);
    let mut kg = Some(0.0);
    for &input in &made_of[line] {
        let of = dimensions(input, all, made_of, heavy);
        let n = pieces(all[input]) as f64;
        surface = surface.zip(of.surface).map(|(sum, one)| sum + one * n);
        // Reading: what is assembled has been worked to its end.
        kg = kg.zip(of.kg_finished).map(|(sum, one)| sum + one * n);
    }
    // Reading: several pieces of an assembly share the sums of the inputs evenly, and the length
    // that a feed speed needs is that of `finished`.
    let n = pieces(all[line]) as f64;
    let kg = kg.map(|m| m / n);
    Dimensions {
        rough: finished,
        finished,
        stock: None,
        surface: surface.map(|s| s / n),
        kg,
        kg_finished: kg,
    }
}

/// What is left in kg of a rough piece that has been brought to these sizes. Reading: of a board that is larger than the
/// rough piece, only that piece counts, since several may come out of one board.
fn weight(rough: Sizes, now: Sizes, heavy: f64) -> f64 {
    let sides = rough.iter().zip(now);
    let left = sides.map(|(&rough, now)| rough.min(now) as f64 / 1e9);
    left.product::<f64>() * heavy
}

/// The mass of a piece before each step of its route, and after the last one.
fn weights(
    names: &Names,
    route: &[&Value],
    of: &Dimensions,
    is_part: bool,
    heavy: f64,
) -> Vec<Option<f64>> {
    if !is_part {
        return vec![of.kg; route.len() + 1];
    }
    let stages: Vec<Sizes> = [of.stock, of.rough, of.finished]
        .into_iter()
        .flatten()
        .collect();
    // How often the length, the width and the thickness have been cut.
    let mut cut = [0; 3];
    let mut all = Vec::new();
    for step in route {
        let own = (step.get("piece")).map(|list| [0, 1, 2].map(|side| length_nm(&list[side])));
        let side = |s: usize| {
            stages
                .get(cut[s].min(stages.len().saturating_sub(1)))
                .map(|sizes| sizes[s])
        };
        let reached = || Some([side(0)?, side(1)?, side(2)?]);
        let now = own.or_else(reached);
        all.push(
            of.rough
                .map(|rough| weight(rough, now.unwrap_or(rough), heavy)),
        );
        for (s, name) in ["length", "width", "thickness"].into_iter().enumerate() {
            cut[s] += cuts(names, step).iter().filter(|cut| *cut == name).count();
        }
    }
    all.push(of.kg_finished);
    all
}

/// Which sizes a step changes. Reading: the step says so, else the first station that can do it, else the operation.
fn cuts(names: &Names, step: &Value) -> Vec<String> {
    let list = |value: &Value| match value.as_array() {
        Some(list) => list.iter().map(|one| text(one).to_string()).collect(),
        None => vec![text(value).to_string()],
    };
    let op = step.as_str().unwrap_or_else(|| text(&step["op"]));
    let on = step.get("on").map(text);
    let does = |name: &&String| names.root["stations"][name.as_str()].get("does")?.get(op);
    let mut stations = names
        .stations
        .iter()
        .filter(|name| on.is_none_or(|on| on == *name));
    let station = stations
        .find(|name| does(name).is_some())
        .expect("somebody does it");
    let common = names.root.get("operations").and_then(|all| all.get(op));
    let levels = [Some(step), does(&station), common];
    let said = levels
        .into_iter()
        .flatten()
        .find_map(|keys| keys.get("cuts"));
    said.map_or(Vec::new(), list)
}

fn step(names: &Names, step: &Value, sizes: &Dimensions) -> Step {
    let own = if step.is_string() {
        Map::new()
    } else {
        mapping(Some(step))
    };
    let op = step
        .as_str()
        .unwrap_or_else(|| text(&own["op"]))
        .to_string();
    let on = own.get("on").map(|s| names.station(text(s)));
    let common = mapping(names.root.get("operations").and_then(|o| o.get(&op)));
    let mut at = Vec::new();
    for (station, name) in names.stations.iter().enumerate() {
        let does = names.root["stations"][name]
            .get("does")
            .and_then(|d| d.get(&op));
        if let Some(does) = does
            && on.is_none_or(|on| on == station)
        {
            // Each key on its own: the step wins over the station, the station over the default.
            // Reading: a number of passes and a depth per pass are two ways to say one thing, so that a
            // nearer one of either takes the place of a farther one of the other.
            let mut keys = common.clone();
            for nearer in [mapping(Some(does)), own.clone()] {
                if nearer.contains_key("passes") || nearer.contains_key("depth per pass") {
                    keys.remove("passes");
                    keys.remove("depth per pass");
                }
                keys.extend(nearer);
            }
            at.push((station, work(names, &keys, sizes)));
        }
    }
    assert!(!at.is_empty(), "no station does {op}");
    Step { op, at }
}

fn work(names: &Names, keys: &Map<String, Value>, sizes: &Dimensions) -> Work {
    let time = |key: &str| keys.get(key).map_or(0, micros);
    assert!(
        !keys.contains_key("spoils"),
        "spoiled pieces are not known here"
    );
    let mut per_piece_s = keys.get("per piece").map_or(0.0, seconds);
    if let Some(feed) = keys.get("feed speed") {
        let rough = sizes.rough.expect("a feed speed needs rough sizes");
        let along = if keys.get("along").is_some_and(|a| text(a) == "width") {
            rough[1]
        } else {
            rough[0]
        };
        per_piece_s += along as f64 / 1e9 * passes(keys, sizes) as f64 / speed(feed);
    }
    if let Some(rate) = keys.get("area rate") {
        per_piece_s += sizes.surface.expect("an area rate needs finished sizes") / area_rate(rate);
    }
    let gear: Vec<(usize, i64)> = mapping(keys.get("gear"))
        .iter()
        .map(|(name, n)| (position(&names.gear, name), whole(n)))
        .collect();
    let cure = mapping(keys.get("cure"));
    let (cure_ties_station, cure_ties_gear) = match cure.get("ties up") {
        None => (true, gear.iter().map(|g| g.0).collect()),
        Some(list) => {
            let list: Vec<&str> = list
                .as_array()
                .expect("ties up is a list")
                .iter()
                .map(text)
                .collect();
            let tied = gear
                .iter()
                .map(|g| g.0)
                .filter(|&g| list.contains(&names.gear[g].as_str()));
            (list.contains(&"station"), tied.collect())
        }
    };
    Work {
        setup: time("setup"),
        teardown: time("teardown"),
        per_piece_s,
        per_lot_s: keys.get("per lot").map_or(0.0, seconds),
        people: keys.get("people").map_or(1, |p| whole(p) as usize),
        cure: cure.get("time").map_or(0, micros),
        cure_ties_station,
        cure_ties_gear,
        gear,
        fetch_from: keys.get("fetch from").map(|s| names.station(text(s))),
    }
}

/// How often a piece passes through.
fn passes(keys: &Map<String, Value>, sizes: &Dimensions) -> i64 {
    let once = match (keys.get("passes"), keys.get("depth per pass")) {
        (Some(n), _) => whole(n),
        (None, Some(depth)) => {
            let rough = sizes.rough.expect("a depth per pass needs rough sizes")[2];
            let finished = sizes
                .finished
                .expect("a depth per pass needs finished sizes")[2];
            // Whole nanometres divide exactly where the file's numbers do.
            let depth = length_nm(depth);
            ((rough - finished + depth - 1) / depth).max(1)
        }
        (None, None) => 1,
    };
    // Reading: two faces double whichever number it is.
    once * keys.get("faces").map_or(1, whole)
}

fn order(projects: &[String], keys: &Value) -> OrderLine {
    let time = |key: &str| keys.get(key).map(micros);
    OrderLine {
        project: position(projects, text(&keys["project"])),
        count: keys.get("count").map(whole),
        every: time("every"),
        first: time("first").unwrap_or(0),
        until: time("until"),
        in_progress: keys.get("in progress").map(whole),
        due: time("due"),
        together: keys.get("together").map_or(1, whole),
    }
}

fn rules(keys: &Map<String, Value>) -> Rules {
    let queue = match keys.get("queue").map_or("fifo", text) {
        "fifo" => QueueRule::Fifo,
        "spt" => QueueRule::Spt,
        "lpt" => QueueRule::Lpt,
        "mwkr" => QueueRule::Mwkr,
        "edd" => QueueRule::Edd,
        other => panic!("no queue rule is called {other}"),
    };
    let stay_while_queue = match keys.get("switch station").map_or("after each lot", text) {
        "after each lot" => false,
        "when its queue is empty" => true,
        other => panic!("nobody switches station {other}"),
    };
    let choose = match keys.get("choose next").map_or("first come", text) {
        "first come" => ChooseRule::FirstCome,
        "nearest" => ChooseRule::Nearest,
        "longest queue" => ChooseRule::LongestQueue,
        "shortest work" => ChooseRule::ShortestWork,
        "most work left" => ChooseRule::MostWorkLeft,
        "due date" => ChooseRule::DueDate,
        other => panic!("nobody chooses {other}"),
    };
    Rules {
        queue,
        stay_while_queue,
        choose,
    }
}
