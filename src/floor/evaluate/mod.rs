//! How good placements are, for a search over many: what is missing by the rules, and how far people walk.

mod evaluation;
mod kept;
mod score;

pub use evaluation::Evaluation;
pub use score::{Flow, FlowLeg, Placements, Prices, Score};
