//! Gear, the people, and how things are moved.

use super::MOST_PIECES;
use super::catalogue::Catalogue;
use super::sessions::KeepingHours;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::YamlNode;
use crate::shop::{
    Carts, Gear, GearId, MaterialHandling, OperationId, Person, PersonId, PlaceId, Table,
};
use crate::units::{Mass, Span, Speed};

const MOST_PEOPLE: u64 = 1000;

type Crew = Table<PersonId, Person>;

/// Gear, people, handling, and the density in kg/m3.
pub fn build(
    fields: &Fields,
    catalogue: &Catalogue,
    keeping: KeepingHours,
    used: &mut [bool],
) -> (
    Table<GearId, Gear>,
    Option<Crew>,
    Option<MaterialHandling>,
    f64,
) {
    let mut place = |fields: &Fields, key: &str| {
        let place = catalogue.places.find(fields.get(key)?, fields.sink)?;
        used[place] = true;
        Some(PlaceId(place as u32))
    };
    let gear = gear(fields, &mut place);
    let (handling, walking_speed, density) = handling(fields, &mut place);
    let crew = crew(fields, catalogue, (keeping, walking_speed), &mut place);
    if let Some(crew) = &crew {
        for person in crew {
            if let Some(used) = used.get_mut(person.starts_at.index()) {
                *used = true;
            }
        }
    }
    (gear, crew, handling, density)
}

/// Widths of the circles that a walking person and a pushed cart need, in metres.
pub fn widths(fields: &Fields) -> (f64, f64) {
    let handling = fields.get("handling");
    let width = |node: Option<&YamlNode>| {
        let width = reader::quantity(node?, Dimension::Length, fields.sink)?;
        if width.value > 10.0 {
            fields.sink.report(
                Problem::error(&width.span, "nobody is wider than 10 m")
                    .hint("the usual width is about 50 cm"),
            );
            return None;
        }
        Some(width.value)
    };
    let body = width(handling.and_then(|handling| handling.get("body width"))).unwrap_or(0.5);
    let carts = handling.and_then(|handling| handling.get("carts"));
    let cart = width(carts.and_then(|carts| carts.get("width")));
    (body, cart.unwrap_or(body))
}

type PlaceOf<'f> = dyn FnMut(&Fields, &str) -> Option<PlaceId> + 'f;

fn gear(fields: &Fields, place: &mut PlaceOf) -> Table<GearId, Gear> {
    let mut table = Table::new();
    for entry in fields.named("gear").unwrap_or_default() {
        let mut gear = Gear {
            name: entry.key.text.clone(),
            count: 1,
            stored_at: None,
        };
        if let Some(given) = Fields::open(&entry.node, &entry.key.span, &keys::GEAR, fields.sink) {
            if given.get("count").is_some() {
                // A count that is no good is reported once, and not again wherever some of it is taken.
                let count = given.whole("count", 1, MOST_PIECES).unwrap_or(MOST_PIECES);
                gear.count = count as u32;
            }
            gear.stored_at = place(&given, "stored at");
        }
        table.push(gear);
    }
    table
}

fn handling(fields: &Fields, place: &mut PlaceOf) -> (Option<MaterialHandling>, Speed, f64) {
    let speed = |fields: Option<&Fields>, key: &str, default: f64| {
        let given = fields.and_then(|fields| fields.quantity(key, Dimension::Speed));
        Speed::from_metres_per_second(given.map_or(default, |speed| speed.value))
    };
    let given = fields
        .entry("handling")
        .and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::HANDLING, fields.sink));
    let given = given.as_ref();
    let span = |key| Span::from_seconds(given.map_or(2.0, |given| seconds(given, key, 2.0)));
    let mut carry_mass = 15.0;
    let mut carry_pieces = None;
    let mut density = 650.0;
    let mut carts = None;
    if let Some(given) = given {
        if let Some(entry) = given.entry("carry")
            && let Some(carry) =
                Fields::open(&entry.node, &entry.key.span, &keys::CARRY, fields.sink)
        {
            if let Some(mass) = carry.quantity("mass", Dimension::Mass) {
                carry_mass = mass.value;
            }
            carry_pieces = carry
                .whole("pieces", 1, MOST_PIECES)
                .map(|pieces| pieces as u32);
        }
        if let Some(given) = given.quantity("density", Dimension::Density) {
            density = given.value;
        }
        if let Some(entry) = given.entry("carts")
            && let Some(cart) =
                Fields::open(&entry.node, &entry.key.span, &keys::CARTS, fields.sink)
        {
            let whole = |key, default, most| {
                cart.whole(key, 1, most)
                    .map_or(default, |value| value as u32)
            };
            carts = place(&cart, "stored at").map(|stored_at| Carts {
                count: whole("count", 1, 1000),
                stored_at,
                pieces: whole("pieces", 40, MOST_PIECES),
                speed: speed(Some(&cart), "speed", 0.9),
                at_least: whole("at least", 8, MOST_PIECES),
                load: Span::from_seconds(seconds(&cart, "load", 2.0)),
                unload: Span::from_seconds(seconds(&cart, "unload", 2.0)),
            });
        }
    }
    let handling = MaterialHandling {
        loaded_speed: speed(given, "loaded speed", 1.0),
        pick_up: span("pick up"),
        put_down: span("put down"),
        carry_mass: Mass::from_kilograms(carry_mass),
        carry_pieces,
        carts,
    };
    (Some(handling), speed(given, "walking speed", 1.25), density)
}

