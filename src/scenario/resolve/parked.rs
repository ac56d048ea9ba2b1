//! What a layout parks, and rolls out to be used.

use super::catalogue::DeclaredStation;
use super::places::StationPlace;
use super::shop::Built;
use crate::floor::{Placement, Plan, RolledOut, shared_floor};
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::tree::MapEntry;
use crate::shop::{SharedFloor, Shop, StationId};

/// What a layout parks, with where that is said.
#[derive(Default)]
pub struct ParkedStations<'a> {
    parked: Vec<(usize, Placement, &'a Bytes)>,
}

impl<'a> ParkedStations<'a> {
    /// Notes where a station is parked, if it is; nothing is worked there. Reports what cannot be rolled about.
    pub fn add(
        &mut self,
        (station, entry): (usize, &'a MapEntry),
        place: &StationPlace,
        built: &Built,
        sink: &Sink,
    ) {
        let (Some((at, turn)), Some(said)) = (place.parked, entry.node.entry("parked")) else {
            return;
        };
        let declared = &built.catalogue.declared_stations[station];
        let used = place.of(declared);
        let shop = built.shop.as_deref();
        if let Some(problem) = cannot_roll(declared, (station, shop), &said.key.span) {
            sink.report(problem);
            return;
        }
        let parked = Placement {
            at,
            turn,
            feed: None,
            kickback: false,
            reach_from: [false; 4],
            ..used
        };
        self.parked.push((station, parked, &entry.key.span));
    }

    /// Parks them, and says where they are used.
    pub fn park(&self, placements: &mut [Option<Placement>]) -> Vec<RolledOut> {
        let mut rolled_out: Vec<RolledOut> = Vec::new();
        for &(station, parked, _) in &self.parked {
            if let Some(placement) = placements[station].replace(parked) {
                rolled_out.push(RolledOut {
                    station: StationId(station as u32),
                    placement,
                });
            }
        }
        rolled_out.sort_by_key(|thing| thing.station);
        rolled_out
    }

    /// Which stations need floor that something is rolled out to; nothing if that cannot be, which is reported.
    pub fn shared_floor(
        &self,
        shop: &Shop,
        plan: &Plan,
        built: &Built,
        sink: &Sink,
    ) -> Option<Vec<SharedFloor>> {
        let shared = shared_floor(shop, plan, &built.limits);
        let wrong = shared
            .iter()
            .filter(|floor| !may_wait(shop, floor.other))
            .filter_map(|floor| {
                let of = |of: &&(usize, Placement, &'a Bytes)| of.0 == floor.rolled_out.index();
                Some((self.parked.iter().find(of)?.2, floor))
            });
        let mut is_sound = true;
        for (at, floor) in wrong {
            let [out, other] = [floor.rolled_out, floor.other].map(|of| &shop.stations[of].name);
            let what = format!(
                "`{out}` is rolled out to floor that `{other}` needs, which nobody clears: it has several units, or works alone"
            );
            sink.report(
                Problem::error(at, what)
                    .hint("roll it out to another place, or move what stands there"),
            );
            is_sound = false;
        }
        is_sound.then_some(shared)
    }
}

/// Whether somebody comes to a station before it does anything, so that what stands in the way is rolled in.
fn may_wait(shop: &Shop, station: StationId) -> bool {
    let of_one = shop.stations[station].count == 1;
    of_one && (shop.ordered_work()).all(|(at, work)| at != station || work.people > 0)
}

/// Why a station cannot be parked, if it cannot.
fn cannot_roll(
    declared: &DeclaredStation,
    (station, shop): (usize, Option<&Shop>),
    at: &Bytes,
) -> Option<Problem> {
    let name = &declared.key.text;
    let error = |what: String, hint: &str| Some(Problem::error(at, what).hint(hint));
    if declared.rolling.is_none() {
        return error(
            format!("nothing says how long it takes to roll `{name}` about"),
            "add for example `roll out: 90 s, roll in: 60 s` to the station",
        );
    }
    if declared.count > 1 {
        return error(
            format!("`{name}` has several units, which are not rolled about together"),
            "make stations of them, each with a place of its own",
        );
    }
    if declared.set_down.is_some() {
        return error(
            format!(
                "`{name}` is rolled in with whatever lies there, so that `set down` has no meaning"
            ),
            "leave `set down` out, or `parked`",
        );
    }
    let here = StationId(station as u32);
    let works = shop?.projects.iter().flat_map(|project| &project.items);
    let choices = works
        .flat_map(|item| &item.route)
        .flat_map(|step| &step.choices);
    for choice in choices.filter(|choice| choice.station == here) {
        let operation = &shop?.operations[choice.work.operation];
        if choice.work.people == 0 {
            return error(
                format!(
                    "nobody is there to roll `{name}` out for `{operation}`, which needs nobody"
                ),
                "let it take a person, or leave `parked` out",
            );
        }
        if (choice.work.cure.as_ref()).is_some_and(|cure| cure.ties_up_station) {
            return error(
                format!("`{name}` cannot be rolled in while what `{operation}` leaves cures on it"),
                "set the work aside with `ties up: []` in the cure, or leave `parked` out",
            );
        }
    }
    None
}
