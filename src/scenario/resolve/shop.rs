//! The shop of one candidate: everything but where things stand.

use std::cell::Cell;

use super::work::Spec;
use super::{MOST_OPERATIONS, MOST_STATIONS, crew, doors, orders, projects, room, routes};
use crate::floor::check::{self, LIMITS, Limits};
use crate::floor::{Room, Side};
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, Fields, Measured, Named, Names};
use crate::scenario::tree::{Entry, Key, Node, Value};
use crate::shop::{
    CHOICES, OperationId, Person, PersonId, QUEUE_RULES, Rules, SWITCHES, Shop, Station, StationId,
    Table,
};

/// A station of the file.
pub struct StationPlan<'a> {
    pub key: &'a Key,
    pub count: u32,
    pub size: (f64, f64),
    pub stand: Option<(f64, f64)>,
    pub feed: Option<Side>,
    pub kickback: bool,
    /// In the order of [`Side::ALL`].
    pub reach_from: [bool; 4],
    /// What its operations take, in the file's order.
    pub does: Vec<Spec>,
}

/// An operation and its defaults.
pub struct OperationPlan<'a> {
    pub spec: Spec,
    /// Where the defaults stand, if there are any.
    pub defaults: Option<&'a Key>,
    /// Stations that do it, with the place in their list, in the file's order.
    pub doers: Vec<(usize, usize)>,
}

/// What everything else refers to.
pub struct Ground<'a> {
    pub stations: Names<'a>,
    /// Stations, then doors.
    pub places: Names<'a>,
    pub station_plans: Vec<StationPlan<'a>>,
    pub operations: Names<'a>,
    pub operation_plans: Vec<OperationPlan<'a>>,
    pub gear: Names<'a>,
}

/// A shop, and what is needed to check it with its walks.
pub struct Built<'a> {
    pub shop: Shop,
    pub ground: Ground<'a>,
    pub room: Option<Room>,
    /// Width of the circle that a walking person needs, and that a pushed cart needs, in metres.
    pub body_width: f64,
    pub cart_width: f64,
    pub limits: Limits,
    /// Places where somebody or something can have to go.
    pub used: Vec<bool>,
    /// Steps, times the stations that can do each.
    pub choices: usize,
    /// Steps of stations that work alone, which nobody could bring a lot to.
    pub unattended: Vec<(Bytes, String)>,
    pub order_spans: Vec<Bytes>,
}

impl Built<'_> {
    /// Corners of everything that a layout may have people walk around.
    pub fn corners(&self) -> usize {
        let sized = (self.ground.station_plans.iter())
            .filter(|plan| plan.size.0 > 0.0 && plan.size.1 > 0.0)
            .count();
        let of_room = self.room.as_ref().map_or(0, |room| {
            let things = room.blocked.iter().map(|thing| &thing.outline);
            let outlines = things.chain([&room.outline]);
            outlines.map(|outline| outline.corners().len()).sum()
        });
        4 * sized + of_room
    }
}

