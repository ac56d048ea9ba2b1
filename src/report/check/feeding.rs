//! Words about straight floor before and behind the machines through which work is fed.

use super::names::{ShopNames, WALL};
use super::phrase::{Wording, at_least, at_most, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::strips::{Fit, FreeRun};
use crate::floor::{FeedFact, FindingLevel, SAME_POINT_M, Shift};

pub fn said(about: &Subjects<'_>, fact: &FeedFact) -> Said {
    if let Some(width) = fact.beside {
        return beside(about, fact, width);
    }
    let name = &about.subject;
    let FeedFact {
        fit,
        run_in,
        run_out,
        ..
    } = fact;
    let fits = about.finding.level == FindingLevel::Note;
    let missing = fit.missing();
    let says = demand(about, fact).and(match (fit.run(), fit.window()) {
        (Some(run), Some(window)) if window >= -SAME_POINT_M => {
            let says = wording![
                "; there is ",
                at_most(run),
                ", so that the machine may shift by ",
                at_most(window.max(0.0))
            ];
            if fits {
                says
            } else {
                says.and(wording![
                    ", and it stands ",
                    at_least(missing),
                    " beyond that"
                ])
            }
        }
        (Some(run), Some(window)) => {
            let says = wording![
                "; there is only ",
                at_most(run),
                ": ",
                at_least(-window),
                " is missing wherever along it the cutter stands"
            ];
            if (missing + window).abs() <= SAME_POINT_M {
                says
            } else {
                says.and(wording![
                    ", and ",
                    at_least(missing),
                    " at one end where it stands now"
                ])
            }
        }
        _ if fits => wording!["; there is enough"],
        _ => wording!["; ", at_least(missing), " is missing where it stands"],
    });
    let says = says
        .and(wording!["; free before the cutter: "])
        .and(end(about.names, run_in))
        .and(wording![", behind it: "])
        .and(end(about.names, run_out))
        .and(longest(fit));
    let mut said = Said::new(says)
        .figure("piece_length_m", fact.piece.size.length)
        .figure("piece_width_m", fact.piece.size.width)
        .figure("strip_width_m", fit.need.width)
        .figure("needed_m", fit.needed())
        .figure("operator_m", fit.allowances.operator);
    let figures = [
        ("run_in_m", fit.run_in),
        ("run_out_m", fit.run_out),
        ("run_m", fit.run()),
        ("window_m", fit.window()),
        ("longest_here_m", fit.longest_here()),
        ("longest_anywhere_m", fit.longest_anywhere()),
    ];
    for (figure, value) in figures {
        if let Some(value) = value {
            said = said.figure(figure, value);
        }
    }
    if fits {
        return said;
    }
    let way = if fit.short_in() {
        "the way the work is fed"
    } else {
        "against the feed"
    };
    let could = fit.window().is_none_or(|window| window >= -SAME_POINT_M);
    let otherwise = || {
        wording![
            "cut to rough length before this step, or say `cuts: length` at the step that cuts it, if one does; or \
             clear what ends the strip, or turn the feed toward a door or along the longer wall"
        ]
    };
    let helps = match fact.shift {
        Shift::By(far) => wording![format!("move {name} {way} by "), at_least(far)],
        Shift::Untried if could => wording![format!("move {name} {way}")],
        Shift::NoneHelps { as_far } if could => wording![
            format!("no shift of {name} along the strip by up to "),
            at_most(as_far),
            " makes room for it; "
        ]
        .and(otherwise()),
        _ => otherwise(),
    };
    said.help(helps.and(lower(about)))
}

/// What a piece needs: the beginning of the sentence.
fn demand(about: &Subjects<'_>, fact: &FeedFact) -> Wording {
    let FeedFact { piece, fit, .. } = fact;
    let name = &about.subject;
    let shop = about.names.shop;
    let item = &shop.projects[piece.project].items[piece.item.index()].name;
    let of = about.names.of_project(piece.project);
    let operation = &shop.operations[piece.operation];
    let walk = match fit.allowances.outfeed {
        0.0 => Wording::default(),
        outfeed => wording![
            " and ",
            metres(outfeed),
            " for somebody to walk behind the out-feed"
        ],
    };
    let run = wording![
        format!("{name}: {item}{of} at {operation}, "),
        metres(piece.size.length),
        " long, needs ",
        at_least(fit.needed()),
        " of straight run, ",
        metres(fit.allowances.operator),
        " of it for the operator to stand",
    ];
    let strip = wording![", in a strip ", metres(fit.need.width), " wide"];
    run.and(walk).and(strip)
}

/// Where the strip ends on one side.
fn end(names: ShopNames<'_>, run: &FreeRun) -> Wording {
    let through = match run.through {
        Some(door) => format!(" through the open {}", names.door(door)),
        None => String::new(),
    };
    match (run.free, run.end) {
        (Some(free), Some(end)) => {
            let end = names.obstacle(end);
            wording![at_most(free), format!("{through}, as far as {end}")]
        }
        _ if run.through.is_some() => wording![format!("as long as wanted,{through}")],
        _ => wording!["as long as wanted"],
    }
}

/// How long pieces may be.
fn longest(fit: &Fit) -> Wording {
    if fit.machine_lacks() > 0.0 {
        return wording![
            "; no piece passes here: the machine itself and the room to stand lack ",
            at_least(fit.machine_lacks())
        ];
    }
    let here = fit.longest_here().map(|here| {
        wording![
            "; the longest piece that passes here is ",
            at_most(here),
            " long"
        ]
    });
    let anywhere = fit
        .longest_anywhere()
        .map(|anywhere| wording![", at the best place along this strip ", at_most(anywhere)]);
    here.unwrap_or_default().and(anywhere.unwrap_or_default())
}

/// The plan knows no heights, so say what it cannot know of what ends the strip.
fn lower(about: &Subjects<'_>) -> Wording {
    match about.finding.other {
        Some(_) if about.other != WALL => wording![format!(
            "; if {} is lower than the table, so that work passes over it, this does not count",
            about.other
        )],
        _ => Wording::default(),
    }
}

/// Something stands beside the cutter within the strip's width.
fn beside(about: &Subjects<'_>, fact: &FeedFact, width: f64) -> Said {
    let Subjects { subject, other, .. } = about;
    let says = demand(about, fact).and(wording![
        format!("; {other} stands beside the cutter and leaves only "),
        at_most(width)
    ]);
    let helps = match fact.shift {
        Shift::By(far) => wording![
            format!("move {subject} sideways from {other} by "),
            at_least(far)
        ],
        Shift::Untried => wording![format!("move {subject} sideways from {other}")],
        Shift::NoneHelps { as_far } => wording![
            format!("no shift of {subject} sideways by up to "),
            at_most(as_far),
            format!(" makes room for it: move {other}, turn {subject} or find it another place")
        ],
    };
    Said::new(says)
        .figure("strip_width_m", fact.fit.need.width)
        .figure("free_width_m", width)
        .help(helps.and(lower(about)))
}
