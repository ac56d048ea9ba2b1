//! How a piece goes along a way into the room: around corners, along a stair, through the door.

use super::finding::{metres, wording};
use super::{Limits, Scene, Wording};
use crate::floor::access::{
    Carriers, Doorway, Effort, Verdict, corner_spare, leaned, longest, opening_fit, stair_spare,
};
use crate::floor::{Door, Stair};

/// A way into the room.
pub struct Entrance<'a> {
    pub name: &'a str,
    door: &'a Door,
    corners: &'a [(f64, f64)],
    stair: Option<&'a Stair>,
}

/// The ways of a room; without any, its doors.
pub fn entrances<'a>(scene: &Scene<'a>) -> Vec<Entrance<'a>> {
    let Some(room) = scene.room() else {
        return Vec::new();
    };
    if room.ways.is_empty() {
        let doors = room.doors.iter().map(|door| Entrance {
            name: &door.name,
            door,
            corners: &[],
            stair: None,
        });
        return doors.collect();
    }
    let ways = room.ways.iter().filter_map(|way| {
        Some(Entrance {
            name: &way.name,
            door: room.doors.get(way.door)?,
            corners: &way.corners,
            stair: way.stair.as_ref(),
        })
    });
    ways.collect()
}

/// How sure it is that something passes, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    Passes,
    /// In a way that the wording names.
    OnlySo,
    Unknown,
    Stuck,
}

/// What becomes of a piece at the worst place of a way.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    pub grade: Grade,
    /// What is left there, in metres; negative: what is missing.
    pub spare: f64,
    /// The place, and how the piece goes there if not level and straight.
    pub place: Wording,
    pub how: Option<Wording>,
}

/// Who carries, and under what.
pub struct Carrying<'a> {
    pub limits: &'a Limits,
    pub people: usize,
    /// Height of the ceiling, which counts for the way outside too.
    pub ceiling: Option<f64>,
    /// How finely doorways are searched.
    pub effort: Effort,
    /// Whether to measure what is missing at a doorway, which takes a dozen searches; else it counts as nothing.
    pub measure: bool,
}

