//! Where a layout places stations, and where one stands at them.

use super::catalogue::DeclaredStation;
use super::geometry;
use super::given_stand::GivenStand;
use crate::floor::{Placement, Point, STAND_OFF_M, segments_meet};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Sink};
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};

/// Where a layout places a station.
pub struct StationPlace<'a> {
    at: Point,
    turn: f64,
    /// Where one stands, if that is said for this layout.
    pub stand: GivenStand<'a>,
    /// Where it stands while it is not used, and how it is turned then.
    pub parked: Option<(Point, f64)>,
}

impl<'a> StationPlace<'a> {
    /// Written as `[x, y]` or as `{at: [x, y], turn: 90, stand: [x, y], parked: {at: [x, y]}}`.
    pub fn read(node: &'a YamlNode, at: &'a Bytes, sink: &'a Sink) -> Option<StationPlace<'a>> {
        let YamlValue::Map(_) = &node.value else {
            return Some(StationPlace {
                at: geometry::point(node, sink)?,
                turn: 0.0,
                stand: GivenStand::default(),
                parked: None,
            });
        };
        let given = Fields::open(node, at, &keys::PLACE, sink)?;
        let turn = |given: &Fields| match given.get("turn") {
            Some(node) => reader::number(node, sink),
            None => Some(0.0),
        };
        let stand = match given.get("stand") {
            Some(node) => GivenStand::read(node, sink)?,
            None => GivenStand::default(),
        };
        let parked = match given.entry("parked") {
            Some(entry) => {
                let parked = Fields::open(&entry.node, &entry.key.span, &keys::PARKED, sink)?;
                let at = geometry::point(parked.get("at")?, sink)?;
                Some((at, turn(&parked)?))
            }
            None => None,
        };
        Some(StationPlace {
            at: geometry::point(given.get("at")?, sink)?,
            turn: turn(&given)?,
            stand,
            parked,
        })
    }

    pub fn of(&self, declared: &DeclaredStation) -> Placement {
        let stand = match (self.stand.everywhere, declared.stand) {
            (Some(stand), _) => stand,
            (None, Some((x, y))) => Point::new(x, y),
            (None, None) => Placement::default_stand(declared.size),
        };
        Placement {
            at: self.at,
            turn: self.turn,
            size: declared.size,
            stand,
            feed: declared.feed,
            kickback: declared.kickback,
            reach_from: declared.reach_from,
            heights: declared.heights.body,
            table: declared.heights.table,
        }
    }
}

/// Whoever works at something that hangs stands before what is below it, unless the file says where.
pub fn stand_before(
    placements: &mut [Option<Placement>],
    declared: &[DeclaredStation],
    stands_there: &[bool],
) {
    for station in (0..placements.len()).filter(|&station| !stands_there[station]) {
        let Some((mut placed, side)) = placements[station].zip(declared[station].stand_side) else {
            continue;
        };
        if !placed.heights.hangs() {
            continue;
        }
        let out = side.direction();
        let toward = placed.turned(out);
        let standing = placed.standing();
        let below = placements
            .iter()
            .enumerate()
            .filter(|&(other, _)| other != station);
        let below = below.filter_map(|(_, other)| other.as_ref());
        let below = below.filter(|other| !other.heights.meets(&placed.heights));
        let between = below.filter_map(Placement::footprint).filter(|outline| {
            let mut edges = outline.edges();
            outline.contains(standing)
                || edges.any(|edge| segments_meet((placed.at, standing), edge))
        });
        let ends = between.map(|outline| {
            let corners = outline.corners().iter();
            corners
                .map(|&corner| (corner - placed.at).dot(toward))
                .fold(f64::NEG_INFINITY, f64::max)
        });
        let farthest = ends.fold(f64::NEG_INFINITY, f64::max) + STAND_OFF_M;
        let along = placed.stand.dot(out);
        if farthest > along {
            placed.stand = placed.stand + out * (farthest - along);
            placements[station] = Some(placed);
        }
    }
}
