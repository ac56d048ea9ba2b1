//! The rule about straight floor before and behind the machines through which work is fed.

use super::at_table::{at_table, passing_run};
use super::{FeedStrip, Missing, Scene};
use crate::floor::bisection::largest;
use crate::floor::finding::{FedPiece, FindingLevel};
use crate::floor::passing::Passed;
use crate::floor::shapes::AxisBox;
use crate::floor::strips::{
    Allowances, FeedNeed, Fit, FreeRun, LyingAcross, SHEETS_M, StationExtent, Strip,
    before_and_behind, need,
};
use crate::floor::{Placement, Point, Polygon, SAME_POINT_M, Side};
use crate::shop::StationId;

/// A station through which work is fed, with the strip for one piece.
pub struct Feeding<'a> {
    pub station: StationId,
    pub placement: &'a Placement,
    pub piece: FedPiece,
    pub lying: LyingAcross,
    pub fit: Fit,
    /// Of length 1, the way the work goes; of what slides sideways, the way to its far end.
    pub toward: Point,
    pub run_in: FreeRun,
    pub run_out: FreeRun,
    /// What the work meets at the height of the table on both sides, where that is known.
    pub passed: Option<[Passed; 2]>,
    /// The way the strip is measured from left to right, of length 1: that in which the work goes through the station.
    forward: Point,
}

impl<'a> Feeding<'a> {
    /// As the piece lies best.
    pub fn new(
        scene: &Scene<'a>,
        (station, placement): (StationId, &'a Placement),
        piece: FedPiece,
    ) -> Option<Feeding<'a>> {
        let side = placement.feed?;
        let lyings = match piece.is_across {
            true => &[LyingAcross::Left, LyingAcross::Right],
            false => LyingAcross::at(placement, is_sheet(piece)),
        };
        let all = lyings
            .iter()
            .map(|&lying| Feeding::lying(scene, (station, placement, side), piece, lying));
        all.reduce(
            |best, other| match other.slack() > best.slack() + SAME_POINT_M {
                true => other,
                false => best,
            },
        )
    }

    fn lying(
        scene: &Scene<'a>,
        (station, placement, side): (StationId, &'a Placement, Side),
        piece: FedPiece,
        lying: LyingAcross,
    ) -> Feeding<'a> {
        let forward = placement.turned(side.direction());
        let body = StationExtent::of(placement, side);
        let (toward, body, allowances) = match piece.is_across {
            true => (
                match lying {
                    LyingAcross::Right => forward.left() * -1.0,
                    _ => forward.left(),
                },
                body.sideways(),
                Allowances {
                    operator: 0.0,
                    outfeed: 0.0,
                    side: scene.limits().side_clearance,
                },
            ),
            false => (forward, body, Allowances::at(placement, scene.limits())),
        };
        let need = needed(piece, lying, body, allowances);
        let reach = reach(piece, lying, body, allowances);
        let [strip_in, strip_out] = before_and_behind(placement.at, toward, reach);
        let work = at_table(scene, placement, piece.size, body, allowances);
        let (run_in, run_out, passed) = match work {
            None => (
                scene.run(strip_in, station),
                scene.run(strip_out, station),
                None,
            ),
            Some([mut work_in, work_out]) => {
                if piece.is_across {
                    // Its near end stays on the table.
                    work_in.length = 0.0;
                }
                let (run_in, passed_in) = passing_run(scene, strip_in, station, &work_in);
                let (run_out, passed_out) = passing_run(scene, strip_out, station, &work_out);
                (run_in, run_out, Some([passed_in, passed_out]))
            }
        };
        Feeding {
            station,
            placement,
            piece,
            lying,
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
            forward,
        }
    }