/// Builds the shop; `None` if something essential is wrong, which then has been reported.
pub fn build<'a>(
    tree: &'a Node,
    whole: &'a Bytes,
    horizon: Option<f64>,
    sink: &'a Sink,
) -> Option<Built<'a>> {
    let fields = Fields::open(tree, whole, &keys::SCENARIO, sink)?;
    for name in ["sessions", "dust", "power", "light"] {
        if let Some(entry) = fields.entry(name) {
            sink.report(
                Problem::error(&entry.key.span, format!("`{name}` is not supported yet"))
                    .hint("leave it out for now"),
            );
        }
    }
    let station_entries = fields.named("stations").unwrap_or_default();
    if let Some(entry) = fields.entry("stations")
        && entry.node.value == Value::Map(Vec::new())
    {
        sink.report(
            Problem::error(&entry.key.span, "there is no station")
                .hint("write for example `saw: {does: {rip: {per piece: 1 min}}}`"),
        );
    }
    if station_entries.len() > MOST_STATIONS {
        sink.report(Problem::error(
            &station_entries[MOST_STATIONS].key.span,
            format!(
                "there are {} stations; at most {MOST_STATIONS} are accepted",
                station_entries.len()
            ),
        ));
        return None;
    }
    let stations = Names::of("station", station_entries.iter().map(|entry| &entry.key));
    let room = room::read(&fields, &stations);
    if let Some(entry) = fields.get("gear").and_then(|gear| gear.entry("station")) {
        sink.report(
            Problem::error(&entry.key.span, "gear cannot be called `station`")
                .hint("`ties up: [station]` means the station itself; choose another name"),
        );
    }
    let doors = room.as_ref().map_or(&[][..], |room| &room.doors);
    let ground = ground(&fields, station_entries, stations, doors);
    let mut used = vec![false; ground.places.len()];
    for (names, what) in [
        (&ground.operations, "operations"),
        (&ground.gear, "kinds of gear"),
    ] {
        if names.len() > MOST_OPERATIONS {
            sink.report(Problem::error(
                names.key(MOST_OPERATIONS).span,
                format!(
                    "there are {} {what}; at most {MOST_OPERATIONS} are accepted",
                    names.len()
                ),
            ));
            return None;
        }
    }
    let (gear, crew, handling, density) = crew::build(&fields, &ground, &mut used);
    let (body_width, cart_width) = crew::widths(&fields);
    let limits = limits(&fields);
    let mut unattended = Vec::new();
    let plan = routes::Plan {
        ground: &ground,
        gear: &gear,
        crew: &crew,
        able: (0..ground.operations.len())
            .map(|operation| {
                let people = crew.iter().flatten();
                let can = |person: &&Person| person.can_do(OperationId(operation as u32));
                people.filter(can).count()
            })
            .collect(),
        choices: Cell::new(0),
        density,
        sink,
    };
    let projects = projects::build(&fields, &plan, &mut used, &mut unattended);
    let choices = plan.choices.get();
    let (orders, order_spans) = orders::build(&fields, projects.as_ref(), horizon);
    let rules = rules(&fields);
    unused(&fields, &ground, &projects, &used, &crew);
    let stations: Table<StationId, Station> = ground
        .station_plans
        .iter()
        .map(|plan| Station {
            name: plan.key.text.clone(),
            count: plan.count,
        })
        .collect();
    let operations: Table<OperationId, String> = (0..ground.operations.len())
        .map(|index| ground.operations.name(index).to_owned())
        .collect();
    if stations.is_empty() {
        return None;
    }
    let projects = projects?;
    Some(Built {
        shop: Shop {
            stations,
            operations,
            gear,
            crew: crew?,
            handling: handling?,
            projects: projects.table?,
            orders: orders?,
            rules,
            doors: doors.iter().map(|door| door.text.to_owned()).collect(),
        },
        ground,
        room: room.map(|room| room.room),
        body_width,
        cart_width,
        limits,
        used,
        choices,
        unattended,
        order_spans,
    })
}

