//! Words about what is kept at hand for bad moments, and what burns.

use super::phrase::{at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::Fact;

pub fn said(about: &Subjects<'_>) -> Said {
    let Subjects {
        subject,
        other,
        names,
        ..
    } = about;
    match about.finding.fact {
        Fact::KeptBehind { away } => Said::new(wording![
            format!("{other} stands "),
            metres(away),
            format!(" from the {subject}, and may keep people from it")
        ])
        .figure("away_m", away)
        .help(wording![format!("keep free floor before the {subject}")]),
        Fact::KeptFar { away, most } => Said::new(wording![
            format!("from {other} it is "),
            at_least(away),
            format!(" to the {subject}; "),
            metres(most),
            " is the most for burning liquids"
        ])
        .figure("away_m", away)
        .figure("most_m", most)
        .help(wording![
            "a second one, or a place nearer to the middle of the work on the way out"
        ]),
        Fact::KeptInside { away, most } => Said::new(wording![
            format!("the {subject} is "),
            metres(away),
            " from the nearest door: one goes for it away from the way out"
        ])
        .figure("away_m", away)
        .figure("most_m", most)
        .help(wording!["keep it within ", at_most(most), " of a door"]),
        Fact::KeptInDoor { door } => Said::new(wording![format!(
            "the {subject} is in the opening of {}, where nothing can hang",
            names.door(door)
        )])
        .help(wording!["hang it on the wall beside the opening"]),
        Fact::CollectorByFlame { away } => Said::new(wording![
            format!("{subject} is "),
            metres(away),
            format!(
                " from {other}, in the same air: dust burns, and air that is thrown out draws flue gas into the room"
            )
        ])
        .figure("away_m", away)
        .help(wording![
            "if it has a flame, give it air of its own (sealed, direct vent), and bring no collector's air back over it; ask whoever is licensed for it"
        ]),
        Fact::KeptNearFlame { away, least } => Said::new(wording![
            format!("the {subject} is "),
            metres(away),
            format!(" from {other}: vapour of finish burns where it meets a flame or sparks")
        ])
        .figure("away_m", away)
        .figure("least_m", least)
        .help(wording![
            "keep it ",
            at_least(least),
            " away, and no solvent finish in the air of a flame at all; oily rags lie flat outdoors, or in water in a closed metal can"
        ]),
        _ => Said::default(),
    }
}
