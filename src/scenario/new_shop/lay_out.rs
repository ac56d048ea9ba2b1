//! From what is wanted to a text: the stations are placed, and what finds no place is given up step by step.

use rayon::prelude::*;

use super::concessions::Concessions;
use super::habits::{habit, is_folded};
use super::length::INCH;
use super::machines::SaidStation;
use super::sketch::{Sketch, SketchedLayout, SketchedStation};
use super::stopwatch::TakenTimes;
use super::work::{Abilities, AbleStation, PlannedProject, planned};
use super::{Complaint, NewShop, Wish, complaint};
use crate::experiment::{Candidate, Replications, Units, flow, run};
use crate::floor::{Flow, Going, Plan, Pose, Site};
use crate::improve::{
    Arrangement, Habit, Moving, PlaceSearch, SpotGrid, arrange, cost, metres, orders, shorten,
};
use crate::scenario::load_to_check;
use crate::shop::{StationId, Table};

/// Where something has found no place, the orders are tried again with that first and with less elbow room for all; at
/// last something is given up.
const ELBOW_ROOM: [f64; 2] = [0.4, 0.15];

/// Where only one order has placed the most, it is tried with other elbow room for a second layout.
const CLOSER: [f64; 4] = [0.7, 0.3, 0.2, 0.05];

/// What was placed early is placed once more when everything stands.
const SETTLING: Moving = Moving {
    comfort: 1.0,
    most: usize::MAX,
    rounds: 2,
};

/// The second layout is another way to stand for a few stations, by which less is walked.
const SHORTENING: Moving = Moving {
    comfort: 0.2,
    most: 5,
    rounds: 2,
};

/// Replications that say what is walked.
const PLAYED: u32 = 5;

const FIRST: &str = "usual places";
const SHORTER: &str = "shorter ways";
const OTHER: &str = "other places";

/// Places everything and writes it down.
///
/// # Errors
/// That nothing can be placed.
pub fn lay_out(wish: &Wish) -> Result<NewShop, Complaint> {
    let mut conceded = Concessions::default();
    loop {
        let sketch = sketch(wish, &conceded);
        if sketch
            .stations
            .iter()
            .all(|station| station.nowhere.is_some())
        {
            return Err(complaint(
                "nothing of this finds a place in the room",
                "give the room as it is inside, or fewer and smaller machines",
            ));
        }
        let ground = BareShop::read(&sketch)?;
        let arrangements = ground.arranged();
        if conceded.concede(wish, &sketch, &arrangements[0]) {
            continue;
        }
        return Ok(written(&sketch, &ground, &arrangements));
    }
}

fn sketch<'w>(wish: &'w Wish, conceded: &Concessions) -> Sketch<'w> {
    let out = |index: usize| conceded.out.iter().find(|(station, _)| *station == index);
    let stations = wish.stations.iter().enumerate();
    let doors = Sketch::door_names(wish);
    let abilities = Abilities {
        stations: stations
            .clone()
            .map(|(index, said)| AbleStation {
                name: &said.name,
                kind: said.kind,
                is_out: out(index).is_some(),
            })
            .collect(),
        sheets_come_cut: conceded.sheets_come_cut,
        boards_come_cut: conceded.boards_come_cut,
        door: &doors[0],
    };
    let project: PlannedProject = planned(&wish.project, &abilities, wish.longest, wish.room.units);
    let sketched = stations.map(|(index, said)| {
        let mut station = SketchedStation {
            said: said.clone(),
            size: None,
            size_because: "",
            never: Vec::new(),
            taken: Vec::new(),
            nowhere: out(index).map(|(_, why)| why.clone()),
        };
        if is_folded(said.kind) {
            station.size = Some((0.0, 0.0));
            station.size_because = "folded away while it is not used";
        } else if conceded.small.contains(&index) {
            let [width, depth] = said.kind.size.map(|figure| figure.least * INCH);
            station.size = Some((width, depth));
            station.size_because = "as small as they come, or it finds no place";
        }
        let never = project.never.iter().filter(|(other, _)| *other == index);
        station.never = never.map(|(_, operation)| *operation).collect();
        if station.nowhere.is_some() {
            // What stands nowhere does nothing that somebody asks for.
            let does = said.kind.does.iter().map(|does| does.name);
            station.never = does.filter(|name| project.used.contains(name)).collect();
        }
        let taken = wish.times.iter().filter(|taken| taken.station == index);
        let taken = taken.filter(|taken| !station.never.contains(&taken.operation));
        station.taken = taken.map(|taken| observed(taken, said)).collect();
        station
    });
    Sketch {
        stations: sketched.collect(),
        wish,
        project,
    }
}

