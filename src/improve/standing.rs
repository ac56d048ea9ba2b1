//! What a placement of all stations costs that is judged on boxes alone.
//!
//! A search tries thousands of moves of one or two stations, most of which it takes back. So what is known of the placement
//! as it is stays known: a move is charged with what costs anew, and adds up to the same to the last bit.

use super::dislike::Likes;
use super::ground::Lacks;
use super::spots::StationSpot;
use super::tries::SpotChange;
use crate::floor::Plan;
use crate::shop::StationId;

/// Stations that stand somewhere, as they are accepted or with a move that is tried.
#[derive(Debug)]
pub(super) struct StandingBoxes<'a> {
    boxes: PricedBoxes<'a>,
    /// Of what is accepted.
    known: KnownCosts,
    tried: Option<TriedSpots>,
}

/// Stations that stand somewhere, and what counts there.
#[derive(Debug)]
struct PricedBoxes<'a> {
    likes: &'a Likes<'a>,
    /// What something in the way counts, in metres of the mean trip.
    in_the_way: f64,
    spots: Vec<(StationId, StationSpot)>,
}

/// Costs by the indices of spots, as far as they have been asked for.
#[derive(Debug)]
struct KnownCosts {
    own: Vec<Option<f64>>,
    /// Of one spot with another: `both[one * spots + other]`.
    both: Vec<Option<f64>>,
    /// What machines take less than they should; nothing for what is not fed.
    less: Vec<f64>,
}

/// A move, and what is known after it.
#[derive(Debug)]
struct TriedSpots {
    /// Where stations stood before.
    old: Vec<(usize, StationSpot)>,
    own: Vec<(usize, f64)>,
    both: Vec<([usize; 2], f64)>,
    less: Vec<f64>,
}

impl<'a> StandingBoxes<'a> {
    /// Where something in the way counts so much, in metres of the mean trip.
    pub fn new(
        likes: &'a Likes<'a>,
        in_the_way: f64,
        spots: Vec<(StationId, StationSpot)>,
    ) -> StandingBoxes<'a> {
        let boxes = PricedBoxes {
            likes,
            in_the_way,
            spots,
        };
        StandingBoxes {
            known: KnownCosts::of(&boxes),
            boxes,
            tried: None,
        }
    }

    /// With a move that has been tried and not been taken back.
    pub fn spots(&self) -> &[(StationId, StationSpot)] {
        &self.boxes.spots
    }

    /// Lets something in the way count so much, in metres of the mean trip.
    pub fn set_price(&mut self, in_the_way: f64) {
        self.take_back();
        self.boxes.in_the_way = in_the_way;
        self.known = KnownCosts {
            less: std::mem::take(&mut self.known.less),
            ..KnownCosts::nothing(self.boxes.spots.len())
        };
    }

    /// Moves stations and says what that costs more. They stand there until that is taken back or another move is tried.
    pub fn try_move(&mut self, change: &SpotChange) -> f64 {
        self.take_back();
        let StandingBoxes { boxes, known, .. } = self;
        let count = boxes.spots.len();
        let KnownCosts { own, both, less } = known;
        let before = cost_of(
            (change, count),
            |one| *own[one].get_or_insert_with(|| boxes.own(one)),
            |one, other| *both[one * count + other].get_or_insert_with(|| boxes.both(one, other)),
        );
        let before = before + less.iter().sum::<f64>();
        let old = boxes.place(change);
        let mut tried = TriedSpots {
            less: boxes.less_after(&old, less),
            old,
            own: Vec::with_capacity(change.len()),
            both: Vec::with_capacity(change.len() * count),
        };
        let after = cost_of(
            (change, count),
            |one| {
                let cost = boxes.own(one);
                tried.own.push((one, cost));
                cost
            },
            |one, other| {
                let cost = boxes.both(one, other);
                tried.both.push(([one, other], cost));
                cost
            },
        );
        let after = after + tried.less.iter().sum::<f64>();
        self.tried = Some(tried);
        after - before
    }

    /// Accepts the move that was tried last.
    pub fn accept(&mut self) {
        let Some(tried) = self.tried.take() else {
            return;
        };
        let count = self.boxes.spots.len();
        for &(moved, _) in &tried.old {
            self.known.forget(moved);
        }
        for (one, cost) in tried.own {
            self.known.own[one] = Some(cost);
        }
        for ([one, other], cost) in tried.both {
            self.known.both[one * count + other] = Some(cost);
        }
        self.known.less = tried.less;
    }

    /// Takes the move back that was tried last, unless it has been accepted.
    pub fn take_back(&mut self) {
        if let Some(tried) = self.tried.take() {
            for (index, spot) in tried.old {
                self.boxes.spots[index].1 = spot;
            }
        }
    }

    /// What the accepted placement costs.
    pub fn cost(&mut self) -> f64 {
        self.take_back();
        let boxes = &self.boxes;
        let count = boxes.spots.len();
        let mut pairs = 0.0;
        for one in 0..count {
            for other in one + 1..count {
                let known = &mut self.known.both[one * count + other];
                pairs += *known.get_or_insert_with(|| boxes.both(one, other));
            }
        }
        let own = self.known.own.iter_mut().enumerate();
        let own = own.map(|(one, known)| *known.get_or_insert_with(|| boxes.own(one)));
        own.sum::<f64>() + pairs + self.known.less.iter().sum::<f64>()
    }
}

