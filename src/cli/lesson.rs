//! `shopstride lesson`: three lessons to print, a sheet for each pupil and one key.

use super::lesson_options::LessonOptions;
use super::places::Places;
use super::{Refusal, output, scenario};
use crate::lesson::{LEVELS, LessonNames, lesson_sheets};
use crate::report::lesson::{LessonSet, html};

pub fn lesson(options: &LessonOptions) -> Result<(), Refusal> {
    let out = Some(options.out.clone());
    let places = Places::new("lesson", options.scenario.as_deref()).file("--out", &out);
    places.check()?;
    let study = scenario::load_to_check(options.scenario.as_deref(), options.quiet)?;
    let level = &LEVELS[options.level as usize - 1];
    let sheets = lesson_sheets(level, options.seed, options.pupils);
    let sheets =
        sheets.map_err(|error| Refusal::because(format!("there is no lesson: {error}")))?;
    let set = LessonSet {
        title: &study.title,
        names: &LessonNames::of(&study),
        level,
        seed: options.seed,
    };
    let page = html(&set, &sheets);
    let page =
        page.map_err(|error| Refusal::because(format!("the pages cannot be made: {error}")))?;
    output::write_page(&options.out, &page, "", options.quiet)
}
