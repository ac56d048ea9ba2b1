//! What the rules of the floor find: facts with numbers and ids, without a word.

pub use super::feed_fact::{FedAtTable, FedPiece, FeedFact, FeedHazard, Kickback, Lowered};
pub use super::rule_id::RuleId;
pub use super::shift::Shift;
use super::{ChokePoint, FloorState, NearGap, Obstacle, Point, Side};
use crate::shop::{ItemId, OperationId, PersonId, PlaceId, ProjectId, Size};

/// How bad a finding is, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FindingLevel {
    /// It does not fit, or must not be so.
    Fault,
    /// It may be meant so, but is worth a second look.
    Warning,
    /// Good to know.
    Note,
}

impl FindingLevel {
    pub const ALL: [FindingLevel; 3] = [
        FindingLevel::Fault,
        FindingLevel::Warning,
        FindingLevel::Note,
    ];
}

/// What is brought in, carried out or lifted.
#[derive(Debug, Clone, PartialEq)]
pub enum Cargo {
    /// Index among what the room says is brought in.
    Stock(usize),
    /// What these parts are cut from.
    CutInto(Vec<(ProjectId, ItemId)>),
    Item(ProjectId, ItemId),
}

/// What a finding is about.
#[derive(Debug, Clone, PartialEq)]
pub enum FindingSubject {
    /// A station or, after all stations, a door of the room.
    Place(PlaceId),
    /// Index among the room's things in the way.
    Thing(usize),
    Wall,
    /// Index among the room's electrical panels.
    Panel(usize),
    /// Index among the room's ways in.
    AccessRoute(usize),
    /// Index among what is kept at hand in the room.
    Kept(usize),
    Cargo(Cargo),
}

impl From<Obstacle> for FindingSubject {
    fn from(obstacle: Obstacle) -> FindingSubject {
        match obstacle {
            Obstacle::Station(station) => FindingSubject::Place(station.into()),
            Obstacle::Thing(thing) => FindingSubject::Thing(thing),
            Obstacle::Wall => FindingSubject::Wall,
        }
    }
}

/// Something that a rule has to say about a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub level: FindingLevel,
    pub rule: RuleId,
    /// The station or thing that it is about.
    pub subject: FindingSubject,
    /// What it collides with, if there is something.
    pub other: Option<FindingSubject>,
    /// Where on the floor, if that can be pointed at.
    pub at: Option<Point>,
    /// How much is missing, in metres.
    pub missing: Option<f64>,
    /// When it is so.
    pub floor: FloorState,
    pub fact: Fact,
}

impl Finding {
    pub(super) fn new(
        level: FindingLevel,
        rule: RuleId,
        subject: FindingSubject,
        fact: Fact,
    ) -> Finding {
        Finding {
            level,
            rule,
            subject,
            other: None,
            at: None,
            missing: None,
            floor: FloorState::default(),
            fact,
        }
    }

    pub(super) fn other(mut self, other: impl Into<FindingSubject>) -> Finding {
        self.other = Some(other.into());
        self
    }

    pub(super) fn at(mut self, at: Point) -> Finding {
        self.at = Some(at);
        self
    }

    pub(super) fn missing(mut self, metres: f64) -> Finding {
        self.missing = Some(metres);
        self
    }
}

