//! The cupboard: what is there of glue, powders, shellac, spirit and boards.
//!
//! `item` is what can lie in it, `event` what is recorded, `takings` what the pots took (derived from their stories, never
//! written), `cupboard` what is left of it all, `remarks` what is to be said of it, `shopping` what a plan still lacks.

pub mod cupboard;
pub mod event;
pub mod item;
pub mod remarks;
pub mod shopping;
pub mod takings;

#[cfg(test)]
mod tests;
