//! What somebody reckons from the printed numbers, with pencil and paper: nothing of it is the program's.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use shopstride::lesson::{
    BrokenRule, LineExercise, Mistake, PieceSpot, RedesignExercise, TwoWaysExercise,
    WalkingExercise,
};

pub struct Walk {
    /// Trips and metres on both plans, by from and to.
    pub cells: BTreeMap<(usize, usize), (i64, [i64; 2])>,
    /// With empty hands as well, in the day.
    pub walked: [i64; 2],
}

pub fn walk(exercise: &WalkingExercise) -> Walk {
    let mut proposed = exercise.today.clone();
    let (one, other) = exercise.exchanged;
    (proposed[one], proposed[other]) = (exercise.today[other], exercise.today[one]);
    let plans = [exercise.today.clone(), proposed];
    let mut cells = BTreeMap::new();
    for part in &exercise.parts {
        let mut trips = part.pieces / exercise.carried;
        if part.pieces % exercise.carried > 0 {
            trips += 1;
        }
        for (&from, &to) in part.route.iter().zip(&part.route[1..]) {
            let (all, metres) = cells.entry((from, to)).or_insert((0, [0; 2]));
            *all += trips;
            for (plan, metres) in metres.iter_mut().enumerate() {
                *metres += trips * blocks(plans[plan][from], plans[plan][to]);
            }
        }
    }
    let walked = [&plans[0], &plans[1]].map(|points| one_day(exercise, points));
    Walk { cells, walked }
}

/// Along the lines of the grid.
fn blocks((x, y): (i64, i64), (u, v): (i64, i64)) -> i64 {
    (x - u).abs() + (y - v).abs()
}

/// Metres that one person walks in a day who always takes what has been ready longest, then the product begun first,
/// then the part listed first; each step of work takes a minute.
fn one_day(exercise: &WalkingExercise, points: &[(i64, i64)]) -> i64 {
    // (Ready at, product, part, step that is done), the first of which is next.
    let mut ready = BTreeSet::new();
    for product in 0..exercise.products {
        for part in 0..exercise.parts.len() {
            ready.insert((0, product, part, 0));
        }
    }
    let (mut now, mut here, mut walked) = (0, 0, 0);
    while let Some((_, product, part, step)) = ready.pop_first() {
        let way = &exercise.parts[part];
        let (from, to) = (way.route[step], way.route[step + 1]);
        let trips = (way.pieces + exercise.carried - 1) / exercise.carried;
        let metres =
            blocks(points[here], points[from]) + (2 * trips - 1) * blocks(points[from], points[to]);
        walked += metres;
        now += metres + 60;
        here = to;
        if step + 2 < way.route.len() {
            ready.insert((now, product, part, step + 1));
        }
    }
    walked
}

/// A line of machines, minute by minute.
#[derive(Default)]
pub struct Line {
    pub visits: Vec<Vec<(i64, i64)>>,
    pub leads: Vec<i64>,
    pub all_done: i64,
    /// Minutes of use and of waiting, by machine; minutes that all orders together are there.
    pub busy: Vec<i64>,
    pub queued: Vec<i64>,
    pub order_minutes: i64,
}

pub fn line(exercise: &LineExercise, one_more: Option<usize>) -> Line {
    let (orders, machines) = (exercise.arrivals.len(), exercise.minutes.len());
    let mut found = Line {
        visits: vec![vec![(0, 0); machines]; orders],
        leads: vec![0; orders],
        busy: vec![0; machines],
        queued: vec![0; machines],
        ..Line::default()
    };
    let mut queues = vec![VecDeque::new(); machines];
    // Orders at a machine, with the minutes that they still take.
    let mut at_work: Vec<Vec<(usize, i64)>> = vec![Vec::new(); machines];
    let (mut minute, mut left) = (0, orders);
    while left > 0 {
        for (machine, at) in at_work.iter_mut().enumerate() {
            let is_done = |&(_, minutes): &(usize, i64)| minutes == 0;
            let done: Vec<usize> = (at.iter().filter(|at| is_done(at)))
                .map(|&(order, _)| order)
                .collect();
            at.retain(|at| !is_done(at));
            for order in done {
                found.visits[order][machine].1 = minute;
                match queues.get_mut(machine + 1) {
                    Some(next) => next.push_back(order),
                    None => {
                        found.leads[order] = minute - exercise.arrivals[order];
                        found.all_done = minute;
                        left -= 1;
                    }
                }
            }
        }
        for (order, &came) in exercise.arrivals.iter().enumerate() {
            if came == minute {
                queues[0].push_back(order);
            }
        }
        for machine in 0..machines {
            let units = if one_more == Some(machine) { 2 } else { 1 };
            while at_work[machine].len() < units {
                let Some(order) = queues[machine].pop_front() else {
                    break;
                };
                found.visits[order][machine].0 = minute;
                at_work[machine].push((order, exercise.minutes[machine]));
            }
            for at in &mut at_work[machine] {
                at.1 -= 1;
            }
            found.busy[machine] += at_work[machine].len() as i64;
            found.queued[machine] += queues[machine].len() as i64;
            found.order_minutes += (at_work[machine].len() + queues[machine].len()) as i64;
        }
        minute += 1;
    }
    found
}

