//! Plays one shop on one walking table, once: a discrete-event simulation.
//!
//! The engine is a pure function of a prepared candidate, a seed and a replication's number. It tells a
//! [`Recorder`] what happens and computes no figure itself. Nothing that it has planned can be interrupted, so the
//! whole of a task (fetching, setup, run, tear-down, cure) is told when the task is chosen, with the instants at
//! which its phases begin and end; a recorder cuts them at the horizon.

mod agenda;
mod dispatch;
mod draws;
mod prepared;
mod queue;
mod recorder;
mod simulation;
mod state;
mod task;

pub use prepared::Prepared;
pub use recorder::{
    Handling, Job, OrderDone, PersonState, Recorder, StationState, Walk, WorkPhase,
};
pub use simulation::{Run, Stuck, Waiting, simulate};