/// Times taken with a watch, of a lot or of each piece, as it is usual for the operation.
fn observed(taken: &TakenTimes, said: &SaidStation) -> String {
    let mut does = said.kind.does.iter();
    let usual = does.find(|does| does.name == taken.operation);
    let per = match usual.is_some_and(|usual| usual.per_lot.is_some()) {
        true => "per lot",
        false => "per piece",
    };
    let seconds = taken.seconds.iter().map(|seconds| format!("{seconds} s"));
    let seconds: Vec<String> = seconds.collect();
    format!(
        "{}: {{{per}: {{observed: [{}]}}}}",
        taken.operation,
        seconds.join(", ")
    )
}

/// What the stations are placed on: the file with everything in a row, and what is walked between them.
struct BareShop {
    candidate: Candidate,
    /// The stations as they are, wherever they stand, for people who walk around them.
    like: Plan,
    flow: Flow,
    habits: Table<StationId, Habit>,
    units: Units,
}

impl BareShop {
    fn read(sketch: &Sketch<'_>) -> Result<BareShop, Complaint> {
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
        let stations = sketch.stations.iter();
        let longest = sketch.wish.longest;
        Ok(BareShop {
            flow: flow(&findings.candidates[0].legs),
            habits: stations
                .map(|station| habit(station.said.kind, longest))
                .collect(),
            units: sketch.wish.room.units,
            candidate,
            like,
        })
    }

