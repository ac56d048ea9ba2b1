//! What is missing rule by rule and station by station, so that a move looks again only at what it touches.

use super::aisles::{NarrowGap, narrow_gaps};
use super::exits::way_out_judge;
use super::feeding::{at_station as feed_at, needed_box};
use super::heights::{out_of_reach, too_high};
use super::lines::{Thrown, thrown_at};
use super::panels::before_panels;
use super::placing::{before_door, on_things, outside, overlapping};
use super::standing::{reach_at, room_at_station, room_in_door, used_doors};
use super::units::units_judge;
use super::ways::reachable_judge;
use super::{Missing, Scene};
use crate::floor::finding::FindingLevel;
use crate::floor::shapes::AxisBox;
use crate::floor::{Obstacle, Point, SAME_POINT_M};
use crate::shop::{PlaceId, StationId};

/// What a move changes on the floor.
pub struct FloorChange<'c> {
    /// Stations that stand elsewhere.
    pub moved: &'c [StationId],
    /// Around the footprints that they had and that they have now.
    pub touched: &'c [AxisBox],
}

impl FloorChange<'_> {
    fn touches(&self, around: &AxisBox) -> bool {
        self.touched.iter().any(|touched| touched.meets(around))
    }
}

/// How much of a judgement there is: each stage looks at more, and costs more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// What covers the floor.
    Covered,
    /// Where people stand and what is fed.
    Around,
    /// The ways that people walk.
    Walked,
    All,
}

/// What is missing on one layout, by rule and station. Together it is what the rules judge, to the last bit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MissingParts {
    /// How deep two stations overlap, in metres: `overlaps[one * stations + other]` for the earlier and the later one.
    overlaps: Vec<f64>,
    walls: Vec<Missing>,
    things: Vec<Missing>,
    doors: Vec<Missing>,
    /// By station, then what things of the room lack.
    panels: Vec<Missing>,
    too_high: Vec<Missing>,
    out_of_reach: Vec<Missing>,
    standing: Vec<Missing>,
    in_doors: Vec<Missing>,
    feed: Vec<Missing>,
    /// The floor that feeding each station may need.
    fed: Vec<Option<AxisBox>>,
    kickback: Vec<Vec<Thrown>>,
    reach: Vec<Missing>,
    reachable: Missing,
    way_out: Missing,
    aisles: Vec<NarrowGap>,
    /// Access, lifting, ceiling, and pieces that are short, thin, narrow, wide or cut deep.
    handled: [Missing; 8],
    units: Missing,
}

impl MissingParts {
    /// Everything but what is walked and reached, which [`MissingParts::walked`] and [`MissingParts::reached`] add.
    pub fn new(scene: &Scene<'_>) -> MissingParts {
        let stations = scene.plan.placements.len();
        let nothing = |count: usize| vec![Missing::default(); count];
        let handled = scene.site.handled();
        let things = scene.site.things.iter();
        let mut panels = nothing(stations);
        panels.push(things.map(|thing| before_panels(scene.site, thing)).sum());
        let mut parts = MissingParts {
            overlaps: vec![0.0; stations * stations],
            walls: nothing(stations),
            things: nothing(stations),
            doors: nothing(scene.doors().len()),
            panels,
            too_high: nothing(stations),
            out_of_reach: nothing(stations),
            standing: nothing(stations),
            in_doors: nothing(used_doors(scene).count()),
            feed: nothing(stations),
            fed: vec![None; stations],
            kickback: vec![Vec::new(); stations],
            reach: nothing(stations),
            handled: [
                &handled.access,
                &handled.lifting,
                &handled.ceiling,
                &handled.wrong_pieces.short,
                &handled.wrong_pieces.thin,
                &handled.wrong_pieces.narrow,
                &handled.wrong_pieces.wide,
                &handled.wrong_pieces.deep,
            ]
            .map(Missing::of),
            units: units_judge(scene),
            ..MissingParts::default()
        };
        let all: Vec<StationId> = scene.plan.placements.ids().collect();
        let everywhere = Point::new(f64::INFINITY, f64::INFINITY);
        let change = FloorChange {
            moved: &all,
            touched: &[AxisBox {
                low: everywhere * -1.0,
                high: everywhere,
            }],
        };
        parts.covered(scene, &change);
        parts.around(scene, &change);
        parts
    }

