//! What the time of each person goes into.

use super::shares::DividedBars;
use super::style::{EMPTY, HANDLING, IDLE, RUNNING};
use super::{Chart, Picture, is_bottleneck};
use crate::experiment::{Findings, PersonFindings, ResourceKind};
use crate::report::figure::percent;

const PEOPLE: DividedBars<PersonFindings> = DividedBars {
    of: |candidate| &candidate.crew,
    whole: "time at work",
    name: |person| &person.name,
    parts: &[
        (RUNNING, "working", |person| person.working),
        (HANDLING, "handling", |person| person.handling),
        (EMPTY, "walking", |person| person.walking),
        (IDLE, "waiting", |person| person.waiting),
    ],
    beside: |person| percent(person.utilisation),
    diagnosed: false,
    explained: "The figure beside a bar is the person's utilisation. ◆\u{202F}marks the bottleneck.",
    is_bottleneck: |candidate, person| {
        [&person.name, &person.group]
            .iter()
            .any(|name| is_bottleneck(candidate, ResourceKind::Person, name))
    },
    spelled_out: true,
};

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    PEOPLE.draw(chart, findings, scale)
}
