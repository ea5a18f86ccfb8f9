//! Calls the command line.

fn main() {}
