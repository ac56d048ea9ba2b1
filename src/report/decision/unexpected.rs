//! A candidate with which orders take longer, though it has only more than the base.

use super::Grounds;
use crate::report::about;
use crate::report::projects::one;
use crate::report::relief::{Digits, departure};

/// The one with the largest harm, and how that comes about.
pub fn unexpected(grounds: &Grounds<'_>) -> Option<String> {
    let found = grounds.against_expectation.as_ref()?;
    let candidates = &grounds.findings.candidates;
    let is_alone = candidates[found.other].crew.len() == 1;
    let how = found.first.as_ref().map_or_else(String::new, |first| {
        let varies = grounds.findings.varies;
        format!(" {}", departure(first, varies, is_alone, Digits::Few))
    });
    let what = (found.project.as_deref()).map_or_else(|| "an order".to_owned(), one);
    Some(format!(
        "{} has only more than {}, and still {what} takes {} longer from start to finish.{how}",
        grounds.quoted(found.other),
        grounds.quoted(found.base),
        about::time(found.longer_s)
    ))
}
