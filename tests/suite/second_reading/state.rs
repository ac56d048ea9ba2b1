//! What a shop at work consists of at an instant.

/// What ends at some instant.
pub enum Ending {
    PersonBusy(usize),
    CartInUse(usize),
    UnitTaken {
        station: usize,
        unit: usize,
    },
    GearTaken(usize, i64),
    /// The run is over, with its tear-down.
    Run {
        station: usize,
    },
    /// An operation on a lot, with its cure.
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
    /// The next operation of the route.
    pub step: usize,
    /// Where it lies; for an assembly nothing until its inputs have been brought together.
    pub place: Option<usize>,
    /// Lots that an assembly is made of, as listed and by batch.
    pub inputs: Vec<usize>,
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

/// Operation, project and line of what a unit last worked on.
pub type Key = (String, usize, usize);

#[derive(Clone)]
pub struct Unit {
    pub free: bool,
    pub last_work: Option<Key>,
    /// When it last became free.
    pub freed: i64,
}

pub struct Cart {
    pub free: bool,
    pub place: usize,
}
