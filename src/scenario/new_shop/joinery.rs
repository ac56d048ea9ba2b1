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

/// A rail's tenon goes into the mortise of a leg. Without a mortiser most of it is bored and the rest pared.
static MORTISE: UsualJoint = UsualJoint {
    words: &["leg", "post", "stile"],
    stuff: Some(Stuff::Boards),
    operations: &["mortise", "bore", "drill", "joinery"],
};

static TENON: UsualJoint = UsualJoint {
    words: &["rail", "apron", "stretcher", "rung", "slat"],
    stuff: Some(Stuff::Boards),
    operations: &["tenon", "rout", "joinery"],
};

static MITER: UsualJoint = UsualJoint {
    words: &["frame", "trim", "molding", "moulding"],
    stuff: Some(Stuff::Boards),
    operations: &["miter"],
};

/// Shelves and bottoms stand in dados of what is upright.
static DADO: UsualJoint = UsualJoint {
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
};

static SHEET_DADO: UsualJoint = UsualJoint {
    words: &["panel", "box"],
    stuff: Some(Stuff::Sheets),
    operations: &["dado", "rout", "joinery"],
};

static JOINTS: [&UsualJoint; 5] = [&MORTISE, &TENON, &MITER, &DADO, &SHEET_DADO];

/// How the parts of a project are usually joined.
pub struct UsualJoinery<'r> {
    /// Of each part, by the order of the list.
    pub joints: Vec<Vec<&'static UsualJoint>>,
    /// Parts that would have tenons if any other one took them.
    pub without_tenon: Vec<&'r str>,
}

/// The joints of all parts. Tenons are of use only where something takes them: legs, posts and stiles, or else what is
/// upright, of solid wood.
pub fn usual_joinery(rows: &[CutRow]) -> UsualJoinery<'_> {
    let own: Vec<Option<&UsualJoint>> = rows.iter().map(usual_joint).collect();
    let is = |joint: Option<&UsualJoint>, wanted: &UsualJoint| {
        joint.is_some_and(|joint| std::ptr::eq(joint, wanted))
    };
    let is_upright = |(row, &joint): (&CutRow, &Option<&UsualJoint>)| {
        row.stuff == Stuff::Boards && is(joint, &DADO)
    };
    let has_tenons = own.iter().any(|&joint| is(joint, &TENON));
    let has_mortises = own.iter().any(|&joint| is(joint, &MORTISE));
    let uprights_take_them = has_tenons && !has_mortises;
    let are_taken = has_mortises || rows.iter().zip(&own).any(is_upright);
    let joints = rows.iter().zip(&own).map(|(row, joint)| {
        let goes_without = is(*joint, &TENON) && !are_taken;
        let mut joints: Vec<&UsualJoint> = joint.iter().copied().collect();
        joints.retain(|_| !goes_without);
        if uprights_take_them && is_upright((row, joint)) {
            joints.push(&MORTISE);
        }
        joints
    });
    let tenons = rows
        .iter()
        .zip(&own)
        .filter(|(_, joint)| is(**joint, &TENON));
    UsualJoinery {
        joints: joints.collect(),
        without_tenon: match are_taken {
            true => Vec::new(),
            false => tenons.map(|(row, _)| &row.part[..]).collect(),
        },
    }
}

/// The joint of a part; of several words of its name the last says most: the rail of `leg rail`.
fn usual_joint(row: &CutRow) -> Option<&'static UsualJoint> {
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
        let mut joints = JOINTS.into_iter();
        joints.find(|joint| {
            joint.words.contains(&word) && joint.stuff.is_none_or(|stuff| stuff == row.stuff)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::kinds;

    fn row(part: &str, stuff: Stuff, thickness: f64) -> CutRow {
        CutRow {
            part: part.to_owned(),
            quantity: 1,
            size: [0.6, 0.1, thickness],
            stuff,
            material: String::new(),
        }
    }

    fn joint(part: &str, stuff: Stuff, thickness: f64) -> Option<&'static str> {
        Some(usual_joint(&row(part, stuff, thickness))?.operations[0])
    }

    #[test]
    fn every_joint_is_made_by_some_kind_of_station() {
        for operation in JOINTS.into_iter().flat_map(|joint| joint.operations) {
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

    /// A tenon without a mortise is no joint: a rail between sides of plywood has none.
    #[test]
    fn tenons_go_with_mortises() {
        let joints = |rows: &[CutRow]| -> Vec<Vec<&str>> {
            let joints = usual_joinery(rows).joints.into_iter();
            let names = |joints: Vec<&UsualJoint>| joints.iter().map(|j| j.operations[0]).collect();
            joints.map(names).collect()
        };
        let rail = row("rail", Stuff::Boards, 0.019);
        let leg = row("leg", Stuff::Boards, 0.038);
        let solid = row("side", Stuff::Boards, 0.019);
        let ply = row("side", Stuff::Sheets, 0.018);
        assert_eq!(
            joints(&[rail.clone(), leg.clone()]),
            [["tenon"], ["mortise"]]
        );
        let solid_sides = [rail.clone(), solid.clone()];
        assert_eq!(
            joints(&solid_sides),
            [vec!["tenon"], vec!["dado", "mortise"]]
        );
        let with_legs = [rail.clone(), solid, leg];
        assert_eq!(joints(&with_legs), [["tenon"], ["dado"], ["mortise"]]);
        let of_ply = [ply, rail];
        assert_eq!(joints(&of_ply), [vec!["dado"], vec![]]);
        assert_eq!(usual_joinery(&of_ply).without_tenon, ["rail"]);
        assert!(usual_joinery(&solid_sides).without_tenon.is_empty());
    }
}