pub struct TwoWays {
    pub done: i64,
    pub dried_sooner: i64,
    /// How much shorter the way of the ends is.
    pub spare: i64,
}

/// The longer way, and what comes after both.
pub fn two_ways(exercise: &TwoWaysExercise) -> TwoWays {
    let lid = |dry: i64| exercise.glue + dry + exercise.plane.unwrap_or(0);
    let ends = |shape: i64| shape + exercise.sand.unwrap_or(0);
    let done = |lid: i64, ends: i64| if lid > ends { lid } else { ends } + exercise.join;
    let (long, short) = (lid(exercise.dry), ends(exercise.shape));
    assert_eq!(done(long, ends(exercise.shape / 2)), done(long, short));
    TwoWays {
        done: done(long, short),
        dried_sooner: done(lid(exercise.dry / 2), short),
        spare: long - short,
    }
}

pub struct Judged {
    pub metres: Vec<i64>,
    pub mistakes: Vec<Mistake>,
    pub is_apart: bool,
}

/// A vector turned by quarters, counter-clockwise: by (0, 1) as complex numbers are multiplied.
fn turned((x, y): (i64, i64), quarters: i64) -> (i64, i64) {
    (0..quarters).fold((x, y), |(x, y), _| (-y, x))
}

fn squares(spot: &PieceSpot, wide: i64) -> Vec<(i64, i64)> {
    let (x, y) = spot.first;
    let (along_x, along_y) = turned((1, 0), spot.quarter_turns);
    (0..wide)
        .map(|nth| (x + nth * along_x, y + nth * along_y))
        .collect()
}

fn standing(spot: &PieceSpot) -> (i64, i64) {
    let (x, y) = turned((0, -1), spot.quarter_turns);
    (spot.first.0 + x, spot.first.1 + y)
}

/// A plan on squares: what is walked, and which rules of the sheet are broken.
pub fn judge(exercise: &RedesignExercise, spots: &[PieceSpot]) -> Judged {
    let room = &exercise.room;
    let covered: Vec<Vec<(i64, i64)>> = (spots.iter().zip(&exercise.widths))
        .map(|(spot, &wide)| squares(spot, wide))
        .collect();
    let all: BTreeSet<(i64, i64)> = covered.iter().flatten().copied().collect();
    let is_inside = |&(x, y): &(i64, i64)| x >= 0 && y >= 0 && x < room.width && y < room.depth;
    let door = (room.door, 0);
    let panel = (room.width - 1, room.panel);
    let is_free = |square: &(i64, i64)| is_inside(square) && !all.contains(square);
    let mut mistakes = Vec::new();
    for (place, squares) in covered.iter().enumerate() {
        if squares.contains(&panel) {
            let rule = BrokenRule::Panel;
            mistakes.push(Mistake { rule, place });
        }
    }
    for (place, spot) in spots.iter().enumerate() {
        if !is_free(&standing(spot)) {
            let rule = BrokenRule::Standing;
            mistakes.push(Mistake { rule, place });
        }
    }
    let reached = reached(door, is_free);
    for (place, spot) in spots.iter().enumerate() {
        if is_free(&standing(spot)) && !reached.contains(&standing(spot)) {
            let rule = BrokenRule::CutOff;
            mistakes.push(Mistake { rule, place });
        }
    }
    let metres = exercise
        .loads
        .iter()
        .map(|load| load.trips * blocks(standing(&spots[load.from]), standing(&spots[load.to])));
    let count: usize = covered.iter().map(Vec::len).sum();
    Judged {
        metres: metres.collect(),
        mistakes,
        is_apart: count == all.len() && all.iter().all(is_inside) && !all.contains(&door),
    }
}

/// Squares that are reached from the door, from side to side.
fn reached(door: (i64, i64), is_free: impl Fn(&(i64, i64)) -> bool) -> BTreeSet<(i64, i64)> {
    let mut reached = BTreeSet::from([door]);
    loop {
        let next: BTreeSet<(i64, i64)> = (reached.iter())
            .flat_map(|&(x, y)| [(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)])
            .filter(|square| is_free(square) && !reached.contains(square))
            .collect();
        if next.is_empty() {
            return reached;
        }
        reached.extend(next);
    }
}
