//! Layouts: how far it is from station to station.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::given_stand::GivenStand;
use super::parked::ParkedStations;
use super::places::{StationPlace, stand_before};
use super::shop::Built;
use super::stands;
use super::unplaced::warn_unplaced;
use super::unreachable::{FreeFloor, no_way};
use crate::floor::{Distances, FootPaths, Going, PlacedStand, Placement, Plan, chains};
use crate::scenario::fields::Fields;
use crate::scenario::keys::{NOWHERE, WALKS};
use crate::scenario::problem::{LEAVE_ONE_OUT, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, entries};
use crate::scenario::tree::{MapEntry, MapKey, YamlValue};
use crate::shop::{PlaceId, SharedFloor};
use crate::units::Length;

/// A layout of this shop: how far it is, and where things stand if the file says so.
pub struct Laid {
    pub walks: Distances,
    pub plan: Option<Plan>,
    /// The ways on it, where people walk around what stands there.
    pub paths: Option<Arc<FootPaths>>,
    /// What cannot be used at one time, since things are rolled about.
    pub shared_floor: Vec<SharedFloor>,
    /// Whether it can be played as it is drawn; otherwise the walks are straight, and it has been reported why.
    pub is_walkable: bool,
}

/// One layout for this shop.
pub fn lay(name: &MapKey, fields: &Fields, built: &Built) -> Option<Laid> {
    let sink = fields.sink;
    match (fields.entry("distances"), fields.entry("at")) {
        (Some(distances), Some(at)) => {
            sink.report(
                Problem::error(
                    &at.key.span,
                    format!("the layout `{}` has both distances and places", name.text),
                )
                .also(&distances.key.span, "the distances")
                .hint(LEAVE_ONE_OUT),
            );
            None
        }
        (None, None) => {
            sink.report(
                Problem::error(&name.span, format!("the layout `{}` places nothing", name.text)).hint(
                    "add `distances: {saw: {bench: 3 m}}`, or `walk: straight` and `at: {saw: [0, 0]}`",
                ),
            );
            None
        }
        (Some(distances), None) => {
            if let Some(walk) = fields.entry("walk") {
                sink.report(
                    Problem::error(
                        &walk.key.span,
                        "`walk` has no effect where distances are given",
                    )
                    .also(&distances.key.span, "they are given here")
                    .hint("leave `walk` out"),
                );
            }
            Some(Laid {
                walks: measured(name, distances, fields, built)?,
                // The room alone still tells what fits through its doors.
                plan: built
                    .room
                    .as_ref()
                    .map(|_| plan(built, Vec::new(), Going::Straight)),
                paths: None,
                shared_floor: Vec::new(),
                is_walkable: true,
            })
        }
        (None, Some(at)) => placed(name, at, fields, built),
    }
}

