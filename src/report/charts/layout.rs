//! A layout as plain data for drawing: where things stand, and what was found out about it.

use crate::experiment::{LayoutFindings, Units};
use crate::floor::check::thrown_reach;
use crate::floor::strips::StationExtent;
use crate::floor::{Fact, FindingLevel, FindingSubject, Manner, Placement, Plan, Point, Polygon};
use crate::report::check::{NOT_ON_PLAN, Told, in_short, numbered, told, written};
use crate::report::tape::{Rounding, tape};
use crate::shop::{PlaceId, Shop};

/// A candidate's layout with what is drawn on it; everything but the plan may be empty.
#[derive(Debug, Clone)]
pub struct Layout {
    /// The candidate's name.
    pub name: String,
    pub plan: Plan,
    /// What the stations are called, by their index.
    pub stations: Vec<String>,
    /// How many units stand at each station.
    pub units: Vec<u32>,
    /// Room for work that passes through stations.
    pub strips: Vec<DrawnStrip>,
    /// Floor that nothing may stand on, as in front of an electrical panel.
    pub keep_free: Vec<Polygon>,
    /// Floor over which a station may throw a piece, where that was found to be a danger.
    pub throws: Vec<Polygon>,
    /// Faults and warnings, by their numbers.
    pub findings: Vec<DrawnFinding>,
    /// Gaps on which it hangs how far people walk, those that matter most first.
    pub near_gaps: Vec<DrawnGap>,
    pub paths: Vec<WalkedPath>,
    /// Seconds in a replication that people work at each station.
    pub worked_s: Vec<f64>,
}

/// A fault or a warning.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnFinding {
    /// As `shopstride check` numbers it.
    pub number: usize,
    pub is_fault: bool,
    /// What its sign points at; nothing if it is about no place of the floor.
    pub at: Option<Point>,
    /// How wide the gap is, as it is read off a tape, where one is too narrow.
    pub gap: Option<String>,
    /// What is the matter.
    pub words: String,
    /// The same in a few words, with how much is missing.
    pub short: String,
}

/// A gap that a person just gets through, or just does not.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnGap {
    pub at: Point,
    /// As it is read off a tape.
    pub width: String,
    /// What hangs on it.
    pub words: String,
}

/// Room in front of a station or behind it for the longest piece.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnStrip {
    pub outline: Polygon,
    pub fits: bool,
}

/// A way from standing place to standing place, and how often it was walked in a replication.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkedPath {
    pub from: PlaceId,
    pub to: PlaceId,
    /// Corners of the way; arcs are many of them.
    pub points: Vec<Point>,
    pub trips_empty: f64,
    /// Carrying or pushing.
    pub trips_loaded: f64,
}

/// The drawn line is nowhere farther from the way than this, in metres.
const DRAWN_M: f64 = 0.005;

impl Layout {
    /// The layout alone. In front of each electrical panel a floor of this width, or the panel's own if that is
    /// greater, and depth in metres is kept free.
    fn new(name: &str, shop: &Shop, plan: &Plan, (width, depth): (f64, f64)) -> Layout {
        let panels = plan.room.iter().flat_map(|room| &room.panels);
        let keep_free = panels.filter_map(|panel| {
            let along = panel.faces.left() * (width.max(panel.width) / 2.0);
            let into = panel.faces * depth;
            let (left, right) = (panel.at + along, panel.at - along);
            Polygon::new(&[left, right, right + into, left + into]).ok()
        });
        let stations = shop.stations.iter();
        Layout {
            name: name.to_owned(),
            plan: plan.clone(),
            stations: stations
                .clone()
                .map(|station| station.name.clone())
                .collect(),
            units: stations.map(|station| station.count).collect(),
            strips: Vec::new(),
            keep_free: keep_free.collect(),
            throws: Vec::new(),
            findings: Vec::new(),
            near_gaps: Vec::new(),
            paths: Vec::new(),
            worked_s: Vec::new(),
        }
    }

