//! Everything that the program claims about itself, linked once.

mod active_periods;
mod agreement;
mod aisles;
mod architecture;
mod candidate_selection;
#[cfg(feature = "png")]
mod charts;
mod check;
mod check_command;
mod cli;
mod engine;
mod first_minute;
mod generated_relief;
mod generated_shops;
mod golden;
mod hand_cases;
mod harm;
mod job_shop;
mod luck;
mod messages;
mod minimal;
mod paths;
mod placed_layouts;
mod properties;
mod queueing;
mod random;
mod relief;
mod relief_advice;
mod scenario_errors;
mod scenario_loading;
mod scenario_robustness;
mod scenario_schema;
mod second_reading;
mod seldom;
mod selection;
mod sensitivity;
#[cfg(feature = "png")]
mod sentences;
mod several_units;
mod spoiled;
mod statistics;
mod support;
mod terminal_safety;
mod waits;
mod waits_plainly;
mod worked_cases;
