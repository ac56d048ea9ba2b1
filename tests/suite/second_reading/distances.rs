//! How far it is from each station to each other one, in whole nanometres.

use serde_json::{Map, Value};

use super::quantity::length_nm;

/// `table[from][to]`; nothing where no chain of measured pairs leads. Stations where they stand, or are parked, are
/// followed by the same where they are rolled out to, on layouts that place them.
pub type Distances = Vec<Vec<Option<i64>>>;

/// Reads a layout: measured pairs, one spot, or places with straight or rectilinear walks.
///
/// `stands` holds for each station where one stands, from the footprint's centre, before it is
/// turned, in nanometres.
pub fn read(layout: &Value, names: &[String], stands: &[(f64, f64)]) -> Distances {
    match layout.get("distances") {
        Some(Value::Object(pairs)) => measured(pairs, names),
        Some(_) => vec![vec![Some(0); names.len()]; names.len()],
        None => placed(layout, names, stands),
    }
}

fn find(names: &[String], name: &str) -> usize {
    names
        .iter()
        .position(|n| n == name)
        .unwrap_or_else(|| panic!("no station is called {name}"))
}

fn measured(pairs: &serde_json::Map<String, Value>, names: &[String]) -> Distances {
    let n = names.len();
    let mut given: Distances = vec![vec![None; n]; n];
    for (from, row) in pairs {
        let row = row.as_object().expect("a row of distances is a mapping");
        for (to, value) in row {
            given[find(names, from)][find(names, to)] = Some(length_nm(value));
        }
    }
    // A pair given one way counts both ways.
    let mut tape = given.clone();
    for a in 0..n {
        for b in 0..n {
            if given[a][b].is_none() {
                tape[a][b] = given[b][a];
            }
        }
        tape[a][a] = Some(0);
    }
    // Chains fill the gaps; what was measured is never shortened by one.
    let mut chain = tape.clone();
    for via in 0..n {
        for a in 0..n {
            for b in 0..n {
                if let (Some(x), Some(y)) = (chain[a][via], chain[via][b])
                    && chain[a][b].is_none_or(|d| x + y < d)
                {
                    chain[a][b] = Some(x + y);
                }
            }
        }
    }
    for a in 0..n {
        for b in 0..n {
            if tape[a][b].is_some() {
                chain[a][b] = tape[a][b];
            }
        }
    }
    chain
}

/// Which stations are parked, and rolled out to be used.
pub fn parked(layout: &Value, names: &[String]) -> Vec<bool> {
    let place = |name: &String| layout.get("at").and_then(|at| at.get(name));
    let is_parked = |name| place(name).is_some_and(|place| place.get("parked").is_some());
    names.iter().map(is_parked).collect()
}

/// Pairs of stations, first one that is rolled out, whose floor overlaps by more than a corner.
///
/// Reading: turned by quarters alone, and with nothing fed through; what stands still does not mind each other.
pub fn shared_floor(layout: &Value, names: &[String], sizes: &[(f64, f64)]) -> Vec<(usize, usize)> {
    let is_parked = parked(layout, names);
    if !is_parked.contains(&true) {
        return Vec::new();
    }
    let bodies: Vec<Option<[f64; 4]>> = (0..names.len())
        .map(|station| {
            let place = layout["at"].get(&names[station])?;
            let (x, y, turn) = spot(place);
            let (a, b) = sizes[station];
            let (wide, deep) = if (turn / 90.0).round() as i64 % 2 == 0 {
                (a, b)
            } else {
                (b, a)
            };
            let body = [
                x - wide / 2.0,
                x + wide / 2.0,
                y - deep / 2.0,
                y + deep / 2.0,
            ];
            (wide > 0.0 && deep > 0.0).then_some(body)
        })
        .collect();
    let meets = |one: usize, other: usize| {
        let (Some(a), Some(b)) = (bodies[one], bodies[other]) else {
            return false;
        };
        a[0] < b[1] && b[0] < a[1] && a[2] < b[3] && b[2] < a[3]
    };
    let mut pairs = Vec::new();
    for one in (0..names.len()).filter(|&one| is_parked[one]) {
        for (other, &is_parked) in is_parked.iter().enumerate() {
            let is_new = !is_parked || other < one;
            if other != one && is_new && meets(one, other) {
                pairs.push((one, other));
            }
        }
    }
    pairs
}

