//! Words about work that has to be done before glue sets, and about dust on finish that is wet.

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

pub fn wet_finish(about: &Subjects<'_>) -> Said {
    let Fact::WetFinish { finish, sanding } = about.finding.fact else {
        return Said::default();
    };
    let operations = &about.names.shop.operations;
    let [finish, sanding] = [finish, sanding].map(|of| &operations[of]);
    let (subject, other) = (&about.subject, &about.other);
    Said::new(wording![format!(
        "{sanding} at {other} may raise dust while what {finish} at {subject} has left is wet: nothing in the file keeps the two apart"
    )])
    .help(wording![format!(
        "write under `operations` for how long it is wet, `{finish}: {{tacky: 2 h}}`, and `{sanding}: {{dusty: true}}`; or finish in another room"
    )])
}