impl<'a> Carrying<'a> {
    pub fn of(scene: &Scene<'a>) -> Carrying<'a> {
        Carrying {
            limits: scene.limits,
            people: scene.shop.crew.len(),
            ceiling: scene.room().and_then(|room| room.ceiling),
            effort: Effort::Fine,
            measure: true,
        }
    }

    /// How a piece goes along a way: as it goes at the place where it goes worst.
    pub fn along(&self, way: &Entrance<'_>, sides: [f64; 3], mass: Option<f64>) -> Passage {
        let mut sides = sides;
        sides.sort_by(f64::total_cmp);
        let corners = way.corners.iter();
        let corners = corners.map(|&corner| self.around(corner, sides, mass));
        let stair = way.stair.map(|stair| self.on_stair(stair, sides));
        let door = self.through(way.door, sides);
        corners.chain(stair).fold(door, |worst, passage| {
            let worse = passage.grade > worst.grade
                || (passage.grade == worst.grade && passage.spare < worst.spare);
            if worse { passage } else { worst }
        })
    }

    /// Around a corner, on edge if that fits under the ceiling, else flat.
    fn around(&self, (a, b): (f64, f64), [p, q, r]: [f64; 3], mass: Option<f64>) -> Passage {
        let limits = self.limits;
        let on_edge = self.ceiling.is_none_or(|ceiling| q <= ceiling);
        let (upward, thickness) = if on_edge { (q, p) } else { (p, q) };
        let place = wording!["the corner of ", metres(a), " and ", metres(b)];
        let beside = Carriers::OneBeside(limits.hands_beside);
        let at_ends = Carriers::TwoAtEnds(limits.hands_at_ends);
        let heavy = mass.is_some_and(|mass| mass > limits.one_lifts);
        let carriers: &[Carriers] = match self.people {
            _ if q <= limits.board_width => &[Carriers::Unseen],
            0 | 1 => &[beside],
            _ if heavy => &[at_ends],
            _ => &[beside, at_ends],
        };
        let level = |carriers: &Carriers| {
            let (length, thickness) = carriers.with(r, thickness);
            corner_spare(a, b, length, thickness)
        };
        let spare = carriers.iter().map(level).fold(f64::NEG_INFINITY, f64::max);
        let passage = |grade, spare, how| Passage {
            grade,
            spare,
            place: place.clone(),
            how,
        };
        if spare >= 0.0 {
            return passage(Grade::Passes, spare, None);
        }
        let alone = corner_spare(a, b, r, thickness);
        let tipped = self.ceiling.and_then(|ceiling| {
            let spare = corner_spare(a, b, leaned(r, upward, ceiling)?, thickness);
            (spare >= 0.0).then(|| {
                (
                    spare,
                    wording!["tipped up under a ceiling of ", metres(ceiling)],
                )
            })
        });
        let pushed = || wording!["pushed around the corner with nobody beside it or at its ends"];
        match tipped {
            Some((spare, tipped)) if alone >= 0.0 => {
                let how = tipped.and(wording![", or "]).and(pushed());
                return passage(Grade::OnlySo, spare.max(alone), Some(how));
            }
            Some((spare, tipped)) => return passage(Grade::OnlySo, spare, Some(tipped)),
            None if alone >= 0.0 => return passage(Grade::OnlySo, alone, Some(pushed())),
            None => {}
        }
        passage(Grade::Stuck, alone, None)
    }

    /// Along a straight flight, on edge or flat, whichever leaves more.
    fn on_stair(&self, stair: &Stair, [p, q, _]: [f64; 3]) -> Passage {
        let carried = |upward: f64, across: f64| {
            let hands = self.limits.stair_hands;
            let above = stair_spare(upward, hands, stair.headroom, stair.riser, stair.tread);
            above.min(stair.width - across)
        };
        let spare = carried(q, p).max(carried(p, q));
        Passage {
            grade: if spare >= 0.0 {
                Grade::Passes
            } else {
                Grade::Stuck
            },
            spare,
            place: wording!["the stair"],
            how: None,
        }
    }

    /// Through a door, from a corridor along its wall if there is one.
    fn through(&self, door: &Door, [p, q, r]: [f64; 3]) -> Passage {
        let place = wording![format!("{}", door.name)];
        let passage = |grade, spare, how| Passage {
            grade,
            spare,
            place: place.clone(),
            how,
        };
        let height = door.height.unwrap_or(f64::INFINITY);
        let fit = opening_fit([p, q, r], door.width(), height);
        if fit.spare < 0.0 {
            return passage(Grade::Stuck, fit.spare, None);
        }
        let tilted = fit.tilt > 0.0 && fit.tilt < 90.0;
        let how = tilted.then(|| wording![format!("tilted by {:.0} degrees", fit.tilt)]);
        let grade = if tilted { Grade::OnlySo } else { Grade::Passes };
        let Some(corridor) = door.corridor else {
            return passage(grade, fit.spare, how);
        };
        let doorway = Doorway {
            corridor,
            door: door.width(),
            wall: door.wall,
        };
        let radians = fit.tilt.to_radians();
        let thickness = p * libm::cos(radians) + q * libm::sin(radians);
        match doorway.verdict(r, thickness, self.effort) {
            Verdict::Passes => passage(grade, fit.spare, how),
            verdict => {
                let stuck = if verdict == Verdict::Stuck {
                    Grade::Stuck
                } else {
                    Grade::Unknown
                };
                let spare = if self.measure {
                    doorway.passes_up_to(r, thickness) - r
                } else {
                    0.0
                };
                passage(stuck, spare, how)
            }
        }
    }

    /// The best way for a piece, and how it goes there.
    pub fn best<'w, 'e>(
        &self,
        ways: &'w [Entrance<'e>],
        sides: [f64; 3],
        mass: Option<f64>,
    ) -> Option<(&'w Entrance<'e>, Passage)> {
        let tried = ways.iter().map(|way| (way, self.along(way, sides, mass)));
        tried.min_by(|(_, one), (_, other)| {
            let by_grade = one.grade.cmp(&other.grade);
            by_grade.then(other.spare.total_cmp(&one.spare))
        })
    }

    /// How long a piece of the same width and thickness may be to pass surely on some way, in metres; nothing if none does.
    pub fn longest(
        &self,
        ways: &[Entrance<'_>],
        [length, width, thickness]: [f64; 3],
    ) -> Option<f64> {
        let passes = |length: f64, effort: Effort| {
            let carrying = Carrying {
                effort,
                measure: false,
                ..*self
            };
            let best = carrying.best(ways, [length, width, thickness], None);
            best.is_some_and(|(_, passage)| passage.grade == Grade::Passes)
        };
        let found = longest(length, passes);
        (found >= width.min(length) && found > 0.0).then_some(found)
    }
}