fn placed(layout: &Value, names: &[String], stands: &[(f64, f64)]) -> Distances {
    let out = spots(layout, names, stands, false);
    let spots: Vec<Option<(f64, f64)>> = (spots(layout, names, stands, true).into_iter())
        .chain(out)
        .collect();
    let between = |a: Option<(f64, f64)>, b: Option<(f64, f64)>| Some(apart(layout, a?, b?));
    spots
        .iter()
        .map(|a| spots.iter().map(|b| between(*a, *b)).collect())
        .collect()
}

fn apart(layout: &Value, (ax, ay): (f64, f64), (bx, by): (f64, f64)) -> i64 {
    let walk = layout
        .get("walk")
        .and_then(Value::as_str)
        .unwrap_or("around");
    let (dx, dy) = ((ax - bx).abs(), (ay - by).abs());
    let length = match walk {
        "straight" => dx.hypot(dy),
        "rectilinear" => dx + dy,
        _ => panic!("walk: {walk} is not known here"),
    };
    length.round() as i64
}

/// Centre and turn.
fn spot(place: &Value) -> (f64, f64, f64) {
    let (centre, turn) = match place {
        Value::Object(keys) => (
            &keys["at"],
            keys.get("turn").map_or(0.0, |t| t.as_f64().unwrap()),
        ),
        list => (list, 0.0),
    };
    let (x, y) = (length_nm(&centre[0]) as f64, length_nm(&centre[1]) as f64);
    (x, y, turn)
}

/// Where one stands at each station: as it is parked where it is, or as it is used.
fn spots(
    layout: &Value,
    names: &[String],
    stands: &[(f64, f64)],
    parked: bool,
) -> Vec<Option<(f64, f64)>> {
    let at = layout
        .get("at")
        .and_then(Value::as_object)
        .expect("a layout places stations");
    let mut spots = vec![None; names.len()];
    for (name, place) in at {
        let place = place.get("parked").filter(|_| parked).unwrap_or(place);
        let (x, y, turn) = spot(place);
        let station = find(names, name);
        let own = layout["at"][name]
            .get("stand")
            .filter(|stand| stand.is_array());
        let own = own.map(|stand| (length_nm(&stand[0]) as f64, length_nm(&stand[1]) as f64));
        let (sx, sy) = own.unwrap_or(stands[station]);
        let (sin, cos) = turn.to_radians().sin_cos();
        spots[station] = Some((x + sx * cos - sy * sin, y + sx * sin + sy * cos));
    }
    spots
}

/// Each station and operation for which the file says where one stands, be it for one layout.
pub fn work_stands(root: &Value, stations: &Map<String, Value>) -> Vec<(usize, String)> {
    let names: Vec<&String> = stations.keys().collect();
    let layouts = root["layouts"].as_object().expect("there are layouts");
    let of_layouts = (layouts.values())
        .filter_map(|layout| layout.get("at")?.as_object())
        .flatten();
    let mut all: Vec<(usize, String)> = Vec::new();
    for (name, keys) in stations.iter().chain(of_layouts) {
        let station = names.iter().position(|known| *known == name);
        let station = station.expect("it places what there is");
        let stand = keys.get("stand").and_then(Value::as_object);
        for op in stand.into_iter().flat_map(Map::keys) {
            if !all.contains(&(station, op.clone())) {
                all.push((station, op.clone()));
            }
        }
    }
    all
}

/// What a file says of where one stands.
pub struct Stands<'a> {
    pub names: &'a [String],
    pub stations: &'a Map<String, Value>,
    /// Where one stands at each station.
    pub usual: Vec<(f64, f64)>,
    pub work_stands: &'a [(usize, String)],
}

