//! The rule about what carries a piece behind the cutter.

use super::Scene;
use super::feeding::Feeding;
use crate::floor::finding::{
    Fact, FedPiece, FeedHazard, Finding, FindingLevel, FindingSubject, RuleId,
};
use crate::floor::handling::Holding;
use crate::floor::sag::{Overhang, Stiffness};
use crate::floor::strips::{StationExtent, Strip};
use crate::floor::{Obstacle, Placement, SAME_POINT_M};
use crate::shop::StationId;

/// What stands no farther behind a machine carries what comes out of it, in metres.
const CARRIES_M: f64 = 0.3;

/// How far behind the cutter work is carried that goes through a station: to the edge of the station itself, or of what
/// stands right behind it. Nothing if nothing is fed there.
pub fn carried_behind(
    scene: &Scene<'_>,
    station: StationId,
    placement: &Placement,
) -> Option<Carried> {
    let side = placement.feed?;
    let toward = placement.turned(side.direction());
    let extent = StationExtent::of(placement, side);
    let behind = Strip {
        from: placement.at,
        toward,
        width: extent.across,
    };
    let run = scene.run(behind, station);
    let is_near = (run.free).is_some_and(|free| free <= extent.behind + CARRIES_M);
    let carrier = run
        .end
        .filter(|end| is_near && matches!(end, Obstacle::Station(_)))
        .filter(|&end| is_level(scene, placement, end));
    let carrier = carrier.and_then(|carrier| {
        let mut all = scene.footprints.iter();
        let footprint = all.find(|footprint| footprint.of == carrier)?;
        let corners = footprint.area.outline.corners().iter();
        let along = corners.map(|&corner| toward.dot(corner - placement.at));
        Some(along.fold(extent.behind, f64::max))
    });
    Some(Carried {
        far: carrier.unwrap_or(extent.behind),
        by_another: carrier.is_some(),
    })
}

/// Whether something may carry work at the height of a table. What nobody has measured is taken to be level.
fn is_level(scene: &Scene<'_>, placement: &Placement, carrier: Obstacle) -> bool {
    let top = scene.heights_of(carrier).top;
    let lower = placement.table.map_or(0.0, |table| table - top);
    let tolerance = scene.limits().table_tolerance + SAME_POINT_M;
    top.is_infinite() || (-SAME_POINT_M..=tolerance).contains(&lower)
}

/// How far work is carried.
pub struct Carried {
    /// From the cutter, in metres.
    pub far: f64,
    /// Whether something behind the machine carries it.
    pub by_another: bool,
}

/// Pieces that tip over the edge of the table when they have passed, where one person feeds them by hand: of each
/// machine the longest.
pub fn tipping_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let tipping = scene.placed().filter_map(|(station, placement)| {
        let holding = Holding::of(&scene.shop().stations[station]);
        let is_by_hand = placement.feed.is_some() && !holding.is_roller_fed();
        let longest = [false, true].map(|across| longest(scene, station, across));
        let tipping = longest.into_iter().flatten().filter_map(|piece| {
            let carried = carried(scene, station, placement, piece)?;
            let missing = piece.size.length / 2.0 - carried;
            (missing > SAME_POINT_M).then_some((piece, carried, missing))
        });
        let worst = tipping.reduce(|worst, other| match other.2 > worst.2 {
            true => other,
            false => worst,
        });
        let Some((piece, carried, missing)) = worst.filter(|_| is_by_hand) else {
            return is_by_hand
                .then(|| sagging(scene, station, placement))
                .flatten();
        };
        let fact = FeedHazard::Tips { piece, carried };
        let subject = FindingSubject::Place(station.into());
        Some(
            Finding::new(
                FindingLevel::Note,
                RuleId::Tipping,
                subject,
                Fact::FeedHazard(fact),
            )
            .at(placement.at)
            .missing(missing),
        )
    });
    tipping.collect()
}

/// How far behind the cutter a piece is carried, or beside it where it lies across: at the height of a table that is known,
/// by all that is level with it.
fn carried(
    scene: &Scene<'_>,
    station: StationId,
    placement: &Placement,
    piece: FedPiece,
) -> Option<f64> {
    let at_table = Feeding::new(scene, (station, placement), piece);
    let at_table = at_table.and_then(|fed| fed.carried());
    let carried = match piece.is_across {
        true => StationExtent::of(placement, placement.feed?).across / 2.0,
        false => carried_behind(scene, station, placement)?.far,
    };
    Some(carried.max(at_table.unwrap_or(0.0)))
}

/// Of the pieces that one person feeds alone, the one whose end sags most behind the machine, if that is too far: a board
/// as of oak, a sheet as of plywood.
fn sagging(scene: &Scene<'_>, station: StationId, placement: &Placement) -> Option<Finding> {
    let most = scene.limits().free_end;
    let along = fed_alone(scene, station).filter(|piece| !piece.is_across);
    let sagging = along.filter_map(|piece| {
        let free = piece.size.length - carried(scene, station, placement, piece)?;
        let overhang = Overhang {
            stiffness: Stiffness::of(piece.size.width),
            thickness: piece.size.thickness,
            length: free,
            is_held: false,
        };
        let sag = overhang.sag(0.0, f64::INFINITY);
        (sag > most + SAME_POINT_M).then_some((piece, free, sag))
    });
    let worst = sagging.reduce(|worst, other| match other.2 > worst.2 {
        true => other,
        false => worst,
    });
    let (piece, free, sag) = worst?;
    let fact = FeedHazard::Sags {
        piece,
        free,
        sag,
        most,
    };
    let subject = FindingSubject::Place(station.into());
    let fact = Fact::FeedHazard(fact);
    let finding = Finding::new(FindingLevel::Note, RuleId::Tipping, subject, fact);
    Some(finding.at(placement.at).missing(sag - most))
}

/// The longest piece that one person feeds alone, of those that lie across or of the others; the first of equals.
fn longest(scene: &Scene<'_>, station: StationId, is_across: bool) -> Option<FedPiece> {
    let pieces = fed_alone(scene, station).filter(|piece| piece.is_across == is_across);
    pieces.reduce(
        |longest, piece| match piece.size.length > longest.size.length {
            true => piece,
            false => longest,
        },
    )
}

/// The pieces that one person feeds alone.
fn fed_alone(scene: &Scene<'_>, station: StationId) -> impl Iterator<Item = FedPiece> {
    let pieces = scene.site.fed[station.index()].iter().copied();
    pieces.filter(move |piece| {
        let item = &scene.shop().projects[piece.project].items[piece.item.index()];
        let choices = item.route.iter().flat_map(|step| &step.choices);
        let mut here = choices.filter(|choice| choice.station == station);
        here.any(|choice| choice.work.operation == piece.operation && choice.work.people == 1)
    })
}
