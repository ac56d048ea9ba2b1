//! What a scenario declares by name: stations, doors, operations and gear, which everything else refers to.

use super::doors;
use super::electrics::{self, DeclaredElectrics};
use super::geometry::positive;
use super::given_stand::GivenStand;
use super::heights::StationHeights;
use super::loudness::DeclaredNoise;
use super::rolling;
use super::setups::{self, DeclaredSetups};
use super::spec::Spec;
use super::upkeep::{self, DeclaredUpkeep};
use super::usual::{self, NamedKind};
use crate::floor::Side;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::kinds::{self, Keeps, KindOperation};
use crate::scenario::names::{Named, Names};
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapEntry, MapKey, YamlNode, YamlValue};
use crate::shop::Rolling;

/// A station of the file.
pub struct DeclaredStation<'a> {
    pub key: &'a MapKey,
    pub count: u32,
    pub size: (f64, f64),
    pub is_size_usual: bool,
    pub stand: Option<(f64, f64)>,
    /// Where one stands for single operations.
    pub stands: GivenStand<'a>,
    /// The side at which one stands, if the file does not say where.
    pub stand_side: Option<Side>,
    pub heights: StationHeights,
    /// The widest piece that it takes, in metres.
    pub widest: Option<f64>,
    pub feed: Option<Side>,
    pub kickback: bool,
    /// In the order of [`Side::ALL`].
    pub reach_from: [bool; 4],
    /// What its operations take: those of its kind alone, then those of the file in its order.
    pub does: Vec<DeclaredDoing>,
    /// What has a kind stands in the shop for its own sake.
    pub kind: Option<&'static str>,
    /// Whether the file names a kind that there is not, which has been reported: nobody knows what it does.
    pub has_unknown_kind: bool,
    pub setup_from: DeclaredSetups<'a>,
    pub set_down: Option<u32>,
    pub rolling: Option<Rolling>,
    pub upkeep: Vec<DeclaredUpkeep<'a>>,
    pub is_loud: bool,
    pub has_blade: bool,
    pub electrics: DeclaredElectrics<'a>,
    /// Nothing where the file says nothing of it.
    pub noise: Option<DeclaredNoise<'a>>,
}

impl DeclaredStation<'_> {
    /// Whether it does something, or the file says where one stands at it.
    pub fn is_worked_at(&self) -> bool {
        !self.does.is_empty() || self.stand_side.is_none()
    }
}

/// What an operation takes at one station, as the file says and as is usual for its kind.
pub struct DeclaredDoing {
    pub given: Spec,
    pub usual: Option<Spec>,
}

/// An operation and its defaults.
pub struct DeclaredOperation<'a> {
    pub spec: Spec,
    /// Where the defaults stand, if there are any.
    pub defaults: Option<&'a MapKey>,
    /// Where the file writes it, if not only kinds do it.
    pub written: Option<&'a Bytes>,
    /// Stations that do it, with the place in their list, in the file's order.
    pub doers: Vec<(usize, usize)>,
}

/// What everything else refers to.
pub struct Catalogue<'a> {
    pub stations: Names<'a>,
    /// Stations, then doors.
    pub places: Names<'a>,
    pub declared_stations: Vec<DeclaredStation<'a>>,
    pub operations: Names<'a>,
    pub declared_operations: Vec<DeclaredOperation<'a>>,
    pub gear: Names<'a>,
    /// The first stations whose kinds keep boards and sheets.
    pub boards_at: Option<usize>,
    pub sheets_at: Option<usize>,
    /// Whether some station has a kind that there is not, which has been reported. Nobody knows what it does.
    has_unknown_kind: bool,
}

impl Catalogue<'_> {
    /// Whether it has been reported already why no station does this.
    pub fn is_excused(&self, operation: &str) -> bool {
        let of_kinds = || kinds::kinds().flat_map(|kind| kind.does);
        self.has_unknown_kind && of_kinds().any(|does| does.name == operation)
    }
}

/// A station whose mapping has been opened.
struct OpenedStation<'a> {
    entry: &'a MapEntry,
    fields: Option<Fields<'a>>,
    kind: Option<NamedKind<'a>>,
    does: &'a [MapEntry],
}

impl<'a> OpenedStation<'a> {
    fn open(entry: &'a MapEntry, sink: &'a Sink) -> OpenedStation<'a> {
        let fields = Fields::open(&entry.node, &entry.key.span, &keys::STATION, sink);
        let does = fields.and_then(|fields| fields.named("does"));
        OpenedStation {
            entry,
            fields,
            kind: fields.as_ref().and_then(usual::kind_of),
            does: does.unwrap_or_default(),
        }
    }

    fn has_unknown_kind(&self) -> bool {
        let named = self.fields.and_then(|fields| fields.get("kind"));
        named.is_some() && self.kind.is_none()
    }

    /// The operations that the file writes for it.
    fn written(&self) -> impl Iterator<Item = &'a MapEntry> + use<'a> {
        self.does.iter().filter(|does| !usual::is_never(does))
    }

    /// The operations of its kind of which the file says nothing.
    fn of_kind(&self) -> impl Iterator<Item = (&'static KindOperation, &'a Bytes)> + use<'a> {
        let does = self.does;
        let is_written = move |name: &str| does.iter().any(|written| written.key.text == name);
        let kinds = self.kind.into_iter();
        kinds
            .flat_map(|named| named.kind.does.iter().map(move |does| (does, named.span)))
            .filter(move |(does, _)| !is_written(does.name))
    }
}

