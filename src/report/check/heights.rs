//! Words about how high things are.

use super::phrase::{at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::Fact;

pub fn said(about: &Subjects<'_>) -> Said {
    let Subjects { subject, other, .. } = about;
    match about.finding.fact {
        Fact::TooHigh { height, under } => {
            let (where_to, helps) = match about.finding.other {
                Some(_) => (
                    format!(" of height below {other} while that is open"),
                    format!("move {subject} out from under {other}, or make it lower by "),
                ),
                None => (
                    " under the ceiling".to_owned(),
                    format!("{subject} does not stand in this room unless it is lower by "),
                ),
            };
            Said::new(wording![
                format!("{subject} is "),
                metres(height),
                " high, and there is only ",
                at_most(under),
                where_to
            ])
            .figure("height_m", height)
            .figure("under_m", under)
            .help(wording![helps, at_least(about.missing)])
        }
        Fact::ReachOver { over, most } => Said::new(wording![
            format!("whoever stands at {subject} reaches over "),
            metres(over),
            " of what stands before it; ",
            metres(most),
            " is about as far as arms are long"
        ])
        .figure("over_m", over)
        .help(wording![
            format!("bring {subject} forward, or make what stands before it narrower, by "),
            at_least(about.missing)
        ]),
        Fact::ReachUp { up, most } => Said::new(wording![
            format!("{subject} begins "),
            metres(up),
            " above the floor, and the work sends somebody there; ",
            metres(most),
            " is about as high as people reach"
        ])
        .figure("up_m", up)
        .help(wording![
            format!("hang {subject} lower by "),
            at_least(about.missing),
            ", or keep a firm step there"
        ]),
        _ => Said::default(),
    }
}
