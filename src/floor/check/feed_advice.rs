//! What is told of feeding work through a machine: how it fits, and what was tried that makes it fit.

use super::Scene;
use super::feeding::{Feeding, feedings, hardest};
use super::placing::overlapping;
use super::remedy::{MOST_TRIED, Mover};
use crate::floor::access::INCH_M;
use crate::floor::bisection::largest;
use crate::floor::finding::{
    Fact, FedAtTable, FeedFact, Finding, FindingLevel, FindingSubject, Lowered, RuleId, Shift,
};
use crate::floor::passing::{Passed, off_level};
use crate::floor::shapes::FloorArea;
use crate::floor::strips::Strip;
use crate::floor::{Obstacle, Placement, Point, SAME_POINT_M};
use crate::shop::{Size, StationId};

/// There is straight floor enough to feed what comes to a machine.
pub fn feed_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut faults = 0;
    let found = feedings(scene).into_iter().map(|feeding| {
        faults += usize::from(!feeding.fits());
        let feeding = feeding.with_more_beside(scene);
        finding(scene, &feeding, faults <= MOST_TRIED)
    });
    found.collect()
}

/// What comes of heights.
fn fed_at_table(scene: &Scene<'_>, feeding: &Feeding<'_>, is_tried: bool) -> Option<FedAtTable> {
    let table = feeding.placement.table?;
    let passed = feeding.passed.as_ref()?;
    let each_once = |of: fn(&Passed) -> &Vec<(Obstacle, f64)>| {
        let all = passed.iter().flat_map(of);
        let mut all: Vec<Obstacle> = all.map(|&(of, _)| of).collect();
        all.sort();
        all.dedup();
        all
    };
    let end = ended_by(feeding);
    let end_height = end.map(|end| scene.heights_of(end).top);
    let mut fed = FedAtTable {
        table,
        over: each_once(|passed| &passed.over),
        carried_by: each_once(|passed| &passed.carried_by),
        end_height: end_height.filter(|height| height.is_finite()),
        off_level: end_height.and_then(|top| off_level(table, top, scene.limits().table_tolerance)),
        longest: None,
        lowered: end
            .filter(|_| is_tried && !feeding.fits())
            .and_then(|end| lowered(scene, feeding.station, feeding.placement, end)),
    };
    if fed.is_involved() {
        fed.longest = longest(scene, feeding);
    }
    Some(fed)
}

/// What keeps the piece from passing.
fn ended_by(feeding: &Feeding<'_>) -> Option<Obstacle> {
    match () {
        () if feeding.is_beside() => feeding.run_in.end.or(feeding.run_out.end),
        () if feeding.fit.short_in() => feeding.run_in.end,
        () => feeding.run_out.end,
    }
}

/// A shift after which the work can be fed: along the strip, or sideways where something stands beside the cutter.
fn shift(scene: &Scene<'_>, feeding: &Feeding<'_>, beside: Option<f64>) -> Shift {
    let is_too_short = feeding
        .fit
        .window()
        .is_some_and(|window| window < -SAME_POINT_M);
    let passes_over = feeding.passed.as_ref().is_some_and(|passed| {
        let mut sides = passed.iter();
        sides.any(|side| !side.over.is_empty() || !side.carried_by.is_empty())
    });
    if beside.is_none() && is_too_short && !passes_over {
        return Shift::Untried;
    }
    let aside = feeding.left();
    let (missing, directions) = match beside {
        Some(width) => (feeding.aside(width), vec![aside, aside * -1.0]),
        None if feeding.fit.short_in() => (feeding.fit.missing(), vec![feeding.toward]),
        None => (feeding.fit.missing(), vec![feeding.toward * -1.0]),
    };
    let mover = Mover::new(scene, feeding.station, feeding.placement);
    let fits = |by: Point, _: Option<&FloorArea>| {
        let moved = mover.placed(by);
        hardest(scene, feeding.station, &moved).is_some_and(|moved| moved.fits())
    };
    mover.least((missing, 0.0), &directions, fits).0
}

