//! Words about how high things are.

use super::phrase::{at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::Fact;

/// How far above the elbow hands work best, in metres: with force, at light work and at fine work (Pheasant and
/// Haslegrave, Bodyspace, 2006).
const HANDS: [[f64; 2]; 3] = [[-0.25, -0.10], [-0.10, -0.05], [0.05, 0.10]];

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
        Fact::BenchHeight { top, elbow, person } => {
            let [heavy, light, fine] = HANDS.map(|hands| hands.map(|above| elbow + above));
            let name = &about.names.shop.crew[person].name;
            Said::new(wording![
                format!("{subject} is "),
                metres(top),
                format!(" high; the hands of {name}, whose elbow is at "),
                metres(elbow),
                ", work best at ",
                metres(heavy[0]),
                " to ",
                metres(heavy[1]),
                " with force, as in planing, at ",
                metres(light[0]),
                " to ",
                metres(light[1]),
                " at light work, and at ",
                metres(fine[0]),
                " to ",
                metres(fine[1]),
                " at fine work"
            ])
            .figure("height_m", top)
            .figure("elbow_m", elbow)
            .figure("with_force_low_m", heavy[0])
            .figure("with_force_high_m", heavy[1])
            .figure("light_low_m", light[0])
            .figure("light_high_m", light[1])
            .figure("fine_low_m", fine[0])
            .figure("fine_high_m", fine[1])
            .help(wording![
                "a bench is lower than that by as much as the work is thick; with several kinds of work, a second height helps more than a middle one"
            ])
        }
        _ => Said::default(),
    }
}
