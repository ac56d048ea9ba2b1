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
mod dispatch;
mod draws;
mod exclude;
mod fetch;
mod fifo;
mod fit;
mod orders;
mod plain;
mod preference;
mod prepared;
mod prepared_shop;
mod queue;
mod recorder;
mod recorder_pair;
mod room;
mod seize;
mod simulation;
mod slots;
mod specialization;
mod state;
mod stuck;
mod take_off;
mod task;
mod travel_times;
mod upkeep;
mod waiting;
mod wear;

pub use prepared::Prepared;
pub use prepared_shop::PreparedShop;
pub use recorder::{
    CureTimes, Doing, Handling, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    ServiceTimes, TakeOffTimes, TaskTimes, Walk, WorkPhase,
};
pub use simulation::{Run, Workspace, simulate, simulate_in};
pub use stuck::{Stuck, Waiting};
