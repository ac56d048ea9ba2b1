//! The shop of one candidate: everything but where things stand.

use std::cell::Cell;
use std::sync::Arc;

use super::catalogue::{self, Catalogue};
use super::deadline::When;
use super::sessions::KeepingHours;
use super::setups::NamedSettings;
use super::upkeep::{SharedUpkeep, warn_if_never_full};
use super::{
    MOST_OPERATIONS, MOST_STATIONS, asked_places, bought, crew, exclusions, fits, gear_counts,
    idle_people, lifting, orders, prices, projects, rolling, room, routes, rules, sessions,
    silence, stands, unused,
};
use crate::experiment::Settings;
use crate::floor::Limits;
use crate::floor::Room;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::{
    AskedPlace, OperationId, Person, PlaceId, Shop, Station, StationId, Table, WorkStand,
};
use crate::units::Span;

/// A shop, and what is needed to check it with its walks.
pub struct Built<'a> {
    /// Nothing if something is wrong with it; layouts are read all the same, so that all problems are told at once.
    pub shop: Option<Arc<Shop>>,
    pub catalogue: Catalogue<'a>,
    pub room: Option<Room>,
    /// Width of the circle that a walking person needs, and that a pushed cart needs, in metres.
    pub body_width: f64,
    pub cart_width: f64,
    pub limits: Limits,
    /// Where one stands for single operations.
    pub work_stands: Vec<WorkStand>,
    /// Places where somebody or something can have to go.
    pub used: Vec<bool>,
    /// Steps, times the stations that can do each.
    pub choices: usize,
    /// Steps of stations that work alone, which nobody could bring a lot to.
    pub unattended: Vec<(Bytes, String)>,
    pub order_spans: Vec<Bytes>,
    /// What the file says of current, dust, light and noise; a layout may say more.
    pub power: Option<&'a MapEntry>,
    pub dust: Option<&'a MapEntry>,
    pub heat: Option<&'a MapEntry>,
    pub light: Option<&'a MapEntry>,
    pub noise: Option<&'a MapEntry>,
    /// Times of day between which it is quiet.
    pub quiet: Option<[Span; 2]>,
}

impl Built<'_> {
    /// What a place is called.
    pub fn place_name(&self, place: PlaceId) -> &str {
        let places = &self.catalogue.places;
        match place.index().checked_sub(places.len()) {
            None => places.name(place.index()),
            Some(stand) => &self.work_stands[stand].name,
        }
    }

    /// Whether somebody or something can have to go to a station, wherever one stands there.
    pub fn is_needed(&self, station: usize) -> bool {
        is_needed(station, &self.used, &self.work_stands)
    }

    /// Corners of everything that a layout may have people walk around.
    pub fn corners(&self) -> usize {
        let sized = (self.catalogue.declared_stations.iter())
            .filter(|station| station.size.0 > 0.0 && station.size.1 > 0.0)
            .count();
        let of_room = self.room.as_ref().map_or(0, |room| {
            let things = room.blocked.iter().map(|thing| &thing.outline);
            let outlines = things.chain([&room.outline]);
            outlines.map(|outline| outline.corners().len()).sum()
        });
        4 * sized + of_room
    }
}

fn is_needed(station: usize, used: &[bool], work_stands: &[WorkStand]) -> bool {
    let of_stands = &used[used.len() - work_stands.len()..];
    let mut stands = work_stands.iter().zip(of_stands);
    used[station] || stands.any(|(stand, used)| *used && stand.station.index() == station)
}

