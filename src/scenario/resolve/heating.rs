//! What encloses the shop, how cold it is outdoors, and what heats it.

use super::catalogue::Catalogue;
use super::electrics::above_zero;
use super::geometry::positive;
use crate::floor::Room;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Problem, Sink, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::rated_amps::is_heater;
use crate::scenario::reader;
use crate::scenario::sizing::air_changes;
use crate::scenario::tree::{MapEntry, YamlNode};
use crate::services::heat::{
    Envelope, HeatPart, HeatPlan, MONTHS, MonthOutside, SLAB_EDGE, UsualContents, conductance,
};

/// Keys of the heat beside how warm it is, which is enough for what cures.
const OF_ROOM: [&str; 6] = [
    "outside",
    "walls",
    "ceiling",
    "doors",
    "slab edge",
    "air changes",
];

/// The heat of the shop; nothing where the file says no more than how warm it is, or something is wrong with it.
pub fn heat(
    heat: Option<&MapEntry>,
    catalogue: &Catalogue,
    room: Option<&Room>,
    sink: &Sink,
) -> Option<HeatPlan> {
    let entry = heat?;
    let given = Fields::open(&entry.node, &entry.key.span, &keys::HEAT, sink)?;
    let first = OF_ROOM.into_iter().find_map(|key| given.entry(key))?;
    let missing = ["outside", "walls", "ceiling", "air changes"];
    let missing: Vec<String> = (missing.into_iter())
        .filter(|key| given.entry(key).is_none())
        .map(|key| format!("`{key}`"))
        .collect();
    if !missing.is_empty() {
        let what = format!(
            "what is lost cannot be reckoned without {}",
            missing.join(", ")
        );
        sink.report(Problem::error(&first.key.span, what).hint(
            "write for example `outside: {jan: 28 F}, walls: {area: 461 ft2, r: 12}, ceiling: {area: 264 ft2, r: 20}, air changes: 0.7 per h`",
        ));
    }
    let Some((room, ceiling)) = room.and_then(|room| Some((room, room.ceiling?))) else {
        sink.report(
            Problem::error(
                &first.key.span,
                "nobody knows how large the room is that is heated",
            )
            .hint("add for example `room: {size: [12 ft, 22 ft], ceiling: 8 ft}`"),
        );
        return None;
    };
    let mut reading = Enclosing {
        sink,
        parts: Vec::new(),
        names: Vec::new(),
        is_sound: missing.is_empty(),
    };
    reading.part(&given, "walls", "the walls");
    reading.part(&given, "ceiling", "the ceiling");
    reading.doors(&given, room);
    let months = months(&given);
    let volume = room.outline.area() * ceiling;
    let changes = given.get("air changes").map(|node| changes(node, sink));
    let edge = given
        .entry("slab edge")
        .map(|_| positive(&given, "slab edge"));
    let celsius = |key| reader::celsius(given.get(key)?, sink);
    let (open, shut) = (celsius("open"), celsius("shut"));
    let plan = HeatPlan {
        open: open?,
        shut: shut?,
        months: months?,
        envelope: Envelope {
            parts: reading.parts,
            slab_edge: SLAB_EDGE * edge.unwrap_or(Some(0.0))?,
            leakage: volume * changes?? / 3600.0,
            exhaust: 0.0,
        },
        names: reading.names,
        contents: UsualContents::of(room.outline.area()),
        heater: heaters(catalogue),
    };
    if plan.shut > plan.open {
        let at = given.get("shut")?;
        sink.report(
            Problem::error(
                &at.span,
                "it is kept warmer while it is shut than while it is open",
            )
            .hint("what is lost overnight is reckoned from `open` down to `shut`"),
        );
        return None;
    }
    reading.is_sound.then_some(plan)
}

/// In W: of loads that a thermostat switches, and of whatever is called a heater.
fn heaters(catalogue: &Catalogue) -> f64 {
    let stations = catalogue.declared_stations.iter();
    let heat = stations.filter(|station| {
        let said = &station.electrics;
        let is_called = [Some(&*station.key.text), station.kind];
        said.is_load && (said.is_automatic || is_called.into_iter().flatten().any(is_heater))
    });
    heat.filter_map(|station| Some(station.electrics.power? * f64::from(station.count)))
        .sum()
}