fn finding(scene: &Scene<'_>, feeding: &Feeding<'_>, is_tried: bool) -> Finding {
    let beside = feeding.is_beside().then(|| feeding.free_width(scene));
    let fits = feeding.fits();
    let level = if fits {
        FindingLevel::Note
    } else {
        FindingLevel::Fault
    };
    let fact = FeedFact {
        piece: feeding.piece,
        lying: feeding.lying,
        fit: feeding.fit,
        run_in: feeding.run_in,
        run_out: feeding.run_out,
        beside,
        at_table: fed_at_table(scene, feeding, is_tried).map(Box::new),
        shift: match is_tried && !fits {
            true => shift(scene, feeding, beside),
            false => Shift::Untried,
        },
    };
    let subject = FindingSubject::Place(feeding.station.into());
    let fact = Fact::Feed(Box::new(fact));
    let mut finding = Finding::new(level, RuleId::Feed, subject, fact).at(feeding.placement.at);
    if fits {
        return finding;
    }
    finding.other = ended_by(feeding).map(FindingSubject::from);
    finding.missing(match beside {
        Some(width) => feeding.aside(width),
        None => feeding.fit.missing(),
    })
}

/// Nobody saws more off a bench.
const MOST_LOWERED: u32 = 64;

/// In so many metres.
const LOWERED_BY: f64 = INCH_M / 16.0;

/// How much lower something has to be that frees the strip: level with the table, or so that work passes over it,
/// whichever is less.
fn lowered(
    scene: &Scene<'_>,
    station: StationId,
    placement: &Placement,
    what: Obstacle,
) -> Option<Lowered> {
    let table = placement.table?;
    let index = scene.footprints.iter().position(|body| body.of == what)?;
    let heights = scene.footprints[index].heights;
    if !heights.top.is_finite() || heights.hangs() {
        return None;
    }
    let frees = |by: f64| {
        let mut footprints = scene.footprints.clone();
        footprints[index].heights.top -= by;
        let lower = &footprints[index];
        let others = footprints.iter().filter(|other| other.of != what);
        let is_free = by >= 0.0
            || others.into_iter().all(|other| {
                overlapping(lower, other) == overlapping(&scene.footprints[index], other)
            });
        let changed = Scene::with(scene.site, scene.plan, &[], footprints);
        is_free && hardest(&changed, station, placement).is_some_and(|fed| fed.fits())
    };
    let to_level = heights.top - table;
    let tolerance = scene.limits().table_tolerance;
    let steps = (1..=MOST_LOWERED).map(|step| f64::from(step) * LOWERED_BY);
    let mut steps = steps.filter(|&by| by < heights.top && by > to_level + tolerance);
    let passing = steps.find(|&by| frees(by));
    let most = f64::from(MOST_LOWERED) * LOWERED_BY;
    let level = (to_level.abs() <= most && frees(to_level)).then_some(to_level);
    let lowered = |by: f64, is_level: bool| Lowered { what, by, is_level };
    match (level, passing) {
        (Some(level), Some(passing)) if passing < level.abs() => Some(lowered(passing, false)),
        (Some(level), _) => Some(lowered(level, true)),
        (None, Some(passing)) => Some(lowered(passing, false)),
        (None, None) => None,
    }
}

/// The longest piece that passes where the machine stands, of all that were tried, in metres.
fn longest(scene: &Scene<'_>, feeding: &Feeding<'_>) -> Option<f64> {
    /// Halvings of the length: to less than a tenth of a millimetre in any room.
    const HALVINGS: u32 = 20;
    let [strip_in, strip_out] = feeding.strips();
    let to_wall = |strip: Strip, room: f64| {
        let wall = scene.to_wall(strip);
        wall.map_or(f64::INFINITY, |wall| wall - room)
    };
    let allowances = feeding.fit.allowances;
    let ends = [
        to_wall(strip_in, allowances.operator),
        to_wall(strip_out, allowances.outfeed),
    ];
    let most = match feeding.piece.is_across {
        // Its far end may lie on either side.
        true => ends[0].max(ends[1]),
        false => ends[0].min(ends[1]),
    };
    if most.is_infinite() {
        return None;
    }
    let passes = |length: f64| {
        let mut piece = feeding.piece;
        piece.size = Size {
            length,
            ..piece.size
        };
        let fed = Feeding::new(scene, (feeding.station, feeding.placement), piece)?;
        fed.fits().then_some(())
    };
    let known = match feeding.fits() {
        true => feeding.piece.size.length,
        false => 0.0,
    };
    let (longest, ()) = largest((known, most.max(known)), (), HALVINGS, passes);
    Some(longest)
}
