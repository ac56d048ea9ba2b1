//! Findings in a few words, for a reader who has not asked for the figures.

use super::hazards;
use super::people::from_side;
use super::said::Subjects;
use crate::floor::{Direction, Fact, FindingLevel, Grade, Kickback};

/// What is the matter, without figures.
pub(super) fn short(about: &Subjects<'_>) -> String {
    let (subject, other) = (&about.subject, &about.other);
    match &about.finding.fact {
        Fact::Overlap { .. } => format!("{subject} and {other} overlap"),
        Fact::BeyondWalls { outside: true, .. } => format!("{subject} is outside the room"),
        Fact::BeyondWalls { .. } => format!("{subject} is in the wall"),
        Fact::BeforeDoor { .. } => format!("{subject} blocks {other}"),
        Fact::InLeaf { .. } => format!("{subject} keeps {other} from opening"),
        Fact::BeforePanel { .. } => format!("{subject} stands before {other}"),
        Fact::Standing { .. } => format!("too little room to stand at {subject}"),
        Fact::StandingInLeaf => format!("who stands at {subject} is in the swing of {other}"),
        Fact::StandingInDoor { .. } => format!("too little room to stand in {subject}"),
        Fact::CutOff { others, .. } => {
            format!("no way from {other} to {}", about.with_others(others))
        }
        Fact::CartCutOff { .. } => format!("no way for a cart from {other} to {subject}"),
        Fact::WayOut { .. } => format!("the way out from {subject} is too narrow"),
        Fact::Feed(_) => format!("too little room to feed work at {subject}"),
        Fact::Crossing { .. } => {
            format!("work fed at {subject} and at {other} needs the same floor")
        }
        Fact::Aisle { between, .. } => {
            format!("the way {} is narrow", about.names.between(*between))
        }
        Fact::Doorway { .. } => format!("{subject} is an ordinary door"),
        Fact::FeedHazard(fact) => hazards::short(about, fact),
        Fact::NearGap { gap, body, between } => {
            let is = match gap.is_open(*body) {
                true => "just wide enough for a person",
                false => "just too narrow for a person",
            };
            format!("the gap {} is {is}", about.names.between(*between))
        }
        Fact::Kickback(Kickback::Unknown) => {
            format!("nothing says which way work is fed at {subject}")
        }
        Fact::Kickback(Kickback::Walked { .. }) => {
            format!("people walk where {subject} may throw a piece")
        }
        Fact::Kickback(Kickback::Fetched { .. }) => {
            format!("people fetch pieces where {subject} may throw one")
        }
        Fact::BenchHeight { .. } => format!("how high {subject} should be"),
        Fact::KeptBehind { .. } => format!("{subject} is behind {other}"),
        Fact::KeptFar { .. } => format!("{subject} is far from {other}"),
        Fact::KeptInside { .. } => format!("{subject} is not on the way out"),
        Fact::KeptInDoor { .. } => format!("{subject} hangs in a door"),
        Fact::CollectorByFlame { .. } => format!("{subject} is in one air with {other}"),
        Fact::KeptNearFlame { .. } => format!("{subject} is near {other}"),
        Fact::OpenTime { .. } => format!("work at {subject} takes longer than its open time"),
        Fact::WetFinish { .. } => format!("dust from {other} may fall on wet finish at {subject}"),
        Fact::Units { count } => format!("{subject} counts as {count} on one footprint"),
        Fact::Kickback(_) => format!("{other} is where {subject} may throw a piece"),
        Fact::ReachBlocked { seen, .. } | Fact::ReachCutOff { seen, .. } => {
            format!("{subject} cannot be reached {}", from_side(*seen))
        }
        Fact::TooHigh { .. } => match about.finding.other {
            Some(_) => format!("{subject} keeps {other} from opening"),
            None => format!("{subject} is higher than the room"),
        },
        Fact::ReachOver { .. } => format!("{subject} hangs too far back to reach"),
        Fact::ReachUp { .. } => format!("{subject} hangs too high to reach"),
        Fact::Access(fact) => {
            let way = match fact.direction {
                Direction::In => "come in",
                Direction::Out => "get out",
            };
            match fact.passage.grade {
                Grade::Stuck => format!("{subject} cannot {way}"),
                Grade::Unknown => format!("{subject} may not {way}"),
                Grade::OnlySo => format!("{subject} can only just {way}"),
                Grade::Passes => format!("{subject} can {way}"),
            }
        }
        Fact::Lifting { .. } if about.finding.level == FindingLevel::Fault => {
            format!("{subject} is too heavy for one, and nobody can help at that step")
        }
        Fact::Lifting { .. } => format!("{subject} is heavy to lift"),
        Fact::Ceiling { .. } => format!("{subject} cannot be stood on end"),
    }
}
