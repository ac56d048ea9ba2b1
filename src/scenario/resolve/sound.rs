//! How loud machines are, and what stands between them and a house.

use super::catalogue::{Catalogue, DeclaredStation};
use super::electrics::above_zero;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::kinds;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::tree::MapEntry;
use crate::services::CollectorPlan;
use crate::services::noise::{HouseWall, MachineNoise, NoisePlan, WallPart};
use crate::shop::StationId;
use crate::units::Span;

/// What else a file says that has to do with sound.
pub struct SoundGrounds<'a> {
    /// `noise` of the file with that of the layout laid over it.
    pub noise: Option<&'a MapEntry>,
    /// Whether anybody's hearing protection is given.
    pub has_protection: bool,
    pub quiet: Option<[Span; 2]>,
    pub collectors: &'a [CollectorPlan],
}

/// The noise of a layout; nothing where the file says nothing of it.
pub fn noise(catalogue: &Catalogue, grounds: &SoundGrounds, sink: &Sink) -> Option<NoisePlan> {
    let stations = &catalogue.declared_stations;
    let said = stations.iter().find_map(|station| station.noise.as_ref());
    if said.is_none() && grounds.noise.is_none() && !grounds.has_protection {
        return None;
    }
    let mut plan = NoisePlan {
        house: grounds.noise.and_then(|noise| house(noise, sink)),
        quiet: grounds.quiet,
        ..NoisePlan::default()
    };
    for (number, station) in stations.iter().enumerate() {
        let id = StationId(number as u32);
        let Some(machine) = machine(id, station) else {
            continue;
        };
        let collects = |plan: &CollectorPlan| plan.station == id && !plan.serves.is_empty();
        let is_worked = !station.does.is_empty() || grounds.collectors.iter().any(collects);
        match (is_worked, station.electrics.is_automatic) {
            (true, _) => plan.machines.push(machine),
            (false, true) => plan.untimed.push(id),
            (false, false) => warn_of_silent(station, sink),
        }
    }
    if plan.machines.is_empty() {
        let at = grounds.noise.map(|noise| &noise.key.span);
        if let Some(at) = at {
            sink.report(
                Problem::error(at, "nothing says how loud any machine is that is ever on").hint(
                    "write for example `noise: {idle: 88 dB, cutting: 97 dB}` at a station that does something, or give it a kind",
                ),
            );
        }
        return None;
    }
    Some(plan)
}

/// As the file says, or else as is usual for its kind, or else one as the other.
fn machine(id: StationId, station: &DeclaredStation) -> Option<MachineNoise> {
    let said = station.noise.as_ref();
    let (idle, cutting) = said.map_or((None, None), |said| (said.idle, said.cutting));
    let kind = station.kind.and_then(kinds::find);
    let usual = kind.and_then(|kind| kind.noise);
    // What is usual never makes a machine louder while it idles than while it cuts.
    let usual_idle = usual.map(|noise| noise.idle.usual.min(cutting.unwrap_or(f64::INFINITY)));
    let usual_cutting = usual.map(|noise| noise.cutting.usual.max(idle.unwrap_or(0.0)));
    Some(MachineNoise {
        station: id,
        idle: idle.or(usual_idle).or(cutting)?,
        cutting: cutting.or(usual_cutting).or(idle)?,
        // What nobody works at cuts nothing, as a collector.
        is_typical: usual.is_some()
            && (idle.is_none() || cutting.is_none() && !station.does.is_empty()),
    })
}

fn warn_of_silent(station: &DeclaredStation, sink: &Sink) {
    if let Some(said) = &station.noise {
        let what = format!(
            "`{}` is never heard, since it is never on",
            station.key.text
        );
        sink.report(
            Problem::warning(&said.key.span, what)
                .label("nobody works at it, and nothing says that it is a dust collector")
                .hint("write `automatic: true` if it starts by itself"),
        );
    }
}

fn house(noise: &MapEntry, sink: &Sink) -> Option<HouseWall> {
    let fields = Fields::open(&noise.node, &noise.key.span, &keys::NOISE, sink)?;
    let Some(entry) = fields.entry("house wall") else {
        sink.report(
            Problem::error(&noise.key.span, "`noise` with nothing in it")
                .hint("write its `house wall`, or leave it out"),
        );
        return None;
    };
    let wall = Fields::open(&entry.node, &entry.key.span, &keys::HOUSE_WALL, sink)?;
    let door = wall.entry("door").map(|door| {
        let door = Fields::open(&door.node, &door.key.span, &keys::SOUND_DOOR, sink)?;
        part(&door)
    });
    let mut parts = vec![part(&wall)];
    parts.extend(door);
    Some(HouseWall {
        absorbs: above_zero(&wall, "absorbs", Dimension::Area)?,
        parts: parts.into_iter().collect::<Option<_>>()?,
    })
}

fn part(given: &Fields) -> Option<WallPart> {
    let area = above_zero(given, "area", Dimension::Area);
    let reduction = given.quantity("reduction", Dimension::SoundLevel);
    Some(WallPart {
        area: area?,
        reduction: reduction?.value,
    })
}
