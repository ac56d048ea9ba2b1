//! The stations of a new shop in their room: what is walked between them, and where they find a place.

use rayon::prelude::*;

use super::Complaint;
use super::habits::habits;
use super::length::INCH;
use super::sketch::{Sketch, SketchedLayout};
use crate::experiment::{Candidate, Replications, Units, flow, run};
use crate::floor::{Flow, Going, Plan, Site};
use crate::improve::{
    Affinity, Arrangement, Habit, Moving, PlaceSearch, Rating, SpotGrid, arrange, hang, orders,
    polish, rearrange, shorten, unhung,
};
use crate::random::Key;
use crate::scenario::kinds::StationKind;
use crate::scenario::load_to_check;
use crate::shop::{StationId, Table};

/// Where something has found no place, the orders are tried again with that first and with less elbow room for all; at
/// last something is given up.
const ELBOW_ROOM: [f64; 2] = [0.4, 0.15];

/// The second layout is another way to stand for a few stations, by which less is walked.
const SHORTENING: Moving = Moving {
    comfort: 0.2,
    most: 5,
    rounds: 2,
};

/// How often each station is moved while it is looked for what finds a place, and when all does.
const FIRST_MOVES: usize = 1500;
const MORE_MOVES: usize = 5000;

/// How often each is moved by the rules at last.
const POLISHING: usize = 400;

/// Where there are many stations, each is moved less often, so that all of them together are moved no more than this:
/// while it is looked for what finds a place, when all does, and by the rules.
const MOST_FIRST_MOVES: usize = 40_000;
const MOST_MORE_MOVES: usize = 90_000;
const MOST_POLISHING: usize = 8_000;

/// How much elbow room counts where it is annealed once more, and how many of all that is found are polished.
const ANNEALED_WITH: [f64; 4] = [1.0, 1.0, 0.5, 0.25];
const POLISHED: usize = 4;

/// And the third one, which is only shown, moves a single one.
const ONE_MOVE: Moving = Moving {
    comfort: 0.2,
    most: 1,
    rounds: 1,
};

/// Replications that say what is walked.
const PLAYED: u32 = 5;

/// Where stations are tried: every 6 in, or every 15 cm.
pub(super) fn spot_grid(units: Units) -> SpotGrid {
    match units {
        Units::Imperial => SpotGrid {
            unit: INCH / 2.0,
            step: 12,
        },
        Units::Metric => SpotGrid {
            unit: 0.01,
            step: 15,
        },
    }
}

/// What the stations are placed on: the file with everything in a row, and what is walked between them.
pub struct BareShop {
    candidate: Candidate,
    /// The stations as they are, wherever they stand, for people who walk around them.
    like: Plan,
    flow: Flow,
    habits: Table<StationId, Habit>,
    affinities: Vec<Affinity>,
    units: Units,
}

impl BareShop {
    pub fn read(sketch: &Sketch<'_>) -> Result<BareShop, Complaint> {
        let text = sketch.text(&[SketchedLayout::Row]);
        let wrong = |what: String| Complaint { what, hint: None };
        let loaded = load_to_check("the new file", text.as_bytes());
        let mut study = loaded
            .map_err(|problems| wrong(problems.render(false)))?
            .study;
        study.settings.replications = Replications::Fixed(PLAYED);
        let findings =
            run(&study, 0, &|_| ()).map_err(|_| wrong("the work gets stuck".to_owned()))?;
        let candidate = study.candidates.swap_remove(0);
        let like = match &candidate.plan {
            Some(plan) => Plan {
                going: Going::Around,
                ..plan.clone()
            },
            None => return Err(wrong("the room is none".to_owned())),
        };
        let kinds = sketch.stations.iter();
        let kinds: Vec<Option<&StationKind>> =
            kinds.map(|station| Some(station.said.kind)).collect();
        let (habits, affinities) = habits(&kinds, sketch.wish.longest);
        Ok(BareShop {
            flow: flow(&findings.candidates[0].legs),
            habits,
            affinities,
            units: sketch.wish.room.units,
            candidate,
            like,
        })
    }

