//! Rules about how work is fed through saws that may throw it back.

use super::Scene;
use super::tipping::carried_behind;
use crate::floor::finding::{
    Fact, FedPiece, FeedHazard, Finding, FindingLevel, FindingSubject, RuleId,
};
use crate::floor::{Placement, Point, SAME_POINT_M};
use crate::shop::{ItemId, PlaceId, StationId};

/// A saw that may throw a piece, with the way the work goes.
struct Saw<'a> {
    station: StationId,
    placement: &'a Placement,
    /// Of length 1.
    toward: Point,
}

fn saws<'a>(scene: &Scene<'a>) -> impl Iterator<Item = Saw<'a>> + use<'a> {
    let placed = scene.placed();
    let saws = placed.filter(|(_, placement)| placement.kickback);
    saws.filter_map(|(station, placement)| {
        let side = placement.feed?;
        Some(Saw {
            station,
            placement,
            toward: placement.turned(side.direction()),
        })
    })
}

impl Saw<'_> {
    fn finding(&self, rule: RuleId, fact: FeedHazard) -> Finding {
        let subject = FindingSubject::Place(self.station.into());
        Finding::new(FindingLevel::Note, rule, subject, Fact::FeedHazard(fact))
            .at(self.placement.standing())
    }

    /// Whether a station stands where what comes out of the saw is carried.
    fn is_backed(&self, scene: &Scene<'_>) -> bool {
        let carried = carried_behind(scene, self.station, self.placement);
        carried.is_some_and(|carried| carried.by_another)
    }
}

/// Full panels that one person feeds with nothing behind the saw: of each saw the first.
pub fn full_panel_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let alone = saws(scene).filter_map(|saw| {
        let piece = full_panel(scene, saw.station)?;
        let fact = FeedHazard::Alone { piece };
        (!saw.is_backed(scene)).then(|| saw.finding(RuleId::FullPanel, fact))
    });
    alone.collect()
}

/// The first full panel that orders bring to a station for one person alone.
fn full_panel(scene: &Scene<'_>, station: StationId) -> Option<FedPiece> {
    let least = scene.limits().full_panel - SAME_POINT_M;
    let mut projects = scene.site.premises.ordered();
    projects.find_map(|(project, of)| {
        let mut items = (0..).map(ItemId).zip(&of.items);
        items.find_map(|(item, of)| {
            let mut steps = of.route.iter();
            steps.find_map(|step| {
                let size = step.piece?;
                let choice = step
                    .choices
                    .iter()
                    .find(|choice| choice.station == station)?;
                let is_alone = choice.work.people == 1;
                (is_alone && size.length.min(size.width) >= least).then_some(FedPiece {
                    project,
                    item,
                    operation: choice.work.operation,
                    size,
                    is_across: choice.work.is_crosscut,
                })
            })
        })
    })
}

/// Whether somebody who stood at a place to work at a station stood in the line of a blade that may throw a piece.
pub fn is_in_blade_line(scene: &Scene<'_>, placement: &Placement, place: Point) -> bool {
    let Some(side) = placement.feed.filter(|_| placement.kickback) else {
        return false;
    };
    let toward = placement.turned(side.direction());
    let from = place - placement.at;
    let aside = toward.cross(from).abs();
    from.dot(toward) < 0.0 && aside < scene.limits().blade_line - SAME_POINT_M
}

/// Standing places of saws in the line of the blade, which is taken to be in the middle.
pub fn blade_line_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let wanted = scene.limits().blade_line;
    // Where no piece is fed, nobody stands to feed it.
    let is_fed = |saw: &Saw<'_>| scene.site.has_work(saw.station);
    let standing = saws(scene).filter(is_fed).filter_map(|saw| {
        let used = |place: &PlaceId| {
            let mut works = scene.site.work_at(saw.station);
            works.any(|work| work.place_at(saw.station) == *place)
        };
        let places = scene.plan.places_at(saw.station).filter(used);
        let mut stands = places.filter_map(|place| Some((place, scene.plan.standing(place)?)));
        let is_in_line = |&(_, at): &(PlaceId, Point)| is_in_blade_line(scene, saw.placement, at);
        // Of several places the first: whoever mends one sees the next.
        let (place, at) = stands.find(is_in_line)?;
        let from = at - saw.placement.at;
        let aside = saw.toward.cross(from).abs();
        let is_free = |side: f64| {
            let along = saw.toward * from.dot(saw.toward);
            let place = saw.placement.at + along + saw.toward.left() * (side * wanted);
            let clear = scene.clear_at(place, None);
            clear.is_none_or(|(clear, _)| clear >= scene.site.body_width / 2.0 - SAME_POINT_M)
        };
        let fact = FeedHazard::BladeLine {
            aside,
            wanted,
            is_room: is_free(1.0) || is_free(-1.0),
        };
        let subject = FindingSubject::Place(place);
        let fact = Fact::FeedHazard(fact);
        Some(Finding::new(FindingLevel::Note, RuleId::BladeLine, subject, fact).at(at))
    });
    standing.collect()
}
