//! The rule about straight floor before and behind the machines through which work is fed.

use super::at_table::{at_table, passing_run};
use super::{FeedStrip, Missing, Scene};
use crate::floor::bisection::largest;
use crate::floor::finding::{FedPiece, FindingLevel};
use crate::floor::passing::Passed;
use crate::floor::shapes::AxisBox;
use crate::floor::strips::{Allowances, FeedNeed, Fit, FreeRun, StationExtent, Strip, need};
use crate::floor::{Placement, Point, Polygon, SAME_POINT_M};
use crate::shop::StationId;

/// A station through which work is fed, with the strip for one piece.
pub struct Feeding<'a> {
    pub station: StationId,
    pub placement: &'a Placement,
    pub piece: FedPiece,
    pub fit: Fit,
    /// Of length 1, the way the work goes.
    pub toward: Point,
    pub run_in: FreeRun,
    pub run_out: FreeRun,
    /// What the work meets at the height of the table on both sides, where that is known.
    pub passed: Option<[Passed; 2]>,
}

impl<'a> Feeding<'a> {
    pub fn new(
        scene: &Scene<'a>,
        (station, placement): (StationId, &'a Placement),
        piece: FedPiece,
    ) -> Option<Feeding<'a>> {
        let side = placement.feed?;
        let toward = placement.turned(side.direction());
        let allowances = Allowances::of(scene.limits());
        let body = StationExtent::of(placement, side);
        let need = need(piece.size.length, piece.size.width, body, allowances);
        let strip = |toward| Strip {
            from: placement.at,
            toward,
            width: need.width,
        };
        let (strip_in, strip_out) = (strip(toward * -1.0), strip(toward));
        let (run_in, run_out, passed) = match at_table(scene, placement, piece.size, body) {
            None => (
                scene.run(strip_in, station),
                scene.run(strip_out, station),
                None,
            ),
            Some([work_in, work_out]) => {
                let (run_in, passed_in) = passing_run(scene, strip_in, station, &work_in);
                let (run_out, passed_out) = passing_run(scene, strip_out, station, &work_out);
                (run_in, run_out, Some([passed_in, passed_out]))
            }
        };
        Some(Feeding {
            station,
            placement,
            piece,
            fit: Fit {
                run_in: run_in.free,
                run_out: run_out.free,
                need,
                allowances,
                body,
            },
            toward,
            run_in,
            run_out,
            passed,
        })
    }

    /// How far behind the cutter the piece is carried, where it is known how high the table is.
    pub fn carried(&self) -> Option<f64> {
        self.passed.as_ref().map(|[_, out]| out.carried)
    }

    /// How far a strip of some width is free on one side.
    fn run(&self, scene: &Scene<'_>, strip: Strip, side: usize) -> FreeRun {
        match at_table(scene, self.placement, self.piece.size, self.fit.body) {
            None => scene.run(strip, self.station),
            Some(work) => passing_run(scene, strip, self.station, &work[side]).0,
        }
    }

    /// What is left at the tighter end, in metres; negative: what is missing there.
    fn slack(&self) -> f64 {
        let left = |run: Option<f64>, need: f64| run.map_or(f64::INFINITY, |run| run - need);
        let FeedNeed {
            infeed, outfeed, ..
        } = self.fit.need;
        left(self.fit.run_in, infeed).min(left(self.fit.run_out, outfeed))
    }

    pub fn fits(&self) -> bool {
        self.fit.missing() <= SAME_POINT_M
    }

    /// Whether something stands beside the cutter within the strip's width, on both sides of it.
    pub fn is_beside(&self) -> bool {
        let at_once = |run: Option<f64>| run.is_some_and(|run| run <= SAME_POINT_M);
        !self.fits() && at_once(self.fit.run_in) && at_once(self.fit.run_out)
    }

    /// The strip as far as it is needed and free.
    pub fn outline(&self) -> Option<Polygon> {
        let reach = |need: f64, run: Option<f64>| run.map_or(need, |run| run.min(need));
        let before = reach(self.fit.need.infeed, self.fit.run_in);
        let behind = reach(self.fit.need.outfeed, self.fit.run_out);
        let strip = Strip {
            from: self.placement.at - self.toward * before,
            toward: self.toward,
            width: self.fit.need.width,
        };
        strip.outline(before + behind)
    }