/// Builds the shop, as far as nothing is wrong with it; `None` where not even the names of the stations are known. What is
/// wrong has been reported then.
pub fn build<'a>(
    tree: &'a YamlNode,
    whole: &'a Bytes,
    settings: &Settings,
    sink: &'a Sink,
) -> Option<Built<'a>> {
    let fields = Fields::open(tree, whole, &keys::SCENARIO, sink)?;
    let horizon = settings.until.map(|until| until.seconds());
    let calendar = sessions::read(&fields, settings.starts, horizon);
    let station_entries = fields.named("stations").unwrap_or_default();
    if let Some(entry) = fields.entry("stations")
        && entry.node.value == YamlValue::Map(Vec::new())
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
    let mut room = room::read(&fields, &stations);
    rolling::parks(&fields, room.as_mut().map(|room| &mut room.room));
    if let Some(entry) = fields.get("gear").and_then(|gear| gear.entry("station")) {
        sink.report(
            Problem::error(&entry.key.span, "gear cannot be called `station`")
                .hint("`ties up: [station]` means the station itself; choose another name"),
        );
    }
    let doors = room.as_ref().map_or(&[][..], |room| &room.doors);
    let catalogue = catalogue::read(&fields, station_entries, stations, doors);
    let work_stands = stands::work_stands(&fields, &catalogue);
    let mut used = vec![false; catalogue.places.len() + work_stands.len()];
    for (names, what) in [
        (&catalogue.operations, "operations"),
        (&catalogue.gear, "kinds of gear"),
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
    let keeping = KeepingHours {
        calendar: calendar.as_ref(),
        starts: settings.starts,
    };
    let (gear, crew, handling, density) = crew::build(&fields, &catalogue, keeping, &mut used);
    let (body_width, cart_width) = crew::widths(&fields);
    let limits = rules::limits(&fields);
    let mut unattended = Vec::new();
    let context = routes::RouteContext {
        catalogue: &catalogue,
        gear: &gear,
        crew: &crew,
        able: (0..catalogue.operations.len())
            .map(|operation| {
                let people = crew.iter().flatten();
                let can = |person: &&Person| person.can_do(OperationId(operation as u32));
                people.filter(can).count()
            })
            .collect(),
        choices: Cell::new(0),
        density,
        work_stands: &work_stands,
        settings: NamedSettings::default(),
        bought: &bought::BoughtStock::new(
            room.as_ref().map_or(&[][..], |room| &room.room.stock),
            &fields,
        ),
        sink,
    };
    let projects = projects::build(&fields, &context, &mut used, &mut unattended);
    let choices = context.choices.get();
    let (orders, order_spans) = orders::build(
        &fields,
        projects.as_ref(),
        &When {
            starts: settings.starts,
            calendar: calendar.as_ref(),
            horizon: settings.until,
        },
    );
    let rules = rules::rules(&fields);
    let heat = exclusions::heat(&fields);
    let prices = prices::read(&fields);
    let not_together = exclusions::exclusions(&fields, &catalogue);
    let needed: Vec<bool> = (0..catalogue.stations.len())
        .map(|station| is_needed(station, &used, &work_stands))
        .collect();
    unused::warn(&fields, &catalogue, &projects, &needed, &crew);
    let mut shared = SharedUpkeep::default();
    let asked_place = |name: &str| {
        let entry = station_entries.iter().find(|entry| entry.key.text == name);
        let room = room.as_ref().map(|room| &room.room);
        entry.map_or_else(AskedPlace::default, |entry| {
            asked_places::read(entry, &catalogue, room, sink)
        })
    };
    asked_places::warn_idle(station_entries, sink);
    let stations: Table<StationId, Station> = catalogue
        .declared_stations
        .iter()
        .map(|station| Station {
            name: station.key.text.clone(),
            kind: station.kind,
            count: station.count,
            is_size_usual: station.is_size_usual,
            upkeep: shared.resolve(&station.upkeep, sink),
            set_down: station.set_down,
            rolling: station.rolling,
            setup_from: (context.settings).resolve(
                &station.setup_from,
                &catalogue.operations,
                sink,
            ),
            is_worked_at: station.is_worked_at(),
            is_loud: station.is_loud,
            has_blade: station.has_blade,
            widest: station.widest,
            asked: asked_place(&station.key.text),
        })
        .collect();
    let operations: Table<OperationId, String> = (0..catalogue.operations.len())
        .map(|index| catalogue.operations.name(index).to_owned())
        .collect();
    let settings = context.settings.table();
    if stations.is_empty() {
        return None;
    }
    let shop = || {
        let (calendar, orders, crew) = (calendar?, orders?, crew?);
        let mut projects = projects?.table?;
        lifting::call_second(&fields, &mut projects, (&crew, &operations), &limits);
        gear_counts::suffices(&orders, &order_spans, &projects, (&gear, &operations), sink)?;
        exclusions::all_cure(&fields, heat.as_ref(), &calendar, &projects, &operations)?;
        let (quiet, no_blades) = silence::read(&fields, &calendar, &catalogue)?;
        let shop = Shop {
            stations,
            operations,
            settings,
            gear,
            crew,
            handling: handling?,
            projects,
            orders,
            rules,
            calendar,
            quiet,
            no_blades,
            heat,
            not_together,
            shared_floor: Vec::new(),
            prices,
            doors: doors.iter().map(|door| door.text.to_owned()).collect(),
            work_stands: work_stands.clone(),
        };
        fits::all_fits(&fields, &shop, &order_spans)?;
        idle_people::warn(&fields, &shop);
        let declared = catalogue.declared_stations.iter();
        let upkeep: Vec<_> = declared.map(|station| &*station.upkeep).collect();
        warn_if_never_full(&upkeep, &shop, sink);
        rules::warn_idle(&fields, &shop);
        Some(Arc::new(shop))
    };
    Some(Built {
        shop: shop(),
        catalogue,
        room: room.map(|room| room.room),
        body_width,
        cart_width,
        limits,
        work_stands: work_stands.clone(),
        used,
        choices,
        unattended,
        order_spans,
        power: fields.entry("power"),
        dust: fields.entry("dust"),
        heat: fields.entry("heat"),
        light: fields.entry("light"),
        noise: fields.entry("noise"),
        quiet: silence::quiet_times(&fields),
    })
}
