//! What a run leaves behind: a record of totals, or every phase of it.

mod active;
mod bottleneck;
mod chronicle;
mod counted;
mod due;
mod level;
mod measured;
mod on_times;
mod pool;
mod record;
mod single_person;
mod thirds;
mod totals;
mod trace;
mod waits;
mod whereabouts;
mod while_open;

pub use active::{Active, ActivePeriods, Momentary};
pub use bottleneck::Bottlenecks;
pub use chronicle::{Chronicle, Witness};
pub use counted::Counted;
pub use measured::{Cut, Measured, Whole};
pub use on_times::{MachineTimes, OnTimes};
pub use record::{
    GearTotals, LineTotals, OrderHours, PersonTotals, ProjectTotals, Record, StationTotals,
};
pub use single_person::SinglePersonDiagnosis;
pub use totals::Totals;
pub use trace::{Trace, TraceLine, What};
pub use waits::{
    DecisionInstant, Decisions, IdleTime, LeadTimeComponents, LineLeadTime, TakenLot,
    TimeAtStation, Waited, Waits, WaitsFor,
};
pub use whereabouts::Stay;
