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
mod fetch;
mod fifo;
mod fit;
mod orders;
mod prepared;
mod prepared_shop;
mod queue;
mod recorder;
mod seize;
mod simulation;
mod specialization;
mod state;
mod stuck;
mod task;
mod travel_times;
mod waiting;

pub use prepared::Prepared;
pub use prepared_shop::PreparedShop;
pub use recorder::{
    CureTimes, Doing, Handling, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    TaskTimes, Walk, WorkPhase,
};
pub use simulation::{Run, Workspace, simulate, simulate_in};
pub use stuck::{Stuck, Waiting};
