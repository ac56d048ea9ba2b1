//! Lamps, the surfaces of the room, and how much light is wanted where.

use super::catalogue::Catalogue;
use super::electrics::above_zero;
use super::geometry::{each, is_inside, point};
use crate::floor::{Polygon, Room};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, YamlNode};
use crate::services::light::{
    LampRow, LightPlan, PLANE_HEIGHT, Surfaces, USUALLY_WANTED, WantedLight,
};
use crate::shop::StationId;

/// Lamps of one kind at most.
const MOST_LAMPS: u64 = 1000;

/// The light of a layout; nothing where the file says nothing of it, or something is wrong with it.
pub fn light(
    light: Option<&MapEntry>,
    catalogue: &Catalogue,
    room: Option<&Room>,
    sink: &Sink,
) -> Option<LightPlan> {
    let entry = light?;
    let fields = Fields::open(&entry.node, &entry.key.span, &keys::LIGHT, sink)?;
    let wanted = wanted(&fields, catalogue);
    let surfaces = match fields.entry("surfaces") {
        Some(entry) => Some(surfaces(entry, sink)?),
        None => None,
    };
    let Some(room) = room else {
        sink.report(
            Problem::error(
                &entry.key.span,
                "nobody knows how large the room is that is lit",
            )
            .hint("add for example `room: {size: [12 ft, 22 ft], ceiling: 8 ft}`"),
        );
        return None;
    };
    let mut is_sound = true;
    let lamps: Vec<LampRow> = each(&fields, "lamps", &keys::LAMP)
        .filter_map(|given| {
            let row = lamp(&given, room);
            is_sound &= row.is_some();
            row
        })
        .collect();
    if lamps.is_empty() && is_sound {
        sink.report(
            Problem::error(&entry.key.span, "there is no lamp").hint(
                "write for example `lamps: [{lumens: 4500 lm, at: [[4 ft, 6 ft]], height: 7 ft 8 in, length: 4 ft}]`",
            ),
        );
    }
    (is_sound && !lamps.is_empty()).then(|| LightPlan {
        room: sides(&room.outline),
        lamps,
        surfaces,
        wanted,
    })
}

/// The sides of a rectangle of the same area, and of the same proportion as the box around it.
fn sides(outline: &Polygon) -> [f64; 2] {
    let (low, high) = outline.bounds();
    let [x, y] = [high.x - low.x, high.y - low.y];
    let scale = libm::sqrt(outline.area() / (x * y));
    [x * scale, y * scale]
}

fn lamp(given: &Fields, room: &Room) -> Option<LampRow> {
    let sink = given.sink;
    let lumens = above_zero(given, "lumens", Dimension::LightOutput);
    let said = given.whole("count", 1, MOST_LAMPS);
    let places = match given.get("at") {
        Some(node) => places(node, room, sink)?,
        None => Vec::new(),
    };
    let count = match (said, &places[..]) {
        (Some(count), places) if !places.is_empty() && places.len() as u64 != count => {
            sink.report(
                Problem::error(
                    &given.get("count")?.span,
                    format!("there are {count} lamps, but {} places", places.len()),
                )
                .hint("leave `count` out: there is one lamp at each place"),
            );
            return None;
        }
        (Some(count), _) => count as u32,
        (None, []) if given.get("count").is_none() => {
            sink.report(
                Problem::error(given.at, "nothing says how many lamps there are").hint(
                    "write where each is, `at: [[4 ft, 6 ft], [4 ft, 15 ft]]`, or their `count`",
                ),
            );
            return None;
        }
        (None, places) => places.len() as u32,
    };
    let length = given.quantity("length", Dimension::Length);
    let turn = match given.get("turn") {
        Some(node) => reader::number(node, sink)?,
        None => 0.0,
    };
    let power = match given.entry("power") {
        Some(_) => Some(above_zero(given, "power", Dimension::Power)?),
        None => None,
    };
    Some(LampRow {
        lumens: lumens?,
        count,
        power,
        height: height(given, room)?,
        places,
        length: length.map_or(0.0, |length| length.value),
        turn: turn.to_radians(),
    })
}

