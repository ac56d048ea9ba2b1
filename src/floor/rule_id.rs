//! The rules of the floor by name.

/// A rule of the floor; [`RULES`](super::check::RULES) has a row for each, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleId {
    Overlap,
    Walls,
    InTheWay,
    Doors,
    Panel,
    Standing,
    Reachable,
    WayOut,
    Feed,
    Crossing,
    Aisle,
    NearGap,
    Kickback,
    Reach,
    OutOfReach,
    TooHigh,
    Access,
    Lifting,
    Ceiling,
    ShortPiece,
    ThinPiece,
    NarrowPiece,
    WidePiece,
    DeepCut,
    Tipping,
    FullPanel,
    BladeLine,
    Units,
    BenchHeight,
    OpenTime,
}

impl RuleId {
    /// As it stands in every output.
    pub const fn name(self) -> &'static str {
        match self {
            RuleId::Overlap => "overlap",
            RuleId::Walls => "walls",
            RuleId::InTheWay => "in the way",
            RuleId::Doors => "doors",
            RuleId::Panel => "panel",
            RuleId::Standing => "standing",
            RuleId::Reachable => "reachable",
            RuleId::WayOut => "way out",
            RuleId::Feed => "feed",
            RuleId::Crossing => "crossing",
            RuleId::Aisle => "aisle",
            RuleId::NearGap => "near gap",
            RuleId::Kickback => "kickback",
            RuleId::Reach => "reach",
            RuleId::OutOfReach => "out of reach",
            RuleId::TooHigh => "too high",
            RuleId::Access => "access",
            RuleId::Lifting => "lifting",
            RuleId::Ceiling => "ceiling",
            RuleId::ShortPiece => "short piece",
            RuleId::ThinPiece => "thin piece",
            RuleId::NarrowPiece => "narrow piece",
            RuleId::WidePiece => "wide piece",
            RuleId::DeepCut => "deep cut",
            RuleId::Tipping => "tipping",
            RuleId::FullPanel => "full panel",
            RuleId::BladeLine => "blade line",
            RuleId::Units => "units",
            RuleId::BenchHeight => "bench height",
            RuleId::OpenTime => "open time",
        }
    }
}
