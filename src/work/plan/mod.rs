//! What comes next over all boards and pots, and how far one pair of hands gets with them.
//!
//! `queue` is the order in which boards and pots want somebody.

pub mod queue;