/// Reads stations, the doors' names, operations and gear.
pub fn read<'a>(
    fields: &Fields<'a>,
    station_entries: &'a [MapEntry],
    stations: Names<'a>,
    doors: &[Named<'a>],
) -> Catalogue<'a> {
    let sink = fields.sink;
    let written = doors::written(fields);
    let what = if written.is_empty() {
        "station"
    } else {
        "station or door"
    };
    let station_keys = (0..stations.len()).map(|station| stations.key(station));
    let mut places = Names::of(what, station_keys.chain(doors.iter().copied()));
    places.excuse(&written);
    let gear_entries = fields.named("gear").unwrap_or_default();
    let gear = Names::of("gear", gear_entries.iter().map(|entry| &entry.key));
    let defaults = fields.named("operations").unwrap_or_default();

    let opened: Vec<OpenedStation> = (station_entries.iter())
        .map(|entry| OpenedStation::open(entry, sink))
        .collect();
    let mut named: Vec<Named> = defaults
        .iter()
        .map(|entry| Named::from(&entry.key))
        .collect();
    for station in &opened {
        named.extend(station.written().map(|entry| Named::from(&entry.key)));
        named.extend(station.of_kind().map(|(does, span)| Named {
            text: does.name,
            span,
        }));
    }
    named.sort_by_key(|name| name.span.start);
    let mut operations = Names::of("operation", named);
    let has_unknown_kind = opened.iter().any(OpenedStation::has_unknown_kind);
    if has_unknown_kind {
        let of_kinds = kinds::kinds().flat_map(|kind| kind.does);
        operations.excuse(&of_kinds.map(|does| does.name).collect::<Vec<_>>());
    }
    let mut declared_operations: Vec<DeclaredOperation> = (0..operations.len())
        .map(|_| DeclaredOperation {
            spec: Spec::default(),
            defaults: None,
            written: None,
            doers: Vec::new(),
        })
        .collect();
    let spec_of = |entry: &'a MapEntry| {
        Fields::open(&entry.node, &entry.key.span, &keys::OPERATION, sink)
            .map(|fields| Spec::read(&fields, &places, &gear))
            .unwrap_or_default()
    };
    for entry in defaults {
        if let Some(index) = operations.index(&entry.key.text) {
            declared_operations[index].spec = spec_of(entry);
            declared_operations[index].defaults = Some(&entry.key);
            declared_operations[index].written = Some(&entry.key.span);
        }
    }
    let mut declared_stations = Vec::new();
    for (place, station) in opened.iter().enumerate() {
        let mut doings: Vec<DeclaredDoing> = Vec::new();
        let mut add = |name: &str, given: Spec, written: Option<&'a Bytes>| {
            let Some(operation) = operations.index(name) else {
                return;
            };
            let declared = &mut declared_operations[operation];
            declared.doers.push((place, doings.len()));
            declared.written = declared.written.or(written);
            let usual = station.kind.and_then(|named| {
                let does = named.operation(name)?;
                Some(usual::spec(does, named.span, sink))
            });
            doings.push(DeclaredDoing { given, usual });
        };
        for (does, _) in station.of_kind() {
            add(does.name, Spec::default(), None);
        }
        for doing in station.written() {
            add(&doing.key.text, spec_of(doing), Some(&doing.key.span));
        }
        for never in station.does.iter().filter(|does| usual::is_never(does)) {
            usual::check_never(never, station.kind, sink);
        }
        declared_stations.push(declared_station(station, doings, &places));
    }
    follow_saws(&mut declared_stations, &opened);
    let keeps = |what: Keeps| {
        let keeps = |station: &OpenedStation| {
            station
                .kind
                .is_some_and(|named| named.kind.keeps == Some(what))
        };
        opened.iter().position(keeps)
    };
    let (boards_at, sheets_at) = (keeps(Keeps::Boards), keeps(Keeps::Sheets));
    Catalogue {
        stations,
        places,
        declared_stations,
        operations,
        declared_operations,
        gear,
        boards_at,
        sheets_at,
        has_unknown_kind,
    }
}

