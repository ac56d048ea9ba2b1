//! The rules by which stations and people choose, each list one table that help, messages and tests loop over.

/// Which lot a station takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum QueueRule {
    #[default]
    Fifo,
    Spt,
    Lpt,
    Mwkr,
    Edd,
}

/// When somebody goes to another station.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SwitchStation {
    #[default]
    AfterEachLot,
    WhenItsQueueIsEmpty,
}

/// Which of the heads of the queues somebody takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ChooseNext {
    #[default]
    FirstCome,
    Nearest,
    LongestQueue,
    ShortestWork,
    MostWorkLeft,
    DueDate,
}

/// When work is offered that is followed by a cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CureRule {
    #[default]
    LikeOtherWork,
    LastInASession,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rules {
    pub queue: QueueRule,
    pub switch: SwitchStation,
    pub choose: ChooseNext,
    pub cures: CureRule,
}

/// A row of a table of rules: its name in the file, the rule, and what it means.
#[derive(Debug, Clone, Copy)]
pub struct RuleRow<R: 'static> {
    pub name: &'static str,
    pub rule: R,
    pub meaning: &'static str,
}

const fn row<R>(name: &'static str, rule: R, meaning: &'static str) -> RuleRow<R> {
    RuleRow {
        name,
        rule,
        meaning,
    }
}

pub const QUEUE_RULES: &[RuleRow<QueueRule>] = &[
    row(
        "fifo",
        QueueRule::Fifo,
        "the lot that has been ready longest",
    ),
    row(
        "spt",
        QueueRule::Spt,
        "the lot with the shortest expected run time at this station",
    ),
    row(
        "lpt",
        QueueRule::Lpt,
        "the lot with the longest expected run time at this station",
    ),
    row(
        "mwkr",
        QueueRule::Mwkr,
        "the lot with the most expected run time left on its route",
    ),
    row(
        "edd",
        QueueRule::Edd,
        "the lot whose order is due first, or, where none is due, was released first",
    ),
];

pub const SWITCHES: &[RuleRow<SwitchStation>] = &[
    row(
        "after each lot",
        SwitchStation::AfterEachLot,
        "people choose again after each lot",
    ),
    row(
        "when its queue is empty",
        SwitchStation::WhenItsQueueIsEmpty,
        "people stay while their station offers a lot",
    ),
];

pub const CURES: &[RuleRow<CureRule>] = &[
    row(
        "like other work",
        CureRule::LikeOtherWork,
        "work that is followed by a cure is offered like any other",
    ),
    row(
        "last in a session",
        CureRule::LastInASession,
        "work that is followed by a cure is left for when there is nothing else to do, or when the other work would leave too little time for it before whoever does it goes",
    ),
];

pub const CHOICES: &[RuleRow<ChooseNext>] = &[
    row(
        "first come",
        ChooseNext::FirstCome,
        "the lot that has been ready longest",
    ),
    row(
        "nearest",
        ChooseNext::Nearest,
        "the lot with the shortest walk to it",
    ),
    row(
        "longest queue",
        ChooseNext::LongestQueue,
        "the station with the most lots waiting",
    ),
    row(
        "shortest work",
        ChooseNext::ShortestWork,
        "the lot with the shortest expected run time",
    ),
    row(
        "most work left",
        ChooseNext::MostWorkLeft,
        "the lot with the most expected run time left on its route",
    ),
    row(
        "due date",
        ChooseNext::DueDate,
        "the lot whose order is due first",
    ),
];
