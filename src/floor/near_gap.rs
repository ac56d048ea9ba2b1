//! Gaps on which walks hang: a person just gets through, or just does not.
//!
//! How far people walk changes little by little with the width of a body, but for the widths of gaps, at which a way
//! opens or closes at once. So what a gap is worth is the jump of the walking there: by the ways of bodies that are wider
//! and narrower than it by less than anybody can measure.

use super::paths::GapSpan;
use super::tolerance::HAIR_M;
use super::{Going, Obstacle, Passages, Path, Plan, Point};
use crate::shop::PlaceId;

/// A gap whose width is that of a body but for so much is told of, in metres: as much as a tape and a floor plan are off.
pub const NEAR_M: f64 = 0.02;

/// A gap on which a smaller share of all walking hangs is not told of.
pub const WORTH_TELLING: f64 = 0.01;

/// Of so many different widths it is found out what hangs on them, the likeliest first.
const MOST_WIDTHS: usize = 4;

/// A way that people take, and how often.
#[derive(Debug, Clone, Copy)]
pub struct TakenWay<'a> {
    pub ends: (PlaceId, PlaceId),
    /// Mean number in a replication.
    pub trips: f64,
    pub path: &'a Path,
}

/// A gap that is nearly as wide as a person, or hardly wider.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearGap {
    /// In metres.
    pub width: f64,
    pub at: Point,
    /// What stands on both sides, in the order of the file.
    pub between: [Obstacle; 2],
    /// Metres by which people walk less in a replication with the gap open than with it closed.
    pub metres: f64,
    /// The same as a share of all that is walked on foot as things stand.
    pub share: f64,
    /// Two places that have no other way, if there are any.
    pub only_way: Option<(PlaceId, PlaceId)>,
}

impl NearGap {
    /// Whether a person of this width in metres gets through.
    pub fn is_open(&self, body: f64) -> bool {
        self.width >= body - HAIR_M
    }
}

impl Plan {
    /// Gaps that are narrower or wider than a person by less than [`NEAR_M`], and on which at least
    /// [`WORTH_TELLING`] of the walking hangs, or any way at all; those that matter most first. Nothing where people do
    /// not walk around things.
    pub fn near_gaps(&self, ways: &[TakenWay<'_>]) -> Vec<NearGap> {
        if self.going != Going::Around || self.body_width <= NEAR_M {
            return Vec::new();
        }
        let all: f64 = ways.iter().map(|way| way.trips * way.path.length).sum();
        let search = GapSearch {
            plan: self,
            ways,
            all,
            passages: self.narrow_passages(self.body_width + NEAR_M),
        };
        let mut found = search.open();
        found.extend(search.closed());
        found.sort_by(|a, b| {
            let order = |gap: &NearGap| (gap.only_way.is_some(), gap.metres);
            let ((one, more), (other, less)) = (order(b), order(a));
            one.cmp(&other).then(more.total_cmp(&less))
        });
        found
    }
}

struct GapSearch<'a> {
    plan: &'a Plan,
    ways: &'a [TakenWay<'a>],
    /// Metres of a replication.
    all: f64,
    /// No wider than what is looked for.
    passages: Passages,
}

