//! `shopstride improve SCENARIO`: where stations could stand instead.

mod brute_force;
mod command;
mod reached;
