//! Where one stands at a station for single operations.

use std::collections::BTreeSet;

use super::catalogue::Catalogue;
use super::given_stand::GivenStand;
use crate::floor::{PlacedStand, Placement};
use crate::scenario::fields::Fields;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::reader;
use crate::shop::{OperationId, StationId, WorkStand};

fn is_done(operation: usize, station: usize, catalogue: &Catalogue) -> bool {
    let doers = &catalogue.declared_operations[operation].doers;
    doers.iter().any(|&(doer, _)| doer == station)
}

fn operation(name: &str, station: usize, catalogue: &Catalogue) -> Option<usize> {
    let operation = catalogue.operations.index(name)?;
    is_done(operation, station, catalogue).then_some(operation)
}

/// Reports operations that the station does not do.
pub fn check(given: &GivenStand, station: usize, catalogue: &Catalogue, sink: &Sink) {
    for &(name, span, _) in &given.by_operation {
        if operation(name, station, catalogue).is_some()
            || catalogue.declared_stations[station].has_unknown_kind
        {
            continue;
        }
        let does: Vec<&str> = (0..catalogue.operations.len())
            .filter(|&one| is_done(one, station, catalogue))
            .map(|one| catalogue.operations.name(one))
            .collect();
        let hint = match &does[..] {
            [] => {
                "it does nothing, so that one stands in one place: write `stand: [x, y]`".to_owned()
            }
            _ => format!("it does: {}", does.join(", ")),
        };
        let station = catalogue.stations.name(station);
        let what = format!("nobody stands at `{station}` for `{name}`, which it does not do");
        sink.report(Problem::error(span, what).hint(hint));
    }
}

/// Each station and operation for which the file says where one stands, be it for one layout: all layouts of a shop have
/// the same places.
pub fn work_stands(fields: &Fields, catalogue: &Catalogue) -> Vec<WorkStand> {
    let mut found: BTreeSet<(usize, usize)> = BTreeSet::new();
    for (station, declared) in catalogue.declared_stations.iter().enumerate() {
        check(&declared.stands, station, catalogue, fields.sink);
        let given = declared.stands.by_operation.iter();
        let known = given.filter_map(|(name, ..)| operation(name, station, catalogue));
        found.extend(known.map(|operation| (station, operation)));
    }
    let layouts = fields.get("layouts");
    for layout in layouts.into_iter().flat_map(reader::entries) {
        let at = layout.node.entry("at");
        for place in at.into_iter().flat_map(|at| reader::entries(&at.node)) {
            let station = catalogue.stations.index(&place.key.text);
            let (Some(station), Some(stand)) = (station, place.node.entry("stand")) else {
                continue;
            };
            let names = reader::entries(&stand.node)
                .iter()
                .map(|entry| &*entry.key.text);
            let known = names.filter_map(|name| operation(name, station, catalogue));
            found.extend(known.map(|operation| (station, operation)));
        }
    }
    let stand = |(station, operation): (usize, usize)| WorkStand {
        station: StationId(station as u32),
        operation: OperationId(operation as u32),
        name: format!(
            "{} ({})",
            catalogue.stations.name(station),
            catalogue.operations.name(operation)
        ),
    };
    found.into_iter().map(stand).collect()
}

/// Where one stands for single operations in a layout, by what it says of its stations. Where nobody goes to a station
/// but for these, the first of them is where one stands at it.
pub fn place(
    placements: &mut [Option<Placement>],
    stands: &[WorkStand],
    given: &[GivenStand],
    (catalogue, used): (&Catalogue, &[bool]),
) -> Vec<PlacedStand> {
    let mut placed: Vec<PlacedStand> = Vec::new();
    for stand in stands {
        let station = stand.station.index();
        let operation = catalogue.operations.name(stand.operation.index());
        let here = &given[station];
        let declared = &catalogue.declared_stations[station].stands;
        let said = here.of(operation).or_else(|| match here.everywhere {
            Some(_) => None,
            None => declared.of(operation),
        });
        let otherwise = placements[station].as_ref().map(|placed| placed.stand);
        placed.push(PlacedStand {
            station: stand.station,
            stand: said.or(otherwise),
        });
    }
    let first = used.len() - stands.len();
    for (station, placement) in placements.iter_mut().enumerate() {
        let mut here = placed.iter().enumerate();
        let is_used = |nth: usize| used[first + nth];
        let own = here.find(|(nth, stand)| stand.station.index() == station && is_used(*nth));
        if let (false, Some(placement), Some((_, own))) = (used[station], placement, own) {
            placement.stand = own.stand.unwrap_or(placement.stand);
        }
    }
    placed
}