fn places(node: &YamlNode, room: &Room, sink: &Sink) -> Option<Vec<[f64; 2]>> {
    let nodes = reader::list(node, "a list of places [x, y]", sink)?;
    if nodes.is_empty() {
        sink.report(
            Problem::error(&node.span, "there is no place in this list")
                .hint("write for example [[4 ft, 6 ft], [4 ft, 15 ft]]"),
        );
        return None;
    }
    let read: Vec<Option<[f64; 2]>> = (nodes.iter())
        .map(|node| {
            let at = point(node, sink)?;
            let is_inside = is_inside(&room.outline, at);
            if !is_inside {
                sink.report(
                    Problem::error(&node.span, "this lamp is outside the room")
                        .hint("places are counted like those of stations"),
                );
            }
            is_inside.then_some([at.x, at.y])
        })
        .collect();
    read.into_iter().collect()
}

/// Of lamps above the floor: at the ceiling by default.
fn height(given: &Fields, room: &Room) -> Option<f64> {
    let sink = given.sink;
    let Some(node) = given.get("height") else {
        if room.ceiling.is_none() {
            sink.report(
                Problem::error(given.at, "nothing says how high these lamps hang")
                    .hint("write their `height`, or the `ceiling` of the room"),
            );
        }
        return room
            .ceiling
            .filter(|&ceiling| is_above_work(ceiling, given, given.at));
    };
    let height = given.quantity("height", Dimension::Length)?;
    if let Some(ceiling) = room.ceiling.filter(|&ceiling| height.value > ceiling) {
        sink.report(
            Problem::error(&node.span, "these lamps hang above the ceiling")
                .hint(format!("it is {} high", sink.length(ceiling))),
        );
        return None;
    }
    is_above_work(height.value, given, &node.span).then_some(height.value)
}

fn is_above_work(height: f64, given: &Fields, at: &crate::scenario::problem::Bytes) -> bool {
    let is_above = height > PLANE_HEIGHT;
    if !is_above {
        given.sink.report(
            Problem::error(
                at,
                "these lamps hang no higher than the work that they light",
            )
            .hint(format!(
                "work is seen {} above the floor",
                given.sink.length(PLANE_HEIGHT)
            )),
        );
    }
    is_above
}

fn surfaces(entry: &MapEntry, sink: &Sink) -> Option<Surfaces> {
    let given = Fields::open(&entry.node, &entry.key.span, &keys::SURFACES, sink)?;
    let share = |key| given.quantity(key, Dimension::Share);
    let (ceiling, walls, floor) = (share("ceiling"), share("walls"), share("floor"));
    let surfaces = Surfaces {
        ceiling: ceiling?.value,
        walls: walls?.value,
        floor: floor?.value,
    };
    let is_possible = surfaces.walls < 1.0 && surfaces.ceiling * surfaces.floor < 1.0;
    if !is_possible {
        sink.report(
            Problem::error(&entry.node.span, "no surface sends all light back")
                .hint("white paint sends back 80 %, bare wood 40 %, concrete 20 %"),
        );
    }
    is_possible.then_some(surfaces)
}

/// Of stations that somebody works at, and of those that the file names.
fn wanted(fields: &Fields, catalogue: &Catalogue) -> Vec<WantedLight> {
    let sink = fields.sink;
    let mut said: Vec<Option<f64>> = vec![None; catalogue.declared_stations.len()];
    for entry in fields.named("wanted").unwrap_or_default() {
        let station = catalogue
            .stations
            .find_text(&entry.key.text, &entry.key.span, sink);
        let wanted = reader::quantity(&entry.node, Dimension::Illuminance, sink);
        if let Some(wanted) = &wanted
            && wanted.value <= 0.0
        {
            sink.report(
                Problem::error(&wanted.span, "nobody works without light")
                    .hint("write for example 500 lx"),
            );
        }
        if let (Some(station), Some(wanted)) = (station, wanted) {
            said[station] = Some(wanted.value);
        }
    }
    let stations = catalogue.declared_stations.iter().zip(said).enumerate();
    let wanted = stations.filter_map(|(number, (station, said))| {
        let is_asked = said.is_some() || !station.does.is_empty();
        is_asked.then(|| WantedLight {
            station: StationId(number as u32),
            illuminance: said.unwrap_or(USUALLY_WANTED),
            is_usual: said.is_none(),
        })
    });
    wanted.collect()
}
