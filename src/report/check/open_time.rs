//! Words about work that has to be done before glue sets.

use super::phrase::wording;
use super::said::{Said, Subjects};
use crate::floor::Fact;
use crate::report::figure::time_unit;

pub fn said(about: &Subjects<'_>) -> Said {
    let Fact::OpenTime {
        operation,
        item: (project, item),
        takes,
        open,
        stages,
    } = about.finding.fact
    else {
        return Said::default();
    };
    let shop = about.names.shop;
    let operation = &shop.operations[operation];
    let item = &shop.projects[project].items[item.index()].name;
    let in_words = |seconds: f64| time_unit(seconds).with_unit(seconds);
    Said::new(wording![format!(
        "{operation} of {item} at {} is expected to take {}, and its open time is {}",
        about.subject,
        in_words(takes),
        in_words(open)
    )])
    .figure("takes_s", takes)
    .figure("open_s", open)
    .figure("stages", f64::from(stages))
    .help(wording![format!(
        "{stages} stages, each of part of it, would do; or something with a longer open time, or more hands"
    )])
}