    /// What was found of a candidate's floor, with lengths in the units of the reader.
    pub fn of(found: &LayoutFindings, units: Units) -> Layout {
        let LayoutFindings { shop, plan, .. } = found;
        let mut layout = Layout::new(&found.name, shop, plan, found.before_panels);
        let strips = found.strips.iter();
        layout.strips = strips
            .map(|strip| DrawnStrip {
                outline: strip.outline.clone(),
                fits: strip.fits,
            })
            .collect();
        let walked = found.walked.iter();
        layout.paths = walked
            .map(|leg| {
                let points = leg.path.polyline(DRAWN_M);
                WalkedPath::new((leg.from, leg.to), leg.manner, leg.trips, points)
            })
            .collect();
        layout.worked_s.clone_from(&found.worked_s);
        layout.mark_throws(found);
        layout.number(found, units);
        layout
    }

    /// All that place something, in their order.
    pub fn all(found: &[Option<LayoutFindings>], units: Units) -> Vec<Layout> {
        let drawn = found.iter().flatten();
        let drawn = drawn.filter(|found| found.plan.places_something());
        drawn.map(|found| Layout::of(found, units)).collect()
    }

    /// What a station is called, and how many of it there are.
    pub fn station(&self, index: usize) -> Option<String> {
        let name = self.stations.get(index)?;
        Some(match self.units.get(index) {
            Some(&units) if units > 1 => format!("{name} ×{units}"),
            _ => name.clone(),
        })
    }

    /// The floor that the work needs, and that over which a piece may be thrown.
    pub fn zones(&self) -> impl Iterator<Item = &Polygon> {
        let strips = self.strips.iter().map(|strip| &strip.outline);
        strips.chain(&self.throws)
    }

    /// Whether another layout has everything in the same places, and the same is found there.
    pub fn stands_like(&self, other: &Layout) -> bool {
        let same_plan = self.plan.placements == other.plan.placements
            && self.plan.room == other.plan.room
            && self.plan.going == other.plan.going;
        same_plan
            && self.stations == other.stations
            && self.units == other.units
            && self.strips == other.strips
            && self.keep_free == other.keep_free
            && self.throws == other.throws
            && self.findings == other.findings
            && self.near_gaps == other.near_gaps
    }

    /// Whether people walk the same ways as often, on another layout that is like this one.
    pub fn walked_like(&self, other: &Layout) -> bool {
        self.stands_like(other) && self.paths == other.paths
    }

    /// Whether people work as long at each place, on another layout that is like this one.
    pub fn worked_like(&self, other: &Layout) -> bool {
        self.stands_like(other) && self.worked_s == other.worked_s
    }

    /// The lines over which a piece may be thrown, also where the rules find nobody in one: whoever comes later has to
    /// see them.
    fn mark_throws(&mut self, found: &LayoutFindings) {
        let saws = self.plan.placements.iter().flatten();
        let lines = saws.filter(|saw| saw.kickback).filter_map(|saw| {
            let reach = thrown_reach(saw, found.kickback_m)?;
            thrown(&self.plan, saw, reach)
        });
        self.throws = lines.collect();
    }

    /// Faults and warnings with their numbers, and gaps on which walking hangs.
    fn number(&mut self, found: &LayoutFindings, units: Units) {
        let room = self.plan.room.as_ref();
        let all: Vec<Told> = told(&found.shop, room, &found.findings);
        for (number, index) in numbered(&all) {
            let finding = &found.findings[index];
            let width = match finding.fact {
                Fact::Aisle { width, .. } => Some(width),
                Fact::WayOut {
                    widest: Some((width, _)),
                    ..
                } => Some(width),
                _ => None,
            };
            let at = finding.at.or_else(|| self.place_of(&finding.subject));
            let marked = |says: String| match at {
                Some(_) => says,
                None => format!("{says}{NOT_ON_PLAN}"),
            };
            self.findings.push(DrawnFinding {
                number,
                is_fault: finding.level == FindingLevel::Fault,
                at,
                // As its sentence has it.
                gap: width.map(|width| tape(units, width, Rounding::Down)),
                words: marked(written(&all[index], units)),
                short: marked(in_short(&all[index], units)),
            });
        }
        for (finding, told) in found.findings.iter().zip(&all) {
            if let Fact::NearGap { gap, .. } = &finding.fact {
                self.near_gaps.push(DrawnGap {
                    at: gap.at,
                    width: tape(units, gap.width, Rounding::Nearest),
                    words: written(told, units),
                });
            }
        }
    }

