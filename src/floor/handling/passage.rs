//! How a piece goes along a way into the room: around corners, along a stair, through the door.

use crate::floor::access::{
    Carriers, Doorway, Effort, Verdict, corner_spare, leaned, opening_fit, stair_spare,
};
use crate::floor::finding::{FindingSubject, Grade, Held, Passage, SpareOf, Spot};
use crate::floor::{Door, Limits, Premises, SAME_POINT_M, Stair};

/// A way into the room.
pub struct Entrance<'a> {
    pub of: FindingSubject,
    /// With its index in the room.
    door: (usize, &'a Door),
    corners: &'a [(f64, f64)],
    stair: Option<&'a Stair>,
}

impl Entrance<'_> {
    /// Index of the room's door.
    pub fn door(&self) -> usize {
        self.door.0
    }
}

/// The ways of a room; without any, its doors.
pub fn entrances<'a>(premises: Premises<'a>) -> Vec<Entrance<'a>> {
    let Some(room) = premises.room else {
        return Vec::new();
    };
    if room.ways.is_empty() {
        let doors = room.doors.iter().enumerate().map(|(index, door)| Entrance {
            of: FindingSubject::Place(premises.door_place(index)),
            door: (index, door),
            corners: &[],
            stair: None,
        });
        return doors.collect();
    }
    let ways = room.ways.iter().enumerate().filter_map(|(index, way)| {
        Some(Entrance {
            of: FindingSubject::AccessRoute(index),
            door: (way.door, room.doors.get(way.door)?),
            corners: &way.corners,
            stair: way.stair.as_ref(),
        })
    });
    ways.collect()
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
    pub fn of(premises: Premises<'a>) -> Carrying<'a> {
        Carrying {
            limits: premises.limits,
            people: premises.shop.crew.len(),
            ceiling: premises.room.and_then(|room| room.ceiling),
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

    /// What is left where something goes along a way upright, as long and as wide as it stands, with nobody beside it, in
    /// metres; negative: what is missing. Its height counts at the door, as far as both are known.
    pub fn upright(way: &Entrance<'_>, (length, width, height): (f64, f64, f64)) -> f64 {
        let corners = way.corners.iter();
        let corners = corners.map(|&(a, b)| corner_spare(a, b, length, width));
        let stair = way.stair.map(|stair| stair.width - width);
        let door = way.door.1;
        let lintel = (door.height.filter(|_| height.is_finite())).map(|lintel| lintel - height);
        let sides = corners.chain(stair).chain(lintel);
        sides.fold(door.width() - width, f64::min)
    }

    /// How a piece is held up a corner: what it measures upward and in plan, on edge if that fits under the ceiling, else
    /// flat.
    pub(super) fn held(&self, [p, q, _]: [f64; 3]) -> (f64, f64) {
        let on_edge = self.ceiling.is_none_or(|ceiling| q <= ceiling);
        if on_edge { (q, p) } else { (p, q) }
    }

    /// How high what stands about may be that a piece is carried over, in metres: what is held like a board lies on a
    /// shoulder.
    pub(super) fn passes_over(&self, sides: [f64; 3]) -> f64 {
        let mut sides = sides;
        sides.sort_by(f64::total_cmp);
        match sides[1] <= self.limits.board_width {
            true => self.limits.shoulder,
            false => 0.0,
        }
    }

    /// Who may carry a piece around a corner.
    pub(super) fn carriers(&self, [_, q, _]: [f64; 3], mass: Option<f64>) -> Vec<Carriers> {
        let limits = self.limits;
        let beside = Carriers::OneBeside(limits.hands_beside);
        let at_ends = Carriers::TwoAtEnds(limits.hands_at_ends);
        let heavy = mass.is_some_and(|mass| mass > limits.one_lifts);
        match self.people {
            _ if q <= limits.board_width => vec![Carriers::Unseen],
            0 | 1 => vec![beside],
            _ if heavy => vec![at_ends],
            _ => vec![beside, at_ends],
        }
    }

    fn around(&self, (a, b): (f64, f64), sides: [f64; 3], mass: Option<f64>) -> Passage {
        let r = sides[2];
        let (upward, thickness) = self.held(sides);
        let level = |carriers: Carriers| {
            let (length, thickness) = carriers.with(r, thickness);
            corner_spare(a, b, length, thickness)
        };
        let carriers = self.carriers(sides, mass).into_iter();
        let spare = carriers.map(level).fold(f64::NEG_INFINITY, f64::max);
        let passage = |grade, spare, held| Passage {
            grade,
            spare,
            of: SpareOf::Length,
            spot: Spot::Corner(a, b),
            held,
        };
        if fits(spare) {
            return passage(Grade::Passes, spare, None);
        }
        let alone = corner_spare(a, b, r, thickness);
        let tipped = self.ceiling.and_then(|ceiling| {
            let spare = corner_spare(a, b, leaned(r, upward, ceiling)?, thickness);
            fits(spare).then_some((spare, ceiling))
        });
        let or_pushed = fits(alone);
        match tipped {
            Some((spare, ceiling)) => {
                let spare = if or_pushed { spare.max(alone) } else { spare };
                let held = Held::TippedUp { ceiling, or_pushed };
                return passage(Grade::OnlySo, spare, Some(held));
            }
            None if or_pushed => return passage(Grade::OnlySo, alone, Some(Held::Pushed)),
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
            grade: if fits(spare) {
                Grade::Passes
            } else {
                Grade::Stuck
            },
            spare,
            of: SpareOf::WidthOrHeight,
            spot: Spot::Stair,
            held: None,
        }
    }

    /// Through a door, from a corridor along its wall if there is one.
    fn through(&self, (index, door): (usize, &Door), [p, q, r]: [f64; 3]) -> Passage {
        let passage = |grade, spare, of, held| Passage {
            grade,
            spare,
            of,
            spot: Spot::Door(index),
            held,
        };
        let opening = SpareOf::WidthOrHeight;
        let height = door.height.unwrap_or(f64::INFINITY);
        let fit = opening_fit([p, q, r], door.width(), height);
        if !fits(fit.spare) {
            return passage(Grade::Stuck, fit.spare, opening, None);
        }
        let tilted = fit.tilt > 0.0 && fit.tilt < 90.0;
        let held = tilted.then_some(Held::Tilted(fit.tilt));
        let grade = if tilted { Grade::OnlySo } else { Grade::Passes };
        let Some(corridor) = door.corridor else {
            return passage(grade, fit.spare, opening, held);
        };
        let doorway = Doorway {
            corridor,
            door: door.width(),
            wall: door.wall,
        };
        let radians = fit.tilt.to_radians();
        let thickness = p * libm::cos(radians) + q * libm::sin(radians);
        match doorway.verdict(r, thickness, self.effort) {
            Verdict::Passes => passage(grade, fit.spare, opening, held),
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
                passage(stuck, spare, SpareOf::Length, held)
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

    /// How long a piece of the same width and thickness may be to pass surely on some way, in metres and up to its own
    /// length; nothing if none does that is longer than it is wide.
    pub fn longest(&self, ways: &[Entrance<'_>], sides: [f64; 3]) -> Option<f64> {
        let mut sides = sides;
        sides.sort_by(f64::total_cmp);
        let limits = ways.iter().filter_map(|way| self.longest_along(way, sides));
        let longest = limits.reduce(f64::max)?;
        (longest >= sides[1] && longest > 0.0).then_some(longest)
    }

    /// The same for one way: at corners by the formula, at a doorway off a corridor by its search.
    fn longest_along(&self, way: &Entrance<'_>, sides: [f64; 3]) -> Option<f64> {
        let [p, q, r] = sides;
        let (_, thickness) = self.held(sides);
        let mut longest = r;
        for &corner in way.corners {
            let carriers = self.carriers(sides, None).into_iter();
            let limits = carriers.filter_map(|carriers| carriers.longest(corner, thickness));
            longest = longest.min(limits.reduce(f64::max)?);
        }
        let passes = |passage: Passage| passage.grade == Grade::Passes;
        if !way
            .stair
            .is_none_or(|stair| passes(self.on_stair(stair, sides)))
        {
            return None;
        }
        let through = |length: f64, effort: Effort| {
            let carrying = Carrying {
                effort,
                measure: false,
                ..*self
            };
            let mut sides = [p, q, length];
            sides.sort_by(f64::total_cmp);
            passes(carrying.through(way.door, sides))
        };
        if through(longest, self.effort) {
            return Some(longest);
        }
        way.door.1.corridor?;
        Some(crate::floor::access::longest(longest, through))
    }
}

/// Whether what is left is enough: nobody measures what is missing by less.
fn fits(spare: f64) -> bool {
    spare >= -SAME_POINT_M
}
