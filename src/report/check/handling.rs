//! Words about what comes in, what leaves, and what is lifted and turned up.

use super::phrase::{Wording, at_least, at_most, kilograms, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::{
    AccessFact, AccessHelp, Direction, Fact, FindingLevel, Grade, Held, MassSource, Passage,
    SpareOf, Spot,
};
use crate::report::sentence::listed;
use crate::shop::Size;

pub fn access(about: &Subjects<'_>, fact: &AccessFact) -> Said {
    let AccessFact { size, passage, .. } = fact;
    let Size {
        length,
        width,
        thickness,
    } = *size;
    let best = &about.other;
    let way = match fact.direction {
        Direction::In => "come in",
        Direction::Out => "leave",
    };
    let subject = wording![
        format!("{} (", about.subject),
        metres(length),
        " x ",
        metres(width),
        " x ",
        metres(thickness)
    ];
    let says = subject.and(match passage.grade {
        Grade::Stuck => wording![
            format!(") cannot {way} by any way: at best by {best}, where "),
            at_least(-passage.spare),
            " is missing at "
        ]
        .and(spot(about, passage)),
        Grade::Unknown => wording![
            format!(") may not {way} by {best}: it is "),
            at_least(-passage.spare),
            " longer than what surely passes at "
        ]
        .and(spot(about, passage)),
        Grade::OnlySo => wording![format!(") can {way} by {best} only ")]
            .and(held(passage))
            .and(wording![", with "])
            .and(spare(about, passage)),
        Grade::Passes => wording![format!(") can {way} by {best}")]
            .and(also_by(about, fact))
            .and(wording![", with "])
            .and(spare(about, passage)),
    });
    let said = Said::new(says).figure("spare_m", passage.spare);
    let helps = fact.helps.iter().map(|help| advice(about, fact, help));
    match helps.reduce(|all, next| all.and(wording!["; or "]).and(next)) {
        Some(helps) => said.help(helps),
        None => said,
    }
}

fn spot(about: &Subjects<'_>, passage: &Passage) -> Wording {
    match passage.spot {
        Spot::Corner(before, after) => {
            wording!["the corner of ", metres(before), " and ", metres(after)]
        }
        Spot::Stair => wording!["the stair"],
        Spot::Door(door) => wording![about.names.door(door)],
    }
}

fn held(passage: &Passage) -> Wording {
    let pushed = || wording!["pushed around the corner with nobody beside it or at its ends"];
    match passage.held {
        None => Wording::default(),
        Some(Held::Pushed) => pushed(),
        Some(Held::Tilted(degrees)) => wording![format!("tilted by {degrees:.0} degrees")],
        Some(Held::TippedUp { ceiling, or_pushed }) => {
            let tipped = wording!["tipped up under a ceiling of ", at_most(ceiling)];
            match or_pushed {
                true => tipped.and(wording![", or "]).and(pushed()),
                false => tipped,
            }
        }
    }
}

fn spare(about: &Subjects<'_>, passage: &Passage) -> Wording {
    let of = match passage.of {
        SpareOf::Length => "of length",
        SpareOf::WidthOrHeight => "of width or height",
    };
    let left = wording![
        at_most(passage.spare.max(0.0)),
        format!(" {of} to spare at ")
    ];
    left.and(spot(about, passage))
}

/// The other ways by which it passes.
fn also_by(about: &Subjects<'_>, fact: &AccessFact) -> Wording {
    let ways = fact.also_by.iter();
    let names: Vec<String> = ways.map(|way| about.names.subject(way)).collect();
    match names.is_empty() {
        true => Wording::default(),
        false => wording![format!(", and by {}", listed(&names, "and"))],
    }
}

fn advice(about: &Subjects<'_>, fact: &AccessFact, help: &AccessHelp) -> Wording {
    match help {
        AccessHelp::BuildInParts(parts) => {
            let shop = about.names.shop;
            let name = |&(project, item): &(_, crate::shop::ItemId)| {
                shop.projects[project].items[item.index()].name.clone()
            };
            let names: Vec<String> = parts.iter().map(name).collect();
            wording![format!(
                "build it in parts and join them outside: {} can leave on {} own",
                listed(&names, "and"),
                if names.len() == 1 { "its" } else { "their" }
            )]
        }
        AccessHelp::LetTwoCarry => wording!["let two carry it, one at each end"],
        AccessHelp::TipUp { height } => wording![
            "tip it up on end in the corner, if there is a height of ",
            at_least(*height)
        ],
        AccessHelp::Shorten { longest } => match fact.direction {
            Direction::In => wording![
                "have it cut first: up to ",
                at_most(*longest),
                " long it passes"
            ],
            Direction::Out => wording!["up to ", at_most(*longest), " long it would pass"],
        },
        AccessHelp::MakeNarrower => {
            wording!["make it in narrower parts, or bring it by another way"]
        }
    }
}

pub fn said(about: &Subjects<'_>) -> Said {
    let subject = &about.subject;
    match about.finding.fact {
        Fact::Lifting {
            mass,
            from,
            limit,
            lifters,
            people,
        } => {
            // A cart does not go up a stair.
            let ways = about.names.room.into_iter().flat_map(|room| &room.ways);
            let has_stair = ways.into_iter().any(|way| way.stair.is_some());
            let is_step = about.finding.level == FindingLevel::Fault;
            let (who, help) = match (lifters, people, has_stair) {
                _ if is_step => (
                    "one person, and nobody can help at this step",
                    "add somebody who can, use a cart or a panel carrier, or have it cut before it comes there",
                ),
                (2, _, true) => (
                    "two people",
                    "break it down before it is carried; a cart helps on the floor, not on the stair",
                ),
                (2, _, false) => (
                    "two people",
                    "use a cart or a panel carrier, or break it down before it is carried",
                ),
                (_, false, true) => (
                    "one person",
                    "ask somebody to help, or break it down first; a cart helps on the floor, not on the stair",
                ),
                (_, false, false) => (
                    "one person",
                    "ask somebody to help, use a cart or a panel carrier, or break it down first",
                ),
                (_, true, _) => ("one person", "two lift it"),
            };
            let (weighs, from) = match from {
                MassSource::Given => ("weighs", ""),
                MassSource::FinishedParts => ("weighs", " by the finished sizes of its parts"),
                MassSource::RoughParts => ("weighs about", ", from sizes before planing"),
            };
            let says = wording![
                format!("{subject} {weighs} "),
                kilograms(mass),
                format!("{from}; "),
                kilograms(limit),
                format!(" at most is advised for {who}")
            ];
            Said::new(says).figure("mass_kg", mass).help(wording![help])
        }
        Fact::Ceiling {
            raised,
            ceiling,
            others,
        } => {
            let others = match others {
                0 => String::new(),
                1 => ", nor can one other piece".to_string(),
                more => format!(", nor can {more} other pieces"),
            };
            let says = wording![
                format!("{subject} cannot be stood on end{others}: raising it takes "),
                at_least(raised),
                ", and the ceiling is at ",
                metres(ceiling)
            ];
            Said::new(says)
                .figure("raised_m", raised)
                .help(wording!["store and turn it lying, or cut it first"])
        }
        _ => Said::default(),
    }
}
