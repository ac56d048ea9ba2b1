//! Whether long, wide and heavy pieces get in and out: corners, doorways, openings, stairs and ceilings.

/// Metres in an inch.
pub const INCH_M: f64 = 0.0254;