fn measured(
    name: &MapKey,
    distances: &MapEntry,
    fields: &Fields,
    built: &Built,
) -> Option<Distances> {
    let sink = fields.sink;
    let stations = &built.catalogue.places;
    let places = stations.len();
    match &distances.node.value {
        YamlValue::Scalar(text) if text == "0" => return Some(Distances::none(built.used.len())),
        YamlValue::Map(_) => {}
        YamlValue::Scalar(text) => {
            sink.report(
                Problem::error(
                    &distances.node.span,
                    format!("`{text}` does not say from where to where"),
                )
                .hint("write `0`, or for example `{saw: {bench: 3 m}}`"),
            );
            return None;
        }
        _ => {
            sink.report(
                Problem::error(
                    &distances.node.span,
                    format!(
                        "distances are a mapping from station to station, not {}",
                        distances.node.kind()
                    ),
                )
                .hint("write `0`, or for example `{saw: {bench: 3 m}}`"),
            );
            return None;
        }
    }
    let mut given: BTreeMap<(PlaceId, PlaceId), Length> = BTreeMap::new();
    let mut complete = true;
    for row in entries(&distances.node) {
        let from = stations.find_text(&row.key.text, &row.key.span, sink);
        if !matches!(row.node.value, YamlValue::Map(_)) {
            sink.report(
                Problem::error(
                    &row.node.span,
                    format!(
                        "the distances from `{}` are a mapping, not {}",
                        row.key.text,
                        row.node.kind()
                    ),
                )
                .hint(format!(
                    "write for example `{}: {{{}: 3 m}}`",
                    row.key.text,
                    (0..places)
                        .map(|place| stations.name(place))
                        .find(|name| *name != row.key.text)
                        .unwrap_or("bench"),
                )),
            );
            complete = false;
        }
        for cell in entries(&row.node) {
            let to = stations.find_text(&cell.key.text, &cell.key.span, sink);
            let length = reader::quantity(&cell.node, Dimension::Length, sink);
            let (Some(from), Some(to), Some(length)) = (from, to, length) else {
                complete = false;
                continue;
            };
            if from == to {
                sink.report(
                    Problem::error(
                        &cell.key.span,
                        format!("a distance from `{0}` to `{0}`", cell.key.text),
                    )
                    .hint("leave it out: it is 0"),
                );
                complete = false;
                continue;
            }
            given.insert(
                (PlaceId(from as u32), PlaceId(to as u32)),
                Length::from_metres(length.value),
            );
        }
    }
    if !complete {
        return None;
    }
    let one_way: Vec<_> = given
        .iter()
        .map(|(&pair, &length)| (pair, length))
        .collect();
    for ((from, to), length) in one_way {
        given.entry((to, from)).or_insert(length);
    }
    let is_station = |place: usize| place < built.catalogue.stations.len();
    let used: Vec<PlaceId> = (0..places)
        .filter(|&place| built.used[place] || is_station(place) && built.is_needed(place))
        .map(|place| PlaceId(place as u32))
        .collect();
    match chains(places, &given, &used) {
        Ok(walks) => {
            // Where only stations are measured, all their places are theirs.
            let stands = built.work_stands.iter();
            let stations: Vec<PlaceId> = stands.map(|stand| stand.station.into()).collect();
            Some(walks.with_places_like(&stations))
        }
        Err(missing) => {
            let pair = |from: PlaceId, to: PlaceId| {
                format!(
                    "`{}` and `{}`",
                    built.place_name(from),
                    built.place_name(to)
                )
            };
            let named: Vec<String> = missing.iter().take(3).map(|m| pair(m.from, m.to)).collect();
            let more = match missing.len() {
                0..=3 => String::new(),
                all => format!(" and {} more pairs", all - 3),
            };
            let first = &missing[0];
            sink.report(
                Problem::error(
                    &name.span,
                    format!(
                        "the layout `{}` does not connect {}{more}",
                        name.text,
                        named.join(", ")
                    ),
                )
                .hint(format!(
                    "add a distance, for example `{}: {{{}: 3 m}}`",
                    built.place_name(first.from),
                    built.place_name(first.to)
                )),
            );
            None
        }
    }
}