fn ground<'a>(
    fields: &Fields<'a>,
    station_entries: &'a [Entry],
    stations: Names<'a>,
    doors: &[Named<'a>],
) -> Ground<'a> {
    let sink = fields.sink;
    let written = doors::written(fields);
    let what = if written.is_empty() {
        "station"
    } else {
        "station or door"
    };
    let of_stations = (0..stations.len()).map(|station| stations.key(station));
    let mut places = Names::of(what, of_stations.chain(doors.iter().copied()));
    places.excuse(&written);
    let gear_entries = fields.named("gear").unwrap_or_default();
    let gear = Names::of("gear", gear_entries.iter().map(|entry| &entry.key));
    let defaults = fields.named("operations").unwrap_or_default();

    let mut opened = Vec::new();
    let mut named: Vec<&Key> = defaults.iter().map(|entry| &entry.key).collect();
    for entry in station_entries {
        let station = Fields::open(&entry.node, &entry.key.span, &keys::STATION, sink);
        let does = station
            .and_then(|station| station.named("does"))
            .unwrap_or_default();
        named.extend(does.iter().map(|entry| &entry.key));
        opened.push((entry, station, does));
    }
    named.sort_by_key(|key| key.span.start);
    let operations = Names::of("operation", named);
    let mut operation_plans: Vec<OperationPlan> = (0..operations.len())
        .map(|_| OperationPlan {
            spec: Spec::default(),
            defaults: None,
            doers: Vec::new(),
        })
        .collect();
    let read = |entry: &'a Entry| {
        Fields::open(&entry.node, &entry.key.span, &keys::OPERATION, sink)
            .map(|fields| Spec::read(&fields, &places, &gear))
            .unwrap_or_default()
    };
    for entry in defaults {
        if let Some(index) = operations.index(&entry.key.text) {
            operation_plans[index].spec = read(entry);
            operation_plans[index].defaults = Some(&entry.key);
        }
    }
    let mut station_plans = Vec::new();
    for (place, (entry, station, does)) in opened.into_iter().enumerate() {
        let mut doings = Vec::new();
        for doing in does {
            if let Some(operation) = operations.index(&doing.key.text) {
                operation_plans[operation].doers.push((place, doings.len()));
                doings.push(read(doing));
            }
        }
        station_plans.push(station_plan(&entry.key, station.as_ref(), doings));
    }
    Ground {
        stations,
        places,
        station_plans,
        operations,
        operation_plans,
        gear,
    }
}

fn station_plan<'a>(
    key: &'a Key,
    station: Option<&Fields<'a>>,
    does: Vec<Spec>,
) -> StationPlan<'a> {
    let mut plan = StationPlan {
        key,
        count: 1,
        size: (0.0, 0.0),
        stand: None,
        feed: None,
        kickback: false,
        reach_from: [false; 4],
        does,
    };
    let Some(fields) = station else {
        return plan;
    };
    let sink = fields.sink;
    let metres = |[x, y]: [Measured; 2]| (x.value, y.value);
    if let Some(node) = fields.get("size")
        && let Some(size) = reader::lengths(node, "a size [along x, along y]", false, sink)
    {
        plan.size = metres(size);
    }
    if let Some(node) = fields.get("stand") {
        plan.stand = reader::lengths(node, "a standing place [x, y]", true, sink).map(metres);
    }
    if let Some(node) = fields.get("feed toward") {
        plan.feed = side(node, sink);
    }
    if let Some(node) = fields.get("kickback") {
        plan.kickback = reader::flag(node, sink).unwrap_or(false);
        if plan.kickback && fields.get("feed toward").is_none() {
            let at = fields
                .entry("kickback")
                .map_or(&node.span, |entry| &entry.key.span);
            sink.report(
                Problem::warning(at, "`kickback` means nothing without `feed toward`")
                    .label("nothing is fed through this station")
                    .hint("say which way the work passes, for example `feed toward: +y`, or leave `kickback` out"),
            );
        }
    }
    if let Some(node) = fields.get("reach from") {
        let sides = reader::list(node, "a list of sides", sink).unwrap_or_default();
        for wanted in sides.iter().filter_map(|node| side(node, sink)) {
            plan.reach_from[wanted as usize] = true;
        }
    }
    if let Some(node) = fields.get("fixed") {
        reader::flag(node, sink);
    }
    if let Some(count) = fields.whole("count", 1, 10_000) {
        plan.count = count as u32;
    }
    plan
}

/// The figures by which a layout is checked: the file's, else the defaults.
fn limits(fields: &Fields) -> Limits {
    let mut limits = Limits::default();
    let given = fields
        .entry("check")
        .and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::CHECK, fields.sink));
    let Some(given) = given else { return limits };
    for row in LIMITS {
        let dimension = match row.quantity {
            check::Quantity::Length => Dimension::Length,
            check::Quantity::Mass => Dimension::Mass,
        };
        if let Some(value) = given.quantity(row.key, dimension) {
            (row.set)(&mut limits, value.value);
        }
    }
    limits
}