    fn with_search<T>(&self, look: impl FnOnce(&PlaceSearch<'_>) -> T) -> T {
        let site = Site::new(&self.candidate.shop, &self.like, &self.candidate.limits);
        let grid = match self.units {
            Units::Imperial => SpotGrid {
                unit: INCH / 2.0,
                step: 6,
            },
            Units::Metric => SpotGrid {
                unit: 0.01,
                step: 8,
            },
        };
        look(&PlaceSearch {
            site: &site,
            flow: &self.flow,
            habits: &self.habits,
            grid,
            elbow_room: 1.0,
        })
    }

    /// What comes of several orders of placing, the best first: where most finds a place, and that where it is liked best.
    /// What has found no place comes earlier in a further order.
    fn arranged(&self) -> Vec<Arrangement> {
        self.with_search(|search| {
            let look = |(order, elbow_room): &(Vec<StationId>, f64)| {
                let closer = PlaceSearch {
                    elbow_room: *elbow_room,
                    ..*search
                };
                let arrangement = arrange(&closer, &self.like, order);
                let left = arrangement.left_out.iter();
                Looked {
                    order: order.clone(),
                    loss: left.map(|&(station, _)| search.loss(station)).sum(),
                    cost: cost(search, &arrangement.plan),
                    arrangement,
                }
            };
            let mut next: Vec<(Vec<StationId>, f64)> =
                orders(search, &self.like).map(|order| (order, 1.0)).into();
            let mut all: Vec<Looked> = Vec::new();
            for elbow_room in ELBOW_ROOM {
                let looked: Vec<Looked> = next.par_iter().map(look).collect();
                let again = next.iter().zip(&looked).map(|((order, _), looked)| {
                    let left = looked.arrangement.left_out.iter();
                    let left: Vec<StationId> = left.map(|&(station, _)| station).collect();
                    let others = order.iter().filter(|station| !left.contains(station));
                    let order = left.iter().chain(others).copied().collect();
                    (order, elbow_room)
                });
                next = again.collect();
                next.dedup();
                all.extend(looked);
                // The sort is stable: of equals the earlier order comes first.
                all.sort_by(|one, other| {
                    let by_loss = one.loss.total_cmp(&other.loss);
                    by_loss.then(one.cost.total_cmp(&other.cost))
                });
                if all[0].loss == 0.0 {
                    break;
                }
            }
            // Two layouts are wanted, both with all that finds a place.
            if all.len() > 1 && all[1].loss > all[0].loss {
                let others = CLOSER.map(|elbow_room| (all[0].order.clone(), elbow_room));
                let looked: Vec<Looked> = others.par_iter().map(look).collect();
                all.extend(looked);
            }
            all.into_iter().map(|looked| looked.arrangement).collect()
        })
    }

    /// The best arrangement with everything where it costs least, and another one by which less is walked: that with a
    /// few moves, or what another order of placing has led to, if they walk less or nothing does.
    fn two_layouts(&self, arrangements: &[Arrangement]) -> (Plan, Option<SecondLayout>) {
        self.with_search(|search| {
            let first = shorten(search, &arrangements[0].plan, SETTLING);
            let mut plans = vec![(SHORTER, shorten(search, &first, SHORTENING))];
            let as_many = arrangements.iter().skip(1);
            let as_many = as_many.filter(|other| {
                let placed = |plan: &Plan| -> Vec<bool> {
                    plan.placements.iter().map(Option::is_some).collect()
                };
                placed(&other.plan) == placed(&first)
            });
            for other in as_many {
                plans.push((OTHER, shorten(search, &other.plan, SETTLING)));
            }
            plans.retain(|(_, plan)| plan.placements != first.placements);
            let metres = |plan: &Plan| metres(search, plan);
            let walked = metres(&first);
            let less = plans
                .iter()
                .position(|(_, plan)| metres(plan) < LESS * walked);
            let second = match less {
                Some(shorter) => Some((SHORTER, plans.swap_remove(shorter).1)),
                None => plans.into_iter().last(),
            };
            let second = second.map(|(name, plan)| SecondLayout { name, plan });
            (first, second)
        })
    }
}

/// What an order of placing has led to.
struct Looked {
    order: Vec<StationId>,
    /// What is left out.
    loss: f64,
    cost: f64,
    arrangement: Arrangement,
}

/// The second layout is worth looking at where this share of the walking is left, or less.
const LESS: f64 = 0.98;

struct SecondLayout {
    name: &'static str,
    plan: Plan,
}

fn written(sketch: &Sketch<'_>, ground: &BareShop, arrangements: &[Arrangement]) -> NewShop {
    let (plan, second) = ground.two_layouts(arrangements);
    let poses = |plan: &Plan| -> Vec<(usize, Pose)> {
        let placed = plan.placements.enumerate();
        let placed = placed.filter_map(|(station, placement)| {
            let placement = placement.as_ref()?;
            let pose = Pose {
                at: placement.at,
                turn: placement.turn,
            };
            Some((station.index(), pose))
        });
        placed.collect()
    };
    let first = poses(&plan);
    let mut layouts = Vec::new();
    let moved = second.map(|second| {
        let moved = poses(&second.plan).into_iter();
        let moved: Vec<(usize, Pose)> = moved.filter(|place| !first.contains(place)).collect();
        (second.name, moved)
    });
    layouts.push(SketchedLayout::Placed {
        name: FIRST,
        like: None,
        because: "by habit: along the walls what belongs there, in the open what long boards are fed through",
        at: first,
    });
    layouts.extend(moved.map(|(name, at)| SketchedLayout::Placed {
        name,
        like: Some(FIRST),
        because: match name {
            SHORTER => "some stand elsewhere, so that less is walked",
            _ => "some stand elsewhere: another way to fill the room",
        },
        at,
    }));
    let mut said = Vec::new();
    let wish = sketch.wish;
    for station in &sketch.stations {
        if let Some(why) = &station.nowhere {
            said.push(format!("{} stands nowhere yet: {why}.", station.said.name));
        }
    }
    for taken in &wish.times {
        let station = &sketch.stations[taken.station];
        if station.never.contains(&taken.operation) {
            said.push(format!(
                "The times of {} at {} are left out: it is done elsewhere.",
                taken.operation, station.said.name
            ));
        }
    }
    if !sketch.project.missing.is_empty() {
        said.push(format!(
            "Nothing here can {}: the routes go without.",
            sketch.project.missing.join(" or ")
        ));
    }
    NewShop {
        stations: sketch.stations.len(),
        layouts: layouts.len(),
        text: sketch.text(&layouts),
        said,
    }
}
