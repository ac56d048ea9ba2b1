//! What a shop at work consists of at an instant.

/// What ends at some instant.
pub enum Ending {
    PersonBusy(usize),
    CartInUse(usize),
    /// The unit has no more to do with the lot, which lies down if there is room.
    Finished {
        lot: usize,
        station: usize,
        unit: usize,
    },
    /// Nothing of the lot lies where it was any more, or work on it begins there.
    PickedUp {
        lot: usize,
    },
    /// What does not go on together with other things is over.
    Slot(usize),
    GearTaken(usize, i64),
    /// A station has been rolled in to where it is parked.
    RolledIn(usize),
    /// The run is over, with its tear-down.
    Run {
        station: usize,
    },
    /// A cure after which somebody has to take off what is tied up.
    Cured {
        lot: usize,
    },
    /// An operation on a lot, with its cure and what is taken off.
    Operation {
        lot: usize,
    },
    Delivery {
        lot: usize,
    },
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LotState {
    /// An assembly some of whose inputs are not done, or a part whose material is not.
    WaitsForInputs,
    /// Its next operation may begin, since this instant.
    Ready,
    /// Somebody brings it or works on it, or it cures.
    Taken,
    /// It has cured, since this instant, and what it ties up is to be taken off.
    AwaitsTakeOff,
    /// Its route is over and it lies where it must not stay, since this instant.
    AwaitsDelivery,
    Done,
}

pub struct Lot {
    pub order: usize,
    pub line: usize,
    pub batch: usize,
    pub pieces: i64,
    pub state: LotState,
    /// The instant at which it got into this state.
    pub since: i64,
    /// When it first was ready for anything, be it to be delivered.
    pub first_ready: Option<i64>,
    /// The next operation of the route.
    pub step: usize,
    /// Where it lies; for an assembly nothing until its inputs have been brought together.
    pub place: Option<usize>,
    /// Lots that an assembly is made of, as listed and by batch.
    pub inputs: Vec<usize>,
    /// Where it takes room of what there is for finished lots.
    pub room: Option<usize>,
    /// Station, unit and since when: it is finished and has not left the unit.
    pub blocks: Option<(usize, usize, i64)>,
    pub tied: Tied,
}

/// What a cure ties up until it is taken off.
#[derive(Clone, Default)]
pub struct Tied {
    pub unit: Option<usize>,
    pub gear: Vec<(usize, i64)>,
}

pub struct Order {
    pub line: usize,
    pub project: usize,
    pub released: i64,
    pub due: Option<i64>,
    pub done: Option<i64>,
    pub lots: Vec<usize>,
}

pub struct Person {
    /// Nothing keeps them; whether they are there is another question.
    pub idle: bool,
    pub place: usize,
    /// Where they last worked or brought a lot for work.
    pub last_station: Option<usize>,
}

/// What a unit is set to.
#[derive(Clone, Debug, PartialEq)]
pub enum Setting {
    Text(String),
    /// Operation, project and line.
    Work(String, usize, usize),
}

/// What a unit last did.
#[derive(Clone, Debug)]
pub struct LastWork {
    pub op: String,
    pub setting: Setting,
}

#[derive(Clone)]
pub struct Unit {
    pub free: bool,
    pub last_work: Option<LastWork>,
    /// When it last became free.
    pub freed: i64,
    /// For each upkeep of the station what has been done since the last one.
    pub worn: Vec<i64>,
}

pub struct Cart {
    pub free: bool,
    pub place: usize,
}
