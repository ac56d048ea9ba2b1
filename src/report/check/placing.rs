//! Words about what covers the floor.

use super::phrase::{Wording, at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::{Fact, FindingLevel, FindingSubject, Shift};

pub fn said(about: &Subjects<'_>) -> Said {
    let Subjects { subject, other, .. } = about;
    let out_of_it = |shift| match about.finding.subject {
        FindingSubject::Thing(_) => wording![format!(
            "{subject} belongs to the room: measure it and {other} again, or count on another door"
        )],
        _ => about.shifted(format!("move {subject} out of it"), shift),
    };
    match about.finding.fact {
        Fact::Overlap {
            depth,
            apart,
            higher,
        } => {
            let higher = higher.map_or_else(Wording::default, |(hung, by)| {
                let hung = about.names.obstacle(hung);
                wording![format!(", or hang {hung} higher by "), at_least(by)]
            });
            Said::new(wording![
                format!("{subject} and {other} overlap by "),
                metres(depth)
            ])
            .help(
                about
                    .shifted(format!("move {subject} away from {other}"), apart)
                    .and(higher),
            )
        }
        Fact::BeyondWalls {
            far,
            outside,
            inside,
        } => Said::new(if outside {
            wording![format!("{subject} stands outside the room")]
        } else {
            wording![format!("{subject} reaches "), metres(far), " into the wall"]
        })
        .help(about.shifted(format!("move {subject} into the room"), inside)),
        Fact::BeforeDoor {
            depth,
            kept_free,
            left,
            width,
            crowd,
            out,
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
            Said::new(says).help(out_of_it(out)).figure("left_m", left)
        }
        Fact::InLeaf { both: true, out } => {
            Said::new(wording![format!("{subject} keeps {other} from opening")])
                .help(out_of_it(out))
        }
        Fact::InLeaf { both: false, out } => Said::new(wording![format!(
            "{subject} leaves {other} room to open only if its hinges are at the other end"
        )])
        .help(out_of_it(out)),
        Fact::BeforePanel {
            depth,
            width,
            kept_free,
            out,
        } => Said::new(wording![
            format!("{subject} stands "),
            metres(depth),
            format!(" into the floor in front of {other}, of which "),
            metres(width),
            " by ",
            metres(kept_free),
            " is kept free"
        ])
        .help(before_panel(about, out)),
        Fact::Crossing { depth } => Said::new(wording![
            format!("the strips along which {subject} and {other} are fed overlap by "),
            metres(depth),
            ", and both can run at the same time"
        ])
        .help(wording![
            "agree who waits, or turn one of them, or set them farther apart"
        ]),
        Fact::Units { count } => {
            let size = match about.finding.level {
                FindingLevel::Warning => "which is as large as one of its kind usually is",
                _ => "whose size is the floor of all of them together",
            };
            Said::new(wording![format!(
                "{subject} counts as {count} on one footprint, {size}"
            )])
            .figure("count", f64::from(count))
            .help(wording![
                "if it is the floor of one, make it larger, or give each a name and a place of its own"
            ])
        }
        _ => Said::default(),
    }
}

/// What to do about something that stands before an electrical panel.
fn before_panel(about: &Subjects<'_>, out: Shift) -> Wording {
    let Subjects { subject, other, .. } = about;
    let helps = match about.finding.subject {
        FindingSubject::Thing(_) => wording![format!(
            "{subject} belongs to the room: measure it and {other} again, and if it is so, ask an electrician"
        )],
        _ => about.shifted(format!("move {subject} aside"), out),
    };
    helps.and(wording!["; nothing is ever stored there"])
}
