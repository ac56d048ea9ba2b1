//! Lessons for a class: exercises whose numbers can be worked by hand, drawn by a seed, with answers that are played.
//!
//! Numbers are drawn until the answer comes out whole or with one decimal and lies within the bands of the level. That
//! is found out by a few lines of arithmetic, since it takes many tries; what is told as the answer is what becomes of
//! a small scenario when it is simulated, or checked, like any other one.

mod by_hand;
mod dice;
mod level;
mod line;
mod names;
mod played;
mod redesign;
mod squares;
mod two_ways;
mod walking;

pub use level::{
    BUSIER_BY, BUSIEST_BESIDE, BUSIEST_IN_LINE, LEVELS, LessonLevel, RELIEVED, SAVED,
    SAVED_BY_DRYING, SPARE, WAITED, WORSE_BY,
};
pub use line::{LineAnswer, LineExercise, OneMore, Visit};
pub use names::LessonNames;
pub use played::LessonError;
pub use redesign::{JudgedPlan, LoadTrips, RedesignExercise};
pub use squares::{BrokenRule, Mistake, PieceSpot, Square, SquareRoom};
pub use two_ways::{TwoWaysAnswer, TwoWaysExercise};
pub use walking::{FromToCell, GridPoint, PartWay, WalkingAnswer, WalkingExercise};

use rayon::prelude::*;

use crate::random::Key;
use dice::LessonDice;

/// The sheets of one pupil, with what is right.
#[derive(Debug, Clone)]
pub struct LessonSheet {
    /// From 1.
    pub number: u32,
    pub walking: (WalkingExercise, WalkingAnswer),
    pub line: (LineExercise, LineAnswer),
    pub two_ways: (TwoWaysExercise, TwoWaysAnswer),
    pub redesign: (RedesignExercise, [JudgedPlan; 2]),
}

/// The sheets of so many pupils. Those of a pupil depend on seed, level and number alone.
///
/// # Errors
/// The first sheet for which there is no answer.
pub fn lesson_sheets(
    level: &LessonLevel,
    seed: u64,
    pupils: u32,
) -> Result<Vec<LessonSheet>, LessonError> {
    let numbers: Vec<u32> = (1..=pupils).collect();
    let sheets = (numbers.into_par_iter()).map(|number| lesson_sheet(level, seed, number));
    sheets.collect()
}

fn lesson_sheet(level: &LessonLevel, seed: u64, number: u32) -> Result<LessonSheet, LessonError> {
    let key = Key::from_seed(seed).with_name("lesson");
    let key = key.with(level.number.into()).with(number.into());
    let dice = |name: &str| LessonDice::new(key.with_name(name));
    let walking = WalkingExercise::draw(level, &mut dice("walking"))?;
    let line = LineExercise::draw(level, &mut dice("line"))?;
    let two_ways = TwoWaysExercise::draw(level, &mut dice("two ways"))?;
    let redesign = RedesignExercise::draw(level, &mut dice("redesign"))?;
    Ok(LessonSheet {
        number,
        walking: answered(walking, WalkingExercise::answer)?,
        line: answered(line, LineExercise::answer)?,
        two_ways: answered(two_ways, TwoWaysExercise::answer)?,
        redesign: answered(redesign, RedesignExercise::answer)?,
    })
}

fn answered<E, A>(
    exercise: E,
    answer: impl Fn(&E) -> Result<A, LessonError>,
) -> Result<(E, A), LessonError> {
    let answer = answer(&exercise)?;
    Ok((exercise, answer))
}
