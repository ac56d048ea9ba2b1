//! The small scenario behind an exercise, and what becomes of it when it is played.
//!
//! Its names are numbers (`s1`, `w1`), so that no name of anybody's file can change what it means.

use std::fmt;

use crate::experiment::{Failure, Findings, Study, run};
use crate::scenario::{Problems, load_to_check};

/// Why there is no lesson.
#[derive(Debug)]
pub enum LessonError {
    /// The scenario behind an exercise is wrong.
    Scenario(Problems),
    Stuck(Failure),
    /// No numbers were found that can be worked by hand.
    NoNumbers(&'static str),
}

impl fmt::Display for LessonError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LessonError::Scenario(problems) => write!(to, "{}", problems.render(false)),
            LessonError::Stuck(failure) => write!(to, "{failure:?}"),
            LessonError::NoNumbers(which) => {
                write!(to, "no numbers were found for the lesson on {which}")
            }
        }
    }
}

impl std::error::Error for LessonError {}

/// The study of a small scenario; one in which nobody can stand somewhere as it is drawn is among the others.
pub fn study(text: &str) -> Result<Study, LessonError> {
    let text = format!("title: lesson\n{text}");
    let loaded = load_to_check("lesson", text.as_bytes()).map_err(LessonError::Scenario)?;
    Ok(loaded.study)
}

/// What is found when it is played.
pub fn play(study: &Study) -> Result<Findings, LessonError> {
    run(study, 0, &|_| ()).map_err(LessonError::Stuck)
}