    /// The width that is left where something stands beside the cutter.
    pub fn free_width(&self, scene: &Scene<'_>) -> f64 {
        /// Halvings of the width.
        const HALVINGS: u32 = 40;
        let passes = |width: f64| {
            let is_free = |way: f64, side: usize| {
                let strip = Strip {
                    from: self.placement.at,
                    toward: self.toward * way,
                    width,
                };
                let run = self.run(scene, strip, side);
                run.free.is_none_or(|free| free > SAME_POINT_M)
            };
            (is_free(-1.0, 0) && is_free(1.0, 1)).then_some(())
        };
        let (free, ()) = largest((0.0, self.fit.need.width), (), HALVINGS, passes);
        // What touches a strip's side is allowed, so the strip that just passes is wider than the gap.
        (free - 2.0 * SAME_POINT_M).max(0.0)
    }

    /// A shift sideways after which nothing stands beside the cutter, in metres: both sides of the strip are equally
    /// far from it, so one side lacks half of what the strip does.
    pub fn aside(&self, free_width: f64) -> f64 {
        (self.fit.need.width - free_width) / 2.0
    }
}

/// The strips of all stations through which work is fed, for drawing.
pub fn strips(scene: &Scene<'_>) -> Vec<FeedStrip> {
    let feedings = feedings(scene);
    let outlines = feedings.iter().filter_map(|feeding| {
        Some(FeedStrip {
            station: feeding.station,
            outline: feeding.outline()?,
            fits: feeding.slack() >= -SAME_POINT_M,
        })
    });
    outlines.collect()
}

/// For every station with a feed direction that stands in the room, its most demanding piece.
pub fn feedings<'a>(scene: &Scene<'a>) -> Vec<Feeding<'a>> {
    let placed = scene.placed();
    placed
        .filter_map(|(station, placement)| hardest(scene, station, placement))
        .collect()
}

/// The most demanding piece that is fed through a station.
pub fn hardest<'a>(
    scene: &Scene<'a>,
    station: StationId,
    placement: &'a Placement,
) -> Option<Feeding<'a>> {
    placement.feed?;
    let room = scene.room()?;
    if !room.outline.contains(placement.at) {
        return None;
    }
    let pieces = scene.site.fed[station.index()].iter();
    let feedings = pieces.filter_map(|&piece| Feeding::new(scene, (station, placement), piece));
    feedings.min_by(|one, other| {
        let by_slack = one.slack().total_cmp(&other.slack());
        // Of equally long pieces the widest.
        by_slack.then(other.fit.need.width.total_cmp(&one.fit.need.width))
    })
}

pub fn feed_judge(scene: &Scene<'_>) -> Missing {
    scene
        .placed()
        .map(|(station, placement)| at_station(scene, station, placement))
        .sum()
}

/// The floor that feeding a station may need, as a box: nothing outside of it counts. Nothing if it is not fed.
pub fn needed_box(scene: &Scene<'_>, station: StationId, placement: &Placement) -> Option<AxisBox> {
    let side = placement.feed?;
    let toward = placement.turned(side.direction());
    let body = StationExtent::of(placement, side);
    let allowances = Allowances::of(scene.limits());
    let needs = scene.site.fed[station.index()].iter();
    let needs = needs.map(|piece| need(piece.size.length, piece.size.width, body, allowances));
    let corners = needs.flat_map(|need| {
        let aside = toward.left() * (need.width / 2.0);
        let (back, on) = (toward * -need.infeed, toward * need.outfeed);
        [back + aside, back - aside, on + aside, on - aside]
    });
    AxisBox::around(corners.map(|corner| placement.at + corner))
}

/// What is missing to feed one station. Where something stands beside the cutter, half of the strip's width counts.
pub fn at_station(scene: &Scene<'_>, station: StationId, placement: &Placement) -> Missing {
    let Some(feeding) = hardest(scene, station, placement) else {
        return Missing::default();
    };
    if feeding.fits() {
        return Missing::default();
    }
    let metres = if feeding.is_beside() {
        feeding.aside(0.0)
    } else {
        feeding.fit.missing()
    };
    Missing::one(FindingLevel::Fault, metres)
}