/// The plan with these stations where they stand here.
pub(super) fn placed_in(mut plan: Plan, spots: &[(StationId, StationSpot)]) -> Plan {
    for (station, spot) in spots {
        plan.placements[*station] = Some(spot.placement);
    }
    plan
}

/// What the stations of a change cost by themselves and with all others, each two of them once.
fn cost_of(
    (change, count): (&SpotChange, usize),
    mut own: impl FnMut(usize) -> f64,
    mut both: impl FnMut(usize, usize) -> f64,
) -> f64 {
    let is_in = |index: usize| change.iter().any(|&(changed, _)| changed == index);
    let mut sum = 0.0;
    for (at, &(index, _)) in change.iter().enumerate() {
        sum += own(index);
        let others = (0..count).filter(|&other| !is_in(other));
        sum += others.map(|other| both(index, other)).sum::<f64>();
        let rest = change[at + 1..].iter();
        sum += rest.map(|&(other, _)| both(index, other)).sum::<f64>();
    }
    sum
}

impl PricedBoxes<'_> {
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
        let back = Lacks::around(there, here, radius);
        self.likes.of_both((*one, here), (*next, there))
            + self.in_the_way * (lacks.sum() + back.strip + back.standing)
    }

    /// Moves stations and says where they stood.
    fn place(&mut self, change: &SpotChange) -> Vec<(usize, StationSpot)> {
        let old = change.iter().map(|&(index, placement)| {
            let (station, spot) = &mut self.spots[index];
            let new = self.likes.spot(*station, placement);
            (index, std::mem::replace(spot, new))
        });
        old.collect()
    }

    /// What machines take less after a move: as before, unless something moves in the line of one or it moves itself.
    fn less_after(&self, old: &[(usize, StationSpot)], before: &[f64]) -> Vec<f64> {
        let is_touched = |index: usize, machine: &StationSpot| {
            old.iter().any(|(moved, was)| {
                let mut moved_body = [was, &self.spots[*moved].1].into_iter();
                *moved == index || moved_body.any(|body| self.likes.is_in_line(machine, body))
            })
        };
        let spots = self.spots.iter().enumerate().zip(before);
        spots
            .map(
                |((index, (_, spot)), &less)| match is_touched(index, spot) {
                    true => self.likes.one_takes_less(index, &self.spots),
                    false => less,
                },
            )
            .collect()
    }
}

impl KnownCosts {
    fn of(boxes: &PricedBoxes<'_>) -> KnownCosts {
        let count = boxes.spots.len();
        let less = (0..count).map(|index| boxes.likes.one_takes_less(index, &boxes.spots));
        KnownCosts {
            less: less.collect(),
            ..KnownCosts::nothing(count)
        }
    }

    /// Of so many spots.
    fn nothing(count: usize) -> KnownCosts {
        KnownCosts {
            own: vec![None; count],
            both: vec![None; count * count],
            less: Vec::new(),
        }
    }

    /// What has moved costs something else.
    fn forget(&mut self, moved: usize) {
        let count = self.own.len();
        self.own[moved] = None;
        for other in 0..count {
            self.both[moved * count + other] = None;
            self.both[other * count + moved] = None;
        }
    }
}
