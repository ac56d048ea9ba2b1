//! Moves at random, such as somebody tries who draws a plan.

use super::problem::PlacementProblem;
use crate::floor::{Flow, Placement, Plan, Point, Pose};
use crate::improve::spots::half_of;
use crate::random::Key;
use crate::shop::{PlaceId, StationId};

/// Stations that go elsewhere at once.
pub(super) type PoseChange = Vec<(StationId, Pose)>;

/// A station that goes to a partner stands so near to it at most, in metres.
const NEAR_M: f64 = 2.0;

/// How far a small shift goes at most, in steps of the grid.
const SHIFT: i64 = 4;

const QUARTERS: [f64; 4] = [0.0, 90.0, 180.0, 270.0];

/// Draws moves on the grid of a problem.
pub(super) struct MoveDraws<'p> {
    problem: &'p PlacementProblem<'p>,
    ground: (Point, Point),
    /// Of each station, where people go from there or come from, with how often.
    partners: Vec<Vec<(PlaceId, f64)>>,
    key: Key,
    drawn: u64,
}

impl<'p> MoveDraws<'p> {
    pub fn new(problem: &'p PlacementProblem<'p>, flow: &Flow, key: Key) -> MoveDraws<'p> {
        let mut partners = vec![Vec::new(); problem.now.placements.len()];
        for leg in &flow.legs {
            for (here, there) in [(leg.from, leg.to), (leg.to, leg.from)] {
                if let Some(known) = partners.get_mut(here.index())
                    && leg.trips > 0.0
                {
                    known.push((there, leg.trips));
                }
            }
        }
        MoveDraws {
            problem,
            ground: problem.ground(),
            partners,
            key,
            drawn: 0,
        }
    }

    /// Between 0 and 1.
    pub fn uniform(&mut self) -> f64 {
        self.drawn += 1;
        self.key.with(self.drawn).uniform()
    }

    /// One of so many.
    pub fn one_of(&mut self, many: usize) -> usize {
        ((self.uniform() * many as f64) as usize).min(many.saturating_sub(1))
    }

    /// A move of stations that may be moved; it may be one that changes nothing, or for which there is no room.
    pub fn change(&mut self, plan: &Plan, among: &[StationId]) -> Option<PoseChange> {
        let station = *among.get(self.one_of(among.len()))?;
        let other = among[self.one_of(among.len())];
        let placed = plan.placements[station].as_ref()?;
        let turn = self.turn(station, placed);
        let one = |pose: Pose| Some(vec![(station, pose)]);
        match (self.uniform() * 100.0) as u32 {
            0..40 => {
                let at = placed.at + self.shift(SHIFT);
                one(self.settled(station, placed, at, placed.turn)?)
            }
            40..56 => {
                let at = self.beside_partner(plan, station, placed, turn)?;
                one(self.settled(station, placed, at, turn)?)
            }
            56..66 => {
                let at = self.at_wall(placed.at);
                one(self.settled(station, placed, at, turn)?)
            }
            66..74 => {
                let at = self.touching(placed, plan.placements[other].as_ref()?);
                one(self.settled(station, placed, at, placed.turn)?)
            }
            74..84 if other != station => self.swapped(plan, station, other),
            84..91 => one(self.settled(station, placed, placed.at, turn)?),
            91..95 if other != station => {
                let by = self.shift(2 * SHIFT);
                let shifted = |station: StationId| {
                    let placed = plan.placements[station].as_ref()?;
                    Some((
                        station,
                        self.settled(station, placed, placed.at + by, placed.turn)?,
                    ))
                };
                Some(vec![shifted(station)?, shifted(other)?])
            }
            _ => {
                let (low, high) = self.ground;
                let x = low.x + (high.x - low.x) * self.uniform();
                let y = low.y + (high.y - low.y) * self.uniform();
                one(self.settled(station, placed, Point::new(x, y), turn)?)
            }
        }
    }

    /// One of the turns that it may have, or of the four that differ by quarters.
    fn turn(&mut self, station: StationId, placed: &Placement) -> f64 {
        let turns = &self.problem.wishes[station].turns;
        if !turns.is_empty() {
            return turns[self.one_of(turns.len())];
        }
        let turned = placed.turn + QUARTERS[self.one_of(4)];
        turned.rem_euclid(360.0)
    }

    fn shift(&mut self, most: i64) -> Point {
        let mut steps = || self.one_of(2 * most as usize + 1) as f64 - most as f64;
        let (x, y) = (steps(), steps());
        Point::new(x, y) * self.problem.grid.step
    }

    /// The nearest place that is tried at all, at the wall behind it where that is asked for.
    fn settled(
        &self,
        station: StationId,
        placed: &Placement,
        at: Point,
        turn: f64,
    ) -> Option<Pose> {
        let [x, y] = self.problem.grid.spots(self.ground, placed, turn)?;
        let placed = Placement {
            at: Point::new(x.nearest(at.x), y.nearest(at.y)),
            turn,
            ..*placed
        };
        let wish = &self.problem.wishes[station];
        let pushed = wish.pushed(self.problem.now, placed, self.problem.grid.mark)?;
        (wish.holds(self.problem.now, &pushed)).then(|| pushed.pose())
    }

    /// Where the station's middle is if one stands there near a place to which one goes from here, the likelier the more
    /// often.
    fn beside_partner(
        &mut self,
        plan: &Plan,
        station: StationId,
        placed: &Placement,
        turn: f64,
    ) -> Option<Point> {
        let trips: f64 = self.partners[station.index()]
            .iter()
            .map(|partner| partner.1)
            .sum();
        let mut left = self.uniform() * trips;
        let partners = self.partners[station.index()].iter();
        let partner = partners.copied().find(|(_, trips)| {
            left -= trips;
            left <= 0.0
        });
        let there = plan.standing(partner?.0)?;
        let off = Point::new(self.uniform() - 0.5, self.uniform() - 0.5) * (2.0 * NEAR_M);
        let turned = Placement {
            at: Point::ORIGIN,
            turn,
            ..*placed
        };
        Some(there + off - turned.standing())
    }

    /// At one of the four sides of the ground.
    fn at_wall(&mut self, at: Point) -> Point {
        let (low, high) = self.ground;
        match self.one_of(4) {
            0 => Point::new(low.x, at.y),
            1 => Point::new(high.x, at.y),
            2 => Point::new(at.x, low.y),
            _ => Point::new(at.x, high.y),
        }
    }

    /// Beside another station, touching it.
    fn touching(&mut self, placed: &Placement, other: &Placement) -> Point {
        let apart = half_of(placed.size, placed.turn) + half_of(other.size, other.turn);
        let there = other.at;
        match self.one_of(4) {
            0 => Point::new(there.x + apart.x, placed.at.y),
            1 => Point::new(there.x - apart.x, placed.at.y),
            2 => Point::new(placed.at.x, there.y + apart.y),
            _ => Point::new(placed.at.x, there.y - apart.y),
        }
    }

    /// Two change places, and each takes the other's turn or keeps its own.
    fn swapped(&mut self, plan: &Plan, station: StationId, other: StationId) -> Option<PoseChange> {
        let [one, two] = [station, other].map(|station| plan.placements[station].as_ref());
        let (one, two) = (one?, two?);
        let (first, second) = (one.pose(), two.pose());
        let turns = match self.uniform() < 0.5 {
            true => (second.turn, first.turn),
            false => (first.turn, second.turn),
        };
        Some(vec![
            (station, self.settled(station, one, second.at, turns.0)?),
            (other, self.settled(other, two, first.at, turns.1)?),
        ])
    }

    /// Every so many places of the grid along each wall, in each turn, and those at the walls.
    pub fn everywhere(&self, station: StationId, placed: &Placement, step: usize) -> Vec<Pose> {
        let wish = &self.problem.wishes[station];
        let quarters = || QUARTERS.map(|quarter| (placed.turn + quarter).rem_euclid(360.0));
        let turns = match wish.turns.is_empty() {
            true => quarters().to_vec(),
            false => wish.turns.clone(),
        };
        let mut poses: Vec<Pose> = Vec::new();
        for turn in turns {
            let Some([x, y]) = self.problem.grid.spots(self.ground, placed, turn) else {
                continue;
            };
            let [x, y] = [x, y].map(|spots| spots.every(step));
            for at in x
                .iter()
                .flat_map(|&x| y.iter().map(move |&y| Point::new(x, y)))
            {
                let pose = self.settled(station, placed, at, turn);
                // What is pushed to a wall comes from many places to the same one.
                poses.extend(pose.filter(|pose| !wish.is_pushed() || !poses.contains(pose)));
            }
        }
        poses
    }

    /// The places one step of the grid away from where a station stands, and its other turns there.
    pub fn next_to(&self, station: StationId, placed: &Placement) -> Vec<Pose> {
        let step = self.problem.grid.step;
        let mut poses = Vec::new();
        for (x, y) in [
            (1, 0),
            (-1, 0),
            (0, 1),
            (0, -1),
            (1, 1),
            (1, -1),
            (-1, 1),
            (-1, -1),
        ] {
            let by = Point::new(f64::from(x), f64::from(y)) * step;
            poses.extend(self.settled(station, placed, placed.at + by, placed.turn));
        }
        for quarter in &QUARTERS[1..] {
            let turn = (placed.turn + quarter).rem_euclid(360.0);
            poses.extend(self.settled(station, placed, placed.at, turn));
        }
        poses
    }
}