    fn with_search<T>(&self, look: impl FnOnce(&PlaceSearch<'_>) -> T) -> T {
        let site = Site::new(&self.candidate.shop, &self.like, &self.candidate.limits);
        look(&PlaceSearch {
            site: &site,
            flow: &self.flow,
            habits: &self.habits,
            affinities: &self.affinities,
            grid: spot_grid(self.units),
            elbow_room: 1.0,
        })
    }

    /// What comes of several orders of placing and of annealing what they lead to, the best first: where most finds a
    /// place, and that where least speaks against it. What has found no place comes earlier in a further round.
    pub fn arranged(&self, rounds: usize) -> Vec<Arrangement> {
        self.with_search(|search| {
            let mut all = self.placed(search, rounds);
            if all[0].loss == 0.0 {
                all.extend(self.annealed(search, &all[0]));
                all.sort_by(Looked::compare);
                all.retain(|looked| looked.loss == 0.0);
                all.dedup_by(|one, other| {
                    one.arrangement.plan.placements == other.arrangement.plan.placements
                });
                all.truncate(POLISHED);
                let polished: Vec<Looked> = (all.par_iter().enumerate())
                    .map(|(number, looked)| self.polished(search, looked, number))
                    .collect();
                all.extend(polished);
                // The sort is stable: of equals what was not polished comes first.
                all.sort_by(Looked::compare);
            }
            all.into_iter().map(|looked| looked.arrangement).collect()
        })
    }

    /// How often each station is moved where all together are moved no more than `most`.
    fn of_each(&self, moves: usize, most: usize) -> usize {
        moves.min(most / self.like.placements.len().max(1))
    }

    /// Where all find a place if they can, one after the other or annealed.
    fn placed(&self, search: &PlaceSearch<'_>, rounds: usize) -> Vec<Looked> {
        let closer = |elbow_room: f64| PlaceSearch {
            elbow_room,
            ..*search
        };
        let look = |(order, elbow_room): &(Vec<StationId>, f64)| {
            let arrangement = arrange(&closer(*elbow_room), &self.like, order);
            Looked::at(search, &self.like, order.clone(), arrangement)
        };
        let mut next: Vec<(Vec<StationId>, f64)> =
            orders(search, &self.like).map(|order| (order, 1.0)).into();
        next.dedup();
        let mut all: Vec<Looked> = Vec::new();
        for elbow_room in ELBOW_ROOM.into_iter().take(rounds) {
            let mut looked: Vec<Looked> = next.par_iter().map(look).collect();
            // What does not nearly fit is given up at once, as long as there is something to give up.
            if best_of(&looked).arrangement.left_out.len() > FAR_FROM_ALL * rounds {
                looked.sort_by(Looked::compare);
                return looked;
            }
            let best = best_of(&looked);
            let starts = [1.0, elbow_room];
            let annealed: Vec<Looked> = (starts.par_iter().enumerate())
                .map(|(number, &elbow_room)| {
                    let draws = (drawn(number), self.of_each(FIRST_MOVES, MOST_FIRST_MOVES));
                    let from = &best.arrangement.plan;
                    let arrangement = rearrange(&closer(elbow_room), &self.like, from, draws);
                    Looked::at(search, &self.like, best.order.clone(), arrangement)
                })
                .collect();
            let further = next.iter().zip(&looked).map(|((order, _), looked)| {
                let left = looked.arrangement.left_out.iter();
                let left: Vec<StationId> = left.map(|&(station, _)| station).collect();
                let others = order.iter().filter(|station| !left.contains(station));
                let order = left.iter().chain(others).copied().collect();
                (order, elbow_room)
            });
            next = further.collect();
            next.dedup();
            all.append(&mut looked);
            all.extend(annealed);
            // The sort is stable: of equals the earlier order comes first.
            all.sort_by(Looked::compare);
            if all[0].loss == 0.0 {
                break;
            }
        }
        all
    }

    /// Annealed at leisure, since all find a place.
    fn annealed(&self, search: &PlaceSearch<'_>, from: &Looked) -> Vec<Looked> {
        let annealed = ANNEALED_WITH.par_iter().enumerate();
        let annealed = annealed.map(|(number, &elbow_room)| {
            let closer = PlaceSearch {
                elbow_room,
                ..*search
            };
            let draws = (
                drawn(MORE + number),
                self.of_each(MORE_MOVES, MOST_MORE_MOVES),
            );
            let from_plan = &from.arrangement.plan;
            let arrangement = rearrange(&closer, &self.like, from_plan, draws);
            Looked::at(search, &self.like, from.order.clone(), arrangement)
        });
        annealed.collect()
    }

    /// With small moves by the rules, what hangs being hung again.
    fn polished(&self, search: &PlaceSearch<'_>, looked: &Looked, number: usize) -> Looked {
        let draws = (
            drawn(POLISH + number),
            self.of_each(POLISHING, MOST_POLISHING),
        );
        let arrangement = Arrangement {
            plan: polish(search, &unhung(&looked.arrangement.plan), draws),
            left_out: Vec::new(),
        };
        Looked::at(search, &self.like, looked.order.clone(), arrangement)
    }

    /// The best arrangement, and another one by which less is walked: that with a few moves, or what another order of
    /// placing has led to, if they walk less or nothing does.
    pub fn two_layouts(&self, arrangements: &[Arrangement]) -> (Plan, Option<SecondLayout>) {
        self.with_search(|search| {
            let placed = |plan: &Plan| -> Vec<bool> {
                plan.placements.iter().map(Option::is_some).collect()
            };
            let first = arrangements[0].plan.clone();
            let rating = Rating::of(search, &first);
            // What stands is moved, and what hangs is hung again.
            let standing = shorten(search, &unhung(&first), SHORTENING);
            let shorter = hang(search, &self.like, &standing).0;
            let others = arrangements[1..].iter().map(|other| &other.plan);
            let others: Vec<(Rating, &Plan)> = [&shorter]
                .into_iter()
                .chain(others)
                .filter(|plan| placed(plan) == placed(&first))
                .filter(|plan| plan.placements != first.placements)
                .map(|plan| (Rating::of(search, plan), plan))
                .collect();
            let best = |is_wanted: &dyn Fn(&Rating) -> bool| {
                let wanted = others.iter().filter(|(rating, _)| is_wanted(rating));
                wanted.min_by(|(one, _), (other, _)| one.compare(other))
            };
            let is_shorter = |other: &Rating| other.metres < LESS * rating.metres;
            let is_sound = |other: &Rating| {
                other.faults <= rating.faults && other.idle_machines <= rating.idle_machines
            };
            // Less walking is worth looking at where nothing gets worse, or else only a little.
            let found = best(&|other| is_shorter(other) && other.findings() <= rating.findings())
                .or_else(|| {
                    best(&|other| {
                        is_shorter(other) && is_sound(other) && other.unhandy <= rating.unhandy + 1
                    })
                })
                .or_else(|| best(&is_sound));
            let second = found.map(|(other, plan)| SecondLayout {
                is_shorter: is_shorter(other),
                plan: (*plan).clone(),
            });
            (first, second)
        })
    }

    /// A plan with a single station in another place, by which less is walked, or else where it stands in another plan;
    /// with no more faults.
    pub fn one_moved(&self, from: &Plan, other: Option<&Plan>) -> Option<Plan> {
        self.with_search(|search| {
            let faults = Rating::of(search, from).faults;
            let is_sound = |plan: &Plan| Rating::of(search, plan).faults <= faults;
            let shorter = shorten(search, from, ONE_MOVE);
            if shorter.placements != from.placements && is_sound(&shorter) {
                return Some(shorter);
            }
            let elsewhere = other?.placements.enumerate();
            let mut moved = elsewhere.filter_map(|(station, place)| {
                let mut plan = from.clone();
                plan.placements[station] = *place;
                (plan.placements != from.placements && is_sound(&plan)).then_some(plan)
            });
            moved.next()
        })
    }
}

/// Where so many stations find no place at first, a room is full.
const FAR_FROM_ALL: usize = 2;

/// The seed of all that is drawn: the same room and machines give the same file.
const DRAWN: u64 = 1;

/// What is annealed once more, and what is polished, have other random numbers.
const MORE: usize = 10;
const POLISH: usize = 20;

fn drawn(number: usize) -> Key {
    Key::from_seed(DRAWN).with(number as u64)
}

/// Where most has found a place, and of equals that against which least speaks.
fn best_of(looked: &[Looked]) -> &Looked {
    let mut best = &looked[0];
    for other in &looked[1..] {
        if other.compare(best).is_lt() {
            best = other;
        }
    }
    best
}

/// What an order of placing has led to.
struct Looked {
    order: Vec<StationId>,
    /// What is left out.
    loss: f64,
    rating: Rating,
    arrangement: Arrangement,
}

impl Looked {
    /// With what hangs, which is hung when everything stands.
    fn at(
        search: &PlaceSearch<'_>,
        like: &Plan,
        order: Vec<StationId>,
        arrangement: Arrangement,
    ) -> Looked {
        let (plan, unhung) = hang(search, like, &arrangement.plan);
        let left_out: Vec<_> = arrangement.left_out.into_iter().chain(unhung).collect();
        let left = left_out.iter();
        Looked {
            order,
            loss: left.map(|&(station, _)| search.loss(station)).sum(),
            rating: Rating::of(search, &plan),
            arrangement: Arrangement { plan, left_out },
        }
    }

    fn compare(&self, other: &Looked) -> std::cmp::Ordering {
        let by_loss = self.loss.total_cmp(&other.loss);
        by_loss.then_with(|| self.rating.compare(&other.rating))
    }
}

/// The second layout is worth looking at where this share of the walking is left, or less.
const LESS: f64 = 0.98;

/// A layout beside the first one.
pub struct SecondLayout {
    /// Whether less is walked in it.
    pub is_shorter: bool,
    pub plan: Plan,
}