fn months(given: &Fields) -> Option<Vec<MonthOutside>> {
    let entry = given.entry("outside")?;
    let sink = given.sink;
    let said = Fields::open(&entry.node, &entry.key.span, &keys::OUTSIDE, sink)?;
    let read: Vec<Option<MonthOutside>> = (MONTHS.iter().enumerate())
        .filter_map(|(month, name)| Some((month, said.get(name)?)))
        .map(|(month, node)| {
            let outside = reader::celsius(node, sink)?;
            Some(MonthOutside { month, outside })
        })
        .collect();
    if read.is_empty() {
        sink.report(
            Problem::error(
                &entry.key.span,
                "it says of no month how cold it is outdoors",
            )
            .hint("write for example `outside: {jan: 28 F, feb: 31 F}`"),
        );
        return None;
    }
    read.into_iter().collect()
}

fn changes(node: &YamlNode, sink: &Sink) -> Option<f64> {
    let text = reader::text(node, "air changes an hour, such as 0.7 per h", sink)?;
    match air_changes(text) {
        Ok(changes) => Some(changes),
        Err(why) => {
            let what = format!("`{text}` is no number of air changes");
            sink.report(Problem::error(&node.span, what).hint(why));
            None
        }
    }
}

/// The parts of the envelope, as they are read.
struct Enclosing<'a> {
    sink: &'a Sink,
    parts: Vec<HeatPart>,
    names: Vec<String>,
    is_sound: bool,
}

impl Enclosing<'_> {
    fn add(&mut self, name: &str, area: Option<f64>, conductance: Option<f64>) {
        match area.zip(conductance) {
            Some((area, conductance)) => {
                self.parts.push(HeatPart { area, conductance });
                self.names.push(name.to_owned());
            }
            None => self.is_sound = false,
        }
    }

    fn part(&mut self, given: &Fields, key: &str, name: &str) {
        let Some(entry) = given.entry(key) else {
            return;
        };
        let Some(part) = Fields::open(&entry.node, &entry.key.span, &keys::HEAT_PART, self.sink)
        else {
            self.is_sound = false;
            return;
        };
        let area = above_zero(&part, "area", Dimension::Area);
        self.add(name, area, kept_in(&part));
    }

    /// Doors of the room, as large as they are there.
    fn doors(&mut self, given: &Fields, room: &Room) {
        let names: Vec<&str> = room.doors.iter().map(|door| &*door.name).collect();
        for entry in given.named("doors").unwrap_or_default() {
            let Some(part) =
                Fields::open(&entry.node, &entry.key.span, &keys::HEAT_DOOR, self.sink)
            else {
                self.is_sound = false;
                continue;
            };
            let Some(door) = names.iter().position(|name| *name == entry.key.text) else {
                let what = format!("the room has no door called `{}`", entry.key.text);
                let hint = hint_at(&entry.key.text, names.iter().copied());
                self.sink
                    .report(Problem::error(&entry.key.span, what).maybe_hint(hint));
                self.is_sound = false;
                continue;
            };
            let door = &room.doors[door];
            if door.height.is_none() {
                self.sink.report(
                    Problem::error(&entry.key.span, "nothing says how high this door is")
                        .hint("write its `height` under `doors` of the room"),
                );
            }
            let area = door.height.map(|height| height * door.width());
            self.add(&format!("the {}", door.name), area, kept_in(&part));
        }
    }
}

/// By how much a part keeps heat in, in W/(m² K).
fn kept_in(part: &Fields) -> Option<f64> {
    let sink = part.sink;
    let (r, u) = (part.entry("r"), part.entry("u"));
    let given = match (r, u) {
        (Some(one), None) | (None, Some(one)) => one,
        (Some(_), Some(other)) => {
            sink.report(
                Problem::error(&other.key.span, "how well it keeps heat in is given twice")
                    .hint("leave `r` or `u` out"),
            );
            return None;
        }
        (None, None) => {
            sink.report(
                Problem::error(part.at, "nothing says how well it keeps heat in")
                    .hint("write `r: 12` (ft² °F h/Btu) or `u: 0.5` (W/m² K)"),
            );
            return None;
        }
    };
    let value = reader::number(&given.node, sink)?;
    if value <= 0.0 {
        sink.report(
            Problem::error(&given.node.span, "it must be more than 0")
                .hint("write for example `r: 12` (ft² °F h/Btu) or `u: 0.5` (W/m² K)"),
        );
        return None;
    }
    Some(match r {
        Some(_) => conductance(value),
        None => value,
    })
}
