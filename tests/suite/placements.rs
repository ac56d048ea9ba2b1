//! `shopstride improve SCENARIO`: where stations could stand instead.

mod asked;
mod brute_force;
mod command;
mod reached;
