//! What happens: pure state machines, and what follows from them.
//!
//! Time comes in as an argument.

pub mod story;

pub mod panel;
pub mod pot;

pub mod air;

pub mod learn;

#[allow(dead_code, reason = "the screens that ask it are still to come")]
pub mod plan;

pub mod stock;

pub mod advice;

pub mod trial;