    /// What covers the floor.
    pub fn covered(&mut self, scene: &Scene<'_>, change: &FloorChange<'_>) {
        let stations = self.walls.len();
        let site = scene.site;
        for &station in change.moved {
            let index = station.index();
            let Some(placement) = &scene.plan.placements[station] else {
                continue;
            };
            let mut footprints = scene.stations();
            let own = footprints.find(|footprint| footprint.of == Obstacle::Station(station));
            self.walls[index] = outside(site, placement, own.map(|own| &own.area))
                .map_or(Missing::default(), |(far, _)| {
                    Missing::one(FindingLevel::Fault, far)
                });
            let Some(own) = own else { continue };
            self.things[index] = on_things(site, own);
            self.panels[index] = before_panels(site, own);
            self.too_high[index] = too_high(site, own);
            for other in scene.stations() {
                if let Obstacle::Station(other_station) = other.of
                    && other_station != station
                {
                    let other_index = other_station.index();
                    let (one, later) = (index.min(other_index), index.max(other_index));
                    // In the order of the file, as the rule does it: roundings differ otherwise.
                    let depth = match index < other_index {
                        true => overlapping(own, other),
                        false => overlapping(other, own),
                    };
                    self.overlaps[one * stations + later] = depth.fault_m;
                }
            }
        }
        for (index, floor) in site.doors.iter().enumerate() {
            let areas = [&floor.before, &floor.leaves[0], &floor.leaves[1]];
            let mut areas = areas.into_iter().flatten();
            if areas.any(|area| change.touches(&area.bounds)) {
                self.doors[index] = before_door(site, &scene.footprints, index);
            }
        }
    }

    /// Where people stand and what is fed.
    pub fn around(&mut self, scene: &Scene<'_>, change: &FloorChange<'_>) {
        let advised = scene.limits().standing_room.max(scene.site.body_width);
        let room = |place: Point| {
            let around = AxisBox {
                low: place,
                high: place,
            };
            around.grown(advised / 2.0 + SAME_POINT_M)
        };
        for (station, placement) in scene.placed() {
            let index = station.index();
            let is_moved = change.moved.contains(&station);
            let mut stands = scene.plan.places_at(station);
            let is_touched = |place| {
                let standing = scene.plan.standing(place);
                standing.is_some_and(|standing| change.touches(&room(standing)))
            };
            if is_moved || stands.any(is_touched) {
                self.standing[index] = room_at_station(scene, station);
            }
            if is_moved {
                let needed = needed_box(scene, station, placement);
                self.fed[index] = needed.map(|needed| needed.grown(SAME_POINT_M));
            }
            if is_moved {
                self.out_of_reach[index] = out_of_reach(scene, station, placement);
            }
            let touches = |needed: &AxisBox| change.touches(needed);
            if is_moved || self.fed[index].as_ref().is_some_and(touches) {
                self.feed[index] = feed_at(scene, station, placement);
            }
        }
        let doors: Vec<(PlaceId, Point)> = used_doors(scene).collect();
        for (index, &(_, place)) in doors.iter().enumerate() {
            if change.touches(&room(place)) {
                self.in_doors[index] = room_in_door(scene, place);
            }
        }
    }

    /// What depends on the ways that people walk, with the corners of the way of each leg of the scene.
    pub fn walked(&mut self, scene: &Scene<'_>, corners: &dyn Fn(usize) -> Vec<Point>) {
        self.aisles = narrow_gaps(scene);
        for (station, placement) in scene.placed() {
            self.kickback[station.index()] = thrown_at(scene, station, placement, corners);
        }
    }

