//! What feeds a shop: air, current, light, sound and heat, as formulas of handbooks on plain figures.
//!
//! Everything is in SI units (m, m², m³/s, m/s, Pa, W, A, V, K, s; temperatures in °C, sound in dB(A)) unless a name says
//! otherwise, and is an estimate for planning: nothing here says that something is safe. Formulas that handbooks give in
//! other units are written in those of the handbook and turned at one place.

pub mod air;
pub mod heat;
pub mod light;
pub mod moisture;
pub mod noise;
mod plan;
pub mod power;
pub mod shopping;
pub mod sizing;
pub mod storage;
pub mod together;

pub use plan::{CollectorPlan, ServicePlan};