impl Stands<'_> {
    /// Where one stands for single operations: while the station is parked, at the station.
    ///
    /// Reading: what a layout says of an operation comes first, then what it says of all, then what the station says of
    /// the operation. Without places one stands at the station.
    fn spots(&self, layout: &Value, parked: bool) -> Vec<Option<(f64, f64)>> {
        let at = &layout["at"];
        let usual = spots(layout, self.names, &self.usual, parked);
        let spot_of = |(station, op): &(usize, String)| {
            let place = at.get(&self.names[*station])?;
            let own = |keys: &Value| keys.get("stand")?.get(op).cloned();
            let for_all = place.get("stand").filter(|stand| stand.is_array());
            let of_station = || own(&self.stations[&self.names[*station]]);
            let given = own(place).or_else(|| match for_all {
                Some(_) => None,
                None => of_station(),
            });
            let is_parked = parked && place.get("parked").is_some();
            let Some(stand) = given.filter(|_| !is_parked) else {
                return usual[*station];
            };
            let (x, y, turn) = spot(place);
            let (sx, sy) = (length_nm(&stand[0]) as f64, length_nm(&stand[1]) as f64);
            let (sin, cos) = turn.to_radians().sin_cos();
            Some((x + sx * cos - sy * sin, y + sx * sin + sy * cos))
        };
        self.work_stands.iter().map(spot_of).collect()
    }

    /// The table with rows for these behind those of stations, as they are where what is parked stays so and where it is
    /// rolled out.
    pub fn in_table(&self, known: Distances, layout: &Value) -> Distances {
        if self.work_stands.is_empty() {
            return known;
        }
        let (n, m) = (self.names.len(), self.work_stands.len());
        let all = 2 * n + 2 * m;
        if layout.get("at").is_none() {
            let row = |place: usize| match place.checked_sub(2 * n) {
                Some(nth) => self.work_stands[nth % m].0,
                None => place % n,
            };
            let between = |a: usize, b: usize| known[row(a)][row(b)];
            return (0..all)
                .map(|a| (0..all).map(|b| between(a, b)).collect())
                .collect();
        }
        let stations = [true, false].map(|parked| spots(layout, self.names, &self.usual, parked));
        let stands = [true, false].map(|parked| self.spots(layout, parked));
        let places: Vec<Option<(f64, f64)>> =
            stations.into_iter().chain(stands).flatten().collect();
        let between = |a: Option<(f64, f64)>, b: Option<(f64, f64)>| Some(apart(layout, a?, b?));
        places
            .iter()
            .map(|a| places.iter().map(|b| between(*a, *b)).collect())
            .collect()
    }

    /// From a door to where one stands at each place of the table.
    ///
    /// Reading: nobody comes by a plan where stations have no places, and a station without a place is never reached.
    pub fn ways_from_door(&self, layout: &Value, door: (f64, f64)) -> Option<Vec<i64>> {
        layout.get("at")?;
        let stations = spots(layout, self.names, &self.usual, true);
        let twice = stations.iter().chain(&stations).copied();
        let all: Vec<Option<(f64, f64)>> = twice.chain(self.spots(layout, true)).collect();
        let way =
            |spot: Option<(f64, f64)>| apart(layout, door, spot.expect("everything has a place"));
        Some(all.into_iter().map(way).collect())
    }
}

/// Where one stands at each station, from the footprint's centre, before turning.
pub fn usual_stands(stations: &Map<String, Value>) -> Vec<(f64, f64)> {
    stations
        .values()
        .map(|keys| match (keys.get("stand"), keys.get("size")) {
            (Some(stand), _) if stand.is_array() => {
                (length_nm(&stand[0]) as f64, length_nm(&stand[1]) as f64)
            }
            (_, size) => (
                0.0,
                -size.map_or(0.0, |s| length_nm(&s[1]) as f64 / 2.0) - 304_800_000.0,
            ),
        })
        .collect()
}

/// Along x and along y, before turning.
pub fn sizes(stations: &Map<String, Value>) -> Vec<(f64, f64)> {
    let size = |keys: &Value| {
        let size = keys.get("size");
        size.map_or((0.0, 0.0), |s| {
            (length_nm(&s[0]) as f64, length_nm(&s[1]) as f64)
        })
    };
    stations.values().map(size).collect()
}
