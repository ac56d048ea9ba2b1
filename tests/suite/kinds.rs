//! Kinds of stations: their figures against the ranges of practice, what a scenario takes from them and what it says
//! otherwise, and what is told of typical values.

mod figures;
mod filled;
mod told;
