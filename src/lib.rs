//! A **shop** says what is done, a **layout** says where things stand. A **run** plays one shop on one layout and
//! leaves a **record**. A **metric** is a function of a record, an **estimate** is a metric with its uncertainty.
//! A **study** is one shop on every candidate, many times; its **findings** are estimates and differences.
//! A **chart** is a function of the findings.
//!
//! The modules in reading order; each uses only what stands before it:

pub mod units;

pub mod random;

pub mod statistics;

pub mod shop;

pub mod floor;

pub mod services;

pub mod engine;

pub mod metrics;

pub mod experiment;

pub mod improve;

pub mod scenario;

pub mod lesson;

pub mod report;

pub mod editor;

pub mod cli;
