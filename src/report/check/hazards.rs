//! Words about pieces and places that are wrong for a machine.

use super::phrase::{at_least, at_most, finely, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::{FedPiece, FeedHazard};

pub fn said(about: &Subjects<'_>, fact: &FeedHazard) -> Said {
    let name = &about.subject;
    match fact {
        FeedHazard::Short { piece, least } => {
            let says = wording![
                format!("{} at {name} is ", of(about, piece)),
                metres(piece.size.length),
                " long; ",
                metres(*least),
                " is the usual least there"
            ];
            Said::new(says)
                .figure("piece_length_m", piece.size.length)
                .help(wording![
                    "mill it as part of a longer piece and cut it last; the manual says what your machine takes"
                ])
        }
        FeedHazard::Thin {
            piece,
            thickness,
            least,
        } => {
            let says = wording![
                format!("{} leaves {name} ", of(about, piece)),
                finely(*thickness),
                " thick; ",
                finely(*least),
                " is the usual least there"
            ];
            Said::new(says)
                .figure("thickness_m", *thickness)
                .figure("least_m", *least)
                .help(wording![
                    "plane it on a flat board that goes through with it, or resaw it and smooth it by hand; the manual \
                     says what your machine takes"
                ])
        }
        FeedHazard::Narrow { piece, least } => {
            let says = wording![
                format!("{} at {name} is ", of(about, piece)),
                finely(piece.size.width),
                " wide; ",
                finely(*least),
                " is the usual least there"
            ];
            Said::new(says)
                .figure("piece_width_m", piece.size.width)
                .figure("least_m", *least)
                .help(wording![
                    "mill it as part of a wider piece and rip it last; the manual says what your machine takes"
                ])
        }
        FeedHazard::Wide { piece, most } => {
            let says = wording![
                format!("{} at {name} is ", of(about, piece)),
                finely(piece.size.width),
                format!(" wide; {name} takes "),
                finely(*most),
                " at most"
            ];
            Said::new(says)
                .figure("piece_width_m", piece.size.width)
                .figure("most_m", *most)
                .help(wording![
                    "work it at another machine, or make it up of narrower pieces that are glued last; say `widest` if yours takes more"
                ])
        }
        FeedHazard::Deep { piece, bite, most } => {
            let operation = &about.names.shop.operations[piece.operation];
            let says = wording![
                format!("{operation} at {name} takes "),
                finely(*bite),
                format!(" off {} in one pass; ", of(about, piece)),
                finely(*most),
                " is the usual most there"
            ];
            Said::new(says)
                .figure("bite_m", *bite)
                .figure("most_m", *most)
                .help(wording![
                    "take it off in more passes, by `passes` or `depth per pass`, and still less where it is wide or \
                     hard; the manual says what your machine takes"
                ])
        }
        FeedHazard::Tips { piece, carried } if piece.is_across => {
            let says = wording![
                format!("{} at {name} is ", of(about, piece)),
                metres(piece.size.length),
                " long, lies across it and is carried for ",
                at_most(*carried),
                " beside the cutter: it tips when its middle lies beyond the edge"
            ];
            Said::new(says)
                .figure("piece_length_m", piece.size.length)
                .figure("carried_m", *carried)
                .help(wording![
                    "cut it to length with a miter saw or a hand-held saw before it comes here, or carry its end"
                ])
        }
        FeedHazard::Tips { piece, carried } => {
            let half = piece.size.length / 2.0;
            let says = wording![
                format!("{} at {name} is ", of(about, piece)),
                metres(piece.size.length),
                " long and is carried for ",
                at_most(*carried),
                " behind the cutter: it tips when its middle has passed the edge"
            ];
            Said::new(says)
                .figure("piece_length_m", piece.size.length)
                .figure("carried_m", *carried)
                .help(wording![
                    format!("carry it behind {name} as far as "),
                    at_least(half),
                    " from the cutter, ",
                    at_least(half - carried),
                    " farther than now, by a table or a roller stand as high as the machine's table, or up to 1/16 in \
                     lower; or let a trained second person take it"
                ])
        }
        FeedHazard::Sags {
            piece,
            free,
            sag,
            most,
        } => {
            let says = wording![
                format!("the end of {} hangs ", of(about, piece)),
                metres(*free),
                format!(" free behind {name} and sags "),
                finely(*sag),
                "; ",
                finely(*most),
                " is reckoned with at most"
            ];
            Said::new(says)
                .figure("piece_length_m", piece.size.length)
                .figure("free_m", *free)
                .figure("sag_m", *sag)
                .help(wording![format!(
                    "carry it behind {name} by a table or a roller stand as high as the machine's table, or up to 1/16 in \
                     lower; or let a trained second person take it"
                )])
        }
        FeedHazard::Alone { piece } => {
            let says = wording![
                format!("one person feeds {} of ", of(about, piece)),
                metres(piece.size.length),
                " by ",
                metres(piece.size.width),
                format!(" through {name}, and nothing stands behind it that carries the piece")
            ];
            Said::new(says)
                .figure("piece_length_m", piece.size.length)
                .figure("piece_width_m", piece.size.width)
                .help(wording![
                    "break it down on the floor or on a bench first, or set an out-feed table behind the saw and let a \
                     trained second person carry (`people: 2`)"
                ])
        }
        FeedHazard::BladeLine {
            aside,
            wanted,
            is_room,
        } => {
            let says = wording![
                format!("whoever feeds {name} stands "),
                metres(*aside),
                " beside the middle of it: in the line of the blade, if that is there"
            ];
            Said::new(says).figure("aside_m", *aside).help(wording![
                "stand beside the line, ",
                at_least(*wanted),
                match is_room {
                    true => " or more, and say so by `stand`",
                    false => {
                        " or more, and say so by `stand`; as things stand there is no room for that on either side"
                    }
                }
            ])
        }
    }
}

/// The piece by its name, in quotation marks where that has a figure in it: "Board 26 mm is too wide" would say which
/// size is too much.
fn of(about: &Subjects<'_>, piece: &FedPiece) -> String {
    let name = about.names.item(piece.project, piece.item);
    match name.contains(|letter: char| letter.is_ascii_digit()) {
        true => format!("\"{name}\""),
        false => name,
    }
}

/// The same in a few words.
pub fn short(about: &Subjects<'_>, fact: &FeedHazard) -> String {
    let name = &about.subject;
    match fact {
        FeedHazard::Short { piece, .. } => format!("{} is short for {name}", of(about, piece)),
        FeedHazard::Thin { piece, .. } => format!("{} gets thin at {name}", of(about, piece)),
        FeedHazard::Narrow { piece, .. } => format!("{} is narrow for {name}", of(about, piece)),
        FeedHazard::Wide { piece, .. } => format!("{} is too wide for {name}", of(about, piece)),
        FeedHazard::Deep { piece, .. } => {
            format!("{name} takes much off {} in one pass", of(about, piece))
        }
        FeedHazard::Tips { piece, .. } => {
            let side = if piece.is_across { "beside" } else { "behind" };
            format!("{} tips {side} {name}", of(about, piece))
        }
        FeedHazard::Sags { piece, .. } => format!("{} sags behind {name}", of(about, piece)),
        FeedHazard::Alone { piece } => {
            format!("one person alone feeds {} through {name}", of(about, piece))
        }
        FeedHazard::BladeLine { .. } => {
            format!("whoever feeds {name} stands in the line of the blade")
        }
    }
}
