//! Words about pieces and places that are wrong for a machine.

use super::phrase::{at_least, metres, wording};
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

/// The piece by its name.
fn of(about: &Subjects<'_>, piece: &FedPiece) -> String {
    about.names.item(piece.project, piece.item)
}

/// The same in a few words.
pub fn short(about: &Subjects<'_>, fact: &FeedHazard) -> String {
    let name = &about.subject;
    match fact {
        FeedHazard::Short { piece, .. } => format!("{} is short for {name}", of(about, piece)),
        FeedHazard::Alone { piece } => {
            format!("one person alone feeds {} through {name}", of(about, piece))
        }
        FeedHazard::BladeLine { .. } => {
            format!("whoever feeds {name} stands in the line of the blade")
        }
    }
}
