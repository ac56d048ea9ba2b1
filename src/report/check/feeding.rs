//! Words about straight floor before and behind the machines through which work is fed.

use super::names::{ShopNames, WALL};
use super::phrase::{Wording, at_least, at_most, finely, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::strips::{Fit, FreeRun, LyingAcross};
use crate::floor::{FedAtTable, FeedFact, FindingLevel, Lowered, Obstacle, SAME_POINT_M, Shift};
use crate::report::sentence::listed;

pub fn said(about: &Subjects<'_>, fact: &FeedFact) -> Said {
    if fact.piece.is_across {
        return across(about, fact);
    }
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
    let involved = fact.at_table.as_ref().filter(|fed| fed.is_involved());
    let says = demand(about, fact).and(match (fit.run(), fit.window()) {
        // Elsewhere along the strip the work would pass over other things.
        _ if involved.is_some() && fits => wording!["; there is enough"],
        _ if involved.is_some() => wording!["; ", at_least(missing), " is missing where it stands"],
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
        .and(match &fact.at_table {
            Some(fed) if fed.is_involved() => passed(about.names, fed),
            _ => longest(fit),
        })
        .and(heights(about, fact));
    let mut said = Said::new(says)
        .figure("piece_length_m", fact.piece.size.length)
        .figure("piece_width_m", fact.piece.size.width)
        .figure("strip_width_m", fit.need.width)
        .figure("needed_m", fit.needed())
        .figure("operator_m", fit.allowances.operator);
    let elsewhere = |figure: Option<f64>| figure.filter(|_| involved.is_none());
    let longest_here = match involved {
        Some(fed) => fed.longest,
        None => fit.longest_here(),
    };
    let figures = [
        ("run_in_m", fit.run_in),
        ("run_out_m", fit.run_out),
        ("run_m", fit.run()),
        ("window_m", elsewhere(fit.window())),
        ("longest_here_m", longest_here),
        ("longest_anywhere_m", elsewhere(fit.longest_anywhere())),
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
    let could = involved.is_some() || fit.window().is_none_or(|window| window >= -SAME_POINT_M);
    let otherwise = || {
        wording![
            "cut to rough length before this step, or say `cuts: length` at the step that cuts it, if one does; or \
             clear what ends the strip, or turn the feed toward a door or along the longer wall"
        ]
    };
    let helps = match fact.shift {
        Shift::By(far) => wording![format!("move {name} {way} by "), at_least(far)],
        Shift::Untried if could => wording![format!("move {name} {way}")],
        // Something else was found.
        Shift::NoneHelps { .. } if is_freed(fact) => otherwise(),
        Shift::NoneHelps { as_far } if could => wording![
            format!("no shift of {name} along the strip by up to "),
            at_most(as_far),
            " makes room for it; "
        ]
        .and(otherwise()),
        _ => otherwise(),
    };
    said.help(lowered(about, fact).and(helps).and(lower(about, fact)))
}

/// What the work passes over, what carries it, and how long it may be.
fn passed(names: ShopNames<'_>, fed: &FedAtTable) -> Wording {
    let listed = |all: &[Obstacle]| {
        let all: Vec<String> = all
            .iter()
            .map(|&of| names.obstacle(of).to_owned())
            .collect();
        listed(&all, "and")
    };
    let mut says = Wording::default();
    if !fed.over.is_empty() {
        says = says.and(wording![format!("; it passes over {}", listed(&fed.over))]);
    }
    if !fed.carried_by.is_empty() {
        let all = listed(&fed.carried_by);
        says = says.and(wording![format!("; it is carried by {all}")]);
    }
    match fed.longest {
        Some(0.0) => says.and(wording!["; no piece was found to pass here"]),
        Some(longest) => says.and(wording![
            "; the longest piece found to pass here is ",
            at_most(longest),
            " long"
        ]),
        None => says,
    }
}

/// How much too high something is for work to pass over it.
fn heights(about: &Subjects<'_>, fact: &FeedFact) -> Wording {
    let Some(fed) = &fact.at_table else {
        return Wording::default();
    };
    match fed.end_height {
        Some(height) if about.finding.level == FindingLevel::Fault => wording![
            format!("; {} is ", about.other),
            metres(height),
            " high, and the table ",
            metres(fed.table)
        ],
        _ => Wording::default(),
    }
}

/// Whether making something lower frees the strip.
fn is_freed(fact: &FeedFact) -> bool {
    let at_table = fact.at_table.as_ref();
    at_table.is_some_and(|fed| fed.lowered.is_some())
}

/// What frees the strip when it is made lower.
fn lowered(about: &Subjects<'_>, fact: &FeedFact) -> Wording {
    let lowered = fact.at_table.as_ref().and_then(|fed| fed.lowered);
    let Some(Lowered { what, by, is_level }) = lowered else {
        return Wording::default();
    };
    let what = about.names.obstacle(what);
    match is_level {
        true if by < 0.0 => wording![
            format!("raise {what} by "),
            metres(-by),
            ", level with the table, so that it carries the work; or "
        ],
        true => wording![
            format!("lower {what} by "),
            metres(by),
            ", level with the table, so that it carries the work; or "
        ],
        false => wording![
            format!("lower {what} by "),
            at_least(by),
            ", so that the work passes over it; or "
        ],
    }
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
    let piece = wording![
        format!("{name}: {item}{of} at {operation}, "),
        metres(piece.size.length),
        " long, "
    ];
    if fact.piece.is_across {
        return piece.and(wording![
            "lies across and slides past the cutter: it needs ",
            at_least(fit.need.outfeed),
            " on one side of it, in a strip ",
            metres(fit.need.width),
            " wide"
        ]);
    }
    let run = piece.and(wording![
        "needs ",
        at_least(fit.needed()),
        " of straight run"
    ]);
    let stand = match fit.allowances.operator {
        0.0 => Wording::default(),
        operator => wording![", ", metres(operator), " of it for the operator to stand"],
    };
    let strip = wording![", in a strip ", metres(fit.need.width), " wide"];
    let strip = match fact.lying {
        LyingAcross::InTheMiddle => strip,
        _ => strip.and(wording![
            " with the whole width of the piece on one side of the blade"
        ]),
    };
    run.and(stand).and(walk).and(strip)
}

/// A piece that lies across and slides sideways, to one side or the other.
fn across(about: &Subjects<'_>, fact: &FeedFact) -> Said {
    let FeedFact {
        fit,
        run_in,
        run_out,
        ..
    } = fact;
    let name = &about.subject;
    let fits = about.finding.level == FindingLevel::Note;
    let [left, right] = match fact.lying {
        LyingAcross::Right => [run_in, run_out],
        _ => [run_out, run_in],
    };
    let says = demand(about, fact)
        .and(match fits {
            true => wording!["; there is enough"],
            false => wording!["; ", at_least(fit.missing()), " is missing where it stands"],
        })
        .and(wording!["; free on its left: "])
        .and(end(about.names, left))
        .and(wording![", on its right: "])
        .and(end(about.names, right))
        .and(heights(about, fact));
    let mut said = Said::new(says)
        .figure("piece_length_m", fact.piece.size.length)
        .figure("piece_width_m", fact.piece.size.width)
        .figure("strip_width_m", fit.need.width)
        .figure("needed_m", fit.need.outfeed);
    let figures = [
        ("run_in_m", fit.run_in),
        ("run_out_m", fit.run_out),
        ("longest_here_m", fit.run_out),
    ];
    for (figure, value) in figures {
        if let Some(value) = value {
            said = said.figure(figure, value);
        }
    }
    if fits {
        return said;
    }
    let otherwise =
        wording!["cut it to length with a miter saw or a hand-held saw before it comes here"];
    let helps = match fact.shift {
        Shift::By(far) => wording![format!("move {name} sideways by "), at_least(far), ", or "],
        _ => Wording::default(),
    };
    said.help(
        lowered(about, fact)
            .and(helps)
            .and(otherwise)
            .and(lower(about, fact)),
    )
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

/// Where a height is not known, say what that may be worth.
fn lower(about: &Subjects<'_>, fact: &FeedFact) -> Wording {
    let is_known = (fact.at_table.as_ref()).is_some_and(|fed| fed.end_height.is_some());
    match about.finding.other {
        Some(_) if about.other != WALL && !is_known => wording![format!(
            "; if {} is lower than the table, so that work passes over it, say so by `height` and `table`",
            about.other
        )],
        _ => Wording::default(),
    }
}

/// Something stands beside the cutter within the strip's width.
fn beside(about: &Subjects<'_>, fact: &FeedFact, width: f64) -> Said {
    let Subjects { subject, other, .. } = about;
    let says = demand(about, fact)
        .and(wording![
            format!("; {other} stands beside the cutter and leaves only "),
            at_most(width),
            match fact.lying {
                LyingAcross::InTheMiddle => "",
                LyingAcross::Left => " on the left of the blade",
                LyingAcross::Right => " on the right of the blade",
            }
        ])
        .and(heights(about, fact));
    let helps = match fact.shift {
        Shift::By(far) => wording![
            format!("move {subject} sideways from {other} by "),
            at_least(far)
        ],
        Shift::Untried => wording![format!("move {subject} sideways from {other}")],
        Shift::NoneHelps { .. } if is_freed(fact) => {
            wording![format!(
                "move {other}, turn {subject} or find it another place"
            )]
        }
        Shift::NoneHelps { as_far } => wording![
            format!("no shift of {subject} sideways by up to "),
            at_most(as_far),
            format!(" makes room for it: move {other}, turn {subject} or find it another place")
        ],
    };
    Said::new(says)
        .figure("strip_width_m", fact.fit.need.width)
        .figure("free_width_m", width)
        .help(
            lowered(about, fact)
                .and(halves(fact))
                .and(helps)
                .and(lower(about, fact)),
        )
}

/// What is done with a sheet that is too wide for where the saw stands.
fn halves(fact: &FeedFact) -> Wording {
    match fact.lying {
        LyingAcross::InTheMiddle => Wording::default(),
        _ => wording!["rip it in half first with a hand-held saw, or "],
    }
}

/// So much higher or lower than a table, something may have been meant to carry what comes, in metres.
pub const MEANT_TO_CARRY_M: f64 = 0.05;

/// What is said of something that ends the way of work at the height of a table and hardly differs from that: by so many
/// metres it is lower.
pub fn missed_level(lower: f64) -> Option<Wording> {
    let by = lower.abs();
    (by <= MEANT_TO_CARRY_M).then(|| {
        let how = if lower > 0.0 { "low" } else { "high" };
        wording![finely(by), format!(" too {how} to carry it")]
    })
}

/// What is the matter in a few words and a figure or two.
pub fn brief(about: &Subjects<'_>, fact: &FeedFact) -> Option<Wording> {
    let fed = fact.at_table.as_ref()?;
    let missed = missed_level(fed.off_level?)?;
    let says = wording![
        format!("too little room to feed work at {}, ", about.subject),
        at_least(about.missing),
        format!(" missing: {} is ", about.other)
    ];
    (about.finding.level == FindingLevel::Fault).then(|| says.and(missed))
}
