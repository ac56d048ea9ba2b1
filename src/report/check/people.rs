//! Words about where people stand, walk and reach.

use super::names::WALL;
use super::phrase::{Wording, at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::{Away, Fact, FindingLevel, Instead, Kickback, SeenSide};

pub fn said(about: &Subjects<'_>) -> Said {
    let Subjects {
        names,
        subject,
        other,
        missing,
        ..
    } = about;
    match about.finding.fact {
        Fact::Standing {
            clear,
            wanted,
            away,
            instead,
        } => standing(about, (clear, wanted), away, instead),
        Fact::StandingInLeaf => {
            let says = wording![
                format!("who stands at {subject} stands in the swing of {other} by "),
                at_least(*missing)
            ];
            Said::new(says).help(wording![format!(
                "move {subject} or the place where one stands at it, or let {other} swing out (`swings: out`) or slide"
            )])
        }
        Fact::StandingInDoor { body, instead } => {
            let says = wording![
                format!(
                    "nobody can stand in {subject}, where the work has somebody go: {other} is too near by "
                ),
                at_least(*missing)
            ];
            let helps = wording![
                "to stand in its opening, a person takes ",
                metres(body),
                " of its width, and nothing before it"
            ];
            Said::new(says).help(helps.and(nearest(instead)))
        }
        Fact::CutOff {
            body,
            ref others,
            choke,
        } => {
            let all = about.with_others(others);
            let says = wording![format!("nobody gets from {other} to {all}: ")];
            match choke {
                None => Said::new(says.and(wording!["there is no way at all"]))
                    .help(wording!["move what closes the way"]),
                Some((choke, between)) => Said::new(says.and(wording![
                    "the widest way is ",
                    metres(choke.width),
                    format!(
                        " wide {}, and a person takes ",
                        names.between(between)
                    ),
                    metres(body)
                ]))
                .figure("width_m", choke.width)
                .help(wording![
                    format!("make room {}, ", names.between(between)),
                    at_least(body - choke.width),
                    " more at the least, and perhaps at other places of that way; or open another way"
                ]),
            }
        }
        Fact::CartCutOff { cart, others } => {
            let others = match others {
                0 => String::new(),
                1 => " and one other place".to_owned(),
                more => format!(" and {more} other places"),
            };
            Said::new(wording![
                "a cart ",
                metres(cart),
                format!(
                    " wide does not get from {other} to {subject}{others}, where lots go that ask for one"
                )
            ])
            .help(wording![
                "widen the way, use a narrower cart, or let these lots be carried"
            ])
        }
        Fact::WayOut {
            others,
            wanted,
            widest,
            closed,
        } => {
            let more = match others {
                0 => String::new(),
                1 => " and from another place".to_owned(),
                more => format!(" and from {more} other places"),
            };
            let Some((width, between)) = widest else {
                let says = wording![format!("no way out leads from {subject}{more} to any door")];
                let help = match closed {
                    Some((door, what)) => format!(
                        "{} stands before {}: move it away from there, or open another door",
                        names.obstacle(what),
                        names.place(door)
                    ),
                    None => "move what closes the way, or open another door".to_owned(),
                };
                return Said::new(says).help(wording![help]);
            };
            let wide = match between {
                Some(between) => format!(" wide {}", names.between(between)),
                None => " wide".to_owned(),
            };
            Said::new(wording![
                format!("the widest way out from {subject}{more} is "),
                metres(width),
                wide,
                "; ",
                metres(wanted),
                " is the least on a way out"
            ])
            .figure("width_m", width)
            .help(wording![
                "make room there, ",
                at_least(*missing),
                " at the least, or open another way out"
            ])
        }
        Fact::Doorway { width, wanted } => Said::new(wording![
            format!("{subject} is "),
            at_most(width),
            " wide, as ordinary doors are; ",
            metres(wanted),
            " is advised where pieces are carried; a piece that does not get through is a finding of its own"
        ])
        .figure("width_m", width),
        Fact::Aisle {
            loaded,
            width,
            wanted,
            between,
            others,
        } => {
            let others = match others {
                0 => String::new(),
                1 => ", and on another way".to_string(),
                more => format!(", and on {more} other ways"),
            };
            let why = match (about.finding.level, loaded) {
                (FindingLevel::Fault, _) => " is the least on a way out",
                (_, true) => " is advised where pieces are carried",
                (_, false) => " is advised",
            };
            let between = names.between(between);
            let otherwise = match (about.finding.level, loaded) {
                (FindingLevel::Fault, _) => ", or open another way out",
                (_, true) => ", or carry another way",
                (_, false) => ", or go another way",
            };
            Said::new(wording![
                format!("the way from {subject} to {other} is only "),
                at_most(width),
                format!(" wide {between}{others}; "),
                metres(wanted),
                why
            ])
            .figure("width_m", width)
            .help(wording![
                "make room there, ",
                at_least(*missing),
                format!(" at the least{otherwise}")
            ])
        }
        Fact::ReachBlocked {
            side: _,
            seen,
            free,
            body,
            away,
        } => Said::new(wording![
            format!(
                "{subject} is to be reached {}, where only ",
                as_one_stands(seen)
            ),
            at_most(free),
            format!(" is free, as far as {other}; somebody who walks along takes "),
            at_least(body)
        ])
        .figure("free_m", free)
        .help(
            about
                .shifted(format!("move {subject} away from {other}"), away)
                .and(wording![", or work from another side"]),
        ),
        Fact::ReachCutOff {
            side: _,
            seen,
            width,
            body,
        } => Said::new(wording![
            format!(
                "{subject} is to be reached {}, where there is room, but the widest way there is ",
                as_one_stands(seen)
            ),
            metres(width),
            " wide, and a person takes ",
            metres(body)
        ])
        .figure("width_m", width)
        .help(wording![
            "make room there, ",
            at_least(*missing),
            " at the least, or work from another side"
        ]),
        _ => Said::default(),
    }
}

/// From which side, as one stands at a station.
pub fn from_side(seen: SeenSide) -> &'static str {
    match seen {
        SeenSide::Front => "from the front",
        SeenSide::Behind => "from behind",
        SeenSide::Left => "from its left",
        SeenSide::Right => "from its right",
    }
}