impl GapSearch<'_> {
    /// Gaps that people walk through.
    fn open(&self) -> Vec<NearGap> {
        let body = self.plan.body_width;
        let mut gaps: Vec<(NearGap, Vec<usize>)> = Vec::new();
        let mut spans = self.passages.between(body - HAIR_M, body + NEAR_M);
        if spans.next().is_none() {
            return Vec::new();
        }
        for (index, way) in self.ways.iter().enumerate() {
            let Some(gap) = self.narrowest(way.ends, way.path) else {
                continue;
            };
            if gap.width >= body - HAIR_M && gap.width < body + NEAR_M {
                add(&mut gaps, gap, index);
            }
        }
        let priced = gaps.into_iter().take(MOST_WIDTHS);
        priced
            .filter_map(|(gap, ways)| self.priced(gap, &ways))
            .collect()
    }

    /// Gaps that are in people's way.
    fn closed(&self) -> Vec<NearGap> {
        let body = self.plan.body_width;
        // What a way through the gap would save at most.
        let saves = |way: &TakenWay<'_>, span: &GapSpan| {
            let (from, to) = (way.path.from, way.path.to);
            (way.path.length - span.least_way(from, to)).max(0.0)
        };
        let spans = self.passages.between(body - NEAR_M, body - HAIR_M);
        let spans: Vec<_> = spans
            .filter(|span| {
                let ways = self.ways.iter();
                let most: f64 = ways.map(|way| way.trips * saves(way, span)).sum();
                most >= WORTH_TELLING * self.all && most > 0.0
            })
            .collect();
        if spans.is_empty() {
            return Vec::new();
        }
        let shorter = |&index: &usize| {
            let way = &self.ways[index];
            spans.iter().any(|span| saves(way, span) > HAIR_M)
        };
        let concerned: Vec<usize> = (0..self.ways.len()).filter(shorter).collect();
        let narrow = self.paths(&concerned, body - NEAR_M);
        let mut gaps: Vec<(NearGap, Vec<usize>)> = Vec::new();
        for (&index, path) in concerned.iter().zip(&narrow) {
            let way = &self.ways[index];
            let Some(path) = path.as_ref().filter(|path| path.length < way.path.length) else {
                continue;
            };
            if let Some(gap) = self.narrowest(way.ends, path)
                && gap.width < body - HAIR_M
                && gap.width >= body - NEAR_M
            {
                add(&mut gaps, gap, index);
            }
        }
        gaps.sort_by(|(_, a), (_, b)| {
            let trips =
                |ways: &[usize]| -> f64 { ways.iter().map(|&way| self.ways[way].trips).sum() };
            trips(b).total_cmp(&trips(a))
        });
        gaps.truncate(MOST_WIDTHS);
        let priced = gaps.into_iter();
        priced
            .filter_map(|(gap, _)| self.priced(gap, &concerned))
            .collect()
    }

    /// The gap with what hangs on it, if that is worth telling.
    fn priced(&self, gap: NearGap, ways: &[usize]) -> Option<NearGap> {
        let open = self.paths(ways, gap.width - HAIR_M);
        let closed = self.paths(ways, gap.width + HAIR_M);
        let ground = self.plan.ground((gap.width + HAIR_M) / 2.0);
        let mut metres = 0.0;
        let mut only_way = None;
        for ((&index, open), closed) in ways.iter().zip(open).zip(closed) {
            let way = &self.ways[index];
            match (open, closed) {
                (Some(open), Some(closed)) => {
                    metres += way.trips * (closed.length - open.length);
                }
                (Some(_), None) => {
                    // Whoever has no room to stand hangs on that, not on the gap.
                    let stands = |place: Point| ground.is_free(place).is_ok();
                    if stands(way.path.from) && stands(way.path.to) {
                        only_way = only_way.or(Some(way.ends));
                    }
                }
                (None, _) => {}
            }
        }
        let gap = NearGap {
            metres,
            share: metres / self.all,
            only_way,
            ..gap
        };
        let is_told = metres > 0.0 && metres >= WORTH_TELLING * self.all;
        (is_told || only_way.is_some()).then_some(gap)
    }

    fn paths(&self, ways: &[usize], width: f64) -> Vec<Option<Path>> {
        let pairs: Vec<(PlaceId, PlaceId)> = ways.iter().map(|&way| self.ways[way].ends).collect();
        self.plan.paths(&self.plan.ground(width / 2.0), &pairs)
    }

    /// The narrowest place of a way, with nothing that hangs on it yet.
    fn narrowest(&self, ends: (PlaceId, PlaceId), path: &Path) -> Option<NearGap> {
        let inside = self.plan.body_width / 2.0;
        let (led, beyond) = self.plan.through_doors(path, [ends.0, ends.1], inside);
        let narrowest = self.passages.narrowest(&led, beyond)?;
        let mut between = narrowest.between.map(self.plan.obstacles_by_index());
        between.sort();
        Some(NearGap {
            width: narrowest.width,
            at: narrowest.at,
            between,
            metres: 0.0,
            share: 0.0,
            only_way: None,
        })
    }
}

/// Notes a way that leads through a gap.
fn add(gaps: &mut Vec<(NearGap, Vec<usize>)>, gap: NearGap, way: usize) {
    let same = |(known, _): &&mut (NearGap, Vec<usize>)| {
        known.between == gap.between && (known.width - gap.width).abs() < HAIR_M
    };
    match gaps.iter_mut().find(same) {
        Some((_, ways)) => ways.push(way),
        None => gaps.push((gap, vec![way])),
    }
}
