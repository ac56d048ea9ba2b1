//! Words about what covers the floor.

use super::phrase::{Wording, at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::Fact;

pub fn said(about: &Subjects<'_>) -> Said {
    let Subjects {
        subject,
        other,
        missing,
        ..
    } = about;
    let out_of_it = || wording![format!("move {subject} out of it by "), at_least(*missing)];
    match about.finding.fact {
        Fact::Overlap { depth, apart } => Said::new(wording![
            format!("{subject} and {other} overlap by "),
            metres(depth)
        ])
        .help(by(format!("move {subject} away from {other}"), apart)),
        Fact::BeyondWalls {
            far,
            outside,
            inside,
        } => Said::new(if outside {
            wording![format!("{subject} stands outside the room")]
        } else {
            wording![format!("{subject} reaches "), metres(far), " into the wall"]
        })
        .help(by(format!("move {subject} into the room"), inside)),
        Fact::BeforeDoor {
            depth,
            kept_free,
            left,
            width,
            crowd,
        } => {
            let together = match crowd {
                1 => "leaves ".to_owned(),
                2 => "with what else stands there leaves ".to_owned(),
                all => format!("with {} others leaves ", all - 1),
            };
            let says = wording![
                format!("{subject} stands "),
                metres(depth),
                " into the ",
                metres(kept_free),
                format!(" of floor before {other} and {together}"),
                at_most(left),
                " of its ",
                metres(width)
            ];
            Said::new(says).help(out_of_it()).figure("left_m", left)
        }
        Fact::InLeaf { both: true } => {
            Said::new(wording![format!("{subject} keeps {other} from opening")]).help(out_of_it())
        }
        Fact::InLeaf { both: false } => Said::new(wording![format!(
            "{subject} leaves {other} room to open only if its hinges are at the other end"
        )])
        .help(out_of_it()),
        Fact::BeforePanel {
            depth,
            width,
            kept_free,
        } => Said::new(wording![
            format!("{subject} stands "),
            metres(depth),
            format!(" into the floor in front of {other}, of which "),
            metres(width),
            " by ",
            metres(kept_free),
            " is kept free"
        ])
        .help(wording![
            format!("move {subject} aside by "),
            at_least(depth),
            "; nothing is ever stored there"
        ]),
        Fact::Crossing { depth } => Said::new(wording![
            format!("the strips along which {subject} and {other} are fed overlap by "),
            metres(depth),
            ", and both can run at the same time"
        ])
        .help(wording![
            "agree who waits, or turn one of them, or set them apart by ",
            metres(depth)
        ]),
        _ => Said::default(),
    }
}

/// What to do, and how far if a shift was found that helps.
fn by(what: String, far: Option<f64>) -> Wording {
    match far {
        Some(far) => wording![format!("{what} by "), at_least(far)],
        None => wording![what],
    }
}
