//! A station: a place with the equipment to do operations.

use super::{AskedPlace, OperationId, PlaceId, SettingId, StationId};
use crate::random::Distribution;
use crate::units::{Chips, Length, Span};

/// A station and how many of it there are. What it does stands in the routes' [`Choice`](super::Choice)s.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    pub name: String,
    /// The kind of machine or furniture that it is said to be.
    pub kind: Option<&'static str>,
    /// Units that stand here; each does one lot at a time.
    pub count: u32,
    /// Whether its size is only what is usual for its kind.
    pub is_size_usual: bool,
    /// What wears or fills up, in the file's order.
    pub upkeep: Vec<Upkeep>,
    /// How many lots that were finished here may lie here until they are picked up; any number without a limit.
    pub set_down: Option<u32>,
    /// What it takes to set a unit up from one thing for another, where that is not the setup of the work itself.
    pub setup_from: Vec<SetupFrom>,
    /// Whether somebody works there, with what is ordered or not: it does something, or the file says where one stands.
    /// No run depends on it.
    pub is_worked_at: bool,
    /// Whether it is not to be heard in quiet time.
    pub is_loud: bool,
    /// Whether it has a blade, which nobody who is tired works with.
    pub has_blade: bool,
    /// What it takes to roll it out of where it is parked and back, on layouts that park it; nothing where nobody said so.
    pub rolling: Option<Rolling>,
    /// The widest piece that it takes, in metres; nothing where nobody said so. No run depends on it.
    pub widest: Option<f64>,
    /// What is asked of where it stands. No run depends on it.
    pub asked: AskedPlace,
}

/// How long it takes somebody to roll a station about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rolling {
    /// From where it is parked to where it is used.
    pub out: Span,
    /// Back again.
    pub back: Span,
}

/// Something that wears or fills up as a station runs, and has to be seen to between two pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Upkeep {
    pub name: String,
    pub every: WearLimit,
    /// What it takes, without what is fetched for it.
    pub time: Span,
    pub fetch_from: Option<PlaceId>,
    /// The number of the one thing that several stations share; each unit has its own without it.
    pub shared: Option<u32>,
}

/// After how much it has to be seen to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WearLimit {
    RunTime(Span),
    /// Of what is fed, each pass by itself.
    Length(Length),
    /// Of what is taken off, as it lies loose.
    Chips(Chips),
}

/// What a unit is set to or does, by name: a setting and an operation may be called the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetTo {
    pub setting: Option<SettingId>,
    pub operation: Option<OperationId>,
}

/// What it takes to set a unit up that was set to one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct SetupFrom {
    pub from: SetTo,
    /// By what comes next, in seconds.
    pub to: Vec<(SetTo, Distribution)>,
}

impl Station {
    /// The setup from what a unit was set to and did last for what comes next, if the station has a time of its own for
    /// that. The name of a setting goes before that of an operation.
    pub fn setup_between(
        &self,
        last: (Option<SettingId>, OperationId),
        next: (Option<SettingId>, OperationId),
    ) -> Option<&Distribution> {
        let row = named(&self.setup_from, last, |row| row.from)?;
        let (_, time) = named(&row.to, next, |(to, _)| *to)?;
        Some(time)
    }
}

/// What is called like this setting, or else like this operation.
fn named<T>(
    list: &[T],
    (setting, operation): (Option<SettingId>, OperationId),
    name: impl Fn(&T) -> SetTo,
) -> Option<&T> {
    let by_setting = (list.iter()).find(|one| setting.is_some() && name(one).setting == setting);
    by_setting.or_else(|| {
        list.iter()
            .find(|one| name(one).operation == Some(operation))
    })
}

/// A place at a station where one stands for one operation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkStand {
    pub station: StationId,
    pub operation: OperationId,
    /// What people call it.
    pub name: String,
}