/// What was found, with the figures behind it. Lengths are in metres, masses in kilograms.
#[derive(Debug, Clone, PartialEq)]
pub enum Fact {
    /// Two footprints, or a footprint and a thing.
    Overlap {
        depth: f64,
        /// Of the first.
        apart: Shift,
        /// Which of the two may hang higher instead, and by how much, in metres.
        higher: Option<(Obstacle, f64)>,
    },
    /// A footprint reaches so far into a wall, or stands outside the room.
    BeyondWalls {
        far: f64,
        outside: bool,
        inside: Shift,
    },
    /// Something stands on the floor before a door.
    BeforeDoor {
        depth: f64,
        /// How deep the floor is that is kept free.
        kept_free: f64,
        /// The widest part of the opening that is left.
        left: f64,
        width: f64,
        /// How many things stand there in all.
        crowd: usize,
        out: Shift,
    },
    /// Something stands in the circle of a door's leaf: of both if it can be hung at either end.
    InLeaf {
        both: bool,
        out: Shift,
    },
    /// Something stands on the floor before an electrical panel.
    BeforePanel {
        depth: f64,
        width: f64,
        kept_free: f64,
        out: Shift,
    },
    /// Where one stands at a station.
    Standing {
        /// Distance to what is nearest, negative within it.
        clear: f64,
        /// The diameter that a person takes, or that is advised.
        wanted: f64,
        away: Away,
        instead: Option<Instead>,
    },
    /// Where one stands at a station, the leaf of a door swings.
    StandingInLeaf,
    /// Where one stands in a door.
    StandingInDoor {
        body: f64,
        instead: Option<Instead>,
    },
    /// Nobody gets from one place to another.
    CutOff {
        body: f64,
        /// Places to which nobody gets from there either, by the same way.
        others: Vec<PlaceId>,
        /// The tightest place of the widest way; nothing if there is no way at all.
        choke: Option<(ChokePoint, Between)>,
    },
    /// A cart does not get where lots ask for one.
    CartCutOff {
        cart: f64,
        others: usize,
    },
    /// A gap is as wide as a person but for little, and walking hangs on it.
    NearGap {
        gap: NearGap,
        body: f64,
        between: Between,
    },
    /// No way out is wide enough.
    WayOut {
        others: usize,
        wanted: f64,
        /// The width of the widest way out and what stands beside it; nothing if there is none at all.
        widest: Option<(f64, Option<Between>)>,
        /// A door, if there is none at all, before which something stands.
        closed: Option<(PlaceId, Obstacle)>,
    },
    Feed(Box<FeedFact>),
    FeedHazard(FeedHazard),
    /// Two strips along which work is fed.
    Crossing {
        depth: f64,
    },
    Aisle {
        loaded: bool,
        width: f64,
        wanted: f64,
        between: Between,
        /// How many other ways lead through the same gap.
        others: usize,
    },
    /// A door through which pieces are carried, narrower than is advised for ways.
    Doorway {
        width: f64,
        wanted: f64,
    },
    /// A saw may throw a piece.
    Kickback(Kickback),
    /// Somebody's elbow above the floor, in metres, and how high a bench is at which this person works.
    BenchHeight {
        top: f64,
        elbow: f64,
        person: PersonId,
    },
    /// Something stands before what is kept at hand.
    KeptBehind {
        away: f64,
    },
    /// A station from which it is far to the extinguisher.
    KeptFar {
        away: f64,
        most: f64,
    },
    /// An extinguisher that does not hang on the way out: so far it is to the nearest door.
    KeptInside {
        away: f64,
        most: f64,
    },
    /// What is kept in the opening of a door, by its number.
    KeptInDoor {
        door: usize,
    },
    /// A collector in one air with a flame.
    CollectorByFlame {
        away: f64,
    },
    /// What gives off vapour, near a flame.
    KeptNearFlame {
        away: f64,
        least: f64,
    },
    /// A lot of an item is expected to be worked on for longer than glue stays open, in seconds.
    OpenTime {
        operation: OperationId,
        item: (ProjectId, ItemId),
        takes: f64,
        open: f64,
        /// So many stages of the work would each be short enough.
        stages: u32,
    },
    /// Something is finished at one station while something may be sanded at another.
    WetFinish {
        finish: OperationId,
        sanding: OperationId,
    },
    /// A station that counts as so many has the floor of one.
    Units {
        count: u32,
    },
    /// A side from which a station is reached is not free to walk along.
    ReachBlocked {
        side: Side,
        seen: SeenSide,
        free: f64,
        body: f64,
        away: Shift,
    },
    /// A side with room, to which nobody gets.
    ReachCutOff {
        side: Side,
        seen: SeenSide,
        width: f64,
        body: f64,
    },
    /// Something is higher than the ceiling, or than what lies above it while an overhead door is open.
    TooHigh {
        height: f64,
        under: f64,
    },
    /// Something hangs too far behind what one stands before.
    ReachOver {
        over: f64,
        most: f64,
    },
    /// What is needed hangs so high that nobody reaches it.
    ReachUp {
        up: f64,
        most: f64,
    },
    Access(Box<AccessFact>),
    Lifting {
        mass: f64,
        from: MassSource,
        limit: f64,
        /// For how many people that is the limit.
        lifters: u8,
        /// Whether enough people are there.
        people: bool,
    },
    /// A board cannot be stood up: what raising it takes.
    Ceiling {
        raised: f64,
        ceiling: f64,
        others: usize,
    },
}

/// A side of a station as whoever stands at it sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeenSide {
    Front,
    Behind,
    Left,
    Right,
}

/// A shift that gives somebody room to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Away {
    pub shift: Shift,
    /// Whether it does to move the standing place alone.
    pub or_place: bool,
}

/// A place near by where a person fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instead {
    pub at: Point,
    pub away: f64,
}

/// Between what a gap lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Between {
    Sides([Obstacle; 2]),
    /// In the opening of a door: its index in the room.
    Door(usize),
    Walls,
}

/// What a mass is reckoned from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassSource {
    /// As given, or by the sizes of the piece itself.
    Given,
    FinishedParts,
    RoughParts,
}

/// Whether something comes in or leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    In,
    Out,
}

/// How sure it is that something passes, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    Passes,
    /// In a way that has to be named.
    OnlySo,
    Unknown,
    Stuck,
}

/// Where along a way in a piece goes worst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spot {
    /// A corner between corridors of these widths.
    Corner(f64, f64),
    Stair,
    /// Index of the room's door.
    Door(usize),
}

/// What it is that is left where a piece passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpareOf {
    Length,
    WidthOrHeight,
}

/// How a piece has to be held to pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// Leaned against a ceiling of this height, or pushed if `or_pushed`.
    TippedUp { ceiling: f64, or_pushed: bool },
    /// With nobody beside it or at its ends.
    Pushed,
    /// In degrees from upright.
    Tilted(f64),
}

/// What becomes of a piece at the worst place of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    pub grade: Grade,
    /// What is left there, in metres; negative: what is missing.
    pub spare: f64,
    pub of: SpareOf,
    pub spot: Spot,
    /// Nothing if it goes level and straight.
    pub held: Option<Held>,
}

/// How something comes in or leaves by its best way.
#[derive(Debug, Clone, PartialEq)]
pub struct AccessFact {
    pub size: Size,
    pub direction: Direction,
    pub passage: Passage,
    /// The other ways by which it simply passes.
    pub also_by: Vec<FindingSubject>,
    pub helps: Vec<AccessHelp>,
}

/// What helps something through that does not simply pass.
#[derive(Debug, Clone, PartialEq)]
pub enum AccessHelp {
    /// These parts can leave on their own.
    BuildInParts(Vec<(ProjectId, ItemId)>),
    LetTwoCarry,
    /// If there is this height.
    TipUp {
        height: f64,
    },
    /// Up to this length it passes.
    Shorten {
        longest: f64,
    },
    MakeNarrower,
}
