//! What happens: pure state machines, and what follows from them.
//!
//! Absent on purpose: clocks, files, serde, terminal. Time comes in as an argument.

pub mod advice;
pub mod panel;