/// Makes what stands behind a saw as high as that, where the file does not say how high it is and all saws are of one
/// height.
fn follow_saws(declared: &mut [DeclaredStation], opened: &[OpenedStation]) {
    let saws = declared.iter().filter(|station| station.kickback);
    let mut tables = saws.filter_map(|saw| saw.heights.table);
    let Some(table) = tables.next() else { return };
    if tables.any(|other| other != table) {
        return;
    }
    for (declared, station) in declared.iter_mut().zip(opened) {
        let follows = station.kind.is_some_and(|named| named.kind.follows_saw);
        let says = |key: &str| {
            let fields = station.fields.as_ref();
            fields.is_some_and(|fields| fields.entry(key).is_some())
        };
        if follows && !["height", "table", "bottom"].into_iter().any(says) {
            declared.heights.table = Some(table);
            declared.heights.body.top = table;
        }
    }
}

fn declared_station<'a>(
    station: &OpenedStation<'a>,
    does: Vec<DeclaredDoing>,
    places: &Names,
) -> DeclaredStation<'a> {
    let kind = station.kind.map(|named| named.kind);
    let mut declared = DeclaredStation {
        key: &station.entry.key,
        count: 1,
        size: kind.map_or((0.0, 0.0), usual::size),
        is_size_usual: kind.is_some(),
        stand: None,
        stands: GivenStand::default(),
        stand_side: Some(kind.map_or(Side::MinusY, |kind| kind.stand.side)),
        heights: kind.map_or_else(StationHeights::default, StationHeights::of),
        widest: kind.and_then(|kind| Some(kind.widest?.usual * usual::INCH)),
        feed: kind.and_then(|kind| kind.feed),
        kickback: kind.is_some_and(|kind| kind.kickback),
        reach_from: kind.map_or([false; 4], |kind| kind.reach_from),
        does,
        kind: kind.map(|kind| kind.name),
        has_unknown_kind: station.has_unknown_kind(),
        setup_from: Vec::new(),
        set_down: None,
        rolling: None,
        upkeep: Vec::new(),
        is_loud: false,
        has_blade: false,
        electrics: DeclaredElectrics::default(),
        noise: None,
    };
    let Some(fields) = station.fields else {
        return declared;
    };
    let sink = fields.sink;
    let metres = |[x, y]: [GivenQuantity; 2]| (x.value, y.value);
    if let Some(node) = fields.get("size") {
        if usual::is_smallest(node) {
            declared.size = usual::smallest(node, kind, sink).unwrap_or(declared.size);
        } else if let Some(size) = reader::lengths(node, "a size [along x, along y]", false, sink) {
            declared.size = metres(size);
            declared.is_size_usual = false;
        }
    }
    declared.heights = StationHeights::read(&fields, kind);
    declared.widest = positive(&fields, "widest").or(declared.widest);
    let usual_stand = kind.map(|kind| usual::standing(kind.stand, declared.size));
    declared.stand = match fields.get("stand") {
        Some(node) => {
            if let YamlValue::Map(_) = node.value {
                declared.stands = GivenStand::read(node, sink).unwrap_or_default();
                usual_stand
            } else {
                declared.stand_side = None;
                reader::lengths(node, "a standing place [x, y]", true, sink).map(metres)
            }
        }
        None => usual_stand,
    };
    if let Some(node) = fields.get("feed toward") {
        declared.feed = side(node, sink);
    }
    if let Some(node) = fields.get("kickback") {
        declared.kickback = reader::flag(node, sink).unwrap_or(false);
        if declared.kickback && declared.feed.is_none() && fields.get("feed toward").is_none() {
            let at = fields
                .entry("kickback")
                .map_or(&node.span, |entry| &entry.key.span);
            sink.report(
                Problem::warning(at, "`kickback` has no effect without `feed toward`")
                    .label("nothing is fed through this station")
                    .hint("say which way the work passes, for example `feed toward: +y`, or leave `kickback` out"),
            );
        }
    }
    if let Some(node) = fields.get("reach from") {
        declared.reach_from = [false; 4];
        let sides = reader::list(node, "a list of sides", sink).unwrap_or_default();
        for wanted in sides.iter().filter_map(|node| side(node, sink)) {
            declared.reach_from[wanted as usize] = true;
        }
    }
    let flag = |key| fields.get(key).and_then(|node| reader::flag(node, sink));
    flag("fixed");
    declared.is_loud = flag("loud").unwrap_or(false);
    declared.has_blade = flag("blade").unwrap_or(false);
    declared.setup_from = setups::read(&fields);
    declared.electrics = electrics::read(&fields);
    declared.noise = DeclaredNoise::read(&fields);
    declared.upkeep = upkeep::read(&fields, places);
    declared.set_down = (fields.whole("set down", 0, 1_000_000)).map(|lots| lots as u32);
    declared.rolling = rolling::times(&fields);
    if let Some(count) = fields.whole("count", 1, 10_000) {
        declared.count = count as u32;
    }
    declared
}

fn side(node: &YamlNode, sink: &Sink) -> Option<Side> {
    reader::one_of(node, &Side::ALL.map(Side::name), sink).map(|index| Side::ALL[index])
}