/// The same where it has to be said what is left and what is right.
fn as_one_stands(seen: SeenSide) -> String {
    let side = from_side(seen);
    match seen {
        SeenSide::Front | SeenSide::Behind => side.to_owned(),
        SeenSide::Left | SeenSide::Right => format!("{side} as one stands at it"),
    }
}

/// How wide a way is and how wide it should be, and between what.
pub fn brief(about: &Subjects<'_>) -> Option<Wording> {
    let names = about.names;
    let is_least = about.finding.level == FindingLevel::Fault;
    match &about.finding.fact {
        Fact::CutOff {
            body,
            others,
            choke: Some((choke, between)),
        } => Some(wording![
            format!(
                "no way from {} to {}: ",
                about.other,
                about.with_others(others)
            ),
            at_most(choke.width),
            format!(" {}, where a person takes ", names.between(*between)),
            metres(*body)
        ]),
        Fact::WayOut {
            others,
            wanted,
            widest: Some((width, between)),
            ..
        } => {
            let more = match others {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            let where_it_is = between.map_or_else(String::new, |between| {
                format!(" {}", names.between(between))
            });
            Some(wording![
                format!("the way out from {}{more} is narrow: ", about.subject),
                at_most(*width),
                format!("{where_it_is}, where "),
                metres(*wanted),
                " is the least"
            ])
        }
        Fact::Aisle {
            width,
            wanted,
            between,
            ..
        } => Some(wording![
            format!("the way {} is narrow: ", names.between(*between)),
            at_most(*width),
            " where ",
            metres(*wanted),
            if is_least {
                " is the least on a way out"
            } else {
                " is advised"
            }
        ]),
        _ => None,
    }
}

fn standing(
    about: &Subjects<'_>,
    (clear, wanted): (f64, f64),
    away: Away,
    instead: Option<Instead>,
) -> Said {
    let Subjects { subject, other, .. } = about;
    let free = 2.0 * clear;
    let is_fault = about.finding.level == FindingLevel::Fault;
    // A station that moves takes its standing place along.
    let is_own = other == subject;
    let says = if clear < 0.0 && other == WALL {
        wording![format!("where one stands at {subject} is outside the room")]
    } else if clear < 0.0 && is_own {
        wording![format!(
            "where one stands at {subject} is within its own footprint"
        )]
    } else if clear < 0.0 {
        wording![format!("where one stands at {subject} is within {other}")]
    } else {
        wording![
            format!("where one stands at {subject} a circle of "),
            at_most(free),
            format!(" is free, as far as {other}; "),
            metres(wanted),
            if is_fault {
                " is what a person takes"
            } else {
                " is advised"
            }
        ]
    };
    let move_away = match (is_own, away.or_place) {
        (true, _) => {
            format!("move the standing place of {subject} (`stand`) away from its footprint")
        }
        (false, true) => format!("move {subject}, or its standing place, away from {other}"),
        (false, false) => format!("move {subject} away from {other}"),
    };
    let helps = about.shifted(move_away, away.shift);
    let helps = match is_fault {
        true => helps.and(nearest(instead)),
        false => helps,
    };
    Said::new(says).figure("free_m", free.max(0.0)).help(helps)
}

/// The nearest place where a person fits, if there is one.
fn nearest(instead: Option<Instead>) -> Wording {
    match instead {
        Some(Instead { at, away }) => wording![
            "; a person fits at [",
            metres(at.x),
            ", ",
            metres(at.y),
            "], which is ",
            metres(away),
            " away"
        ],
        None => Wording::default(),
    }
}

pub fn kickback(about: &Subjects<'_>, kickback: &Kickback) -> Said {
    let (saw, other) = (&about.subject, &about.other);
    let (says, helps) = match *kickback {
        Kickback::Unknown => (
            format!(
                "where {saw} may throw a piece cannot be told: nothing says which way the work is fed"
            ),
            format!("say `feed toward` at {saw}"),
        ),
        Kickback::Stands { .. } => (
            format!("who stands at {other} stands where {saw} may throw a piece"),
            format!("move {other} or turn {saw}"),
        ),
        Kickback::ReachesIn {
            while_running: true,
            ..
        } => (
            format!(
                "{other} stands where {saw} may throw a piece, and somebody may work at it while {saw} runs"
            ),
            format!("move {other}, turn {saw}, or let one work at a time"),
        ),
        Kickback::ReachesIn { .. } => (
            format!(
                "{other} stands where {saw} may throw a piece, though nobody stands there at it"
            ),
            format!("keep people from that side of {other} while {saw} runs"),
        ),
        Kickback::Fetched { .. } => (
            format!(
                "what goes from {saw} to {other} is fetched where {saw} may throw a piece, and it may be running"
            ),
            format!(
                "lay pieces down behind {saw} and fetch them there, or when the blade has stopped"
            ),
        ),
        Kickback::Walked {
            to,
            others,
            while_running,
            ..
        } => {
            let to = about.names.place(to);
            let more = match others {
                0 => String::new(),
                1 => ", and so does another way".to_owned(),
                more => format!(", and so do {more} other ways"),
            };
            let when = match while_running {
                true => "and it may be walked while the machine runs",
                false => "though whoever could walk it works at the machine while it runs",
            };
            (
                format!(
                    "the way from {other} to {to} crosses where {saw} may throw a piece{more}, {when}"
                ),
                format!("turn {saw}, or lead the way around behind it"),
            )
        }
        Kickback::Door { .. } => (
            format!("people who enter by {other} walk where {saw} may throw a piece"),
            format!("turn {saw}, or let nobody come in by {other} while it runs"),
        ),
    };
    let said = Said::new(wording![says]).help(wording![helps]);
    match kickback.reach() {
        Some(reach) => said.figure("reach_m", reach),
        None => said,
    }
}