    /// What depends on where people get.
    pub fn reached(&mut self, scene: &Scene<'_>) {
        self.reachable = reachable_judge(scene);
        for (station, placement) in scene.placed() {
            self.reach[station.index()] = reach_at(scene, station, placement);
        }
        self.way_out = way_out_judge(scene);
    }

    /// What is missing by rules other than those of ways and of two stations in one place, at each place.
    fn by_place(&self) -> impl Iterator<Item = Missing> + '_ {
        let by_place = [
            &self.walls,
            &self.things,
            &self.doors,
            &self.panels,
            &self.too_high,
            &self.out_of_reach,
            &self.standing,
            &self.in_doors,
            &self.feed,
            &self.reach,
        ];
        let all = by_place.into_iter().flatten().chain(&self.handled);
        all.copied().chain([self.reachable, self.way_out])
    }

    /// Whether no two stations reach deeper into each other.
    fn overlaps_no_more_than(&self, other: &MissingParts) -> bool {
        let mut overlaps = self.overlaps.iter().zip(&other.overlaps);
        overlaps.all(|(is, was)| *is <= was + SAME_POINT_M)
    }

    /// Whether everybody gets everywhere and out, once that has been looked at.
    pub fn all_is_reached(&self) -> bool {
        let ways = [&self.reachable, &self.way_out];
        self.reach.iter().chain(ways).all(|of| of.faults == 0)
    }

    /// Whether no fault is new or larger than in another judgement of the same site, but for those of narrow ways.
    pub fn has_no_fault_beyond(&self, other: &MissingParts) -> bool {
        let mut places = self.by_place().zip(other.by_place());
        self.overlaps_no_more_than(other)
            && places.all(|(is, was)| is.faults_alone().is_no_worse_than(&was.faults_alone()))
    }

    /// Whether nothing lacks more than in another judgement of the same site: by no rule, and at no station, gap or door.
    pub fn is_no_worse_than(&self, other: &MissingParts) -> bool {
        let gap_before = |gap: &NarrowGap| {
            let known = other.aisles.iter().find(|known| known.sides == gap.sides);
            known.map_or(Missing::default(), |known| known.missing)
        };
        let thrown = self.kickback.iter().zip(&other.kickback);
        let mut places = self.by_place().zip(other.by_place());
        self.overlaps_no_more_than(other)
            && places.all(|(is, was)| is.is_no_worse_than(&was))
            && (self.aisles.iter()).all(|gap| gap.missing.is_no_worse_than(&gap_before(gap)))
            && thrown
                .into_iter()
                .all(|(is, was)| is.iter().all(|one| was.contains(one)))
    }

    /// What is missing as far as a stage knows: at the last, all that the rules judge.
    pub fn missing(&self, stage: Stage) -> Missing {
        let stations = self.walls.len();
        let mut overlaps = Missing::default();
        for one in 0..stations {
            for &depth in &self.overlaps[one * stations + one + 1..(one + 1) * stations] {
                if depth > 0.0 {
                    overlaps.add(FindingLevel::Fault, depth);
                }
            }
        }
        let sum = |parts: &[Missing]| parts.iter().copied().sum::<Missing>();
        let mut all = overlaps;
        all += sum(&self.walls);
        all += sum(&self.things);
        all += sum(&self.doors);
        all += sum(&self.panels);
        if stage >= Stage::Around {
            let mut standing = sum(&self.standing);
            self.in_doors.iter().for_each(|&door| standing += door);
            all += standing;
        }
        if stage == Stage::All {
            all += self.reachable;
            all += self.way_out;
        }
        if stage >= Stage::Around {
            all += sum(&self.feed);
        }
        if stage >= Stage::Walked {
            all += self.aisles.iter().map(|gap| gap.missing).sum();
            for thrown in self.kickback.iter().flatten() {
                all.add(thrown.level, 0.0);
            }
        }
        if stage == Stage::All {
            all += sum(&self.reach);
        }
        if stage >= Stage::Around {
            all += sum(&self.out_of_reach);
        }
        all += sum(&self.too_high);
        self.handled.iter().for_each(|&handled| all += handled);
        all += self.units;
        all
    }
}
