//! The first lesson: trips and metres from place to place, on two plans.

use super::by_hand::{has_one_decimal, is_share};
use super::dice::LessonDice;
use super::level::{LessonLevel, SAVED};
use super::played::{LessonError, play, study};
use crate::experiment::{CandidateFindings, Leg};
use crate::floor::Manner;

/// Squares of the grid on which places lie, as wide and as deep as the largest plan is.
const GRID: (i64, i64) = (10, 6);
/// As far two places are apart at least, along the lines of the grid.
const APART: i64 = 2;
const MOST_TRIES: usize = 200_000;

/// A place on the grid, in metres.
pub type GridPoint = (i64, i64);

/// A part of the product: how many of it, and which places it goes through, the first where its material lies.
#[derive(Debug, Clone, PartialEq)]
pub struct PartWay {
    pub pieces: i64,
    pub route: Vec<usize>,
}

/// What is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkingExercise {
    pub grid: GridPoint,
    /// Where each place lies today, and which two change places.
    pub today: Vec<GridPoint>,
    pub exchanged: (usize, usize),
    pub parts: Vec<PartWay>,
    /// Pieces that are carried at once.
    pub carried: i64,
    /// Products in a day.
    pub products: i64,
}

/// A cell of the from–to chart for one product.
#[derive(Debug, Clone, PartialEq)]
pub struct FromToCell {
    pub from: usize,
    pub to: usize,
    pub trips: f64,
    /// Metres today and as proposed.
    pub metres: [f64; 2],
}

/// What is right.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkingAnswer {
    pub cells: Vec<FromToCell>,
    /// Metres with a load for one product, today and as proposed.
    pub loaded_m: [f64; 2],
    /// Of one product, and of the day.
    pub saved_m: f64,
    pub saved_min: f64,
    /// With empty hands as well, in the day.
    pub walked_m: [f64; 2],
}

impl WalkingExercise {
    /// Where each place lies as is proposed.
    pub fn proposed(&self) -> Vec<GridPoint> {
        let mut points = self.today.clone();
        points.swap(self.exchanged.0, self.exchanged.1);
        points
    }

    pub fn draw(
        level: &LessonLevel,
        dice: &mut LessonDice,
    ) -> Result<WalkingExercise, LessonError> {
        let drawn = (0..MOST_TRIES).map(|_| WalkingExercise::any(level, dice));
        let mut fitting = drawn.filter(|exercise| exercise.fits(level));
        fitting.next().ok_or(LessonError::NoNumbers("walking"))
    }

    fn any(level: &LessonLevel, dice: &mut LessonDice) -> WalkingExercise {
        let carried = dice.whole(2, 4);
        let today = (0..level.places)
            .map(|_| (dice.whole(0, GRID.0), dice.whole(0, GRID.1)))
            .collect();
        let exchanged = (
            dice.below(level.places - 1) + 1,
            dice.below(level.places - 1) + 1,
        );
        let parts = (0..level.parts)
            .map(|_| any_part(level, carried, dice))
            .collect();
        WalkingExercise {
            grid: GRID,
            today,
            exchanged,
            parts,
            carried,
            products: dice.whole(2, 6),
        }
    }

    /// Whether it can be worked by hand and is as hard as others.
    fn fits(&self, level: &LessonLevel) -> bool {
        let points = &self.today;
        let pairs = (0..points.len()).flat_map(|one| (0..one).map(move |other| (one, other)));
        let is_apart = pairs
            .into_iter()
            .all(|(one, other)| metres(points[one], points[other]) >= APART);
        let trips = self.trips();
        let (least, most) = level.cells;
        if !is_apart || self.exchanged.0 == self.exchanged.1 {
            return false;
        }
        if !(least..=most).contains(&trips.len()) {
            return false;
        }
        let [today, proposed] = [points.clone(), self.proposed()].map(|points| {
            let of = trips.iter();
            of.map(|&(from, to, trips)| trips * metres(points[from], points[to]))
                .sum::<i64>()
        });
        let saved = today - proposed;
        saved > 0 && is_share(saved, today, SAVED) && has_one_decimal(saved * self.products, 60)
    }