fn placed(name: &MapKey, at: &MapEntry, fields: &Fields, built: &Built) -> Option<Laid> {
    let sink = fields.sink;
    let going = match fields.get("walk") {
        Some(node) => reader::one_of(node, &WALKS, sink).map(|walk| GOINGS[walk]),
        None => Some(Going::Around),
    };
    if !matches!(at.node.value, YamlValue::Map(_)) {
        sink.report(
            Problem::error(
                &at.node.span,
                format!("`at` is a mapping of stations, not {}", at.node.kind()),
            )
            .hint("write for example `at: {saw: [0, 0], bench: [3 m, 0]}`"),
        );
        return None;
    }
    let stations = &built.catalogue.stations;
    let mut placements = vec![None; stations.len()];
    // Where the layout itself says where one stands.
    let mut stands_there = vec![false; stations.len()];
    let mut given_stands: Vec<GivenStand> = Vec::new();
    given_stands.resize_with(stations.len(), GivenStand::default);
    let mut parked = ParkedStations::default();
    let mut complete = true;
    for entry in entries(&at.node) {
        let station = stations.find_text(&entry.key.text, &entry.key.span, sink);
        if entry.node.value == YamlValue::Scalar(NOWHERE.to_owned()) {
            continue;
        }
        let place = StationPlace::read(&entry.node, &entry.key.span, sink);
        match (station, place) {
            (Some(station), Some(place)) => {
                let declared = &built.catalogue.declared_stations[station];
                placements[station] = Some(place.of(declared));
                stands_there[station] = place.stand.everywhere.is_some();
                parked.add((station, entry), &place, built, sink);
                stands::check(&place.stand, station, &built.catalogue, sink);
                given_stands[station] = place.stand;
            }
            _ => complete = false,
        }
    }
    if !complete {
        return None;
    }
    let missing: Vec<&str> = (0..stations.len())
        .filter(|&station| built.is_needed(station) && placements[station].is_none())
        .map(|station| stations.name(station))
        .collect();
    if !missing.is_empty() {
        let named: Vec<String> = missing
            .iter()
            .take(5)
            .map(|name| format!("`{name}`"))
            .collect();
        let more = match missing.len() {
            0..=5 => String::new(),
            all => format!(" and {} more", all - 5),
        };
        sink.report(
            Problem::error(
                &name.span,
                format!(
                    "the layout `{}` does not place {}{more}",
                    name.text,
                    named.join(", ")
                ),
            )
            .hint(format!(
                "add for example `{}: [3 m, 2 m]` under `at`",
                missing[0]
            )),
        );
        return None;
    }
    // Without a shop nobody knows where people go.
    let shop = built.shop.as_ref()?;
    let declared = &built.catalogue.declared_stations;
    stand_before(&mut placements, declared, &stands_there);
    warn_unplaced(name, at, built, sink);
    let (catalogue, used) = (&built.catalogue, &built.used);
    let work_stands = &built.work_stands;
    let work_stands = stands::place(
        &mut placements,
        work_stands,
        &given_stands,
        (catalogue, used),
    );
    let rolled_out = parked.park(&mut placements);
    let plan = Plan {
        rolled_out,
        work_stands,
        ..plan(built, placements, going?)
    };
    let shared_floor = parked.shared_floor(shop, &plan, built, sink)?;
    let used: Vec<PlaceId> = (0..plan.places())
        .filter(|&place| built.used[place])
        .map(|place| PlaceId(place as u32))
        .collect();
    let carts = shop.handling.carts.as_ref();
    let pushes = carts.is_some();
    let (found, is_walkable) = match plan.walks_with_paths(&used, pushes) {
        Ok(found) => (Some(found), true),
        Err(_) => {
            if !sink.keeps_unwalkable {
                for floor in plan.floors() {
                    let wrong = floor.walks(&used, pushes).err().unwrap_or_default();
                    let free = FreeFloor::of(&floor);
                    for problem in wrong {
                        no_way(&problem, name, at, &floor, &free, built, sink);
                    }
                }
            }
            // The checks say what is wrong; for them people walk straight through everything.
            let straight = Plan {
                going: Going::Straight,
                ..plan.clone()
            };
            let straight = straight.walks_with_paths(&used, pushes).ok();
            (straight, sink.keeps_unwalkable)
        }
    };
    let (walks, paths) = found?;
    if let Some(carts) = carts
        && plan.going == Going::Around
        && is_walkable
    {
        no_cart_way((name, at), &plan, carts.stored_at, &used, built, sink);
    }
    Some(Laid {
        walks,
        plan: Some(plan),
        paths: paths.map(Arc::new),
        shared_floor,
        is_walkable,
    })
}

/// Warns of places that a cart cannot be pushed to, though a person gets there.
fn no_cart_way(
    (name, at): (&MapKey, &MapEntry),
    plan: &Plan,
    stored_at: PlaceId,
    used: &[PlaceId],
    built: &Built,
    sink: &Sink,
) {
    let places = &built.catalogue.places;
    let beyond: Vec<String> = plan
        .beyond_carts(stored_at, used)
        .map(|place| format!("`{}`", built.place_name(place)))
        .collect();
    let Some(first) = beyond.first() else { return };
    let others = match beyond.len() {
        1 => String::new(),
        all => format!(" and {} other places", all - 1),
    };
    let span = at.node.entry(places.name(stored_at.index()));
    sink.report(
        Problem::warning(
            span.map_or(&name.span, |entry| &entry.key.span),
            format!(
                "in the layout `{}` a cart {} wide does not get from `{}` to {first}{others}",
                name.text,
                sink.length(plan.cart_width),
                places.name(stored_at.index()),
            ),
        )
        .label("there it goes the way of a person")
        .hint("lower the `width` of the carts, or widen the way"),
    );
}

/// Stations that are not among the placements are not placed.
fn plan(built: &Built, mut placements: Vec<Option<Placement>>, going: Going) -> Plan {
    placements.resize(built.catalogue.stations.len(), None);
    Plan {
        room: built.room.clone(),
        work_stands: (built.work_stands.iter())
            .map(|stand| PlacedStand {
                station: stand.station,
                stand: None,
            })
            .collect(),
        rolled_out: Vec::new(),
        placements: placements.into_iter().collect(),
        going,
        body_width: built.body_width,
        cart_width: built.cart_width,
        head_room: built.limits.head_room,
    }
}

/// In the order of [`WALKS`].
const GOINGS: [Going; 3] = [Going::Around, Going::Straight, Going::Rectilinear];