fn crew(
    fields: &Fields,
    catalogue: &Catalogue,
    (keeping, walking_speed): (KeepingHours, Speed),
    place: &mut PlaceOf,
) -> Option<Crew> {
    let first = PlaceId(0);
    let Some(entry) = fields.entry("crew") else {
        return Some(
            [Person {
                name: "maker".to_owned(),
                group: "maker".to_owned(),
                can: None,
                walking_speed,
                starts_at: first,
                elbow: None,
                protection: None,
                hours: None,
            }]
            .into_iter()
            .collect(),
        );
    };
    let sink = fields.sink;
    let mut names = std::collections::BTreeSet::new();
    let mut crew = Table::new();
    let entries = match &entry.node.value {
        crate::scenario::tree::YamlValue::Map(entries) => entries,
        _ => {
            fields.named("crew");
            return None;
        }
    };
    for entry in entries {
        let given = Fields::open(&entry.node, &entry.key.span, &keys::PERSON, sink)?;
        let can = given.get("can").map(|node| {
            let items = reader::list(node, "a list of operations", sink).unwrap_or_default();
            let found = items
                .iter()
                .filter_map(|item| catalogue.operations.find(item, sink));
            let mut can: Vec<OperationId> = found
                .map(|operation| OperationId(operation as u32))
                .collect();
            can.sort();
            can.dedup();
            can
        });
        let speed = given.quantity("walking speed", Dimension::Speed);
        let walking_speed = speed.map_or(walking_speed, |speed| {
            Speed::from_metres_per_second(speed.value)
        });
        let elbow = given
            .quantity("elbow", Dimension::Length)
            .map(|elbow| elbow.value);
        let protection = given
            .quantity("protection", Dimension::SoundLevel)
            .map(|protection| protection.value);
        let starts_at = if given.get("starts at").is_some() {
            place(&given, "starts at").unwrap_or(first)
        } else {
            first
        };
        let hours = keeping.read(&given, &entry.key.text);
        let count = given.whole("count", 1, MOST_PEOPLE);
        for number in 1..=count.unwrap_or(1) {
            let name = match given.get("count") {
                Some(_) => format!("{} {number}", entry.key.text),
                None => entry.key.text.clone(),
            };
            if !names.insert(name.clone()) {
                sink.report(
                    Problem::error(&entry.key.span, format!("two people are called `{name}`"))
                        .hint("give one of them another name"),
                );
            }
            crew.push(Person {
                name,
                group: entry.key.text.clone(),
                can: can.clone(),
                walking_speed,
                starts_at,
                elbow,
                protection,
                hours: hours.clone(),
            });
        }
    }
    if crew.len() as u64 > MOST_PEOPLE {
        sink.report(Problem::error(
            &entry.key.span,
            format!(
                "there are {} people; at most {MOST_PEOPLE} are accepted",
                crew.len()
            ),
        ));
        return None;
    }
    Some(count_together(crew, catalogue.operations.len()))
}

/// So many of a group are called by their names.
const NAMED: usize = 3;

/// "ann, bob and cy", or the first of them and how many more.
fn all_of(people: &[&Person]) -> String {
    let names: Vec<&str> = people.iter().map(|person| &person.name[..]).collect();
    match &names[..] {
        [named @ .., last] if names.len() <= NAMED => format!("{} and {last}", named.join(", ")),
        _ => {
            let named = &names[..NAMED.min(names.len())];
            format!(
                "{} and {} more",
                named.join(", "),
                names.len() - named.len()
            )
        }
    }
}

/// Puts people who can do the same of so many operations, walk as fast and are there at the same hours in one group, under whatever names the file
/// has them and wherever they start: which of them does what depends mostly on the order of their names. Where the file
/// counts them together they keep the name that it gives them.
fn count_together(crew: Table<PersonId, Person>, operations: usize) -> Table<PersonId, Person> {
    // Who can do all operations one by one can do every one.
    let can = |person: &Person| {
        let can = person.can.clone();
        can.filter(|can| can.len() < operations)
    };
    let like = |one: &Person, other: &Person| {
        can(one) == can(other)
            && one.walking_speed == other.walking_speed
            && one.hours == other.hours
    };
    let groups: Vec<String> = (crew.iter())
        .map(|person| {
            let alike: Vec<&Person> = crew.iter().filter(|other| like(person, other)).collect();
            let first = alike.first().map_or(person, |first| first);
            if alike.iter().all(|other| other.group == first.group) {
                first.group.clone()
            } else {
                all_of(&alike)
            }
        })
        .collect();
    let named = crew.iter().cloned().zip(groups);
    named
        .map(|(person, group)| Person { group, ..person })
        .collect()
}

/// Reads a time in seconds, or the default.
fn seconds(fields: &Fields, key: &str, default: f64) -> f64 {
    fields
        .quantity(key, Dimension::Time)
        .map_or(default, |time| time.value)
}
