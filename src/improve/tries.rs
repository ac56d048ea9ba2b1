//! Where stations may go instead: moves of one or two at random, such as somebody tries who draws a plan.

use super::dislike::Likes;
use super::spots::{StationSpot, behind, half_of};
use crate::floor::{Placement, Point};
use crate::random::Key;
use crate::shop::StationId;

/// Where stations go, by their index among the spots.
pub(super) type SpotChange = Vec<(usize, Placement)>;

/// Draws moves.
#[derive(Debug)]
pub(super) struct Tries<'a> {
    likes: &'a Likes<'a>,
    key: Key,
    drawn: u64,
}

impl<'a> Tries<'a> {
    pub fn new(likes: &'a Likes<'a>, key: Key) -> Tries<'a> {
        Tries {
            likes,
            key,
            drawn: 0,
        }
    }

    /// From 0 to 1.
    pub fn uniform(&mut self) -> f64 {
        self.drawn += 1;
        self.key.with(self.drawn).uniform()
    }

    /// One of so many.
    fn one_of(&mut self, many: usize) -> usize {
        ((self.uniform() * many as f64) as usize).min(many - 1)
    }

    /// Somewhere else for one station or two.
    pub fn change(&mut self, spots: &[(StationId, StationSpot)], left: f64) -> SpotChange {
        let index = self.one_of(spots.len());
        let (station, spot) = &spots[index];
        let (station, old) = (*station, spot.placement);
        let leader = self.likes.search.habits[station].follows;
        let leader = leader.and_then(|leader| index_of(spots, leader));
        let kind = self.uniform();
        if let Some(leader) = leader
            && kind < 0.3
        {
            let machine = spots[leader].1.placement;
            return vec![(
                index,
                self.right_behind(&spots[index].1.placement, &machine),
            )];
        }
        if kind < 0.12 && spots.len() > 1 {
            let other = (index + 1 + self.one_of(spots.len() - 1)) % spots.len();
            return self.swapped(spots, index, other);
        }
        let mut new = old;
        if kind < 0.3 {
            new.turn = [0.0, 90.0, 180.0, 270.0][self.one_of(4)];
        }
        new.at = match kind {
            _ if kind < 0.65 => {
                let room = self.likes.ground.room;
                let far = (room.high - room.low) * (0.5 * left * left + 0.01);
                let by = Point::new(self.uniform() - 0.5, self.uniform() - 0.5);
                old.at + Point::new(by.x * far.x, by.y * far.y) * 2.0
            }
            _ if kind < 0.75 => {
                // Beside something else, edge to edge.
                let other = self.one_of(spots.len());
                self.beside(spots, &new, other)
            }
            _ => self.at_a_wall(&mut new),
        };
        new.at = self.kept_inside(&new, new.at);
        let mut change = vec![(index, new)];
        // What stands behind a machine goes along with it.
        for (follower, (other, at)) in spots.iter().enumerate() {
            let follows = self.likes.search.habits[*other].follows;
            if follows == Some(station) && follower != index {
                change.push((follower, self.right_behind(&at.placement, &new)));
            }
        }
        change
    }

    fn right_behind(&self, like: &Placement, machine: &Placement) -> Placement {
        let mut placement = *like;
        placement.turn = machine.turn;
        placement.at = self.kept_inside(
            &placement,
            behind(&placement, machine, self.likes.search.grid.unit),
        );
        placement
    }

    fn swapped(&self, spots: &[(StationId, StationSpot)], one: usize, other: usize) -> SpotChange {
        let [here, there] = [one, other].map(|index| spots[index].1.placement);
        let moved = |placement: Placement, to: Placement| {
            let moved = Placement {
                turn: to.turn,
                ..placement
            };
            Placement {
                at: self.kept_inside(&moved, to.at),
                ..moved
            }
        };
        vec![(one, moved(here, there)), (other, moved(there, here))]
    }

    /// Edge to edge with something, at one of its sides.
    fn beside(
        &mut self,
        spots: &[(StationId, StationSpot)],
        new: &Placement,
        other: usize,
    ) -> Point {
        let half = half_of(new.size, new.turn);
        let Some(body) = spots[other].1.body else {
            return new.at;
        };
        let area = body.area;
        let along = self.uniform();
        let between = |low: f64, high: f64| low + along * (high - low);
        match self.one_of(4) {
            0 => Point::new(area.low.x - half.x, between(area.low.y, area.high.y)),
            1 => Point::new(area.high.x + half.x, between(area.low.y, area.high.y)),
            2 => Point::new(between(area.low.x, area.high.x), area.low.y - half.y),
            _ => Point::new(between(area.low.x, area.high.x), area.high.y + half.y),
        }
    }

    /// With its back to a wall, one of four.
    fn at_a_wall(&mut self, new: &mut Placement) -> Point {
        // The back is the side of +y: turned by a quarter it looks to the left.
        let wall = self.one_of(4);
        new.turn = [0.0, 90.0, 180.0, 270.0][wall];
        if new.feed.is_some() {
            // Any side may be the one at the wall.
            new.turn = [0.0, 90.0, 180.0, 270.0][self.one_of(4)];
        }
        let room = self.likes.ground.room;
        let along = self.uniform();
        let (x, y) = (
            room.low.x + along * (room.high.x - room.low.x),
            room.low.y + along * (room.high.y - room.low.y),
        );
        match wall {
            0 => Point::new(x, room.high.y),
            1 => Point::new(room.low.x, y),
            2 => Point::new(x, room.low.y),
            _ => Point::new(room.high.x, y),
        }
    }

    /// The nearest place of the grid at which a body is in the room.
    pub fn kept_inside(&self, placement: &Placement, at: Point) -> Point {
        let room = self.likes.ground.room;
        let half = half_of(placement.size, placement.turn);
        let unit = self.likes.search.grid.unit;
        let kept = |at: f64, low: f64, high: f64| {
            let (first, last) = ((low / unit - 1e-6).ceil(), (high / unit + 1e-6).floor());
            match first > last {
                true => (low + high) / 2.0,
                false => (at / unit).round().clamp(first, last) * unit,
            }
        };
        Point::new(
            kept(at.x, room.low.x + half.x, room.high.x - half.x),
            kept(at.y, room.low.y + half.y, room.high.y - half.y),
        )
    }
}

fn index_of(spots: &[(StationId, StationSpot)], station: StationId) -> Option<usize> {
    spots.iter().position(|(other, _)| *other == station)
}