    /// Where something is that a finding is about.
    fn place_of(&self, subject: &FindingSubject) -> Option<Point> {
        let room = self.plan.room.as_ref();
        match subject {
            FindingSubject::Place(place) => {
                // A corner, since the middle is the place of the name.
                let corner = |placement: Placement| {
                    let (wide, deep) = placement.size;
                    placement.on_floor(Point::new(wide / 2.0, deep / 2.0))
                };
                match self.plan.station_at(*place) {
                    Some(_) => self.plan.placement_at(*place).map(corner),
                    None => self.plan.standing(*place),
                }
            }
            FindingSubject::Panel(panel) => Some(room?.panels.get(*panel)?.at),
            FindingSubject::Kept(kept) => Some(room?.kept.get(*kept)?.at),
            FindingSubject::Thing(thing) => {
                let (least, most) = room?.blocked.get(*thing)?.outline.bounds();
                Some((least + most) * 0.5)
            }
            FindingSubject::Wall | FindingSubject::AccessRoute(_) | FindingSubject::Cargo(_) => {
                None
            }
        }
    }
}

/// Layouts of which a picture would be the same, in the order of the first of each.
pub struct AlikeLayouts<'a> {
    pub first: &'a Layout,
    /// Its index.
    pub index: usize,
    /// What all of them are called.
    pub names: Vec<&'a str>,
}

impl<'a> AlikeLayouts<'a> {
    pub fn all(layouts: &'a [Layout], same: fn(&Layout, &Layout) -> bool) -> Vec<AlikeLayouts<'a>> {
        let mut groups: Vec<AlikeLayouts> = Vec::new();
        for (index, layout) in layouts.iter().enumerate() {
            match groups.iter_mut().find(|group| same(group.first, layout)) {
                Some(group) => group.names.push(&layout.name),
                None => groups.push(AlikeLayouts {
                    first: layout,
                    index,
                    names: vec![&layout.name],
                }),
            }
        }
        groups
    }

    /// Their names in a heading.
    pub fn name(&self) -> String {
        self.names.join(" · ")
    }
}

/// From the side where the work goes in, as wide as the station and so many metres long, but not out of the room.
fn thrown(plan: &Plan, placement: &Placement, reach: f64) -> Option<Polygon> {
    let side = placement.feed?;
    let body = StationExtent::of(placement, side);
    let back = placement.turned(side.direction()) * -1.0;
    let from = placement.at + back * body.before;
    let aside = back.left() * (body.across / 2.0);
    let reach = plan.room.as_ref().map_or(reach, |room| {
        let (least, most) = room.outline.bounds();
        let inside = |from: f64, by: f64, least: f64, most: f64| match by {
            by if by > 1e-9 => (most - from) / by,
            by if by < -1e-9 => (least - from) / by,
            _ => f64::INFINITY,
        };
        let across = inside(from.x, back.x, least.x, most.x);
        reach
            .min(across)
            .min(inside(from.y, back.y, least.y, most.y))
    });
    let to = from + back * reach.max(0.0);
    Polygon::new(&[from - aside, to - aside, to + aside, from + aside]).ok()
}

impl WalkedPath {
    /// Trips in one manner.
    pub fn new(
        (from, to): (PlaceId, PlaceId),
        manner: Manner,
        trips: f64,
        points: Vec<Point>,
    ) -> WalkedPath {
        let (trips_empty, trips_loaded) = match manner {
            Manner::Empty => (trips, 0.0),
            Manner::Carrying | Manner::Pushing => (0.0, trips),
        };
        WalkedPath {
            from,
            to,
            points,
            trips_empty,
            trips_loaded,
        }
    }

    /// As the crow flies, for plans on which people walk so. None if one of the places is not on the plan.
    pub fn straight(
        plan: &Plan,
        (from, to): (PlaceId, PlaceId),
        manner: Manner,
        trips: f64,
    ) -> Option<WalkedPath> {
        let points = vec![plan.standing(from)?, plan.standing(to)?];
        Some(WalkedPath::new((from, to), manner, trips, points))
    }
}