    /// Trips with a load for one product.
    fn trips(&self) -> Vec<(usize, usize, i64)> {
        let mut trips: Vec<(usize, usize, i64)> = Vec::new();
        for part in &self.parts {
            let carries = (part.pieces + self.carried - 1) / self.carried;
            for way in part.route.windows(2) {
                let known = trips
                    .iter_mut()
                    .find(|(from, to, _)| (*from, *to) == (way[0], way[1]));
                match known {
                    Some((_, _, trips)) => *trips += carries,
                    None => trips.push((way[0], way[1], carries)),
                }
            }
        }
        trips
    }

    /// The answer, as the shop plays it.
    ///
    /// # Errors
    /// If the scenario behind it is wrong, which the tests would show.
    pub fn answer(&self) -> Result<WalkingAnswer, LessonError> {
        let found = play(&study(&self.scenario())?)?;
        let products = self.products as f64;
        let [today, proposed] = [&found.candidates[0], &found.candidates[1]];
        let cells: Vec<FromToCell> = loaded(today)
            .map(|leg| {
                let (from, to) = leg.places;
                let mut there = loaded(proposed).filter(|other| other.places == leg.places);
                let there = there.next().map_or(0.0, |leg| leg.metres);
                FromToCell {
                    from: from.index(),
                    to: to.index(),
                    trips: leg.trips / products,
                    metres: [leg.metres / products, there / products],
                }
            })
            .collect();
        let loaded_m = [0, 1].map(|plan| cells.iter().map(|cell| cell.metres[plan]).sum());
        let [before, after]: [f64; 2] = loaded_m;
        Ok(WalkingAnswer {
            cells,
            loaded_m,
            saved_m: before - after,
            saved_min: (before - after) * products / 60.0,
            walked_m: [today, proposed].map(|of| of.walked.total()),
        })
    }

    /// One person who carries everything, 1 m/s; one station after the other on the grid.
    pub fn scenario(&self) -> String {
        let stations: String = (0..self.today.len())
            .map(|place| match place {
                0 => "  s0: {}\n".to_owned(),
                _ => format!("  s{place}: {{does: {{w{place}: {{per lot: 1 min}}}}}}\n"),
            })
            .collect();
        let parts: String = (self.parts.iter().enumerate())
            .map(|(number, part)| {
                let steps: Vec<String> =
                    part.route[1..].iter().map(|at| format!("w{at}")).collect();
                format!(
                    "      p{number}: {{pieces: {}, material at: s{}, route: [{}]}}\n",
                    part.pieces,
                    part.route[0],
                    steps.join(", ")
                )
            })
            .collect();
        let plan = |points: &[GridPoint]| -> String {
            let places = points.iter().enumerate();
            places
                .map(|(place, (x, y))| format!("      s{place}: [{x} m, {y} m]\n"))
                .collect()
        };
        format!(
            "stations:\n{stations}\
             handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0, carry: {{pieces: {}}}}}\n\
             crew: {{maker: {{}}}}\n\
             projects:\n  product:\n    parts:\n{parts}\
             orders:\n  - {{project: product, count: {}}}\n\
             layouts:\n  today:\n    walk: rectilinear\n    at:\n{}  proposed:\n    walk: rectilinear\n    at:\n{}",
            self.carried,
            self.products,
            plan(&self.today),
            plan(&self.proposed()),
        )
    }
}

fn loaded(of: &CandidateFindings) -> impl Iterator<Item = &Leg> {
    of.legs.iter().filter(|leg| leg.manner == Manner::Carrying)
}

/// Along the lines of the grid.
fn metres(one: GridPoint, other: GridPoint) -> i64 {
    (one.0 - other.0).abs() + (one.1 - other.1).abs()
}

/// From the material through some stations to the last one.
fn any_part(level: &LessonLevel, carried: i64, dice: &mut LessonDice) -> PartWay {
    let last = level.places - 1;
    let mut between: Vec<usize> = (1..last).filter(|_| dice.whole(0, 2) > 0).collect();
    if level.goes_back && between.len() > 1 && dice.whole(0, 1) == 0 {
        let at = dice.below(between.len() - 1);
        between.swap(at, at + 1);
    }
    let mut route = vec![0];
    route.extend(between);
    route.push(last);
    let pieces = match level.rounds_up {
        true => dice.whole(2, 9),
        false => carried * dice.whole(1, 3),
    };
    PartWay { pieces, route }
}