fn side(node: &Node, sink: &Sink) -> Option<Side> {
    reader::one_of(node, &Side::ALL.map(Side::name), sink).map(|index| Side::ALL[index])
}

fn rules(fields: &Fields) -> Rules {
    let mut rules = Rules::default();
    let Some(entry) = fields.entry("rules") else {
        return rules;
    };
    let Some(given) = Fields::open(&entry.node, &entry.key.span, &keys::RULES, fields.sink) else {
        return rules;
    };
    let pick = |key: &str, names: Vec<&str>| {
        given
            .get(key)
            .and_then(|node| reader::one_of(node, &names, fields.sink))
    };
    if let Some(row) = pick("queue", QUEUE_RULES.iter().map(|row| row.name).collect()) {
        rules.queue = QUEUE_RULES[row].rule;
    }
    if let Some(row) = pick(
        "switch station",
        SWITCHES.iter().map(|row| row.name).collect(),
    ) {
        rules.switch = SWITCHES[row].rule;
    }
    if let Some(row) = pick("choose next", CHOICES.iter().map(|row| row.name).collect()) {
        rules.choose = CHOICES[row].rule;
    }
    rules
}

/// Warns about what stands in the file and plays no part.
fn unused(
    fields: &Fields,
    ground: &Ground,
    projects: &Option<projects::Projects>,
    used: &[bool],
    crew: &Option<Table<PersonId, Person>>,
) {
    let sink = fields.sink;
    let Some(projects) = projects else {
        return;
    };
    // As long as something is wrong, nobody knows what is used.
    let Some(table) = projects.table.as_ref().filter(|_| !sink.has_errors()) else {
        return;
    };
    for (plan, _) in ground
        .station_plans
        .iter()
        .zip(used)
        .filter(|(_, used)| !**used)
    {
        sink.report(
            Problem::warning(
                &plan.key.span,
                format!("the station `{}` is never used", plan.key.text),
            )
            .label("no route, material or person goes there"),
        );
    }
    let items = || table.iter().flat_map(|project| &project.items);
    let works = || {
        items()
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
    };
    let mut needed = vec![false; ground.operations.len()];
    let mut taken = vec![false; ground.gear.len()];
    for choice in works() {
        needed[choice.work.operation.index()] = true;
        for &(gear, _) in &choice.work.gear {
            taken[gear.index()] = true;
        }
    }
    for (index, plan) in ground.operation_plans.iter().enumerate() {
        if !needed[index] {
            let key = ground.operations.key(index);
            let span = plan.defaults.map_or(key.span, |defaults| &defaults.span);
            let name = key.text;
            sink.report(
                Problem::warning(span, format!("no route needs the operation `{name}`"))
                    .label("never done"),
            );
        }
    }
    for (index, taken) in taken.into_iter().enumerate() {
        if !taken {
            let key = ground.gear.key(index);
            sink.report(
                Problem::warning(
                    key.span,
                    format!("no operation of a route takes `{}`", key.text),
                )
                .label("never used"),
            );
        }
    }
    let Some(crew) = crew else { return };
    for entry in fields.named("crew").unwrap_or_default() {
        let named = |name: &str| {
            name == entry.key.text
                || name
                    .strip_prefix(&*entry.key.text)
                    .is_some_and(|rest| rest.starts_with(' '))
        };
        let idle = crew
            .iter()
            .find(|person| named(&person.name))
            .filter(|person| {
                let busy = |can: &Vec<OperationId>| can.iter().any(|id| needed[id.index()]);
                person.can.as_ref().is_some_and(|can| !busy(can))
            });
        if idle.is_some() {
            sink.report(
                Problem::warning(
                    &entry.key.span,
                    format!("no route needs what `{}` can do", entry.key.text),
                )
                .label("never works"),
            );
        }
    }
}

/// Reads a time in seconds, or the default.
pub fn seconds(fields: &Fields, key: &str, default: f64) -> f64 {
    fields
        .quantity(key, Dimension::Time)
        .map_or(default, |time| time.value)
}
