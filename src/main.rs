//! The program; what it does stands in the library.

fn main() {}