    /// Where something stands beside the blade however a sheet lies: on the side where it leaves more.
    pub fn with_more_beside(self, scene: &Scene<'a>) -> Feeding<'a> {
        let Some(side) = self.placement.feed.filter(|_| self.is_beside()) else {
            return self;
        };
        let at = (self.station, self.placement, side);
        let others = LyingAcross::at(self.placement, is_sheet(self.piece)).iter();
        let others = others.filter(|&&lying| lying != self.lying);
        let others = others.map(|&lying| Feeding::lying(scene, at, self.piece, lying));
        let others: Vec<Feeding<'_>> = others.filter(Feeding::is_beside).collect();
        others.into_iter().fold(self, |best, other| {
            match other.free_width(scene) > best.free_width(scene) {
                true => other,
                false => best,
            }
        })
    }

    /// Before the cutter and behind it.
    pub fn strips(&self) -> [Strip; 2] {
        let reach = reach(self.piece, self.lying, self.fit.body, self.fit.allowances);
        before_and_behind(self.placement.at, self.toward, reach)
    }

    /// How far behind the cutter the piece is carried, or beside it where it slides sideways, if it is known how high the
    /// table is.
    pub fn carried(&self) -> Option<f64> {
        self.passed.as_ref().map(|[_, out]| out.carried)
    }

    /// How far a strip of some width is free on one side.
    fn run(&self, scene: &Scene<'_>, strip: Strip, side: usize) -> FreeRun {
        let Fit {
            body, allowances, ..
        } = self.fit;
        match at_table(scene, self.placement, self.piece.size, body, allowances) {
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
        !self.piece.is_across
            && !self.fits()
            && at_once(self.fit.run_in)
            && at_once(self.fit.run_out)
    }

    /// The strip as far as it is needed and free.
    pub fn outline(&self) -> Option<Polygon> {
        let reach = |need: f64, run: Option<f64>| run.map_or(need, |run| run.min(need));
        let before = reach(self.fit.need.infeed, self.fit.run_in);
        let behind = reach(self.fit.need.outfeed, self.fit.run_out);
        let [_, strip] = self.strips();
        let strip = Strip {
            from: strip.from - self.toward * before,
            ..strip
        };
        strip.outline(before + behind)
    }

    /// The width that is left where something stands beside the cutter: of a sheet at a saw, on the side where it lies.
    pub fn free_width(&self, scene: &Scene<'_>) -> f64 {
        /// Halvings of the width.
        const HALVINGS: u32 = 40;
        let [left, right] = reach(self.piece, self.lying, self.fit.body, self.fit.allowances);
        // What the piece lies beyond, and the station reaches to.
        let near = match self.lying {
            LyingAcross::InTheMiddle => 0.0,
            LyingAcross::Left => right,
            LyingAcross::Right => left,
        };
        let passes = |width: f64| {
            let reach = match self.lying {
                LyingAcross::InTheMiddle => [width / 2.0; 2],
                LyingAcross::Left => [width, near],
                LyingAcross::Right => [near, width],
            };
            let strips = before_and_behind(self.placement.at, self.toward, reach);
            let is_free = |side: usize| {
                let run = self.run(scene, strips[side], side);
                run.free.is_none_or(|free| free > SAME_POINT_M)
            };
            (is_free(0) && is_free(1)).then_some(())
        };
        let most = self.fit.need.width - near;
        let (free, ()) = largest((0.0, most), (), HALVINGS, passes);
        // What touches a strip's side is allowed, so the strip that just passes is wider than the gap.
        (free - 2.0 * SAME_POINT_M).max(0.0)
    }

    /// A shift sideways after which nothing stands beside the cutter, in metres, where so much is free: both sides of a
    /// strip in the middle are equally far from it, so one side lacks half of what the strip does.
    pub fn aside(&self, free_width: f64) -> f64 {
        let [left, right] = reach(self.piece, self.lying, self.fit.body, self.fit.allowances);
        match self.lying {
            LyingAcross::InTheMiddle => (self.fit.need.width - free_width) / 2.0,
            LyingAcross::Left => left - free_width,
            LyingAcross::Right => right - free_width,
        }
    }

    /// To the left of where the work goes, of length 1.
    pub fn left(&self) -> Point {
        self.forward.left()
    }
}

/// Whether a piece comes of a sheet.
pub fn is_sheet(piece: FedPiece) -> bool {
    piece.size.length.min(piece.size.width) >= SHEETS_M - SAME_POINT_M
}

/// How far the strip reaches to the left and to the right of the line along which a piece is measured.
fn reach(
    piece: FedPiece,
    lying: LyingAcross,
    body: StationExtent,
    allowances: Allowances,
) -> [f64; 2] {
    match piece.is_across {
        // It begins before the cutter and ends behind it.
        true => [piece.size.width + allowances.side; 2],
        false => lying.reach(piece.size.width, body.across, allowances.side),
    }
}

/// What a piece needs. What slides sideways takes its length on one side of the cutter and the station on the other.
fn needed(
    piece: FedPiece,
    lying: LyingAcross,
    body: StationExtent,
    allowances: Allowances,
) -> FeedNeed {
    let reach = reach(piece, lying, body, allowances);
    let need = need(piece.size.length, piece.size.width, body, allowances);
    FeedNeed {
        infeed: match piece.is_across {
            true => body.before,
            false => need.infeed,
        },
        width: match lying {
            LyingAcross::InTheMiddle => need.width,
            _ => reach[0] + reach[1],
        },
        ..need
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
    let allowances = Allowances::at(placement, scene.limits());
    let pieces = scene.site.fed[station.index()].iter();
    let corners = pieces.flat_map(|&piece| {
        let need = need(piece.size.length, piece.size.width, body, allowances);
        // However it lies.
        let reaches = LyingAcross::at(placement, is_sheet(piece)).iter();
        let reaches =
            reaches.flat_map(|lying| lying.reach(piece.size.width, body.across, allowances.side));
        let (before, behind, aside) = match piece.is_across {
            true => {
                let [ahead, _] = reach(piece, LyingAcross::Left, body, allowances);
                (ahead, ahead, piece.size.length.max(body.across / 2.0))
            }
            false => (need.infeed, need.outfeed, reaches.fold(0.0, f64::max)),
        };
        let aside = toward.left() * aside;
        let (back, on) = (toward * -before, toward * behind);
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
