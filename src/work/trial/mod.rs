//! Trials: small boards laid on purpose in different ways, the order drawn by lot.
//!
//! `factor` is what may be varied and how a level changes a recipe, `design` the jars and boards of a trial and what is
//! wrong with one, `questions` the designs that come ready, `lots` the draw, `power` what a design could show, `amounts`
//! what to weigh and when to begin, `event` what is kept of it, `openings` what is said of its jars and boards, `effects` what came of what was varied.

pub mod amounts;
pub mod design;
pub mod effects;
pub mod event;
pub mod factor;
pub mod lots;
pub mod openings;
pub mod power;
pub mod questions;

#[cfg(test)]
mod tests;
