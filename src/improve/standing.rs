//! What a placement of all stations costs that is judged on boxes alone.

use super::dislike::Likes;
use super::ground::Lacks;
use super::spots::StationSpot;
use super::tries::SpotChange;
use crate::floor::Plan;
use crate::shop::StationId;

/// Stations that stand somewhere.
#[derive(Debug)]
pub(super) struct StandingBoxes<'a> {
    pub likes: &'a Likes<'a>,
    /// What something in the way counts, in metres of the mean trip.
    pub in_the_way: f64,
    pub spots: Vec<(StationId, StationSpot)>,
}

/// Where stations stood before a change, by their index among the spots.
pub(super) type OldSpots = Vec<(usize, StationSpot)>;

impl StandingBoxes<'_> {
    /// Moves stations and says what that costs more, and where they stood.
    pub fn moved(&mut self, change: &SpotChange) -> (f64, OldSpots) {
        let before = self.cost_of(change);
        let mut old = OldSpots::new();
        for &(index, placement) in change {
            let station = self.spots[index].0;
            let spot = self.likes.spot(station, placement);
            old.push((index, std::mem::replace(&mut self.spots[index].1, spot)));
        }
        (self.cost_of(change) - before, old)
    }

    pub fn put_back(&mut self, old: OldSpots) {
        for (index, spot) in old {
            self.spots[index].1 = spot;
        }
    }

    /// The plan with these stations where they stand here.
    pub fn placed_in(&self, mut plan: Plan) -> Plan {
        for (station, spot) in &self.spots {
            plan.placements[*station] = Some(spot.placement);
        }
        plan
    }

    fn own(&self, index: usize) -> f64 {
        let (station, spot) = &self.spots[index];
        let lacks = self.likes.ground.lacks(spot, self.likes.search.elbow());
        self.likes.own(*station, spot) + self.in_the_way * lacks.sum()
    }

    fn both(&self, index: usize, other: usize) -> f64 {
        let radius = self.likes.search.elbow();
        let ((one, here), (next, there)) = (&self.spots[index], &self.spots[other]);
        let lacks = Lacks::between(here, there, radius);
        // What the other one lacks, but for the body that both have counted.
        let back = Lacks::between(there, here, radius);
        self.likes.of_both((*one, here), (*next, there))
            + self.in_the_way * (lacks.sum() + back.strip + back.standing)
    }

    /// What changes with these stations.
    fn cost_of(&self, change: &SpotChange) -> f64 {
        let is_in = |index: usize| change.iter().any(|&(changed, _)| changed == index);
        let mut sum = 0.0;
        for (at, &(index, _)) in change.iter().enumerate() {
            sum += self.own(index);
            let others = (0..self.spots.len()).filter(|&other| !is_in(other));
            sum += others.map(|other| self.both(index, other)).sum::<f64>();
            let rest = change[at + 1..].iter();
            sum += rest.map(|&(other, _)| self.both(index, other)).sum::<f64>();
        }
        // Whatever moves may come into the way of any machine.
        sum + self.likes.all_take_less(&self.spots)
    }

    pub fn cost(&self) -> f64 {
        let count = self.spots.len();
        let pairs = (0..count).flat_map(|one| (one + 1..count).map(move |other| (one, other)));
        let pairs: f64 = pairs.map(|(one, other)| self.both(one, other)).sum();
        let own: f64 = (0..count).map(|index| self.own(index)).sum();
        own + pairs + self.likes.all_take_less(&self.spots)
    }
}
