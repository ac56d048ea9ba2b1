//! How parts are usually joined, guessed from what they are called.

use super::length::INCH;
use super::parts::{CutRow, Stuff};

/// A joint that is usual for parts of some names, from common practice.
pub struct UsualJoint {
    /// In the singular.
    words: &'static [&'static str],
    /// Only of this, if anything is said.
    stuff: Option<Stuff>,
    /// The operation by which it is made, or else another one.
    pub operations: &'static [&'static str],
}

/// What is thinner holds no joint, in metres.
const THINNEST_M: f64 = 7.0 / 16.0 * INCH;

const JOINTS: [UsualJoint; 5] = [
    // A rail's tenon goes into the mortise of a leg. Without a mortiser most of it is bored and the rest pared.
    UsualJoint {
        words: &["leg", "post", "stile"],
        stuff: Some(Stuff::Boards),
        operations: &["mortise", "bore", "drill", "joinery"],
    },
    UsualJoint {
        words: &["rail", "apron", "stretcher", "rung", "slat"],
        stuff: Some(Stuff::Boards),
        operations: &["tenon", "rout", "joinery"],
    },
    UsualJoint {
        words: &["frame", "trim", "molding", "moulding"],
        stuff: Some(Stuff::Boards),
        operations: &["miter"],
    },
    // Shelves and bottoms stand in dados of what is upright.
    UsualJoint {
        words: &[
            "side",
            "end",
            "divider",
            "partition",
            "upright",
            "gable",
            "carcase",
            "carcass",
        ],
        stuff: None,
        operations: &["dado", "rout", "joinery"],
    },
    UsualJoint {
        words: &["panel", "box"],
        stuff: Some(Stuff::Sheets),
        operations: &["dado", "rout", "joinery"],
    },
];

/// The joint of a part; of several words of its name the last says most: the rail of `leg rail`.
pub fn usual_joint(row: &CutRow) -> Option<&'static UsualJoint> {
    if row.size[2] < THINNEST_M {
        return None;
    }
    let plain = row.part.to_lowercase();
    let mut words = plain
        .split(|letter: char| !letter.is_alphabetic())
        .collect::<Vec<_>>()
        .into_iter()
        .rev();
    words.find_map(|word| {
        let word = word.strip_suffix('s').unwrap_or(word);
        JOINTS.iter().find(|joint| {
            joint.words.contains(&word) && joint.stuff.is_none_or(|stuff| stuff == row.stuff)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::kinds;

    fn joint(part: &str, stuff: Stuff, thickness: f64) -> Option<&'static str> {
        let row = CutRow {
            part: part.to_owned(),
            quantity: 1,
            size: [0.6, 0.1, thickness],
            stuff,
            material: String::new(),
        };
        Some(usual_joint(&row)?.operations[0])
    }

    #[test]
    fn every_joint_is_made_by_some_kind_of_station() {
        for operation in JOINTS.iter().flat_map(|joint| joint.operations) {
            let does = |kind: &kinds::StationKind| kind.does.iter().any(|d| d.name == *operation);
            assert!(kinds::kinds().any(does), "{operation}");
        }
    }

    #[test]
    fn the_last_word_of_a_name_says_most() {
        for (part, stuff, thickness, operation) in [
            ("Legs", Stuff::Boards, 0.038, Some("mortise")),
            ("top rail", Stuff::Boards, 0.019, Some("tenon")),
            ("rail, side", Stuff::Boards, 0.019, Some("dado")),
            ("left side", Stuff::Sheets, 0.018, Some("dado")),
            ("lid panel", Stuff::Sheets, 0.006, None),
            ("panel", Stuff::Boards, 0.019, None),
            ("thing", Stuff::Boards, 0.019, None),
        ] {
            assert_eq!(joint(part, stuff, thickness), operation, "{part}");
        }
    }
}
