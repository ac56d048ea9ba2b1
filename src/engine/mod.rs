//! Plays one shop on one walking table, once: a discrete-event simulation.
//!
//! The engine is a pure function of a prepared candidate, a seed and a replication's number. It tells a
//! [`Recorder`] what happens and computes no figure itself. Nothing that it has planned can be interrupted, so the
//! whole of a task (fetching, setup, run, tear-down, cure) is told when the task is chosen, with the instants at
//! which its phases begin and end; a recorder cuts them at the horizon. These are instants of shop time, which stands
//! still while the shop is shut.

mod agenda;
#[cfg(test)]
mod agreement;
mod bitset;
mod clock;
mod cures_last;
mod dispatch;
mod draws;
mod exclude;
mod fetch;
mod fifo;
mod fit;
mod hours;
mod interrupt;
mod offering;
mod orders;
mod phase;
mod plain;
mod preference;
mod prepared;
mod prepared_shop;
mod presence;
mod queue;
mod recorder;
mod recorder_pair;
mod rolling;
mod room;
mod run_stops;
mod seize;
mod simulation;
pub mod slots;
mod specialization;
mod state;
mod stuck;
mod take_off;
mod task;
mod task_times;
mod travel_times;
mod upkeep;
mod waiting;
mod wear;
mod workers;

pub use phase::{Doing, Handling, Occupied, Phase, WorkPhase};
pub use prepared::Prepared;
pub use prepared_shop::PreparedShop;
pub use recorder::{Job, OrderDone, OrderReleased, Recorder, Walk};
pub use simulation::{Run, Workspace, simulate, simulate_in, simulate_in_turn};
pub use stuck::{Stuck, TooLate, Waiting};
pub use task_times::{CureTimes, Interruption, StopKind, StopTimes, TakeOffTimes, TaskTimes};
pub use workers::Workers;
